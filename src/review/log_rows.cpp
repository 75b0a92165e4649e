#include "review/log_rows.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>
#include <limits>

#include "text/foreign_text.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr std::size_t block_bytes = 1u << 18;
constexpr std::size_t start_bytes = 1u << 16;  // enough for a header and some rows
constexpr std::size_t longest_line = 1u << 16;
constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

double& member(LogRow& row, LogQuantity quantity) {
  switch (quantity) {
    case LogQuantity::time:
      return row.time_s;
    case LogQuantity::current:
      return row.current_A;
    case LogQuantity::voltage:
      return row.voltage_V;
    case LogQuantity::feed:
      return row.feed_m_per_min;
    case LogQuantity::travel:
      return row.travel_mm_per_s;
    case LogQuantity::x:
      return row.x_mm;
    case LogQuantity::y:
      return row.y_mm;
    case LogQuantity::z:
      return row.z_mm;
    case LogQuantity::arc:
    case LogQuantity::count:
      break;
  }
  return row.arc;
}

// What loggers write where they have no reading.
bool says_missing(std::string_view cell) {
  std::string small;
  for (const char c : cell.substr(0, 8)) small += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  for (const std::string_view word : {"", "-", "--", "---", "na", "n/a", "nan", "null", "none", "?"})
    if (small == word) return true;
  return false;
}

bool read_flag(std::string_view cell, double& value) {
  for (const std::string_view word : {"on", "true", "yes", "ON", "On", "TRUE", "True", "Yes"})
    if (cell == word) value = 1;
  for (const std::string_view word : {"off", "false", "no", "OFF", "Off", "FALSE", "False", "No"})
    if (cell == word) value = 0;
  return std::isfinite(value);
}

}  // namespace

Diagnostics LogRows::begin(const LogFormat& format) {
  buffer_.resize(block_bytes);
  while (end_ < start_bytes && read_block()) {
  }
  if (error_ != 0)
    return {{{name_, 0, 0},
             fmt::format("cannot be read: {}", std::strerror(error_)),
             ""}};  // NOLINT(concurrency-mt-unsafe)
  auto found = find_layout(std::string_view(buffer_).substr(0, end_), name_, format);
  if (!found) return found.errors();
  layout_ = std::move(*found);
  at_ = layout_.data_begins;
  line_ = layout_.first_line;
  for (std::size_t i = 0; i < log_quantity_count; ++i) {
    const auto quantity = static_cast<LogQuantity>(i);
    const LogCell& cell = layout_[quantity];
    if (quantity == LogQuantity::time && format.rate_Hz > 0) continue;
    if (cell.column >= 0) wanted_.push_back({cell.column, quantity, cell.factor, cell.offset});
  }
  std::sort(wanted_.begin(), wanted_.end(), [](const Wanted& a, const Wanted& b) { return a.column < b.column; });
  plain_ = !layout_.decimal_comma && layout_.separator != ' ' && layout_.time_form == TimeForm::number;
  return {};
}

// Appends what one read gives; makes room first. False at the end or on a fault.
bool LogRows::read_block() {
  if (at_end_) return false;
  if (buffer_.size() - end_ < block_bytes / 2) {
    if (at_ > 0) {
      std::memmove(buffer_.data(), buffer_.data() + at_, end_ - at_);
      end_ -= at_;
      at_ = 0;
    }
    if (buffer_.size() - end_ < block_bytes / 2) buffer_.resize(buffer_.size() * 2);
  }
  ssize_t got = 0;
  do {
    got = ::read(descriptor_, buffer_.data() + end_, buffer_.size() - end_);
  } while (got < 0 && errno == EINTR);
  if (got < 0) error_ = errno;
  at_end_ = got <= 0;
  if (got > 0) end_ += static_cast<std::size_t>(got);
  return got > 0;
}

bool LogRows::next(std::vector<LogRow>& rows) {
  rows.clear();
  const char line_end = layout_.carriage_returns ? '\r' : '\n';
  while (rows.empty() && error_ == 0) {
    // Whole lines of what is there.
    while (rows.size() < 4096) {
      const char* begin = buffer_.data() + at_;
      const auto* stop = static_cast<const char*>(std::memchr(begin, line_end, end_ - at_));
      if (stop == nullptr) break;
      parse({begin, static_cast<std::size_t>(stop - begin)}, rows, false);
      at_ = static_cast<std::size_t>(stop - buffer_.data()) + 1;
      ++line_;
    }
    if (!rows.empty()) return true;
    if (end_ - at_ > longest_line) {  // no log's line: let it go
      ++faults_.short_rows;
      if (faults_.first_short_line == 0) faults_.first_short_line = line_;
      at_ = end_;
    }
    if (!read_block()) {
      if (end_ > at_) {
        parse({buffer_.data() + at_, end_ - at_}, rows, true);
        at_ = end_;
      }
      return !rows.empty();
    }
  }
  return !rows.empty();
}

void LogRows::parse(std::string_view line, std::vector<LogRow>& rows, bool last_without_end) {
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  if (plain_ && !last_without_end) {
    LogRow row{nothing, nothing, nothing, nothing, nothing, nothing, nothing, nothing, nothing};
    if (parse_plain(line.data(), line.data() + line.size(), row)) {
      ++faults_.rows;
      rows.push_back(row);
      return;
    }
  }
  parse_with_care(line, rows, last_without_end);
}

// The quick way: every wanted cell is a plain number. Anything else is left to parse_with_care.
bool LogRows::parse_plain(const char* at, const char* end, LogRow& row) const {
  int column = 0;
  const char separator = layout_.separator;
  for (const Wanted& want : wanted_) {
    for (; column < want.column; ++column) {
      at = static_cast<const char*>(std::memchr(at, separator, static_cast<std::size_t>(end - at)));
      if (at == nullptr) return false;
      ++at;
    }
    while (at < end && *at == ' ') ++at;
    double value = 0;
    const auto [stop, fault] = std::from_chars(at, end, value);
    if (fault != std::errc() || !std::isfinite(value) || (stop < end && *stop != separator)) return false;
    at = stop;
    member(row, want.quantity) = (value - want.offset) * want.factor;
  }
  return true;
}

void LogRows::parse_with_care(std::string_view line, std::vector<LogRow>& rows, bool last_without_end) {
  if (line.find_first_not_of(" \t\r") == std::string_view::npos || line.front() == '#' || line.front() == '%') return;
  if (line == layout_.header) {
    ++faults_.headers;
    return;
  }
  ++faults_.rows;
  split_cells(line, layout_.separator, cells_);
  if (wanted_.empty() || cells_.size() <= static_cast<std::size_t>(wanted_.back().column)) {
    if (last_without_end) {
      faults_.cut_off = true;
      return;
    }
    ++faults_.short_rows;
    if (faults_.first_short_line == 0) faults_.first_short_line = line_;
    return;
  }
  LogRow row{nothing, nothing, nothing, nothing, nothing, nothing, nothing, nothing, nothing};
  for (const Wanted& want : wanted_) {
    const std::string_view cell = cells_[static_cast<std::size_t>(want.column)];
    double value = nothing;
    bool read = want.quantity == LogQuantity::time && layout_.time_form == TimeForm::clock
                    ? read_clock(cell, value)
                    : read_reading(cell, layout_.decimal_comma, value);
    if (!read && want.quantity == LogQuantity::arc) read = read_flag(cell, value);
    if (read && std::isfinite(value)) {
      member(row, want.quantity) = (value - want.offset) * want.factor;
    } else if (says_missing(cell) || read) {
      ++faults_.missing;
      if (faults_.first_missing_line == 0) faults_.first_missing_line = line_;
    } else {
      ++faults_.unreadable;
      if (faults_.first_unreadable_line == 0) {
        faults_.first_unreadable_line = line_;
        faults_.first_unreadable = printable(text_start(cell, 24));
      }
    }
  }
  rows.push_back(row);
}

}  // namespace seamwright
