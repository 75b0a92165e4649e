#include "io/write_csv.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <iterator>

#include "io/quantity_groups.hpp"
#include "io/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::string_view line_end = "\r\n";

constexpr std::array<std::string_view, 9> case_columns{"status", "message", "id",   "joint",   "alloy",
                                                       "wire",   "gas",     "mode", "position"};
constexpr std::array<std::string_view, 2> length_columns{"thickness", "wire_diameter"};
constexpr std::array<std::string_view, 5> pass_columns{"pass", "pass_count", "role", "layer", "side"};

// "m/min" -> "m_per_min"
std::string column_unit(std::string_view unit) {
  if (unit.empty()) return {};
  std::string out = "_";
  for (const char c : unit) {
    if (c == '/')
      out += "_per_";
    else if (c == '%')
      out += "percent";
    else
      out += c == ' ' ? '_' : c;
  }
  return out;
}

class Row {
 public:
  explicit Row(std::string& out) : out_(out) {}
  void text(std::string_view cell) {
    separate();
    append_csv_text(out_, cell);
  }
  void number(double value) {
    separate();
    if (std::isfinite(value)) fmt::format_to(std::back_inserter(out_), "{:.6g}", value == 0 ? 0.0 : value);
  }
  void whole(int value) {
    separate();
    fmt::format_to(std::back_inserter(out_), "{}", value);
  }
  void empty(std::size_t cells) {
    for (std::size_t i = 0; i < cells; ++i) separate();
  }
  void end() { out_ += line_end; }

 private:
  std::string& out_;
  bool first_ = true;
  void separate() {
    if (!first_) out_ += ',';
    first_ = false;
  }
};

bool has_range(const FieldInfo& info) { return info.range != Range::total; }
bool has_ends(const FieldInfo& info) { return info.range == Range::setting; }
// value, from, to, plus_minus, and the two ends
std::size_t column_count(const FieldInfo& info) {
  return 2u + (has_range(info) ? 2u : 0u) + (has_ends(info) ? 2u : 0u);
}
std::size_t quantity_columns() {
  std::size_t columns = 0;
  for (const FieldInfo& info : fields()) columns += column_count(info);
  return columns;
}

void append_quantity(Row& row, const FieldInfo& info, const Estimate& e, Units units) {
  if (!e.present || !std::isfinite(e.value)) {
    row.empty(column_count(info));
    return;
  }
  row.number(in_units(info, e.value, units));
  if (has_range(info)) {
    row.number(in_units(info, e.low, units));
    row.number(in_units(info, e.high, units));
  }
  row.number(e.plus_minus > 0 ? difference_in_units(info, e.plus_minus, units) : not_applicable);
  if (has_ends(info))
    for (const C end : {e.low_end, e.high_end}) row.text(end == C::none ? "" : constraint(end).key);
}

std::string message_of(const PassResult& pass, Units units) {
  std::string message;
  for (const Shortfall& s : pass.conflicts)
    message +=
        fmt::format("{}{}: {}", message.empty() ? "" : "; ", constraint(s.margin.id).label, shortfall_words(s, units));
  return message;
}

// Why no mode went as far as a pass.
std::string message_of(const Plan& plan) {
  for (const ModeTrial& t : plan.trials)
    if (t.chosen) return t.remark;
  return "no mode is possible";
}

// The cells before the quantities. Null pass: there is none.
void append_case(Row& row, CsvCells leading, const Plan& plan, const PassResult* pass, Units units) {
  const Case& c = plan.resolved;
  for (const std::string& cell : leading) row.text(cell);
  row.text(pass != nullptr && pass->feasible ? "ok" : "no-window");
  row.text(pass != nullptr ? message_of(*pass, units) : message_of(plan));
  row.text(c.joint.id ? std::string_view(*c.joint.id) : std::string_view());
  row.text(joint_type_key(c.section.type));
  row.text(c.alloy->id);
  row.text(c.wire->id);
  row.text(c.gas_name);
  row.text(mode_key(c.mode));
  row.text(c.position == nullptr ? std::string_view() : c.position->id);
  row.number(length_in_units(c.section.thickness_mm, units));
  row.number(length_in_units(c.diameter_mm, units));
}

}  // namespace

void append_csv_text(std::string& out, std::string_view text) {
  const bool formula = !text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos;
  const bool quoted = text.find_first_of(",\"\r\n") != std::string_view::npos;
  if (quoted) out += '"';
  if (formula) out += '\'';
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  if (quoted) out += '"';
}

void append_csv_header(std::string& out, CsvCells leading, Units units) {
  Row row(out);
  for (const std::string& name : leading) row.text(name);
  for (const std::string_view name : case_columns) row.text(name);
  for (const std::string_view name : length_columns)
    row.text(fmt::format("{}{}", name, column_unit(length_unit(units))));
  for (const std::string_view name : pass_columns) row.text(name);
  for (const FieldInfo& info : fields()) {
    const std::string unit = column_unit(unit_of(info, units));
    row.text(fmt::format("{}{}", info.key, unit));
    if (has_range(info)) {
      row.text(fmt::format("{}_from{}", info.key, unit));
      row.text(fmt::format("{}_to{}", info.key, unit));
    }
    row.text(fmt::format("{}_plus_minus{}", info.key, unit));
    if (has_ends(info)) {
      row.text(fmt::format("{}_from_end", info.key));
      row.text(fmt::format("{}_to_end", info.key));
    }
  }
  row.end();
}

void append_csv_plan(std::string& out, CsvCells leading, const Plan& plan, Units units) {
  for (const PassResult& pass : plan.passes) {
    Row row(out);
    append_case(row, leading, plan, &pass, units);
    row.whole(pass.pass.number);
    row.whole(static_cast<int>(plan.passes.size()));
    row.text(pass_role_key(pass.pass.role));
    row.whole(pass.pass.layer);
    row.whole(pass.pass.side);
    for (const FieldInfo& info : fields()) append_quantity(row, info, pass[info.id], units);
    row.end();
  }
  if (plan.passes.empty()) {
    Row row(out);
    append_case(row, leading, plan, nullptr, units);
    row.empty(pass_columns.size() + quantity_columns());
    row.end();
  }
}

void append_csv_error(std::string& out, CsvCells leading, std::string_view message) {
  Row row(out);
  for (const std::string& cell : leading) row.text(cell);
  row.text("error");
  row.text(message);
  row.empty(case_columns.size() - 2 + length_columns.size() + pass_columns.size() + quantity_columns());
  row.end();
}

}  // namespace seamwright
