// The answers to a job list as a workbook (Office Open XML, ECMA-376): a sheet of settings with the columns and values
// of the CSV, one of warnings, one of totals. Rows are packed as they come; memory does not grow with their number.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "present/job_summary.hpp"
#include "present/plan_columns.hpp"
#include "text/sheet_xml.hpp"
#include "text/zip_writer.hpp"

namespace seamwright {

// Names of the columns of the settings, and what they hold: text kinds are wide, numbers narrow.
struct WorkbookColumn {
  std::string name;
  ColumnKind kind{};
  bool own = false;  // the user's, or the line of the list
};

// Of the sheet of warnings, in letters.
inline constexpr double warning_text_width = 110;

class Workbook {
 public:
  Workbook(const std::vector<WorkbookColumn>& columns, Units units, ByteSink sink);

  // Rows made by JobWriter: those of the settings, and those of the warnings. False: see full() and too_long(); else
  // the sink failed, or there is no room for temporary files.
  [[nodiscard]] bool add(std::string_view rows, std::string_view warnings);
  [[nodiscard]] bool finish(const JobSummary& summary);
  // More rows than a sheet can hold.
  [[nodiscard]] bool full() const { return rows_.full(); }
  // More text than a part of a workbook can hold, 4 GiB.
  [[nodiscard]] bool too_long() const { return zip_.too_long(); }

 private:
  Units units_;
  std::size_t columns_;
  ZipWriter zip_;
  SpooledPart warnings_;
  SheetRows rows_, warning_rows_;
  std::string begin_;  // of the sheet of settings; empty: written
  [[nodiscard]] bool start();
  [[nodiscard]] bool finish_warnings();
  [[nodiscard]] std::string summary_sheet(const JobSummary& summary) const;
  [[nodiscard]] std::string workbook_xml() const;
};

// How many decimals the numbers of a column are shown with; -1: it holds text.
[[nodiscard]] int shown_decimals(const PlanColumn& column, Units units);

}  // namespace seamwright
