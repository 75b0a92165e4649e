#include "seamwright/burnoff.hpp"

#include <cmath>

#include "seamwright/constant.hpp"

namespace seamwright {

double wire_feed_m_per_min(const BurnoffInput& in, double mean_current_A, double rms_current_A) {
  const double A_w = wire_section_mm2(in.wire_diameter_mm);
  const double W = in.melt_mm3_per_As * mean_current_A / A_w +
                   in.resistive_mm4_per_A2s * in.extension_mm * rms_current_A * rms_current_A / (A_w * A_w);
  return W / mm_per_s_per_m_per_min;
}

double steady_current_A(const BurnoffInput& in, double wire_feed_m_per_min) {
  const double A_w = wire_section_mm2(in.wire_diameter_mm);
  const double W = wire_feed_m_per_min * mm_per_s_per_m_per_min;
  const double linear = in.melt_mm3_per_As / A_w;
  const double square = in.resistive_mm4_per_A2s * in.extension_mm / (A_w * A_w);
  // This form of the root does not cancel, and holds for a wire without resistive heating too.
  return 2.0 * W / (linear + std::sqrt(linear * linear + 4.0 * square * W));
}

}  // namespace seamwright
