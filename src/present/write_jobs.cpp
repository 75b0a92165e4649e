#include "present/write_jobs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "present/sentence_units.hpp"
#include "present/write_csv.hpp"
#include "present/write_workbook.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"
#include "text/foreign_text.hpp"
#include "text/json_value.hpp"
#include "text/nearest_word.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

// What fits a sheet and what a shop asks for first. The rest is there by name.
constexpr std::string_view default_columns =
    "line,status,message,id,joint,alloy,wire,gas,mode,position,thickness,wire_diameter,pass_count,"
    "wire_feed,wire_feed_from,wire_feed_to,wire_feed_from_end,wire_feed_to_end,travel,travel_from,travel_to,"
    "current,current_from,current_to,voltage,voltage_from,voltage_to,"
    "peak_current,peak_time,base_current,base_time,pulse_frequency,modulation_frequency,modulation_amplitude,"
    "deposit_area,bead_width,penetration,heat_input,heat_input_from,heat_input_to,preheat,interpass,"
    "wire_mass,gas_volume,arc_time";

template <class Visit>
void for_each_word(std::string_view list, Visit visit) {
  while (!list.empty()) {
    const std::size_t comma = list.find(',');
    std::string_view word = list.substr(0, comma);
    while (!word.empty() && word.front() == ' ') word.remove_prefix(1);
    while (!word.empty() && word.back() == ' ') word.remove_suffix(1);
    if (!word.empty()) visit(word);
    list = comma == std::string_view::npos ? std::string_view() : list.substr(comma + 1);
  }
}

constexpr std::string_view count_columns = "quantity,wire_mass_all,gas_volume_all,arc_time_all";
constexpr std::string_view price_columns = "total_time,energy_drawn,cost_wire,cost_gas,cost_power,cost_labour,cost";
constexpr std::string_view counted_price_columns = "total_time_all,energy_drawn_all,cost_all";

// What is passed through is the user's own: a number stays one, also with a sign in front.
bool is_number(std::string_view cell) {
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return error == std::errc() && end == cell.data() + cell.size();
}

// Whether a spreadsheet shows it as it is written: no zeros in front or behind, no exponent, no more digits than it
// keeps. "007" and "1.10" may be drawings, and are not 7 and 1.1.
bool is_plain_number(std::string_view cell) {
  constexpr std::size_t digits_kept = 15;
  std::string_view digits = cell;
  if (!digits.empty() && digits.front() == '-') digits.remove_prefix(1);
  const bool zero_in_front = digits.size() > 1 && digits[0] == '0' && digits[1] != '.';
  const bool zero_behind = digits.find('.') != std::string_view::npos && digits.back() == '0';
  return !digits.empty() && digits.size() <= digits_kept && !zero_in_front && !zero_behind && digits.front() != '.' &&
         digits.back() != '.' && digits.find_first_not_of("0123456789.") == std::string_view::npos && is_number(cell);
}

SheetStyle status_style(std::string_view status) {
  return status == "ok" ? SheetStyle::good : status == "error" ? SheetStyle::bad : SheetStyle::doubtful;
}

}  // namespace

Expected<JobColumns> choose_job_columns(std::string_view list, std::span<const std::string> passed, bool counted,
                                        Units units, Currency currency) {
  std::vector<JobColumn> known;
  for (std::size_t i = 0; i < passed.size(); ++i) known.push_back({JobColumn::Kind::passed, passed[i], i, {}});
  known.push_back({JobColumn::Kind::line, "line", 0, {}});
  for (PlanColumn& column : plan_columns(units, currency)) {
    JobColumn job{JobColumn::Kind::plan, column.name, 0, std::move(column)};
    known.push_back(std::move(job));
  }
  const auto find = [&](std::string_view word) {
    return std::find_if(known.begin(), known.end(),
                        [&](const JobColumn& c) { return c.name == word || c.plan.key == word; });
  };
  JobColumns chosen;
  Diagnostics errors;
  const auto take_out = [&](std::string_view name) {
    std::erase_if(chosen.columns, [&](const JobColumn& c) { return c.name == name; });
  };
  const auto add = [&](const JobColumn& column) {
    take_out(column.name);
    chosen.columns.push_back(column);
  };
  const auto named = [&](std::string_view word) -> const JobColumn* {
    if (const auto it = find(word); it != known.end()) return &*it;
    if (const std::vector<PlanColumn> priced = plan_columns(units, ""); std::any_of(
            priced.begin(), priced.end(), [&](const PlanColumn& c) { return c.key == word || c.name == word; })) {
      errors.push_back({{fmt::format("--columns {}", word), 0, 0},
                        "needs prices",
                        "give --equipment FILE with a table [prices]; 'seamwright new equipment' shows one"});
      return nullptr;
    }
    std::vector<std::string_view> names;
    for (const JobColumn& c : known) names.push_back(c.plan.key.empty() ? c.name : c.plan.key);
    const std::string_view near = nearest_word(word, names);
    errors.push_back({{fmt::format("--columns {}", word), 0, 0},
                      "there is no such column",
                      near.empty() ? "'seamwright help outputs' lists the quantities; each has x, x_from, x_to, "
                                     "x_plus_minus, x_from_end, x_to_end as far as it can"
                                   : fmt::format("did you mean '{}'?", near)});
    return nullptr;
  };
  const auto add_defaults = [&] {
    for (const JobColumn& c : known)
      if (c.kind == JobColumn::Kind::passed) add(c);
    for_each_word(default_columns, [&](std::string_view word) { add(*find(word)); });
    if (counted) for_each_word(count_columns, [&](std::string_view word) { add(*find(word)); });
    if (currency) for_each_word(price_columns, [&](std::string_view word) { add(*find(word)); });
    if (currency && counted) for_each_word(counted_price_columns, [&](std::string_view word) { add(*find(word)); });
  };
  for_each_word(list, [&](std::string_view word) {
    if (word == "default") {
      add_defaults();
    } else if (word == "all") {
      for (const JobColumn& c : known) add(c);
    } else if (word.front() == '-') {
      if (const JobColumn* c = named(word.substr(1))) take_out(c->name);
    } else if (const JobColumn* c = named(word)) {
      add(*c);
    }
  });
  if (list.empty()) add_defaults();
  if (!errors.empty()) return errors;
  if (chosen.columns.empty())
    return Diagnostic{
        {fmt::format("--columns {}", list), 0, 0}, "names no column", "for example --columns id,wire_feed"};
  PlanOptions& o = chosen.options;
  o.detail = WindowDetail::band;
  o.grade = o.uncertainties = o.pool_ranges = o.suggestions = o.heat_report = o.box = o.confident = o.detail_tables =
      false;
  o.reasons = false;
  for (JobColumn& c : chosen.columns) {
    if (c.kind != JobColumn::Kind::plan) continue;
    c.decimals = shown_decimals(c.plan, units);
    const bool end = c.plan.kind == ColumnKind::from || c.plan.kind == ColumnKind::to;
    o.uncertainties = o.uncertainties || c.plan.kind == ColumnKind::plus_minus;
    o.pool_ranges = o.pool_ranges || (end && needs_pool(c.plan.field));
    o.box = o.box || is_box_column(c.plan.kind);
    o.reasons = o.heat_report = o.reasons || c.plan.kind == ColumnKind::warnings;
  }
  return chosen;
}

bool JobColumns::shows_line() const {
  return std::any_of(columns.begin(), columns.end(),
                     [](const JobColumn& c) { return c.kind == JobColumn::Kind::line; });
}

void JobWriter::append_header(std::string& out) const {
  if (!form_.is_csv()) return;
  if (form_.byte_order_mark) out += "\xEF\xBB\xBF";
  for (const JobColumn& column : columns_.columns) {
    append_csv_text(out, column.name, form_.separator);
    out += form_.separator;
  }
  out.back() = '\r';
  out += '\n';
}

void JobWriter::append_decimal(std::string& out, double value) const {
  const std::size_t begin = out.size();
  append_number(out, value);
  if (!form_.decimal_comma) return;
  if (const std::size_t point = out.find('.', begin); point != std::string::npos) out[point] = ',';
}

void JobWriter::append_csv(std::string& out, const JobColumn& column, const Cell& cell, const JobRow& row) const {
  if (column.kind == JobColumn::Kind::line) {
    out += cell.text;
  } else if (cell.kind == Cell::Kind::number) {
    append_decimal(out, cell.number);
  } else if (column.kind != JobColumn::Kind::passed) {
    append_csv_text(out, cell.text, form_.separator);
  } else if (is_number(cell.text)) {
    const std::size_t begin = out.size();
    out += cell.text;
    // A number of JSON or TOML has a point because all have there; text of CSV is as the user wrote it.
    const bool bare = !row.bare.empty() && row.bare[column.passed] != 0;
    if (form_.decimal_comma && bare)
      std::replace(out.begin() + static_cast<std::ptrdiff_t>(begin), out.end(), '.', ',');
  } else {
    append_csv_text(out, cell.text, form_.separator);
  }
  out += form_.separator;
}

void JobWriter::append_json(std::string& out, const JobColumn& column, const Cell& cell, const JobRow& row) {
  append_json_string(out, column.name);
  out += ':';
  if (cell.kind == Cell::Kind::empty) out += "null";
  if (column.kind == JobColumn::Kind::line)
    out += cell.text;
  else if (cell.kind == Cell::Kind::number)
    append_number(out, cell.number);
  // What is written as a number or true or false there stays it; an empty one is nothing.
  if (column.kind == JobColumn::Kind::passed && !row.bare.empty() && row.bare[column.passed] != 0)
    append_harmless_json(out, cell.text);
  else if (cell.kind == Cell::Kind::text)
    append_json_string(out, cell.text);
  out += ',';
}

void JobWriter::append_sheet(std::string& out, std::size_t index, const JobColumn& column, const Cell& cell) const {
  if (cell.kind == Cell::Kind::empty) return;
  if (column.kind == JobColumn::Kind::line) {
    append_sheet_number(out, index, cell.text, SheetStyle::decimals_0);
  } else if (cell.kind == Cell::Kind::number) {
    number_.clear();
    append_number(number_, cell.number);
    append_sheet_number(out, index, number_, sheet_decimals(column.decimals));
  } else if (column.kind == JobColumn::Kind::passed && is_plain_number(cell.text)) {
    append_sheet_number(out, index, cell.text, SheetStyle::general);
  } else {
    const bool status = column.kind == JobColumn::Kind::plan && column.plan.kind == ColumnKind::status;
    append_sheet_text(out, index, cell.text, status ? status_style(cell.text) : SheetStyle::general);
  }
}

void JobWriter::append_cell(std::string& out, std::size_t index, const Cell& cell, const JobRow& row) const {
  const JobColumn& column = columns_.columns[index];
  if (form_.is_csv())
    append_csv(out, column, cell, row);
  else if (form_.is_ndjson())
    append_json(out, column, cell, row);
  else
    append_sheet(out, index, column, cell);
}

Cell JobWriter::own_cell(const JobColumn& column, const JobRow& row) const {
  if (column.kind == JobColumn::Kind::line) return {Cell::Kind::number, line_, 0};
  if (row.passed[column.passed].empty()) return {};
  return {Cell::Kind::text, row.passed[column.passed], 0};
}

void JobWriter::begin_row(std::string& out, const JobRow& row) const {
  line_ = std::to_string(row.line);  // all of its digits
  if (form_.is_ndjson()) out += '{';
  if (form_.is_workbook()) begin_sheet_row(out);
}

void JobWriter::end_row(std::string& out) const {
  if (form_.is_workbook()) return end_sheet_row(out);
  out.pop_back();
  out += form_.is_ndjson() ? "}\n" : "\r\n";
}

template <class CellOf>
void JobWriter::append_row(std::string& out, const JobRow& row, CellOf cell_of) const {
  begin_row(out, row);
  for (std::size_t i = 0; i < columns_.columns.size(); ++i) {
    const JobColumn& column = columns_.columns[i];
    append_cell(out, i, column.kind == JobColumn::Kind::plan ? cell_of(column.plan) : own_cell(column, row), row);
  }
  end_row(out);
}

namespace {

// Told for each row of a list by itself, whatever its plan.
bool is_of_row(const PlanColumn& column) {
  return column.kind == ColumnKind::id || (!is_box_column(column.kind) && length_factor(column.field, 1, 1));
}

Estimate times(Estimate e, double factor) {
  for (double* part : {&e.value, &e.low, &e.high, &e.plus_minus}) *part *= factor;
  return e;
}

}  // namespace

void JobWriter::remember(JobAnswer& answer, const Plan& plan) {
  answer.feasible = plan.feasible;
  answer.cells.clear();
  answer.cell_ends.clear();
  answer.totals = plan.totals;
  const PlanRow whole{plan, plan.passes.empty() ? nullptr : &plan.passes.front(), true, units_};
  for (std::size_t i = 0; i < columns_.columns.size(); ++i) {
    const JobColumn& column = columns_.columns[i];
    if (column.kind != JobColumn::Kind::plan) continue;
    if (!is_of_row(column.plan)) append_cell(answer.cells, i, plan_cell(column.plan, whole, scratch_), {});
    answer.cell_ends.push_back(static_cast<std::uint32_t>(answer.cells.size()));
  }
}

void JobWriter::append_answer(std::string& out, const JobRow& row, const JobAnswer& answer,
                              const JobShare& share) const {
  begin_row(out, row);
  std::size_t begin = 0, next = 0;
  for (std::size_t i = 0; i < columns_.columns.size(); ++i) {
    const JobColumn& column = columns_.columns[i];
    if (column.kind != JobColumn::Kind::plan) {
      append_cell(out, i, own_cell(column, row), row);
      continue;
    }
    const std::size_t end = answer.cell_ends[next++];
    if (!is_of_row(column.plan)) {
      out.append(answer.cells, begin, end - begin);
    } else if (column.plan.kind == ColumnKind::id) {
      append_cell(out, i, *share.id ? Cell{Cell::Kind::text, **share.id, 0} : Cell{}, row);
    } else {
      const F id = column.plan.field;
      const Estimate& metre = answer.totals[static_cast<std::size_t>(id)];
      const Estimate total = times(metre, *length_factor(id, share.metres, share.count));
      append_cell(out, i, estimate_cell(column.plan, total, units_), row);
    }
    begin = end;
  }
  end_row(out);
}

void JobWriter::append_warnings(std::string& out, const JobRow& row, const Plan& plan) {
  const Case& c = plan.resolved;
  for (const Warning& warning : c.warnings) {
    scratch_.clear();
    append_in_units(scratch_, warning.text, units_);
    begin_sheet_row(out, sheet_lines(scratch_, warning_text_width));
    append_sheet_number(out, 0, std::to_string(row.line), SheetStyle::decimals_0);
    if (c.joint.id) append_sheet_text(out, 1, *c.joint.id, SheetStyle::general);
    append_sheet_text(out, 2, warning.id, SheetStyle::general);
    append_sheet_text(out, 3, scratch_, SheetStyle::text);
    end_sheet_row(out);
  }
}

void JobWriter::append_plan(std::string& out, const JobRow& row, const Plan& plan, bool per_pass) {
  const auto append = [&](const PassResult* pass, bool whole) {
    const PlanRow plan_row{plan, pass, whole, units_};
    append_row(out, row, [&](const PlanColumn& column) { return plan_cell(column, plan_row, scratch_); });
  };
  if (plan.passes.empty()) return append(nullptr, true);
  if (!per_pass) return append(&plan.passes.front(), true);
  for (const PassResult& pass : plan.passes) append(&pass, false);
}

void JobWriter::append_error(std::string& out, const JobRow& row, std::string_view id, std::string_view message) const {
  append_row(out, row, [&](const PlanColumn& column) -> Cell {
    if (column.kind == ColumnKind::status) return {Cell::Kind::text, "error", 0};
    if (column.kind == ColumnKind::message) return {Cell::Kind::text, message, 0};
    if (column.kind == ColumnKind::id && !id.empty()) return {Cell::Kind::text, id, 0};
    return {};
  });
}

}  // namespace seamwright
