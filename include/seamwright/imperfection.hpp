// Limits of imperfections by ISO 5817 quality level that grow with a size of the weld:
//   limit = min(fixed + share * size, max)
#pragma once

#include <span>
#include <string_view>

#include "seamwright/checked.hpp"
#include "seamwright/heat_tables.hpp"

namespace seamwright {

// In brackets the size the limit grows with, mm.
enum class Imperfection : unsigned char {
  undercut,      // plate thickness
  convexity,     // fillet width
  throat_short,  // nominal throat
  asymmetry,     // nominal throat
  fit_up_gap     // nominal throat of the fillet
};

inline constexpr std::size_t imperfection_count = 5;
[[nodiscard]] std::string_view imperfection_key(Imperfection imperfection);

// The limit of an imperfection at a level; null: the table has none.
[[nodiscard]] const ImperfectionRow* imperfection_row(std::span<const ImperfectionRow> table, Imperfection imperfection,
                                                      std::string_view level);

// Largest imperfection allowed, mm; 0 where none is permitted.
[[nodiscard]] Checked<double> imperfection_limit_mm(std::span<const ImperfectionRow> table, Imperfection imperfection,
                                                    std::string_view level, double size_mm);

}  // namespace seamwright
