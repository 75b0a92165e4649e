// Which numbers of the catalog a pass hangs on. Each number of the rows that its joint draws on is changed in turn and
// the joint is settled again: what the solvers read is found by trying, never restated.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "seamwright/plan.hpp"

namespace seamwright {

struct TracedNumber {
  std::string key;  // "limits.short_arc_cap_V", "wires.typical.Cr", "material.composition.Mn"
  std::string label;
  std::string unit;  // metric; empty: a pure number
  Constant constant;
  const Alloy* alloy = nullptr;           // an element of this alloy's analysis
  std::optional<Element> element = {};    // an element of an analysis
  bool given = false;                     // by the joint file, not the catalog
  std::vector<PassContext> changed = {};  // the pass with a little more, and a little less, of it
};

struct CatalogTrace {
  PassContext unchanged;  // the pass, settled as the changed ones are
  std::vector<TracedNumber> numbers;
};

// `pass` is an index into the plan's passes. Numbers that stand in the pass's array of constants as they are, and act
// through it alone, are left out: the array has them.
[[nodiscard]] CatalogTrace catalog_trace(const Plan& plan, std::size_t pass);

}  // namespace seamwright
