// Pulse: one drop a pulse.
//
//   volume balance   f = A_w WFS / V_d,  V_d = pi/6 d_d^3
//   melting balance  A_w WFS = m I_mean + (c L / A_w) I_rms^2   of the rectangular pulse, solved for the base current
//   peak time        t_p = phi V_d / (m I_p + c L I_p^2 / A_w)  unless given
//
// Error: both balances are met to 1e-15 of the feed, the peak time to rounding. Against the one published setting with
// a frequency (1.0 mm steel, 7 m/min, 345 over 35 A): 151.2 Hz for 151.5, with a drop of 1.05 wire diameters fitted to
// it, and a base of 40 A for 35, the peak time of 2.4 ms estimated. A real pulse has ramps: at 500 A/ms they carry
// about 5 % more mean current at the same feed in steel (8 % at 300, 3 % at 1000 A/ms), hardly any in aluminium. With
// the extension stated the mean current is good to 15 % (90 %).
//
// References:
//   Melting law: burnoff.hpp. Volume balance and share of the drop melted in the peak (derived here), [assumed-pulse];
//     one drop about as large as the wire [practice-drop]
//   Amin, M. (1983) Pulse current parameters for arc stability and controlled metal transfer in arc welding, Metal
//     Construction 15, 272-278 (memory): D = I^n t_p with n about 2; by melted volume it is about 1 [drop-volumetric]
//   Ramps [pulse-ramps]
//   Park and others (2019) Applied Sciences 9, 4626, doi:10.3390/app9214626 (second hand): the setting above
//
// Example:
//
//     const BurnoffInput steel{
//         .wire_diameter_mm = 1.2, .extension_mm = 15, .melt_mm3_per_As = 0.33, .resistive_mm4_per_A2s = 6.2e-5};
//     const PulseSet set = pulse_set(steel, pulse_shape_fixed_time(450, 2.2, 1), 5);
//     std::printf("%.0f Hz, base %.0f A\n", set.frequency_Hz, set.base_current_A);      // 104 Hz, base 73 A
//     std::printf("mean %.0f A, RMS %.0f A\n", set.mean_current_A, set.rms_current_A);  // mean 160 A, RMS 225 A
#pragma once

#include "seamwright/burnoff.hpp"

namespace seamwright {

struct PulseShape {
  double peak_current_A = 0;
  double peak_time_ms = 0;
  double drop_ratio = 1;  // drop diameter / wire diameter
};

struct PulseSet {
  double frequency_Hz = 0;
  double base_current_A = 0;  // may come out low or negative: the limit on it is the caller's
  double base_time_ms = 0;    // may be negative when the peaks fill the period
  double duty = 0;
  double mean_current_A = 0;
  double rms_current_A = 0;
};

struct PulseShapeRules {
  double peak_share = 0;  // phi
  double drop_ratio = 1;
  double drop_ratio_min = 0, drop_ratio_max = 0;
  double peak_time_min_ms = 0, peak_time_max_ms = 0;
};

// Peak time from the share of the drop melted in the peak. Where it falls outside the allowed times the drop ratio
// moves within its limits to bring it in; a time still outside then means that this wire and peak cannot. Peak > 0, A;
// no check.
[[nodiscard]] PulseShape pulse_shape(const BurnoffInput& burnoff, double peak_current_A, const PulseShapeRules& rules);

// Peak time, ms, fixed by the user: the shape with the drop ratio the rule starts from.
[[nodiscard]] PulseShape pulse_shape_fixed_time(double peak_current_A, double peak_time_ms, double drop_ratio);

// The pulse at a wire feed (m/min, > 0; no check). Where the peaks alone fill the period (base_time_ms <= 0) the three
// currents are the steady current that melts the feed.
[[nodiscard]] PulseSet pulse_set(const BurnoffInput& burnoff, const PulseShape& shape, double wire_feed_m_per_min);

// Mean of instantaneous power, W, of a rectangular pulse whose peak and base currents and voltages are given, the duty
// d inside 0..1.
//   P = U_mean I_mean + d (1-d) (I_p - I_b) (U_p - U_b)
[[nodiscard]] double pulse_power_W(double peak_A, double base_A, double peak_V, double base_V, double duty);

// Drops a pulse when the peak is trimmed by `trim` (0.05 = +5 %, above -1) at fixed time: (1 + trim)^n, by D = I_p^n
// t_p.
[[nodiscard]] double drops_per_pulse(double trim, double exponent = 2.0);

// Trim window for a criterion window `relative` (0.15, inside 0..1): the n-th roots of 1 - w and 1 + w, less 1.
struct TrimWindow {
  double low = 0, high = 0;
};
[[nodiscard]] TrimWindow peak_trim_window(double relative, double exponent = 2.0);

}  // namespace seamwright
