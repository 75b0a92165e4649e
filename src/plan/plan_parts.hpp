// Parts of make_plan that stand on their own.
#pragma once

#include <string>
#include <vector>

#include "seamwright/plan.hpp"

namespace seamwright {

// "penetration is 0.31 mm, at least 0.50 mm is needed (root fusion)"
[[nodiscard]] std::string shortfall_sentence(const Margin& margin);

// Cautions that apply to a plan, from the catalog.
[[nodiscard]] std::vector<Caution> cautions_for(const Plan& plan);
[[nodiscard]] std::vector<Caution> cautions_for(const Case& resolved, double most_current_A);

// Changes that open a window, nearest first; every one of them was solved before it is named.
[[nodiscard]] std::vector<Suggestion> tried_changes(const Plan& plan, const Equipment* equipment);

// What the joint file and the equipment ask of the lockable box.
[[nodiscard]] BoxWish box_wish(const Case& resolved);

}  // namespace seamwright
