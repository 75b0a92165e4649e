#include "io/write_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "io/joint_words.hpp"
#include "io/plan_columns.hpp"
#include "io/text_layout.hpp"
#include "io/text_plot.hpp"
#include "io/write_csv.hpp"

namespace seamwright {
namespace {

constexpr std::array suit_types{JointType::fillet, JointType::butt};

// Short heads for narrow columns.
std::string_view short_label(F id) {
  switch (id) {
    case F::wire_feed:
      return "feed";
    case F::peak_current:
      return "peak";
    case F::peak_time:
      return "peak t";
    case F::base_current:
      return "base";
    case F::base_time:
      return "base t";
    case F::pulse_frequency:
      return "pulses";
    case F::current_rise:
      return "rise";
    case F::inductance:
      return "induct.";
    case F::modulation_amplitude:
      return "swing";
    case F::arc_length:
      return "arc";
    default:
      return field(id).label;
  }
}

// "m/min" -> "m_per_min" as elsewhere in CSV: the header of the plan's own column for the quantity.
std::string csv_name(F id, Units units) {
  for (const PlanColumn& column : plan_columns(units))
    if (column.field == id && column.kind == ColumnKind::value) return column.name;
  return std::string(field(id).key);
}

}  // namespace

std::vector<F> line_fields(Mode mode) {
  std::vector<F> ids{F::wire_feed, F::current, F::voltage};
  if (is_pulsed(mode)) {
    ids.insert(ids.end(), {F::peak_current, F::peak_time, F::base_current, F::pulse_frequency});
    if (mode == Mode::double_pulse) ids.push_back(F::modulation_amplitude);
  }
  ids.insert(ids.end(), {F::current_rise, F::inductance});
  return ids;
}

std::string plates_text(const SynergicLine& line, JointType type, double feed, Units units) {
  std::string text;
  const LineSuit *first = nullptr, *last = nullptr;
  const auto flush = [&] {
    if (first == nullptr) return;
    const auto number = [&](const LineSuit& s) {
      return units == Units::us ? fixed_text(length_in_units(s.thickness_mm, units), 3) : short_text(s.thickness_mm);
    };
    text += fmt::format("{}{}", text.empty() ? "" : ", ", number(*first));
    if (last != first) text += fmt::format("-{}", number(*last));
    first = nullptr;
  };
  // The thicknesses of the plan's own list lie next to each other when both suit.
  for (const LineSuit& s : line.suits) {
    if (s.type != type) continue;
    if (!s.wire_feed_m_per_min.contains(feed)) {
      flush();
      continue;
    }
    if (first == nullptr) first = &s;
    last = &s;
  }
  flush();
  return text.empty() ? "-" : text;
}

std::string line_table(const SynergicLine& line, const TableOptions& options) {
  const Case& c = line.resolved;
  const Units units = options.units;
  std::string out = fmt::format("{}, {}, {}, {}\n", c.wire->id, length_text(c.diameter_mm, units), c.gas_name,
                                key_words(mode_key(c.mode)));
  out += fmt::format("{} of free wire, contact tip to arc\n", length_text(c.extension_mm, units));
  for (const Choice& choice : c.choices)
    if (choice.key == "wire.diameter" || choice.key == "gas.designation" || choice.key == "process.mode")
      out += fmt::format("  chosen: {} {}\n", choice.key, choice.value);
  for (const Warning& w : c.warnings) append_entry(out, "!", w.text, 4, options.width);
  const FieldInfo& feed = field(F::wire_feed);
  out += fmt::format(
      "Stable from {} ({}) to {} ({}).\n\n", quantity_with_unit(feed, line.low.wire_feed_m_per_min, units),
      constraint(line.low.constraint.id).label, quantity_with_unit(feed, line.high.wire_feed_m_per_min, units),
      constraint(line.high.constraint.id).label);
  constexpr std::size_t width = 8, spread_width = 4, trim_width = 12, plate_width = 9;
  const std::vector<F> ids = line_fields(c.mode);
  std::string heads, unit_line;
  for (const F id : ids) {
    append_right(heads, short_label(id), width);
    append_right(unit_line, unit_of(field(id), units), width);
    if (id == F::current || id == F::voltage) {
      append_right(heads, "+-", spread_width);
      unit_line.append(spread_width, ' ');
    }
    if (id == F::voltage) {
      append_right(heads, "trim within", trim_width);
      unit_line.append(trim_width, ' ');
    }
  }
  out += fmt::format("{0}  {1:<{6}}{2}\n{3}  {4:<{6}}{5}\n", heads, "fillet", "butt", unit_line, length_unit(units),
                     length_unit(units), plate_width);
  for (const LineRow& row : line.rows) {
    for (const F id : ids) {
      append_right(out, quantity_text(field(id), row.value[id], units), width);
      if (id == F::current || id == F::voltage)
        append_right(out, difference_text(field(id), row.plus_minus[id], units), spread_width);
      if (id == F::voltage)
        append_right(out,
                     fmt::format("{}-{}", quantity_text(field(id), row.voltage_low_V, units),
                                 quantity_text(field(id), row.voltage_high_V, units)),
                     trim_width);
    }
    out += "  ";
    append_left(out, plates_text(line, JointType::fillet, row.value[F::wire_feed], units), plate_width);
    out += plates_text(line, JointType::butt, row.value[F::wire_feed], units);
    out += '\n';
  }
  out +=
      "\n+-: how far off the calculation may be, 9 welds in 10. fillet, butt: plates whose root or only pass has a\n"
      "window at that feed, with this wire, gas and mode, plates alike, usual preparation.\n";
  return out;
}

std::string line_csv(const SynergicLine& line, Units units) {
  const std::vector<F> ids = line_fields(line.resolved.mode);
  std::string out;
  for (const F id : ids) {
    const std::string name = csv_name(id, units);
    out += fmt::format("{}{}", out.empty() ? "" : ",", name);
    if (field(id).range != Range::total && id != F::wire_feed) out += fmt::format(",{}_plus_minus", name);
    if (id == F::voltage) out += ",voltage_from_V,voltage_to_V";
  }
  const std::string unit(length_unit(units));
  out += fmt::format(",fillet_plates_{0},butt_plates_{0}\r\n", unit);
  for (const LineRow& row : line.rows) {
    bool first = true;
    const auto number = [&](double value) {
      if (!first) out += ',';
      first = false;
      append_number(out, value);
    };
    for (const F id : ids) {
      number(in_units(field(id), row.value[id], units));
      if (id != F::wire_feed) number(difference_in_units(field(id), row.plus_minus[id], units));
      if (id == F::voltage) {
        number(row.voltage_low_V);
        number(row.voltage_high_V);
      }
    }
    for (const JointType type : suit_types) {
      out += ',';
      append_csv_text(out, plates_text(line, type, row.value[F::wire_feed], units));
    }
    out += "\r\n";
  }
  return out;
}

std::string line_plot(const SynergicLine& line, std::size_t width, Units units) {
  const FieldInfo& feed = field(F::wire_feed);
  const auto plot_of = [&](F id) {
    double low = 1e9, high = -1e9;
    for (const LineRow& row : line.rows) {
      low = std::min(low, row.value[id]);
      high = std::max(high, row.value[id]);
    }
    const double border = std::max(0.1 * (high - low), 0.02 * high);
    TextPlot plot(static_cast<int>(std::clamp<std::size_t>(width, 60, 90)) - 14, 12,
                  in_units(feed, line.rows.front().value[F::wire_feed], units),
                  in_units(feed, line.rows.back().value[F::wire_feed], units), low - border, high + border);
    for (std::size_t i = 1; i < line.rows.size(); ++i)
      plot.join(in_units(feed, line.rows[i - 1].value[F::wire_feed], units), line.rows[i - 1].value[id],
                in_units(feed, line.rows[i].value[F::wire_feed], units), line.rows[i].value[id], '*');
    return plot.text(fmt::format("{}, {}", feed.label, unit_of(feed, units)),
                     fmt::format("{}, {}", field(id).label, field(id).unit));
  };
  return plot_of(F::current) + '\n' + plot_of(F::voltage);
}

}  // namespace seamwright
