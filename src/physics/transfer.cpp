#include "seamwright/transfer.hpp"

#include <cmath>
#include <numbers>

namespace seamwright {
namespace {

constexpr double vacuum_permeability_H_per_m = 4e-7 * std::numbers::pi;

}  // namespace

double transition_current_A(double base_A, double co2_percent, double share_per_percent) {
  return base_A * (1.0 + share_per_percent * co2_percent);
}

bool has_spray(double co2_percent, double co2_max_percent) { return co2_percent <= co2_max_percent; }

double bridge_clearing_current_A(double surface_tension_N_per_m, double wire_diameter_mm) {
  const double r_m = wire_diameter_mm / 2000.0;
  return 2.0 * std::numbers::pi * std::sqrt(surface_tension_N_per_m * r_m / vacuum_permeability_H_per_m);
}

}  // namespace seamwright
