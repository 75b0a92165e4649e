// Metal transfer: between which currents a mode holds. Formulas of one line without checks: currents, contents and
// diameters are 0 or more, a CO2 content at most 100 %.
//
// Error: the base currents are a handbook's, to the ampere but for stainless of 1.6 mm, which stands between it and
// settings from 215 A (tests/published/current_ranges.csv). The rise with CO2 puts steel of 1.2 mm at 264 A in 9 % and
// at 284 A in 16.5 % CO2, 14 and 9 A above the middle of the ranges recalled, which are known within 20 A. The clearing
// current is a floor and no mean: in the one record at hand (1.0 mm steel taken, floor 143 A) a short begins at 198 A
// and ends at 261 A (medians).
//
// References:
//   Base currents [aws-handbook-transition]; their rise, and where spray ends [recalled-co2-transition]
//   Northrup, E. F. (1907) Some newly observed manifestations of forces in the interior of an electric conductor,
//     Physical Review 24, 474 (memory): the pinch. The pressure is that on the axis, mu0 I^2 / (4 pi^2 r^2)
//   Amson, J. C. (1965) Lorentz force in the molten tip of an arc electrode, British Journal of Applied Physics 16,
//     1169: abstract read; the force on a drop of any shape, not taken up here (memory)
//   Surface tension [recalled-melt]; the record of shorts [assumed-short-circuit]
//
// Example:
//
//     std::printf("%.0f A\n", transition_current_A(240, 18, 0.011));  // 288 A
//     std::printf("%d\n", has_spray(25, 22) ? 1 : 0);                 // 0
//     std::printf("%.0f A\n", bridge_clearing_current_A(1.3, 1.2));   // 157 A
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
