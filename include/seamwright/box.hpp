// The lockable box: ranges of everything a welder sets that hold together, so that they may be locked on the machine.
// Every corner of the box, moved outwards by the accuracy of the settings, satisfies every constraint.
//
// Growth: about the recommended point every side first reaches for the range it has alone (all other settings at the
// point); all sides then grow by one common share of those ranges until a corner fails: `share`, and `first`. Sides
// that are not in the way go on growing by themselves until each is stopped by a corner or reaches its own range.
// Asking for more (confidence, accuracy) never raises the common share: the reach is that of the nominal model.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "seamwright/confidence.hpp"

namespace seamwright {

// The settings a box has sides for; the last three in pulsed and double-pulse modes only.
inline constexpr std::size_t box_side_count = 6;
inline constexpr std::array<F, box_side_count> box_fields{
    F::wire_feed,           F::travel, F::arc_length_trim, F::peak_current_trim, F::modulation_amplitude,
    F::modulation_frequency};
[[nodiscard]] double& setting_value(Setting& setting, std::size_t side);
[[nodiscard]] double setting_value(const Setting& setting, std::size_t side);

// How well the equipment holds what is set, relative: of the wire feed, of the voltage, of the peak current.
struct SettingAccuracy {
  double wire_feed = 0, voltage = 0, peak_current = 0;
  bool known = false;  // false: no machine described and none given, so none is counted
};

// -1 low, +1 high, 0: the corner fails whatever this side is.
using BoxCorner = std::array<signed char, box_side_count>;

struct BoxStop {
  BoxCorner corner{};
  Margin constraint;  // id C::none: nothing stopped it
};

struct BoxSide {
  bool present = false;  // the mode has this setting
  bool fixed = false;    // given by the user
  double low = 0, high = 0;
  BoxStop low_stop, high_stop;
};

// What the user asks of the box.
struct BoxWish {
  std::array<std::optional<Interval>, box_side_count> fixed{};
  std::array<double, box_side_count> weight{1, 1, 1, 1, 1, 1};
  SettingAccuracy accuracy;
  double confidence = 0.5;
};

struct LockBox {
  bool exists = false;
  double confidence = 0.5;
  SettingAccuracy accuracy;
  Setting centre;
  std::array<BoxSide, box_side_count> sides{};
  double share = 0;  // common share of the ranges each setting has alone
  BoxStop first;     // the corner that stopped the common growth; without a box, what fails
  // Without a box.
  bool killed_by_accuracy = false;    // it would exist with exact settings
  bool killed_by_confidence = false;  // it would exist at nominal constants
  double accuracy_that_opens = 0;     // share of all accuracies together at which a box appears
  // The greatest of each accuracy that the point stands alone; not above what is asked.
  SettingAccuracy accuracy_alone;
  double confidence_that_opens = 0;  // the greatest confidence at which it does; 0.5 at least when it does at all
};

[[nodiscard]] LockBox solve_box(const PassContext& context, const Window& window, const BoxWish& wish);

// The settings of a corner of the box, the accuracy included.
[[nodiscard]] Setting corner_setting(const PassContext& context, const LockBox& box, const BoxCorner& corner);

}  // namespace seamwright
