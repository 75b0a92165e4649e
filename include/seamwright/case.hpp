// A case: a joint with everything chosen that the user left out, and the numbers the solvers need for each pass.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/bead.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/constraint.hpp"
#include "seamwright/equipment.hpp"
#include "seamwright/field.hpp"
#include "seamwright/joint.hpp"
#include "seamwright/kept_list.hpp"
#include "seamwright/metallurgy.hpp"
#include "seamwright/procedure.hpp"
#include "seamwright/section.hpp"

namespace seamwright {

// The uncertain constants of one case, drawn from the catalog for its alloy, wire, gas and mode. Keeping them in one
// array is what lets uncertainty, sensitivity and explanation be computed for every output the same way.
enum class K : std::size_t {
  melt,
  resistive,
  feed_law,
  pulse_mean,
  deposition,
  drop_ratio,
  peak_share,
  peak_current,
  base_current_min,
  arc_fixed,
  arc_resistance,
  arc_field,
  wire_resistivity,
  dip_base,
  dip_slope,
  dip_offset,
  transition,
  mode_current_min,
  mode_current_max,
  arc_efficiency,
  melt_enthalpy,
  joint_factor,
  source_radius,
  source_radius_per_A,
  conductivity,
  heat_capacity,
  melting,
  penetration,
  width,
  gap_credit,
  surface_tension,
  melt_density,
  drop_surface_tension,
  cooling_law,
  cooling_f2,
  hardness_law,
  ferrite_law,
  extension,
  melted_share,
  bead_height,
  operating_factor,
  source_efficiency,
  count
};
inline constexpr std::size_t model_constant_count = static_cast<std::size_t>(K::count);

struct ModelConstantInfo {
  K id;
  std::string_view key;  // "burn-off m"
  std::string_view label;
  std::string_view unit;
};
[[nodiscard]] const ModelConstantInfo& model_constant(K id);

using ConstantSet = std::array<Constant, model_constant_count>;
using ConstantValues = std::array<double, model_constant_count>;
[[nodiscard]] ConstantValues nominal_values(const ConstantSet& set);

// A limit with its source; `limit` infinite when open.
struct FieldLimit {
  C id = C::user_limit;
  F field = F::count;
  double low = 0;
  double high = 0;
  SourceIndex source = 0;
  [[nodiscard]] bool operator==(const FieldLimit&) const = default;
};

// Where the ends of a limit lie, as logarithms of distances from its value: `last` outside it, `easy` inside. Without
// an easy end of its own a constraint is easy where nine welds in ten stay inside.
struct LimitEnds {
  double last = 0;
  double easy = 0;
  bool easy_apart = false;
  Strength strength = Strength::rule;
  SourceIndex source = 0;
  [[nodiscard]] bool operator==(const LimitEnds&) const = default;
};

// What a pass is charged with, in the currency of the prices; below 0: no price is given.
struct PassPrices {
  bool present = false;  // any price, or the operating factor alone
  double wire_per_kg = -1, gas_per_m3 = -1, power_per_kWh = -1, labour_per_h = -1;
  [[nodiscard]] bool operator==(const PassPrices&) const = default;
};

// Two constants that are not known independently: trial welds told more about them together than of each.
struct CorrelatedPair {
  K first = K::count, second = K::count;
  double value = 0;  // -1..1
  [[nodiscard]] bool operator==(const CorrelatedPair&) const = default;
};

// What of the wire and the gas a pass is computed with.
struct PassWire {
  double diameter_mm = 0;
  double extension_mm = 0;
  double density_kg_per_m3 = 0;
  FeedLine dip_line;  // controlled dip, where one is measured
  [[nodiscard]] bool operator==(const PassWire&) const = default;
};
struct PassGas {
  double arc_V = 0, dip_V = 0;  // what it adds to the voltage of the arc, and to the short-arc line
  double co2_percent = 0;
  double flow_l_per_min = 0;
  [[nodiscard]] bool operator==(const PassGas&) const = default;
};

// The metal that a pass melts, and how far it may.
struct PassPlate {
  double fusion_thickness_mm = 0;  // for the fusion limits (the thicker plate)
  double burn_thickness_mm = 0;    // for the melt-through limits (the thinner plate)
  double least_radius_mm = 0;      // fillets: the arc plays over the leg
  double preheat_C = 0, interpass_C = 0;
  double start_C = 0;  // where the pool starts from: the preheat, or the interpass temperature in fills and caps
  double gap_mm = 0;
  double fusion_depth_mm = 0;      // needed
  bool fusion_takes_gap = false;   // gap credit counts
  double back_width_min_mm = 0;    // full-penetration butts; 0: not required
  double back_width_max_mm = 0;    // infinite: backed or not exposed
  double back_width_last_mm = 0;   // where a plan is refused
  bool melt_support = false;       // check the hanging pool
  double arc_radius_factor = 0;    // of its pressure
  double pool_support_factor = 0;  // out of position: the pool must hold itself; 0: it lies on the joint
  [[nodiscard]] bool operator==(const PassPlate&) const = default;
};

// The metal that a pass lays.
struct PassDeposit {
  double cover_width_mm = 0;
  double melted_width_min_mm = 0;  // the melted width must reach it; 0: no cold-lap check
  double needed_mm2 = 0, nominal_mm2 = 0, position_max_mm2 = 0;
  double excess_face_fixed_mm = 0, excess_face_share = 0, excess_face_max_mm = 0;  // of the bead width
  double excess_root_fixed_mm = 0, excess_root_share = 0, excess_root_max_mm = 0;
  double excess_fillet_max_mm2 = 0;  // fillets: deposit at the largest allowed throat; 0: use the butt rule
  bool bead_height_known = false;    // a bead on plate, of a wire whose height is fitted
  BeadHeightLaw bead_height;
  double step_over_mm = 0;  // overlay: given; 0: the share of the bead's width
  double step_over_share = 0;
  double iron_wire_percent = -1, iron_base_percent = -1;  // overlay of another metal on steel; below 0: no such overlay
  [[nodiscard]] bool operator==(const PassDeposit&) const = default;
};

// What is used up: the length of the joint, how many there are of it, and prices.
struct PassUse {
  double length_mm = 0;   // 0: not given
  double weld_count = 0;  // welds like this one; 0: not given
  PassPrices prices;
  [[nodiscard]] bool operator==(const PassUse&) const = default;
};

struct PassWeave {
  double width_mm = 0;      // given; 0: not
  double variance_mm2 = 0;  // of the arc's place across the joint, where it is given
  double from_mm = 0;       // deposit width from which a hand weaves, where it is not given; 0: stringers
  double dwell_s = 0, dwell_min_s = 0, crossing_mm_per_s = 0, advance_max_mm = 0, width_min_mm = 0, width_exponent = 0;
  [[nodiscard]] bool operator==(const PassWeave&) const = default;
};

struct PassArc {
  double length_min_mm = 0, length_max_mm = 0;          // spray and pulse
  double fixed_V = 0;                                   // given by the user: it leaves the arc its length; 0: none
  double dip_trim_V = 0;                                // short arc: half-width of the voltage window
  double dip_cap_V = 0;                                 // top of the short-arc line
  double rise_min = 0, rise_max = 0, rise_nominal = 0;  // A/ms
  double short_charge_A_ms = 0;                         // charge after which a short circuit breaks
  [[nodiscard]] bool operator==(const PassArc&) const = default;
};

struct PassPulse {
  double peak_time_ms = 0;  // given by the user; 0: from the drop
  double drop_ratio_min = 0, drop_ratio_max = 0, peak_time_min_ms = 0, peak_time_max_ms = 0;
  double base_time_min_ms = 0, frequency_min_Hz = 0, frequency_max_Hz = 0, duty_max = 0, criterion_window = 0,
         criterion_exponent = 0;
  double feed_min_m_per_min = 0, feed_max_m_per_min = 0;  // its window, for the amplitude band
  [[nodiscard]] bool operator==(const PassPulse&) const = default;
};

struct PassModulation {
  double share = 0.5;                                // of the period in the high phase
  double frequency_Hz = 0, amplitude_m_per_min = 0;  // given by the user; 0: recommended
  double frequency_min_Hz = 0, frequency_max_Hz = 0;
  double amplitude_min_m_per_min = 0, amplitude_max_m_per_min = 0;
  C limit = C::modulation_usual;  // the usual range's, or the equipment's own
  double pool_share = 0, left_min = 0, swing_min = 0, pitch_widths = 0, amplitude_share = 0;
  double easy_min_Hz = 0, easy_max_Hz = 0;
  [[nodiscard]] bool operator==(const PassModulation&) const = default;
};

// What the point is looked for by.
struct PassAim {
  Interval easy_travel_mm_per_s{};  // of a hand or carriage here
  double easy_current_max_A = 0;    // share of the mode's top; infinite: none known
  double fixed_feed_m_per_min = 0;  // given by the user; 0: free
  bool travel_follows_feed = true;  // by hand the bead is kept, not the speed
  double travel_tolerance = 0;      // how far a hand strays from it, relative
  double feed_setting_share = 0;    // how exactly a feed is set, relative half-width at 90 %
  double feed_scale = 0, deposit_scale = 0, wall_scale = 0, way_up = 0, rich_share = 0;  // what a step off it costs
  [[nodiscard]] bool operator==(const PassAim&) const = default;
};
// Ranges to lock.
struct PassLock {
  double feed_share = 0, trim_V = 0, modulation_share = 0, feed_min_share = 0;
  [[nodiscard]] bool operator==(const PassLock&) const = default;
};

// Where the limits come from that have no row of their own.
struct PassSources {
  SourceIndex fusion = 0, burn = 0, deposit = 0, excess = 0, cold_lap = 0, pool_support = 0, pulse = 0,
              base_current = 0, transition = 0, mode_min = 0, mode_max = 0;
  [[nodiscard]] bool operator==(const PassSources&) const = default;
};

// Everything numeric that one pass needs. No strings, no look-ups: evaluated thousands of times.
struct PassContext {
  JointType joint = JointType::fillet;
  PassRole role = PassRole::single;
  Mode mode = Mode::spray;
  PassWire wire;
  PassGas gas;
  PassPlate plate;
  PassDeposit deposit;
  PassUse use;
  PassWeave weave;
  PassArc arc;
  PassPulse pulse;
  PassModulation modulation;
  PassAim aim;
  PassLock lock;
  PassSources source;
  double efficiency_k = 0;
  Metallurgy metallurgy;
  // limits
  std::array<LimitEnds, constraint_count> ends{};
  std::array<double, constraint_count> spread{};     // of the distance: half-width that nine in ten stay inside
  std::array<double, field_count> field_spread{};    // the same for limits on a quantity of the output
  std::array<bool, model_constant_count> bearing{};  // constants that bear on any constraint
  bool bearing_known = false;
  bool mode_min_is_transition = false;
  C mode_min = C::none, mode_max = C::none;
  bool pool_by_integral = false;  // the reference instead of the table: slow, for checks
  // Bit k set: constraint k is left out. For questions about some constraints alone.
  std::uint64_t ignored_constraints = 0;
  std::vector<FieldLimit> limits;  // feeder, equipment, travel, heat input, the user's own
  ConstantSet constants{};
  std::vector<CorrelatedPair> correlations;  // of the constants; all others are independent
  [[nodiscard]] bool operator==(const PassContext&) const = default;
};

// One value the program chose because the user left it out.
struct Choice {
  std::string key;     // "wire.designation"
  std::string value;   // "S Al 5183"
  std::string reason;  // one clause
  SourceIndex source = 0;
};
struct Warning {
  std::string_view id;  // of the catalog's text, or one of the program's own
  std::string text;
  SourceIndex source = 0;
};

struct Case {
  const Catalog* catalog = nullptr;
  Joint joint;  // as given
  const Alloy* alloy = nullptr;
  const Alloy* alloy2 = nullptr;  // null: same
  const Wire* wire = nullptr;
  const WireFamily* wire_family = nullptr;
  const WireSize* wire_size = nullptr;
  Gas gas{};  // the catalog's or the user's own mixture
  std::string gas_name;
  const Position* position = nullptr;
  const QualityLevel* quality = nullptr;
  const Metal* metal = nullptr;
  Mode mode = Mode::spray;
  double diameter_mm = 0;
  double extension_mm = 0;
  SectionInput section;
  int sides = 1;
  double thickness2_mm = 0;
  bool backed = false;
  double preheat_C = 0, interpass_C = 0;
  double gas_flow_l_per_min = 0;
  bool mechanised = false;
  Preference preference = Preference::metal;
  PassPrices prices;                             // of this wire and gas
  Constant operating_factor, source_efficiency;  // used where there are prices
  Interval travel_mm_per_s{};
  std::optional<Equipment> equipment;
  std::optional<Procedure> procedure;  // its ranges bind
  std::vector<PassPlan> pass_plans;
  // Passes with a process of their own: the joint as it would be if all of it were welded so, each distinct one once.
  // They have the passes of this case and none of their own.
  KeptList<Case> own;
  std::vector<std::size_t> own_of;  // of each pass: 0 this case, else one more than a place in `own`; empty: all 0
  std::uint64_t tables = 0;         // of such a process: bit i for the joint's i-th table of passes
  std::string own_name;             // of such a process, for people: "pass.root"
  std::optional<Mode> root_mode;    // chosen for the root alone, where the joint leaves the mode open
  bool of_root_alone = false;       // such a process that no pass but the first is welded with
  bool with_reasons = true;         // false: no choices are noted and warnings have no text
  std::vector<Choice> choices;
  std::vector<Warning> warnings;
  std::size_t choices_of_joint = 0, warnings_of_joint = 0;  // the first ones, which hang on no mode
};

// The case that a pass (index in welding order) is welded by: the joint's, or that of its own process.
[[nodiscard]] inline const Case& case_of(const Case& c, std::size_t pass) {
  return pass < c.own_of.size() && c.own_of[pass] > 0 ? c.own[c.own_of[pass] - 1] : c;
}
// Every process that a pass is welded with, in the order of their first pass; the case itself where no pass is planned.
[[nodiscard]] std::vector<const Case*> processes_of(const Case& c);

// What has to be changed at the machine between two passes.
struct ProcessChange {
  enum class What : unsigned char { wire, gas };
  What what = What::wire;
  int before = 0, after = 0;  // numbers of the passes: the last with the old one, the first with the new one
  std::string from, to;       // "G3Si1 1.2 mm", "M21"; metric
};
// In welding order; empty where every pass is welded with the same wire and gas.
[[nodiscard]] std::vector<ProcessChange> process_changes(const Case& c);

}  // namespace seamwright
