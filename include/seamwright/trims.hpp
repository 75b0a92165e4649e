// What the trims do at a setting: peak current, arc length, dynamics.
#pragma once

#include <vector>

#include "seamwright/window.hpp"

namespace seamwright {

// Peak current trimmed at fixed peak time and feed; the base current follows so that the wire still melts.
struct PeakTrimEffect {
  double trim = 0;             // 0.05: +5 %
  double drops_per_pulse = 0;  // by the volume melted in the peak
  double peak_current_A = 0, base_current_A = 0, current_A = 0, power_W = 0;
  bool one_drop = false;  // inside the window of one drop a pulse
};

struct ArcTrimEffect {
  double trim_V = 0;
  double voltage_V = 0;
  double arc_length_mm = 0;  // not applicable in dip modes
  double power_W = 0, heat_input_kJ_per_mm = 0, penetration_mm = 0;
};

// A short circuit at a rate of rise. The bridge breaks once a charge has passed through it in proportion to the wire's
// section (assumed; the charge is that of the median short of one open 50 kHz record), and not below the current whose
// pinch beats surface tension. Between the start, at the mean current, and the break the current rises linearly.
struct DynamicsEffect {
  double rise_A_per_ms = 0, inductance_mH = 0;
  double short_circuit_ms = 0, peak_A = 0;
};
// Duration, ms, and peak, A, of a short that starts at `start_A`.
struct ShortCircuit {
  double duration_ms = 0, peak_A = 0;
};
[[nodiscard]] ShortCircuit short_circuit(double start_A, double rise_A_per_ms, double charge_A_ms, double clearing_A);

struct TrimEffects {
  std::vector<PeakTrimEffect> peak;      // pulsed modes: -10 to +15 %
  std::vector<ArcTrimEffect> arc;        // over the trim window
  std::vector<DynamicsEffect> dynamics;  // dip modes: over the usual rates of rise
};
[[nodiscard]] TrimEffects trim_effects(const PassContext& context, const Setting& setting);

}  // namespace seamwright
