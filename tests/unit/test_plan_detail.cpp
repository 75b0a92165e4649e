// Trims, sensitivity, double pulse in depth and clock sectors, as the plan gives them.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "present/lock_words.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"

using namespace seamwright;

namespace {

Plan planned(const std::string& example, const std::vector<Assignment>& assignments = {}) {
  const std::string file = example.empty() ? "" : std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/" + example + ".toml";
  const Expected<Joint> joint = read_joint(file, assignments, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  PlanOptions options;
  options.sensitivity = true;
  Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), options);
  REQUIRE(static_cast<bool>(plan));
  return std::move(*plan);
}

bool conflicts_with(const Plan& plan, C id) {
  const auto& list = plan.passes.front().conflicts;
  return std::any_of(list.begin(), list.end(), [&](const Margin& m) { return m.id == id; });
}

struct JointMetal {
  std::vector<Assignment> joint;
  bool aluminium;
};
// A lap or butt in each of the metals double pulse is used on.
const std::vector<JointMetal>& metals() {
  const auto lap = [](std::string alloy, std::string wire, std::string diameter, std::string thickness) {
    std::vector<Assignment> a{{"joint.type", "lap"},
                              {"joint.thickness", std::move(thickness)},
                              {"material.alloy", std::move(alloy)},
                              {"process.mode", "double-pulse"},
                              {"wire.diameter", std::move(diameter)}};
    if (!wire.empty()) a.push_back({"wire.designation", std::move(wire)});
    return a;
  };
  static const std::vector<JointMetal> list{{lap("S355", "", "1.0", "4"), false},
                                            {lap("316L", "", "1.0", "4"), false},
                                            {lap("2507", "", "1.0", "5"), false},
                                            {lap("5083", "", "1.2", "5"), true},
                                            {lap("DX51D", "CuSi3", "1.0", "3"), false}};
  return list;
}

}  // namespace

TEST_CASE("double pulse in depth holds together for every metal") {
  for (const JointMetal& metal : metals()) {
    CAPTURE(metal.joint[2].value);
    const Plan plan = planned("", metal.joint);
    REQUIRE(plan.feasible);
    const PassResult& pass = plan.passes.front();
    REQUIRE(pass.modulation.has_value());
    const ModulationDetail& d = *pass.modulation;
    CHECK(0.5 * (d.high.wire_feed_m_per_min + d.low.wire_feed_m_per_min) ==
          doctest::Approx(pass[F::wire_feed].value).epsilon(1e-9));
    CHECK(d.high.wire_feed_m_per_min - d.low.wire_feed_m_per_min ==
          doctest::Approx(2 * d.amplitude_m_per_min).epsilon(1e-9));
    // The peak stays, so drops come in proportion to the feed; the base follows.
    CHECK(d.high.pulse_frequency_Hz / d.low.pulse_frequency_Hz ==
          doctest::Approx(d.high.wire_feed_m_per_min / d.low.wire_feed_m_per_min).epsilon(1e-9));
    CHECK(d.high.base_current_A > d.low.base_current_A);
    CHECK(d.high.penetration_mm >= d.low.penetration_mm);
    CHECK(d.high.width_mm > d.low.width_mm);
    CHECK(d.ripple_pitch_mm ==
          doctest::Approx(pass[F::travel].value / pass[F::modulation_frequency].value).epsilon(1e-9));
    CHECK(d.left_at_edge < d.left_under_arc);
    CHECK(d.left_under_arc >= 0.1);
    // Conduction alone leaves more of the swing at the edge of an aluminium pool than of a steel one.
    CAPTURE(d.left_at_edge);
    CHECK((metal.aluminium ? d.left_at_edge > 0.1 : d.left_at_edge < 0.35));
    CHECK(d.bands.size() == 9);
  }
}

TEST_CASE("a modulation of one's own is taken, and named when it breaks a limit") {
  for (const JointMetal& metal : metals()) {
    CAPTURE(metal.joint[2].value);
    const auto with = [&](const char* key, const char* value) {
      std::vector<Assignment> a = metal.joint;
      a.push_back({key, value});
      return planned("", a);
    };
    const Plan usual = planned("", metal.joint);
    const double low = usual.passes.front()[F::modulation_frequency].low;
    const Plan slow = with("modulation.frequency", "0.1");
    CHECK_FALSE(slow.feasible);
    CHECK((conflicts_with(slow, C::modulation_remelting) || conflicts_with(slow, C::modulation_usual)));
    const Plan quick = with("modulation.frequency", "40");
    CHECK_FALSE(quick.feasible);
    CHECK((conflicts_with(quick, C::modulation_usual) || conflicts_with(quick, C::modulation_response)));
    const std::string inside = std::to_string(0.5 * (low + usual.passes.front()[F::modulation_frequency].high));
    const Plan own = with("modulation.frequency", inside.c_str());
    REQUIRE(own.feasible);
    CHECK(own.passes.front()[F::modulation_frequency].value == doctest::Approx(std::stod(inside)));
    const Plan wide = with("modulation.amplitude", "12");
    CHECK_FALSE(wide.feasible);
  }
}

TEST_CASE("peak trim: more peak, less base, and one drop a pulse only near nominal") {
  const Plan plan = planned("hull-seam");
  const auto& peak = plan.passes.front().trims.peak;
  REQUIRE(peak.size() == 6);
  CHECK(peak.front().trim == doctest::Approx(-0.10));
  CHECK(peak.back().trim == doctest::Approx(0.15));
  for (std::size_t i = 1; i < peak.size(); ++i) {
    CHECK(peak[i].base_current_A < peak[i - 1].base_current_A);
    CHECK(peak[i].drops_per_pulse > peak[i - 1].drops_per_pulse);
    CHECK(peak[i].drops_per_pulse == doctest::Approx(1 + peak[i].trim));
  }
  // One drop a pulse holds while the volume melted in the peak, in proportion to it, stays within its window.
  PassContext context = plan.contexts.front();
  for (const double window : {0.15, 0.08}) {
    context.pulse.criterion_window = window;
    for (const PeakTrimEffect& effect : trim_effects(context, plan.passes.front().window.band.best).peak) {
      CAPTURE(effect.trim);
      CHECK(effect.one_drop == (std::abs(effect.trim) <= window + 1e-9));
    }
  }
}

TEST_CASE("arc trim: volts, arc length and heat rise together") {
  for (const char* example : {"hull-seam", "seawater-spool"}) {
    const Plan plan = planned(example);
    const auto& arc = plan.passes.front().trims.arc;
    REQUIRE(arc.size() == 5);
    for (std::size_t i = 1; i < arc.size(); ++i) {
      const double trimmed_V = arc[i].trim_V - arc[i - 1].trim_V;
      CHECK((arc[i].voltage_V - arc[i - 1].voltage_V) == doctest::Approx(trimmed_V).epsilon(1e-6));
      CHECK(arc[i].arc_length_mm > arc[i - 1].arc_length_mm);
      CHECK(arc[i].heat_input_kJ_per_mm > arc[i - 1].heat_input_kJ_per_mm);
    }
    // From the shortest usual arc to the longest.
    CHECK(arc.front().arc_length_mm == doctest::Approx(plan.contexts.front().arc.length_min_mm));
    CHECK(arc.back().arc_length_mm == doctest::Approx(plan.contexts.front().arc.length_max_mm));
  }
  const Plan dip = planned("fuel-tank-lap", {{"process.mode", "short-arc"}});
  CHECK(dip.passes.front().trims.arc.back().trim_V == builtin_catalog().limits->short_arc_trim_V.value);
}

TEST_CASE("dynamics: a faster rise breaks the bridge sooner at a higher peak") {
  const Plan plan = planned("fuel-tank-lap", {{"process.mode", "short-arc"}});
  const auto& dynamics = plan.passes.front().trims.dynamics;
  REQUIRE(dynamics.size() == 3);
  for (std::size_t i = 1; i < dynamics.size(); ++i) {
    CHECK(dynamics[i].rise_A_per_ms > dynamics[i - 1].rise_A_per_ms);
    CHECK(dynamics[i].inductance_mH < dynamics[i - 1].inductance_mH);
    CHECK(dynamics[i].short_circuit_ms < dynamics[i - 1].short_circuit_ms);
    CHECK(dynamics[i].peak_A > dynamics[i - 1].peak_A);
  }
  CHECK(plan.passes.front().trims.peak.empty());
}

TEST_CASE("sensitivity has the signs of the trade") {
  for (const char* example : {"fuel-tank-lap", "hull-seam", "slipway-frame"}) {
    CAPTURE(example);
    const Plan plan = planned(example);
    REQUIRE(plan.feasible);
    const auto& rows = plan.passes.front().sensitivity;
    REQUIRE(rows.size() == 5);
    CHECK(rows[0].current_A < 0);  // longer extension: the wire heats itself
    CHECK(rows[0].penetration_mm <= 0);
    CHECK(rows[1].current_A == doctest::Approx(0));
    CHECK(rows[2].current_A > 0);
    CHECK(rows[2].heat_input_kJ_per_mm > 0);
    CHECK(rows[3].current_A == doctest::Approx(0));
    CHECK(rows[3].heat_input_kJ_per_mm ==
          doctest::Approx(-plan.passes.front()[F::heat_input].value * (1 - 1 / 1.1)).epsilon(1e-9));
    CHECK(rows[4].heat_input_kJ_per_mm > 0);
  }
}

TEST_CASE("a fixed pipe is set by the clock, and all round where one setting holds") {
  const Plan plan = planned("cooling-riser");
  REQUIRE(plan.sectors.sectors.size() == 3);
  double round = 0;
  for (const Sector& s : plan.sectors.sectors) {
    round += s.share;
    REQUIRE(s.passes.size() == plan.passes.size());
  }
  CHECK(round == doctest::Approx(1));
  CHECK(plan.sectors.sectors[0].position == "PE");
  CHECK(plan.sectors.sectors[1].position == "PF");
  CHECK(plan.sectors.sectors[2].position == "PA");
  const auto roles = [&](PassRole role) {
    return std::count_if(plan.passes.begin(), plan.passes.end(),
                         [&](const PassResult& p) { return p.pass.role == role; });
  };
  CHECK(roles(PassRole::root) == 1);
  CHECK(roles(PassRole::fill) >= 1);
  CHECK(roles(PassRole::cap) >= 1);
  for (std::size_t i = 0; i < plan.sectors.compromise.size(); ++i) {
    const CompromisePass& all = plan.sectors.compromise[i];
    for (const Sector& s : plan.sectors.sectors)
      if (all.feasible) CHECK(s.passes[i].feasible);
    // The heavy cap asks for more than one setting can give overhead and uphill alike.
    CHECK(all.feasible == (plan.passes[i].pass.role != PassRole::cap));
    CHECK(all.margin_loss >= 0);
  }
}

TEST_CASE("one setting for the whole pipe holds in every sector") {
  for (const char* position : {"PH", "PJ", "H-L045"}) {
    CAPTURE(position);
    const Plan plan = planned("cooling-riser", {{"joint.position", position}});
    REQUIRE_FALSE(plan.sectors.sectors.empty());
    for (const CompromisePass& all : plan.sectors.compromise) {
      CHECK(all.worst.id != C::none);
      CHECK(all.feasible == (all.band.best_score >= 0));
      if (!all.feasible) continue;
      CHECK(all.band.low.wire_feed_m_per_min <= all.band.best.wire_feed_m_per_min);
      CHECK(all.band.best.wire_feed_m_per_min <= all.band.high.wire_feed_m_per_min);
      for (const std::string_view by : {all.low_by, all.high_by})
        CHECK(std::ranges::any_of(plan.sectors.sectors, [&](const Sector& s) { return s.position == by; }));
    }
  }
  CHECK(planned("seawater-spool").sectors.sectors.empty());
}

TEST_CASE("box in words: rounded inwards, corners by name") {
  LockBox box;
  box.exists = true;
  box.centre.wire_feed_m_per_min = 6.4;
  box.centre.travel_mm_per_s = 7.15;
  box.sides[0] = {true, false, false, 6.0512, 6.8988, {}, {}};
  box.sides[1] = {true, false, false, 7.12, 7.17, {}, {}};
  const std::string words = box_ranges(box, Units::metric);
  CHECK(words.find("wire feed 6.06 to 6.89 m/min") != std::string::npos);
  CHECK(words.find("travel 7.12 to 7.17 mm/s") != std::string::npos);
  CHECK(corner_words({1, -1, 1, 0, 0, 0}, Mode::spray) == "high feed, slow travel, long arc");
  CHECK(corner_words({1, -1, 1, 0, 0, 0}, Mode::short_arc) == "high feed, slow travel, high voltage");
  CHECK(corner_words({}, Mode::spray) == "the recommended point");
}
