// A job list solves bands alone and uses its memory again; a plan solves the whole window in fresh memory. Nothing of
// that may show: the same joint has the same answer, to the last bit.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "property/random_joint.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/planner.hpp"
#include "window/margins.hpp"
#include "window/point.hpp"

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
  CHECK(none > 5);
  CHECK(moved > 20);
  CHECK(open > 100);
}

namespace {

// A net over feed and deposit, finer than the search's own.
template <class Visit>
void over_the_plane(const PassContext& c, Visit visit) {
  const ConstantValues x = nominal_values(c.constants);
  const Interval feeds = feed_range(c);
  const double low = std::log(0.9 * std::max(c.deposit.needed_mm2, 0.5 * c.deposit.nominal_mm2)),
               high = std::log(1.35 * std::max(c.deposit.position_max_mm2, c.deposit.nominal_mm2));
  constexpr int columns = 60, rows = 30;
  for (int i = 0; i < columns; ++i)
    for (int j = 0; j < rows; ++j) {
      const double feed = feeds.low * std::pow(feeds.high / feeds.low, i / (columns - 1.0));
      visit(x, on_line(c, x, {std::exp(low + (high - low) * j / (rows - 1.0)), 0}, feed));
    }
}

}  // namespace

TEST_CASE("the point costs least, and a window that exists is found") {
  RandomJoints joints(12);
  const std::array modes{Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse};
  const std::array<std::string, 5> positions{"PA", "PB", "PD", "PE", "PF"};
  int windows = 0, none = 0, missed = 0, dearer = 0;
  for (int n = 0; n < 250; ++n) {
    Joint joint = joints.next(joints.one_of(modes));
    joint.position = given(joints.one_of(positions));
    const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), bare(WindowDetail::band));
    REQUIRE(plan);
    for (std::size_t k = 0; k < plan->contexts.size(); ++k) {
      const PassContext& c = plan->contexts[k];
      if (k > 0 && alike(plan->passes[k].pass, plan->passes[k - 1].pass)) continue;
      const Window window = solve_window(c, 0, WindowDetail::band);
      const double cost = point_cost(c, nominal_values(c.constants), window.band.best);
      bool holds = false, cheaper = false;
      over_the_plane(c, [&](const ConstantValues& x, const Setting& s) {
        if (point_margins(c, x, s).worst().score < 0) return;
        holds = true;
        cheaper = cheaper || point_cost(c, x, s) < cost * (1 - 1e-3) - 1e-3;
      });
      ++(window.band.feasible ? windows : none);
      missed += holds && !window.band.feasible ? 1 : 0;
      dearer += window.band.feasible && cheaper ? 1 : 0;
    }
  }
  CAPTURE(windows);
  CAPTURE(none);
  CHECK(windows > 200);
  CHECK(none > 3);
  CHECK(missed == 0);
  // A hollow of its own beside the one found, where two limits meet at an angle.
  CHECK(dearer <= windows / 100);
}
