// Eye protection by arc current.
#pragma once

#include <span>

#include "seamwright/checked.hpp"
#include "seamwright/heat_tables.hpp"

namespace seamwright {

// Least shade of the eye filter for gas metal arc welding at a current, A (29 CFR 1910.133). A current on the bound of
// two rows belongs to the upper one. Not in the table: a current below its first row or above its last.
[[nodiscard]] Checked<double> least_filter_shade(std::span<const FilterShadeRow> table, double current_A);

}  // namespace seamwright
