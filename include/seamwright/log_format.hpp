// How a log of readings is laid out: what its columns hold. Most of it is found out from the log itself.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "seamwright/diagnostic.hpp"

namespace seamwright {

enum class LogQuantity : std::size_t { time, current, voltage, feed, travel, x, y, z, arc, count };
inline constexpr std::size_t log_quantity_count = static_cast<std::size_t>(LogQuantity::count);
[[nodiscard]] std::string_view log_quantity_key(LogQuantity quantity);   // "time", "current", ...
[[nodiscard]] std::string_view log_quantity_unit(LogQuantity quantity);  // what it is held in: "s", "A", ...

struct LogColumn {
  std::string column;            // its name in the header, or its number from 1
  std::string unit;              // of what is read, before the scale; empty: by the header, else its own
  double scale = 1, offset = 0;  // value = (reading - offset) * scale
  Place place;
};

struct LogFormat {
  std::array<std::optional<LogColumn>, log_quantity_count> columns;
  char separator = 0;                 // 0: found out
  std::optional<bool> decimal_comma;  // found out when not given
  double rate_Hz = 0;                 // above 0: readings come at this rate, whatever the time column says
  [[nodiscard]] std::optional<LogColumn>& operator[](LogQuantity q) { return columns[static_cast<std::size_t>(q)]; }
  [[nodiscard]] const std::optional<LogColumn>& operator[](LogQuantity q) const {
    return columns[static_cast<std::size_t>(q)];
  }
};

// A TOML file with a table [log]:
//   separator = "semicolon"          # comma, semicolon, tab, blank
//   decimal = "comma"                # or point
//   rate = "50 kHz"
//   time = "t_ms"                    # a column's name or number; with a unit in the name, or
//   current = { column = 3, unit = "A", scale = 0.25, offset = 2048 }
[[nodiscard]] Expected<LogFormat> read_log_format(const std::string& path);
[[nodiscard]] Expected<LogFormat> read_log_format_text(std::string_view text, const std::string& name);

// One "--map" of the command line, "current=I", into `format`. Empty when it went well.
[[nodiscard]] Diagnostics map_column(LogFormat& format, std::string_view text);

}  // namespace seamwright
