// What a change at the torch does at the recommended point, everything else held as set: a longer extension, a wider
// gap, more feed, faster travel, more voltage.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "seamwright/case.hpp"
#include "seamwright/window.hpp"

namespace seamwright {

struct SensitivityRow {
  std::string_view key;                                                // "extension"
  std::string_view label;                                              // "5 mm more extension"
  double current_A = 0, penetration_mm = 0, heat_input_kJ_per_mm = 0;  // changes, not values
  Margin worst;  // the nearest constraint after the change; score below 0: it no longer holds
};

// The pass of the same joint with something changed in its description, in the same mode and wire; empty when that
// joint cannot be, or has another number of passes. `catalog`: with these rows in place of the case's own.
[[nodiscard]] std::optional<PassContext> context_of(const Case& resolved, const Joint& changed, std::size_t pass);
[[nodiscard]] std::optional<PassContext> context_of(const Case& resolved, const Joint& changed, std::size_t pass,
                                                    const Catalog& catalog);

// `pass` is the index of the context among the passes of `resolved`. In pulsed modes peak current, peak time and drop
// size stay as set. A wider gap is a new joint: what it needs is worked out again where the passes stay as many.
[[nodiscard]] std::vector<SensitivityRow> sensitivity(const Case& resolved, const PassContext& context,
                                                      std::size_t pass, const Setting& setting);

}  // namespace seamwright
