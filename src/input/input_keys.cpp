#include "input/input_keys.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include "seamwright/catalog.hpp"

namespace seamwright {
namespace {

constexpr NumberRule weight_rule{"", 0.01, 100}, accuracy_rule{"", 0, 0.5};

// Bounds are there to catch slips of unit or decimal point, not to judge the work: that is the solver's.
const KeyRow table[] = {
    {"title", &Joint::title, {}, {}, "", "What the joint is, for the head of the output."},
    {"id", &Joint::id, {}, {}, "", "Short name of the joint, carried through to every output row."},
    {"quantity",
     &Joint::quantity,
     {"", 1, 100'000},
     {},
     "a whole number, 1 to 100000",
     "How many such welds there are: wire, gas and arc time are then also given for all of them."},
    {"confidence",
     &Joint::confidence,
     {"", 0.5, 0.999},
     {},
     "",
     "Confidence of the model constants at which the ranges to lock must hold, and the band that is shown; 0.5 is the "
     "nominal model, which is also what is taken when it is left out."},
    {"quality", &Joint::quality, {}, NameList::quality, "", "Quality level of ISO 5817."},
    {"schema", std::monostate{}, {"", 1, 1}, {}, "1", "Version of this file format."},

    {"joint.type", &Joint::type, {}, {}, "", "Kind of joint. Required."},
    {"joint.thickness", &Joint::thickness_mm, {"mm", 0.5, 200}, {}, "", "Plate or pipe wall thickness. Required."},
    {"joint.thickness2",
     &Joint::thickness2_mm,
     {"mm", 0.5, 200},
     {},
     "",
     "Thickness of the second plate; the same when left out."},
    {"joint.preparation", &Joint::preparation, {}, {}, "", "Shape of the edges of a butt, corner or edge joint."},
    {"joint.gap", &Joint::gap_mm, {"mm", 0, 20}, {}, "", "Gap at the root."},
    {"joint.root_face", &Joint::root_face_mm, {"mm", 0, 20}, {}, "", "Height of the root face of a groove."},
    {"joint.angle",
     &Joint::angle_deg,
     {"deg", 5, 150},
     {},
     "",
     "Included angle of the groove: both sides of a V together."},
    {"joint.leg", &Joint::leg_mm, {"mm", 1, 50}, {}, "", "Leg length of the fillet."},
    {"joint.leg2", &Joint::leg2_mm, {"mm", 1, 50}, {}, "", "Second leg of a fillet with unequal legs."},
    {"joint.throat", &Joint::throat_mm, {"mm", 0.7, 35}, {}, "", "Throat of a flat fillet, instead of joint.leg."},
    {"joint.step_over",
     &Joint::step_over_mm,
     {"mm", 0.5, 60},
     {},
     "",
     "Overlay: distance from bead to bead; half a bead width when left out."},
    {"joint.length", &Joint::length_mm, {"mm", 1, 1e6}, {}, "", "Length of the joint, for wire, gas and time."},
    {"joint.diameter", &Joint::diameter_mm, {"mm", 5, 20000}, {}, "", "Outside diameter of a pipe."},
    {"joint.plate_width",
     &Joint::plate_width_mm,
     {"mm", 10, 20000},
     {},
     "",
     "How far each plate reaches from the weld, for cooling between passes; 150 mm when left out."},
    {"joint.position", &Joint::position, {}, NameList::position, "", "Welding position: PA, 2F, ..."},
    {"joint.backing",
     &Joint::backing,
     {},
     {},
     "",
     "What supports the root from behind; ceramic also where both sides are welded."},
    {"joint.sides", &Joint::sides, {"", 1, 2}, {}, "", "Sides the joint is welded from."},

    {"material.alloy",
     &Joint::alloy,
     {},
     NameList::alloy,
     "",
     "Base metal by EN, UNS or AISI name, or ISO/TR 15608 group (\"group 1.2\"). Required, unless material.composition "
     "is "
     "given."},
    {"material.alloy2", &Joint::alloy2, {}, NameList::alloy, "", "Second base metal; the same when left out."},
    {"material.composition",
     std::monostate{},
     {"%", 0, 100},
     {},
     "a table of elements: { C = 0.16, Mn = 1.4 }",
     "Analysis of the base metal in % by mass, in place of the typical one."},
    {"material.preheat", &Joint::preheat_C, {"degC", -40, 400}, {}, "", "Temperature before the first pass."},
    {"material.interpass",
     &Joint::interpass_C,
     {"degC", -40, 500},
     {},
     "",
     "Highest temperature before a further pass."},
    {"material.hydrogen",
     &Joint::hydrogen_ml_per_100g,
     {"ml/100g", 0, 50},
     {},
     "",
     "Diffusible hydrogen of the weld metal."},
    {"material.service",
     &Joint::service_C,
     {"degC", -200, 300},
     {},
     "",
     "Temperature an aluminium part is used at: magnesium fillers are not for warm service."},
    {"material.anodised",
     &Joint::anodised,
     {},
     {},
     "",
     "Whether an aluminium weld must match in colour when anodised."},

    {"wire.designation", &Joint::wire, {}, NameList::wire, "", "Wire by ISO or AWS designation."},
    {"wire.diameter", &Joint::wire_diameter_mm, {"mm", 0.6, 2.4}, {}, "", "Wire diameter."},
    {"wire.extension",
     &Joint::extension_mm,
     {"mm", 3, 50},
     {},
     "",
     "Electrode extension: wire between contact tip and arc."},

    {"gas.designation", &Joint::gas, {}, NameList::gas, "", "Shielding gas by ISO 14175 symbol or usual name."},
    {"gas.composition",
     std::monostate{},
     {"%", 0, 100},
     {},
     "a table of gases: { Ar = 82, CO2 = 18 }",
     "Shielding gas by composition in % by volume."},
    {"gas.flow", &Joint::gas_flow_l_per_min, {"l/min", 1, 60}, {}, "", "Shielding gas flow."},
    {"gas.backing", &Joint::backing_gas, {}, NameList::gas, "", "Gas that protects the back of the root."},

    {"process.mode", &Joint::mode, {}, {}, "", "Process mode."},
    {"process.travel", &Joint::travel_mm_per_s, {"mm/s", 0.5, 100}, {}, "", "Travel speed, fixed or between two ends."},
    {"process.mechanised", &Joint::mechanised, {}, {}, "", "Whether a carriage or robot moves the torch."},
    {"process.weave_width",
     &Joint::weave_width_mm,
     {"mm", 0.5, 60},
     {},
     "",
     "How far the torch swings across the joint, from turn to turn; stringers are laid without it."},
    {"process.weave_dwell",
     &Joint::weave_dwell_s,
     {"s", 0, 3},
     {},
     "",
     "How long the torch stops at each side of the weave."},
    {"process.prefer",
     &Joint::prefer,
     {},
     {},
     "",
     "What the choice among modes, wire diameters and sizes of passes is weighed by; metal when left out."},
    {"process.wire_feed", &Joint::wire_feed_m_per_min, {"m/min", 0.5, 40}, {}, "", "Wire feed, where it is fixed."},
    {"process.arc_length",
     &Joint::arc_length_mm,
     {"mm", 0.5, 20},
     {},
     "",
     "Arc length, where it is fixed: spray or pulse."},
    {"process.current",
     &Joint::current_A,
     {"A", 10, 1000},
     {},
     "",
     "Mean current, where it is fixed: the wire feed is the one it melts."},
    {"process.voltage",
     &Joint::voltage_V,
     {"V", 8, 60},
     {},
     "",
     "Mean voltage, where it is fixed: spray and pulse take the arc length it leaves, dip modes the trim."},
    {"process.peak_current", &Joint::peak_current_A, {"A", 50, 1000}, {}, "", "Peak current, where it is fixed."},
    {"process.peak_time", &Joint::peak_time_ms, {"ms", 0.2, 20}, {}, "", "Peak time, where it is fixed."},

    {"modulation.frequency",
     &Joint::modulation_frequency_Hz,
     {"Hz", 0.05, 50},
     {},
     "",
     "Frequency of the slow modulation, where it is fixed."},
    {"modulation.amplitude",
     &Joint::modulation_amplitude_m_per_min,
     {"m/min", 0.01, 20},
     {},
     "",
     "Deviation of the wire feed from its mean, up and down, where it is fixed."},
    {"modulation.share",
     &Joint::modulation_share,
     {"", 0.05, 0.95},
     {},
     "",
     "Share of the modulation period spent in the high phase."},

    {"limits",
     std::monostate{},
     {},
     {},
     "any output key with a range: heat_input = \"0.5..1.5 kJ/mm\", \"..1.5 kJ/mm\"",
     "Limits of your own on any output quantity."},

    {"pass",
     std::monostate{},
     {},
     {},
     "tables [pass.root], [pass.hot], [pass.fill], [pass.cap], [pass.back] and [pass.2]; their keys: 'seamwright help "
     "passes'",
     "What a pass is welded with, where that is not what the rest of the joint says."},

    {"lock.wire_feed",
     &Joint::lock_wire_feed_m_per_min,
     {"m/min", 0.5, 40},
     {},
     "",
     "Range to lock that is fixed: wire feed."},
    {"lock.travel", &Joint::lock_travel_mm_per_s, {"mm/s", 0.5, 100}, {}, "", "Range to lock that is fixed: travel."},
    {"lock.arc_length_trim",
     &Joint::lock_arc_trim_V,
     {"V", -10, 10},
     {},
     "",
     "Range to lock that is fixed: arc-length (voltage) trim."},
    {"lock.peak_current_trim",
     &Joint::lock_peak_trim,
     {"", -0.3, 0.3},
     {},
     "",
     "Range to lock that is fixed: peak-current trim, 0.05 or \"5 %\"."},
    {"lock.modulation_amplitude",
     &Joint::lock_amplitude_m_per_min,
     {"m/min", 0.01, 20},
     {},
     "",
     "Range to lock that is fixed: amplitude of the modulation."},
    {"lock.modulation_frequency",
     &Joint::lock_frequency_Hz,
     {"Hz", 0.05, 50},
     {},
     "",
     "Range to lock that is fixed: frequency of the modulation."},
    {"lock.weight.wire_feed",
     &Joint::lock_weight_wire_feed,
     weight_rule,
     {},
     "",
     "Growth of the side: 2 is twice as fast."},
    {"lock.weight.travel", &Joint::lock_weight_travel, weight_rule, {}, "", "Growth of the side."},
    {"lock.weight.arc_length_trim", &Joint::lock_weight_arc_trim, weight_rule, {}, "", "Growth of the side."},
    {"lock.weight.peak_current_trim", &Joint::lock_weight_peak_trim, weight_rule, {}, "", "Growth of the side."},
    {"lock.weight.modulation_amplitude", &Joint::lock_weight_amplitude, weight_rule, {}, "", "Growth of the side."},
    {"lock.weight.modulation_frequency", &Joint::lock_weight_frequency, weight_rule, {}, "", "Growth of the side."},
    {"lock.accuracy.wire_feed",
     &Joint::lock_accuracy_wire_feed,
     accuracy_rule,
     {},
     "",
     "How well the wire feed is held, as a share; the grade of the described machine when left out."},
    {"lock.accuracy.voltage", &Joint::lock_accuracy_voltage, accuracy_rule, {}, "", "How well the voltage is held."},
    {"lock.accuracy.peak_current",
     &Joint::lock_accuracy_peak_current,
     accuracy_rule,
     {},
     "",
     "How well the peak current is held."},

    {"setting.feed", &Joint::setting_feed_m_per_min, {"m/min", 0.1, 60}, {}, "", "For assess: wire feed."},
    {"setting.current",
     &Joint::setting_current_A,
     {"A", 5, 1500},
     {},
     "",
     "For assess: mean current as read. Without setting.feed it stands for the feed that it melts."},
    {"setting.voltage", &Joint::setting_voltage_V, {"V", 5, 80}, {}, "", "For assess: mean voltage."},
    {"setting.travel", &Joint::setting_travel_mm_per_s, {"mm/s", 0.5, 100}, {}, "", "For assess: travel."},
    {"setting.frequency",
     &Joint::setting_frequency_Hz,
     {"Hz", 5, 1000},
     {},
     "",
     "For assess: pulse frequency as read; it follows from the feed."},
    {"setting.peak", &Joint::setting_peak_A, {"A", 20, 1500}, {}, "", "For assess: peak current of the pulse."},
    {"setting.base",
     &Joint::setting_base_A,
     {"A", 1, 1000},
     {},
     "",
     "For assess: base current of the pulse as read; it follows from the feed."},
    {"setting.amplitude",
     &Joint::setting_amplitude_m_per_min,
     {"m/min", 0.01, 20},
     {},
     "",
     "For assess: deviation of the feed from its mean in double pulse, up and down."},
    {"setting.modulation",
     &Joint::setting_modulation_Hz,
     {"Hz", 0.05, 50},
     {},
     "",
     "For assess: frequency of the slow modulation of double pulse."},
    {"setting.dial",
     std::monostate{},
     {},
     {},
     "a table of the machine's dials: { \"Arc length\" = -2, Feed = 12.7 }",
     "For assess: what dials of the machine in --equipment stand at."},
};

template <class E>
std::string join_words(const std::string_view separator = ", ") {
  std::string out;
  for (const Word<E>& word : words_of<E>()) out += fmt::format("{}{}", out.empty() ? "" : separator, word.key);
  return out;
}

std::string accepts_text(const KeyRow& row) {
  if (!row.accepts.empty()) return std::string(row.accepts);
  struct Visitor {
    const KeyRow& key;
    std::string operator()(std::monostate) const { return {}; }
    std::string operator()(Given<double> Joint::*) const { return rule_text(key.rule); }
    std::string operator()(Given<int> Joint::*) const { return rule_text(key.rule); }
    std::string operator()(Given<Interval> Joint::*) const { return rule_text(key.rule) + ", one value or a range"; }
    std::string operator()(Given<bool> Joint::*) const { return "true or false"; }
    std::string operator()(Given<std::string> Joint::*) const {
      switch (key.names) {
        case NameList::none:
          return "text";
        case NameList::alloy:
          return "an alloy of the catalog, or an ISO/TR 15608 group such as group 1.2";
        case NameList::wire:
          return "a wire of the catalog";
        case NameList::gas:
          return "a gas of the catalog";
        case NameList::position:
          return "a position by ISO 6947 or 1G/2F name";
        case NameList::quality:
          return "B, C or D";
      }
      return {};
    }
    std::string operator()(Given<JointType> Joint::*) const { return join_words<JointType>(); }
    std::string operator()(Given<PreparationType> Joint::*) const { return join_words<PreparationType>(); }
    std::string operator()(Given<Backing> Joint::*) const { return join_words<Backing>(); }
    std::string operator()(Given<Mode> Joint::*) const { return join_words<Mode>(); }
    std::string operator()(Given<Preference> Joint::*) const { return join_words<Preference>(); }
  };
  return std::visit(Visitor{row}, row.target);
}

// Ids and '|' lists of names of a catalog table, in its order.
template <class Rows>
std::vector<std::string_view> names_of(const Rows& rows) {
  std::vector<std::string_view> out;
  for (const auto& row : rows) {
    out.push_back(row.id);
    if constexpr (requires { row.names; })
      for_each_item(row.names, [&](std::string_view name) { out.push_back(name); });
  }
  return out;
}

std::vector<std::string_view> alloy_names(const Catalog& catalog) {
  std::vector<std::string_view> out = names_of(catalog.alloys);
  out.reserve(out.size() + catalog.material_groups.size());
  for (const MaterialGroup& group : catalog.material_groups) out.push_back(group.id);
  return out;
}

}  // namespace

std::span<const KeyRow> key_rows() { return table; }

std::span<const InputKeyInfo> input_keys() {
  static const auto infos = [] {
    static std::array<std::string, std::size(table)> accepts;
    std::array<InputKeyInfo, std::size(table)> list;
    for (std::size_t i = 0; i < list.size(); ++i) {
      accepts[i] = accepts_text(table[i]);
      list[i] = {table[i].path, table[i].rule.unit, accepts[i], table[i].meaning};
    }
    return list;
  }();
  return infos;
}

std::string_view catalog_table(NameList list) {
  switch (list) {
    case NameList::alloy:
      return "alloy";
    case NameList::wire:
      return "wire";
    case NameList::gas:
      return "gas";
    case NameList::position:
      return "position";
    case NameList::quality:
      return "quality_level";
    case NameList::none:
      break;
  }
  return {};
}

bool catalog_knows(const Catalog& catalog, NameList list, std::string_view name) {
  switch (list) {
    case NameList::none:
      return true;
    case NameList::alloy:
      return find_alloy(catalog, name) != nullptr;
    case NameList::wire:
      return find_wire(catalog, name) != nullptr;
    case NameList::gas:
      return find_gas(catalog, name) != nullptr;
    case NameList::position:
      return find_position(catalog, name) != nullptr;
    case NameList::quality:
      return find_quality(catalog, name) != nullptr;
  }
  return false;
}

std::vector<std::string_view> catalog_names(const Catalog& catalog, NameList list) {
  switch (list) {
    case NameList::none:
      return {};
    case NameList::alloy:
      return alloy_names(catalog);
    case NameList::wire:
      return names_of(catalog.wires);
    case NameList::gas:
      return names_of(catalog.gases);
    case NameList::position:
      return names_of(catalog.positions);
    case NameList::quality:
      return names_of(catalog.quality_levels);
  }
  return {};
}

}  // namespace seamwright
