// The joint of a case in words, shared by every presenter that is read by people.
#pragma once

#include <string>

#include "quantity/quantity_text.hpp"
#include "seamwright/case.hpp"

namespace seamwright {

// "Fillet, leg 5 mm, 6 mm EN AW-5083, position PB (2F, horizontal)"
[[nodiscard]] std::string joint_words(const Case& resolved, Units units);

// The name that a cell of a list has, and that a joint file takes: "G 3Si1", "PB"; in US units the AWS name where there
// is one: "ER70S-6", "2F" (of groove welds "2G").
[[nodiscard]] std::string_view wire_name(const Wire& wire, Units units);
[[nodiscard]] std::string_view position_name(const Position& position, JointType type, Units units);

// "G 3Si1"; in US units the AWS name first: "ER70S-6 (G 3Si1)".
[[nodiscard]] std::string wire_words(const Wire& wire, Units units);
// "1.2 mm"; in US units "0.045 in", "1/16 in (1.6 mm)": a size that is metric is named.
[[nodiscard]] std::string wire_size_words(const Catalog& catalog, double diameter_mm, Units units);
// The value of what was chosen, in the words of the others.
[[nodiscard]] std::string choice_words(const Case& resolved, const Choice& choice, Units units);

// Why it was chosen; in US units the wire by its AWS name.
[[nodiscard]] std::string reason_words(const Case& resolved, const Choice& choice, Units units);

// Keys as words: "single-v" becomes "single v", and with `capital` "Single v".
[[nodiscard]] std::string key_words(std::string_view key, bool capital = false);

// "pass 1", "passes 2-5"
[[nodiscard]] std::string pass_span_words(int first, int last);

}  // namespace seamwright
