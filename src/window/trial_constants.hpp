// The constants that trial welds speak of: which column of a trial row stands for which constant of a case.
#pragma once

#include <span>
#include <string_view>

#include "seamwright/case.hpp"

namespace seamwright {

struct TrialConstant {
  K id = K::count;
  std::string_view column;  // of TrialRow
  Constant TrialRow::*member = nullptr;
  bool offset = false;  // added to the catalog's value, not a factor on it
};
// In their order; the others of a case are what no trial weld can tell.
[[nodiscard]] std::span<const TrialConstant> trial_constants();

// Puts what the trial welds say into a pass whose constants are still the catalog's: values, half-widths, how they are
// tied together, and the limits that they have moved.
void apply_trial(const TrialRow& trial, PassContext& pass);

}  // namespace seamwright
