// The numbers each pass needs: constants, thicknesses, limits and scales, drawn from a settled case.
#include "window/pass_context.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "seamwright/constraint.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/power_source.hpp"
#include "seamwright/transfer.hpp"
#include "seamwright/window.hpp"
#include "settle/metal_parts.hpp"
#include "settle/resolve.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"
#include "window/point.hpp"
#include "window/trial_constants.hpp"

namespace seamwright {
namespace {

Constant exact(double value) { return {value, 0.0, 0}; }

void set(ConstantSet& constants, K id, const Constant& value) { constants[static_cast<std::size_t>(id)] = value; }

ConstantSet constant_set(const Case& c, const PassContext& p) {
  const WireFamily& w = *c.wire_family;
  const WireSize& size = *c.wire_size;
  const Metal& metal = *c.metal;
  const Limits& lim = *c.catalog->limits;
  ConstantSet k{};
  const bool pulsed = is_pulsed(c.mode);
  set(k, K::melt, is_dip(c.mode) ? w.melt_dip_mm3_per_As : pulsed ? w.melt_pulse_mm3_per_As : w.melt_spray_mm3_per_As);
  set(k, K::resistive, w.resistive_mm4_per_A2s);
  // The band of the law is stated for the law as a whole; pulsed, the rectangle's own band takes its place.
  set(k, K::feed_law, pulsed ? exact(1.0) : w.feed_uncertainty);
  set(k, K::pulse_mean, pulsed ? w.pulse_mean_factor : exact(1.0));
  set(k, K::deposition, w.deposition_efficiency);
  set(k, K::drop_ratio, pulsed ? lim.drop_ratio : exact(1.0));
  set(k, K::peak_share, pulsed ? lim.peak_share : exact(1.0));
  set(k, K::peak_current, c.joint.peak_current_A ? exact(*c.joint.peak_current_A) : size.peak_current_A);
  set(k, K::base_current_min, size.base_current_min_A);
  set(k, K::arc_fixed, w.arc_fixed_V);
  set(k, K::arc_resistance, w.arc_resistance_ohm);
  set(k, K::arc_field, w.arc_field_V_per_mm);
  set(k, K::wire_resistivity, w.wire_resistivity_uohm_m);
  set(k, K::dip_base, lim.short_arc_base_V);
  set(k, K::dip_slope, lim.short_arc_slope_V_per_A);
  set(k, K::dip_offset, w.dip_offset_V);
  Constant transition = size.transition_A;
  for (double* part : {&transition.value, &transition.half_width_90})
    *part = transition_current_A(*part, c.gas.co2_percent, lim.co2_transition_share.value);
  set(k, K::transition, transition);
  if (c.mode == Mode::short_arc) {
    set(k, K::mode_current_min, size.short_arc_min_A);
    set(k, K::mode_current_max, size.short_arc_max_A);
  } else if (c.mode == Mode::controlled_dip) {
    set(k, K::mode_current_min, size.controlled_dip_min_A);
    set(k, K::mode_current_max, size.controlled_dip_max_A);
  } else {
    set(k, K::mode_current_min, transition);
    set(k, K::mode_current_max, size.spray_max_A);
  }
  set(k, K::arc_efficiency, mode_info(*c.catalog, c.mode).arc_efficiency);
  set(k, K::melt_enthalpy, w.melt_enthalpy_J_per_mm3);
  const bool angle_joint = p.joint == JointType::fillet || p.joint == JointType::lap || p.joint == JointType::corner;
  const bool run_on_plate = p.joint == JointType::overlay || p.joint == JointType::edge;
  set(k, K::joint_factor,
      angle_joint    ? lim.joint_factor_fillet
      : run_on_plate ? lim.joint_factor_plate
                     : lim.joint_factor_butt);
  set(k, K::source_radius, lim.source_radius_mm);
  set(k, K::source_radius_per_A, lim.source_radius_mm_per_A);
  set(k, K::conductivity, metal.conductivity_W_per_mmK);
  set(k, K::heat_capacity, metal.heat_capacity_J_per_mm3K);
  set(k, K::melting, metal.melting_C);
  Constant depth = lim.penetration_factor;
  depth.value *= c.position->depth_factor.value;
  depth.half_width_90 *= c.position->depth_factor.value;
  set(k, K::penetration, depth);
  set(k, K::melted_share, lim.melted_section_share);
  set(k, K::width, lim.width_factor);
  set(k, K::gap_credit, lim.gap_credit);
  set(k, K::surface_tension, metal.surface_tension_N_per_m);
  set(k, K::melt_density, metal.melt_density_kg_per_m3);
  set(k, K::drop_surface_tension, w.drop_surface_tension_N_per_m);
  // As a share of the planned extension: a hand varies it, and one that is given is known better.
  set(k, K::extension, c.joint.extension_mm ? lim.extension_given_factor : lim.extension_factor);
  set(k, K::bead_height, lim.bead_height_factor);
  set(k, K::operating_factor, c.prices.present ? c.operating_factor : exact(1.0));
  set(k, K::source_efficiency, c.prices.present ? c.source_efficiency : exact(1.0));
  return k;
}

constexpr double infinity = std::numeric_limits<double>::infinity();

void add_limit(PassContext& p, C id, F field, double low, double high, SourceIndex source) {
  p.limits.push_back({id, field, low, high, source});
}
void add_limit(PassContext& p, C id, double low, double high, SourceIndex source) {
  add_limit(p, id, constraint(id).quantity, low, high, source);
}

// Where the ends of every limit lie; a limit without a row is a wall.
void add_ends(const Case& c, PassContext& p) {
  for (const LimitStrength& row : c.catalog->limit_strengths) {
    LimitEnds& ends = p.ends[static_cast<std::size_t>(row.id)];
    ends = {.last = std::abs(std::log(row.last)),
            .easy = row.easy > 0 ? std::abs(std::log(row.easy)) : 0.0,
            .easy_apart = row.easy > 0,
            .strength = row.strength,
            .source = row.source};
  }
  constexpr double usual_spread = 0.2;  // until they are worked out
  p.spread.fill(usual_spread);
  p.field_spread.fill(usual_spread);
}

void add_travel(const Case& c, PassContext& p) {
  p.aim.travel_follows_feed = !c.mechanised && !c.joint.travel_mm_per_s;
  const TravelRange& row =
      find_travel_range(*c.catalog, c.mechanised, c.alloy->family == Family::aluminium, c.position->id);
  p.aim.easy_travel_mm_per_s = {row.easy_min_mm_per_s, row.easy_max_mm_per_s};
  if (c.joint.travel_mm_per_s) {
    // Given by the user: a wall.
    p.aim.easy_travel_mm_per_s = *c.joint.travel_mm_per_s;
    for (const C id : {C::travel_min, C::travel_max}) p.ends[static_cast<std::size_t>(id)] = {};
    if (c.joint.travel_mm_per_s.value->low == c.joint.travel_mm_per_s.value->high) return;
    add_limit(p, C::travel_min, c.joint.travel_mm_per_s.value->low, infinity, 0);
    add_limit(p, C::travel_max, -infinity, c.joint.travel_mm_per_s.value->high, 0);
    return;
  }
  const auto ends = [&](C id, double easy, double last) {
    p.ends[static_cast<std::size_t>(id)] = {.last = 0,
                                            .easy = std::abs(std::log(easy / last)),
                                            .easy_apart = true,
                                            .strength = Strength::practice,
                                            .source = row.source};
  };
  ends(C::travel_min, row.slow_mm_per_s, row.last_min_mm_per_s);
  ends(C::travel_max, row.easy_max_mm_per_s, row.last_max_mm_per_s);
  add_limit(p, C::travel_min, row.last_min_mm_per_s, infinity, row.source);
  add_limit(p, C::travel_max, -infinity, row.last_max_mm_per_s, row.source);
}

// A minimum heat input is told for plate, and gives way in sheet.
void add_end_of_least_heat(const Case& c, PassContext& p) {
  const double last = least_heat_share(*c.catalog, *c.joint.thickness_mm);
  const HeatRange* row = find_heat_range(*c.catalog, "least-heat-share");
  if (last >= 1 || row == nullptr) return;
  p.ends[static_cast<std::size_t>(C::heat_input_min)] = {
      .last = -std::log(last), .easy = 0, .easy_apart = true, .strength = Strength::practice, .source = row->source};
}

// A weave that the procedure fixes and the joint is swung with: nothing that could give out.
bool weaves_as_fixed(const Case& c, const ProcedureRange& r) {
  if (!fixes_weave(r)) return false;
  const Given<double>& given = r.field == F::weave_width ? c.joint.weave_width_mm : c.joint.weave_dwell_s;
  return given && *given == r.range.low;
}

void add_limits(const Case& c, const PassPlan& pass, PassContext& p) {
  const WireSize& size = *c.wire_size;
  add_limit(p, C::feeder_min, size.feed_min_m_per_min.value, infinity, size.feed_min_m_per_min.source);
  add_limit(p, C::feeder_max, -infinity, size.feed_max_m_per_min.value, size.feed_max_m_per_min.source);
  add_travel(c, p);
  for (const Alloy* alloy : {c.alloy, c.alloy2}) {
    if (alloy == nullptr || (alloy == c.alloy2 && alloy == c.alloy)) continue;
    if (alloy->heat_input_min_kJ_per_mm.value > 0) {
      add_limit(p, C::heat_input_min, alloy->heat_input_min_kJ_per_mm.value, infinity,
                alloy->heat_input_min_kJ_per_mm.source);
      add_end_of_least_heat(c, p);
    }
    if (alloy->heat_input_max_kJ_per_mm.value > 0)
      add_limit(p, C::heat_input_max, -infinity, alloy->heat_input_max_kJ_per_mm.value,
                alloy->heat_input_max_kJ_per_mm.source);
  }
  if (c.equipment) {
    const Equipment& e = *c.equipment;
    const auto add = [&](const std::optional<Interval>& range, C id, F field) {
      if (range) add_limit(p, id, field, range->low > 0 ? range->low : -infinity, range->high, 0);
    };
    for (const auto& [range, id] :
         {std::pair(e.wire_feed_m_per_min, C::equipment_feed), std::pair(e.current_A, C::equipment_current),
          std::pair(e.voltage_V, C::equipment_voltage)})
      add(range, id, constraint(id).quantity);
    if (is_pulsed(c.mode)) {
      add(e.peak_current_A, C::equipment_pulse, F::peak_current);
      add(e.base_current_A, C::equipment_pulse, F::base_current);
      add(e.pulse_frequency_Hz, C::equipment_pulse, F::pulse_frequency);
    }
    if (e.rated_current_A && e.rated_duty)
      add_limit(p, C::equipment_duty, -infinity,
                current_at_duty_A(*e.rated_current_A, *e.rated_duty, e.duty.value_or(*e.rated_duty),
                                  e.current_A ? e.current_A->high : 0.0),
                0);
  }
  for (const UserLimit& limit : c.joint.limits)
    add_limit(p, C::user_limit, limit.field, limit.range.low, limit.range.high, 0);
  if (c.procedure)
    for (const ProcedureRange& r : c.procedure->ranges)
      if (r.binds(p.role, pass.number) && !weaves_as_fixed(c, r))
        add_limit(p, C::procedure, r.field, r.range.low, r.range.high, 0);
}

void add_deposit(const Case& c, const PassPlan& pass, bool last_of_side, PassContext& p) {
  const QualityLevel& q = *c.quality;
  // The passes above make up what a root or fill bead falls short.
  p.deposit.needed_mm2 = (last_of_side ? 1.0 : c.catalog->limits->under_deposit_share.value) * pass.needed_mm2;
  p.deposit.nominal_mm2 = pass.nominal_mm2;
  // A bead on an edge or a plate has no joint to fill, but the hand's allowance all the same.
  if (p.joint == JointType::edge || p.joint == JointType::overlay)
    p.deposit.nominal_mm2 =
        std::max(p.deposit.nominal_mm2, (1 + c.catalog->limits->reinforcement_share.value) * pass.needed_mm2);
  p.deposit.position_max_mm2 = std::max(c.position->deposit_max_mm2.value, pass.nominal_mm2);
  p.source.deposit = c.position->deposit_max_mm2.source;
  p.source.excess = q.source;
  const bool angle_joint = p.joint == JointType::fillet || p.joint == JointType::lap;
  if (angle_joint && last_of_side) {
    const double throat = fillet_throat_mm(c.section.leg_mm, c.section.leg2_mm);
    const double most = throat + std::min(q.throat_fixed_mm + q.throat_share * throat, q.throat_max_mm);
    p.deposit.excess_fillet_max_mm2 = pass.needed_mm2 * (most * most) / (throat * throat);
    // The standard's own number, not an assumed shape of the bead.
    p.ends[static_cast<std::size_t>(C::excess_metal)] = {.source = q.source};
  } else if (!angle_joint && last_of_side) {
    p.deposit.excess_face_fixed_mm = q.face_fixed_mm;
    p.deposit.excess_face_share = q.face_share;
    p.deposit.excess_face_max_mm = q.face_max_mm;
    if (pass.role == PassRole::single && c.sides == 1) {
      p.deposit.excess_root_fixed_mm = q.root_fixed_mm;
      p.deposit.excess_root_share = q.root_share;
      p.deposit.excess_root_max_mm = q.root_max_mm;
    }
  }
}

// Thicknesses, fusion and melt-through limits of one pass.
void add_weld_limits(const Case& c, const PassPlan& pass, PassContext& p) {
  const Limits& lim = *c.catalog->limits;
  const double thicker = std::max(c.section.thickness_mm, c.thickness2_mm);
  const double thinner = std::min(c.section.thickness_mm, c.thickness2_mm);
  p.plate.fusion_thickness_mm = thicker;
  p.plate.burn_thickness_mm = thinner;
  p.plate.back_width_max_mm = infinity;
  p.deposit.cover_width_mm = pass.width_mm;
  p.plate.gap_mm = c.section.gap_mm;
  p.source.fusion = lim.fusion_depth_share.source;
  p.source.burn = lim.burn_extra_butt_mm.source;
  p.source.cold_lap = lim.cold_lap_share.source;
  p.deposit.melted_width_min_mm = lim.cold_lap_share.value * pass.width_mm;
  if (out_of_position(*c.position)) p.plate.pool_support_factor = lim.pool_support_factor.value;
  p.source.pool_support = lim.pool_support_factor.source;
  const bool first = pass.role == PassRole::single || pass.role == PassRole::root;
  const bool square = c.section.preparation == PreparationType::square;
  const double shallow = std::min(lim.fusion_depth_max_mm.value, lim.fusion_depth_share.value * thinner);
  if (!first) {
    p.plate.fusion_depth_mm = lim.fill_fusion_depth_mm.value;
    return;
  }
  switch (p.joint) {
    case JointType::fillet:
    case JointType::lap:
    case JointType::corner:
      p.plate.least_radius_mm = lim.source_radius_leg_share.value * std::sqrt(2.0 * pass.needed_mm2);
      p.plate.fusion_depth_mm = shallow;
      p.plate.back_width_max_mm = thinner + lim.burn_extra_fillet_mm.value;
      p.plate.back_width_last_mm = thinner + lim.burn_last_fillet_mm.value;
      p.plate.melt_support = true;
      break;
    case JointType::butt:
    case JointType::pipe_butt: {
      p.plate.fusion_takes_gap = true;
      if (square) {
        p.plate.fusion_depth_mm = c.sides == 2 ? 0.5 * thicker : thicker;
        if (c.sides == 1) p.plate.back_width_min_mm = lim.full_penetration_back_mm.value;
      } else {
        p.plate.fusion_depth_mm = std::max(c.section.root_face_mm, shallow);
        // The groove's mean thickness near the root carries the heat and the pool.
        const double mean = mean_section_thickness_mm(c.section, lim.groove_mean_width_mm.value);
        p.plate.fusion_thickness_mm = std::min(mean, thicker);
        p.plate.burn_thickness_mm = std::min(mean, thinner);
      }
      p.plate.back_width_max_mm = square ? p.plate.burn_thickness_mm + lim.burn_extra_butt_mm.value
                                         : c.section.root_face_mm + c.section.gap_mm + lim.burn_extra_root_mm.value;
      p.plate.back_width_last_mm = square ? p.plate.burn_thickness_mm + lim.burn_last_butt_mm.value
                                          : c.section.root_face_mm + c.section.gap_mm + lim.burn_last_root_mm.value;
      p.plate.melt_support = true;
      break;
    }
    case JointType::edge:
      p.plate.fusion_depth_mm = shallow;
      break;
    case JointType::overlay:
      p.plate.fusion_depth_mm = shallow;
      p.plate.back_width_max_mm = thinner + lim.burn_extra_fillet_mm.value;
      p.plate.back_width_last_mm = thinner + lim.burn_last_fillet_mm.value;
      break;
  }
  if (c.backed && pass.side == 1) {  // a ceramic is off again when the second side is welded
    p.plate.back_width_max_mm = infinity;
    p.plate.melt_support = false;
  }
}

void add_pulse(const Case& c, PassContext& p) {
  const Limits& lim = *c.catalog->limits;
  p.pulse.peak_time_ms = c.joint.peak_time_ms ? *c.joint.peak_time_ms : 0.0;
  p.pulse.drop_ratio_min = lim.drop_ratio_min.value;
  p.pulse.drop_ratio_max = lim.drop_ratio_max.value;
  p.pulse.peak_time_min_ms = lim.peak_time_min_ms.value;
  p.pulse.peak_time_max_ms = lim.peak_time_max_ms.value;
  p.pulse.base_time_min_ms = lim.base_time_min_ms.value;
  p.pulse.frequency_min_Hz = lim.pulse_frequency_min_Hz.value;
  p.pulse.frequency_max_Hz = lim.pulse_frequency_max_Hz.value;
  p.pulse.duty_max = lim.pulse_duty_max.value;
  p.pulse.criterion_window = lim.peak_criterion_window.value;
  p.pulse.criterion_exponent = lim.peak_criterion_exponent.value;
  p.source.pulse = lim.pulse_frequency_min_Hz.source;
  p.source.base_current = c.wire_size->base_current_min_A.source;
  if (c.mode != Mode::double_pulse) return;
  const Joint& j = c.joint;
  p.modulation.share = j.modulation_share ? *j.modulation_share : lim.modulation_share.value;
  p.modulation.frequency_Hz = j.modulation_frequency_Hz ? *j.modulation_frequency_Hz : 0.0;
  p.modulation.amplitude_m_per_min = j.modulation_amplitude_m_per_min ? *j.modulation_amplitude_m_per_min : 0.0;
  p.modulation.frequency_min_Hz = lim.modulation_frequency_min_Hz.value;
  p.modulation.frequency_max_Hz = lim.modulation_frequency_max_Hz.value;
  p.modulation.amplitude_min_m_per_min = lim.modulation_amplitude_min_m_per_min.value;
  p.modulation.amplitude_max_m_per_min = lim.modulation_amplitude_max_m_per_min.value;
  if (c.equipment && c.equipment->modulation_frequency_Hz) {
    p.modulation.frequency_min_Hz = c.equipment->modulation_frequency_Hz->low;
    p.modulation.frequency_max_Hz = c.equipment->modulation_frequency_Hz->high;
    p.modulation.limit = C::equipment_modulation;
  }
  if (c.equipment && c.equipment->modulation_amplitude_m_per_min) {
    p.modulation.amplitude_min_m_per_min = c.equipment->modulation_amplitude_m_per_min->low;
    p.modulation.amplitude_max_m_per_min = c.equipment->modulation_amplitude_m_per_min->high;
    p.modulation.limit = C::equipment_modulation;
  }
  p.modulation.pool_share = lim.modulation_pool_share.value;
  p.modulation.left_min = lim.modulation_left_min.value;
  p.modulation.swing_min = lim.modulation_swing_min.value;
  p.modulation.pitch_widths = lim.modulation_pitch_widths.value;
  p.modulation.easy_min_Hz = lim.modulation_easy_min_Hz.value;
  p.modulation.easy_max_Hz = lim.modulation_easy_max_Hz.value;
  p.modulation.amplitude_share = lim.modulation_amplitude_share.value;
}

// Constants that no constraint of this pass looks at: their spread need not be asked.
void add_bearing(PassContext& p) {
  p.bearing.fill(true);
  p.bearing_known = true;
  const auto never = [&](std::initializer_list<K> list) {
    for (const K id : list) p.bearing[static_cast<std::size_t>(id)] = false;
  };
  never({K::drop_surface_tension, K::melted_share, K::bead_height});
  if (p.plate.pool_support_factor <= 0 && !p.plate.melt_support) never({K::surface_tension, K::melt_density});
  if (p.arc.fixed_V > 0)
    never({});  // every constant of the voltage bears on the arc that is left
  else if (is_dip(p.mode))
    never({K::arc_fixed, K::arc_resistance, K::arc_field, K::wire_resistivity, K::peak_current, K::base_current_min});
  else
    never({K::dip_base, K::dip_slope, K::dip_offset});
  if (!is_pulsed(p.mode)) never({K::peak_current, K::base_current_min});
  if (is_pulsed(p.mode)) never({K::mode_current_min, K::mode_current_max});
  const bool limited = std::any_of(p.limits.begin(), p.limits.end(), [](const FieldLimit& l) {
    return l.field == F::t8_5 || l.field == F::hardness || l.field == F::ferrite_number || l.field == F::pren;
  });
  if (!limited) never({K::cooling_law, K::cooling_f2, K::hardness_law, K::ferrite_law});
  const bool costs_limited = std::any_of(p.limits.begin(), p.limits.end(),
                                         [](const FieldLimit& l) { return field(l.field).priced != Priced::never; });
  if (!costs_limited) never({K::operating_factor, K::source_efficiency});
  if (limited) p.bearing[static_cast<std::size_t>(K::melted_share)] = true;
}

// The feed that melts a fixed current, as it can be set.
void fix_feed_by_current(double current_A, PassContext& p) {
  const auto feed = feed_at_m_per_min(p, nominal_values(p.constants), {}, F::current, current_A);
  if (!feed) return;
  const double scale = std::pow(10.0, field(F::wire_feed).decimals);
  p.aim.fixed_feed_m_per_min = std::max(1.0, std::round(*feed * scale)) / scale;
}

// A weave that is given spreads the heat; one that a hand makes by itself is in the usual travel already, and is told.
void add_weave(const Case& c, PassContext& p) {
  const Limits& lim = *c.catalog->limits;
  p.weave.dwell_s = c.joint.weave_dwell_s ? *c.joint.weave_dwell_s : lim.weave_dwell_s.value;
  p.weave.dwell_min_s = lim.weave_dwell_min_s.value;
  p.weave.crossing_mm_per_s = lim.weave_crossing_mm_per_s.value;
  p.weave.advance_max_mm = lim.weave_advance_max_mm.value;
  p.weave.width_min_mm = lim.weave_width_min_mm.value;
  p.weave.width_exponent = lim.weave_width_exponent.value;
  if (c.joint.weave_width_mm) {
    p.weave.width_mm = *c.joint.weave_width_mm;
    p.weave.variance_mm2 = weave_variance_mm2(p.weave.width_mm, p.weave.crossing_mm_per_s, p.weave.dwell_s);
  } else if (!c.mechanised && c.alloy->family != Family::aluminium) {
    p.weave.from_mm = c.position->weave_from_mm.value;
  }
}

void fill_context(const Case& c, const PassPlan& pass, bool last_of_side, PassContext& p) {
  const Limits& lim = *c.catalog->limits;
  const WireFamily& w = *c.wire_family;
  std::vector<FieldLimit> memory = std::move(p.limits);
  p = {};
  p.limits = std::move(memory);
  p.limits.clear();
  p.joint = c.section.type;
  p.role = pass.role;
  p.mode = c.mode;
  p.wire.diameter_mm = c.diameter_mm;
  p.wire.extension_mm = c.extension_mm;
  if (c.mode == Mode::controlled_dip)
    p.wire.dip_line = {c.wire_size->dip_line_m_per_min_A.value, c.wire_size->dip_line_zero_A.value,
                       c.wire_size->dip_line_to_A.value, c.wire_size->dip_line_end_A.value};
  const double active_percent = c.gas.co2_percent + c.gas.oxygen_percent, reference = w.gas_reference_percent;
  const double lean_V = active_percent < reference ? w.gas_lean_V.value * (1 - active_percent / reference) : 0.0;
  const double rich_V =
      active_percent > reference ? w.gas_rich_V.value * (active_percent - reference) / (100 - reference) : 0.0;
  const double hydrogen_V = lim.hydrogen_V_per_percent.value * c.gas.hydrogen_percent;
  p.gas.arc_V = w.helium_V_per_percent.value * c.gas.helium_percent + hydrogen_V + lean_V + rich_V;
  p.gas.dip_V = w.dip_helium_V_per_percent.value * c.gas.helium_percent + hydrogen_V + rich_V;
  p.gas.co2_percent = c.gas.co2_percent;
  p.plate.preheat_C = c.preheat_C;
  const bool over_hot_metal = pass.role == PassRole::fill || pass.role == PassRole::cap;
  p.plate.start_C = over_hot_metal ? std::max(c.preheat_C, c.interpass_C) : c.preheat_C;
  p.plate.interpass_C = c.interpass_C;
  add_ends(c, p);
  add_weld_limits(c, pass, p);
  add_deposit(c, pass, last_of_side, p);
  p.use.length_mm = c.joint.length_mm     ? *c.joint.length_mm
                    : c.joint.diameter_mm ? std::numbers::pi * *c.joint.diameter_mm
                                          : c.joint.unit_length_mm;
  p.use.weld_count = c.joint.quantity ? *c.joint.quantity : 0;
  p.use.prices = c.prices;
  const bool spray = c.mode == Mode::spray;
  p.arc.length_min_mm = (spray ? w.arc_length_spray_min_mm : w.arc_length_pulse_min_mm).value;
  p.arc.length_max_mm = (spray ? w.arc_length_spray_max_mm : w.arc_length_pulse_max_mm).value;
  p.arc.fixed_V = c.joint.voltage_V ? *c.joint.voltage_V : 0.0;
  if (c.joint.arc_length_mm) p.arc.length_min_mm = p.arc.length_max_mm = *c.joint.arc_length_mm;
  if (c.section.type == JointType::overlay) {
    p.deposit.step_over_mm = c.joint.step_over_mm ? *c.joint.step_over_mm : 0.0;
    p.deposit.step_over_share = lim.overlay_step_share.value;
    add_overlay_iron(c, p);
    p.deposit.bead_height_known = w.id == "carbon-steel";
    p.deposit.bead_height = {lim.bead_height_log_mm.value, lim.bead_height_area_exponent.value,
                             lim.bead_height_voltage_exponent.value, lim.bead_height_travel_exponent.value};
  }
  add_weave(c, p);
  p.arc.dip_trim_V = lim.short_arc_trim_V.value;
  p.arc.dip_cap_V = lim.short_arc_cap_V.value;
  p.arc.rise_min = w.current_rise_min_A_per_ms.value;
  p.arc.rise_max = w.current_rise_max_A_per_ms.value;
  p.arc.rise_nominal =
      std::clamp(w.current_rise_nominal_A_per_ms.value * c.position->rise_factor.value, p.arc.rise_min, p.arc.rise_max);
  p.arc.short_charge_A_ms = lim.short_circuit_charge_A_ms_per_mm2.value * wire_section_mm2(c.diameter_mm);
  p.efficiency_k = lim.procedure_efficiency.value;
  p.gas.flow_l_per_min = c.gas_flow_l_per_min;
  p.plate.arc_radius_factor = lim.arc_radius_factor.value;
  p.wire.density_kg_per_m3 = w.density_kg_per_m3.value;
  if (is_pulsed(c.mode)) add_pulse(c, p);
  p.aim.feed_scale = lim.point_feed_scale.value;
  p.aim.deposit_scale = lim.point_deposit_scale.value;
  p.aim.wall_scale = lim.point_wall_scale.value;
  p.aim.way_up = lim.point_way_up.value;
  p.aim.rich_share = lim.point_rich_share.value;
  p.lock.feed_share = lim.lock_feed_share.value;
  p.lock.trim_V = lim.lock_trim_V.value;
  p.lock.modulation_share = lim.lock_modulation_share.value;
  p.lock.feed_min_share = lim.lock_feed_min_share.value;
  p.aim.travel_tolerance = lim.travel_tolerance.value;
  p.aim.feed_setting_share = lim.feed_setting_share.value;
  p.aim.fixed_feed_m_per_min = c.joint.wire_feed_m_per_min ? *c.joint.wire_feed_m_per_min : 0.0;
  const double top_A =
      is_dip(c.mode)
          ? (c.mode == Mode::short_arc ? c.wire_size->short_arc_max_A : c.wire_size->controlled_dip_max_A).value
          : c.wire_size->spray_max_A.value;
  // Aluminium is welded nearly as hot in every position.
  double share =
      (c.alloy->family == Family::aluminium ? lim.aluminium_current_share : c.position->easy_current_share).value;
  if (p.joint == JointType::overlay) share = std::min(share, lim.overlay_current_share.value);
  p.aim.easy_current_max_A = top_A > 0 ? share * top_A : infinity;
  // A root over a gap is welded cool whatever the mode: its edges melt away before a hotter arc.
  const bool first = pass.role == PassRole::root || pass.role == PassRole::single;
  if (cool_root(c) && first && c.wire_size->spray_max_A.value > 0) {
    const Constant& of_top = !open_root(c)  ? lim.root_current_share_ceramic
                             : c.sides == 2 ? lim.root_current_share_two_sides
                                            : lim.root_current_share;
    p.aim.easy_current_max_A = std::min(p.aim.easy_current_max_A, of_top.value * c.wire_size->spray_max_A.value);
  }
  p.source.transition = c.wire_size->transition_A.source;
  if (c.mode == Mode::spray) {
    p.mode_min_is_transition = true;
    p.mode_min = C::transition;
    p.mode_max = C::spray_max;
    p.source.mode_max = c.wire_size->spray_max_A.source;
  } else if (c.mode == Mode::short_arc) {
    p.mode_min = C::short_arc_min;
    p.mode_max = C::short_arc_max;
    p.source.mode_min = c.wire_size->short_arc_min_A.source;
    p.source.mode_max = c.wire_size->short_arc_max_A.source;
  } else if (c.mode == Mode::controlled_dip) {
    p.mode_min = C::controlled_dip_min;
    p.mode_max = C::controlled_dip_max;
    p.source.mode_min = c.wire_size->controlled_dip_min_A.source;
    p.source.mode_max = c.wire_size->controlled_dip_max_A.source;
  }
  p.constants = constant_set(c, p);
  if (const TrialRow* trial = find_trial(*c.catalog, w.id, c.mode, c.metal->id)) apply_trial(*trial, p);
  add_metallurgy(c, p);
  add_limits(c, pass, p);
  if (c.mode == Mode::double_pulse) {
    const Interval window = pulse_feed_window(p, nominal_values(p.constants));
    p.pulse.feed_min_m_per_min = window.low;
    p.pulse.feed_max_m_per_min = window.high;
  }
  if (c.joint.current_A) fix_feed_by_current(*c.joint.current_A, p);
  add_bearing(p);
  work_out_spreads(p, aimed_setting(p, nominal_values(p.constants)), p.aim.feed_setting_share);
}

}  // namespace

void fill_context(const Case& c, std::size_t i, PassContext& context) {
  const PassPlan& pass = c.pass_plans[i];
  const bool last_of_side = pass.role == PassRole::single || pass.role == PassRole::cap;
  fill_context(case_of(c, i), pass, last_of_side, context);
}

KeptList<PassContext> pass_contexts(const Case& c) {
  KeptList<PassContext> contexts;
  contexts.resize(c.pass_plans.size());
  for (std::size_t i = 0; i < c.pass_plans.size(); ++i) {
    if (const std::size_t like = earlier_alike(c, i); like != i)
      contexts[i] = contexts[like];
    else
      fill_context(c, i, contexts[i]);
  }
  return contexts;
}

}  // namespace seamwright
