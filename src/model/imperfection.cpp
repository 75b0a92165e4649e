#include "seamwright/imperfection.hpp"

#include <algorithm>

namespace seamwright {

Checked<double> imperfection_limit_mm(std::span<const ImperfectionLimit> table, Imperfection imperfection, char level,
                                      double size) {
  constexpr Interval sizes{0, std::numeric_limits<double>::max()};
  if (const auto refusal = refuse_outside("size, mm", size, sizes)) return *refusal;
  for (const auto& row : table) {
    if (row.imperfection == imperfection && row.level == level) {
      return std::min(row.fixed_mm + row.share * size, row.max_mm);
    }
  }
  return Refusal{RefusalReason::not_in_table, "quality level", 0, {}};
}

}  // namespace seamwright
