// The bead above the plate, and beads laid side by side.
//
//   h = exp(c) A^a U^u v^w          height of a single bead on plate
//
// h mm, A deposit cross-section mm2, U arc voltage V, v travel mm/s; least squares through 114 beads of solid carbon
// steel wire laid flat on plate (open data; a wire of 1.0 mm and the unit of the feed are inferred): A 10 to 24
// mm2, 9.7 to 30.7 V, 1.3 to 10.6 mm/s.
//
// Error: on the 115 beads of the record that were not fitted, 89 % within 19 %, median +0.2 % (on the fitted ones 90 %
// within 19 %, standard deviation 11 %). Not for other metals: a 4043 wall (4.63 m/min, 14.8 V, 5.57 mm/s) has layers
// of 1.80 mm where it gives 3.14 mm, 75 % more; 316L beads came out 16 to 29 % higher than it says. The share of the
// section is the integral of its shape (numerically to 0.3 %); how well the shape fits is the spread of
// `section_share`.
//
// References:
//   Heights of single beads, and the fit [bead-heights]
//   Melted section over width times depth of cladding beads, 0.32 to 0.44 [cladding-sections]
//   The share of a section in base metal is geometry (derived here)
//
// Example:
//
//     const BeadHeightLaw steel{
//         .log_mm = 1.386, .area_exponent = 0.345, .voltage_exponent = -0.428, .travel_exponent = -0.013};
//     std::printf("%.2f mm\n", bead_height_mm(steel, 15, 20, 6));  // 2.76 mm
//     std::printf("%.2f\n", base_share_of_section(4, 8, 0.40));    // 0.50
//     std::printf("%.2f\n", base_share_of_section(6, 8, 0.40));    // 0.91
#pragma once

namespace seamwright {

struct BeadHeightLaw {
  double log_mm = 0, area_exponent = 0, voltage_exponent = 0, travel_exponent = 0;
  [[nodiscard]] bool operator==(const BeadHeightLaw&) const = default;
};

// Height, mm, of a bead from its deposit cross-section, mm2, voltage, V, and travel, mm/s, all > 0. No check; outside
// the beads above it is an extrapolation.
[[nodiscard]] double bead_height_mm(const BeadHeightLaw& law, double deposit_mm2, double voltage_V,
                                    double travel_mm_per_s);

// Share of a bead's melted section that lies in base metal when beads are laid side by side, one every `step_mm`. The
// earlier bead reaches half a width to its other side; over it the pool melts weld metal, beyond it base metal. The
// melted section is y = p (1 - |2x/w|)^n, which fills 1/(n + 1) of width times depth: `section_share` (0.40 is usual,
// so n 1.5; inside 0..1). Step and width > 0, mm. 1 from a step of a whole width on; 1/2 at half a width; symmetric
// about it. Geometry; a bead is assumed to stand higher than the pool is deep, so that no base metal is reached through
// it.
[[nodiscard]] double base_share_of_section(double step_mm, double width_mm, double section_share);

}  // namespace seamwright
