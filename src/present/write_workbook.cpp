#include "present/write_workbook.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "text/rounded_text.hpp"

namespace seamwright {
namespace {

// The parts a workbook has besides its sheets; the names of the sheets stand in workbook_xml().
constexpr std::string_view content_types =
    "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
    "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">"
    "<Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>"
    "<Default Extension=\"xml\" ContentType=\"application/xml\"/>"
    "<Override PartName=\"/xl/workbook.xml\" "
    "ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml\"/>"
    "<Override PartName=\"/xl/styles.xml\" "
    "ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml\"/>"
    "<Override PartName=\"/xl/worksheets/sheet1.xml\" "
    "ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml\"/>"
    "<Override PartName=\"/xl/worksheets/sheet2.xml\" "
    "ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml\"/>"
    "<Override PartName=\"/xl/worksheets/sheet3.xml\" "
    "ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml\"/></Types>\n";
constexpr std::string_view package_relations =
    "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
    "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">"
    "<Relationship Id=\"rId1\" "
    "Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument\" "
    "Target=\"xl/workbook.xml\"/></Relationships>\n";
constexpr std::string_view workbook_relations =
    "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
    "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">"
    "<Relationship Id=\"rId1\" "
    "Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet\" "
    "Target=\"worksheets/sheet1.xml\"/>"
    "<Relationship Id=\"rId2\" "
    "Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet\" "
    "Target=\"worksheets/sheet2.xml\"/>"
    "<Relationship Id=\"rId3\" "
    "Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet\" "
    "Target=\"worksheets/sheet3.xml\"/>"
    "<Relationship Id=\"rId4\" "
    "Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles\" "
    "Target=\"styles.xml\"/></Relationships>\n";

double width_of(const WorkbookColumn& column) {
  constexpr double number = 11, word = 14, ends = 22, handed_through = 26, sentence = 40;
  if (column.own) return column.name == "line" ? 7 : column.name == "id" ? word : handed_through;
  switch (column.kind) {
    case ColumnKind::message:
    case ColumnKind::warnings:
      return sentence;
    case ColumnKind::wire:
    case ColumnKind::gas:
    case ColumnKind::alloy:
    case ColumnKind::mode:
      return word;
    case ColumnKind::from_end:
    case ColumnKind::to_end:
    case ColumnKind::box_stop:
    case ColumnKind::box_corner:
      return ends;
    default:
      return number;
  }
}

// Wide enough that the header breaks into three lines at most.
double width_with_header(const WorkbookColumn& column) {
  constexpr double lines = 3;
  return std::max(width_of(column), 2 + static_cast<double>(column.name.size()) / lines);
}

const std::vector<SheetColumn> warning_columns{{"line", 7}, {"id", 14}, {"warning", 26}, {"text", warning_text_width}};

}  // namespace

int shown_decimals(const PlanColumn& column, Units units) {
  const bool us = units == Units::us;
  switch (column.kind) {
    case ColumnKind::thickness:
    case ColumnKind::wire_diameter:
      return us ? 3 : 1;
    case ColumnKind::pass:
    case ColumnKind::pass_count:
    case ColumnKind::layer:
    case ColumnKind::side:
      return 0;
    case ColumnKind::box_share:
      return 2;
    case ColumnKind::value:
    case ColumnKind::from:
    case ColumnKind::to:
    case ColumnKind::plus_minus:
    case ColumnKind::box_from:
    case ColumnKind::box_to:
      return us ? field(column.field).us_decimals : field(column.field).decimals;
    default:
      return -1;
  }
}

Workbook::Workbook(const std::vector<WorkbookColumn>& columns, Units units, ByteSink sink)
    : units_(units), columns_(columns.size()), zip_(std::move(sink)) {
  std::vector<SheetColumn> sheet;
  for (const WorkbookColumn& column : columns) sheet.push_back({column.name, width_with_header(column)});
  begin_ = sheet_begin_xml(sheet, true);
  std::string header;
  append_sheet_header(header, sheet);
  begin_ += rows_.number(header);
}

bool Workbook::start() {
  std::string header;
  append_sheet_header(header, warning_columns);
  const bool begun = zip_.add_part("[Content_Types].xml", content_types) &&
                     zip_.add_part("_rels/.rels", package_relations) &&
                     zip_.add_part("xl/_rels/workbook.xml.rels", workbook_relations) &&
                     zip_.add_part("xl/styles.xml", sheet_styles_xml()) && zip_.begin("xl/worksheets/sheet1.xml") &&
                     zip_.add(begin_) && warnings_.add(sheet_begin_xml(warning_columns, true)) &&
                     warnings_.add(warning_rows_.number(header));
  begin_.clear();
  return begun;
}

bool Workbook::add(std::string_view rows, std::string_view warnings) {
  if (!begin_.empty() && !start()) return false;
  if (!zip_.add(rows_.number(rows)) || rows_.full()) return false;
  // A sheet of warnings that is full ends there and says so in the totals.
  return warning_rows_.full() || warnings_.add(warning_rows_.number(warnings));
}

bool Workbook::finish_warnings() {
  const std::string filtered = fmt::format("A1:{}{}", sheet_column(warning_columns.size() - 1), warning_rows_.count());
  return warnings_.add(sheet_end_xml(filtered)) && zip_.add_part("xl/worksheets/sheet2.xml", warnings_);
}

bool Workbook::finish(const JobSummary& summary) {
  if (!begin_.empty() && !start()) return false;
  const std::string filtered = fmt::format("A1:{}{}", sheet_column(columns_ - 1), rows_.count());
  return zip_.add(sheet_end_xml(filtered)) && zip_.end() && finish_warnings() &&
         zip_.add_part("xl/worksheets/sheet3.xml", summary_sheet(summary)) &&
         zip_.add_part("xl/workbook.xml", workbook_xml()) && zip_.finish();
}

std::string Workbook::workbook_xml() const {
  const auto filter = [](int sheet, std::string_view name, std::size_t columns, std::uint64_t rows) {
    return fmt::format(
        "<definedName name=\"_xlnm._FilterDatabase\" localSheetId=\"{}\" hidden=\"1\">{}!$A$1:${}${}"
        "</definedName>",
        sheet, name, sheet_column(columns - 1), rows);
  };
  const auto titles = [](int sheet, std::string_view name) {
    return fmt::format("<definedName name=\"_xlnm.Print_Titles\" localSheetId=\"{}\">{}!$1:$1</definedName>", sheet,
                       name);
  };
  return "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n"
         "<workbook xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" "
         "xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\">"
         "<bookViews><workbookView/></bookViews><sheets><sheet name=\"Settings\" sheetId=\"1\" r:id=\"rId1\"/>"
         "<sheet name=\"Warnings\" sheetId=\"2\" r:id=\"rId2\"/><sheet name=\"Totals\" sheetId=\"3\" r:id=\"rId3\"/>"
         "</sheets><definedNames>" +
         filter(0, "Settings", columns_, rows_.count()) +
         filter(1, "Warnings", warning_columns.size(), warning_rows_.count()) + titles(0, "Settings") +
         titles(1, "Warnings") + "</definedNames></workbook>\n";
}

std::string Workbook::summary_sheet(const JobSummary& summary) const {
  constexpr double label_width = 44, number_width = 14;
  std::vector<SheetColumn> columns(summary.needs_columns(units_).size() + 1, {{}, number_width});
  columns.front().width = label_width;
  std::string rows;
  const auto row = [&](std::string_view label, std::span<const SummaryCell> cells) {
    begin_sheet_row(rows);
    append_sheet_text(rows, 0, label, SheetStyle::general);
    for (std::size_t i = 0; i < cells.size(); ++i)
      append_sheet_number(rows, i + 1, short_text(cells[i].value), sheet_decimals(cells[i].decimals));
    end_sheet_row(rows);
  };
  const auto heading = [&](std::string_view label, std::span<const std::string> cells) {
    begin_sheet_row(rows);
    end_sheet_row(rows);
    begin_sheet_row(rows);
    append_sheet_text(rows, 0, label, SheetStyle::heading);
    for (std::size_t i = 0; i < cells.size(); ++i)
      append_sheet_text(rows, i + 1, cells[i], SheetStyle::heading_of_numbers);
    end_sheet_row(rows);
  };
  append_sheet_header(rows, {{"totals", label_width}, {"number", number_width}});
  for (const SummaryLine& line : summary.counts()) row(line.label, line.cells);
  if (warning_rows_.full()) row("warnings beyond what a sheet can hold are left out: split the list (--shard)", {});
  if (const std::vector<SummaryLine> reasons = summary.reasons(); !reasons.empty()) {
    heading("no window because of", {});
    for (const SummaryLine& line : reasons) row(line.label, line.cells);
  }
  if (const std::vector<SummaryLine> needs = summary.needs(units_); !needs.empty()) {
    heading("needed for those with a window", summary.needs_columns(units_));
    for (const SummaryLine& line : needs) row(line.label, line.cells);
  }
  if (const std::vector<SummaryLine> costs = summary.costs(); !costs.empty()) {
    heading("time and cost of those with a window", {});
    for (const SummaryLine& line : costs) row(line.label, line.cells);
  }
  SheetRows numbers;
  return sheet_begin_xml(columns, true) + std::string(numbers.number(rows)) + sheet_end_xml({});
}

}  // namespace seamwright
