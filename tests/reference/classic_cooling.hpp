// Cooling after the classic conduction forms (Rosenthal 1946, Rykalin 1957, Adams 1958): what the program's own cooling
// times are held against.
// q net heat J/mm, k W/(mm K), rho c J/(mm3 K), temperatures degC, d mm.
#pragma once

namespace seamwright {

struct PlateHeat {
  double net_J_per_mm = 0;
  double conductivity_W_per_mmK = 0;
  double heat_capacity_J_per_mm3K = 0;
  double preheat_C = 0;
};

// Time, s, to cool on the axis from `from_C` to `to_C` (preheat < to < from).
[[nodiscard]] double thick_plate_cooling_time_s(const PlateHeat& in, double from_C, double to_C);
[[nodiscard]] double thin_plate_cooling_time_s(const PlateHeat& in, double thickness_mm, double from_C, double to_C);
// Thickness at which the two agree.
[[nodiscard]] double equal_time_thickness_mm(const PlateHeat& in, double from_C, double to_C);

// Cooling rate on the axis, K/s (positive), as it passes `at_C`:
//   thick 2 pi k (T - T0)^2 / q;  thin 2 pi k rho c (d/q)^2 (T - T0)^3.
// Not inside the melting range: latent heat is left out.
[[nodiscard]] double thick_plate_cooling_rate_K_per_s(const PlateHeat& in, double at_C);
[[nodiscard]] double thin_plate_cooling_rate_K_per_s(const PlateHeat& in, double thickness_mm, double at_C);
// Relative thickness d sqrt(rho c (T - T0) / q): thick above 0.9, thin below 0.6.
[[nodiscard]] double relative_thickness(const PlateHeat& in, double thickness_mm, double at_C);

// Highest temperature, degC, at `distance_mm` from the fusion line of a full-penetration pass in thin plate:
//   1/(Tp - T0) = 4.13 rho c d Y / q + 1/(Tm - T0)     (Adams 1958)
[[nodiscard]] double peak_temperature_C(const PlateHeat& in, double thickness_mm, double melting_C, double distance_mm);
// The distance, mm, at which `peak_C` (above preheat, at most melting) is reached: the inverse.
[[nodiscard]] double distance_of_peak_mm(const PlateHeat& in, double thickness_mm, double melting_C, double peak_C);

// Time, s, a point of the pool takes to solidify: L q / (2 pi k rho c (Tm - T0)^2), L latent heat J/mm3.
[[nodiscard]] double solidification_time_s(const PlateHeat& in, double latent_heat_J_per_mm3, double melting_C);

}  // namespace seamwright
