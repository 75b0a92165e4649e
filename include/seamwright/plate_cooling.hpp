// Temperature of a joint between passes: a whole seam laid at once in plates of finite width that lose heat from both
// faces. Each pass is a line source across which heat flows one way only, along the plates away from the weld:
//
//   T - T0 = q / (rho c S/2 sqrt(4 pi a t)) sum_n exp(-(n B)^2 / (a t)) exp(-2 h t / (rho c d))
//
// q net heat J/mm of seam, S sum of the thicknesses of all ways the heat flows, B how far each plate reaches (its far
// edge adiabatic: image sources), d mean thickness, h loss of one face. Passes add up. (Line source: Rosenthal 1946 and
// Rykalin 1957, recalled; images and loss term: textbook heat conduction.)
// Holds once heat has spread through the thickness and past the arc, seconds in sheet, half a minute in 20 mm plate;
// constants are means between room temperature and 300 degC. Preheat is taken as held.
#pragma once

#include <span>
#include <vector>

#include "seamwright/checked.hpp"

namespace seamwright {

struct PlateCooling {
  double conductivity_W_per_mmK = 0;
  double heat_capacity_J_per_mm3K = 0;
  double ways_mm = 0;            // S: butt t1 + t2, tee t1 + 2 t2
  double mean_thickness_mm = 0;  // d
  double width_mm = 0;           // B
  double loss_W_per_mm2K = 0;    // h
  double start_C = 0;            // T0: preheat, or the surroundings
};

struct PassHeat {
  double net_J_per_mm = 0;
  double arc_time_s = 0;
};

struct PassTemperature {
  double start_C = 0;    // where the pass begins, when it begins
  double reached_C = 0;  // there, when the arc has reached the end of the seam
  double wait_s = 0;     // from then until the limit is reached; 0: no waiting
};

// Rise, K, at the weld a time after one pass.
[[nodiscard]] double plate_rise_K(const PlateCooling& in, double net_J_per_mm, double after_s);

// The passes in order, each waiting until its start point has cooled to `limit_C`. Refused where the limit is not above
// T0: it would never be reached.
[[nodiscard]] Checked<std::vector<PassTemperature>> temperatures_between_passes(const PlateCooling& in,
                                                                                std::span<const PassHeat> passes,
                                                                                double limit_C);

}  // namespace seamwright
