// A number of the model together with how well it is known and where it comes from.
#pragma once

#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <string_view>

#include "seamwright/interval.hpp"

namespace seamwright {

// Standard deviations of a normal quantity to its half-width at 90 %, and to what nine in ten stay below.
inline constexpr double deviations_90 = 1.6448536269514722;
inline constexpr double deviations_nine_in_ten = 1.2815515655446004;

// Index into the catalog's table of sources. Zero is "no source given", which the catalog compiler refuses.
using SourceIndex = std::uint16_t;

// One constant: its value, the absolute half-width of its 90 % interval (0: exact), and its source.
struct Constant {
  double value = 0;
  double half_width_90 = 0;
  SourceIndex source = 0;
  [[nodiscard]] bool operator==(const Constant&) const = default;
};

// How far a source may be trusted, weakest last.
enum class SourceKind : std::uint8_t { standard, published, open_data, trial, derived, practice, memory, assumed };

// "Does not apply here": never printed, every presenter leaves such a quantity out.
inline constexpr double not_applicable = std::numeric_limits<double>::quiet_NaN();
[[nodiscard]] inline bool applies(double value) { return !std::isnan(value); }

// Section of a round wire, mm2, from its diameter, mm.
[[nodiscard]] inline double wire_section_mm2(double diameter_mm) {
  return std::numbers::pi / 4.0 * diameter_mm * diameter_mm;
}

// Wire feed is m/min at the surface and mm/s inside the formulas.
inline constexpr double mm_per_s_per_m_per_min = 1000.0 / 60.0;

}  // namespace seamwright
