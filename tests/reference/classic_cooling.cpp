#include "reference/classic_cooling.hpp"

#include <cmath>
#include <numbers>

namespace seamwright {
namespace {

constexpr double pi = std::numbers::pi;

}  // namespace

double thick_plate_cooling_time_s(const PlateHeat& in, double T1, double T2) {
  const double q = in.net_J_per_mm, k = in.conductivity_W_per_mmK, T0 = in.preheat_C;
  return q / (2 * pi * k) * (1 / (T2 - T0) - 1 / (T1 - T0));
}

double thin_plate_cooling_time_s(const PlateHeat& in, double d, double T1, double T2) {
  const double q = in.net_J_per_mm, k = in.conductivity_W_per_mmK, rho_c = in.heat_capacity_J_per_mm3K;
  const double low = 1 / (T2 - in.preheat_C), high = 1 / (T1 - in.preheat_C);
  return q * q / (4 * pi * k * rho_c * d * d) * (low * low - high * high);
}

double equal_time_thickness_mm(const PlateHeat& in, double T1, double T2) {
  return std::sqrt(in.net_J_per_mm / (2 * in.heat_capacity_J_per_mm3K) *
                   (1 / (T2 - in.preheat_C) + 1 / (T1 - in.preheat_C)));
}

double thick_plate_cooling_rate_K_per_s(const PlateHeat& in, double T) {
  const double rise = T - in.preheat_C;
  return 2 * pi * in.conductivity_W_per_mmK * rise * rise / in.net_J_per_mm;
}

double thin_plate_cooling_rate_K_per_s(const PlateHeat& in, double d, double T) {
  const double rise = T - in.preheat_C, share = d / in.net_J_per_mm;
  return 2 * pi * in.conductivity_W_per_mmK * in.heat_capacity_J_per_mm3K * share * share * rise * rise * rise;
}

double relative_thickness(const PlateHeat& in, double d, double T) {
  return d * std::sqrt(in.heat_capacity_J_per_mm3K * (T - in.preheat_C) / in.net_J_per_mm);
}

double peak_temperature_C(const PlateHeat& in, double d, double Tm, double Y) {
  return in.preheat_C + 1 / (4.13 * in.heat_capacity_J_per_mm3K * d * Y / in.net_J_per_mm + 1 / (Tm - in.preheat_C));
}

double distance_of_peak_mm(const PlateHeat& in, double d, double Tm, double Tp) {
  return (1 / (Tp - in.preheat_C) - 1 / (Tm - in.preheat_C)) * in.net_J_per_mm /
         (4.13 * in.heat_capacity_J_per_mm3K * d);
}

double solidification_time_s(const PlateHeat& in, double L, double Tm) {
  const double rise = Tm - in.preheat_C;
  return L * in.net_J_per_mm / (2 * pi * in.conductivity_W_per_mmK * in.heat_capacity_J_per_mm3K * rise * rise);
}

}  // namespace seamwright
