// The grid of the pool tables, and how a value is read from them. Shared by the program that writes the tables and the
// solver that reads them.
//
// Every table is a tensor-product cubic spline held as B-spline coefficients on uniform grids in ln S, ln(D/S) and,
// for the sizes, a third coordinate. A grid of N nodes has N + 2 coefficients, so a value needs no case at the borders.
// The coefficients of the sizes are held in single precision.
#pragma once

#include <array>
#include <cstddef>

namespace seamwright::pool_grid {

struct Axis {
  double low = 0;
  double high = 0;
  int nodes = 0;

  [[nodiscard]] constexpr double step() const { return (high - low) / (nodes - 1); }
  [[nodiscard]] constexpr std::size_t coefficients() const { return static_cast<std::size_t>(nodes) + 2; }
  [[nodiscard]] constexpr double node(int i) const { return low + i * step(); }
  [[nodiscard]] constexpr bool holds(double x) const { return x >= low && x <= high; }
};

// A grid over plates, in ln S and ln(D/S): S 0.00499..44.7, D/S 0.119..210.
struct PlateGrid {
  Axis ln_radius;
  Axis ln_thickness_ratio;

  [[nodiscard]] constexpr int plates() const { return ln_radius.nodes * ln_thickness_ratio.nodes; }
};
inline constexpr PlateGrid coarse{{-5.3, 3.8, 29}, {-2.13, 5.346, 25}};
// For widths, which have kinks, and lengths, which bend sharply from plate to plate where the source is fast and wide.
inline constexpr PlateGrid fine{{-5.3, 3.8, 57}, {-2.13, 5.346, 51}};

inline constexpr double most_n = 200.0;             // the tables do not reach above it
inline constexpr double most_spread = 6.95;         // an excess of 14.6
inline constexpr Axis width{0.0, most_spread, 45};  // spread
inline constexpr Axis reach{0.0, 5.0, 41};  // coordinate of a width, up to 74 of its scales; the table holds the spread
inline constexpr Axis depth{0.0, 1.0, 49};  // share of the spread from back to face
inline constexpr Axis nose{0.0, most_spread, 41};  // spread
inline constexpr Axis tail{0.0, 18.0, 61};         // coordinate, up to 3e7 S; the table holds the spread

// The four coefficients that a coordinate touches, and their weights.
struct Weights {
  std::size_t first = 0;
  std::array<double, 4> w{};
};

[[nodiscard]] inline Weights weights(const Axis& grid, double x) {
  const double position = (x - grid.low) / grid.step();
  int cell = static_cast<int>(position);
  if (cell < 0) cell = 0;
  if (cell > grid.nodes - 2) cell = grid.nodes - 2;
  const double f = position - cell, g = 1.0 - f;
  return {static_cast<std::size_t>(cell),
          {g * g * g / 6.0, (3.0 * f * f * f - 6.0 * f * f + 4.0) / 6.0, (3.0 * g * g * g - 6.0 * g * g + 4.0) / 6.0,
           f * f * f / 6.0}};
}

// Where a plate lies in a grid over plates.
struct PlatePlace {
  const PlateGrid& grid;
  Weights S;
  Weights ratio;
  std::array<double, 16> both;  // S.w[i] * ratio.w[j] at 4 i + j

  PlatePlace(const PlateGrid& plates, double ln_S, double ln_ratio)
      : grid(plates), S(weights(plates.ln_radius, ln_S)), ratio(weights(plates.ln_thickness_ratio, ln_ratio)) {
    for (std::size_t i = 0; i < 4; ++i)
      for (std::size_t j = 0; j < 4; ++j) both[4 * i + j] = S.w[i] * ratio.w[j];
  }
};

}  // namespace seamwright::pool_grid
