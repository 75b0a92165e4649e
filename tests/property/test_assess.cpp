// Settings assessed: against the plan of every example and of random joints, against what the plan names at the corners
// of its ranges, and against themselves where they are put in another way.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "property/examples.hpp"
#include "property/random_joint.hpp"
#include "seamwright/assess.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/planner.hpp"

using namespace seamwright;
using seamwright::test::example_joints;
using seamwright::test::given;
using seamwright::test::RandomJoints;

namespace {

PlanOptions quick() {
  PlanOptions options;
  options.suggestions = options.heat_report = options.detail_tables = options.confident = false;
  return options;
}

Plan plan_of(const Joint& joint) {
  auto plan = make_plan(joint, nullptr, builtin_catalog(), quick());
  REQUIRE(static_cast<bool>(plan));
  return std::move(*plan);
}

// The joint with a setting as it is read off the machine. The trims show in voltage and peak current.
Joint with_setting(Joint joint, const Plan& plan, std::size_t pass, const Setting& s) {
  const PassContext& c = plan.contexts[pass];
  const FieldValues f = evaluate(c, nominal_values(c.constants), s);
  joint.mode = given(plan.resolved.mode);
  joint.setting_feed_m_per_min = given(s.wire_feed_m_per_min);
  joint.setting_travel_mm_per_s = given(s.travel_mm_per_s);
  if (s.arc_trim_V != 0) joint.setting_voltage_V = given(f[F::voltage]);
  if (s.peak_trim != 0) joint.setting_peak_A = given(f[F::peak_current]);
  if (c.mode == Mode::double_pulse && s.modulation_frequency_Hz > 0) {
    joint.setting_modulation_Hz = given(s.modulation_frequency_Hz);
    joint.setting_amplitude_m_per_min = given(s.modulation_amplitude_m_per_min);
  }
  return joint;
}

Assessment assessed(const Joint& joint, std::size_t pass = 0, bool nearest = false) {
  auto a = assess(joint, builtin_catalog(), {.pass = pass, .nearest = nearest});
  REQUIRE(static_cast<bool>(a));
  return std::move(*a);
}

bool breaks(const Assessment& a, C id) {
  return std::any_of(a.limits.begin(), a.limits.end(),
                     [&](const AssessedLimit& l) { return l.broken && l.margin.id == id; });
}

}  // namespace

TEST_CASE("the plan's own point assessed gives the plan's numbers to the last digit") {
  int compared = 0;
  for (const Joint& joint : example_joints()) {
    const Plan plan = plan_of(joint);
    for (std::size_t i = 0; i < plan.passes.size(); ++i) {
      const PassResult& pass = plan.passes[i];
      CAPTURE(joint.name);
      CAPTURE(i);
      Joint asked = joint;
      asked.setting_feed_m_per_min = given(pass.window.band.best.wire_feed_m_per_min);
      asked.setting_travel_mm_per_s = given(pass.window.band.best.travel_mm_per_s);
      const Assessment a = assessed(asked, i);
      CHECK(a.plan.resolved.mode == plan.resolved.mode);
      for (const FieldInfo& info : fields()) {
        if (!pass[info.id].present) continue;
        CAPTURE(info.key);
        CHECK(a.values[info.id] == pass[info.id].value);
        if (pass[info.id].plus_minus > 0) CHECK(a.plus_minus[info.id] == pass[info.id].plus_minus);
        ++compared;
      }
      if (!pass.feasible) continue;
      CHECK(a.broken == 0);
      CHECK(a.grade.grade == pass.grade->grade);
      CHECK(a.grade.probability == pass.grade->probability);
    }
  }
  CHECK(compared > 500);
}

TEST_CASE("a setting beyond an end of LOCK breaks the limit that the plan names there") {
  int corners = 0;
  for (const Joint& joint : example_joints()) {
    const Plan plan = plan_of(joint);
    for (std::size_t p = 0; p < plan.passes.size(); ++p) {
      const auto& box = plan.passes[p].box;
      if (!box || !box->exists) continue;
      const PassContext& c = plan.contexts[p];
      for (std::size_t i = 0; i < box_side_count; ++i) {
        const BoxSide& side = box->sides[i];
        for (const BoxStop* stop : {&side.low_stop, &side.high_stop}) {
          if (!side.present || side.fixed || stop->constraint.id == C::none) continue;
          Setting s = box->centre;
          for (std::size_t k = 0; k < box_side_count; ++k) {
            const BoxSide& other = box->sides[k];
            if (!other.present || other.follows || stop->corner[k] == 0) continue;
            setting_value(s, k) = stop->corner[k] < 0 ? other.low : other.high;
          }
          // A twentieth of the width beyond the end.
          const double width = side.high - side.low;
          setting_value(s, i) = stop == &side.low_stop ? side.low - 0.05 * width : side.high + 0.05 * width;
          if (box->sides[1].follows)
            s.travel_mm_per_s =
                travel_for_deposit(c, nominal_values(c.constants), s.wire_feed_m_per_min, box->deposit_mm2) *
                (1 + stop->corner[1] * box->travel_tolerance);
          CAPTURE(joint.name);
          CAPTURE(p);
          CAPTURE(i);
          CAPTURE(constraint(stop->constraint.id).key);
          CHECK(breaks(assessed(with_setting(joint, plan, p, s), p), stop->constraint.id));
          ++corners;
        }
      }
    }
  }
  CHECK(corners > 10);
}

TEST_CASE("current stands for the feed that it melts, voltage for the arc it leaves") {
  RandomJoints random(41);
  for (const Mode mode : {Mode::short_arc, Mode::spray, Mode::pulse}) {
    for (int i = 0; i < 12; ++i) {
      Joint joint = random.next(mode);
      joint.setting_feed_m_per_min = given(random.uniform(2.5, 14.0));
      joint.setting_travel_mm_per_s = given(random.uniform(3.0, 15.0));
      const auto by_feed = assess(joint, builtin_catalog(), {.nearest = false});
      if (!by_feed) continue;  // the wire does not run in this mode
      const double current_A = by_feed->values[F::current];
      if (!(current_A > 5)) continue;
      joint.setting_feed_m_per_min = {};
      joint.setting_current_A = given(current_A);
      joint.setting_voltage_V = given(by_feed->values[F::voltage] + 0.5);
      const Assessment a = assessed(joint);
      CHECK(a.values[F::wire_feed] == doctest::Approx(by_feed->values[F::wire_feed]).epsilon(1e-9));
      CHECK(a.values[F::voltage] == doctest::Approx(*joint.setting_voltage_V).epsilon(1e-12));
      if (mode != Mode::short_arc) CHECK(a.values[F::arc_length] > by_feed->values[F::arc_length]);
      // Both together agree, and are no contradiction.
      joint.setting_feed_m_per_min = given(by_feed->values[F::wire_feed]);
      const Assessment both = assessed(joint);
      REQUIRE_FALSE(both.readings.empty());
      CHECK(both.readings.front().spreads == doctest::Approx(0.0).epsilon(1e-9));
      CHECK_FALSE(both.readings.front().contradicts);
    }
  }
}

TEST_CASE("what is said to explain a contradiction does explain it") {
  RandomJoints random(42);
  int explained = 0;
  for (int i = 0; i < 16; ++i) {
    Joint joint = random.next(i % 2 == 0 ? Mode::spray : Mode::pulse);
    joint.extension_mm = given(16.0);
    joint.setting_feed_m_per_min = given(random.uniform(6.0, 12.0));
    joint.setting_travel_mm_per_s = given(8.0);
    const auto plain = assess(joint, builtin_catalog(), {.nearest = false});
    if (!plain) continue;
    joint.setting_current_A = given(plain->values[F::current] * random.uniform(0.5, 0.75));
    const Assessment a = assessed(joint);
    const SettingReading& r = a.readings.front();
    REQUIRE(r.contradicts);
    CHECK(r.spreads < -1);
    double before = 0;
    for (const Cause& cause : r.causes) {
      CHECK(cause.spreads >= before);  // the likeliest first
      before = cause.spreads;
      Joint other = joint;
      if (cause.key == "feed") {
        other.setting_feed_m_per_min = given(cause.explaining);
      } else if (cause.key == "extension" && cause.explaining > 3.7 && cause.explaining < 50) {
        other.extension_mm = given(cause.explaining);
      } else {
        continue;
      }
      CHECK(assessed(other).values[F::current] == doctest::Approx(r.given).epsilon(1e-6));
      ++explained;
    }
    const PassContext& c = a.plan.contexts.front();
    for (const Cause& constant : r.constants) {
      ConstantValues x = nominal_values(c.constants);
      for (std::size_t k = 0; k < model_constant_count; ++k)
        if (model_constant(static_cast<K>(k)).key == constant.key) x[k] = constant.explaining;
      CHECK(evaluate(c, x, a.setting)[F::current] == doctest::Approx(r.given).epsilon(1e-6));
      ++explained;
    }
  }
  CHECK(explained > 15);
}

TEST_CASE("the nearest setting holds when it is assessed, and is no further than the plan's point") {
  int found = 0;
  for (const Joint& joint : example_joints()) {
    const Plan plan = plan_of(joint);
    const PassResult& pass = plan.passes.front();
    if (!pass.feasible) continue;
    Setting off = pass.window.band.best;
    off.wire_feed_m_per_min *= 1.6;
    off.travel_mm_per_s *= 0.6;
    off.modulation_frequency_Hz = off.modulation_amplitude_m_per_min = 0;
    const Assessment a = assessed(with_setting(joint, plan, 0, off), 0, true);
    CAPTURE(joint.name);
    if (a.broken == 0) continue;
    REQUIRE(a.nearest);
    const Assessment there = assessed(with_setting(joint, plan, 0, a.nearest->setting));
    CHECK(there.broken == 0);
    const auto far = [&](const Setting& s) {
      return std::hypot(std::log(s.wire_feed_m_per_min / off.wire_feed_m_per_min),
                        std::log(s.travel_mm_per_s / off.travel_mm_per_s));
    };
    if (a.nearest->grade <= pass.grade->grade) CHECK(far(a.nearest->setting) <= far(pass.window.band.best) + 0.05);
    CHECK_FALSE(a.nearest->changes.empty());
    ++found;
  }
  CHECK(found > 4);
}

TEST_CASE("a setting that nothing is known of is refused") {
  Joint joint = example_joints().front();
  CHECK_FALSE(has_setting(joint));
  CHECK_FALSE(static_cast<bool>(assess(joint, builtin_catalog(), {})));
  joint.setting_feed_m_per_min = given(8.0);
  CHECK(has_setting(joint));
  CHECK_FALSE(static_cast<bool>(assess(joint, builtin_catalog(), {.pass = 99})));
}
