#include "seamwright/imperfection.hpp"

#include <algorithm>
#include <array>

namespace seamwright {

std::string_view imperfection_key(Imperfection imperfection) {
  constexpr std::array<std::string_view, imperfection_count> keys{"undercut", "convexity", "throat-short", "asymmetry",
                                                                  "fit-up-gap"};
  return keys[static_cast<std::size_t>(imperfection)];
}

const ImperfectionRow* imperfection_row(std::span<const ImperfectionRow> table, Imperfection imperfection,
                                        std::string_view level) {
  for (const ImperfectionRow& row : table)
    if (row.imperfection == imperfection_key(imperfection) && row.level == level) return &row;
  return nullptr;
}

Checked<double> imperfection_limit_mm(std::span<const ImperfectionRow> table, Imperfection imperfection,
                                      std::string_view level, double size) {
  constexpr Interval sizes{0, std::numeric_limits<double>::max()};
  if (const auto refusal = refuse_outside("size, mm", size, sizes)) return *refusal;
  if (const ImperfectionRow* row = imperfection_row(table, imperfection, level))
    return std::min(row->fixed_mm + row->share * size, row->max_mm);
  return Refusal{RefusalReason::not_in_table, "quality level", 0, {}};
}

}  // namespace seamwright
