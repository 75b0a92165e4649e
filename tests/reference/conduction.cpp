#include "reference/conduction.hpp"

#include <boost/math/special_functions/bessel.hpp>
#include <cmath>
#include <numbers>

#include "physics/pool_field.hpp"

namespace seamwright {
namespace {

using std::numbers::pi;

bool positive(double x) { return x > 0 && std::isfinite(x); }

bool conducts(const PoolInput& in) {
  return positive(in.net_power_W) && positive(in.travel_mm_per_s) && positive(in.thickness_mm) &&
         positive(in.conductivity_W_per_mmK) && positive(in.heat_capacity_J_per_mm3K);
}

// The unit of length, 2a/v, mm.
double unit_mm(const PoolInput& in) {
  return 2 * in.conductivity_W_per_mmK / in.heat_capacity_J_per_mm3K / in.travel_mm_per_s;
}

// The rise that goes with a field of 1, K.
double unit_rise_K(const PoolInput& in) { return in.net_power_W / (2 * pi * in.conductivity_W_per_mmK * unit_mm(in)); }

double rise_K(const PoolInput& in, double source_radius_mm, double x_mm, double y_mm, double z_mm) {
  const double unit = unit_mm(in);
  const ScaledPlate plate{source_radius_mm / unit, in.thickness_mm / unit};
  return unit_rise_K(in) * std::exp(sample_field(plate, x_mm / unit, y_mm / unit, z_mm / unit).ln_G);
}

}  // namespace

double temperature_rise_K(const PoolInput& in, double x_mm, double y_mm, double z_mm) {
  if (!conducts(in) || !positive(in.source_radius_mm)) return 0.0;
  return rise_K(in, in.source_radius_mm, x_mm, y_mm, z_mm);
}

double point_source_rise_K(const PoolInput& in, double x_mm, double y_mm, double z_mm) {
  return conducts(in) ? rise_K(in, 0.0, x_mm, y_mm, z_mm) : 0.0;
}

double line_source_rise_K(const PoolInput& in, double x_mm, double y_mm) {
  if (!conducts(in)) return 0.0;
  const double X = x_mm / unit_mm(in), Y = y_mm / unit_mm(in), r = std::hypot(X, Y);
  // exp(r) K0(r), by its asymptotic series where K0 itself would underflow.
  const double scaled_K0 = r < 500.0 ? std::exp(r) * boost::math::cyl_bessel_k(0, r)
                                     : std::sqrt(pi / (2.0 * r)) * (1.0 - 1.0 / (8.0 * r) + 9.0 / (128.0 * r * r));
  const double exponent = X < 0.0 ? -Y * Y / (r - X) : -(r + X);
  return unit_rise_K(in) * unit_mm(in) / in.thickness_mm * scaled_K0 * std::exp(exponent);
}

double isotherm_half_width_fit(double n) {
  constexpr double m = 1.73;
  return std::pow(std::pow(n, -m) + std::pow(2.0 * n / std::numbers::e, -0.5 * m), -1.0 / m);
}

}  // namespace seamwright
