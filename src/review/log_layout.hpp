// The layout of one log, found out from its first lines: separator, decimal sign, line ends, where the header is, which
// column holds what and in which unit.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/log_format.hpp"
#include "seamwright/review.hpp"

namespace seamwright {

enum class TimeForm : unsigned char { number, clock };  // clock: 10:15:30.25, with or without a date before it

struct LogCell {
  int column = -1;                // from 0; -1: not in the log
  double factor = 1, offset = 0;  // value = (reading - offset) * factor
};

struct LogLayout {
  char separator = ',';
  bool decimal_comma = false;
  bool carriage_returns = false;  // lines end with CR alone
  TimeForm time_form = TimeForm::number;
  std::array<LogCell, log_quantity_count> cells;
  std::array<std::string, log_quantity_count> names;
  std::string header;            // as written, so that a second one further on is known; empty: there is none
  std::size_t data_begins = 0;   // offset of the first row in the text
  std::uint64_t first_line = 1;  // its line
  std::vector<LogRemark> remarks;
  [[nodiscard]] const LogCell& operator[](LogQuantity q) const { return cells[static_cast<std::size_t>(q)]; }
  [[nodiscard]] LogCell& operator[](LogQuantity q) { return cells[static_cast<std::size_t>(q)]; }
  [[nodiscard]] bool has(LogQuantity q) const { return (*this)[q].column >= 0; }
};

// `text` is the start of the log, enough for its header and a few rows.
[[nodiscard]] Expected<LogLayout> find_layout(std::string_view text, const std::string& name, const LogFormat& format);

// The cells of a line, quotes and blanks around them taken off. Of a blank separator runs of blanks count as one.
void split_cells(std::string_view line, char separator, std::vector<std::string_view>& cells);

// One cell as a number; false where it is none. `seconds` from a clock form count from midnight.
[[nodiscard]] bool read_reading(std::string_view cell, bool decimal_comma, double& value);
[[nodiscard]] bool read_clock(std::string_view cell, double& seconds);

}  // namespace seamwright
