// Metal transfer: between which currents a mode holds.
#pragma once

namespace seamwright {

// Globular to spray transition current, A, in a gas with `co2_percent` CO2. `base_A` is the transition in argon-rich
// gas without CO2. CO2 raises it by `share_per_percent` of its value a percent (0.011). Of use where there is spray.
[[nodiscard]] double transition_current_A(double base_A, double co2_percent, double share_per_percent);
// Whether a gas with `co2_percent` CO2 sprays: there is no true spray above `co2_max_percent`.
[[nodiscard]] bool has_spray(double co2_percent, double co2_max_percent);

// Short-circuit floor: the current above which the pinch force breaks a bridge of the wire's own radius,
//   I = 2 pi sqrt(gamma r / mu0)    (pinch pressure against surface tension)
// gamma N/m, wire diameter mm; A.
[[nodiscard]] double bridge_clearing_current_A(double surface_tension_N_per_m, double wire_diameter_mm);

}  // namespace seamwright
