// Double pulse: slow modulation of the wire feed about its mean W at frequency F,
//   W_hi = W + a,  W_lo = W - a s / (1 - s)     (s share of the period in the high phase; W - a at one half)
//
// Error: what is left of a modulation is its formula to 1e-14 (against the complex root, 0.1 to 50 Hz), by hand to
// 0.005. The mean feed is kept at any share of the high phase to rounding, and each phase is a pulse as exact as
// pulse.hpp. How far the bands hold on real beads is not known: no measured bead of a double pulse was at hand.
// Conduction alone puts the edge of a steel pool at -3 dB from 0.25 to 0.4 Hz; real pools stir and follow faster.
//
// References:
//   Barra (2008): mean power and thermal pulsation in double pulse [barra-2008]
//   Investigation of the difference in the pulse current in the double pulsed gas metal arc welding of aluminum alloys,
//     Materials 15 (2022) 2513, doi:10.3390/ma15072513 (abstract read): base current modulated, peak kept, runs
//     steadier
//   Carslaw, H. S. and Jaeger, J. C. (1959) Conduction of Heat in Solids, 2nd edition, Oxford (memory): periodic heat
//     in a moving solid; the attenuation is worked out from it
//   Bands and the point in them [assumed-modulation], [practice-modulation], [practice-double-pulse]
//
// Example:
//
//     std::printf("%.2f\n", modulation_left(2, 3, 10, 48));            // 0.50
//     std::printf("%.1f Hz\n", highest_frequency_Hz(2, 0.5, 10, 48));  // 3.0 Hz
//     ModulationInput in{.burnoff = {1.2, 15, 1.10, 1.7e-5}, .shape = {270, 1.9, 1}, .wire_feed_m_per_min = 8};
//     in.travel_mm_per_s = 10, in.pool_length_mm = 22, in.bead_width_mm = 9, in.pool_depth_mm = 3;
//     in.diffusivity_mm2_per_s = 48, in.pulse_feed_min_m_per_min = 3.4, in.pulse_feed_max_m_per_min = 12.9;
//     in.burn_through_feed_m_per_min = 100, in.source_frequency_max_Hz = 8, in.source_amplitude_max_m_per_min = 3;
//     const Modulation found = solve_modulation(in);
//     std::printf("%.1f Hz, +-%.1f m/min\n", found.frequency_Hz, found.amplitude_m_per_min);  // 3.7 Hz, +-2.4 m/min
#pragma once

#include "seamwright/constraint_id.hpp"
#include "seamwright/pulse.hpp"

namespace seamwright {

// Share of a power modulation at `frequency_Hz` that is left at distance `distance_mm` from the arc in a plate of
// diffusivity `diffusivity_mm2_per_s`, the arc moving at `travel_mm_per_s`:
//   exp(-R (Re sqrt(v^2/4a^2 + i w/a) - v/2a)),  w = 2 pi F.
// 0..1; distance, frequency and travel >= 0, diffusivity > 0, no check.
// Conduction only: real pools stir and follow faster, so this is a low estimate.
[[nodiscard]] double modulation_left(double distance_mm, double frequency_Hz, double travel_mm_per_s,
                                     double diffusivity_mm2_per_s);

// The frequency, Hz, up to which at least `least_left` (0..1) is left at `distance_mm`. Bounded above by 1000 Hz; 0
// where all of it is to be left.
[[nodiscard]] double highest_frequency_Hz(double distance_mm, double least_left, double travel_mm_per_s,
                                          double diffusivity_mm2_per_s);

struct ModulationInput {
  BurnoffInput burnoff;
  PulseShape shape;
  double wire_feed_m_per_min = 0;  // mean, > 0
  double share_high = 0.5;         // inside 0..1
  double travel_mm_per_s = 0;
  double pool_length_mm = 0;
  double bead_width_mm = 0;
  double pool_depth_mm = 0;
  double diffusivity_mm2_per_s = 0;
  // limits
  double pulse_feed_min_m_per_min = 0, pulse_feed_max_m_per_min = 0;  // pulse window of the wire feed
  double burn_through_feed_m_per_min = 0;                             // high phase must stay below; may be infinite
  double source_frequency_min_Hz = 0, source_frequency_max_Hz = 0;    // usual or the equipment's own
  double source_amplitude_min_m_per_min = 0, source_amplitude_max_m_per_min = 0;
  C source_limit = C::modulation_usual;  // which of the two
  // design choices
  double pool_share = 0.5;  // pitch at most this share of the pool length
  double left_min = 0.1;    // modulation left under the arc
  double swing_min = 0.05;  // relative power swing under the arc
  double pitch_widths = 0.3;
  double easy_frequency_min_Hz = 0, easy_frequency_max_Hz = 1000;  // the recommended one is looked for inside
  double amplitude_share = 0.3;
  double frequency_Hz = 0;  // set, 0: the recommended one. The least amplitude hangs on it
};

struct Modulation {
  double frequency_low_Hz = 0, frequency_high_Hz = 0, frequency_Hz = 0;  // low > high: no frequency fits
  C frequency_low_end = C::none, frequency_high_end = C::none;
  double amplitude_low_m_per_min = 0, amplitude_high_m_per_min = 0, amplitude_m_per_min = 0;
  C amplitude_low_end = C::none, amplitude_high_end = C::none;
  double wire_feed_high_m_per_min = 0, wire_feed_low_m_per_min = 0;
  double ripple_pitch_mm = 0;
  double left_under_arc = 0;  // at the recommended frequency
  PulseSet high, low;         // the two phases' pulses
};

// Frequency and amplitude bands and the recommended point. Mean power and thermal pulsation as in Barra 2008; peak
// fixed and base following in both phases; the design choices are assumed. Never refuses: every number is finite. The
// power swing is taken as that of the mean current (voltage about constant), after the attenuation at the recommended
// frequency. Where a band is empty (low > high) the recommended value is its upper end, not below zero.
[[nodiscard]] Modulation solve_modulation(const ModulationInput& in);

}  // namespace seamwright
