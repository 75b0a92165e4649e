// The answers to a job list: chosen columns, as CSV (RFC 4180, units in the header), as flat NDJSON with the same
// names, or as the rows of a workbook.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "present/answer_form.hpp"
#include "present/plan_columns.hpp"
#include "seamwright/diagnostic.hpp"
#include "seamwright/planner.hpp"

namespace seamwright {

struct JobColumn {
  enum class Kind : unsigned char { line, passed, plan } kind = Kind::plan;
  std::string name;
  std::size_t passed = 0;  // index among the columns passed through
  PlanColumn plan;
  int decimals = -1;  // that a workbook shows of its numbers; -1: it holds text, or a whole number
};

struct JobColumns {
  std::vector<JobColumn> columns;
  PlanOptions options;  // nothing is worked out that no column shows

  // Whether the place of the row in the list is among them.
  [[nodiscard]] bool shows_line() const;
};

// `list`: names with commas between, with or without their units; "default" and "all" stand for whole lists, "-NAME"
// takes a column out again. Empty: the default. Columns passed through come first unless they are named. `counted`: the
// list has the number of welds, and the default the totals over them.
[[nodiscard]] Expected<JobColumns> choose_job_columns(std::string_view list, std::span<const std::string> passed,
                                                      bool counted, Units units, Currency currency = std::nullopt);

struct JobRow {
  std::uint64_t line = 0;
  std::span<const std::string> passed;
  std::span<const unsigned char> bare = {};  // of those: stands in JSON as it is; none: all are strings
};

// What rows of one plan have in common: the cells as they are written, and the totals of a metre of one weld.
struct JobAnswer {
  bool feasible = false;
  std::string cells;                     // of the columns that hang on the plan alone, one behind the other
  std::vector<std::uint32_t> cell_ends;  // of each column of the plan; where it begins for those set by the row
  std::array<Estimate, field_count> totals{};
};
// What such rows differ in.
struct JobShare {
  const Given<std::string>* id = nullptr;
  double metres = 1;
  double count = 0;  // of welds; 0: not given
};

class JobWriter {
 public:
  JobWriter(const JobColumns& columns, Units units, const AnswerForm& form)
      : columns_(columns), units_(units), form_(form) {}

  // Of CSV; the others have none here.
  void append_header(std::string& out) const;
  // One row for the joint, or one for each pass.
  void append_plan(std::string& out, const JobRow& row, const Plan& plan, bool per_pass);
  // The same in two steps, for rows that share a plan; of one row for the joint, and not for a workbook.
  void remember(JobAnswer& answer, const Plan& plan);
  void append_answer(std::string& out, const JobRow& row, const JobAnswer& answer, const JobShare& share) const;
  void append_error(std::string& out, const JobRow& row, std::string_view id, std::string_view message) const;
  // Rows of the workbook's sheet of warnings.
  void append_warnings(std::string& out, const JobRow& row, const Plan& plan);

 private:
  const JobColumns& columns_;
  Units units_;
  AnswerForm form_;
  std::string scratch_;
  mutable std::string number_, line_;  // of the cell, and of the row, being written

  void append_decimal(std::string& out, double value) const;
  void append_csv(std::string& out, const JobColumn& column, const Cell& cell, const JobRow& row) const;
  static void append_json(std::string& out, const JobColumn& column, const Cell& cell, const JobRow& row);
  void append_sheet(std::string& out, std::size_t index, const JobColumn& column, const Cell& cell) const;
  void append_cell(std::string& out, std::size_t index, const Cell& cell, const JobRow& row) const;
  [[nodiscard]] Cell own_cell(const JobColumn& column, const JobRow& row) const;
  void begin_row(std::string& out, const JobRow& row) const;
  void end_row(std::string& out) const;
  template <class CellOf>
  void append_row(std::string& out, const JobRow& row, CellOf cell_of) const;
};

}  // namespace seamwright
