// Shrinkage and angular distortion, estimates for one free joint. mm, J/mm.
// The classic formulas come from steel plate of shipyards and scatter widely: every result carries a spread, as a share
// of the value, which is an assumption and not a measured interval.
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

// Transverse, butt, mm (Spraragen and Ettinger 1950): S = 0.2 A_w/d + 0.05 g. A_w weld section mm2, g root gap.
[[nodiscard]] Checked<Shrinkage> butt_shrinkage_mm(double weld_section_mm2, double thickness_mm, double gap_mm,
                                                   const ShrinkageRules& rules);
// Transverse, mm: continuous fillets on a T, S = 1.02 z/d; lap with two fillets, S = 1.52 z/d. z leg, d bottom plate.
enum class FilletJoint : unsigned char { tee, lap };
[[nodiscard]] Checked<Shrinkage> fillet_shrinkage_mm(FilletJoint joint, double leg_mm, double thickness_mm,
                                                     const ShrinkageRules& rules);
// Transverse, any metal, mm: free thermal contraction of one pass, (alpha / rho c) (q/v) / d. `expansion_mm3_per_J` is
// alpha / rho c: steel about 2.45e-3, aluminium 8.9e-3.
[[nodiscard]] Checked<Shrinkage> contraction_mm(double expansion_mm3_per_J, double net_heat_J_per_mm,
                                                double thickness_mm, const ShrinkageRules& rules);
// Angular, fillet on a free T joint, degrees: 0.076 z^1.3/d^2 rad with z and d in cm (after Masubuchi).
[[nodiscard]] Checked<Shrinkage> fillet_angle_deg(double leg_mm, double thickness_mm, const ShrinkageRules& rules);

}  // namespace seamwright
