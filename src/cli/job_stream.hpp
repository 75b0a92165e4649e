// A job list from a descriptor to an output: cut into blocks, answered by threads, written in order.
#pragma once

#include <atomic>
#include <cstdint>
#include <mutex>
#include <optional>
#include <string>

#include "cli/console.hpp"
#include "input/job_reader.hpp"
#include "input/job_records.hpp"
#include "present/job_summary.hpp"
#include "present/write_jobs.hpp"
#include "present/write_workbook.hpp"
#include "seamwright/equipment.hpp"

namespace seamwright {

// Bytes of rows to take: those of the whole list, of a shard, those that are not answered yet.
struct JobRange {
  std::uint64_t from = 0, to = UINT64_MAX;  // a row counts where its first byte lies in it
  std::uint64_t skip = 0;                   // rows of the range that are answered already
};

// The rows of a descriptor as they come in.
class JobSource {
 public:
  JobSource(int descriptor, std::uint64_t bytes) : descriptor_(descriptor), bytes_(bytes) {}

  // Reads up to the end of the header, or of the first row, which stays unread where there is no header. Blank lines
  // and comments before it are let go as they come. False with error() 0: the input is empty.
  [[nodiscard]] bool begin(std::optional<JobFormat> format, std::optional<char> separator);
  [[nodiscard]] JobFormat format() const { return format_; }
  [[nodiscard]] char separator() const { return separator_; }
  [[nodiscard]] const std::string& first() const { return first_; }
  [[nodiscard]] std::uint64_t first_line() const { return first_line_; }
  // A range far into a file is gone to: what lies before it is not read, see find_row_begin. False: error() says why.
  [[nodiscard]] bool start(const JobRange& range);

  [[nodiscard]] bool full() const;  // a block's worth of rows is there
  [[nodiscard]] bool any() const { return !rows_.empty(); }
  [[nodiscard]] bool at_end() const { return at_end_; }
  [[nodiscard]] bool ready() const;  // a read would not wait
  // One read. False: it failed, error() says why.
  [[nodiscard]] bool read_more();
  // Hands out the rows that are there, at most a block's worth. Their lines count from where reading went on.
  void take(std::string& text, std::vector<JobRecord>& rows);
  // How many lines lie before that. They are counted when this is asked for the first time, by whichever thread: that
  // reads all that was passed over. Nothing: the program is to end, or error() says why.
  [[nodiscard]] std::optional<std::uint64_t> lines_before();

  [[nodiscard]] int descriptor() const { return descriptor_; }
  [[nodiscard]] int error() const { return error_; }
  // Share of the range that is read, from the first row of this run on. Nothing: the length is not known.
  [[nodiscard]] std::optional<double> share_done() const;

 private:
  int descriptor_;
  std::uint64_t bytes_;  // of the input, 0 when it is not known
  JobFormat format_ = JobFormat::csv;
  char separator_ = ',';
  std::string first_;
  std::uint64_t first_line_ = 1;
  RecordScanner scanner_{JobFormat::csv, ','};
  JobRange range_;
  std::string buffer_;
  std::size_t begin_ = 0, scanned_ = 0;  // of the rows not handed out; what is scanned of them
  std::uint64_t offset_ = 0;             // of buffer_[scanned_] in the input
  std::optional<std::uint64_t> began_;   // where the first row of the range lies
  std::vector<JobRecord> rows_;          // offsets from begin_
  bool at_end_ = false;
  std::atomic<int> error_ = 0;
  std::int64_t base_ = 0;      // of the descriptor's file, where the input begins
  std::uint64_t entered_ = 0;  // where in the input reading went on
  std::once_flag counted_;
  std::optional<std::uint64_t> lines_before_;

  bool go_to_range();
  std::size_t read_at(char* to, std::size_t size, std::uint64_t at);
  void count_lines();
  bool append_input();
  bool more_input();
  void pass_over(std::size_t bytes);
  [[nodiscard]] std::string_view unread() const { return std::string_view(buffer_).substr(begin_); }
  std::optional<RecordScanner::Step> find_row();
  void scan();
};

struct JobRun {
  const JobLayout& layout;
  const JobColumns& columns;
  const Equipment* equipment = nullptr;
  std::optional<Preference> prefer;  // before that of a row and of the equipment
  Units units = Units::metric;
  AnswerForm form;
  bool per_pass = false, stop_on_error = false, summary = false, progress = false;
  bool check = false;            // read alone: nothing is solved, and what is wrong goes to standard error
  std::string name;              // of the list, for those messages
  Workbook* workbook = nullptr;  // takes the rows in place of the output
  std::size_t threads = 1;
  std::string head;       // written before the first row
  std::string expected;   // what the first rows must begin with: it was there before
  std::uint64_t cut = 0;  // where the output goes on
  bool resumed = false;
  int worst = exit_answered;  // of the rows that were there before
};

struct JobOutcome {
  int worst = exit_answered;     // of the rows
  bool written = true;           // false: the output failed
  bool read = true;              // false: the input failed
  bool started = true;           // false: the system gives no more threads, or see system_error
  int system_error = 0;          // errno of what the run itself needs of the system, beside input and output
  bool differs = false;          // from `expected`: nothing was written
  std::uint64_t stopped_at = 0;  // line of the row that stopped the run
  int signal = 0;
  std::uint64_t rows = 0, errors = 0;  // of this run
  JobSummary summary;
};
[[nodiscard]] JobOutcome run_jobs(JobSource& source, const JobRun& run, Output& output);

}  // namespace seamwright
