#include <doctest/doctest.h>

#include <cmath>
#include <set>
#include <string>

#include "text/units_text.hpp"

using namespace seamwright;

namespace {

double value_of(std::string_view text, std::string_view unit) {
  const auto result = parse_quantity(text, unit);
  REQUIRE_MESSAGE(result, std::string(text));
  return *result;
}

std::string message_of(std::string_view text, std::string_view unit) {
  const auto result = parse_quantity(text, unit);
  REQUIRE_MESSAGE(!result, std::string(text));
  REQUIRE(result.errors().size() == 1);
  return result.errors()[0].message + " | " + result.errors()[0].help;
}

bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("every unit against its exact factor") {
  // Factors of NIST SP 811 (2008), appendix B.8, which gives the inch, foot and pound as exact; the rest are powers of
  // ten and sixties of them, written here independently of the table under test.
  struct Row {
    const char* unit;
    const char* base;
    double one_is;  // 1 `unit` in `base`
  };
  const Row rows[] = {
      {"", "", 1},
      {"%", "", 0.01},
      {"mm", "mm", 1},
      {"cm", "mm", 10},
      {"m", "mm", 1000},
      {"um", "mm", 0.001},
      {"in", "mm", 25.4},
      {"inch", "mm", 25.4},
      {"\"", "mm", 25.4},
      {"ft", "mm", 304.8},
      {"mil", "mm", 0.0254},
      {"thou", "mm", 0.0254},
      {"mm2", "mm2", 1},
      {"cm2", "mm2", 100},
      {"in2", "mm2", 645.16},
      {"mm/s", "mm/s", 1},
      {"cm/s", "mm/s", 10},
      {"m/s", "mm/s", 1000},
      {"in/s", "mm/s", 25.4},
      {"mm/min", "mm/s", 0.016666666666666666},
      {"cm/min", "mm/s", 0.16666666666666666},
      {"m/min", "mm/s", 16.666666666666668},
      {"in/min", "mm/s", 0.42333333333333334},
      {"ipm", "mm/s", 0.42333333333333334},
      {"ft/min", "mm/s", 5.08},
      {"A", "A", 1},
      {"mA", "A", 0.001},
      {"kA", "A", 1000},
      {"A/ms", "A/ms", 1},
      {"kA/s", "A/ms", 1},
      {"A/s", "A/ms", 0.001},
      {"V", "V", 1},
      {"mV", "V", 0.001},
      {"W", "W", 1},
      {"kW", "W", 1000},
      {"kJ/mm", "kJ/mm", 1},
      {"J/mm", "kJ/mm", 0.001},
      {"kJ/cm", "kJ/mm", 0.1},
      {"J/cm", "kJ/mm", 0.0001},
      {"kJ/m", "kJ/mm", 0.001},
      {"MJ/m", "kJ/mm", 1},
      {"kJ/in", "kJ/mm", 0.03937007874015748},
      {"J/in", "kJ/mm", 3.937007874015748e-5},
      {"degC", "degC", 1},
      {"C", "degC", 1},
      {"degF", "degC", -17.22222222222222},
      {"F", "degC", -17.22222222222222},
      {"K", "degC", -272.15},
      {"s", "s", 1},
      {"ms", "s", 0.001},
      {"us", "s", 1e-6},
      {"min", "s", 60},
      {"h", "s", 3600},
      {"Hz", "Hz", 1},
      {"kHz", "Hz", 1000},
      {"l/min", "l/min", 1},
      {"L/min", "l/min", 1},
      {"m3/h", "l/min", 16.666666666666668},
      {"cfh", "l/min", 0.4719474432},
      {"ft3/h", "l/min", 0.4719474432},
      {"l", "l", 1},
      {"L", "l", 1},
      {"m3", "l", 1000},
      {"ft3", "l", 28.316846592},
      {"g", "g", 1},
      {"kg", "g", 1000},
      {"lb", "g", 453.59237},
      {"oz", "g", 28.349523125},
      {"deg", "deg", 1},
      {"rad", "deg", 57.29577951308232},
      {"mH", "mH", 1},
      {"uH", "mH", 0.001},
      {"H", "mH", 1000},
      {"ml/100g", "ml/100g", 1},
      {"mL/100g", "ml/100g", 1},
      {"HV10", "HV10", 1},
      {"HV", "HV10", 1},
      {"kWh", "kWh", 1},
      {"Wh", "kWh", 0.001},
      {"MWh", "kWh", 1000},
      {"MJ", "kWh", 0.2777777777777778},
  };
  std::set<std::string_view> tested;
  for (const Row& row : rows) {
    CAPTURE(row.unit);
    tested.insert(row.unit);
    const double got = value_of(std::string("1 ") + row.unit, row.base);
    CHECK(std::fabs(got - row.one_is) <= 1e-15 * std::fabs(row.one_is) + (row.one_is < -1 ? 1e-13 : 0));
  }
  for (const Unit& unit : units()) {
    CAPTURE(std::string(unit.name));
    CHECK(tested.count(unit.name) == 1);
    // There and back through the unit itself.
    CHECK(value_of("7.25", unit.name) == 7.25);
  }
  CHECK(std::size(rows) == units().size());
}

TEST_CASE("quantities as the trade writes them") {
  CHECK(value_of("1/4 in", "mm") == 6.35);
  CHECK(value_of("1 1/2 in", "mm") == 38.1);
  CHECK(value_of("-1 1/4 in", "mm") == -31.75);
  CHECK(value_of("350 ipm", "m/min") == 8.89);
  CHECK(value_of("12 in/min", "mm/s") == 5.08);
  CHECK(value_of("600 mm/min", "mm/s") == 10);
  CHECK(value_of("60 cm/min", "mm/s") == 10);
  CHECK(value_of("5 m/min", "m/min") == 5);
  CHECK(value_of("6", "mm") == 6);
  CHECK(value_of("  6mm ", "mm") == 6);
  CHECK(value_of("+.5 mm", "mm") == 0.5);
  CHECK(value_of("1e1 mm", "mm") == 10);
  CHECK(value_of("30 kJ/in", "kJ/mm") == doctest::Approx(30 / 25.4).epsilon(1e-15));
  CHECK(value_of("1.2 kJ/mm", "kJ/mm") == 1.2);
  CHECK(value_of("2.4 ms", "ms") == 2.4);
  CHECK(value_of("5 ml/100 g", "ml/100g") == 5);
  CHECK(value_of("60 %", "") == 0.6);
  CHECK(value_of("0.16", "%") == 0.16);
  CHECK(value_of("0.16 %", "%") == 0.16);
  // Fixed points of the two temperature scales.
  CHECK(value_of("32 F", "degC") == 0);
  CHECK(value_of("212 degF", "degC") == 100);
  CHECK(value_of("-40 F", "degC") == -40);
  CHECK(value_of("273.15 K", "degC") == 0);
  CHECK(value_of("20 \xc2\xb0"
                 "C",
                 "degC") == 20);
  CHECK(value_of("50 \xc2\xb5m", "mm") == 0.05);
  CHECK_FALSE(std::signbit(value_of("-0", "mm")));
  CHECK_FALSE(std::signbit(value_of("-0 in", "mm")));
}

TEST_CASE("what is no quantity is refused in words") {
  CHECK(holds(message_of("0,25 in", "mm"), "decimal comma"));
  CHECK(holds(message_of("0,25 in", "mm"), "write '0.25 in'"));
  CHECK(holds(message_of("70 F", "mm"), "'F' is a temperature, expected a length"));
  CHECK(holds(message_of("6 mm/s", "mm"), "a speed, expected a length"));
  CHECK(holds(message_of("6 mmm", "mm"), "unknown unit 'mmm'"));
  CHECK(holds(message_of("6 inn", "mm"), "did you mean 'in'"));
  CHECK(holds(message_of("", "mm"), "empty"));
  CHECK(holds(message_of("   ", "mm"), "empty"));
  for (const auto* text : {"nan", "inf", "-inf mm", "NaN mm", "mm", "-", ".", "six mm", "infinity"})
    CHECK(holds(message_of(text, "mm"), "is not a length"));
  for (const auto* text : {"1e999", "-1e999 mm", "1/0 in", "0/0"})
    CHECK(holds(message_of(text, "mm"), "not a finite number"));
  // Too small for a double is 0, however it is written.
  for (const auto& text : {std::string("1e-999"), std::string("-1e-999 mm"), "0." + std::string(40, '0') + "1e-400",
                           std::string("0e999"), "1" + std::string(30, '0') + "e-500"})
    CHECK(value_of(text, "mm") == 0);
  CHECK(holds(message_of(("1" + std::string(30, '0') + "e300"), "mm"), "not a finite number"));
  CHECK(holds(message_of("1e99999999999999999999", "mm"), "not a finite number"));
  CHECK(holds(message_of("0,125 in", "mm"), "write '0.125 in'"));
  for (const auto* text : {"1,000", "1.234,5", "1,234.5", "1,234,567 mm"}) {
    CHECK(holds(message_of(text, "mm"), "a comma inside the number"));
    CHECK_FALSE(holds(message_of(text, "mm"), "write '"));
  }
  CHECK(holds(message_of("1.7e308 ft", "mm"), "too large"));
  CHECK(holds(message_of("0x10", "mm"), "unknown unit"));
  CHECK(holds(message_of("6 mm 7", "mm"), "unknown unit"));
  CHECK(holds(message_of(std::string(5000, '1'), "mm"), "too long"));
  CHECK(holds(message_of("6 mm", ""), "a length, expected a plain number"));
}

TEST_CASE("ranges") {
  const auto range = [](std::string_view text, bool open) {
    const auto result = parse_interval(text, "mm/s", open);
    REQUIRE(result);
    return *result;
  };
  CHECK(range("6..8 mm/s", false).low == 6);
  CHECK(range("6..8 mm/s", false).high == 8);
  CHECK(range("12..24 in/min", false).low == 5.08);
  CHECK(range("12..24 in/min", false).high == 10.16);
  CHECK(range("6 mm/s .. 60 cm/min", false).high == 10);
  CHECK(range("5", false).low == 5);
  CHECK(range("5", false).high == 5);
  CHECK(range("1.5..2.5", false).high == 2.5);
  CHECK(std::isinf(range("..8", true).low));
  CHECK(std::isinf(range("6 mm/s..", true).high));
  for (const auto* text :
       {"8..6", "..", "6..", "..8", "6..x", "x..8", "6..8 mm", "6-8 mm/s", "6...8", "6..8..9", "1,5..2"})
    CHECK_MESSAGE(!parse_interval(text, "mm/s", false), text);
  CHECK(!parse_interval("..", "mm/s", true));
}

TEST_CASE("numbers read back from their own text") {
  CHECK(number_text(6) == "6");
  CHECK(number_text(0.1) == "0.1");
  CHECK(number_text(-0.0) == "0");
  CHECK(with_unit(6.35, "mm") == "6.35 mm");
  CHECK(with_unit(0.5, "") == "0.5");
}
