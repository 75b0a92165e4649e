#include "seamwright/bead.hpp"

#include <algorithm>
#include <cmath>

namespace seamwright {

double bead_height_mm(const BeadHeightLaw& law, double deposit_mm2, double voltage_V, double travel_mm_per_s) {
  return std::exp(law.log_mm + law.area_exponent * std::log(deposit_mm2) + law.voltage_exponent * std::log(voltage_V) +
                  law.travel_exponent * std::log(travel_mm_per_s));
}

double base_share_of_section(double step_mm, double width_mm, double section_share) {
  if (!(step_mm < width_mm)) return 1.0;
  // Everything beyond the toe of the earlier bead, which lies half a width less a step from this bead's middle.
  const double power = 1.0 / section_share;
  const double toe = 1.0 - 2.0 * step_mm / width_mm;  // -1 .. 1, in half widths
  const double beyond = 0.5 * std::pow(1.0 - std::abs(toe), power);
  return toe >= 0 ? beyond : 1.0 - beyond;
}

}  // namespace seamwright
