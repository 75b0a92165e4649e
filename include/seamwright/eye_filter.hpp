// Eye protection by arc current.
//
// Error: none; the four rows for gas metal arc welding, as the regulation has them (tests/published/safety.csv). Below
// 60 A it asks for shade 7, from there to 500 A for 10.
//
// References:
//   29 CFR 1910.133(a)(5), filter lenses for protection against radiant energy [29-cfr-1910.133]
//
// Example:
//
//     #include "seamwright/catalog.hpp"
//     const auto shade = least_filter_shade(builtin_catalog().filter_shades, 180);
//     std::printf("%.0f\n", *shade);  // 10
#pragma once

#include <span>

#include "seamwright/checked.hpp"
#include "seamwright/heat_tables.hpp"

namespace seamwright {

// Least shade of the eye filter for gas metal arc welding at a current, A (29 CFR 1910.133). A current on the bound of
// two rows belongs to the upper one. Refuses as not in the table a current below its first row or above its last.
[[nodiscard]] Checked<double> least_filter_shade(std::span<const FilterShadeRow> table, double current_A);

}  // namespace seamwright
