// Rows of a log as numbers, block by block from a descriptor.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "review/log_layout.hpp"

namespace seamwright {

// One row, in the units of the quantities; not a number where a cell is missing or unreadable.
struct LogRow {
  double time_s = 0;
  double current_A = 0, voltage_V = 0, feed_m_per_min = 0, travel_mm_per_s = 0;
  double x_mm = 0, y_mm = 0, z_mm = 0, arc = 0;
};

// What went wrong with rows on the way, and where it did first.
struct RowFaults {
  std::uint64_t rows = 0;                              // rows read
  std::uint64_t short_rows = 0, first_short_line = 0;  // with too few cells: left out
  std::uint64_t missing = 0, first_missing_line = 0;   // cells that are empty or say so
  std::uint64_t unreadable = 0, first_unreadable_line = 0;
  std::string first_unreadable;
  std::uint64_t headers = 0;  // the header again: let go
  bool cut_off = false;       // the last row ends within its cells: left out
};

class LogRows {
 public:
  LogRows(int descriptor, std::string name) : descriptor_(descriptor), name_(std::move(name)) {}
  // Reads the start and finds the layout.
  [[nodiscard]] Diagnostics begin(const LogFormat& format);
  [[nodiscard]] const LogLayout& layout() const { return layout_; }
  [[nodiscard]] const RowFaults& faults() const { return faults_; }
  // The next rows, in place of those in `rows`. False: there are no more, or reading failed: see error().
  [[nodiscard]] bool next(std::vector<LogRow>& rows);
  [[nodiscard]] int error() const { return error_; }

 private:
  // A cell to read: its column, and where the number goes.
  struct Wanted {
    int column;
    LogQuantity quantity;
    double factor, offset;
  };
  bool read_block();
  void parse(std::string_view line, std::vector<LogRow>& rows, bool last_without_end);
  bool parse_plain(const char* at, const char* end, LogRow& row) const;
  void parse_with_care(std::string_view line, std::vector<LogRow>& rows, bool last_without_end);

  int descriptor_;
  std::string name_;
  LogLayout layout_;
  std::vector<Wanted> wanted_;  // by column
  RowFaults faults_;
  std::string buffer_;
  std::size_t at_ = 0, end_ = 0;
  std::uint64_t line_ = 1;
  bool at_end_ = false;
  bool plain_ = false;  // numbers with a point, a separator that is one byte
  int error_ = 0;
  std::vector<std::string_view> cells_;
};

}  // namespace seamwright
