// Arc voltage and arc dynamics: how voltage, current, arc length and the rise of the current in a short hang together.
// All are formulas of one line. None checks its input: currents and lengths are 0 or more and finite, resistances and
// fields above 0, and what comes out of anything else is of no use.
//
// Error: the formulas are evaluated to rounding (arc length and voltage are inverse to each other to 1e-12). Against
// practice, at the current published or recalled for 58 settings, the voltage is within 3 V of all of them, the median
// by group -1.4 to +0.9 V (tests/published/README.md). The short-arc line is -0.3 V off 33 robot welds of steel from
// 120 to 209 A, standard deviation 1.8 V, and 2.9 V above 38 layers of 4043 in controlled dip, 1.1 V: so 3 V, and an
// offset by wire. An inductance is that of the whole circuit, cables too; no measured one was at hand.
//
// References:
//   Constants by wire and gas [recalled-arc], moved inside their spread to settings [arc-against-settings]
//   IEC 60974-1, conventional load voltage of MIG/MAG sources: 14 V + 0.05 V/A, at most 44 V [iec-60974-1]
//   Logs of short arc [robot-weld-data] and of controlled dip [bent-tube-voltage]
//   Rise, current and voltage of one 50 kHz record of dip transfer [assumed-short-circuit]
//
// Example:
//
//     const ArcInput steel{.fixed_V = 15.7,
//                          .resistance_ohm = 0.022,
//                          .field_V_per_mm = 0.9,
//                          .wire_resistivity_uohm_m = 0.65,
//                          .wire_diameter_mm = 1.2,
//                          .extension_mm = 15};
//     std::printf("%.1f V\n", arc_voltage_V(steel, 300, 4));                    // 28.5 V
//     std::printf("%.1f mm\n", arc_length_mm(steel, 300, 30));                  // 5.7 mm
//     std::printf("%.2f mH\n", equivalent_inductance_mH(19, 190, 0.0125, 31));  // 0.54 mH
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

// Mean voltage between contact tip and work, V, at `current_A` with arc length `arc_length_mm`. +-2 V (90 %) in spray
// and pulse; of use from where the wire no longer dips.
[[nodiscard]] double arc_voltage_V(const ArcInput& in, double current_A, double arc_length_mm);

// Arc length, mm, that gives `voltage_V` at `current_A`: below 0 where the voltage does not even carry the current
// through the wire, which is a short circuit and not an arc.
[[nodiscard]] double arc_length_mm(const ArcInput& in, double current_A, double voltage_V);

// Short arc, V: U = base + slope I + offset, at most `cap_V`. The line is a load-voltage convention used as an estimate
// of the mean voltage; +-3 V (90 %).
struct ShortArcLine {
  double base_V = 0, slope_V_per_A = 0, offset_V = 0, cap_V = 0;
};
[[nodiscard]] double short_arc_voltage_V(const ShortArcLine& line, double current_A);

// Inductance, mH, of a circuit whose current rises at `rise_A_per_ms` while the wire is bridged:
//   L = (U - R_c I) / (dI/dt);  `source_V` mean voltage, `bridge_ohm` resistance of the bridged extension.
// Below 0 where the bridge alone takes more voltage than there is.
[[nodiscard]] double equivalent_inductance_mH(double source_V, double current_A, double bridge_ohm,
                                              double rise_A_per_ms);
// The rise, A/ms, that an inductance of `inductance_mH` gives: the inverse.
[[nodiscard]] double current_rise_A_per_ms(double source_V, double current_A, double bridge_ohm, double inductance_mH);

}  // namespace seamwright
