// The lockable box and the confidence in words, for tables and messages.
#pragma once

#include <string>

#include "io/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

// A side's value in the unit of its field: trims of the peak are shares inside and per cent outside.
[[nodiscard]] double side_in_field(std::size_t side, double value);

// "high feed, slow travel, long arc"; "the recommended point" where no side matters.
[[nodiscard]] std::string corner_words(const BoxCorner& corner, Mode mode);

// "wire feed 6.05 to 6.90 m/min, travel ...", rounded inwards. Empty without a box.
[[nodiscard]] std::string box_ranges(const LockBox& box, Units units);
// The same on the dials of the machine, whole steps inside the box only: "Feed 9.9 to 12.1, Arc -1 to 2". Empty without
// a box or dials.
[[nodiscard]] std::string box_dials(const LockBox& box, const Equipment& equipment);
// What stopped it, and what it counts on.
[[nodiscard]] std::string box_stop_words(const LockBox& box, Mode mode);
// Why there is no box.
[[nodiscard]] std::string no_box_words(const LockBox& box, Mode mode);

// "likely: cold lap holds 74 %; if it laps cold: slower travel or more wire"
[[nodiscard]] std::string grade_words(const PassGrade& grade);

// "At 90 % confidence of the model constants: wire feed 5.1 to 6.3 m/min (low: ..., high: ...)", or what does not hold.
[[nodiscard]] std::string confident_words(const ConfidentBand& band, Units units);

}  // namespace seamwright
