// Arc voltage and arc dynamics.
#pragma once

namespace seamwright {

// Spray and pulse:  U = U_f + R_a I + E l + (rho L / A_w) I
struct ArcInput {
  double fixed_V = 0;                  // U_f, the helium allowance included
  double resistance_ohm = 0;           // R_a
  double field_V_per_mm = 0;           // E
  double wire_resistivity_uohm_m = 0;  // rho of the hot wire
  double wire_diameter_mm = 0;
  double extension_mm = 0;
};

// Mean voltage between contact tip and work, V, at `current_A` with arc length `arc_length_mm`. +-2 V (90 %).
[[nodiscard]] double arc_voltage_V(const ArcInput& in, double current_A, double arc_length_mm);

// Arc length, mm, that gives `voltage_V` at `current_A`.
[[nodiscard]] double arc_length_mm(const ArcInput& in, double current_A, double voltage_V);

// Short arc: U = base + slope I + offset, at most `cap_V`. The line is a load-voltage convention used as an estimate of
// the mean voltage; +-3 V (90 %).
struct ShortArcLine {
  double base_V = 0, slope_V_per_A = 0, offset_V = 0, cap_V = 0;
};
[[nodiscard]] double short_arc_voltage_V(const ShortArcLine& line, double current_A);

// Inductance, mH, of a circuit whose current rises at `rise_A_per_ms` while the wire is bridged:
//   L = (U - R_c I) / (dI/dt);  `source_V` mean voltage, `bridge_ohm` resistance of the bridged extension.
[[nodiscard]] double equivalent_inductance_mH(double source_V, double current_A, double bridge_ohm,
                                              double rise_A_per_ms);
// The rise, A/ms, that an inductance of `inductance_mH` gives: the inverse.
[[nodiscard]] double current_rise_A_per_ms(double source_V, double current_A, double bridge_ohm, double inductance_mH);

}  // namespace seamwright
