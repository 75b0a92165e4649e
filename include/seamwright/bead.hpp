// The bead above the plate, and beads laid side by side.
//
//   h = exp(c) A^a U^u v^w          height of a single bead on plate
//
// h mm, A deposit cross-section mm2, U arc voltage V, v travel mm/s; least squares through 114 beads of solid carbon
// steel wire laid flat on plate (open data; a wire of 1.0 mm and the unit of the feed are inferred): A 10 to 24
// mm2, 9.7 to 30.7 V, 1.3 to 10.6 mm/s. Standard deviation 11 %, 90 % within 19 %, and as much on the half of the beads
// that was not fitted. Not for other metals: a 4043 wall (4.63 m/min, 14.8 V, 5.57 mm/s) has layers of 1.80 mm where it
// gives 3.1 mm, 75 % more; 316L beads came out 16 to 29 % higher than it says.
#pragma once

namespace seamwright {

struct BeadHeightLaw {
  double log_mm = 0, area_exponent = 0, voltage_exponent = 0, travel_exponent = 0;
  [[nodiscard]] bool operator==(const BeadHeightLaw&) const = default;
};

// All arguments > 0.
[[nodiscard]] double bead_height_mm(const BeadHeightLaw& law, double deposit_mm2, double voltage_V,
                                    double travel_mm_per_s);

// Share of a bead's melted section that lies in base metal when beads are laid side by side, one every `step_mm`. The
// earlier bead reaches half a width to its other side; over it the pool melts weld metal, beyond it base metal. The
// melted section is y = p (1 - |2x/w|)^n, which fills 1/(n + 1) of width times depth: `section_share` (0.40 is usual,
// so n 1.5). 1 from a step of a whole width on; 1/2 at half a width; symmetric about it. Geometry; a bead is assumed to
// stand higher than the pool is deep, so that no base metal is reached through it.
[[nodiscard]] double base_share_of_section(double step_mm, double width_mm, double section_share);

}  // namespace seamwright
