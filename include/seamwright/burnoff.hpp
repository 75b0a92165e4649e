// Burn-off: the wire feed that a current melts, and back.
//
//   WFS A_w = m I + c L I_rms^2 / A_w          (Lesnewich 1958 / Halmoy 1979 form)
//
// with m mm3/(A s), c mm4/(A2 s), L electrode extension mm, A_w wire section mm2, WFS mm/s. For steady current I_rms =
// I.
//
// A power source that follows a current programme of its own can leave the law. Where its feed was measured against
// current, a line takes the law's place up to a current, and from there the difference fades out:
//
//   WFS = s (I - I0)                                              I <= I1
//   WFS = law(I) + (s (I1 - I0) - law(I1)) ((I2 - I)/(I2 - I1))^2  I1 < I < I2
//
// 4043 of 1.2 mm, controlled dip: s 0.138 m/min an ampere, I0 35.8 A, I1 73 A, I2 97 A; 84 layers of one source, 56 to
// 73 A, within 3.3 % (90 %) on the half not fitted. The law alone is 25 % high below 60 A there.
//
// Known to within about 15 % (90 %) for steel and aluminium, 25 % for nickel and silicon bronze. The resistive term
// with a fixed c overstates thin wires a little.
#pragma once

namespace seamwright {

// A measured line of feed against current; none where `slope_m_per_min_A` is 0.
struct FeedLine {
  double slope_m_per_min_A = 0;
  double zero_A = 0;  // where it would come to no feed
  double to_A = 0;    // where the law takes over
  double end_A = 0;   // from where it stands alone, > to_A
  [[nodiscard]] bool operator==(const FeedLine&) const = default;
};

struct BurnoffInput {
  double wire_diameter_mm = 0;
  double extension_mm = 0;
  double melt_mm3_per_As = 0;        // m
  double resistive_mm4_per_A2s = 0;  // c
  FeedLine line = {};                // for steady current
};

// Wire feed, m/min, melted by a mean current (A) with the given RMS current (A), both >= 0: the law without a line.
[[nodiscard]] double wire_feed_m_per_min(const BurnoffInput& in, double mean_current_A, double rms_current_A);

// Steady current, A, that melts `wire_feed_m_per_min` (>= 0): the positive root of the law, or of the line.
[[nodiscard]] double steady_current_A(const BurnoffInput& in, double wire_feed_m_per_min);

}  // namespace seamwright
