// Temperature of a joint between passes: a whole seam laid at once in plates of finite width that lose heat from both
// faces. Each pass is a line source across which heat flows one way only, along the plates away from the weld:
//
//   T - T0 = q / (rho c S/2 sqrt(4 pi a t)) sum_n exp(-(n B)^2 / (a t)) exp(-2 h t / (rho c d))
//
// q net heat J/mm of seam, S sum of the thicknesses of all ways the heat flows, B how far each plate reaches (its far
// edge adiabatic: image sources), d mean thickness, h loss of one face. Passes add up.
// Holds once heat has spread through the thickness and past the arc, seconds in sheet, half a minute in 20 mm plate,
// two minutes in 40 mm; constants are means between room temperature and 300 degC. Preheat is taken as held.
//
// Error: within 2 % of the moving point source with images from a t = 0.6 d^2 and t = 12.5 a / v^2 on, whichever is
// later (20,000 draws, 1 to 50 mm, 2 to 20 mm/s, steel to aluminium; 6 mm/s in steel: 4 s up to 8 mm, 21 s in 20 mm, 84
// s in 40 mm). Images and Fourier series meet to 1e-6 where one takes over from the other. Old passes joined into one
// lose 0.04 % of their rise. Against a real plate the losses and how far the heat reaches are assumed: no measured
// cooling was at hand.
//
// References:
//   Rosenthal, D. (1946) The theory of moving sources of heat and its application to metal treatments, Transactions of
//     the ASME 68, 849-865, doi:10.1115/1.4018624: line source (form recalled)
//   Rykalin, N. N. (1957) Berechnung der Waermevorgaenge beim Schweissen, VEB Verlag Technik, Berlin (memory): the fast
//     line source
//   Carslaw, H. S. and Jaeger, J. C. (1959) Conduction of Heat in Solids, 2nd edition, Oxford (memory): images, series
//     and loss from the faces
//   Losses, reach and share of the heat [assumed-plate-cooling]; constants [recalled-plate-constants]
//
// Example:
//
//     const PlateCooling butt{.conductivity_W_per_mmK = 0.047,
//                             .heat_capacity_J_per_mm3K = 0.0041,
//                             .ways_mm = 24,
//                             .mean_thickness_mm = 12,
//                             .width_mm = 150,
//                             .loss_W_per_mm2K = 20e-6,
//                             .start_C = 20};
//     std::printf("%.0f K\n", plate_rise_K(butt, 600, 60));  // 125 K
//     const PassHeat passes[] = {{600, 60}, {900, 40}};
//     const auto steps = temperatures_between_passes(butt, passes, 120);
//     std::printf("wait %.0f s\n", (*steps)[0].wait_s);  // wait 29 s
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

// Rise, K, at the weld a time, s, after one pass of `net_J_per_mm`. Everything of `in` > 0, the loss 0 or more;
// infinite at a time of 0 or less. No other check.
[[nodiscard]] double plate_rise_K(const PlateCooling& in, double net_J_per_mm, double after_s);

// The passes in order, each waiting until its start point has cooled to `limit_C`. No solution where the limit is not
// above T0, and where it is not reached within 1e7 s, as in a plate that loses nothing: it would never be reached.
[[nodiscard]] Checked<std::vector<PassTemperature>> temperatures_between_passes(const PlateCooling& in,
                                                                                std::span<const PassHeat> passes,
                                                                                double limit_C);

}  // namespace seamwright
