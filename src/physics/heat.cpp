#include "seamwright/heat.hpp"

namespace seamwright {

double arc_energy_kJ_per_mm(double power_W, double travel_mm_per_s) { return power_W / (1000.0 * travel_mm_per_s); }

double heat_input_kJ_per_mm(double arc_energy_kJ_per_mm, double efficiency_k) {
  return efficiency_k * arc_energy_kJ_per_mm;
}

}  // namespace seamwright
