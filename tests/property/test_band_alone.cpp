// A job list solves bands alone and uses its memory again; a plan solves the whole window in fresh memory. Nothing of
// that may show: the same joint has the same answer, to the last bit.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "property/random_joint.hpp"
#include "seamwright/plan.hpp"

using namespace seamwright;
using namespace seamwright::test;

namespace {

PlanOptions bare(WindowDetail detail) {
  PlanOptions options;
  options.detail = detail;
  options.uncertainties = options.suggestions = options.heat_report = options.box = options.confident = false;
  options.detail_tables = options.reasons = false;
  return options;
}

void check_same(const Plan& alone, const Plan& whole) {
  CHECK(alone.feasible == whole.feasible);
  CHECK(alone.resolved.mode == whole.resolved.mode);
  REQUIRE(alone.passes.size() == whole.passes.size());
  for (std::size_t i = 0; i < alone.passes.size(); ++i) {
    CHECK(alone.passes[i].deposit_moved == whole.passes[i].deposit_moved);
    for (std::size_t k = 0; k < field_count; ++k) {
      const F id = static_cast<F>(k);
      const Estimate &a = alone.passes[i][id], &b = whole.passes[i][id];
      CAPTURE(field(id).key);
      const bool same = a.present == b.present && a.value == b.value && a.low == b.low && a.high == b.high &&
                        a.low_end == b.low_end && a.high_end == b.high_end;
      CHECK(same);
    }
  }
}

}  // namespace

TEST_CASE("a band alone, in memory used before, is the band of the whole window") {
  RandomJoints joints(11);
  Planner planner(nullptr, builtin_catalog(), bare(WindowDetail::band));
  const std::array modes{Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse, Mode::double_pulse};
  const std::array<std::string, 5> positions{"PA", "PB", "PD", "PE", "PF"};
  int windows = 0, moved = 0, none = 0, open = 0;
  for (int n = 0; n < 600; ++n) {
    Joint joint = joints.next(joints.one_of(modes));
    joint.position = given(joints.one_of(positions));
    if (n % 4 == 0) joint.mode = {};
    const Plan* alone = planner.solve(joint);
    const Expected<Plan> whole = make_plan(joint, nullptr, builtin_catalog(), bare(WindowDetail::full));
    REQUIRE((alone != nullptr) == static_cast<bool>(whole));
    if (alone == nullptr) continue;
    CAPTURE(n);
    check_same(*alone, *whole);
    ++(alone->feasible ? windows : none);
    open += joint.mode ? 0 : 1;
    for (const PassResult& pass : alone->passes) moved += pass.feasible && pass.deposit_moved ? 1 : 0;
  }
  CHECK(windows > 150);
  CHECK(none > 50);
  CHECK(moved > 20);
  CHECK(open > 100);
}

TEST_CASE("no line that would have had the best window is given up early") {
  RandomJoints joints(12);
  const std::array modes{Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse};
  const std::array<std::string, 5> positions{"PA", "PB", "PD", "PE", "PF"};
  int moved = 0, none = 0;
  for (int n = 0; n < 500; ++n) {
    Joint joint = joints.next(joints.one_of(modes));
    joint.position = given(joints.one_of(positions));
    const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), bare(WindowDetail::band));
    REQUIRE(plan);
    CAPTURE(n);
    for (const PassContext& c : plan->contexts) {
      const ConstantValues x = nominal_values(c.constants);
      if (solve_band(c, x, {c.nominal_mm2, 0}).feasible) continue;
      // The lines of solve_window, each searched to its end.
      const double low = c.needed_mm2 > 0 ? c.needed_mm2 : 0.5 * c.nominal_mm2;
      double high = c.position_max_mm2;
      if (c.excess_fillet_max_mm2 > 0) high = std::min(high, c.excess_fillet_max_mm2);
      high = std::max(low, (1 - 1e-12) * high);
      constexpr int lines = 13;
      bool feasible = false;
      double best_score = 0;
      for (int i = 0; i < lines; ++i) {
        const double deposit = low * std::exp(std::log(high / low) / (lines - 1) * i);
        if (high <= low || deposit < c.nominal_mm2) continue;
        const Band band = solve_band(c, x, {deposit, 0});
        feasible = feasible || band.feasible;
        if (band.feasible) best_score = std::max(best_score, band.best_score);
      }
      const Window window = solve_window(c, 0, WindowDetail::band);
      CHECK(window.band.feasible == feasible);
      if (feasible) CHECK(std::abs(window.band.best_score - best_score) < 1e-7);
      ++(feasible ? moved : none);
    }
  }
  CHECK(moved > 20);
  CHECK(none > 50);
}
