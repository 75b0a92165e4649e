// Quantities written as text: "6 mm", "1/4 in", "350 ipm", "70 F", "6..8 mm/s".
//
// Every unit known is one row of a constant table: name, dimension, exact factor. The values that come out are in the
// unit the caller names. Errors carry no place: the caller knows it.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "seamwright/diagnostic.hpp"
#include "seamwright/interval.hpp"

namespace seamwright {

enum class Dimension : unsigned char {
  share,
  length,
  area,
  speed,
  current,
  current_rise,
  voltage,
  power,
  energy_per_length,
  temperature,
  time,
  frequency,
  flow,
  volume,
  mass,
  angle,
  inductance,
  hydrogen,
  hardness,
  energy
};
[[nodiscard]] std::string_view dimension_label(Dimension dimension);  // "a length"

struct Unit {
  std::string_view name;  // without spaces: "ml/100g"
  Dimension dimension;
  double numerator, denominator;  // value in the dimension's base unit = (value + offset) * numerator / denominator
  double offset = 0;              // temperatures only
};
[[nodiscard]] std::span<const Unit> units();
// Null when unknown. Spaces are ignored and the degree sign reads "deg".
[[nodiscard]] const Unit* find_unit(std::string_view name);

// One quantity. A number without a unit is in `unit`, which must be in the table; "" is a plain number.
// Refused with an own message: nothing, no number, decimal comma, nan and inf, overflow, unknown unit, other dimension.
[[nodiscard]] Expected<double> parse_quantity(std::string_view text, std::string_view unit);

// "6..8 mm/s", "6 mm/s..8 mm/s", one quantity (low == high), or with an open end ("..1.5", "0.5..": infinite there)
// when `open_ends`. A unit missing on the low side is that of the high side. low > high is an error.
[[nodiscard]] Expected<Interval> parse_interval(std::string_view text, std::string_view unit, bool open_ends);

// What a decimal number stands for that std::from_chars finds out of range: 0 where it is too small, else infinity.
[[nodiscard]] double beyond_double(std::string_view number);

// A number for messages: shortest text that reads back the same.
[[nodiscard]] std::string number_text(double value);
// With its unit: "6 mm", "0.5".
[[nodiscard]] std::string with_unit(double value, std::string_view unit);

}  // namespace seamwright
