// Cutting a job list into its rows as it streams in.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

enum class JobFormat : unsigned char { csv, ndjson, toml };

// By the first character that is not blank: '{' is NDJSON, '[' or '#' is TOML, anything else CSV.
[[nodiscard]] JobFormat sniff_job_format(std::string_view text);
// Where the first row of a CSV text ends whose separator is not known yet: at its line feed, npos when that is not
// there.
[[nodiscard]] std::size_t header_end(std::string_view text);
// The separator of a header: of ',', ';' and tab the one that stands most often in the first row, outside quotes.
[[nodiscard]] char sniff_separator(std::string_view text);
// Whether a quoted cell of the row is not closed.
[[nodiscard]] bool has_open_quote(std::string_view row, char separator);

// A row longer than this is answered with an error.
inline constexpr std::size_t longest_job_bytes = std::size_t{1} << 20;

enum class JobFlaw : unsigned char { none, open_quote, too_long };

struct JobRecord {
  std::size_t offset = 0, size = 0;  // in the text scanned; without the line end
  std::uint64_t line = 0;            // where it begins, from 1
  JobFlaw flaw = JobFlaw::none;
};

// Blank lines are no rows. A CSV row may go over lines inside quotes; where a quote is never closed the row ends at its
// first line end and says so, so that what follows is still read. A TOML row runs from one [[job]] to the next.
class RecordScanner {
 public:
  RecordScanner(JobFormat format, char separator, std::size_t longest = longest_job_bytes)
      : format_(format), separator_(separator), longest_(longest) {}

  // What follows is of this kind; lines are counted on.
  void expect(JobFormat format, char separator) {
    format_ = format;
    separator_ = separator;
  }
  // What follows begins in the middle of a line: that is no row, nor is in TOML what follows up to the next [[job]].
  void expect_rest_of_line() { in_line_ = skipping_ = true; }
  // What follows begins inside a quoted cell of CSV, behind a line break: the row it belongs to is not found, or, where
  // it cannot be one, has the flaw of an open quote.
  void expect_rest_of_quotes() { in_quotes_ = true; }

  struct Step {
    std::size_t used = 0;  // bytes done with; 0: more text is needed, or there is none
    bool found = false;
    JobRecord record;
  };
  // The next row at the start of `text`; `at_end`: nothing will follow. What it finds does not hang on how much of the
  // text is there, as long as it grows to more than `longest` before it is given up.
  [[nodiscard]] Step next(std::string_view text, bool at_end);

 private:
  JobFormat format_;
  char separator_;
  std::size_t longest_;
  std::uint64_t line_ = 1;
  bool in_line_ = false;    // the rest of a line is no row
  bool in_quotes_ = false;  // nor is that of a quoted cell and its row
  bool skipping_ = false;   // TOML: nothing is a row before the next [[job]]

  Step finish(std::string_view text, std::size_t size, std::size_t used, JobFlaw flaw);
  Step finish_line(std::string_view text);
  Step finish_quotes(std::string_view text, bool at_end);
  Step next_line(std::string_view text, bool at_end);
  Step next_job_table(std::string_view text, bool at_end);
};

// Where the cell of that index begins in a row of CSV, its quote included.
[[nodiscard]] std::size_t csv_cell_begin(std::string_view row, char separator, std::size_t index);
// Whether a line of a TOML list begins a row: [[job]].
[[nodiscard]] bool starts_job(std::string_view line);

// The cells of a CSV row. Quotes and blanks around cells are taken off; views are into the row or `scratch`. False:
// text follows a closing quote.
[[nodiscard]] bool split_csv_row(std::string_view row, char separator, std::vector<std::string_view>& cells,
                                 std::string& scratch);

}  // namespace seamwright
