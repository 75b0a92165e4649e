#include "present/write_csv.hpp"

#include <array>
#include <vector>

#include "text/foreign_text.hpp"

namespace seamwright {
namespace {

constexpr std::string_view line_end = "\r\n";

void append_leading(std::string& out, CsvCells leading) {
  for (const std::string& cell : leading) {
    append_csv_text(out, cell);
    out += ',';
  }
}

void end_row(std::string& out) {
  out.pop_back();  // the separator after the last cell
  out += line_end;
}

void append_row(std::string& out, CsvCells leading, const PlanRow& row, CsvColumns columns) {
  std::string scratch;
  append_leading(out, leading);
  for (const PlanColumn& column : columns) {
    append_csv_cell(out, plan_cell(column, row, scratch));
    out += ',';
  }
  end_row(out);
}

}  // namespace

void append_csv_text(std::string& out, std::string_view text, char separator) {
  const bool formula = !text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos;
  const std::array<char, 4> marks{separator, '"', '\r', '\n'};
  const bool quoted = text.find_first_of(std::string_view(marks.data(), marks.size())) != std::string_view::npos;
  if (quoted) out += '"';
  if (formula) out += '\'';
  for (;;) {  // line ends stand inside quotes; a quote is doubled
    const std::size_t quote = text.find('"');
    append_printable(out, text.substr(0, quote), LineBreaks::kept);
    if (quote == std::string_view::npos) break;
    out += "\"\"";
    text.remove_prefix(quote + 1);
  }
  if (quoted) out += '"';
}

void append_csv_cell(std::string& out, const Cell& cell) {
  if (cell.kind == Cell::Kind::text) append_csv_text(out, cell.text);
  if (cell.kind == Cell::Kind::number) append_number(out, cell.number);
}

void append_csv_header(std::string& out, CsvCells leading, CsvColumns columns) {
  append_leading(out, leading);
  for (const PlanColumn& column : columns) {
    append_csv_text(out, column.name);
    out += ',';
  }
  end_row(out);
}

void append_csv_plan(std::string& out, CsvCells leading, const Plan& plan, Units units, CsvColumns columns) {
  for (const PassResult& pass : plan.passes) append_row(out, leading, {plan, &pass, false, units}, columns);
  if (plan.passes.empty()) append_row(out, leading, {plan, nullptr, false, units}, columns);
}

void append_csv_error(std::string& out, CsvCells leading, std::string_view message, CsvColumns columns) {
  append_leading(out, leading);
  for (const PlanColumn& column : columns) {
    if (column.kind == ColumnKind::status) out += "error";
    if (column.kind == ColumnKind::message) append_csv_text(out, message);
    out += ',';
  }
  end_row(out);
}

}  // namespace seamwright
