// Arc energy and heat input.
#pragma once

namespace seamwright {

// Arc energy, kJ/mm: P / (1000 v), without efficiency (ISO/TR 18491; ASME IX QW-409.1 in other units).
[[nodiscard]] double arc_energy_kJ_per_mm(double power_W, double travel_mm_per_s);
// Heat input by EN 1011-1, kJ/mm: k times the arc energy; k = 0.8 for processes 131 and 135.
[[nodiscard]] double heat_input_kJ_per_mm(double arc_energy_kJ_per_mm, double efficiency_k);

}  // namespace seamwright
