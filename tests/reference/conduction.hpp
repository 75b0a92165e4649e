// The temperature field itself, and its limits for point and line sources: what the sizes of the pool are held against.
// The program asks for peaks and sizes only.
#pragma once

#include "seamwright/pool.hpp"

namespace seamwright {

// Temperature rise, K, at a point (mm) by quadrature to about 1e-9 relative. Any z in [0, d].
[[nodiscard]] double temperature_rise_K(const PoolInput& in, double x_mm, double y_mm, double z_mm);

// Point-source limit (s -> 0) with image sources, K: Rosenthal's medium-thick plate. Not at the source itself.
[[nodiscard]] double point_source_rise_K(const PoolInput& in, double x_mm, double y_mm, double z_mm);
// Line source through the plate (thin plate), K.
[[nodiscard]] double line_source_rise_K(const PoolInput& in, double x_mm, double y_mm);

// Half width = depth of the isotherm of thick-plate Rosenthal in units of 2a/v, fitted:
//   y* = (n^-1.73 + (2n/e)^-0.865)^(-1/1.73), within 0.75 % for n 0.01..1000.
[[nodiscard]] double isotherm_half_width_fit(double n);

}  // namespace seamwright
