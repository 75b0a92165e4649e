#include "seamwright/modulation.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace seamwright {
namespace {

constexpr double frequency_ceiling_Hz = 1000.0;

// An end of a band and the limit that sets it.
struct Limit {
  double value;
  C id;
};
Limit largest(Limit a, Limit b) { return b.value > a.value ? b : a; }
Limit smallest(Limit a, Limit b) { return b.value < a.value ? b : a; }

}  // namespace

double modulation_left(double distance_mm, double frequency_Hz, double travel_mm_per_s, double diffusivity_mm2_per_s) {
  if (frequency_Hz <= 0.0) return 1.0;
  const double p = travel_mm_per_s / (2.0 * diffusivity_mm2_per_s);
  const double y = 2.0 * std::numbers::pi * frequency_Hz / diffusivity_mm2_per_s;
  const double modulus = std::hypot(p * p, y);
  const double q = std::sqrt((modulus + p * p) / 2.0);  // Re sqrt(p^2 + i y)
  // q - p without cancellation: (q^2 - p^2) / (q + p), and the same again inside.
  const double q_less_p = y * y / (2.0 * (modulus + p * p)) / (q + p);
  return std::exp(-distance_mm * q_less_p);
}

double highest_frequency_Hz(double distance_mm, double least_left, double travel_mm_per_s,
                            double diffusivity_mm2_per_s) {
  if (least_left >= 1.0) return 0.0;
  if (distance_mm <= 0.0 || least_left <= 0.0) return frequency_ceiling_Hz;
  // modulation_left solved for w: q = p + ln(1/left) / R, w = 2 a q sqrt(q^2 - p^2).
  const double p = travel_mm_per_s / (2.0 * diffusivity_mm2_per_s);
  const double q_less_p = -std::log(least_left) / distance_mm;
  const double q = p + q_less_p;
  const double w = 2.0 * diffusivity_mm2_per_s * q * std::sqrt(q_less_p * (q + p));
  return std::min(w / (2.0 * std::numbers::pi), frequency_ceiling_Hz);
}

Modulation solve_modulation(const ModulationInput& in) {
  Modulation out;
  const double v = in.travel_mm_per_s;

  const double longest_pitch_mm = in.pool_share * in.pool_length_mm;
  const double remelting_Hz =
      longest_pitch_mm > 0.0 ? std::min(v / longest_pitch_mm, frequency_ceiling_Hz) : frequency_ceiling_Hz;
  const double under_arc_mm = in.pool_depth_mm / 2.0;
  const double response_Hz = highest_frequency_Hz(under_arc_mm, in.left_min, v, in.diffusivity_mm2_per_s);
  const auto low = largest({in.source_frequency_min_Hz, in.source_limit}, {remelting_Hz, C::modulation_remelting});
  const auto high = smallest({in.source_frequency_max_Hz, in.source_limit}, {response_Hz, C::modulation_response});
  out.frequency_low_Hz = low.value;
  out.frequency_low_end = low.id;
  out.frequency_high_Hz = high.value;
  out.frequency_high_end = high.id;
  // Not std::clamp: where no frequency fits the upper end, which the source and the pool can follow, stands.
  const double pitch_mm = in.pitch_widths * in.bead_width_mm;
  const double wanted_Hz =
      pitch_mm > 0.0 ? std::clamp(v / pitch_mm, in.easy_frequency_min_Hz, in.easy_frequency_max_Hz) : high.value;
  out.frequency_Hz = in.frequency_Hz > 0.0 ? in.frequency_Hz : std::min(std::max(wanted_Hz, low.value), high.value);
  out.ripple_pitch_mm = v / out.frequency_Hz;
  out.left_under_arc = modulation_left(under_arc_mm, out.frequency_Hz, v, in.diffusivity_mm2_per_s);

  // W_hi = W + a, W_lo = W - down a: the mean feed stays the mean at any share; down is 1 at a share of one half.
  const double W = in.wire_feed_m_per_min;
  const double down = in.share_high / (1.0 - in.share_high);
  const auto mean_current_A = [&](double feed) { return pulse_set(in.burnoff, in.shape, feed).mean_current_A; };
  // Relative change of mean current, which is that of power at constant voltage, for a relative change of feed.
  const double step = 0.01 * W;
  const double sensitivity =
      (mean_current_A(W + step) - mean_current_A(W - step)) / (2.0 * step) * W / mean_current_A(W);
  const double followed = sensitivity * out.left_under_arc;
  // An amplitude of the whole feed can never fit, so it stands for everything beyond.
  const double swing = in.swing_min < followed ? in.swing_min * W / followed : W;
  const auto least = largest({in.source_amplitude_min_m_per_min, in.source_limit}, {swing, C::modulation_swing});
  auto most = smallest({in.source_amplitude_max_m_per_min, in.source_limit},
                       {(W - in.pulse_feed_min_m_per_min) / down, C::modulation_low_phase});
  most = smallest(most, {in.pulse_feed_max_m_per_min - W, C::modulation_high_phase});
  most = smallest(most, {in.burn_through_feed_m_per_min - W, C::modulation_burn_through});
  out.amplitude_low_m_per_min = least.value;
  out.amplitude_low_end = least.id;
  out.amplitude_high_m_per_min = most.value;
  out.amplitude_high_end = most.id;
  out.amplitude_m_per_min = std::max(0.0, std::min(std::max(in.amplitude_share * W, least.value), most.value));

  out.wire_feed_high_m_per_min = W + out.amplitude_m_per_min;
  out.wire_feed_low_m_per_min = W - down * out.amplitude_m_per_min;
  out.high = pulse_set(in.burnoff, in.shape, out.wire_feed_high_m_per_min);
  out.low = pulse_set(in.burnoff, in.shape, out.wire_feed_low_m_per_min);
  return out;
}

}  // namespace seamwright
