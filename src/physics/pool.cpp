#include "seamwright/pool.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "physics/pool_field.hpp"
#include "physics/pool_grid.hpp"
#include "physics/pool_powers.hpp"

namespace seamwright {
namespace {

#include "pool_tables.inc"

using pool_grid::PlatePlace;

constexpr double never = std::numeric_limits<double>::infinity();

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

// Full width, mm, from the coordinate at the depth Z.
double width_from_coordinate_mm(const Scaled& s, double Z, double coordinate, const Stretch& stretch = {}) {
  return 2.0 * s.unit_mm * width_scale(s.plate, Z, stretch) * fast_sinh(coordinate);
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
double plate_value(const double* table, const PlatePlace& place) {
  const std::size_t row = place.grid.ln_thickness_ratio.coefficients();
  const std::array<double, 4>& w = place.ratio.w;
  double value = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const double* c = table + (place.S.first + i) * row + place.ratio.first;
    value += place.S.w[i] * (w[0] * c[0] + w[1] * c[1] + w[2] * c[2] + w[3] * c[3]);
  }
  return value;
}

// The curve of a table at one plate: a cubic spline in the third coordinate, its coefficients worked out as needed.
class Curve {
 public:
  Curve(const float* table, const pool_grid::Axis& grid, const PlatePlace& plate)
      : table_(table), grid_(grid), plate_(plate) {}

  [[nodiscard]] double value(double x) const {
    const pool_grid::Weights last = weights(grid_, x);
    const std::array<double, 4> c = coefficients<4>(last.first);
    return c[0] * last.w[0] + c[1] * last.w[1] + c[2] * last.w[2] + c[3] * last.w[3];
  }

  // Where a rising curve takes the value y: the end of the grid where it lies beyond.
  [[nodiscard]] double place_of(double y) const {
    // The coefficients of a rising spline rise too: find the cell among them, then Newton.
    std::size_t low = 1, high = grid_.coefficients() - 1;
    while (high - low > 1) {
      const std::size_t middle = (low + high) / 2;
      (coefficients<1>(middle)[0] <= y ? low : high) = middle;
    }
    const std::array<double, 2> c = coefficients<2>(low);
    double x = grid_.low + grid_.step() * (static_cast<double>(low) - 1.0 + (y - c[0]) / (c[1] - c[0]));
    for (int i = 0; i < 8; ++i) {
      x = std::clamp(x, grid_.low, grid_.high);
      const pool_grid::Weights last = weights(grid_, x);
      const std::array<double, 4> k = coefficients<4>(last.first);
      const double f = (x - grid_.low) / grid_.step() - static_cast<double>(last.first), g = 1.0 - f;
      const double slope =
          (g * g * (k[1] - k[0]) + (1.0 + 2.0 * f * g) * (k[2] - k[1]) + f * f * (k[3] - k[2])) / (2.0 * grid_.step());
      const double step = (k[0] * last.w[0] + k[1] * last.w[1] + k[2] * last.w[2] + k[3] * last.w[3] - y) / slope;
      x -= step;
      if (std::abs(step) < 1e-5) break;
    }
    return std::clamp(x, grid_.low, grid_.high);
  }

 private:
  template <std::size_t count>
  [[nodiscard]] std::array<double, count> coefficients(std::size_t first) const {
    const std::size_t row = grid_.coefficients();
    const std::size_t sheet = row * plate_.grid.ln_thickness_ratio.coefficients();
    std::array<double, count> sum{};
    const float* at_S = table_ + plate_.S.first * sheet + plate_.ratio.first * row + first;
    for (std::size_t i = 0; i < 4; ++i, at_S += sheet) {
      const float* c = at_S;
      for (std::size_t j = 0; j < 4; ++j, c += row)
        for (std::size_t k = 0; k < count; ++k) sum[k] += plate_.both[4 * i + j] * static_cast<double>(c[k]);
    }
    return sum;
  }

  const float* table_;
  const pool_grid::Axis& grid_;
  const PlatePlace& plate_;
};

// The interpolated peaks are good to a few 1e-6; nearer than this to the edge of melting the sizes, which go as the
// square root of the excess there, would leave the stated accuracy.
constexpr double edge_of_melting = 3e-4;

}  // namespace

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
    const double ahead = axis_coordinate(s.plate, face, Side::ahead, spread);
    const double behind = axis_coordinate(s.plate, face, Side::behind, spread);
    pool.nose_mm = s.unit_mm * axis_X(s.plate, face.X, Side::ahead, ahead);
    pool.tail_mm = -s.unit_mm * axis_X(s.plate, face.X, Side::behind, behind);
  }
  return pool;
}

namespace {

// Whether the pool would be the same on a plate as thick as the thickest of the tables, S being the radius and n the
// heat. Behind a point source on a thick plate the metal is molten up to n behind, and there each image at 2 D adds
// less than the share exp(-(sqrt(n^2 + 4 D^2) - n)), nearer the source less still. 10 keeps it below 5e-5.
bool back_is_too_deep_to_matter(double S, double n) {
  constexpr double decay = 10.0;
  const double thickest = S * std::exp(pool_grid::fine.ln_thickness_ratio.high);
  return 4.0 * thickest * thickest >= decay * (decay + 2.0 * n);
}

}  // namespace

double tabulated_travel_mm_per_s(const PoolInput& in) {
  if (!melts_something(in)) return in.travel_mm_per_s;
  const Scaled s = scaled(in);  // S and n are proportional to the travel
  static const double least_S = std::exp(pool_grid::fine.ln_radius.low),
                      most_S = std::exp(pool_grid::fine.ln_radius.high);
  constexpr double inside = 1e-9;
  const double n = s.rise_per_unit_K / in.rise_to_melting_K;
  const double least = (1 + inside) * least_S / s.plate.S;
  const double most = (1 - inside) * std::min(most_S / s.plate.S, pool_grid::most_n / n);
  return in.travel_mm_per_s * std::max(std::min(1.0, most), least);
}

Pool pool_by_table(const PoolInput& in, unsigned sizes) {
  using namespace pool_grid;
  Pool pool;
  if (!melts_something(in)) return pool;
  Scaled s = scaled(in);
  const double ln_S = std::log(s.plate.S), n = s.rise_per_unit_K / in.rise_to_melting_K;
  double ln_ratio = std::log(in.thickness_mm / in.source_radius_mm);
  if (ln_ratio > fine.ln_thickness_ratio.high && back_is_too_deep_to_matter(s.plate.S, n)) {
    ln_ratio = fine.ln_thickness_ratio.high;
    s.plate.D = s.plate.S * std::exp(ln_ratio);
  }
  if (!fine.ln_radius.holds(ln_S) || !fine.ln_thickness_ratio.holds(ln_ratio)) return pool_by_integral(in, sizes);
  const PlatePlace in_fine(fine, ln_S, ln_ratio);
  const auto in_coarse = [&] { return PlatePlace(coarse, ln_S, ln_ratio); };

  const double ln_n = std::log(n);
  const double excess = ln_n + plate_value(pool_ln_peak_0, in_fine);
  if (excess < -edge_of_melting) return pool;
  const double spread = spread_from_excess(std::max(excess, 0.0));
  if (excess < edge_of_melting || n > most_n || spread > most_spread) return pool_by_integral(in, sizes);
  if (sizes & (pool_depth | pool_back_width)) {
    const double excess_back = ln_n + plate_value(pool_ln_back_peak, in_fine);
    if (std::abs(excess_back) < edge_of_melting) return pool_by_integral(in, sizes);
    pool.depth_mm = in.thickness_mm;
    if (excess_back > 0.0) {
      if (sizes & pool_back_width) {
        const double spread_back = spread_from_excess(excess_back);
        pool.back_width_mm = width_from_coordinate_mm(
            s, s.plate.D, spread_back * Curve(pool_back_width_table, width, in_fine).value(spread_back));
      }
    } else {
      const double x = Curve(pool_depth_table, depth, in_coarse()).value(depth_share(excess, excess_back));
      pool.depth_mm = s.unit_mm * depth_from_coordinate(s.plate, x);
    }
  }
  if (sizes & pool_width) {
    // The widest of the three stretches, each against its own peak on the centreline.
    const auto widen = [&](int index, double excess_there, const float* table) {
      if (!(excess_there > 0.0)) return;
      const double spread_there = spread_from_excess(excess_there);
      const double coordinate = spread_there * Curve(table, width, in_fine).value(spread_there);
      pool.width_mm = std::max(pool.width_mm, width_from_coordinate_mm(s, 0.0, coordinate, stretch(s.plate, index)));
    };
    widen(0, excess, pool_width_table_0);
    widen(1, ln_n + plate_value(pool_ln_peak_1, in_fine), pool_width_table_1);
    widen(2, ln_n + plate_value(pool_ln_peak_2, in_fine), pool_width_table_2);
  }
  if (sizes & pool_length) {
    const double X = s.plate.S * plate_value(pool_hottest_X, in_fine);
    const double ahead = Curve(pool_nose_table, nose, in_fine).value(spread);
    const double behind = Curve(pool_tail_table, tail, in_fine).place_of(spread);
    // A slow source on a thin plate draws a tail longer than the axis at high n.
    if (behind >= tail.high) return pool_by_integral(in, sizes);
    pool.nose_mm = s.unit_mm * axis_X(s.plate, X, Side::ahead, ahead);
    pool.tail_mm = -s.unit_mm * axis_X(s.plate, X, Side::behind, behind);
  }
  return pool;
}

PoolPowers::PoolPowers(const PoolInput& in) : in_(in) {
  in_.net_power_W = 1.0;
  if (!melts_something(in_)) return;
  melts_ = true;
  const Scaled s = scaled(in_);
  plate_ = s.plate;
  unit_mm_ = s.unit_mm;
  ln_n_of_watt_ = std::log(s.rise_per_unit_K / in.rise_to_melting_K);
  ln_S_ = std::log(plate_.S);
  ln_ratio_ = std::log(in.thickness_mm / in.source_radius_mm);
  deep_ = ln_ratio_ > pool_grid::fine.ln_thickness_ratio.high;
  if (deep_) {
    // As thick as the tables go, if that is thick enough for the power that comes out.
    ln_ratio_ = pool_grid::fine.ln_thickness_ratio.high;
    plate_.D = plate_.S * std::exp(ln_ratio_);
  }
  if (!pool_grid::fine.ln_radius.holds(ln_S_) || !pool_grid::fine.ln_thickness_ratio.holds(ln_ratio_)) return;
  fine_.emplace(pool_grid::fine, ln_S_, ln_ratio_);
  ln_peak_ = plate_value(pool_ln_peak_0, *fine_);
  ln_back_ = plate_value(pool_ln_back_peak, *fine_);
}

double PoolPowers::by_integral(double y_mm, double z_mm) const {
  return std::log(in_.rise_to_melting_K / peak_rise_K(in_, y_mm, z_mm));
}

bool PoolPowers::known(double ln_power_W) const {
  if (!(ln_power_W < never)) return false;
  return !deep_ || back_is_too_deep_to_matter(plate_.S, std::exp(ln_n_of_watt_ + ln_power_W));
}

// How far above the peak of a watt the power lies that melts to a width, by a table of its reach.
double PoolPowers::excess_at(double width_mm, double Z, const Stretch& stretch, const float* table) const {
  const double coordinate = fast_asinh(0.5 * width_mm / (unit_mm_ * width_scale(plate_, Z, stretch)));
  if (coordinate > pool_grid::reach.high) return never;
  return excess_from_spread(coordinate * Curve(table, pool_grid::reach, *fine_).value(coordinate));
}

double PoolPowers::ln_width_W(double width_mm) const {
  if (!melts_) return never;
  if (fine_) {
    double least = excess_at(width_mm, 0.0, stretch(plate_, 0), pool_reach_table_0) - ln_peak_;
    // A stretch that would need more even at its own middle cannot be the first to reach the width.
    const auto consider = [&](int index, const double* peaks, const float* table) {
      const double middle = -plate_value(peaks, *fine_);
      if (middle < least) least = std::min(least, middle + excess_at(width_mm, 0.0, stretch(plate_, index), table));
    };
    consider(1, pool_ln_peak_1, pool_reach_table_1);
    consider(2, pool_ln_peak_2, pool_reach_table_2);
    if (const double power = least - ln_n_of_watt_; known(power)) return power;
  }
  return by_integral(0.5 * width_mm, 0.0);
}

double PoolPowers::ln_depth_W(double depth_mm) const {
  if (!melts_) return never;
  const double depth = std::min(depth_mm, in_.thickness_mm);
  if (fine_) {
    const double x = coordinate_from_depth(plate_, depth / unit_mm_);
    const double share =
        std::clamp(Curve(pool_depth_reach_table, pool_grid::depth, PlatePlace(pool_grid::coarse, ln_S_, ln_ratio_))
                       .value(std::min(x, 1.0)),
                   0.0, 1.0);
    // share = spread(-excess_back) / spread(excess - excess_back), the last being a matter of the plate alone.
    const double power =
        -excess_from_spread(share * spread_from_excess(ln_peak_ - ln_back_)) - ln_back_ - ln_n_of_watt_;
    if (known(power)) return power;
  }
  return by_integral(0.0, depth);
}

double PoolPowers::ln_back_width_W(double width_mm) const {
  if (!melts_) return never;
  if (fine_) {
    const double power = excess_at(width_mm, plate_.D, {}, pool_back_reach_table) - ln_back_ - ln_n_of_watt_;
    if (known(power)) return power;
  }
  return by_integral(0.5 * width_mm, in_.thickness_mm);
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

}  // namespace seamwright
