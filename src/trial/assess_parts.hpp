// Parts of assess() that stand on their own.
#pragma once

#include <optional>
#include <vector>

#include "seamwright/assess.hpp"

namespace seamwright {

// Every limit at a setting, with the spreads that belong there: broken ones first, then the least sure.
[[nodiscard]] std::vector<AssessedLimit> assessed_limits(const PassContext& context, const Setting& setting);

// Fills in what would explain a reading that contradicts the setting. `at` is the setting the reading is held against.
void explain_reading(const Plan& plan, std::size_t pass, const Setting& at, SettingReading& reading);

// The nearest setting that is graded better than `grade` (nothing: than one that breaks a limit); empty where the
// plane of feed and travel has none. `joint` tells which parts of the modulation are kept.
[[nodiscard]] std::optional<NearestSetting> nearest_setting(const Plan& plan, std::size_t pass, const Setting& from,
                                                            std::optional<Grade> grade);

// Whether the limit is on something that is set, and so holds or does not.
[[nodiscard]] bool is_set_exactly(C id);

// Trims that dials give, which no key of the joint does.
struct DialTrims {
  std::optional<double> arc_V, peak_share;
  std::vector<F> unused;  // of dials that no limit hangs on
};
// The dials of the options as `setting` keys of the joint, and as trims.
[[nodiscard]] Diagnostics take_dials(const AssessOptions& options, Joint& joint, DialTrims& trims);

}  // namespace seamwright
