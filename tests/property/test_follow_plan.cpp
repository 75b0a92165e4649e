// A welder who follows a plan as printed: feed and travel rounded to the printed decimals, everything recomputed here
// from the catalog and the solvers alone, the pool by the integral. Nothing of the window code is used.
#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>

#include "seamwright/arc.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/heat.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"
#include "seamwright/pool.hpp"
#include "seamwright/pulse.hpp"
#include "seamwright/transfer.hpp"

using namespace seamwright;

namespace {

double printed(F id, double value) {
  const double scale = std::pow(10.0, field(id).decimals);
  return std::round(value * scale) / scale;
}

struct Followed {
  double current_A = 0, power_W = 0;
  Pool thick, thin;
  double deposit_mm2 = 0, heat_input_kJ_per_mm = 0;
};

// What happens at a feed and travel.
Followed follow(const Case& c, const PassContext& pass, double feed, double travel, double amplitude) {
  const WireFamily& wire = *c.wire_family;
  const WireSize& size = *c.wire_size;
  const Limits& lim = *c.catalog->limits;
  const Metal& metal = *c.metal;
  const double area = std::numbers::pi / 4 * c.diameter_mm * c.diameter_mm;
  const double melt = (is_dip(c.mode)      ? wire.melt_dip_mm3_per_As
                       : is_pulsed(c.mode) ? wire.melt_pulse_mm3_per_As
                                           : wire.melt_spray_mm3_per_As)
                          .value;
  BurnoffInput law{c.diameter_mm, c.extension_mm, melt, wire.resistive_mm4_per_A2s.value};
  if (c.mode == Mode::controlled_dip)
    law.line = {size.dip_line_m_per_min_A.value, size.dip_line_zero_A.value, size.dip_line_to_A.value,
                size.dip_line_end_A.value};
  const double arc_mm = c.joint.arc_length_mm ? *c.joint.arc_length_mm
                        : c.mode == Mode::spray
                            ? 0.5 * (wire.arc_length_spray_min_mm.value + wire.arc_length_spray_max_mm.value)
                            : 0.5 * (wire.arc_length_pulse_min_mm.value + wire.arc_length_pulse_max_mm.value);
  // More or less active than the reference gas of the arc's constants.
  const double active = c.gas.co2_percent + c.gas.oxygen_percent, reference = wire.gas_reference_percent;
  const double rich_V = active > reference ? wire.gas_rich_V.value * (active - reference) / (100 - reference) : 0;
  const double lean_V = active < reference ? wire.gas_lean_V.value * (1 - active / reference) : 0;
  const double dip_gas_V = wire.dip_helium_V_per_percent.value * c.gas.helium_percent + rich_V;
  const ArcInput arc{wire.arc_fixed_V.value + wire.helium_V_per_percent.value * c.gas.helium_percent + rich_V + lean_V,
                     wire.arc_resistance_ohm.value,
                     wire.arc_field_V_per_mm.value,
                     wire.wire_resistivity_uohm_m.value,
                     c.diameter_mm,
                     c.extension_mm};
  Followed f;
  const auto pulsed = [&](double w) {
    const PulseShape shape =
        pulse_shape(law, size.peak_current_A.value,
                    {lim.peak_share.value, lim.drop_ratio.value, lim.drop_ratio_min.value, lim.drop_ratio_max.value,
                     lim.peak_time_min_ms.value, lim.peak_time_max_ms.value});
    const PulseSet set = pulse_set(law, shape, w);
    CHECK(set.base_current_A >= size.base_current_min_A.value);
    CHECK(set.base_time_ms >= lim.base_time_min_ms.value);
    CHECK(set.frequency_Hz >= lim.pulse_frequency_min_Hz.value);
    CHECK(set.frequency_Hz <= lim.pulse_frequency_max_Hz.value);
    CHECK(set.duty <= lim.pulse_duty_max.value);
    // Mean of u i over one period, step by step.
    const double peak_V = arc_voltage_V(arc, shape.peak_current_A, arc_mm);
    const double base_V = arc_voltage_V(arc, set.base_current_A, arc_mm);
    const double period_ms = shape.peak_time_ms + set.base_time_ms;
    const double power =
        (shape.peak_current_A * peak_V * shape.peak_time_ms + set.base_current_A * base_V * set.base_time_ms) /
        period_ms;
    const double ramps = wire.pulse_mean_factor.value;
    return std::pair{ramps * set.mean_current_A, ramps * power};
  };
  if (c.mode == Mode::double_pulse) {
    const auto high = pulsed(feed + amplitude), low = pulsed(feed - amplitude);
    f.current_A = 0.5 * (high.first + low.first);
    f.power_W = 0.5 * (high.second + low.second);
  } else if (c.mode == Mode::pulse) {
    std::tie(f.current_A, f.power_W) = pulsed(feed);
  } else {
    f.current_A = steady_current_A(law, feed);
    const double volts = is_dip(c.mode) ? lim.short_arc_base_V.value + lim.short_arc_slope_V_per_A.value * f.current_A +
                                              wire.dip_offset_V.value + dip_gas_V
                                        : arc_voltage_V(arc, f.current_A, arc_mm);
    f.power_W = f.current_A * volts;
  }
  const JointType type = c.section.type;
  const double factor = type == JointType::butt || type == JointType::pipe_butt ? lim.joint_factor_butt.value
                        : type == JointType::overlay || type == JointType::edge ? lim.joint_factor_plate.value
                                                                                : lim.joint_factor_fillet.value;
  const double wire_mm3_per_s = area * feed * 1000 / 60;
  PoolInput pool;
  pool.net_power_W = factor * (mode_info(*c.catalog, c.mode).arc_efficiency.value * f.power_W -
                               wire_mm3_per_s * wire.melt_enthalpy_J_per_mm3.value);
  pool.travel_mm_per_s = travel;
  pool.source_radius_mm =
      std::max(lim.source_radius_mm.value + lim.source_radius_mm_per_A.value * f.current_A, pass.plate.least_radius_mm);
  pool.conductivity_W_per_mmK = metal.conductivity_W_per_mmK.value;
  pool.heat_capacity_J_per_mm3K = metal.heat_capacity_J_per_mm3K.value;
  pool.rise_to_melting_K = metal.melting_C.value - pass.plate.start_C;
  pool.thickness_mm = pass.plate.fusion_thickness_mm;
  f.thick = pool_by_integral(pool);
  pool.thickness_mm = pass.plate.burn_thickness_mm;
  f.thin = pool_by_integral(pool);
  f.deposit_mm2 = wire.deposition_efficiency.value * wire_mm3_per_s / travel;
  f.heat_input_kJ_per_mm = lim.procedure_efficiency.value * f.power_W / travel / 1000;
  return f;
}

}  // namespace

TEST_CASE("a welder who follows the printed plan stays inside every limit") {
  int plans = 0;
  for (const auto& file : std::filesystem::directory_iterator(SEAMWRIGHT_EXAMPLE_DIR)) {
    if (file.path().extension() != ".toml") continue;
    const Expected<Joint> joint = read_joint(file.path().string(), {}, builtin_catalog());
    if (!joint) continue;  // equipment, procedures and the like are no joints
    CAPTURE(file.path().filename().string());
    const Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), {});
    REQUIRE(static_cast<bool>(plan));
    REQUIRE(plan->feasible);
    ++plans;
    const Limits& lim = *plan->resolved.catalog->limits;
    for (std::size_t i = 0; i < plan->passes.size(); ++i) {
      const Case& c = case_of(plan->resolved, i);
      const PassResult& result = plan->passes[i];
      const PassContext& pass = plan->contexts[i];
      CAPTURE(result.pass.number);
      const double feed = printed(F::wire_feed, result[F::wire_feed].value);
      const double travel = printed(F::travel, result[F::travel].value);
      const double amplitude = printed(F::modulation_amplitude, result[F::modulation_amplitude].value);
      const Followed f = follow(c, pass, feed, travel, amplitude);

      CHECK(f.current_A == doctest::Approx(result[F::current].value).epsilon(0.01));
      CHECK(f.power_W == doctest::Approx(result[F::power].value).epsilon(0.015));
      CHECK(feed >= c.wire_size->feed_min_m_per_min.value);
      CHECK(feed <= c.wire_size->feed_max_m_per_min.value);
      const TravelRange& hand =
          find_travel_range(*c.catalog, c.mechanised, c.alloy->family == Family::aluminium, c.position->id);
      CHECK(travel >= (c.joint.travel_mm_per_s ? c.travel_mm_per_s.low : hand.last_min_mm_per_s));
      CHECK(travel <= (c.joint.travel_mm_per_s ? c.travel_mm_per_s.high : hand.last_max_mm_per_s));
      if (c.mode == Mode::spray) {
        CHECK(has_spray(c.gas.co2_percent, lim.co2_spray_max_percent.value));
        CHECK(f.current_A >=
              transition_current_A(c.wire_size->transition_A.value, c.gas.co2_percent, lim.co2_transition_share.value));
        CHECK(f.current_A <= c.wire_size->spray_max_A.value);
      }
      if (c.mode == Mode::short_arc) {
        CHECK(f.current_A >= c.wire_size->short_arc_min_A.value);
        CHECK(f.current_A <= c.wire_size->short_arc_max_A.value);
      }
      // The bead: enough metal, not too much. Half a printed digit of travel is allowed for.
      CHECK(f.deposit_mm2 >= 0.98 * result.pass.needed_mm2);
      if (result.pass.role == PassRole::single || result.pass.role == PassRole::root) {
        const bool takes_gap = c.section.type == JointType::butt || c.section.type == JointType::pipe_butt;
        const double depth = f.thick.depth_mm + (takes_gap ? lim.gap_credit.value * c.section.gap_mm : 0.0);
        const bool through = f.thin.back_width_mm >= lim.full_penetration_back_mm.value;
        CHECK((through || depth >= 0.99 * pass.plate.fusion_depth_mm));
        if (!c.backed) CHECK(f.thin.back_width_mm <= 1.01 * pass.plate.back_width_last_mm);
      } else {
        CHECK(f.thick.depth_mm >= lim.fill_fusion_depth_mm.value);
      }
      // Six tenths of the assumed limit is where a plan is refused.
      CHECK(f.thick.width_mm >= 0.99 * 0.6 * lim.cold_lap_share.value * result.pass.width_mm);
      for (const Alloy* alloy : {c.alloy, c.alloy2}) {
        if (alloy == nullptr) continue;
        // Told for plate; a thinner one cools no faster with less in proportion.
        constexpr double plate_mm = 10.5;
        if (alloy->heat_input_min_kJ_per_mm.value > 0)
          CHECK(f.heat_input_kJ_per_mm >=
                alloy->heat_input_min_kJ_per_mm.value * std::min(1.0, *c.joint.thickness_mm / plate_mm));
        if (alloy->heat_input_max_kJ_per_mm.value > 0)
          CHECK(f.heat_input_kJ_per_mm <= alloy->heat_input_max_kJ_per_mm.value);
      }
    }
  }
  CHECK(plans >= 8);
}
