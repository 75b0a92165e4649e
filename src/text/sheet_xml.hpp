// Cells and rows of a spreadsheet (SpreadsheetML, ECMA-376 part 1, 18.3), as text that is made before the number of its
// row is known: by several threads, say.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

// Looks of a cell: an index into the styles of sheet_styles_xml(). Those of numbers with fixed decimals follow on one
// another.
enum class SheetStyle : unsigned char {
  general,
  header,
  text,  // at the top of its cell, lines broken
  good,  // of a status; always with its word
  doubtful,
  bad,
  heading,
  heading_of_numbers,  // to the right, as they stand
  decimals_0,
  decimals_1,
  decimals_2,
  decimals_3,
  decimals_4
};
inline constexpr int most_sheet_decimals = 4;
[[nodiscard]] SheetStyle sheet_decimals(int decimals);

// "A", "Z", "AA" of 0, 25, 26.
[[nodiscard]] std::string sheet_column(std::size_t index);

// `lines`: of text, where its cells break it. Readers do not work it out.
void begin_sheet_row(std::string& out, std::size_t lines = 1);
void end_sheet_row(std::string& out);
// `text` as it is, also where it looks like a formula: a cell of text never is one. Letters that steer a terminal or
// that XML has no place for become '?'; beyond 32,767 letters, what a cell holds, it is cut and ends in "...".
void append_sheet_text(std::string& out, std::size_t column, std::string_view text, SheetStyle style);
// `number` as it is written in CSV: 6.5, 1e-05.
void append_sheet_number(std::string& out, std::size_t column, std::string_view number, SheetStyle style);

// Gives rows their numbers, from 1.
class SheetRows {
 public:
  // What a sheet holds at most, header and all.
  static constexpr std::uint64_t most = 1'048'576;
  // The rows with their numbers; valid until the next call. Rows beyond the most are left out, see full().
  [[nodiscard]] std::string_view number(std::string_view rows);
  [[nodiscard]] std::uint64_t count() const { return count_; }
  [[nodiscard]] bool full() const { return full_; }

 private:
  std::uint64_t count_ = 0;
  bool full_ = false;
  std::string digits_, out_;
};

struct SheetColumn {
  std::string header;
  double width = 0;  // in letters
};
// What stands before the rows: frozen header, widths. The header itself is the first row of the rows.
[[nodiscard]] std::string sheet_begin_xml(const std::vector<SheetColumn>& columns, bool frozen_header);
// What stands after them. `filtered`: "A1:AW21", or empty.
[[nodiscard]] std::string sheet_end_xml(std::string_view filtered);
[[nodiscard]] std::string_view sheet_styles_xml();
void append_sheet_header(std::string& out, const std::vector<SheetColumn>& columns);
// How many lines a text takes in a column of that width.
[[nodiscard]] std::size_t sheet_lines(std::string_view text, double width);

}  // namespace seamwright
