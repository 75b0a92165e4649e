// The lockable box and the confidence in words, for tables and messages.
#pragma once

#include <span>
#include <string>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

// A side's value in the unit of its field: trims of the peak are shares inside and per cent outside.
[[nodiscard]] double side_in_field(std::size_t side, double value);

// "high feed, slow travel, long arc"; "the recommended point" where no side matters.
[[nodiscard]] std::string corner_words(const BoxCorner& corner, Mode mode);

// "6.05 to 6.90": one side without its unit, rounded inwards; a travel that follows, at the low and the high feed.
// Empty where there is none.
[[nodiscard]] std::string box_side_range(const LockBox& box, std::size_t side, Units units);
// A setting as the machine or the hand takes it, and the side of the ranges to lock that bounds it: its own, or a trim
// about it.
struct Knob {
  F set;
  F locked;
};
[[nodiscard]] std::span<const Knob> knobs();
// "trim -0.7 to 0.7 V", "9.2 to 11.2 with the feed, +-10 %": how far the setting may go, its unit told or standing
// beside it. Empty without a box.
[[nodiscard]] std::string knob_lock_words(const Knob& knob, const LockBox& box, Units units, bool unit_told);
// A range without its unit, rounded inwards: what is printed never reaches beyond it. "5 to 6.9", "at least 5", "at
// most 6.9": an infinite end is open.
[[nodiscard]] std::string inward_words(const FieldInfo& info, const Interval& range, Units units);
// "wire feed 6.05 to 6.90 m/min, travel ...", rounded inwards. Empty without a box.
[[nodiscard]] std::string box_ranges(const LockBox& box, Units units);
// The same on the dials of the machine, whole steps inside the box only: "Feed 9.9 to 12.1, Arc -1 to 2". Empty without
// a box or dials.
[[nodiscard]] std::string box_dials(const LockBox& box, const Equipment& equipment);
// "6.05 to 6.90": the feed alone, without its unit.
[[nodiscard]] std::string box_feed(const LockBox& box, Units units);
// "10 %": how far a travel that follows may stray; empty where it may not.
[[nodiscard]] std::string box_stray(const LockBox& box);
// What the travel does over those feeds, to keep the bead ("leg"); empty where it is a side of its own.
[[nodiscard]] std::string box_travel_words(const LockBox& box, std::string_view bead, Units units);
// The feed to keep to where the machine's display may be off by its accuracy. Empty where none is known.
[[nodiscard]] std::string box_display_words(const LockBox& box, Units units);
// What ended it.
[[nodiscard]] std::string box_stop_words(const LockBox& box, Mode mode);
// Why there is no box.
[[nodiscard]] std::string no_box_words(const LockBox& box, Mode mode);

// "likely: 74 % sure; weakest limit: cold lap. If it laps cold: slower travel or more wire"
[[nodiscard]] std::string grade_words(const PassGrade& grade);

// "spray transition: current 262 A, easy from 268 A, refused below 236 A"
[[nodiscard]] std::string remark_words(const PassGrade::Remark& remark, Units units);

// "At 90 % confidence of the model constants: wire feed 5.1 to 6.3 m/min (low: ..., high: ...)", or what does not hold.
[[nodiscard]] std::string confident_words(const ConfidentBand& band, Units units);

}  // namespace seamwright
