// The quantities of a pass in the groups in which people read them, and conflicts in words.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

// In a group, what is set stands before what follows from it.
struct LabelledGroup {
  std::string_view label;
  std::vector<F> fields;
};
[[nodiscard]] std::span<const LabelledGroup> quantity_groups();

// What to set on the described equipment: "trim +3". Empty: it has no dial for the quantity.
[[nodiscard]] std::string dial_words(const Case& resolved, F id, const Estimate& estimate);
// Of all that a pass sets: "Feed 21.7, Arc 0, Bite 3". Empty without a machine or dials.
[[nodiscard]] std::string pass_dials(const Case& resolved, const PassResult& pass);

// Whether a mode went as far as a margin, or was ruled out before (no such wire, not asked for).
[[nodiscard]] bool was_solved(const ModeTrial& trial);

// "penetration 0.31 mm, needs at least 0.50 mm: 0.19 mm too little (38 %)"
[[nodiscard]] std::string shortfall_words(const Margin& margin, Units units);
void append_shortfall(std::string& out, const Margin& margin, Units units);

}  // namespace seamwright
