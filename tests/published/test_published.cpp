// The solvers against known numbers: see published.hpp for the files.
#include <doctest/doctest.h>

#include <algorithm>

#include "published/published.hpp"
#include "reference/formulas.hpp"
#include "seamwright/arc.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/equipment.hpp"
#include "seamwright/heat.hpp"
#include "seamwright/modulation.hpp"
#include "seamwright/power_source.hpp"
#include "seamwright/pulse.hpp"
#include "seamwright/section.hpp"
#include "seamwright/transfer.hpp"

using namespace seamwright;
using published::check_published;
using published::Row;

namespace {

BurnoffInput burnoff(const Row& r) {
  return {
      .wire_diameter_mm = r["d"], .extension_mm = r["L"], .melt_mm3_per_As = r["m"], .resistive_mm4_per_A2s = r["c"]};
}

// A pulse with the peak time given, and one with the peak time from the drop.
PulseShape fixed_shape(const Row& r) { return pulse_shape_fixed_time(r["Ip"], r["tp"], r["delta"]); }
PulseSet fixed_pulse(const Row& r) { return pulse_set(burnoff(r), fixed_shape(r), r["W"]); }
PulseShape shape(const Row& r) {
  return pulse_shape(burnoff(r), r["Ip"],
                     {.peak_share = r["phi"],
                      .drop_ratio = r["ratio"],
                      .drop_ratio_min = r["ratio_min"],
                      .drop_ratio_max = r["ratio_max"],
                      .peak_time_min_ms = r["tp_min"],
                      .peak_time_max_ms = r["tp_max"]});
}
PulseSet shaped_pulse(const Row& r) { return pulse_set(burnoff(r), shape(r), r["W"]); }

ArcInput arc(const Row& r) {
  return {.fixed_V = r["fixed"],
          .resistance_ohm = r["R"],
          .field_V_per_mm = r["E"],
          .wire_resistivity_uohm_m = r["rho"],
          .wire_diameter_mm = r["d"],
          .extension_mm = r["L"]};
}

double duty_of_times(const Row& r) { return r["tp"] / (r["tp"] + r["tb"]); }

// Double pulse of a 5xxx wire at a fixed amplitude: every limit but that on the amplitude is open.
Modulation two_phases(const Row& r) {
  ModulationInput in;
  in.burnoff = burnoff(r);
  in.shape = fixed_shape(r);
  in.wire_feed_m_per_min = r["W"];
  in.travel_mm_per_s = 10;
  in.pool_length_mm = 20;
  in.bead_width_mm = 9;
  in.diffusivity_mm2_per_s = 48;
  in.pulse_feed_max_m_per_min = in.burn_through_feed_m_per_min = 100;
  in.source_frequency_max_Hz = 8;
  in.source_amplitude_min_m_per_min = in.source_amplitude_max_m_per_min = r["amplitude"];
  return solve_modulation(in);
}

// The frequency side of a modulation, with any pulse.
Modulation modulation(double travel, double pool_length, double bead_width) {
  ModulationInput in;
  in.burnoff = {.wire_diameter_mm = 1.2, .extension_mm = 15, .melt_mm3_per_As = 1.1, .resistive_mm4_per_A2s = 1.7e-5};
  in.shape = pulse_shape_fixed_time(270, 1.9, 1);
  in.wire_feed_m_per_min = 8;
  in.travel_mm_per_s = travel;
  in.pool_length_mm = pool_length;
  in.bead_width_mm = bead_width;
  in.diffusivity_mm2_per_s = 48;
  in.source_frequency_max_Hz = 8;
  return solve_modulation(in);
}

double energy_per_inch_kJ(const Row& r) {
  const double length_mm = r["L_in"] * mm_per_in;
  const double seconds = r.get("t_s", 1.0);
  const double power_W = r.inputs.contains("P_W") ? r["P_W"] : r["E_J"] / seconds;
  return arc_energy_kJ_per_mm(power_W, length_mm / seconds) * mm_per_in;
}

}  // namespace

TEST_CASE("published: burn-off") {
  check_published("burnoff.csv",
                  {{"wire_feed", [](const Row& r) { return wire_feed_m_per_min(burnoff(r), r["I"], r["I"]); }},
                   {"steady_current", [](const Row& r) { return steady_current_A(burnoff(r), r["W"]); }}});
}

TEST_CASE("published: transfer") {
  check_published(
      "transfer.csv",
      {{"transition_current", [](const Row& r) { return transition_current_A(r["base"], r["co2"], r["share"]); }},
       {"has_spray", [](const Row& r) { return has_spray(r["co2"], r["max"]) ? 1.0 : 0.0; }},
       {"bridge_clearing_current", [](const Row& r) { return bridge_clearing_current_A(r["gamma"], r["d"]); }}});
}

TEST_CASE("published: arc") {
  check_published(
      "arc.csv",
      {{"arc_voltage", [](const Row& r) { return arc_voltage_V(arc(r), r["I"], r["l"]); }},
       {"arc_length", [](const Row& r) { return arc_length_mm(arc(r), r["I"], r["U"]); }},
       {"short_arc_voltage",
        [](const Row& r) {
          return short_arc_voltage_V({r["base"], r["slope"], r["offset"], r["cap"]}, r["I"]);
        }},
       {"inductance", [](const Row& r) { return equivalent_inductance_mH(r["U"], r["I"], r["R"], r["rise"]); }},
       {"current_rise", [](const Row& r) { return current_rise_A_per_ms(r["U"], r["I"], r["R"], r["inductance"]); }}});
}

TEST_CASE("published: pulse") {
  const auto power = [](const Row& r) { return pulse_power_W(r["Ip"], r["Ib"], r["Up"], r["Ub"], r["duty"]); };
  check_published("pulse.csv", {{"pulse_frequency", [](const Row& r) { return fixed_pulse(r).frequency_Hz; }},
                                {"base_current", [](const Row& r) { return fixed_pulse(r).base_current_A; }},
                                {"mean_current", [](const Row& r) { return fixed_pulse(r).mean_current_A; }},
                                {"rms_current", [](const Row& r) { return fixed_pulse(r).rms_current_A; }},
                                {"peak_time", [](const Row& r) { return shape(r).peak_time_ms; }},
                                {"drop_ratio", [](const Row& r) { return shape(r).drop_ratio; }},
                                {"shaped_base_current", [](const Row& r) { return shaped_pulse(r).base_current_A; }},
                                {"shaped_mean_current", [](const Row& r) { return shaped_pulse(r).mean_current_A; }},
                                {"shaped_pulse_frequency", [](const Row& r) { return shaped_pulse(r).frequency_Hz; }},
                                {"shaped_duty", [](const Row& r) { return shaped_pulse(r).duty; }},
                                {"pulse_power", power},
                                {"power_over_product_of_means",
                                 [&](const Row& r) {
                                   // The same mean current and voltage held steady.
                                   const double d = r["duty"];
                                   const double I = d * r["Ip"] + (1 - d) * r["Ib"];
                                   const double U = d * r["Up"] + (1 - d) * r["Ub"];
                                   return power(r) / pulse_power_W(I, I, U, U, d);
                                 }},
                                {"trim_low", [](const Row& r) { return peak_trim_window(r["window"]).low; }},
                                {"trim_high", [](const Row& r) { return peak_trim_window(r["window"]).high; }},
                                {"drops_per_pulse", [](const Row& r) { return drops_per_pulse(r["trim"]); }}});
}

TEST_CASE("published: modulation") {
  check_published(
      "modulation.csv",
      {{"modulation_left", [](const Row& r) { return modulation_left(r["R"], r["F"], r["v"], r["a"]); }},
       {"highest_frequency", [](const Row& r) { return highest_frequency_Hz(r["R"], r["left"], r["v"], r["a"]); }},
       {"high_frequency", [](const Row& r) { return two_phases(r).high.frequency_Hz; }},
       {"high_mean_current", [](const Row& r) { return two_phases(r).high.mean_current_A; }},
       {"low_frequency", [](const Row& r) { return two_phases(r).low.frequency_Hz; }},
       {"low_mean_current", [](const Row& r) { return two_phases(r).low.mean_current_A; }},
       {"phases_mean_current",
        [](const Row& r) {
          const Modulation m = two_phases(r);
          return (m.high.mean_current_A + m.low.mean_current_A) / 2;
        }},
       {"frequency_low", [](const Row& r) { return modulation(r["v"], r["pool_length"], 9).frequency_low_Hz; }},
       {"frequency_recommended", [](const Row& r) { return modulation(r["v"], 20, r["bead_width"]).frequency_Hz; }},
       {"ripple_pitch", [](const Row& r) { return modulation(r["v"], 20, r["bead_width"]).ripple_pitch_mm; }}});
}

TEST_CASE("published: heat") {
  check_published(
      "heat.csv",
      {{"arc_energy", [](const Row& r) { return arc_energy_kJ_per_mm(r["U"] * r["I"], r["v"]); }},
       {"heat_input",
        [](const Row& r) { return heat_input_kJ_per_mm(arc_energy_kJ_per_mm(r["U"] * r["I"], r["v"]), r["k"]); }},
       {"heat_input_from_energy", [](const Row& r) { return arc_energy_kJ_per_mm(r["IE_J"], r["L_mm"]); }},
       {"heat_input_imperial",
        [](const Row& r) {
          return arc_energy_kJ_per_mm(r["U"] * r["I"], r["v_in_per_min"] * mm_per_in / 60.0) * mm_per_in;
        }},
       {"energy_per_inch", energy_per_inch_kJ},
       {"convert_kJ_per_in", [](const Row& r) { return arc_energy_kJ_per_mm(1000.0 * r["x"], mm_per_in); }},
       {"relative_uncertainty_percent",
        [](const Row& r) {
          return 100 * heat_input_relative_uncertainty(r["uU"] / 100, r["uI"] / 100, r["uv"] / 100);
        }},
       {"pulse_power",
        [](const Row& r) { return pulse_power_W(r["Ip"], r["Ib"], r["Up"], r["Ub"], duty_of_times(r)); }},
       {"product_of_means", [](const Row& r) {
          const double d = duty_of_times(r);
          const double I = d * r["Ip"] + (1 - d) * r["Ib"];
          const double U = d * r["Up"] + (1 - d) * r["Ub"];
          return pulse_power_W(I, I, U, U, d);
        }}});
}

TEST_CASE("published: standards") {
  const auto fillet = [](const Row& r) {
    return SectionInput{.type = JointType::fillet, .thickness_mm = 10, .leg_mm = r["leg"]};
  };
  const auto quality = [](const Row& r) {
    const QualityLevel* level = find_quality(builtin_catalog(), r.text("level"));
    REQUIRE(level != nullptr);
    return *level;
  };
  check_published("standards.csv", {{"conventional_load_voltage",
                                     [](const Row& r) {
                                       return short_arc_voltage_V({14, 0.05, 0, 44}, r["I"]);
                                     }},
                                    {"face_excess_limit",
                                     [&](const Row& r) {
                                       const QualityLevel q = quality(r);
                                       return std::min(q.face_max_mm, q.face_fixed_mm + q.face_share * r["b"]);
                                     }},
                                    {"throat_excess_limit",
                                     [&](const Row& r) {
                                       const QualityLevel q = quality(r);
                                       return std::min(q.throat_max_mm, q.throat_fixed_mm + q.throat_share * r["a"]);
                                     }},
                                    {"fillet_throat",
                                     [&](const Row& r) {
                                       const PassRules open{100, 100, 100, 100, 1000, 3, 3, 0, 0, 0};
                                       return plan_passes(fillet(r), open).front().height_mm;
                                     }},
                                    {"fillet_leg", [](const Row& r) { return fillet_leg_mm(r["a"]); }},
                                    {"fillet_area", [&](const Row& r) { return section_area_mm2(fillet(r)); }}});
}

TEST_CASE("published: equipment") {
  check_published(
      "equipment.csv",
      {{"current_at_duty", [](const Row& r) { return current_at_duty_A(r["rated"], r["rated_duty"], r["duty"]); }},
       {"setting_deviation",
        [](const Row& r) {
          const Limits& lim = *builtin_catalog().limits;
          const bool standard = r.text("grade") == "standard";
          return setting_deviation(r["setting"], r["greatest"],
                                   (standard ? lim.setting_accuracy_standard : lim.setting_accuracy_precision).value,
                                   standard ? lim.setting_accuracy_from.value : 0.0);
        }},
       {"dial_reading", [](const Row& r) {
          Dial dial;
          dial.zero_value = r["zero"];
          dial.at_zero = r["at_zero"];
          dial.per_step = r["per_step"];
          return dial_reading(dial, r["value"]);
        }}});
}
