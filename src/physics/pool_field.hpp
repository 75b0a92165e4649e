// The dimensionless temperature field behind the pool, and the sizes of its isotherms.
//
// Lengths are in units of 2a/v and time in units of 2a/v^2. With t = u^2
//   (T - T0) / dT = n G,   n = q v / (4 pi a^2 rho c dT),
//   G(X, Y, Z; S, D) = 2/sqrt(2 pi) int_0^inf du / (u^2 + S^2) exp(-((X + u^2)^2 + Y^2) / (2 (u^2 + S^2)))
//                      sum_k exp(-(Z - 2 k D)^2 / (2 u^2)),
// S the Gaussian radius, D the thickness. S = 0 is the point source: in a thick plate G = exp(-(R + X)) / R.
// Source: Eagar and Tsai 1983 (travelling Gaussian), images for the adiabatic faces as in Grong, Metallurgical
// Modelling of Welding, 1.10.4; the scaling is derived here.
//
// G enters the temperature only as a factor, so a place (Y, Z) melts exactly when n times the peak of G over X is
// above 1. The melted sizes therefore depend on S, D and the excess ln(n G_peak) alone: that is what is tabulated.
#pragma once

#include <cmath>
#include <limits>

namespace seamwright {

// Of x >= 0, to a few 1e-15: two to four times as fast as the library's where x is not small, and it seldom is here.
inline constexpr double small_argument = 0.05;
inline double fast_asinh(double x) { return x < small_argument ? std::asinh(x) : std::log(x + std::sqrt(1.0 + x * x)); }
inline double fast_sinh(double x) {
  if (x < small_argument) return std::sinh(x);
  const double e = std::exp(x);
  return 0.5 * (e - 1.0 / e);
}
inline double fast_tanh(double x) { return x < small_argument ? std::tanh(x) : 1.0 - 2.0 / (std::exp(2.0 * x) + 1.0); }

struct ScaledPlate {
  double S = 0;  // Gaussian radius >= 0
  double D = 0;  // thickness > 0
};

// Logarithm of G and its derivatives at one point. Relative accuracy of G: 1e-9.
struct FieldSample {
  double ln_G = 0;
  double slope_X = 0;      // d ln G / dX
  double curvature_X = 0;  // d2 ln G / dX2
  double slope_Y = 0;
  double slope_Z = 0;
};
// 0 <= Z <= D; with S = 0 not at the source itself.
[[nodiscard]] FieldSample sample_field(const ScaledPlate& plate, double X, double Y, double Z);

// The highest value that the place (Y, Z) sees as the source goes by, and where behind the source it sees it.
struct FieldPeak {
  double X = 0;
  FieldSample at;
};
// A stretch of the centreline behind the source, by the distances of its ends.
struct Stretch {
  double nearest = 0;
  double farthest = std::numeric_limits<double>::infinity();
};
// `X_guess` < 0 starts the search; 0 for none. The ends of the stretch count.
[[nodiscard]] FieldPeak peak_along_X(const ScaledPlate& plate, double Y, double Z, double X_guess = 0,
                                     const Stretch& stretch = {});

// Beside a fast, wide source a place of the face can be hottest twice or three times: when the rim of the source
// passes, when the heat of the middle has come across, and when what the back face holds in has. The highest counts, so
// the width has kinks as a function of the plate; taken stretch by stretch it is smooth. These three stretches part the
// peaks (found by a scan of S 1..45, D/S 0.12..60); together they are everything from the source backwards.
inline constexpr int stretch_count = 3;
[[nodiscard]] Stretch stretch(const ScaledPlate& plate, int index);

// How far below its peak value a level lies, as a number in which the sizes are smooth: it goes as the square root of
// the excess ln(peak / level) near the peak, where isotherms are ellipses, and more slowly far from it.
[[nodiscard]] double spread_from_excess(double excess);

// Its inverse.
[[nodiscard]] double excess_from_spread(double spread);

// Half width at the depth Z: Y = width_scale sinh(coordinate), the scale being how far the heat has spread at the near
// end of the stretch. `centre` is the peak at (0, Z).
[[nodiscard]] double width_scale(const ScaledPlate& plate, double Z, const Stretch& stretch = {});
[[nodiscard]] double width_coordinate(const ScaledPlate& plate, double Z, const FieldPeak& centre, double spread,
                                      const Stretch& stretch = {});

// Depth: coordinate 1 at the face, 0 at the back. `share` = spread of the excess over the back's peak divided by the
// spread from face to back, 0..1.
[[nodiscard]] double depth_from_coordinate(const ScaledPlate& plate, double coordinate);
[[nodiscard]] double coordinate_from_depth(const ScaledPlate& plate, double depth);  // its inverse
[[nodiscard]] double depth_coordinate(const ScaledPlate& plate, const FieldPeak& face, const FieldPeak& back,
                                      double share);

// Along the face's centreline: X = X_hottest +- S sinh(coordinate), ahead or behind.
enum class Side { ahead, behind };
[[nodiscard]] double axis_X(const ScaledPlate& plate, double hottest_X, Side side, double coordinate);
[[nodiscard]] double axis_coordinate(const ScaledPlate& plate, const FieldPeak& face, Side side, double spread);
// The other way round: the spread at a coordinate. Behind a wide source on a thin plate the field has a shoulder, where
// the place moves fast with the level but the level is smooth in the place.
[[nodiscard]] double axis_spread(const ScaledPlate& plate, const FieldPeak& face, Side side, double coordinate);

}  // namespace seamwright
