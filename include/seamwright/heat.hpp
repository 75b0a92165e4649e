// Arc energy and heat input. Neither function checks its input: power 0 or more, travel above 0, k inside 0..1.
//
// Error: none of the formulas' own (worked exercises to the last digit printed, tests/published/heat.csv). Voltage and
// current each good to 10 % and travel to 5 % make 15 % of heat input, independent errors taken. Of a pulsed arc the
// power must be the mean of the instantaneous product: volts times amperes by their means is 18 % low on a pulse of 400
// A for 2 ms over 60 A for 6 ms, at 30 and 19 V.
//
// References:
//   EN 1011-1, heat input and thermal efficiency k of arc processes [en-1011-1]
//   ISO/TR 18491:2015, arc energy and instantaneous energy [iso-tr-18491]
//   ASME BPVC section IX, QW-409.1, the same without k in J/in (memory)
//
// Example:
//
//     const double energy = arc_energy_kJ_per_mm(24 * 220, 5);
//     std::printf("%.3f kJ/mm\n", energy);                             // 1.056 kJ/mm
//     std::printf("%.3f kJ/mm\n", heat_input_kJ_per_mm(energy, 0.8));  // 0.845 kJ/mm
#pragma once

namespace seamwright {

// Arc energy, kJ/mm: P / (1000 v), without efficiency; power W, travel mm/s.
[[nodiscard]] double arc_energy_kJ_per_mm(double power_W, double travel_mm_per_s);
// Heat input by EN 1011-1, kJ/mm: k times the arc energy; k = 0.8 for processes 131 and 135.
[[nodiscard]] double heat_input_kJ_per_mm(double arc_energy_kJ_per_mm, double efficiency_k);

}  // namespace seamwright
