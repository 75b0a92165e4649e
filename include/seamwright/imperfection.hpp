// Limits of imperfections by ISO 5817 quality level that grow with a size of the weld:
//   limit = min(fixed + share * size, max)
#pragma once

#include <span>

#include "seamwright/checked.hpp"

namespace seamwright {

// In brackets the size the limit grows with, mm.
enum class Imperfection : unsigned char {
  undercut,      // plate thickness
  convexity,     // fillet width
  throat_short,  // nominal throat
  asymmetry,     // nominal throat
  fit_up_gap     // nominal throat of the fillet
};

struct ImperfectionLimit {
  Imperfection imperfection{};
  char level = 0;  // 'B', 'C', 'D'
  double fixed_mm = 0, share = 0, max_mm = 0;
  SourceIndex source = 0;
};

// Largest imperfection allowed, mm; 0 where none is permitted.
[[nodiscard]] Checked<double> imperfection_limit_mm(std::span<const ImperfectionLimit> table, Imperfection imperfection,
                                                    char level, double size_mm);

}  // namespace seamwright
