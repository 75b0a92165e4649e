// The ranges to lock: of everything set on the machine, holding together, so that they may be locked as its display
// shows them. Every corner of them, with the travel anywhere in its tolerance, satisfies every constraint.
//
// By hand the bead is kept and not the speed: travel follows the feed along the chosen deposit and may stray from it by
// the hand's tolerance. With a carriage, or where the user fixes it, travel is a side like the others.
//
// Growth: every side reaches for an aim (feed and travel a tenth either way, a volt of arc length trim, the peak trim's
// own window, a fifth of the modulation) by one common share of it until a corner fails: `share`, and `first`. Then
// each side goes on by itself until a corner stops it or its aim is reached. No end lies nearer to the set point than a
// quarter of the width.
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
  bool follows = false;  // travel by hand: low and high are what keeps the bead at the low and the high feed
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
  bool narrow = false;  // the feed has less than the least width worth locking
  double confidence = 0.5;
  SettingAccuracy accuracy;
  Setting centre;
  double deposit_mm2 = 0;       // that a travel which follows keeps
  double travel_tolerance = 0;  // relative, either way
  std::array<BoxSide, box_side_count> sides{};
  double share = 0;  // common share of the aims
  BoxStop first;     // the corner that stopped the common growth; without a box, what fails
  // The feed as read on a display that may be off by the accuracy of the machine; nothing where that takes it all.
  std::optional<Interval> feed_if_display_off;
};

[[nodiscard]] LockBox solve_box(const PassContext& context, const Window& window, const BoxWish& wish);

// The four corners of the box in feed and travel, in order round it: with travel that follows the feed they lie beside
// the line that keeps the bead.
struct BoxPlan {
  double wire_feed_m_per_min = 0, travel_mm_per_s = 0;
};
[[nodiscard]] std::array<BoxPlan, 4> box_plan(const LockBox& box);

}  // namespace seamwright
