// The ranges a log is held against: those of a procedure or lock file, or of a saved plan.
#pragma once

#include <string>

#include "seamwright/catalog.hpp"
#include "seamwright/procedure.hpp"

namespace seamwright {

// A procedure file as `check --procedure` reads it, or what `plan --format json` printed. Of a plan the ranges of wire
// feed, travel, current, voltage and peak current count, by the role of each pass; passes of one role share the
// widest.
[[nodiscard]] Expected<Procedure> read_ranges(const std::string& path, const Catalog& catalog);

}  // namespace seamwright
