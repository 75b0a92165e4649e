#include "seamwright/eye_filter.hpp"

#include <algorithm>

namespace seamwright {

Checked<double> least_filter_shade(std::span<const FilterShadeRow> table, double current_A) {
  const FilterShadeRow* best = nullptr;
  Interval covered{unbounded, -unbounded};
  for (const FilterShadeRow& row : table) {
    covered = {std::min(covered.low, row.from_A), std::max(covered.high, row.to_A)};
    if (current_A >= row.from_A && current_A <= row.to_A && (best == nullptr || row.from_A > best->from_A)) best = &row;
  }
  if (best == nullptr) return Refusal{RefusalReason::not_in_table, "current, A", current_A, covered};
  return best->shade;
}

}  // namespace seamwright
