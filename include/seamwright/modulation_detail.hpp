// Double pulse in depth: the two phases, how far the pool follows, and the bands over mean feed and travel.
#pragma once

#include <array>
#include <vector>

#include "seamwright/window.hpp"

namespace seamwright {

struct ModulationPhase {
  double wire_feed_m_per_min = 0;
  double pulse_frequency_Hz = 0, base_current_A = 0, current_A = 0, power_W = 0;
  // As if the phase were held on: the pool settles towards it, it does not get there.
  double penetration_mm = 0, width_mm = 0, back_width_mm = 0;
};

// Bands at one mean feed and travel.
struct ModulationBands {
  double wire_feed_m_per_min = 0, travel_mm_per_s = 0;
  Interval frequency_Hz, amplitude_m_per_min;  // low > high: none
  C frequency_low_end = C::none, frequency_high_end = C::none, amplitude_low_end = C::none,
    amplitude_high_end = C::none;
};

struct ModulationDetail {
  double frequency_Hz = 0, amplitude_m_per_min = 0, ripple_pitch_mm = 0;
  double ripple_pitch_widths = 0;               // in bead widths
  double distance_to_edge_mm = 0;               // from the arc to the widest point of the pool
  double left_under_arc = 0, left_at_edge = 0;  // of the power swing, by conduction
  // Real swings of depth and half width: those of the held phases times what is left of the swing there.
  double penetration_swing_mm = 0, width_swing_mm = 0;
  ModulationPhase high, low;
  std::vector<ModulationBands> bands;  // feeds by travels, about the recommended point
};

// Double-pulse contexts only; `setting` holds frequency and amplitude.
[[nodiscard]] ModulationDetail modulation_detail(const PassContext& context, const Setting& setting);

}  // namespace seamwright
