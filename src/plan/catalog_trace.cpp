#include "plan/catalog_trace.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <type_traits>
#include <utility>

#include "catalog/catalog_columns.hpp"
#include "catalog/catalog_reader.hpp"
#include "seamwright/sensitivity.hpp"
#include "settle/metal_parts.hpp"

namespace seamwright {
namespace {

constexpr double change = 0.01;  // small enough to stay on a formula, large enough to be told from rounding

// Column names that their own words do not explain. The others are read off the name.
constexpr std::pair<std::string_view, std::string_view> labels[] = {
    {"limits.peak_criterion_window", "window of one drop a pulse, share of its volume"},
    {"limits.peak_criterion_exponent", "drops a pulse, exponent of the peak current"},
    {"limits.peak_time_min_ms", "shortest peak time"},
    {"limits.peak_time_max_ms", "longest peak time"},
    {"limits.drop_ratio_min", "smallest drop over wire diameter"},
    {"limits.drop_ratio_max", "largest drop over wire diameter"},
    {"limits.modulation_pool_share", "share of the pool a ripple must remelt"},
    {"limits.modulation_left_min", "minimum share of the swing left in the pool"},
    {"limits.modulation_pitch_widths", "ripple pitch in bead widths"},
    {"limits.modulation_swing_min", "minimum swing of the power"},
    {"limits.modulation_amplitude_share", "amplitude, share of the mean feed"},
    {"limits.modulation_share", "share of the high phase"},
    {"limits.short_arc_trim_V", "setting window of the short-arc voltage, to either side"},
    {"limits.short_arc_cap_V", "highest short-arc voltage"},
    {"limits.source_radius_leg_share", "minimum heat-source radius, a share of the leg"},
    {"limits.procedure_efficiency", "procedure efficiency k"},
    {"limits.ambient_C", "ambient temperature"},
    {"limits.operating_factor_hand", "usual operating factor of a hand"},
    {"limits.operating_factor_carriage", "usual operating factor of a carriage"},
    {"limits.source_efficiency", "usual efficiency of a power source"},
    {"limits.co2_transition_share", "rise of the transition current a percent CO2"},
    {"limits.hydrogen_V_per_percent", "voltage added a percent hydrogen"},
    {"limits.weave_crossing_mm_per_s", "speed of the torch across the joint"},
    {"limits.weave_dwell_s", "usual stop at each side of a weave"},
    {"limits.weave_dwell_min_s", "shortest stop at each side of a weave"},
    {"limits.weave_advance_max_mm", "usual advance a weave"},
    {"limits.weave_width_min_mm", "narrowest weave"},
    {"limits.weave_width_exponent", "growth of the melted width with the stretch of a swung arc, exponent"},
    {"limits.overlay_step_share", "step from bead to bead over the bead's width"},
    {"limits.bead_height_log_mm", "fitted bead height, logarithm of the factor"},
    {"limits.bead_height_area_exponent", "fitted bead height, exponent of the deposit"},
    {"limits.bead_height_voltage_exponent", "fitted bead height, exponent of the voltage"},
    {"limits.bead_height_travel_exponent", "fitted bead height, exponent of the travel"},
    {"wire-families.arc_length_pulse_min_mm", "shortest usual arc, pulse"},
    {"wire-families.arc_length_pulse_max_mm", "longest usual arc, pulse"},
    {"wire-families.arc_length_spray_min_mm", "shortest usual arc, spray"},
    {"wire-families.arc_length_spray_max_mm", "longest usual arc, spray"},
    {"wire-families.current_rise_min_A_per_ms", "slowest usual current rise"},
    {"wire-families.current_rise_max_A_per_ms", "fastest usual current rise"},
    {"wire-families.current_rise_nominal_A_per_ms", "usual current rise"},
    {"wire-families.gas_reference_percent", "CO2 and oxygen of the gas the arc constants are for"},
    {"wire-families.gas_lean_V", "voltage added in a gas without CO2 and oxygen"},
    {"wire-families.gas_rich_V", "voltage added in CO2"},
    {"wire-families.helium_V_per_percent", "voltage added a percent helium"},
    {"wire-families.dip_helium_V_per_percent", "voltage added to the short-arc line a percent helium"},
    {"wire-families.density_kg_per_m3", "density of the wire"},
    {"wire-sizes.dip_line_m_per_min_A", "measured line of feed against current, slope"},
    {"wire-sizes.dip_line_zero_A", "measured line of feed against current, current at no feed"},
    {"wire-sizes.dip_line_to_A", "measured line of feed against current, holds up to"},
    {"wire-sizes.dip_line_end_A", "measured line of feed against current, end of its fading"},
    {"alloys.interpass_max_C", "highest interpass temperature of the alloy"},
    {"positions.depth_factor", "penetration of the position against flat"},
    {"positions.rise_factor", "current rise of the position against flat"},
    {"modes.extension_diameters", "usual electrode extension in wire diameters"},
};

constexpr std::pair<std::string_view, std::string_view> unit_words[] = {
    {"C", "degC"},       {"percent", "%"}, {"deg", "degrees"}, {"mmK", "(mm K)"},
    {"mm3K", "(mm3 K)"}, {"As", "(A s)"},  {"A2s", "(A2 s)"},  {"uohm", "micro-ohm"}};
constexpr std::string_view unit_names[] = {"W", "J",   "N", "m",  "kg",  "m3", "kJ",   "mm", "mm2", "mm3", "mm4",
                                           "V", "ohm", "A", "ms", "min", "ml", "100g", "l",  "Hz",  "s"};

// "A/ms" for "A"; empty: the word is no unit.
std::string_view unit_word(std::string_view word) {
  for (const auto& [name, text] : unit_words)
    if (name == word) return text;
  return std::find(std::begin(unit_names), std::end(unit_names), word) == std::end(unit_names) ? std::string_view{}
                                                                                               : word;
}

// A column's name ends with its unit: "current_rise_min_A_per_ms" is {"current rise min", "A/ms"}.
std::pair<std::string, std::string> words_and_unit(std::string_view column) {
  std::string words(column), unit;
  while (true) {
    const auto at = words.rfind('_');
    if (at == std::string::npos) break;
    const std::string last = words.substr(at + 1);
    if (last == "min" && !words.substr(0, at).ends_with("_per")) break;  // the least of something, no minute
    if (last == "per") {
      unit = "/" + unit;
    } else if (const std::string_view word = unit_word(last); !word.empty()) {
      const bool apart = !unit.empty() && unit.front() != '/';
      unit = std::string(word) + (apart ? " " : "") + unit;
    } else {
      break;
    }
    words.erase(at);
  }
  std::replace(words.begin(), words.end(), '_', ' ');
  return {std::move(words), std::move(unit)};
}

// The rows that a case draws on, by the name of their table.
struct RowsInUse {
  const Case& c;
  [[nodiscard]] bool operator()(const Metal& row) const { return row.id == c.metal->id; }
  [[nodiscard]] bool operator()(const WireFamily& row) const { return row.id == c.wire_family->id; }
  [[nodiscard]] bool operator()(const WireSize& row) const {
    return row.family == c.wire_size->family && row.diameter_mm == c.wire_size->diameter_mm;
  }
  [[nodiscard]] bool operator()(const Wire& row) const { return row.id == c.wire->id; }
  [[nodiscard]] bool operator()(const Alloy& row) const {
    const auto alloys = alloys_of(c);
    return std::any_of(alloys.begin(), alloys.end(), [&](const Alloy* alloy) { return alloy->id == row.id; });
  }
  [[nodiscard]] bool operator()(const Gas& row) const { return row.id == c.gas.id; }
  [[nodiscard]] bool operator()(const Position&) const { return true; }  // flat stands for others in aluminium
  [[nodiscard]] bool operator()(const ModeInfo& row) const { return row.id == c.mode; }
  [[nodiscard]] bool operator()(const QualityLevel& row) const { return row.id == c.quality->id; }
  [[nodiscard]] bool operator()(const Preparation&) const { return true; }
  [[nodiscard]] bool operator()(const HeatRange&) const { return true; }
  [[nodiscard]] bool operator()(const CoolingJointRow&) const { return true; }
  [[nodiscard]] bool operator()(const CompositionLimit&) const { return true; }
  [[nodiscard]] bool operator()(const TravelRange&) const { return true; }
  [[nodiscard]] bool operator()(const LimitStrength&) const { return true; }
  template <class Row>
  [[nodiscard]] bool operator()(const Row&) const {  // texts, and the tables of the heat report
    return false;
  }
};

// "wire_family" is "wire-families" in a key, "alloy" is "alloys".
std::string table_key(std::string_view kind) {
  std::string key(kind);
  std::replace(key.begin(), key.end(), '_', '-');
  if (key == "gas") return "gases";
  if (key.ends_with("ly")) return key.substr(0, key.size() - 1) + "ies";
  return key + "s";
}

class Tracer {
 public:
  Tracer(const Plan& plan, std::size_t pass, CatalogTrace& out)
      : c_(plan.resolved),
        own_(case_of(plan.resolved, pass)),
        pass_(pass),
        out_(out),
        data_(overlay_catalog(*c_.catalog, {})) {
    if (!data_) return;
    rows_ = (*data_).view();
    const auto unchanged = context();
    if (!unchanged) return;
    out_.unchanged = *unchanged;
    visit_columns((*data_).limits,
                  [&](std::string_view column, auto& value, const auto&) { number("limits", column, "", value, 0); });
    visit_tables(*data_, [&](std::string_view kind, auto& rows) {
      for (auto& row : rows)
        if (RowsInUse{own_}(row)) columns_of(table_key(kind), row);
    });
    given_elements();
    // The elements by metal and by number, the filler's last.
    const auto place = [&](const TracedNumber& n) {
      const int metal = n.alloy == nullptr ? 2 : n.alloy == c_.alloy ? 0 : 1;
      return n.element ? std::pair{metal, static_cast<int>(*n.element)} : std::pair{-1, 0};
    };
    std::stable_sort(out_.numbers.begin(), out_.numbers.end(),
                     [&](const TracedNumber& a, const TracedNumber& b) { return place(a) < place(b); });
  }

 private:
  const Case& c_;
  const Case& own_;  // of the pass
  std::size_t pass_;
  CatalogTrace& out_;
  Expected<CatalogData> data_;
  Catalog rows_;

  [[nodiscard]] std::optional<PassContext> context() const { return context_of(c_, c_.joint, pass_, rows_); }

  template <class Row>
  void columns_of(const std::string& table, Row& row) {
    SourceIndex source = 0;
    if constexpr (requires { row.source; }) source = row.source;
    if constexpr (std::is_same_v<Row, WireFamily>)  // of the gas that its voltages are for
      source = row.gas_rich_V.source != 0 ? row.gas_rich_V.source : row.gas_lean_V.source;
    visit_columns(row, [&](std::string_view column, auto& value, const auto&) {
      if constexpr (std::is_same_v<Row, HeatRange>) {
        if constexpr (std::is_same_v<std::decay_t<decltype(value)>, double>) heat_range_end(row, column, value);
      } else if constexpr (std::is_same_v<std::decay_t<decltype(value)>, Composition>) {
        analysis(table, column, row, value);
      } else {
        std::string_view row_id;
        // Of these tables more rows than one may act.
        if constexpr (std::is_same_v<Row, Preparation> || std::is_same_v<Row, CoolingJointRow> ||
                      std::is_same_v<Row, CompositionLimit> || std::is_same_v<Row, TravelRange> ||
                      std::is_same_v<Row, Alloy> || std::is_same_v<Row, Position>)
          row_id = row.id;
        if constexpr (std::is_same_v<Row, LimitStrength>) row_id = constraint_key(row.id);
        number(table, column, row_id, value, source);
      }
    });
  }

  template <class Value>
  void number(const std::string& table, std::string_view column, std::string_view row, Value& value,
              SourceIndex source) {
    if constexpr (std::is_same_v<Value, Constant>) {
      add(named(table, column, row, value), value.value);
    } else if constexpr (std::is_same_v<Value, double>) {
      add(named(table, column, row, {value, 0, source}), value);
    }
  }

  [[nodiscard]] TracedNumber named(const std::string& table, std::string_view column, std::string_view row,
                                   const Constant& constant) const {
    TracedNumber n;
    n.key = fmt::format("{}.{}", table, column);
    auto [words, unit] = words_and_unit(column);
    n.label = std::move(words);
    for (const auto& [key, text] : labels)
      if (key == n.key) n.label = text;
    if (!row.empty()) n.label += fmt::format(", {}", row);
    n.unit = std::move(unit);
    n.constant = constant;
    return n;
  }

  void heat_range_end(const HeatRange& row, std::string_view column, double& value) {
    TracedNumber n;
    n.key = fmt::format("heat-ranges.{}.{}", row.id, column);
    n.label = std::string(row.id);
    std::replace(n.label.begin(), n.label.end(), '-', ' ');
    n.label += column == "low" ? ", at least" : ", at most";
    n.unit = std::string(row.unit);
    n.constant = {value, 0, row.source};
    add(std::move(n), value);
  }

  [[nodiscard]] static TracedNumber element_of(std::string_view metal, std::string_view key, Element e,
                                               const Constant& percent) {
    TracedNumber n;
    n.key = fmt::format("{}.{}", key, element_symbol(e));
    n.label = fmt::format("{} of {}", element_symbol(e), metal);
    n.unit = "%";
    n.constant = percent;
    n.element = e;
    return n;
  }

  template <class Row>
  void analysis(const std::string& table, std::string_view column, const Row& row, Composition& metal) {
    for (std::size_t i = 0; i < element_count; ++i) {
      double& percent = metal.percent[i];
      if (percent <= 0) continue;
      const bool base = table == "alloys" && column == "typical";
      TracedNumber n = element_of(row.id, base ? "material.composition" : fmt::format("{}.{}", table, column),
                                  static_cast<Element>(i), {percent, 0, metal.source});
      if constexpr (std::is_same_v<Row, Alloy>) n.alloy = row.id == c_.alloy->id ? c_.alloy : c_.alloy2;
      add(std::move(n), percent);
    }
  }

  // The analysis that the joint file gives of its metal.
  void given_elements() {
    Joint joint = c_.joint;
    for (auto& [e, percent] : joint.composition) {
      if (percent <= 0) continue;
      TracedNumber n = element_of(c_.alloy->id, "material.composition", e, {percent, 0, 0});
      n.alloy = c_.alloy;
      n.given = true;
      add(std::move(n), percent, joint);
    }
  }

  void add(TracedNumber n, double& place) { add(std::move(n), place, c_.joint); }
  void add(TracedNumber n, double& place, const Joint& joint) {
    const double before = place;
    if (!std::isfinite(before) || before == 0) return;
    // An element that is bound by another, or outweighs it, may count for nothing until it is gone.
    for (const double by : {1 + change, 1 - change, 0.0}) {
      if (by == 0 && !n.element) continue;
      place = before * by;
      std::optional<PassContext> changed = context_of(c_, joint, pass_, rows_);
      if (!changed) continue;
      hold(n.constant, *changed);
      if (*changed != out_.unchanged) n.changed.push_back(std::move(*changed));
    }
    place = before;
    if (!n.changed.empty()) out_.numbers.push_back(std::move(n));
  }

  // What stands in the array as it is acts through the array, which has its own list; how far a distance may be off is
  // no number of its own.
  void hold(const Constant& constant, PassContext& changed) const {
    const PassContext& as_was = out_.unchanged;
    changed.spread = as_was.spread;
    changed.field_spread = as_was.field_spread;
    for (std::size_t k = 0; k < model_constant_count; ++k) {
      if (!(as_was.constants[k] == constant) || changed.constants[k] == constant) continue;
      changed.constants[k] = constant;
      changed.pulse.feed_min_m_per_min = as_was.pulse.feed_min_m_per_min;
      changed.pulse.feed_max_m_per_min = as_was.pulse.feed_max_m_per_min;
    }
  }
};

}  // namespace

CatalogTrace catalog_trace(const Plan& plan, std::size_t pass) {
  CatalogTrace trace;
  const Tracer tracer(plan, pass, trace);
  static_cast<void>(tracer);
  return trace;
}

}  // namespace seamwright
