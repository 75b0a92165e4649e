// Shrinkage and angular distortion, estimates for one free joint. mm, J/mm.
// The classic formulas come from steel plate of shipyards and scatter widely: every result carries a spread, as a share
// of the value, which is an assumption and not a measured interval.
//
// Error: the formulas by hand to 0.005 mm and 0.005 degrees (tests/published/shrinkage.csv); their coefficients are
// recalled, and no measured joint was at hand. The catalog's spread, assumed, is 40 % of the value either way. Tacks,
// clamps, neighbouring seams and the order of welding are left out, and can matter more than all of it.
//
// References:
//   Spraragen, W. and Ettinger, W. G. (1950) Shrinkage distortion in welding, Welding Journal 29 (memory): butts
//   Masubuchi, K. (1980) Analysis of Welded Structures, Pergamon Press (memory): fillets [recalled-shrinkage]
//   Free thermal contraction (derived here); expansion over heat capacity [expansion]
//
// Example:
//
//     const ShrinkageRules rules{.relative_spread = 0.4, .fillet_leg_share_max = 0.75};
//     const auto butt = butt_shrinkage_mm(60, 10, 3, rules);
//     std::printf("%.2f mm, %.2f to %.2f\n", butt->value, butt->low, butt->high);  // 1.35 mm, 0.81 to 1.89
//     std::printf("%.2f degrees\n", fillet_angle_deg(6, 12, rules)->value);        // 1.56 degrees
#pragma once

#include "seamwright/checked.hpp"

namespace seamwright {

struct ShrinkageRules {
  double relative_spread = 0;       // half width of the spread, share of the value
  double fillet_leg_share_max = 0;  // fillet formulas hold for legs up to this share of the plate (0.75)
};

struct Shrinkage {
  double low = 0, value = 0, high = 0;
};

// Transverse, butt, mm (Spraragen and Ettinger 1950): S = 0.2 A_w/d + 0.05 g. A_w weld section mm2, g root gap. Refuses
// a section or gap below 0 and a thickness that is not above 0.
[[nodiscard]] Checked<Shrinkage> butt_shrinkage_mm(double weld_section_mm2, double thickness_mm, double gap_mm,
                                                   const ShrinkageRules& rules);
// Transverse, mm: continuous fillets on a T, S = 1.02 z/d; lap with two fillets, S = 1.52 z/d. z leg, d bottom plate.
// Refuses a leg above the share of the plate in the rules, as does the angle below.
enum class FilletJoint : unsigned char { tee, lap };
[[nodiscard]] Checked<Shrinkage> fillet_shrinkage_mm(FilletJoint joint, double leg_mm, double thickness_mm,
                                                     const ShrinkageRules& rules);
// Transverse, any metal, mm: free thermal contraction of one pass, (alpha / rho c) (q/v) / d. `expansion_mm3_per_J` is
// alpha / rho c: steel about 2.45e-3, aluminium 8.9e-3. Refuses heat below 0 and a thickness that is not above 0.
[[nodiscard]] Checked<Shrinkage> contraction_mm(double expansion_mm3_per_J, double net_heat_J_per_mm,
                                                double thickness_mm, const ShrinkageRules& rules);
// Angular, fillet on a free T joint, degrees: 0.076 z^1.3/d^2 rad with z and d in cm (after Masubuchi).
[[nodiscard]] Checked<Shrinkage> fillet_angle_deg(double leg_mm, double thickness_mm, const ShrinkageRules& rules);

}  // namespace seamwright
