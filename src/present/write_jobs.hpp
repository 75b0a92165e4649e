// The answers to a job list: chosen columns, as CSV (RFC 4180, units in the header) or as flat NDJSON with the same
// names.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "present/plan_columns.hpp"
#include "seamwright/diagnostic.hpp"
#include "seamwright/planner.hpp"

namespace seamwright {

struct JobColumn {
  enum class Kind : unsigned char { line, passed, plan } kind = Kind::plan;
  std::string name;
  std::size_t passed = 0;  // index among the columns passed through
  PlanColumn plan;
};

struct JobColumns {
  std::vector<JobColumn> columns;
  PlanOptions options;  // nothing is worked out that no column shows
};

// `list`: names with commas between, with or without their units; "default" and "all" stand for whole lists, "-NAME"
// takes a column out again. Empty: the default. Columns passed through come first unless they are named.
[[nodiscard]] Expected<JobColumns> choose_job_columns(std::string_view list, std::span<const std::string> passed,
                                                      Units units);

struct JobRow {
  std::uint64_t line = 0;
  std::span<const std::string> passed;
  std::span<const unsigned char> bare = {};  // of those: stands in JSON as it is; none: all are strings
};

class JobWriter {
 public:
  JobWriter(const JobColumns& columns, Units units, bool ndjson) : columns_(columns), units_(units), ndjson_(ndjson) {}

  // Nothing for NDJSON.
  void append_header(std::string& out) const;
  // One row for the joint, or one for each pass.
  void append_plan(std::string& out, const JobRow& row, const Plan& plan, bool per_pass);
  void append_error(std::string& out, const JobRow& row, std::string_view id, std::string_view message) const;

 private:
  const JobColumns& columns_;
  Units units_;
  bool ndjson_;
  std::string scratch_;

  template <class CellOf>
  void append_row(std::string& out, const JobRow& row, CellOf cell_of) const;
};

}  // namespace seamwright
