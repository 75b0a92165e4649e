// Parts of make_plan that stand on their own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "seamwright/plan.hpp"

namespace seamwright {

// Cautions that apply to a plan, from the catalog, with their numbers filled in.
[[nodiscard]] std::vector<Warning> cautions_for(const Plan& plan);
[[nodiscard]] std::vector<Warning> cautions_for(const Case& resolved, double most_current_A);

// Changes that open a window, nearest first; every one of them was solved before it is named.
[[nodiscard]] std::vector<Suggestion> tried_changes(const Plan& plan, const Equipment* equipment);

// How far the described machine may be off a current or voltage that is set, as a share of it. Unlike
// `setting_deviation` it knows the machine's grade; `range` empty: the machine's is not described.
[[nodiscard]] double setting_accuracy(const Case& resolved, double setting, const std::optional<Interval>& range);

// The range of a setting that has limits of its own rather than following the feed; not a number at both ends where the
// quantity has none.
[[nodiscard]] Interval own_range(const PassContext& context, const ConstantValues& constants, const Setting& setting,
                                 F id);

// What the joint file and the equipment ask of the lockable box of a pass that is solved.
[[nodiscard]] BoxWish box_wish(const Case& resolved, const PassResult& pass);

}  // namespace seamwright
