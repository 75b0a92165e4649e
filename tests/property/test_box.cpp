// The lockable box of every example: all its corners, random points inside, the reference field, and demands that only
// make it smaller.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <string>

#include "property/random_joint.hpp"
#include "seamwright/box.hpp"
#include "seamwright/input.hpp"
#include "seamwright/plan.hpp"
#include "seamwright/pulse.hpp"

using namespace seamwright;
using seamwright::test::given;
using seamwright::test::RandomJoints;

namespace {

// Every example that is a joint, in the order of their names.
std::vector<Joint> example_joints() {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(SEAMWRIGHT_EXAMPLE_DIR))
    if (entry.path().extension() == ".toml") files.push_back(entry.path().string());
  std::sort(files.begin(), files.end());
  std::vector<Joint> joints;
  for (const std::string& file : files)
    if (const Expected<Joint> joint = read_joint(file, {})) joints.push_back(*joint);
  return joints;
}

PlanOptions quick() {
  PlanOptions options;
  options.uncertainties = options.suggestions = options.heat_report = options.detail_tables = false;
  return options;
}

// The least score of everything that binds a setting, put together here rather than taken from the box's own search.
double least_score(const PassContext& c, const Setting& s) {
  const ConstantValues x = nominal_values(c.constants);
  const FieldValues f = evaluate(c, x, s);
  double least = margins(c, x, f, s.modulation_frequency_Hz > 0).worst().score;
  const auto inside = [&least](double value, double low, double high) {
    least = std::min({least, (value - low) / (high - low), (high - value) / (high - low)});
  };
  if (is_dip(c.mode))
    inside(s.arc_trim_V, -c.dip_trim_V, c.dip_trim_V);
  else if (c.arc_length_max_mm > c.arc_length_min_mm)
    inside(f[F::arc_length], c.arc_length_min_mm, c.arc_length_max_mm);
  if (is_pulsed(c.mode)) {
    const TrimWindow window = peak_trim_window(c.criterion_window);
    inside(s.peak_trim, window.low, window.high);
  }
  return least;
}

template <class Visit>
void each_vertex(const LockBox& box, Visit visit) {
  for (unsigned bits = 0; bits < (1U << box_side_count); ++bits) {
    BoxCorner corner{};
    bool wanted = true;
    for (std::size_t i = 0; i < box_side_count; ++i) {
      const bool high = (bits >> i) & 1U;
      if (!box.sides[i].present)
        wanted = wanted && !high;
      else
        corner[i] = static_cast<signed char>(high ? 1 : -1);
    }
    if (wanted) visit(corner);
  }
}

Setting random_inside(RandomJoints& random, const LockBox& box) {
  Setting s = box.centre;
  for (std::size_t i = 0; i < box_side_count; ++i)
    if (const BoxSide& side = box.sides[i]; side.present) setting_value(s, i) = random.uniform(side.low, side.high);
  return s;
}

double volume(const LockBox& box) {
  double product = 1;
  for (std::size_t i = 0; i < box_side_count; ++i)
    if (box.sides[i].present && !box.sides[i].fixed) product *= box.sides[i].high - box.sides[i].low;
  return box.exists ? product : 0;
}

template <class Check>
void on_boxes(Check check) {
  int boxes = 0;
  for (const Joint& joint : example_joints()) {
    const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), quick());
    REQUIRE(static_cast<bool>(plan));
    for (std::size_t i = 0; i < plan->passes.size(); ++i) {
      const PassResult& pass = plan->passes[i];
      if (!pass.box || !pass.box->exists) continue;
      CAPTURE(joint.name);
      CAPTURE(pass.pass.number);
      check(*plan, pass, plan->contexts[i]);
      ++boxes;
    }
  }
  CHECK(boxes >= 12);
}

constexpr double rounding = 1e-9;
// The table of the field is good to 1 % of a size, scaled by no less than 0.15 in a score.
constexpr double table_score = 0.08;

}  // namespace

TEST_CASE("every feasible pass of the examples has a box") {
  for (const Joint& joint : example_joints()) {
    const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), quick());
    REQUIRE(static_cast<bool>(plan));
    for (const PassResult& pass : plan->passes) {
      CAPTURE(joint.name);
      CAPTURE(pass.pass.number);
      if (pass.feasible) CHECK(pass.box.has_value());
      if (pass.feasible && pass.box) CHECK((pass.box->exists || pass.box->first.constraint.id != C::none));
    }
  }
}

TEST_CASE("every vertex of the box satisfies every constraint") {
  on_boxes([](const Plan&, const PassResult& pass, const PassContext& c) {
    each_vertex(*pass.box, [&](const BoxCorner& corner) {
      CHECK(least_score(c, corner_setting(c, *pass.box, corner)) >= -rounding);
    });
  });
}

TEST_CASE("1,000 random points inside the box satisfy every constraint") {
  RandomJoints random(31);
  on_boxes([&](const Plan&, const PassResult& pass, const PassContext& c) {
    int failed = 0;
    double least = 1;
    for (int k = 0; k < 1000; ++k) {
      const double score = least_score(c, random_inside(random, *pass.box));
      least = std::min(least, score);
      failed += score < -rounding ? 1 : 0;
    }
    CAPTURE(least);
    CHECK(failed == 0);
  });
}

TEST_CASE("the box holds in the reference field too") {
  on_boxes([&](const Plan&, const PassResult& pass, const PassContext& c) {
    PassContext reference = c;
    reference.pool_by_integral = true;
    int k = 0;
    each_vertex(*pass.box, [&](const BoxCorner& corner) {
      if (k++ % 8 != 0) return;  // a subset: the integral is slow
      CHECK(least_score(reference, corner_setting(c, *pass.box, corner)) >= -table_score);
    });
  });
}

TEST_CASE("boxes of random joints hold at their vertices and inside") {
  RandomJoints random(47);
  int boxes = 0;
  for (int k = 0; k < 150; ++k) {
    const Joint joint =
        random.next(random.one_of(std::array{Mode::short_arc, Mode::spray, Mode::pulse, Mode::double_pulse}));
    const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), quick());
    REQUIRE(static_cast<bool>(plan));
    for (std::size_t i = 0; i < plan->passes.size(); ++i) {
      const auto& box = plan->passes[i].box;
      if (!box || !box->exists) continue;
      ++boxes;
      const PassContext& c = plan->contexts[i];
      double least = 1;
      each_vertex(*box, [&](const BoxCorner& corner) {
        least = std::min(least, least_score(c, corner_setting(c, *box, corner)));
      });
      CHECK(least >= -rounding);
      for (int n = 0; n < 100; ++n) least = std::min(least, least_score(c, random_inside(random, *box)));
      CHECK(least >= -rounding);
    }
  }
  CHECK(boxes >= 40);
}

TEST_CASE("a side that stops is stopped by what it says") {
  on_boxes([](const Plan&, const PassResult& pass, const PassContext& c) {
    const LockBox& box = *pass.box;
    for (std::size_t i = 0; i < box_side_count; ++i) {
      const BoxSide& side = box.sides[i];
      if (!side.present || side.fixed) continue;
      for (const BoxStop* stop : {&side.low_stop, &side.high_stop}) {
        if (stop->constraint.id == C::none) continue;
        // A step of a fiftieth of the side beyond the named corner.
        LockBox wider = box;
        const double step = 0.05 * std::max(side.high - side.low, 1e-3);
        (stop == &side.low_stop ? wider.sides[i].low : wider.sides[i].high) += stop == &side.low_stop ? -step : step;
        BoxCorner corner = stop->corner;
        corner[i] = static_cast<signed char>(stop == &side.low_stop ? -1 : 1);
        CHECK(least_score(c, corner_setting(c, wider, corner)) < 0);
      }
    }
  });
}

TEST_CASE("asking for more never gives a larger box") {
  for (Joint joint : example_joints()) {
    CAPTURE(joint.name);
    double share = 2, size = 1e300;
    for (const double confidence : {0.5, 0.55, 0.6, 0.7, 0.8, 0.9}) {
      joint.confidence = given(confidence);
      const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), quick());
      REQUIRE(static_cast<bool>(plan));
      if (!plan->feasible) break;
      const LockBox& box = *plan->passes.front().box;
      const double now = box.exists ? box.share : 0;
      CHECK(now <= share + rounding);
      CHECK(volume(box) <= size * (1 + rounding));
      share = now;
      size = volume(box);
    }
    joint.confidence = {};
    share = 2, size = 1e300;
    for (const double accuracy : {0.0, 0.01, 0.025, 0.05, 0.1}) {
      joint.lock_accuracy_wire_feed = joint.lock_accuracy_voltage = joint.lock_accuracy_peak_current = given(accuracy);
      const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), quick());
      REQUIRE(static_cast<bool>(plan));
      if (!plan->feasible) break;
      const LockBox& box = *plan->passes.front().box;
      CAPTURE(accuracy);
      const double now = box.exists ? box.share : 0;
      CHECK(now <= share + 0.005);  // the search for the share stops at 0.2 %
      CHECK(volume(box) <= size);
      share = now;
      size = volume(box);
    }
  }
}

TEST_CASE("without a box the tolerance that kills it is named, and what would open it does") {
  for (Joint joint : example_joints()) {
    CAPTURE(joint.name);
    joint.lock_accuracy_wire_feed = joint.lock_accuracy_voltage = joint.lock_accuracy_peak_current = given(0.3);
    const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), quick());
    REQUIRE(static_cast<bool>(plan));
    if (!plan->feasible) continue;
    const LockBox& box = *plan->passes.front().box;
    CHECK_FALSE(box.exists);
    CHECK(box.killed_by_accuracy);
    CHECK(box.first.constraint.id != C::none);
    joint.lock_accuracy_wire_feed = joint.lock_accuracy_voltage = joint.lock_accuracy_peak_current =
        given(0.9 * box.accuracy_that_opens * 0.3);
    const Expected<Plan> opened = make_plan(joint, nullptr, builtin_catalog(), quick());
    CHECK_FALSE(opened->passes.front().box->killed_by_accuracy);
  }
}

TEST_CASE("a fixed side stays as given and holds at both its ends") {
  const Expected<Joint> joint =
      read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/fuel-tank-lap.toml", {{"lock.travel", "7..9 mm/s"}});
  REQUIRE(static_cast<bool>(joint));
  const Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), quick());
  const LockBox& box = *plan->passes.front().box;
  REQUIRE(box.exists);
  CHECK(box.sides[1].fixed);
  CHECK(box.sides[1].low == doctest::Approx(7));
  CHECK(box.sides[1].high == doctest::Approx(9));
  each_vertex(box, [&](const BoxCorner& corner) {
    CHECK(least_score(plan->contexts.front(), corner_setting(plan->contexts.front(), box, corner)) >= -rounding);
  });
  CHECK(box.sides[0].high > box.sides[0].low);
}

TEST_CASE("a fixed modulation moves the point to where it holds") {
  const Expected<Joint> joint =
      read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/hull-seam.toml", {{"lock.modulation_frequency", "3.2..5"}});
  REQUIRE(static_cast<bool>(joint));
  const Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), quick());
  const LockBox& box = *plan->passes.front().box;
  REQUIRE(box.exists);
  CHECK(box.centre.travel_mm_per_s < plan->passes.front()[F::travel].value);
  each_vertex(box, [&](const BoxCorner& corner) {
    CHECK(least_score(plan->contexts.front(), corner_setting(plan->contexts.front(), box, corner)) >= -rounding);
  });
}

TEST_CASE("a heavier side grows wider") {
  const std::string file = std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/fuel-tank-lap.toml";
  const auto travel_width = [&](const std::vector<Assignment>& assignments) {
    const Expected<Plan> plan = make_plan(*read_joint(file, assignments), nullptr, builtin_catalog(), quick());
    const BoxSide& travel = plan->passes.front().box->sides[1];
    return travel.high - travel.low;
  };
  CHECK(travel_width({{"lock.weight.travel", "3"}}) > travel_width({}));
}
