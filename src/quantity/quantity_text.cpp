#include "quantity/quantity_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace seamwright {
namespace {

int decimals_of(const FieldInfo& info, Units units) { return units == Units::us ? info.us_decimals : info.decimals; }

}  // namespace

double in_units(const FieldInfo& info, double metric, Units units) {
  return units == Units::us ? metric * info.us_factor + info.us_offset : metric;
}

double difference_in_units(const FieldInfo& info, double metric, Units units) {
  return units == Units::us ? metric * info.us_factor : metric;
}

std::string_view unit_of(const FieldInfo& info, Units units) { return units == Units::us ? info.us_unit : info.unit; }

std::string_view unit_of(const FieldInfo& info, Units units, std::string_view currency) {
  return info.priced == Priced::money ? currency : unit_of(info, units);
}

std::string quantity_text(const FieldInfo& info, double metric, Units units) {
  return fixed_text(in_units(info, metric, units), decimals_of(info, units));
}

std::string quantity_with_unit(const FieldInfo& info, double metric, Units units) {
  const std::string number = quantity_text(info, metric, units);
  const std::string_view unit = unit_of(info, units);
  return unit.empty() ? number : fmt::format("{} {}", number, unit);
}

std::string difference_text(const FieldInfo& info, double metric, Units units) {
  return fixed_text(difference_in_units(info, metric, units), decimals_of(info, units));
}

double flow_in_units(double l_per_min, Units units) {
  constexpr double minutes_per_hour = 60;
  return units == Units::us ? l_per_min * field(F::gas_volume).us_factor * minutes_per_hour : l_per_min;
}

std::string_view flow_unit(Units units) { return units == Units::us ? "ft3/h" : "l/min"; }

std::string flow_text(double l_per_min, Units units) {
  const double flow = flow_in_units(l_per_min, units);
  return fmt::format("{} {}", units == Units::us ? fixed_text(flow, 0) : short_text(flow), flow_unit(units));
}

double unit_length_mm(Units units) {
  constexpr double metre_mm = 1000;
  return units == Units::us ? mm_per_ft : metre_mm;
}

double length_in_units(double mm, Units units) { return units == Units::us ? mm / mm_per_in : mm; }

std::string_view length_unit(Units units) { return units == Units::us ? "in" : "mm"; }

std::string inch_fraction(double mm) {
  // Apart by no more than a text of four digits is.
  constexpr double parts = 64, apart_mm = 0.006, apart = 5e-4, most = 1e6;
  const double nearest = std::round(mm / mm_per_in * parts), exact_mm = nearest * mm_per_in / parts;
  if (!(nearest >= 1) || nearest > most || std::abs(mm - exact_mm) > std::min(apart_mm, apart * mm)) return {};
  const int all = static_cast<int>(nearest), whole = all / 64, part = all % 64, divisor = std::gcd(part, 64);
  if (part == 0) return fmt::format("{}", whole);
  const std::string rest = fmt::format("{}/{}", part / divisor, 64 / divisor);
  return whole == 0 ? rest : fmt::format("{} {}", whole, rest);
}

std::string length_text(double mm, Units units) {
  if (units == Units::metric) return short_text(mm) + " mm";
  const std::string fraction = inch_fraction(mm);
  return fraction.empty() ? fmt::format("{:.3f} in", length_in_units(mm, units)) : fraction + " in";
}

}  // namespace seamwright
