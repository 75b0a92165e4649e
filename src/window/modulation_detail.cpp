#include "seamwright/modulation_detail.hpp"

#include "seamwright/modulation.hpp"
#include "seamwright/pool.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

// A phase held on: a plain pulse at its feed.
ModulationPhase held_phase(const PassContext& c, const ConstantValues& x, const Setting& s, double feed) {
  PassContext plain = c;
  plain.mode = Mode::pulse;
  Setting steady = s;
  steady.wire_feed_m_per_min = feed;
  const FieldValues f = evaluate(plain, x, steady);
  return {.wire_feed_m_per_min = feed,
          .pulse_frequency_Hz = f[F::pulse_frequency],
          .base_current_A = f[F::base_current],
          .current_A = f[F::current],
          .power_W = f[F::power],
          .penetration_mm = f[F::penetration],
          .width_mm = f[F::bead_width],
          .back_width_mm = f[F::back_width]};
}

ModulationBands bands_at(const PassContext& c, const ConstantValues& x, double feed, double travel) {
  Setting s;
  s.wire_feed_m_per_min = feed;
  s.travel_mm_per_s = travel;
  settle_modulation(c, x, s);
  const FieldValues f = evaluate(c, x, s);
  const Modulation m = modulation_at(c, x, f, burn_through_feed_m_per_min(c, x, travel, feed));
  return {.wire_feed_m_per_min = feed,
          .travel_mm_per_s = travel,
          .frequency_Hz = {m.frequency_low_Hz, m.frequency_high_Hz},
          .amplitude_m_per_min = {m.amplitude_low_m_per_min, m.amplitude_high_m_per_min},
          .frequency_low_end = m.frequency_low_end,
          .frequency_high_end = m.frequency_high_end,
          .amplitude_low_end = m.amplitude_low_end,
          .amplitude_high_end = m.amplitude_high_end};
}

}  // namespace

ModulationDetail modulation_detail(const PassContext& c, const Setting& s) {
  const ConstantValues x = nominal_values(c.constants);
  const FieldValues f = evaluate(c, x, s);
  ModulationDetail d;
  d.frequency_Hz = f[F::modulation_frequency];
  d.amplitude_m_per_min = f[F::modulation_amplitude];
  d.ripple_pitch_mm = f[F::ripple_pitch];
  if (f[F::bead_width] > 0) d.ripple_pitch_widths = d.ripple_pitch_mm / f[F::bead_width];
  const double diffusivity =
      x[static_cast<std::size_t>(K::conductivity)] / x[static_cast<std::size_t>(K::heat_capacity)];
  d.distance_to_edge_mm = widest_point_distance_mm(pool_input_at(c, x, f));
  d.left_under_arc = modulation_left(0.5 * f[F::penetration], d.frequency_Hz, s.travel_mm_per_s, diffusivity);
  d.left_at_edge = modulation_left(d.distance_to_edge_mm, d.frequency_Hz, s.travel_mm_per_s, diffusivity);
  d.high = held_phase(c, x, s, f[F::wire_feed_high]);
  d.low = held_phase(c, x, s, f[F::wire_feed_low]);
  d.penetration_swing_mm = d.left_under_arc * (d.high.penetration_mm - d.low.penetration_mm);
  d.width_swing_mm = d.left_at_edge * (d.high.width_mm - d.low.width_mm);
  for (const double feed_share : {0.85, 1.0, 1.15})
    for (const double travel_share : {0.75, 1.0, 1.25})
      d.bands.push_back(bands_at(c, x, feed_share * s.wire_feed_m_per_min, travel_share * s.travel_mm_per_s));
  return d;
}

}  // namespace seamwright
