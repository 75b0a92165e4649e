#include "text/units_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <vector>

#include "text/nearest_word.hpp"

namespace seamwright {
namespace {

constexpr std::size_t longest_quantity = 64;

// Exact by definition of the inch (25.4 mm), the foot (12 in) and the pound (453.592 37 g): NIST SP 811, appendix B. As
// whole numbers above and below the line, so that 12 in/min is 5.08 mm/s to the last digit. The first unit of each
// dimension is its base.
constexpr Unit table[] = {
    {"", Dimension::share, 1, 1},
    {"%", Dimension::share, 1, 100},
    {"mm", Dimension::length, 1, 1},
    {"cm", Dimension::length, 10, 1},
    {"m", Dimension::length, 1000, 1},
    {"um", Dimension::length, 1, 1000},
    {"in", Dimension::length, 254, 10},
    {"inch", Dimension::length, 254, 10},
    {"\"", Dimension::length, 254, 10},
    {"ft", Dimension::length, 3048, 10},
    {"mil", Dimension::length, 254, 10000},
    {"thou", Dimension::length, 254, 10000},
    {"mm2", Dimension::area, 1, 1},
    {"cm2", Dimension::area, 100, 1},
    {"in2", Dimension::area, 64516, 100},
    {"mm/s", Dimension::speed, 1, 1},
    {"cm/s", Dimension::speed, 10, 1},
    {"m/s", Dimension::speed, 1000, 1},
    {"in/s", Dimension::speed, 254, 10},
    {"mm/min", Dimension::speed, 1, 60},
    {"cm/min", Dimension::speed, 10, 60},
    {"m/min", Dimension::speed, 1000, 60},
    {"in/min", Dimension::speed, 254, 600},
    {"ipm", Dimension::speed, 254, 600},
    {"ft/min", Dimension::speed, 3048, 600},
    {"A", Dimension::current, 1, 1},
    {"mA", Dimension::current, 1, 1000},
    {"kA", Dimension::current, 1000, 1},
    {"A/ms", Dimension::current_rise, 1, 1},
    {"kA/s", Dimension::current_rise, 1, 1},
    {"A/s", Dimension::current_rise, 1, 1000},
    {"V", Dimension::voltage, 1, 1},
    {"mV", Dimension::voltage, 1, 1000},
    {"W", Dimension::power, 1, 1},
    {"kW", Dimension::power, 1000, 1},
    {"kJ/mm", Dimension::energy_per_length, 1, 1},
    {"J/mm", Dimension::energy_per_length, 1, 1000},
    {"kJ/cm", Dimension::energy_per_length, 1, 10},
    {"J/cm", Dimension::energy_per_length, 1, 10000},
    {"kJ/m", Dimension::energy_per_length, 1, 1000},
    {"MJ/m", Dimension::energy_per_length, 1, 1},
    {"kJ/in", Dimension::energy_per_length, 10, 254},
    {"J/in", Dimension::energy_per_length, 1, 25400},
    {"degC", Dimension::temperature, 1, 1},
    {"C", Dimension::temperature, 1, 1},
    {"degF", Dimension::temperature, 5, 9, -32},
    {"F", Dimension::temperature, 5, 9, -32},
    {"K", Dimension::temperature, 1, 1, -273.15},
    {"s", Dimension::time, 1, 1},
    {"ms", Dimension::time, 1, 1000},
    {"us", Dimension::time, 1, 1e6},
    {"min", Dimension::time, 60, 1},
    {"h", Dimension::time, 3600, 1},
    {"Hz", Dimension::frequency, 1, 1},
    {"kHz", Dimension::frequency, 1000, 1},
    {"l/min", Dimension::flow, 1, 1},
    {"L/min", Dimension::flow, 1, 1},
    {"m3/h", Dimension::flow, 1000, 60},
    {"cfh", Dimension::flow, 28316846592, 60e9},
    {"ft3/h", Dimension::flow, 28316846592, 60e9},
    {"l", Dimension::volume, 1, 1},
    {"L", Dimension::volume, 1, 1},
    {"m3", Dimension::volume, 1000, 1},
    {"ft3", Dimension::volume, 28316846592, 1e9},
    {"g", Dimension::mass, 1, 1},
    {"kg", Dimension::mass, 1000, 1},
    {"lb", Dimension::mass, 45359237, 1e5},
    {"oz", Dimension::mass, 45359237, 16e5},
    {"deg", Dimension::angle, 1, 1},
    {"rad", Dimension::angle, 180, std::numbers::pi},
    {"mH", Dimension::inductance, 1, 1},
    {"uH", Dimension::inductance, 1, 1000},
    {"H", Dimension::inductance, 1000, 1},
    {"ml/100g", Dimension::hydrogen, 1, 1},
    {"mL/100g", Dimension::hydrogen, 1, 1},
    {"HV10", Dimension::hardness, 1, 1},
    {"HV", Dimension::hardness, 1, 1},
    {"kWh", Dimension::energy, 1, 1},
    {"Wh", Dimension::energy, 1, 1000},
    {"MWh", Dimension::energy, 1000, 1},
    {"MJ", Dimension::energy, 10, 36},
};

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(char c) { return c == ' ' || c == '\t'; }

std::string_view trim(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

Diagnostic refuse(std::string message, std::string help) { return {{}, std::move(message), std::move(help)}; }

// A plain decimal number at the start of `text`, which is advanced past it; nothing when there is none. Overflow gives
// infinity, underflow 0. Neither nan, inf nor hexadecimal count as numbers.
std::optional<double> take_number(std::string_view& text) {
  std::size_t at = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  const std::size_t first = at < text.size() && text[at] == '.' ? at + 1 : at;
  if (first >= text.size() || !is_digit(text[first])) return std::nullopt;
  if (text[0] == '+') text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc::result_out_of_range)
    value = beyond_double(text.substr(0, static_cast<std::size_t>(end - text.data())));
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return value;
}

// "0.25", "1/4", "1 1/2", "1-1/2".
std::optional<double> take_mixed_number(std::string_view& text) {
  auto whole = take_number(text);
  if (!whole) return whole;
  const auto divide = [](double top, std::string_view& rest) -> std::optional<double> {
    std::string_view after = rest;
    if (after.empty() || after.front() != '/') return std::nullopt;
    after.remove_prefix(1);
    if (after.empty() || !is_digit(after.front())) return std::nullopt;
    const auto bottom = take_number(after);
    rest = after;
    return top / *bottom;
  };
  if (const auto fraction = divide(*whole, text)) return fraction;
  // A hyphen may stand between, as in "1-1/2".
  std::string_view rest = text.starts_with('-') ? text.substr(1) : trim(text);
  if (rest.size() < text.size() && !rest.empty() && is_digit(rest.front())) {
    const auto top = take_number(rest);
    if (const auto fraction = divide(*top, rest)) {
      text = rest;
      return std::signbit(*whole) ? *whole - *fraction : *whole + *fraction;
    }
  }
  return whole;
}

// A comma between digits, with what to write instead: '6,5' can only be 6.5, but '1,000' and '1.234,5' may be either.
std::optional<Diagnostic> comma_fault(std::string_view text) {
  std::size_t commas = 0, points = 0, comma = 0;
  for (std::size_t i = 1; i + 1 < text.size(); ++i) {
    if (!is_digit(text[i - 1]) || !is_digit(text[i + 1])) continue;
    if (text[i] == '.') ++points;
    if (text[i] != ',') continue;
    ++commas;
    comma = i;
  }
  if (commas == 0) return std::nullopt;
  const std::size_t decimals = std::min(text.find_first_not_of("0123456789", comma + 1), text.size()) - comma - 1;
  const bool nought = text[comma - 1] == '0' && (comma < 2 || !is_digit(text[comma - 2]));  // 0,125
  if (commas > 1 || points > 0 || (decimals == 3 && !nought))
    return refuse(fmt::format("'{}' has a comma inside the number", text),
                  "write a point before the decimals, and nothing between thousands");
  std::string point(text);
  point[comma] = '.';
  return refuse(fmt::format("'{}' has a decimal comma", text), fmt::format("write '{}'", point));
}

// Value and the text of its unit, empty when it has none.
struct Written {
  double value = 0;
  std::string_view unit;
};

std::string example(const Unit& unit) {
  return unit.name.empty() ? "write a plain number, such as 0.5"
                           : fmt::format("write a number in {0}, or with a unit: \"6 {0}\"", unit.name);
}

Expected<Written> split(std::string_view text, const Unit& wanted) {
  text = trim(text);
  if (text.empty())
    return refuse(fmt::format("empty, expected {}", dimension_label(wanted.dimension)), example(wanted));
  if (text.size() > longest_quantity)
    return refuse(fmt::format("too long for {}", dimension_label(wanted.dimension)), example(wanted));
  if (auto fault = comma_fault(text)) return *fault;
  std::string_view rest = text;
  const auto value = take_mixed_number(rest);
  if (!value) return refuse(fmt::format("'{}' is not {}", text, dimension_label(wanted.dimension)), example(wanted));
  if (!std::isfinite(*value)) return refuse(fmt::format("'{}' is not a finite number", text), example(wanted));
  return Written{*value, trim(rest)};
}

std::string list_units(Dimension dimension) {
  std::string list;
  for (const Unit& unit : table)
    if (unit.dimension == dimension && !unit.name.empty())
      list += fmt::format("{}{}", list.empty() ? "" : ", ", unit.name);
  return list;
}

Expected<double> convert(const Written& written, const Unit& wanted) {
  const Unit* unit = written.unit.empty() ? &wanted : find_unit(written.unit);
  if (unit == nullptr) {
    std::vector<std::string_view> names;
    for (const Unit& known : table) names.push_back(known.name);
    const std::string_view near = nearest_word(written.unit, names);
    const std::string known = list_units(wanted.dimension);
    std::string help = near.empty() ? "" : fmt::format("did you mean '{}'? ", near);
    help += known.empty() ? "write a plain number"
                          : fmt::format("known for {}: {}", dimension_label(wanted.dimension), known);
    return refuse(fmt::format("unknown unit '{}'", written.unit), std::move(help));
  }
  if (unit->dimension != wanted.dimension)
    return refuse(fmt::format("'{}' is {}, expected {}", written.unit, dimension_label(unit->dimension),
                              dimension_label(wanted.dimension)),
                  example(wanted));
  if (unit == &wanted) return written.value + 0.0;  // never minus zero
  const double value =
      (written.value + unit->offset) * (unit->numerator * wanted.denominator) / (unit->denominator * wanted.numerator) -
      wanted.offset + 0.0;
  if (!std::isfinite(value)) return refuse(fmt::format("{} {} is too large", written.value, written.unit), "");
  return value;
}

}  // namespace

std::string_view dimension_label(Dimension dimension) {
  static constexpr std::string_view labels[] = {
      "a plain number",     "a length", "an area",      "a speed",       "a current",     "a current rise",
      "a voltage",          "a power",  "a heat input", "a temperature", "a time",        "a frequency",
      "a gas flow",         "a volume", "a mass",       "an angle",      "an inductance", "a hydrogen content",
      "a Vickers hardness", "an energy"};
  static_assert(std::size(labels) == static_cast<std::size_t>(Dimension::energy) + 1);
  return labels[static_cast<std::size_t>(dimension)];
}

std::span<const Unit> units() { return table; }

const Unit* find_unit(std::string_view name) {
  if (name.size() > longest_quantity) return nullptr;
  static constexpr std::string_view degree = "\xc2\xb0", micro = "\xc2\xb5", mu = "\xce\xbc";
  std::string plain;
  for (std::size_t i = 0; i < name.size();) {
    const std::string_view two = name.substr(i, 2);
    if (two == degree) {
      plain += "deg";
      i += 2;
    } else if (two == micro || two == mu) {
      plain += 'u';
      i += 2;
    } else {
      if (!is_blank(name[i])) plain += name[i];
      ++i;
    }
  }
  for (const Unit& unit : table)
    if (unit.name == plain) return &unit;
  return nullptr;
}

Expected<double> parse_quantity(std::string_view text, std::string_view unit) {
  const Unit* wanted = find_unit(unit);
  if (wanted == nullptr) return refuse(fmt::format("no unit '{}'", unit), "");
  const auto written = split(text, *wanted);
  if (!written) return written.errors();
  return convert(*written, *wanted);
}

Expected<Interval> parse_interval(std::string_view text, std::string_view unit, bool open_ends) {
  const Unit* wanted = find_unit(unit);
  if (wanted == nullptr) return refuse(fmt::format("no unit '{}'", unit), "");
  constexpr double infinite = std::numeric_limits<double>::infinity();
  const std::size_t dots = text.find("..");
  if (dots == std::string_view::npos) {
    const auto value = parse_quantity(text, unit);
    if (!value) return value.errors();
    return Interval{*value, *value};
  }
  const std::string_view low_text = trim(text.substr(0, dots)), high_text = trim(text.substr(dots + 2));
  if ((low_text.empty() && high_text.empty()) || (!open_ends && (low_text.empty() || high_text.empty())))
    return refuse(fmt::format("'{}' is not a range", trim(text).substr(0, longest_quantity)),
                  fmt::format("write \"6..8{}{}\"", unit.empty() ? "" : " ", unit));
  Interval range{-infinite, infinite};
  std::string_view high_unit;
  if (!high_text.empty()) {
    const auto high = split(high_text, *wanted);
    if (!high) return high.errors();
    const auto value = convert(*high, *wanted);
    if (!value) return value.errors();
    range.high = *value;
    high_unit = high->unit;
  }
  if (!low_text.empty()) {
    auto low = split(low_text, *wanted);
    if (!low) return low.errors();
    if (low->unit.empty()) low->unit = high_unit;
    const auto value = convert(*low, *wanted);
    if (!value) return value.errors();
    range.low = *value;
  }
  if (range.low > range.high)
    return refuse(fmt::format("the range runs from {} down to {}", low_text, high_text), "put the lower end first");
  return range;
}

double beyond_double(std::string_view number) {
  // The power of ten of the first digit that is not 0, before the exponent counts.
  const std::size_t letter = std::min(number.find_first_of("eE"), number.size());
  const std::string_view digits = number.substr(0, letter);
  const std::size_t first = digits.find_first_of("123456789"), point = std::min(digits.find('.'), digits.size());
  if (first == std::string_view::npos) return 0;
  long power = static_cast<long>(point) - static_cast<long>(first);
  if (letter < number.size()) {
    std::string_view exponent = number.substr(letter + 1);
    const bool negative = !exponent.empty() && exponent.front() == '-';
    if (!exponent.empty() && exponent.front() == '+') exponent.remove_prefix(1);
    long value = 0;
    const auto result = std::from_chars(exponent.data(), exponent.data() + exponent.size(), value);
    constexpr long most = 1L << 40;  // more than any text is long
    power += result.ec == std::errc() ? std::clamp(value, -most, most) : negative ? -most : most;
  }
  return power < 0 ? 0 : std::numeric_limits<double>::infinity();
}

std::string number_text(double value) { return fmt::format("{}", value + 0.0); }

std::string with_unit(double value, std::string_view unit) {
  return unit.empty() ? number_text(value) : fmt::format("{} {}", number_text(value), unit);
}

}  // namespace seamwright
