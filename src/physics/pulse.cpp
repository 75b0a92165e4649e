#include "seamwright/pulse.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "seamwright/constant.hpp"

namespace seamwright {
namespace {

double drop_volume_mm3(const BurnoffInput& burnoff, double drop_ratio) {
  const double d = drop_ratio * burnoff.wire_diameter_mm;
  return std::numbers::pi / 6.0 * d * d * d;
}

// c L / A_w: the factor of I_rms^2 in the melted volume, mm3/(A2 s).
double resistive_melting(const BurnoffInput& burnoff) {
  return burnoff.resistive_mm4_per_A2s * burnoff.extension_mm / wire_section_mm2(burnoff.wire_diameter_mm);
}

// Volume melted each second at a constant current, mm3/s.
double melting_mm3_per_s(const BurnoffInput& burnoff, double current_A) {
  return (burnoff.melt_mm3_per_As + resistive_melting(burnoff) * current_A) * current_A;
}

}  // namespace

PulseShape pulse_shape(const BurnoffInput& burnoff, double peak_current_A, const PulseShapeRules& rules) {
  const double melting = melting_mm3_per_s(burnoff, peak_current_A);
  const auto peak_time_ms = [&](double ratio) {
    return 1000.0 * rules.peak_share * drop_volume_mm3(burnoff, ratio) / melting;
  };
  PulseShape shape{peak_current_A, peak_time_ms(rules.drop_ratio), rules.drop_ratio};
  const double allowed_ms = std::clamp(shape.peak_time_ms, rules.peak_time_min_ms, rules.peak_time_max_ms);
  if (allowed_ms != shape.peak_time_ms) {
    // The time goes with the cube of the drop diameter.
    shape.drop_ratio = std::clamp(rules.drop_ratio * std::cbrt(allowed_ms / shape.peak_time_ms), rules.drop_ratio_min,
                                  rules.drop_ratio_max);
    shape.peak_time_ms = peak_time_ms(shape.drop_ratio);
  }
  return shape;
}

PulseShape pulse_shape_fixed_time(double peak_current_A, double peak_time_ms, double drop_ratio) {
  return {peak_current_A, peak_time_ms, drop_ratio};
}

PulseSet pulse_set(const BurnoffInput& burnoff, const PulseShape& shape, double wire_feed_m_per_min) {
  const double fed_mm3_per_s =
      wire_section_mm2(burnoff.wire_diameter_mm) * wire_feed_m_per_min * mm_per_s_per_m_per_min;
  const double I_p = shape.peak_current_A;
  PulseSet out;
  out.frequency_Hz = fed_mm3_per_s / drop_volume_mm3(burnoff, shape.drop_ratio);
  const double period_ms = 1000.0 / out.frequency_Hz;
  out.base_time_ms = period_ms - shape.peak_time_ms;
  out.duty = shape.peak_time_ms / period_ms;
  const double d = out.duty;
  if (d >= 1.0) {  // no base left: the steady current that melts the feed
    out.base_current_A = out.mean_current_A = out.rms_current_A = steady_current_A(burnoff, wire_feed_m_per_min);
    return out;
  }
  // What the base has to melt while it lasts: m I_b + k I_b^2 = q, k = c L / A_w.
  const double m = burnoff.melt_mm3_per_As;
  const double k = resistive_melting(burnoff);
  const double q = (fed_mm3_per_s - d * melting_mm3_per_s(burnoff, I_p)) / (1.0 - d);
  // Root without cancellation. Far below zero there is no real root; the answer then goes on falling with q.
  const double I_b = 2.0 * q / (m + std::sqrt(std::max(0.0, m * m + 4.0 * k * q)));
  out.base_current_A = I_b;
  out.mean_current_A = d * I_p + (1.0 - d) * I_b;
  out.rms_current_A = std::sqrt(d * I_p * I_p + (1.0 - d) * I_b * I_b);
  return out;
}

double pulse_power_W(double peak_A, double base_A, double peak_V, double base_V, double duty) {
  const double mean_A = duty * peak_A + (1.0 - duty) * base_A;
  const double mean_V = duty * peak_V + (1.0 - duty) * base_V;
  return mean_V * mean_A + duty * (1.0 - duty) * (peak_A - base_A) * (peak_V - base_V);
}

double drops_per_pulse(double trim, double exponent) { return std::pow(1.0 + trim, exponent); }

TrimWindow peak_trim_window(double relative, double exponent) {
  return {std::pow(1.0 - relative, 1.0 / exponent) - 1.0, std::pow(1.0 + relative, 1.0 / exponent) - 1.0};
}

}  // namespace seamwright
