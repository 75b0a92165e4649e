// What the rows of a job list have in common: its columns, and the keys they hold.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "input/decimal_sign.hpp"
#include "input/job_headings.hpp"
#include "input/job_records.hpp"
#include "input/joint_entries.hpp"
#include "seamwright/diagnostic.hpp"
#include "text/toml_document.hpp"

namespace seamwright {

// A table, a header or the handing through holds no more.
inline constexpr std::size_t most_job_columns = 1000;

// What all rows have in common. Made once, then only read.
struct JobLayout {
  const Catalog* catalog = nullptr;  // names are looked up here
  JobFormat format = JobFormat::csv;
  char separator = ',';
  DecimalSign decimal = DecimalSign::detect;
  bool counted = false;             // there is a number of welds: a row that leaves it out counts one
  std::vector<std::string> passed;  // names of the columns passed through, in order
  std::string remark;               // what headings that are no keys were taken as; empty: there are none
  struct Column {
    std::string key;         // of a joint; empty: passed through
    std::size_t passed = 0;  // index
    bool text = false;       // of a joint: words, taken as they are
    bool shown = false;      // passed through, or a text of the user's own: comes out as it went in
    std::string unit;        // of a number alone, where the heading has one of its own
  };
  std::vector<Column> columns;  // CSV: one a cell
  TomlValue defaults;
  KeptList<Entry> default_entries;  // into `defaults`
};

struct JobLayoutOptions {
  std::vector<std::string> keep;             // names to hand through besides those that start with x-
  std::string defaults_text, defaults_name;  // a joint file; empty: none
  std::vector<HeadingMap> maps;              // of CSV: before what headings are recognised as
  DecimalSign decimal = DecimalSign::detect;
  // Whether the answer has a column of that name, which then cannot be passed through.
  bool (*is_answer)(std::string_view name) = [](std::string_view) { return false; };
};
// `first` is the CSV header or the first row; empty: it is longer than a row may be. Errors are of the whole list:
// another form than it was taken for, unknown columns with the nearest key, a required key that no row can have, faults
// of the defaults.
[[nodiscard]] Expected<std::unique_ptr<JobLayout>> read_job_layout(JobFormat format, char separator,
                                                                   std::string_view first,
                                                                   const JobLayoutOptions& options,
                                                                   const Catalog& catalog);

}  // namespace seamwright
