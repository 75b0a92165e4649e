// Rows of a job list turned into joints. Reads and checks; knows no physics.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "input/job_layout.hpp"
#include "input/joint_entries.hpp"
#include "seamwright/joint.hpp"
#include "text/json_value.hpp"

namespace seamwright {

struct Job {
  bool good = false;    // false: `message` says why there is no joint
  Joint joint;          // keeps its memory from row to row
  std::string message;  // one line
  std::string id;       // as given, also where the joint is refused
  std::vector<std::string> passed;
  std::vector<unsigned char> bare;  // of those: a number or true/false, not a string
};

// One line for a cell: the first error with its next step, and how many more there are.
[[nodiscard]] std::string one_line(const Diagnostics& errors);

// One for each thread: it keeps its buffers from row to row, but not those that a refused or long row has grown.
class JobReader {
 public:
  // `placed`: what is wrong is told at its place, see faults(); a job is then good or not, without a message.
  explicit JobReader(const JobLayout& layout, bool placed = false);
  // Valid until the next call.
  [[nodiscard]] Job& read(std::string_view row, JobFlaw flaw);

  // What the last row's plan hangs on, its defaults too, as a text: all but id, title, length and number of welds. Rows
  // of one text have one plan. False: the row holds more than scalars, and has no such text.
  [[nodiscard]] bool append_plan_key(std::string& out) const;

  // Of the last row read, placed: all that is wrong with it.
  [[nodiscard]] const Diagnostics& faults() const { return faults_; }
  // Faults that speak of keys of the last row, at their places in the list `name`, where the row begins at `line`.
  [[nodiscard]] Diagnostics in_place(Diagnostics faults, const std::string& name, std::uint64_t line) const;

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
  bool placed_ = false;
  Diagnostics faults_;
  std::string_view row_;
  std::string decimal_;

  bool take_csv(std::string_view row);
  bool take_cells();
  [[nodiscard]] std::optional<DecimalSign> decimal_sign_of_row();
  void set_cell(std::size_t column, DecimalSign sign);
  bool take_document(std::string_view row);
  bool take_passed();
  bool refuse(std::string message);
  bool refuse_cell(std::size_t column, std::string_view why);
  void let_go();
  void add_defaults();
  [[nodiscard]] Diagnostics reasons() const;
  [[nodiscard]] Place place_of(std::string_view key) const;
};

}  // namespace seamwright
