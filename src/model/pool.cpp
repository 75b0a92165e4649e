#include "seamwright/pool.hpp"

#include <algorithm>
#include <boost/math/special_functions/bessel.hpp>
#include <cmath>
#include <numbers>

#include "model/pool_field.hpp"
#include "model/pool_grid.hpp"

namespace seamwright {
namespace {

#include "pool_tables.inc"

constexpr double pi = std::numbers::pi;

bool positive(double x) { return x > 0.0 && std::isfinite(x); }

// The input in the units of the field.
struct Scaled {
  ScaledPlate plate;
  double unit_mm = 0;          // 2a/v
  double rise_per_unit_K = 0;  // (T - T0) / G = n dT
};

Scaled scaled(const PoolInput& in) {
  const double a = in.conductivity_W_per_mmK / in.heat_capacity_J_per_mm3K;
  const double unit_mm = 2.0 * a / in.travel_mm_per_s;
  return {{in.source_radius_mm / unit_mm, in.thickness_mm / unit_mm},
          unit_mm,
          in.net_power_W / (2.0 * pi * in.conductivity_W_per_mmK * unit_mm)};
}

bool conducts(const PoolInput& in) {
  return positive(in.net_power_W) && positive(in.travel_mm_per_s) && positive(in.thickness_mm) &&
         positive(in.conductivity_W_per_mmK) && positive(in.heat_capacity_J_per_mm3K);
}

bool melts_something(const PoolInput& in) {
  return conducts(in) && positive(in.source_radius_mm) && positive(in.rise_to_melting_K);
}

double rise_K(const Scaled& s, const ScaledPlate& plate, double x_mm, double y_mm, double z_mm) {
  return s.rise_per_unit_K * std::exp(sample_field(plate, x_mm / s.unit_mm, y_mm / s.unit_mm, z_mm / s.unit_mm).ln_G);
}

// Full width, mm, from the coordinate at the depth Z.
double width_from_coordinate_mm(const Scaled& s, double Z, double coordinate) {
  return 2.0 * s.unit_mm * width_scale(s.plate, Z) * std::sinh(coordinate);
}

// Share of the way from the back's peak to the face's, for depth_coordinate.
double depth_share(double excess_face, double excess_back) {
  return spread_from_excess(-excess_back) / spread_from_excess(excess_face - excess_back);
}

// Distance, in 2a/v, behind a point source at which the face's centreline has cooled to G. Falls from infinity to 0.
double distance_behind_at(double D, double G) {
  const double ln_target = std::log(G);
  double ln_distance = -ln_target;  // thick plate: exact there, too near otherwise
  for (int i = 0; i < 100; ++i) {
    const double distance = std::exp(ln_distance);
    const FieldSample at = sample_field({0.0, D}, -distance, 0.0, 0.0);
    // The slope in logarithms runs from -1 (thick) to -1/2 (thin) and back to no steeper, so Newton cannot run away.
    const double step = (at.ln_G - ln_target) / (at.slope_X * distance);
    ln_distance += step;
    if (std::abs(step) < 1e-11) break;
  }
  return std::exp(ln_distance);
}

// Spline value at a plate, from a table over plates only.
double plate_value(const double* table, const pool_grid::Weights& S, const pool_grid::Weights& ratio) {
  const std::size_t row = pool_grid::ln_thickness_ratio.coefficients();
  double value = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const double* c = table + (S.first + i) * row + ratio.first;
    value += S.w[i] * (ratio.w[0] * c[0] + ratio.w[1] * c[1] + ratio.w[2] * c[2] + ratio.w[3] * c[3]);
  }
  return value;
}

// Spline value of a size at a plate and a third coordinate.
double size_value(const float* table, const pool_grid::Axis& grid, const pool_grid::Weights& S,
                  const pool_grid::Weights& ratio, double x) {
  const pool_grid::Weights last = weights(grid, x);
  const std::size_t row = grid.coefficients();
  const std::size_t sheet = row * pool_grid::ln_thickness_ratio.coefficients();
  double sum[4] = {0, 0, 0, 0};
  for (std::size_t i = 0; i < 4; ++i) {
    for (std::size_t j = 0; j < 4; ++j) {
      const float* c = table + (S.first + i) * sheet + (ratio.first + j) * row + last.first;
      const double w = S.w[i] * ratio.w[j];
      for (std::size_t k = 0; k < 4; ++k) sum[k] += w * static_cast<double>(c[k]);
    }
  }
  return sum[0] * last.w[0] + sum[1] * last.w[1] + sum[2] * last.w[2] + sum[3] * last.w[3];
}

// The interpolated peaks are good to a few 1e-6; nearer than this to the edge of melting the sizes, which go as the
// square root of the excess there, would leave the stated accuracy.
constexpr double edge_of_melting = 3e-4;

}  // namespace

double temperature_rise_K(const PoolInput& in, double x_mm, double y_mm, double z_mm) {
  if (!conducts(in) || !positive(in.source_radius_mm)) return 0.0;
  const Scaled s = scaled(in);
  return rise_K(s, s.plate, x_mm, y_mm, z_mm);
}

double point_source_rise_K(const PoolInput& in, double x_mm, double y_mm, double z_mm) {
  if (!conducts(in)) return 0.0;
  const Scaled s = scaled(in);
  return rise_K(s, {0.0, s.plate.D}, x_mm, y_mm, z_mm);
}

double line_source_rise_K(const PoolInput& in, double x_mm, double y_mm) {
  if (!conducts(in)) return 0.0;
  const Scaled s = scaled(in);
  const double X = x_mm / s.unit_mm, Y = y_mm / s.unit_mm, r = std::hypot(X, Y);
  // exp(r) K0(r), by its asymptotic series where K0 itself would underflow.
  const double scaled_K0 = r < 500.0 ? std::exp(r) * boost::math::cyl_bessel_k(0, r)
                                     : std::sqrt(pi / (2.0 * r)) * (1.0 - 1.0 / (8.0 * r) + 9.0 / (128.0 * r * r));
  const double exponent = X < 0.0 ? -Y * Y / (r - X) : -(r + X);
  return s.rise_per_unit_K / s.plate.D * scaled_K0 * std::exp(exponent);
}

double peak_rise_K(const PoolInput& in, double y_mm, double z_mm) {
  if (!conducts(in) || !positive(in.source_radius_mm)) return 0.0;
  const Scaled s = scaled(in);
  return s.rise_per_unit_K * std::exp(peak_along_X(s.plate, y_mm / s.unit_mm, z_mm / s.unit_mm).at.ln_G);
}

Pool pool_by_integral(const PoolInput& in, unsigned sizes) {
  Pool pool;
  if (!melts_something(in)) return pool;
  const Scaled s = scaled(in);
  const double ln_n = std::log(s.rise_per_unit_K / in.rise_to_melting_K);
  const FieldPeak face = peak_along_X(s.plate, 0.0, 0.0);
  const double excess = ln_n + face.at.ln_G;
  if (!(excess > 0.0)) return pool;
  const double spread = spread_from_excess(excess);
  if (sizes & pool_width)
    pool.width_mm = width_from_coordinate_mm(s, 0.0, width_coordinate(s.plate, 0.0, face, spread));
  if (sizes & (pool_depth | pool_back_width)) {
    const FieldPeak back = peak_along_X(s.plate, 0.0, s.plate.D);
    const double excess_back = ln_n + back.at.ln_G;
    pool.depth_mm = in.thickness_mm;
    if (excess_back > 0.0) {
      pool.back_width_mm = width_from_coordinate_mm(
          s, s.plate.D, width_coordinate(s.plate, s.plate.D, back, spread_from_excess(excess_back)));
    } else {
      const double x = depth_coordinate(s.plate, face, back, depth_share(excess, excess_back));
      pool.depth_mm = s.unit_mm * depth_from_coordinate(s.plate, x);
    }
  }
  if (sizes & pool_length) {
    const double ahead = axis_coordinate(s.plate, face, spread), behind = axis_coordinate(s.plate, face, -spread);
    pool.nose_mm = s.unit_mm * (face.X + s.plate.S * std::sinh(ahead));
    pool.tail_mm = -s.unit_mm * (face.X + s.plate.S * std::sinh(behind));
  }
  return pool;
}

Pool pool_by_table(const PoolInput& in, unsigned sizes) {
  using namespace pool_grid;
  Pool pool;
  if (!melts_something(in)) return pool;
  const Scaled s = scaled(in);
  const double ln_S = std::log(s.plate.S), ln_ratio = std::log(in.thickness_mm / in.source_radius_mm);
  if (!ln_radius.holds(ln_S) || !ln_thickness_ratio.holds(ln_ratio)) return pool_by_integral(in, sizes);
  const Weights S = weights(ln_radius, ln_S), ratio = weights(ln_thickness_ratio, ln_ratio);

  const double ln_n = std::log(s.rise_per_unit_K / in.rise_to_melting_K);
  const double excess = ln_n + plate_value(pool_ln_face_peak, S, ratio);
  if (excess < -edge_of_melting) return pool;
  const double spread = spread_from_excess(std::max(excess, 0.0));
  if (excess < edge_of_melting || spread > most_spread) return pool_by_integral(in, sizes);
  if (sizes & (pool_depth | pool_back_width)) {
    const double excess_back = ln_n + plate_value(pool_ln_back_peak, S, ratio);
    if (std::abs(excess_back) < edge_of_melting) return pool_by_integral(in, sizes);
    pool.depth_mm = in.thickness_mm;
    if (excess_back > 0.0) {
      if (sizes & pool_back_width)
        pool.back_width_mm = width_from_coordinate_mm(
            s, s.plate.D, size_value(pool_back_width_table, width, S, ratio, spread_from_excess(excess_back)));
    } else {
      const double x = size_value(pool_depth_table, depth, S, ratio, depth_share(excess, excess_back));
      pool.depth_mm = s.unit_mm * depth_from_coordinate(s.plate, x);
    }
  }
  if (sizes & pool_width)
    pool.width_mm = width_from_coordinate_mm(s, 0.0, size_value(pool_face_width_table, width, S, ratio, spread));
  if (sizes & pool_length) {
    const double X = s.plate.S * plate_value(pool_hottest_X, S, ratio);
    pool.nose_mm = s.unit_mm * (X + s.plate.S * std::sinh(size_value(pool_axis_table, axis, S, ratio, spread)));
    pool.tail_mm = -s.unit_mm * (X + s.plate.S * std::sinh(size_value(pool_axis_table, axis, S, ratio, -spread)));
  }
  return pool;
}

double widest_point_distance_mm(const PoolInput& in) {
  if (!melts_something(in)) return 0.0;
  const Scaled s = scaled(in);
  const double width_mm = pool_by_integral(in, pool_width).width_mm;
  if (!(width_mm > 0.0)) return 0.0;
  const double Y = 0.5 * width_mm / s.unit_mm;
  return s.unit_mm * std::hypot(peak_along_X(s.plate, Y, 0.0).X, Y);
}

double cooling_time_s(const PoolInput& in, double from_rise_K, double to_rise_K) {
  if (!conducts(in) || !positive(to_rise_K) || !(from_rise_K > to_rise_K)) return 0.0;
  const Scaled s = scaled(in);
  const double from = distance_behind_at(s.plate.D, from_rise_K / s.rise_per_unit_K);
  const double to = distance_behind_at(s.plate.D, to_rise_K / s.rise_per_unit_K);
  return (to - from) * s.unit_mm / in.travel_mm_per_s;
}

double isotherm_half_width_fit(double n) {
  constexpr double m = 1.73;
  return std::pow(std::pow(n, -m) + std::pow(2.0 * n / std::numbers::e, -0.5 * m), -1.0 / m);
}

}  // namespace seamwright
