#include "seamwright/burnoff.hpp"

#include <algorithm>
#include <cmath>

#include "seamwright/constant.hpp"

namespace seamwright {

double wire_feed_m_per_min(const BurnoffInput& in, double mean_current_A, double rms_current_A) {
  const double A_w = wire_section_mm2(in.wire_diameter_mm);
  const double W = in.melt_mm3_per_As * mean_current_A / A_w +
                   in.resistive_mm4_per_A2s * in.extension_mm * rms_current_A * rms_current_A / (A_w * A_w);
  return W / mm_per_s_per_m_per_min;
}

namespace {

// What the line is above the law where the law takes over.
double step_m_per_min(const BurnoffInput& in) {
  const FeedLine& line = in.line;
  return line.slope_m_per_min_A * (line.to_A - line.zero_A) - wire_feed_m_per_min(in, line.to_A, line.to_A);
}

}  // namespace

double steady_current_A(const BurnoffInput& in, double wire_feed_m_per_min) {
  const FeedLine& measured = in.line;
  if (measured.slope_m_per_min_A > 0) {
    const double on_line_A = measured.zero_A + wire_feed_m_per_min / measured.slope_m_per_min_A;
    if (on_line_A <= measured.to_A) return on_line_A;
    if (wire_feed_m_per_min < seamwright::wire_feed_m_per_min(in, measured.end_A, measured.end_A)) {
      // Law and fading difference are both quadratic in I: a I^2 + b I + c = W, solved about the law's own root.
      const double A_w = wire_section_mm2(in.wire_diameter_mm);
      const double span = measured.end_A - measured.to_A, fade = step_m_per_min(in) / (span * span);
      const double a = in.resistive_mm4_per_A2s * in.extension_mm / (A_w * A_w) / mm_per_s_per_m_per_min + fade;
      const double b = in.melt_mm3_per_As / A_w / mm_per_s_per_m_per_min - 2 * fade * measured.end_A;
      const double c = fade * measured.end_A * measured.end_A - wire_feed_m_per_min;
      // The rising branch; this form holds for any sign of b and for a of 0.
      const double root = std::sqrt(std::max(0.0, b * b - 4 * a * c));
      return b > 0 ? -2 * c / (b + root) : (root - b) / (2 * a);
    }
  }
  const double A_w = wire_section_mm2(in.wire_diameter_mm);
  const double W = wire_feed_m_per_min * mm_per_s_per_m_per_min;
  const double linear = in.melt_mm3_per_As / A_w;
  const double square = in.resistive_mm4_per_A2s * in.extension_mm / (A_w * A_w);
  // This form of the root does not cancel, and holds for a wire without resistive heating too.
  return 2.0 * W / (linear + std::sqrt(linear * linear + 4.0 * square * W));
}

}  // namespace seamwright
