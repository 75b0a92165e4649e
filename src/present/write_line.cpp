#include "present/write_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>

#include "present/joint_words.hpp"
#include "present/plan_columns.hpp"
#include "present/sentence_units.hpp"
#include "present/text_plot.hpp"
#include "present/write_csv.hpp"
#include "text/text_layout.hpp"

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

// Column names as elsewhere in CSV: the plan's own.
std::string csv_name(F id, ColumnKind kind, Units units) {
  for (const PlanColumn& column : plan_columns(units))
    if (column.field == id && column.kind == kind) return column.name;
  return std::string(field(id).key);
}

// What a quantity may be set to or read between at a row, where it has such a range.
std::optional<Interval> range_at(const SynergicLine& line, const LineRow& row, F id) {
  if (id == F::voltage) return Interval{row.voltage_low_V, row.voltage_high_V};
  if (id == F::current_rise) return line.current_rise_A_per_ms;
  if (id == F::peak_current)
    return Interval{row.value[id] * (1 + 0.01 * line.peak_trim_percent.low),
                    row.value[id] * (1 + 0.01 * line.peak_trim_percent.high)};
  return std::nullopt;
}

// What the narrow table shows.
std::vector<F> table_fields(Mode mode) {
  std::vector<F> ids{F::wire_feed, F::current, F::voltage};
  if (is_pulsed(mode)) {
    ids.insert(ids.end(), {F::peak_current, F::peak_time, F::base_current, F::pulse_frequency});
    if (mode == Mode::double_pulse) ids.push_back(F::modulation_amplitude);
  }
  ids.insert(ids.end(), {F::current_rise, F::inductance});
  return ids;
}

}  // namespace

std::vector<F> line_fields(Mode mode) {
  std::vector<F> ids = table_fields(mode);
  ids.insert(ids.begin() + 2, F::current_rms);
  if (!is_dip(mode)) ids.push_back(F::arc_length);
  if (is_pulsed(mode)) ids.insert(ids.end(), {F::base_time, F::pulse_duty, F::drop_diameter});
  return ids;
}

std::optional<Interval> line_range(const SynergicLine& line, const LineRow& row, F id) {
  return range_at(line, row, id);
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

namespace {

struct TableColumn {
  std::string head, unit;
  std::size_t width = 0;
  bool left = false;
  std::function<std::string(const LineRow&)> cell;
};

std::vector<TableColumn> table_columns(const SynergicLine& line, Units units) {
  constexpr std::size_t width = 8, spread_width = 4, trim_width = 12;
  const std::size_t plate_width = units == Units::us ? 22 : 9;
  std::vector<TableColumn> columns;
  for (const F id : table_fields(line.resolved.mode)) {
    const FieldInfo& info = field(id);
    columns.push_back({std::string(short_label(id)), std::string(unit_of(info, units)), width, false,
                       [&info, units](const LineRow& row) { return quantity_text(info, row.value[info.id], units); }});
    if (id == F::current || id == F::voltage)
      columns.push_back({"+-", "", spread_width, false, [&info, units](const LineRow& row) {
                           return difference_text(info, row.plus_minus[info.id], units);
                         }});
    if (id == F::voltage)
      columns.push_back({"from-to", "", trim_width, false, [&info, units](const LineRow& row) {
                           return fmt::format("{}-{}", quantity_text(info, row.voltage_low_V, units),
                                              quantity_text(info, row.voltage_high_V, units));
                         }});
  }
  for (const auto& [head, type] : {std::pair("  fillet", JointType::fillet), std::pair("  butt", JointType::butt)}) {
    const auto cell = [&line, type = type, units](const LineRow& row) {
      return "  " + plates_text(line, type, row.value[F::wire_feed], units);
    };
    std::size_t widest = plate_width + 2;
    for (const LineRow& row : line.rows) widest = std::max(widest, letters(cell(row)));
    columns.push_back({head, fmt::format("  {}", length_unit(units)), widest, true, cell});
  }
  return columns;
}

// As many tables as the screen needs, each beginning with the first column.
void append_columns(std::string& out, const SynergicLine& line, const std::vector<TableColumn>& columns,
                    std::size_t screen) {
  std::size_t from = 1;
  const auto append_row = [&](std::size_t end, auto text) {
    std::string row;
    for (std::size_t i = 0; i < end; ++i) {
      if (i > 0 && i < from) continue;
      if (columns[i].left)
        append_left(row, text(columns[i]), columns[i].width);
      else
        append_right(row, text(columns[i]), columns[i].width);
    }
    row.resize(row.find_last_not_of(' ') + 1);
    out += row + '\n';
  };
  while (from < columns.size()) {
    std::size_t end = from, used = columns[0].width;
    while (end < columns.size() && (end == from || used + columns[end].width <= screen)) used += columns[end++].width;
    // What a value may be off stands beside it.
    while (end < columns.size() && end > from + 1 && columns[end].unit.empty()) --end;
    if (from > 1) out += '\n';
    append_row(end, [](const TableColumn& column) { return column.head; });
    append_row(end, [](const TableColumn& column) { return column.unit; });
    for (const LineRow& row : line.rows)
      append_row(end, [&row](const TableColumn& column) { return column.cell(row); });
    from = end;
  }
}

}  // namespace

std::string line_table(const SynergicLine& line, const TableOptions& options) {
  const Case& c = line.resolved;
  const Units units = options.units;
  std::string out;
  const auto paragraph = [&](const std::string& text) { append_wrapped(out, text, options.width, 0, 0); };
  paragraph(fmt::format("{}, {}, {}, {}", wire_words(*c.wire, units), wire_size_words(*c.catalog, c.diameter_mm, units),
                        c.gas_name, key_words(mode_key(c.mode))));
  paragraph(fmt::format("{} stick-out, contact tip to arc", length_text(c.extension_mm, units)));
  for (const Choice& choice : c.choices)
    if (choice.key == "wire.diameter" || choice.key == "gas.designation" || choice.key == "process.mode")
      append_entry(out, "chosen",
                   fmt::format("{} {}: {}", choice.key, choice_words(c, choice, units), reason_words(c, choice, units)),
                   10, options.width);
  for (const Warning& w : c.warnings) append_entry(out, "!", sentence_in_units(w.text, units), 4, options.width);
  const FieldInfo& feed = field(F::wire_feed);
  paragraph(fmt::format(
      "Stable from {} ({}) to {} ({}).", quantity_with_unit(feed, line.low.wire_feed_m_per_min, units),
      constraint(line.low.constraint.id).label, quantity_with_unit(feed, line.high.wire_feed_m_per_min, units),
      constraint(line.high.constraint.id).label));
  std::string usual =
      fmt::format("Throughout: current rise {} to {} A/ms (usual for the wire)",
                  short_text(line.current_rise_A_per_ms.low), short_text(line.current_rise_A_per_ms.high));
  if (is_pulsed(c.mode))
    usual +=
        fmt::format(", peak current {} to {} % of that shown (one drop a pulse)",
                    fixed_text(100 + line.peak_trim_percent.low, 0), fixed_text(100 + line.peak_trim_percent.high, 0));
  paragraph(usual + ".");
  out += '\n';
  append_columns(out, line, table_columns(line, units), options.width);
  out += '\n';
  paragraph(fmt::format(
      "+-: how far off the calculation may be, 9 welds in 10; CSV and JSON have it for every column. from-to: "
      "the voltage over the trim window. fillet, butt: plates of {} whose root or only pass has a window at "
      "that feed, with this wire, gas and mode, plates alike, usual preparation, position {}.",
      c.alloy->id, c.position->id));
  out += "\nCautions\n";
  for (const Warning& caution : line.cautions)
    append_entry(out, "-",
                 fmt::format("{} [{}]", sentence_in_units(caution.text, units),
                             source_kind_key(source_of(*c.catalog, caution.source).kind)),
                 4, options.width);
  return out;
}

std::string line_csv(const SynergicLine& line, Units units) {
  const std::vector<F> ids = line_fields(line.resolved.mode);
  std::string out;
  for (const F id : ids) {
    const auto name = [&](ColumnKind kind) { out += (out.empty() ? "" : ",") + csv_name(id, kind, units); };
    name(ColumnKind::value);
    if (range_at(line, line.rows.front(), id)) {
      name(ColumnKind::from);
      name(ColumnKind::to);
    }
    if (id != F::wire_feed) name(ColumnKind::plus_minus);
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
      if (const auto range = range_at(line, row, id)) {
        number(in_units(field(id), range->low, units));
        number(in_units(field(id), range->high, units));
      }
      if (id != F::wire_feed) number(difference_in_units(field(id), row.plus_minus[id], units));
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
    TextPlot plot(static_cast<int>(std::clamp<std::size_t>(width, 40, 90)) - 14, 12,
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
