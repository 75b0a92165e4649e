// Burn-off: the wire feed that a current melts, and back.
//
//   WFS A_w = m I + c L I_rms^2 / A_w          (Lesnewich 1958 / Halmoy 1979 form)
//
// with m mm3/(A s), c mm4/(A2 s), L electrode extension mm, A_w wire section mm2, WFS mm/s. For steady current I_rms =
// I. Known to within about 15 % (90 %) for steel and aluminium, 25 % for nickel and silicon bronze. The resistive term
// with a fixed c overstates thin wires a little.
#pragma once

namespace seamwright {

struct BurnoffInput {
  double wire_diameter_mm = 0;
  double extension_mm = 0;
  double melt_mm3_per_As = 0;        // m
  double resistive_mm4_per_A2s = 0;  // c
};

// Wire feed, m/min, melted by a mean current (A) with the given RMS current (A). Both >= 0.
[[nodiscard]] double wire_feed_m_per_min(const BurnoffInput& in, double mean_current_A, double rms_current_A);

// Steady current, A, that melts `wire_feed_m_per_min` (>= 0): the positive root of the law.
[[nodiscard]] double steady_current_A(const BurnoffInput& in, double wire_feed_m_per_min);

}  // namespace seamwright
