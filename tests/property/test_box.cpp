// The lockable box of every example: all its corners, random points inside, the reference field, and demands that only
// make it smaller.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "property/examples.hpp"
#include "property/random_joint.hpp"
#include "seamwright/box.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"
#include "seamwright/pulse.hpp"

using namespace seamwright;
using seamwright::test::example_joints;
using seamwright::test::given;
using seamwright::test::RandomJoints;

namespace {

PlanOptions quick() {
  PlanOptions options;
  options.uncertainties = options.suggestions = options.heat_report = options.detail_tables = false;
  return options;
}

// The settings of a corner of the box, put together from what is printed of it.
Setting corner_setting(const PassContext& c, const LockBox& box, const BoxCorner& corner) {
  constexpr std::size_t travel = 1;
  static_assert(box_fields[travel] == F::travel);
  Setting s = box.centre;
  for (std::size_t i = 0; i < box_side_count; ++i) {
    const BoxSide& side = box.sides[i];
    if (side.present && !side.follows && corner[i] != 0) setting_value(s, i) = corner[i] < 0 ? side.low : side.high;
  }
  if (box.sides[travel].follows)
    s.travel_mm_per_s = travel_for_deposit(c, nominal_values(c.constants), s.wire_feed_m_per_min, box.deposit_mm2) *
                        (1 + corner[travel] * box.travel_tolerance);
  return s;
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
    inside(s.arc_trim_V, -c.arc.dip_trim_V, c.arc.dip_trim_V);
  else if (c.arc.length_max_mm > c.arc.length_min_mm)
    inside(f[F::arc_length], c.arc.length_min_mm, c.arc.length_max_mm);
  if (is_pulsed(c.mode)) {
    const TrimWindow window = peak_trim_window(c.pulse.criterion_window, c.pulse.criterion_exponent);
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

// With travel anywhere in the hand's tolerance about what keeps the bead.
Setting random_inside(RandomJoints& random, const PassContext& c, const LockBox& box) {
  Setting s = box.centre;
  for (std::size_t i = 0; i < box_side_count; ++i)
    if (const BoxSide& side = box.sides[i]; side.present && !side.follows)
      setting_value(s, i) = random.uniform(side.low, side.high);
  if (box.sides[1].follows)
    s.travel_mm_per_s = travel_for_deposit(c, nominal_values(c.constants), s.wire_feed_m_per_min, box.deposit_mm2) *
                        random.uniform(1 - box.travel_tolerance, 1 + box.travel_tolerance);
  return s;
}

double volume(const LockBox& box) {
  double product = 1;
  for (std::size_t i = 0; i < box_side_count; ++i)
    if (box.sides[i].present && !box.sides[i].fixed && !box.sides[i].follows)
      product *= box.sides[i].high - box.sides[i].low;
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
      const double score = least_score(c, random_inside(random, c, *pass.box));
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
      for (int n = 0; n < 100; ++n) least = std::min(least, least_score(c, random_inside(random, c, *box)));
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
      if (!side.present || side.fixed || side.follows) continue;
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
  }
}

TEST_CASE("a display that may be further off leaves less of the feed") {
  for (Joint joint : example_joints()) {
    CAPTURE(joint.name);
    double width = 1e300;
    for (const double accuracy : {0.001, 0.01, 0.025, 0.05, 0.1, 0.2}) {
      joint.lock_accuracy_wire_feed = given(accuracy);
      const Expected<Plan> plan = make_plan(joint, nullptr, builtin_catalog(), quick());
      REQUIRE(static_cast<bool>(plan));
      if (!plan->feasible || !plan->passes.front().box->exists) break;
      const LockBox& box = *plan->passes.front().box;
      CAPTURE(accuracy);
      const auto& inner = box.feed_if_display_off;
      CHECK((!inner || (inner->low >= box.sides[0].low - rounding && inner->high <= box.sides[0].high + rounding)));
      const double now = inner ? inner->high - inner->low : 0;
      CHECK(now <= width + rounding);
      width = now;
      if (!inner) continue;
      // The real feed, wherever the display may be off to, holds at every other corner.
      const PassContext& c = plan->contexts.front();
      for (const double real : {inner->low * (1 - accuracy), inner->high * (1 + accuracy)}) {
        LockBox moved = box;
        moved.sides[0].low = moved.sides[0].high = real;
        each_vertex(moved, [&](const BoxCorner& corner) {
          // The reach is searched for to 0.2 % of three aims.
          CHECK(least_score(c, corner_setting(c, moved, corner)) >= -0.01);
        });
      }
    }
  }
}

TEST_CASE(
    "the set point keeps a quarter of the width from either end, and feed reaches a tenth where nothing stops it") {
  on_boxes([](const Plan&, const PassResult& pass, const PassContext&) {
    const LockBox& box = *pass.box;
    for (std::size_t i = 0; i < box_side_count; ++i) {
      const BoxSide& side = box.sides[i];
      if (!side.present || side.fixed || side.follows) continue;
      const double centre = setting_value(box.centre, i), quarter = 0.25 * (side.high - side.low) * (1 - 1e-9);
      CHECK(centre - side.low >= quarter);
      CHECK(side.high - centre >= quarter);
    }
    if (box.first.constraint.id != C::none || box.sides[0].fixed) return;
    CHECK(box.sides[0].low == doctest::Approx(0.9 * box.centre.wire_feed_m_per_min));
    CHECK(box.sides[0].high == doctest::Approx(1.1 * box.centre.wire_feed_m_per_min));
  });
}

TEST_CASE("a fixed side stays as given and holds at both its ends") {
  const Expected<Joint> joint = read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/fuel-tank-lap.toml",
                                           {{"lock.travel", "7..9 mm/s"}}, builtin_catalog());
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

TEST_CASE("a feed, current or travel that is given leaves the set point where it is, within the ranges") {
  int boxes = 0;
  for (const char* file : {"/keel-bracket.toml", "/fuel-tank-lap.toml", "/slipway-frame.toml"}) {
    const std::string path = std::string(SEAMWRIGHT_EXAMPLE_DIR) + file;
    const auto planned = [&](const std::vector<Assignment>& given) {
      return make_plan(*read_joint(path, given, builtin_catalog()), nullptr, builtin_catalog(), quick());
    };
    const PassResult free = planned({})->passes.front();
    for (const auto& asked : {std::pair("process.wire_feed", F::wire_feed), std::pair("process.current", F::current),
                              std::pair("process.travel", F::travel)}) {
      const std::string key = asked.first;
      const F field = asked.second;
      CAPTURE(path);
      CAPTURE(key);
      const Expected<Plan> plan = planned({{key, fmt::format("{:.3g}", free[field].value)}});
      REQUIRE(static_cast<bool>(plan));
      const PassResult& pass = plan->passes.front();
      if (!pass.box || !pass.box->exists) continue;
      const Setting& point = pass.window.band.best;
      const auto inside = [](double value, const BoxSide& side, double stray) {
        CHECK(value >= (1 - stray) * side.low * (1 - 1e-6));
        CHECK(value <= (1 + stray) * side.high * (1 + 1e-6));
      };
      inside(point.wire_feed_m_per_min, pass.box->sides[0], 0);
      inside(point.travel_mm_per_s, pass.box->sides[1], pass.box->travel_tolerance);
      ++boxes;
    }
  }
  CHECK(boxes >= 6);
}

TEST_CASE("a fixed modulation holds at both its ends") {
  const Expected<Joint> joint = read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/hull-seam.toml",
                                           {{"lock.modulation_frequency", "3.2..5"}}, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  const Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), quick());
  const LockBox& box = *plan->passes.front().box;
  REQUIRE(box.exists);
  each_vertex(box, [&](const BoxCorner& corner) {
    CHECK(least_score(plan->contexts.front(), corner_setting(plan->contexts.front(), box, corner)) >= -rounding);
  });
}

TEST_CASE("a heavier side grows wider") {
  const std::string file = std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/fuel-tank-lap.toml";
  const auto feed_width = [&](const std::vector<Assignment>& assignments) {
    const Expected<Plan> plan =
        make_plan(*read_joint(file, assignments, builtin_catalog()), nullptr, builtin_catalog(), quick());
    const BoxSide& feed = plan->passes.front().box->sides[0];
    return feed.high - feed.low;
  };
  CHECK(feed_width({{"lock.weight.wire_feed", "3"}}) >= feed_width({}));
  CHECK(feed_width({{"lock.weight.wire_feed", "3"}}) > feed_width({{"lock.weight.arc_length_trim", "3"}}));
}
