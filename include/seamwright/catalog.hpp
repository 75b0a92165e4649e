// The catalog: what alloys, wires, gases, preparations, positions and limits the program knows.
//
// `data/*.toml` holds it as text. `seamwright-catalog`, a small program built first, reads those files, checks every
// row and every source key (a bad one fails the build) and writes constant tables, so that the binary parses nothing
// at start. Every struct below lists its columns in one `visit_columns` function (catalog_columns.hpp), from which the
// reader, the checker, the table writer and the `catalog` command are made.
//
// Text lists (names, diameters) are kept as one string with '|' between the items.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string_view>

#include "seamwright/constant.hpp"
#include "seamwright/constraint_id.hpp"
#include "seamwright/heat_tables.hpp"
#include "seamwright/mode.hpp"
#include "seamwright/review_rules.hpp"

namespace seamwright {

// Alloying elements, % by mass.
enum class Element : std::uint8_t { C, Si, Mn, P, S, Cr, Ni, Mo, N, Cu, V, Nb, Ti, Al, B, W, Mg, Zn, Fe, Zr, count };
inline constexpr std::size_t element_count = static_cast<std::size_t>(Element::count);
[[nodiscard]] std::string_view element_symbol(Element e);
[[nodiscard]] std::optional<Element> element_by_symbol(std::string_view symbol);  // "Cr", case counts
struct Composition {
  std::array<double, element_count> percent{};
  SourceIndex source = 0;
  [[nodiscard]] double operator[](Element e) const { return percent[static_cast<std::size_t>(e)]; }
  [[nodiscard]] double& operator[](Element e) { return percent[static_cast<std::size_t>(e)]; }
};

// Base-metal families. They choose the rules (which fillers, gases, joint preparations, heat limits apply).
enum class Family : std::uint8_t {
  carbon_steel,
  austenitic,
  duplex,
  super_duplex,
  aluminium,
  nickel,
  ferritic,
  copper
};
inline constexpr std::size_t family_count = 8;
[[nodiscard]] std::string_view family_key(Family family);
[[nodiscard]] std::optional<Family> family_by_key(std::string_view key);
[[nodiscard]] std::string_view family_label(Family family);
[[nodiscard]] constexpr bool is_duplex(Family f) { return f == Family::duplex || f == Family::super_duplex; }
[[nodiscard]] constexpr bool is_stainless(Family f) {
  return f == Family::austenitic || f == Family::duplex || f == Family::super_duplex || f == Family::ferritic;
}

struct Source {
  std::string_view key;
  SourceKind kind = SourceKind::assumed;
  std::string_view title;  // what it is; for practice, memory and assumed: what the entry stands for
  std::string_view note;
};

// Effective constants of the conduction field and of the melt, by metal.
struct Metal {
  std::string_view id;  // "carbon-steel", "austenitic", "ferritic", "duplex", "al-mg", "nickel", "cuni-10" ...
  Constant conductivity_W_per_mmK;
  Constant heat_capacity_J_per_mm3K;
  Constant melting_C;
  Constant surface_tension_N_per_m;
  Constant melt_density_kg_per_m3;
};

struct Alloy {
  std::string_view id;     // the name the output uses: "S355", "316L", "2507", "EN AW-5083"
  std::string_view names;  // every accepted spelling besides the id: EN number, UNS, AISI, grade
  Family family = Family::carbon_steel;
  std::string_view metal;  // id of a Metal
  std::string_view group;  // ISO/TR 15608 group
  Composition typical;
  Composition maximum;                     // zero where the catalog has none
  Constant carbon_equivalent_max_percent;  // CE (IIW) the delivery standard allows; 0: none known
  Constant interpass_max_C;
  Constant heat_input_min_kJ_per_mm;  // 0: no limit
  Constant heat_input_max_kJ_per_mm;  // 0: no limit
  Constant density_kg_per_m3;
  std::string_view fillers;  // ids of wires, first choice first
  std::string_view note;
};

// Wire families: melting and transfer constants shared by the wires of one kind.
struct WireFamily {
  std::string_view id;             // "carbon-steel", "stainless-cored", "aluminium-5xxx", "bronze" ...: see wire_metal
  Constant melt_spray_mm3_per_As;  // m of the burn-off law
  Constant melt_pulse_mm3_per_As;
  Constant melt_dip_mm3_per_As;
  Constant resistive_mm4_per_A2s;  // c of the burn-off law
  Constant feed_uncertainty;       // relative 90 % half-width of the law as a whole; value 1
  Constant pulse_mean_factor;      // mean current of a pulse with its ramps over the rectangular one
  Constant melt_enthalpy_J_per_mm3;
  Constant deposition_efficiency;
  Constant arc_fixed_V;
  Constant arc_resistance_ohm;
  Constant arc_field_V_per_mm;
  Constant wire_resistivity_uohm_m;
  Constant helium_V_per_percent;
  // Voltage of the arc in a gas with less CO2 and oxygen than the reference gas of these constants, at none of them;
  // and with more of them, at 100 %.
  double gas_reference_percent = 0;
  Constant gas_lean_V, gas_rich_V;
  Constant dip_helium_V_per_percent;  // of the short-arc line
  Constant dip_offset_V;              // added to the short-arc line
  Constant arc_length_spray_min_mm;
  Constant arc_length_spray_max_mm;
  Constant arc_length_pulse_min_mm;
  Constant arc_length_pulse_max_mm;
  Constant current_rise_min_A_per_ms;
  Constant current_rise_max_A_per_ms;
  Constant current_rise_nominal_A_per_ms;
  Constant drop_surface_tension_N_per_m;
  Constant density_kg_per_m3;
};

// Limits that hang on wire family and diameter. A value of 0 means the catalog has none: the mode does not exist there
// (transition_A 0: no spray; peak_current_A 0: no pulse; short_arc_max_A or controlled_dip_max_A 0: not that dip mode).
struct WireSize {
  std::string_view family;  // id of a WireFamily
  double diameter_mm = 0;
  Constant transition_A;  // globular to spray, argon-rich gas without CO2
  Constant short_arc_min_A;
  Constant short_arc_max_A;
  Constant controlled_dip_min_A;  // dip transfer with the current controlled through each short circuit
  Constant controlled_dip_max_A;
  Constant spray_max_A;  // rotating transfer or published upper end
  Constant peak_current_A;
  Constant base_current_min_A;
  // Measured feed against current in controlled dip, in place of the burn-off law up to a current; 0: none is known.
  Constant dip_line_m_per_min_A, dip_line_zero_A, dip_line_to_A, dip_line_end_A;
  Constant feed_min_m_per_min;  // practical range of the feeder and the liner for this wire
  Constant feed_max_m_per_min;
};

// A diameter of the inch trade that is no metric size, and the WireSize whose currents hold for it.
struct WireTradeSize {
  std::string_view id;  // "0.045 in"
  double diameter_mm = 0;
  double size_mm = 0;
  SourceIndex source = 0;
};

struct Wire {
  std::string_view id;      // ISO designation: "G 3Si1", "19 12 3 L", "S Al 5356"
  std::string_view names;   // AWS classification and short forms: "ER70S-6|G3Si1|..."
  std::string_view family;  // id of a WireFamily
  Composition typical;
  std::string_view diameters;     // "0.8|0.9|1.0|1.2|1.6"
  Constant hydrogen_ml_per_100g;  // 0: does not apply
  std::string_view gases;         // ids of gases, first choice first
  std::string_view note;
};

// The metal a wire lays, solid or metal-cored, told by the name of its family.
enum class WireMetal : std::uint8_t { steel, stainless, duplex, aluminium, nickel, copper };
[[nodiscard]] WireMetal wire_metal(const Wire& wire);
// Silicon, aluminium or tin bronze: on steel it brazes.
[[nodiscard]] bool is_bronze(const Wire& wire);

// The alloy that stands for a group of ISO/TR 15608 where no grade is named.
struct MaterialGroup {
  std::string_view id;     // "group 1.2"
  std::string_view alloy;  // id of an Alloy
  std::string_view text;   // what belongs to the group
  SourceIndex source = 0;
};

// The filler between two metals that no one filler list serves.
struct UnlikeFiller {
  std::string_view id;
  std::string_view one, other;  // '|' lists of family keys, metals and filler ids; `other` may be "any"
  std::string_view filler;
  SourceIndex source = 0;
};

struct Gas {
  std::string_view id;     // ISO 14175 symbol with the usual mixture: "M21-ArC-18"; short group symbols are in names
  std::string_view names;  // "M21|82Ar/18CO2|..."
  double argon_percent = 0, co2_percent = 0, oxygen_percent = 0, helium_percent = 0, nitrogen_percent = 0,
         hydrogen_percent = 0;
  SourceIndex source = 0;
  std::string_view note;
};

struct Preparation {
  std::string_view id;        // "square", "single-v", "double-v", "single-bevel", "double-bevel", "u", "j"
  std::string_view material;  // "steel", "aluminium", "duplex" (duplex, super duplex, nickel: sluggish pools)
  double thickness_min_mm = 0, thickness_max_mm = 0;
  double angle_min_deg = 0, angle_max_deg = 0;  // included angle
  double gap_min_mm = 0, gap_max_mm = 0;
  double face_min_mm = 0, face_max_mm = 0;
  double arc_radius_mm = 0;  // u and j
  bool both_sides = false;
  SourceIndex source = 0;
};

struct Position {
  std::string_view id;     // ISO 6947: "PA" ... "PJ", "H-L045", "J-L045"
  std::string_view names;  // "1G|1F|flat"
  std::string_view label;  // "flat"
  Constant root_thickness_max_mm;
  Constant fillet_leg_max_mm;
  Constant layer_thickness_max_mm;
  Constant layer_split_width_mm;
  Constant deposit_min_mm2;  // usual deposit cross-section a pass: low and high end of the usual range
  Constant deposit_max_mm2;
  Constant depth_factor;        // penetration against flat
  Constant easy_current_share;  // of the mode's top current, up to which a setting is looked for
  Constant rise_factor;         // current rise against flat: above 1 is harder
  Constant weave_from_mm;       // deposit width from which a hand weaves here; 0: stringers
};

struct ModeInfo {
  Mode id = Mode::short_arc;
  std::string_view label;
  Constant arc_efficiency;
  Constant extension_diameters;  // electrode extension when not given, in wire diameters
  Constant gas_flow_min_l_per_min;
  Constant gas_flow_max_l_per_min;
  std::string_view fits;  // one sentence: where the trade uses it
};

// ISO 5817 quality levels: allowed excess = fixed + share * width, at most max.
struct QualityLevel {
  std::string_view id;                                              // "B", "C", "D"
  double face_fixed_mm = 0, face_share = 0, face_max_mm = 0;        // excess weld metal on the face of a butt
  double root_fixed_mm = 0, root_share = 0, root_max_mm = 0;        // excess at the root, t > 3 mm
  double throat_fixed_mm = 0, throat_share = 0, throat_max_mm = 0;  // fillet throat above nominal
  SourceIndex source = 0;
};

// A filler and alloy, gas and alloy, or mode and alloy pairing that is kept when the user asks for it, but warned
// about.
struct Pairing {
  std::string_view id;
  std::string_view text;  // the warning: what is wrong, what follows, what to do instead
  SourceIndex source = 0;
};

struct Caution {
  std::string_view id;
  std::string_view text;
  SourceIndex source = 0;
};

// A word of the trade that outputs use, told to who does not know it.
struct GlossaryWord {
  std::string_view id;  // the word, as it is printed
  std::string_view text;
  SourceIndex source = 0;
};

// Single numbers of the model. Each is a member, so a missing or misspelt row fails the build.
struct Limits {
  Constant drop_ratio;  // drop diameter / wire diameter
  Constant drop_ratio_min, drop_ratio_max;
  Constant peak_share;  // share of the drop melted in the peak
  Constant peak_time_min_ms, peak_time_max_ms;
  Constant base_time_min_ms;
  Constant pulse_frequency_min_Hz, pulse_frequency_max_Hz;
  Constant pulse_duty_max;
  Constant peak_criterion_window;  // relative, +-0.15
  Constant co2_transition_share;   // relative rise of the transition a percent CO2
  Constant co2_spray_max_percent;
  Constant hydrogen_V_per_percent;  // what hydrogen adds to the voltage
  // Weaving by hand: speed across, usual and shortest stop at each side, usual advance a weave, narrowest weave.
  Constant weave_crossing_mm_per_s, weave_dwell_s, weave_dwell_min_s, weave_advance_max_mm, weave_width_min_mm;
  Constant weave_width_exponent;  // of how far a swung arc stretches its source: what the melted width grows by
  Constant short_arc_base_V, short_arc_slope_V_per_A, short_arc_cap_V;
  Constant short_arc_trim_V;      // half width of the setting window
  Constant procedure_efficiency;  // k of EN 1011-1
  Constant source_radius_mm, source_radius_mm_per_A, source_radius_leg_share;
  Constant joint_factor_plate, joint_factor_butt, joint_factor_fillet;
  Constant melted_section_share;                     // melted section over width times depth
  Constant penetration_factor, width_factor;         // 1, half-width 0.30 and 0.20: the field against real beads
  Constant fusion_depth_max_mm, fusion_depth_share;  // fillet root: min(max, share * d)
  Constant fill_fusion_depth_mm;
  Constant cold_lap_share;       // melted width over the deposit's width from which the toes wet
  Constant pool_support_factor;  // out of position: pool length times width <= factor * surface tension / (density * g)
  Constant gap_credit;           // depth credited per mm of gap
  Constant burn_extra_butt_mm, burn_extra_fillet_mm;                   // back width <= d + extra
  Constant burn_last_butt_mm, burn_last_fillet_mm, burn_last_root_mm;  // the same, where a plan is refused
  Constant burn_extra_root_mm;  // groove root: back width <= root face + gap + extra
  Constant full_penetration_back_mm;
  Constant arc_radius_factor;  // r_a = factor * source radius
  Constant reinforcement_share, convexity_share;
  Constant root_layer_mm, fill_layer_mm;  // nominal layer heights
  Constant under_deposit_share;  // a root or fill bead may fall this far short of its planned section: those above make
                                 // it up
  Constant groove_mean_width_mm;  // half width over which the groove's thickness is averaged for conduction
  // Leg when not given: a lap's and an aluminium fillet's is at least this, up to so many thinner sheets.
  Constant lap_leg_min_mm, aluminium_leg_min_mm, lap_leg_share;
  Constant fillet_leg_min_mm;
  Constant probability_enough;  // from which the trade's order of modes decides
  Constant mode_metal_ratio;    // a mode that needs so much more metal than another is not taken before it
  // Wire diameter when not given: sheet below one thickness, plate from another, medium between.
  Constant wire_sheet_steel_mm, wire_medium_steel_mm, wire_plate_steel_mm, sheet_steel_below_mm, plate_steel_from_mm;
  Constant wire_sheet_aluminium_mm, wire_medium_aluminium_mm, wire_plate_aluminium_mm, sheet_aluminium_below_mm,
      plate_aluminium_from_mm;
  Constant extension_factor, extension_given_factor;  // real extension over the planned or the stated one
  Constant point_feed_scale, point_deposit_scale, point_wall_scale;  // of the search for the point, in logarithms
  Constant point_way_up;  // how far up the easy feeds the point is aimed, in logarithms
  Constant
      point_rich_share;  // of the deposit that may stand, up to which a bead is made larger for a thick wire's sake
  Constant aluminium_current_share;  // of a wire's top current, in any position
  Constant overlay_current_share;    // of a wire's top current, on an overlay
  // Of a wire's top current, for an open root, and for one on a ceramic.
  Constant root_current_share, root_current_share_two_sides, root_current_share_ceramic;
  Constant lock_feed_share, lock_trim_V, lock_modulation_share;  // what ranges to lock aim at, either way
  Constant lock_feed_min_share;                                  // narrower than that is not worth locking
  Constant travel_tolerance;                                     // of a hand, relative
  Constant lock_weave_share;                                     // how much wider a hand may weave than planned
  Constant feed_setting_share;                                   // of a feed, relative
  Constant modulation_frequency_min_Hz, modulation_frequency_max_Hz;
  Constant modulation_amplitude_min_m_per_min, modulation_amplitude_max_m_per_min;
  Constant modulation_pool_share;                           // ripple pitch at most this share of the pool length
  Constant modulation_left_min;                             // modulation left under the arc at the upper frequency
  Constant modulation_swing_min;                            // relative power swing under the arc at the lower amplitude
  Constant modulation_pitch_widths;                         // recommended pitch in bead widths
  Constant modulation_amplitude_share;                      // recommended amplitude in mean feeds
  Constant modulation_share;                                // share of the high phase
  Constant modulation_easy_min_Hz, modulation_easy_max_Hz;  // where a recommended frequency is looked for
  Constant peak_criterion_exponent;                         // n of one drop a pulse, I_p^n t_p
  Constant short_arc_plate_max_mm, short_arc_plate_last_mm;  // short arc on plate: easy up to, never unasked above
  Constant controlled_dip_plate_max_mm;                      // above this, controlled dip is not chosen unasked
  Constant short_arc_preferred_max_mm;  // up to this, short arc is the first choice on carbon steel
  Constant co2_stainless_max_percent;   // above this, CO2 carburises stainless
  // Height of a single bead on plate: law and its error as a factor.
  Constant bead_height_log_mm, bead_height_area_exponent, bead_height_voltage_exponent, bead_height_travel_exponent,
      bead_height_factor;
  Constant overlay_step_share;     // step from bead to bead over the bead's width
  Constant overlay_height_mm;      // nominal height of an overlay layer
  Constant groove_area_min_mm2;    // a groove with less to fill a side is planned as a square butt
  Constant square_gap_share;       // nominal gap of a square butt, in thicknesses
  Constant square_excess_share;    // nominal excess of a square butt, as a share of the allowed
  Constant square_width_extra_mm;  // nominal width of a square butt's bead: thickness + extra
  Constant gas_flow_aluminium_min_l_per_min, gas_flow_aluminium_max_l_per_min;  // instead of the mode's own
  Constant setting_accuracy_standard, setting_accuracy_precision;  // relative: current, voltage, feed of the source
  Constant setting_accuracy_from;  // of the greatest setting; below it the deviation in A or V no longer shrinks
  Constant short_circuit_charge_A_ms_per_mm2;  // charge a short circuit passes a wire section before it breaks
  Constant ambient_C;
  Constant operating_factor_hand, operating_factor_carriage;  // arc time over total time
  Constant source_efficiency;                                 // power of the arc over power from the mains
};

// How strong a limit is, and how far beside its value its ends lie, as factors of the value: 1 is the value itself.
// Between `easy` and `last` a plan stands and a remark names the limit. `easy` 0: the end is not a number of its own
// but follows from the spread of what is limited (nine times in ten inside).
struct LimitStrength {
  C id = C::none;
  Strength strength = Strength::rule;
  double easy = 0;
  double last = 1;
  SourceIndex source = 0;
};

// Travel speeds, mm/s, of a hand or a carriage: `easy` is where a setting is looked for, `slow` how far below it a bead
// too large for it may go without a remark, `last` what is refused beyond. The first row that fits a case is taken.
struct TravelRange {
  std::string_view id;
  bool mechanised = false;
  std::string_view metal;      // "aluminium", "steel" (all others) or "any"
  std::string_view positions;  // "PF|PH", or "any"
  double easy_min_mm_per_s = 0, easy_max_mm_per_s = 0;
  double slow_mm_per_s = 0;
  double last_min_mm_per_s = 0, last_max_mm_per_s = 0;
  SourceIndex source = 0;
};

// What a user's own trial welds have taught about a wire family in a mode on a metal (src/calibrate). Constants are
// factors on the catalog's value, offsets are added to it; a half-width is that of the factor or offset. A row that is
// laid over the catalog takes their place in every case of that group; 0 leaves a constant as it is.
struct TrialRow {
  std::string_view id;           // "carbon-steel spray carbon-steel"
  std::string_view wire_family;  // id of a WireFamily
  Mode mode = Mode::short_arc;
  std::string_view metal;  // id of a Metal
  Constant feed_law, pulse_mean, deposition, drop_ratio, peak_share, peak_current;
  Constant arc_fixed, dip_offset_V;
  Constant arc_efficiency, melt_enthalpy, conductivity, heat_capacity, melting;
  Constant penetration, width, melted_share, bead_height;
  Constant cold_lap_limit, burn_through_limit;  // on the width that laps cold, on the back width that burns through
  std::string_view correlation;  // "feed_law width -0.41|...": of the columns above, the others have none
};

// How well a reading of a trial weld is read, and how much welds at one setting differ: half-widths at 90 %, the
// relative ones of the value read.
struct ReadingRow {
  std::string_view id;     // the key of an output quantity, or "leg", "fused_section"
  std::string_view names;  // other headings of its column
  std::string_view unit;   // of a number without one
  double u90 = 0, u90_rel = 0;
  double weld_rel = 0;
  SourceIndex source = 0;
};

// What is said of a trial weld, and which limit it speaks of. `doubt`: how far beside a limit both may be said, in the
// logarithm of the net power, half-width at 90 %. `limit_rel`: how far the limit itself may be off before any trial.
struct VerdictRow {
  std::string_view id;     // "lapped-cold"
  std::string_view names;  // "cold lap|..."
  C limit = C::none;       // none: the program has no such limit
  double doubt = 0;
  double limit_rel = 0;
  SourceIndex source = 0;
};

struct Catalog {
  std::span<const Source> sources;
  std::span<const Metal> metals;
  std::span<const Alloy> alloys;
  std::span<const MaterialGroup> material_groups;
  std::span<const UnlikeFiller> unlike_fillers;
  std::span<const WireFamily> wire_families;
  std::span<const WireSize> wire_sizes;
  std::span<const Wire> wires;
  std::span<const Gas> gases;
  std::span<const Preparation> preparations;
  std::span<const Position> positions;
  std::span<const ModeInfo> modes;
  std::span<const QualityLevel> quality_levels;
  std::span<const Pairing> pairings;
  std::span<const GlossaryWord> words;  // as they are listed in the data
  std::span<const Caution> cautions;
  std::span<const FilterShadeRow> filter_shades;
  std::span<const HeatRange> heat_ranges;
  std::span<const CoolingJointRow> cooling_joints;
  std::span<const CompositionLimit> composition_limits;
  std::span<const NoPreheatRow> no_preheat;
  std::span<const MinimumPreheatRow> minimum_preheat;
  std::span<const GradePreheatRow> grade_preheat;
  std::span<const StartEndRow> start_end;
  std::span<const SusceptibilityGroup> susceptibility_groups;
  std::span<const SusceptibilityRow> susceptibility_preheat;
  std::span<const FillerPair> filler_pairs;
  std::span<const FillerTraits> filler_traits;
  std::span<const AluminiumTemperatureRow> aluminium_temperatures;
  std::span<const QualificationRow> qualifications;
  std::span<const QualifiedGroupRow> qualified_groups;
  std::span<const ImperfectionRow> imperfections;
  std::span<const LimitStrength> limit_strengths;
  std::span<const TravelRange> travel_ranges;
  std::span<const WireTradeSize> wire_trade_sizes;
  std::span<const TrialRow> trials;
  std::span<const ReadingRow> readings;
  std::span<const VerdictRow> verdicts;
  const Limits* limits = nullptr;
  const ReviewRules* review = nullptr;
  std::string_view version;  // of the data: "2026.11"
};

// The catalog compiled into the program.
[[nodiscard]] const Catalog& builtin_catalog();

// Look-ups accept the id or any of the names, without regard to case, spaces, '-' and '_'. Null when unknown.
// An alloy also answers to the group it stands for: "group 1.2".
[[nodiscard]] const Alloy* find_alloy(const Catalog&, std::string_view name);
// The group that "group 1.2" names; null where the name is none of a group.
[[nodiscard]] const MaterialGroup* find_material_group(const Catalog&, std::string_view name);
[[nodiscard]] const Wire* find_wire(const Catalog&, std::string_view name);
[[nodiscard]] bool is_named(const Wire&, std::string_view name);  // what find_wire finds by this name
[[nodiscard]] const Gas* find_gas(const Catalog&, std::string_view name);
[[nodiscard]] const Position* find_position(const Catalog&, std::string_view name);
[[nodiscard]] const Metal* find_metal(const Catalog&, std::string_view id);
[[nodiscard]] const WireFamily* find_wire_family(const Catalog&, std::string_view id);
// Limits of a family at a diameter: of the size itself within half a thousandth of an inch (0.0127 mm: three decimals
// of an inch tell no more, and wires differ by as much), else of the size that its inch trade size goes with; null when
// the catalog has neither.
[[nodiscard]] const WireSize* find_wire_size(const Catalog&, std::string_view family, double diameter_mm);
// The inch trade size of a diameter, within the same tolerance; null when it is none.
[[nodiscard]] const WireTradeSize* find_trade_size(const Catalog&, double diameter_mm);
// The AWS classification of a wire, "ER70S-6"; empty when it has none.
[[nodiscard]] std::string_view aws_name(const Wire& wire);
// The first row that fits; the catalog always has one.
[[nodiscard]] const TravelRange& find_travel_range(const Catalog&, bool mechanised, bool aluminium,
                                                   std::string_view position);
// Null when no trial welds speak of that group.
[[nodiscard]] const TrialRow* find_trial(const Catalog&, std::string_view wire_family, Mode mode,
                                         std::string_view metal);
[[nodiscard]] const ReadingRow* find_reading(const Catalog&, std::string_view name);
[[nodiscard]] const VerdictRow* find_verdict(const Catalog&, std::string_view name);
// One item of TrialRow::correlation: two different columns and a number from -1 to 1; nothing when it is not that.
struct CorrelationItem {
  std::string_view first, second;
  double value = 0;
};
[[nodiscard]] std::optional<CorrelationItem> read_correlation(std::string_view item);
// An alloy that the wire is made for, the first of the catalog; null when there is none.
[[nodiscard]] const Alloy* first_alloy_for(const Catalog&, const Wire& wire);
[[nodiscard]] const QualityLevel* find_quality(const Catalog&, std::string_view id);
[[nodiscard]] const ModeInfo& mode_info(const Catalog&, Mode mode);
[[nodiscard]] const Source& source_of(const Catalog&, SourceIndex index);
[[nodiscard]] std::string_view source_kind_key(SourceKind kind);  // "open-data", ...
[[nodiscard]] std::optional<SourceKind> source_kind_by_key(std::string_view key);
// The comparison the look-ups use.
[[nodiscard]] bool same_name(std::string_view a, std::string_view b);

// The items of a '|' list.
template <class Visit>
void for_each_item(std::string_view list, Visit visit) {
  while (!list.empty()) {
    const auto bar = list.find('|');
    visit(list.substr(0, bar));
    if (bar == std::string_view::npos) break;
    list.remove_prefix(bar + 1);
  }
}

}  // namespace seamwright
