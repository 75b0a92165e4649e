// The columns of every catalog table, each listed once. The reader, the checks, the table writer, overlays and the
// `catalog` command are made from these lists. A column is called like its member.
#pragma once

#include <concepts>
#include <limits>
#include <type_traits>

#include "catalog/table_list.hpp"
#include "seamwright/catalog.hpp"

namespace seamwright {

// What a column may hold: a number outside [low, high] is a slip of the pen, not a value.
struct Rule {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  bool optional = false;  // may be left out: stays at its default
};
[[nodiscard]] constexpr Rule within(double low, double high) { return {low, high, false}; }
inline constexpr Rule required{};
inline constexpr Rule optional_column{-std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(),
                                      true};

// Row or const Row.
template <class Row, class Of>
concept RowOf = std::same_as<std::remove_const_t<Row>, Of>;

#define SEAMWRIGHT_COLUMN(name, rule) visit(#name, row.name, rule)

template <RowOf<Source> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(key, required);
  SEAMWRIGHT_COLUMN(kind, required);
  SEAMWRIGHT_COLUMN(title, required);
  SEAMWRIGHT_COLUMN(note, optional_column);
}

template <RowOf<Metal> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(conductivity_W_per_mmK, within(0.005, 0.4));
  SEAMWRIGHT_COLUMN(heat_capacity_J_per_mm3K, within(0.001, 0.01));
  SEAMWRIGHT_COLUMN(melting_C, within(400, 1700));
  SEAMWRIGHT_COLUMN(surface_tension_N_per_m, within(0.3, 3));
  SEAMWRIGHT_COLUMN(melt_density_kg_per_m3, within(1500, 10000));
}

template <RowOf<Alloy> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(names, optional_column);
  SEAMWRIGHT_COLUMN(family, required);
  SEAMWRIGHT_COLUMN(metal, required);
  SEAMWRIGHT_COLUMN(group, required);
  SEAMWRIGHT_COLUMN(typical, required);
  SEAMWRIGHT_COLUMN(maximum, optional_column);
  SEAMWRIGHT_COLUMN(carbon_equivalent_max_percent, (Rule{0.1, 1, true}));
  SEAMWRIGHT_COLUMN(interpass_max_C, within(50, 400));
  SEAMWRIGHT_COLUMN(heat_input_min_kJ_per_mm, within(0, 5));
  SEAMWRIGHT_COLUMN(heat_input_max_kJ_per_mm, within(0, 10));
  SEAMWRIGHT_COLUMN(density_kg_per_m3, within(1500, 10000));
  SEAMWRIGHT_COLUMN(fillers, required);
  SEAMWRIGHT_COLUMN(note, optional_column);
}

template <RowOf<UnlikeFiller> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(one, required);
  SEAMWRIGHT_COLUMN(other, required);
  SEAMWRIGHT_COLUMN(filler, required);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<MaterialGroup> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(alloy, required);
  SEAMWRIGHT_COLUMN(text, required);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<WireFamily> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(melt_spray_mm3_per_As, within(0.1, 3));
  SEAMWRIGHT_COLUMN(melt_pulse_mm3_per_As, within(0.1, 3));
  SEAMWRIGHT_COLUMN(melt_dip_mm3_per_As, within(0.1, 3));
  SEAMWRIGHT_COLUMN(resistive_mm4_per_A2s, within(1e-6, 1e-3));
  SEAMWRIGHT_COLUMN(feed_uncertainty, within(1, 1));
  SEAMWRIGHT_COLUMN(pulse_mean_factor, within(0.7, 1.5));
  SEAMWRIGHT_COLUMN(melt_enthalpy_J_per_mm3, within(1, 20));
  SEAMWRIGHT_COLUMN(deposition_efficiency, within(0.5, 1));
  SEAMWRIGHT_COLUMN(arc_fixed_V, within(5, 30));
  SEAMWRIGHT_COLUMN(arc_resistance_ohm, within(0, 0.1));
  SEAMWRIGHT_COLUMN(arc_field_V_per_mm, within(0.1, 5));
  SEAMWRIGHT_COLUMN(wire_resistivity_uohm_m, within(0.01, 2));
  SEAMWRIGHT_COLUMN(helium_V_per_percent, within(0, 0.3));
  SEAMWRIGHT_COLUMN(gas_reference_percent, within(0, 100));
  SEAMWRIGHT_COLUMN(gas_lean_V, within(-10, 10));
  SEAMWRIGHT_COLUMN(gas_rich_V, within(-10, 10));
  SEAMWRIGHT_COLUMN(dip_helium_V_per_percent, within(0, 0.3));
  SEAMWRIGHT_COLUMN(dip_offset_V, within(-10, 10));
  SEAMWRIGHT_COLUMN(arc_length_spray_min_mm, within(1, 15));
  SEAMWRIGHT_COLUMN(arc_length_spray_max_mm, within(1, 15));
  SEAMWRIGHT_COLUMN(arc_length_pulse_min_mm, within(1, 15));
  SEAMWRIGHT_COLUMN(arc_length_pulse_max_mm, within(1, 15));
  SEAMWRIGHT_COLUMN(current_rise_min_A_per_ms, within(5, 500));
  SEAMWRIGHT_COLUMN(current_rise_max_A_per_ms, within(5, 500));
  SEAMWRIGHT_COLUMN(current_rise_nominal_A_per_ms, within(5, 500));
  SEAMWRIGHT_COLUMN(drop_surface_tension_N_per_m, within(0.3, 3));
  SEAMWRIGHT_COLUMN(density_kg_per_m3, within(1500, 10000));
}

template <RowOf<WireSize> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(family, required);
  SEAMWRIGHT_COLUMN(diameter_mm, within(0.5, 3.5));
  SEAMWRIGHT_COLUMN(transition_A, within(0, 600));
  SEAMWRIGHT_COLUMN(short_arc_min_A, within(0, 400));
  SEAMWRIGHT_COLUMN(short_arc_max_A, within(0, 400));
  SEAMWRIGHT_COLUMN(controlled_dip_min_A, within(0, 400));
  SEAMWRIGHT_COLUMN(controlled_dip_max_A, within(0, 400));
  SEAMWRIGHT_COLUMN(spray_max_A, within(0, 800));
  SEAMWRIGHT_COLUMN(peak_current_A, within(0, 800));
  SEAMWRIGHT_COLUMN(base_current_min_A, within(0, 150));
  SEAMWRIGHT_COLUMN(dip_line_m_per_min_A, (Rule{0, 1, true}));
  SEAMWRIGHT_COLUMN(dip_line_zero_A, (Rule{0, 400, true}));
  SEAMWRIGHT_COLUMN(dip_line_to_A, (Rule{0, 400, true}));
  SEAMWRIGHT_COLUMN(dip_line_end_A, (Rule{0, 400, true}));
  SEAMWRIGHT_COLUMN(feed_min_m_per_min, within(0.5, 10));
  SEAMWRIGHT_COLUMN(feed_max_m_per_min, within(3, 30));
}

template <RowOf<Wire> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(names, required);
  SEAMWRIGHT_COLUMN(family, required);
  SEAMWRIGHT_COLUMN(typical, required);
  SEAMWRIGHT_COLUMN(diameters, required);
  SEAMWRIGHT_COLUMN(hydrogen_ml_per_100g, within(0, 20));
  SEAMWRIGHT_COLUMN(gases, required);
  SEAMWRIGHT_COLUMN(note, optional_column);
}

template <RowOf<Gas> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  constexpr Rule percent{0, 100, true};
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(names, required);
  SEAMWRIGHT_COLUMN(argon_percent, percent);
  SEAMWRIGHT_COLUMN(co2_percent, percent);
  SEAMWRIGHT_COLUMN(oxygen_percent, percent);
  SEAMWRIGHT_COLUMN(helium_percent, percent);
  SEAMWRIGHT_COLUMN(nitrogen_percent, percent);
  SEAMWRIGHT_COLUMN(hydrogen_percent, percent);
  SEAMWRIGHT_COLUMN(source, required);
  SEAMWRIGHT_COLUMN(note, optional_column);
}

template <RowOf<Preparation> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(material, required);
  SEAMWRIGHT_COLUMN(thickness_min_mm, within(0, 100));
  SEAMWRIGHT_COLUMN(thickness_max_mm, within(1, 300));
  SEAMWRIGHT_COLUMN(angle_min_deg, within(0, 120));
  SEAMWRIGHT_COLUMN(angle_max_deg, within(0, 120));
  SEAMWRIGHT_COLUMN(gap_min_mm, within(0, 15));
  SEAMWRIGHT_COLUMN(gap_max_mm, within(0, 15));
  SEAMWRIGHT_COLUMN(face_min_mm, within(0, 10));
  SEAMWRIGHT_COLUMN(face_max_mm, within(0, 10));
  SEAMWRIGHT_COLUMN(arc_radius_mm, (Rule{0, 15, true}));
  SEAMWRIGHT_COLUMN(both_sides, optional_column);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<Position> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(names, required);
  SEAMWRIGHT_COLUMN(label, required);
  SEAMWRIGHT_COLUMN(root_thickness_max_mm, within(2, 20));
  SEAMWRIGHT_COLUMN(fillet_leg_max_mm, within(2, 20));
  SEAMWRIGHT_COLUMN(layer_thickness_max_mm, within(2, 20));
  SEAMWRIGHT_COLUMN(layer_split_width_mm, within(5, 50));
  SEAMWRIGHT_COLUMN(deposit_min_mm2, within(5, 100));
  SEAMWRIGHT_COLUMN(deposit_max_mm2, within(5, 150));
  SEAMWRIGHT_COLUMN(depth_factor, within(0.2, 1.5));
  SEAMWRIGHT_COLUMN(easy_current_share, within(0.2, 1));
  SEAMWRIGHT_COLUMN(rise_factor, within(0.5, 2));
  SEAMWRIGHT_COLUMN(weave_from_mm, within(0, 50));
}

template <RowOf<ModeInfo> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(label, required);
  SEAMWRIGHT_COLUMN(arc_efficiency, within(0.4, 1));
  SEAMWRIGHT_COLUMN(extension_diameters, within(4, 30));
  SEAMWRIGHT_COLUMN(gas_flow_min_l_per_min, within(5, 40));
  SEAMWRIGHT_COLUMN(gas_flow_max_l_per_min, within(5, 40));
  SEAMWRIGHT_COLUMN(fits, required);
}

template <RowOf<QualityLevel> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(face_fixed_mm, within(0, 5));
  SEAMWRIGHT_COLUMN(face_share, within(0, 2));
  SEAMWRIGHT_COLUMN(face_max_mm, within(1, 15));
  SEAMWRIGHT_COLUMN(root_fixed_mm, within(0, 5));
  SEAMWRIGHT_COLUMN(root_share, within(0, 2));
  SEAMWRIGHT_COLUMN(root_max_mm, within(1, 15));
  SEAMWRIGHT_COLUMN(throat_fixed_mm, within(0, 5));
  SEAMWRIGHT_COLUMN(throat_share, within(0, 2));
  SEAMWRIGHT_COLUMN(throat_max_mm, within(1, 15));
  SEAMWRIGHT_COLUMN(source, required);
}

template <class Row, class Visit>
requires RowOf<Row, Pairing> || RowOf<Row, Caution> || RowOf<Row, GlossaryWord>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(text, required);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<Limits> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  constexpr Rule share = within(0, 1);
  constexpr Rule factor = within(0.1, 5);
  SEAMWRIGHT_COLUMN(drop_ratio, within(0.5, 2));
  SEAMWRIGHT_COLUMN(drop_ratio_min, within(0.5, 2));
  SEAMWRIGHT_COLUMN(drop_ratio_max, within(0.5, 2));
  SEAMWRIGHT_COLUMN(peak_share, share);
  SEAMWRIGHT_COLUMN(peak_time_min_ms, within(0.2, 10));
  SEAMWRIGHT_COLUMN(peak_time_max_ms, within(0.2, 10));
  SEAMWRIGHT_COLUMN(base_time_min_ms, within(0.1, 10));
  SEAMWRIGHT_COLUMN(pulse_frequency_min_Hz, within(1, 1000));
  SEAMWRIGHT_COLUMN(pulse_frequency_max_Hz, within(1, 1000));
  SEAMWRIGHT_COLUMN(pulse_duty_max, share);
  SEAMWRIGHT_COLUMN(peak_criterion_window, share);
  SEAMWRIGHT_COLUMN(co2_transition_share, within(0, 0.1));
  SEAMWRIGHT_COLUMN(co2_spray_max_percent, within(1, 50));
  SEAMWRIGHT_COLUMN(hydrogen_V_per_percent, within(0, 2));
  SEAMWRIGHT_COLUMN(weave_crossing_mm_per_s, within(1, 200));
  SEAMWRIGHT_COLUMN(weave_dwell_s, within(0, 3));
  SEAMWRIGHT_COLUMN(weave_dwell_min_s, within(0, 3));
  SEAMWRIGHT_COLUMN(weave_advance_max_mm, within(0.5, 20));
  SEAMWRIGHT_COLUMN(weave_width_min_mm, within(0.1, 20));
  SEAMWRIGHT_COLUMN(weave_width_exponent, share);
  SEAMWRIGHT_COLUMN(short_arc_base_V, within(5, 30));
  SEAMWRIGHT_COLUMN(short_arc_slope_V_per_A, within(0, 0.2));
  SEAMWRIGHT_COLUMN(short_arc_cap_V, within(20, 60));
  SEAMWRIGHT_COLUMN(short_arc_trim_V, within(0.1, 6));
  SEAMWRIGHT_COLUMN(procedure_efficiency, within(0.3, 1));
  SEAMWRIGHT_COLUMN(source_radius_mm, within(0.1, 10));
  SEAMWRIGHT_COLUMN(source_radius_mm_per_A, within(0, 0.05));
  SEAMWRIGHT_COLUMN(source_radius_leg_share, share);
  SEAMWRIGHT_COLUMN(joint_factor_plate, within(1, 1));
  SEAMWRIGHT_COLUMN(joint_factor_butt, share);
  SEAMWRIGHT_COLUMN(joint_factor_fillet, share);
  SEAMWRIGHT_COLUMN(melted_section_share, within(0.2, 0.9));
  SEAMWRIGHT_COLUMN(penetration_factor, within(0.3, 3));  // 1 unless a user's own trials say otherwise
  SEAMWRIGHT_COLUMN(width_factor, within(0.3, 3));
  SEAMWRIGHT_COLUMN(fusion_depth_max_mm, within(0.05, 5));
  SEAMWRIGHT_COLUMN(fusion_depth_share, share);
  SEAMWRIGHT_COLUMN(fill_fusion_depth_mm, within(0.05, 5));
  SEAMWRIGHT_COLUMN(cold_lap_share, within(0.3, 1));
  SEAMWRIGHT_COLUMN(pool_support_factor, within(1, 10));
  SEAMWRIGHT_COLUMN(gap_credit, within(0, 5));
  SEAMWRIGHT_COLUMN(burn_extra_butt_mm, within(0, 20));
  SEAMWRIGHT_COLUMN(burn_extra_fillet_mm, within(0, 20));
  SEAMWRIGHT_COLUMN(burn_last_butt_mm, within(0, 20));
  SEAMWRIGHT_COLUMN(burn_last_fillet_mm, within(0, 20));
  SEAMWRIGHT_COLUMN(burn_last_root_mm, within(0, 20));
  SEAMWRIGHT_COLUMN(burn_extra_root_mm, within(0, 10));
  SEAMWRIGHT_COLUMN(full_penetration_back_mm, within(0, 5));
  SEAMWRIGHT_COLUMN(arc_radius_factor, factor);
  SEAMWRIGHT_COLUMN(reinforcement_share, share);
  SEAMWRIGHT_COLUMN(convexity_share, share);
  SEAMWRIGHT_COLUMN(root_layer_mm, within(1, 12));
  SEAMWRIGHT_COLUMN(fill_layer_mm, within(1, 12));
  SEAMWRIGHT_COLUMN(under_deposit_share, within(0.5, 1));
  SEAMWRIGHT_COLUMN(groove_mean_width_mm, within(1, 100));
  SEAMWRIGHT_COLUMN(lap_leg_min_mm, within(0.5, 10));
  SEAMWRIGHT_COLUMN(aluminium_leg_min_mm, within(0.5, 10));
  SEAMWRIGHT_COLUMN(lap_leg_share, within(1, 5));
  SEAMWRIGHT_COLUMN(fillet_leg_min_mm, within(0.5, 6));
  SEAMWRIGHT_COLUMN(probability_enough, within(0.5, 0.99));
  SEAMWRIGHT_COLUMN(mode_metal_ratio, within(1, 3));
  SEAMWRIGHT_COLUMN(wire_sheet_steel_mm, within(0.6, 2.4));
  SEAMWRIGHT_COLUMN(wire_medium_steel_mm, within(0.6, 2.4));
  SEAMWRIGHT_COLUMN(wire_plate_steel_mm, within(0.6, 2.4));
  SEAMWRIGHT_COLUMN(sheet_steel_below_mm, within(0.5, 50));
  SEAMWRIGHT_COLUMN(plate_steel_from_mm, within(0.5, 50));
  SEAMWRIGHT_COLUMN(wire_sheet_aluminium_mm, within(0.6, 2.4));
  SEAMWRIGHT_COLUMN(wire_medium_aluminium_mm, within(0.6, 2.4));
  SEAMWRIGHT_COLUMN(wire_plate_aluminium_mm, within(0.6, 2.4));
  SEAMWRIGHT_COLUMN(sheet_aluminium_below_mm, within(0.5, 50));
  SEAMWRIGHT_COLUMN(plate_aluminium_from_mm, within(0.5, 50));
  SEAMWRIGHT_COLUMN(extension_factor, within(1, 1));
  SEAMWRIGHT_COLUMN(extension_given_factor, within(1, 1));
  SEAMWRIGHT_COLUMN(point_feed_scale, within(0.01, 2));
  SEAMWRIGHT_COLUMN(point_deposit_scale, within(0.01, 2));
  SEAMWRIGHT_COLUMN(point_wall_scale, within(0.001, 0.5));
  SEAMWRIGHT_COLUMN(point_way_up, within(0, 1));
  SEAMWRIGHT_COLUMN(point_rich_share, within(0, 1));
  SEAMWRIGHT_COLUMN(aluminium_current_share, within(0.1, 1));
  SEAMWRIGHT_COLUMN(overlay_current_share, within(0.1, 1));
  SEAMWRIGHT_COLUMN(root_current_share, within(0.1, 1));
  SEAMWRIGHT_COLUMN(root_current_share_two_sides, within(0.1, 1));
  SEAMWRIGHT_COLUMN(root_current_share_ceramic, within(0.1, 1));
  SEAMWRIGHT_COLUMN(lock_feed_share, within(0.01, 0.5));
  SEAMWRIGHT_COLUMN(lock_trim_V, within(0.1, 5));
  SEAMWRIGHT_COLUMN(lock_modulation_share, within(0.01, 0.9));
  SEAMWRIGHT_COLUMN(lock_feed_min_share, within(0, 0.2));
  SEAMWRIGHT_COLUMN(travel_tolerance, within(0, 0.5));
  SEAMWRIGHT_COLUMN(lock_weave_share, within(0, 1));
  SEAMWRIGHT_COLUMN(feed_setting_share, within(0, 0.3));
  SEAMWRIGHT_COLUMN(modulation_frequency_min_Hz, within(0.05, 50));
  SEAMWRIGHT_COLUMN(modulation_frequency_max_Hz, within(0.05, 50));
  SEAMWRIGHT_COLUMN(modulation_amplitude_min_m_per_min, within(0.01, 10));
  SEAMWRIGHT_COLUMN(modulation_amplitude_max_m_per_min, within(0.01, 10));
  SEAMWRIGHT_COLUMN(modulation_pool_share, share);
  SEAMWRIGHT_COLUMN(modulation_left_min, share);
  SEAMWRIGHT_COLUMN(modulation_swing_min, share);
  SEAMWRIGHT_COLUMN(modulation_pitch_widths, within(0.01, 3));
  SEAMWRIGHT_COLUMN(modulation_amplitude_share, share);
  SEAMWRIGHT_COLUMN(modulation_share, share);
  SEAMWRIGHT_COLUMN(modulation_easy_min_Hz, within(0.1, 20));
  SEAMWRIGHT_COLUMN(modulation_easy_max_Hz, within(0.1, 20));
  SEAMWRIGHT_COLUMN(peak_criterion_exponent, within(0.5, 3));
  SEAMWRIGHT_COLUMN(short_arc_plate_max_mm, within(1, 20));
  SEAMWRIGHT_COLUMN(short_arc_plate_last_mm, within(1, 50));
  SEAMWRIGHT_COLUMN(controlled_dip_plate_max_mm, within(1, 20));
  SEAMWRIGHT_COLUMN(short_arc_preferred_max_mm, within(0.5, 20));
  SEAMWRIGHT_COLUMN(co2_stainless_max_percent, within(0.5, 25));
  SEAMWRIGHT_COLUMN(bead_height_log_mm, within(-2, 5));
  SEAMWRIGHT_COLUMN(bead_height_area_exponent, within(0, 1));
  SEAMWRIGHT_COLUMN(bead_height_voltage_exponent, within(-2, 2));
  SEAMWRIGHT_COLUMN(bead_height_travel_exponent, within(-2, 2));
  SEAMWRIGHT_COLUMN(bead_height_factor, within(1, 1));
  SEAMWRIGHT_COLUMN(overlay_step_share, within(0.1, 1));
  SEAMWRIGHT_COLUMN(overlay_height_mm, within(0.5, 8));
  SEAMWRIGHT_COLUMN(groove_area_min_mm2, within(0, 20));
  SEAMWRIGHT_COLUMN(square_gap_share, share);
  SEAMWRIGHT_COLUMN(square_excess_share, share);
  SEAMWRIGHT_COLUMN(square_width_extra_mm, within(0, 10));
  SEAMWRIGHT_COLUMN(gas_flow_aluminium_min_l_per_min, within(5, 40));
  SEAMWRIGHT_COLUMN(gas_flow_aluminium_max_l_per_min, within(5, 40));
  SEAMWRIGHT_COLUMN(setting_accuracy_standard, share);
  SEAMWRIGHT_COLUMN(setting_accuracy_precision, share);
  SEAMWRIGHT_COLUMN(setting_accuracy_from, share);
  SEAMWRIGHT_COLUMN(short_circuit_charge_A_ms_per_mm2, within(1, 1e5));
  SEAMWRIGHT_COLUMN(ambient_C, within(-40, 60));
  SEAMWRIGHT_COLUMN(operating_factor_hand, share);
  SEAMWRIGHT_COLUMN(operating_factor_carriage, share);
  SEAMWRIGHT_COLUMN(source_efficiency, share);
}

template <RowOf<HeatRange> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(unit, optional_column);
  SEAMWRIGHT_COLUMN(low, optional_column);
  SEAMWRIGHT_COLUMN(high, optional_column);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<FilterShadeRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(from_A, within(0, 1000));
  SEAMWRIGHT_COLUMN(to_A, (Rule{1, 1000, true}));
  SEAMWRIGHT_COLUMN(shade, within(1, 20));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<CoolingJointRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(f2_min, within(0.1, 1));
  SEAMWRIGHT_COLUMN(f2_max, within(0.1, 1));
  SEAMWRIGHT_COLUMN(f3, within(0.1, 1));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<CompositionLimit> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(rule, required);
  SEAMWRIGHT_COLUMN(element, required);
  SEAMWRIGHT_COLUMN(low, within(0, 100));
  SEAMWRIGHT_COLUMN(high, within(0, 100));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<NoPreheatRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(hydrogen_over_ml_per_100g, within(0, 50));
  SEAMWRIGHT_COLUMN(hydrogen_to_ml_per_100g, (Rule{0, 50, true}));
  SEAMWRIGHT_COLUMN(ce_percent, within(0.1, 1));
  SEAMWRIGHT_COLUMN(heat_input_kJ_per_mm, within(0.1, 10));
  SEAMWRIGHT_COLUMN(combined_thickness_mm, within(1, 300));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<MinimumPreheatRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(category, required);
  SEAMWRIGHT_COLUMN(over_mm, within(0, 500));
  SEAMWRIGHT_COLUMN(to_mm, (Rule{0, 500, true}));
  SEAMWRIGHT_COLUMN(preheat_C, within(0, 400));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<GradePreheatRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(applies_to, required);
  SEAMWRIGHT_COLUMN(over_mm, within(0, 500));
  SEAMWRIGHT_COLUMN(to_mm, (Rule{0, 500, true}));
  SEAMWRIGHT_COLUMN(preheat_C, within(0, 600));
  SEAMWRIGHT_COLUMN(rule, required);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<StartEndRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(setting, required);
  SEAMWRIGHT_COLUMN(label, required);
  SEAMWRIGHT_COLUMN(applies_to, required);
  SEAMWRIGHT_COLUMN(over_mm, within(0, 500));
  SEAMWRIGHT_COLUMN(to_mm, (Rule{0, 500, true}));
  SEAMWRIGHT_COLUMN(low, within(0, 1000));
  SEAMWRIGHT_COLUMN(high, within(0, 1000));
  SEAMWRIGHT_COLUMN(unit, required);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<SusceptibilityGroup> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(index_to, within(1, 10));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<SusceptibilityRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(restraint, required);
  SEAMWRIGHT_COLUMN(thickness_to_mm, (Rule{0, 500, true}));
  SEAMWRIGHT_COLUMN(A_C, within(0, 400));
  SEAMWRIGHT_COLUMN(B_C, within(0, 400));
  SEAMWRIGHT_COLUMN(C_C, within(0, 400));
  SEAMWRIGHT_COLUMN(D_C, within(0, 400));
  SEAMWRIGHT_COLUMN(E_C, within(0, 400));
  SEAMWRIGHT_COLUMN(F_C, within(0, 400));
  SEAMWRIGHT_COLUMN(G_C, within(0, 400));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<FillerPair> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(kind, required);
  SEAMWRIGHT_COLUMN(kind2, required);
  SEAMWRIGHT_COLUMN(fillers, required);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<FillerTraits> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(magnesium_percent, within(0, 10));
  SEAMWRIGHT_COLUMN(silicon_percent, within(0, 15));
  SEAMWRIGHT_COLUMN(strength_rank, within(1, 9));
  SEAMWRIGHT_COLUMN(crack_resistance_rank, within(1, 9));
  SEAMWRIGHT_COLUMN(colour_match_rank, within(1, 9));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<AluminiumTemperatureRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(preheat_max_C, within(50, 250));
  SEAMWRIGHT_COLUMN(interpass_max_C, within(50, 250));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<QualificationRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(quantity, required);
  SEAMWRIGHT_COLUMN(standard, required);
  SEAMWRIGHT_COLUMN(weld, required);
  SEAMWRIGHT_COLUMN(runs, required);
  SEAMWRIGHT_COLUMN(over, within(0, 500));
  SEAMWRIGHT_COLUMN(to, (Rule{0, 500, true}));
  SEAMWRIGHT_COLUMN(low_share, within(0, 1));
  SEAMWRIGHT_COLUMN(low_at_least, within(0, 100));
  SEAMWRIGHT_COLUMN(high_share, within(0, 5));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<QualifiedGroupRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(standard, required);
  SEAMWRIGHT_COLUMN(group, required);
  SEAMWRIGHT_COLUMN(covers, required);
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<ImperfectionRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(imperfection, required);
  SEAMWRIGHT_COLUMN(level, required);
  SEAMWRIGHT_COLUMN(fixed_mm, within(0, 10));
  SEAMWRIGHT_COLUMN(share, within(0, 2));
  SEAMWRIGHT_COLUMN(max_mm, (Rule{0, 20, true}));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<LimitStrength> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(strength, required);
  SEAMWRIGHT_COLUMN(easy, (Rule{0.2, 5, true}));
  SEAMWRIGHT_COLUMN(last, (Rule{0.2, 5, true}));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<TravelRange> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(mechanised, required);
  SEAMWRIGHT_COLUMN(metal, required);
  SEAMWRIGHT_COLUMN(positions, required);
  SEAMWRIGHT_COLUMN(easy_min_mm_per_s, within(0.3, 60));
  SEAMWRIGHT_COLUMN(easy_max_mm_per_s, within(0.3, 100));
  SEAMWRIGHT_COLUMN(slow_mm_per_s, within(0.3, 60));
  SEAMWRIGHT_COLUMN(last_min_mm_per_s, within(0.2, 60));
  SEAMWRIGHT_COLUMN(last_max_mm_per_s, within(0.3, 200));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<WireTradeSize> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(diameter_mm, within(0.3, 5));
  SEAMWRIGHT_COLUMN(size_mm, within(0.3, 5));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<TrialRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  constexpr Rule factor{0.1, 5, true};
  constexpr Rule offset_V{-15, 15, true};
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(wire_family, required);
  SEAMWRIGHT_COLUMN(mode, required);
  SEAMWRIGHT_COLUMN(metal, required);
  SEAMWRIGHT_COLUMN(feed_law, factor);
  SEAMWRIGHT_COLUMN(pulse_mean, factor);
  SEAMWRIGHT_COLUMN(deposition, factor);
  SEAMWRIGHT_COLUMN(drop_ratio, factor);
  SEAMWRIGHT_COLUMN(peak_share, factor);
  SEAMWRIGHT_COLUMN(peak_current, factor);
  SEAMWRIGHT_COLUMN(arc_fixed, factor);
  SEAMWRIGHT_COLUMN(dip_offset_V, offset_V);
  SEAMWRIGHT_COLUMN(arc_efficiency, factor);
  SEAMWRIGHT_COLUMN(melt_enthalpy, factor);
  SEAMWRIGHT_COLUMN(conductivity, factor);
  SEAMWRIGHT_COLUMN(heat_capacity, factor);
  SEAMWRIGHT_COLUMN(melting, factor);
  SEAMWRIGHT_COLUMN(penetration, factor);
  SEAMWRIGHT_COLUMN(width, factor);
  SEAMWRIGHT_COLUMN(melted_share, factor);
  SEAMWRIGHT_COLUMN(bead_height, factor);
  SEAMWRIGHT_COLUMN(cold_lap_limit, factor);
  SEAMWRIGHT_COLUMN(burn_through_limit, factor);
  SEAMWRIGHT_COLUMN(correlation, optional_column);
}

template <RowOf<ReadingRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(names, optional_column);
  SEAMWRIGHT_COLUMN(unit, required);
  SEAMWRIGHT_COLUMN(u90, (Rule{0, 50, true}));
  SEAMWRIGHT_COLUMN(u90_rel, (Rule{0, 1, true}));
  SEAMWRIGHT_COLUMN(weld_rel, (Rule{0, 1, true}));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<VerdictRow> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  SEAMWRIGHT_COLUMN(id, required);
  SEAMWRIGHT_COLUMN(names, optional_column);
  SEAMWRIGHT_COLUMN(limit, required);
  SEAMWRIGHT_COLUMN(doubt, within(0, 2));
  SEAMWRIGHT_COLUMN(limit_rel, within(0, 2));
  SEAMWRIGHT_COLUMN(source, required);
}

template <RowOf<ReviewRules> Row, class Visit>
void visit_columns(Row& row, Visit&& visit) {
  constexpr Rule share = within(0, 1);
  SEAMWRIGHT_COLUMN(current_most_A, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(voltage_most_V, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(gap_factor, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(frozen_s, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(frozen_samples, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(bad_rows_share, share);
  SEAMWRIGHT_COLUMN(arc_on_A, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(arc_off_A, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(arc_voltage_min_V, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(arc_voltage_max_V, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(arc_feed_m_per_min, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(arc_out_s, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(gap_ends_s, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(weld_least_s, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(short_below_V, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(short_above_V, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(short_least_ms, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(short_rate_least_Hz, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(short_samples, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(pulse_min_Hz, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(pulse_max_Hz, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(pulse_contrast, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(pulse_irregularity, share);
  SEAMWRIGHT_COLUMN(pulse_autocorrelation, share);
  SEAMWRIGHT_COLUMN(pulse_share, share);
  SEAMWRIGHT_COLUMN(pulse_samples, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(ramp_samples, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(waveform_Hz, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(pulse_shorts_share, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(modulation_min_Hz, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(modulation_max_Hz, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(modulation_depth, share);
  SEAMWRIGHT_COLUMN(modulation_share, share);
  SEAMWRIGHT_COLUMN(modulation_periods, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(mean_s, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(excursion_s, within(1e-6, 1e5));
  SEAMWRIGHT_COLUMN(seam_step_mm, within(1e-6, 1e5));
}

#undef SEAMWRIGHT_COLUMN

// The tables that hold many rows, by their name in data files: `visit(name, rows)`. `Tables` is a Catalog or anything
// with the same member names.
template <class Tables, class Visit>
void visit_tables(Tables& tables, Visit&& visit) {
#define SEAMWRIGHT_TABLE(kind, Row, rows, text) visit(#kind, tables.rows);
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
}

}  // namespace seamwright
