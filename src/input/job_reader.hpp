// Rows of a job list turned into joints. Reads and checks; knows no physics.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "input/job_records.hpp"
#include "input/joint_entries.hpp"
#include "seamwright/joint.hpp"
#include "text/json_value.hpp"

namespace seamwright {

// What all rows have in common. Made once, then only read.
struct JobLayout {
  const Catalog* catalog = nullptr;  // names are looked up here
  JobFormat format = JobFormat::csv;
  char separator = ',';
  std::vector<std::string> passed;  // names of the columns passed through, in order
  struct Column {
    std::string key;         // of a joint; empty: handed through
    std::size_t passed = 0;  // index
    bool text = false;       // of a joint: words, taken as they are
    bool shown = false;      // handed through, or a text of the user's own: comes out as it went in
  };
  std::vector<Column> columns;  // CSV: one a cell
  TomlValue defaults;
  KeptList<Entry> default_entries;  // into `defaults`
};

struct JobLayoutOptions {
  std::vector<std::string> keep;             // names to hand through besides those that start with x-
  std::string defaults_text, defaults_name;  // a joint file; empty: none
  // Whether the answer has a column of that name, which then cannot be handed through.
  bool (*is_answer)(std::string_view name) = [](std::string_view) { return false; };
};
// `first` is the CSV header or the first row; empty: it is longer than a row may be. Errors are of the whole list:
// another form than it was taken for, unknown columns with the nearest key, a required key that no row can have, faults
// of the defaults.
[[nodiscard]] Expected<std::unique_ptr<JobLayout>> read_job_layout(JobFormat format, char separator,
                                                                   std::string_view first,
                                                                   const JobLayoutOptions& options,
                                                                   const Catalog& catalog);

struct Job {
  bool good = false;    // false: `message` says why there is no joint
  Joint joint;          // keeps its memory from row to row
  std::string message;  // one line
  std::string id;       // as given, also where the joint is refused
  std::vector<std::string> passed;
  std::vector<unsigned char> bare;  // of those: a number or true/false, not a string
};

// A table, a header or the handing through holds no more.
inline constexpr std::size_t most_job_columns = 1000;

// One line for a cell: the first error with its next step, and how many more there are.
[[nodiscard]] std::string one_line(const Diagnostics& errors);

// One for each thread: it keeps its buffers from row to row, but not those that a refused or long row has grown.
class JobReader {
 public:
  explicit JobReader(const JobLayout& layout);
  // Valid until the next call.
  [[nodiscard]] Job& read(std::string_view row, JobFlaw flaw);

 private:
  const JobLayout& layout_;
  Job job_;
  std::string scratch_;
  std::vector<std::string_view> cells_;
  std::vector<Entry> column_entries_;  // CSV: one a column
  std::vector<TomlValue> column_values_;
  JsonReader json_;
  TomlValue document_;  // NDJSON, TOML
  KeptList<Entry> document_entries_;
  std::vector<const Entry*> entries_;
  std::size_t given_ = 0;  // of them by the row; the rest are defaults
  bool outgrown_ = false;  // the last row grew what is not to be kept

  bool take_csv(std::string_view row);
  bool take_document(std::string_view row);
  bool take_passed();
  bool refuse(std::string message);
  void let_go();
  void add_defaults();
  [[nodiscard]] std::string reasons() const;
};

}  // namespace seamwright
