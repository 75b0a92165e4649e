// The joint of a case in words, shared by every presenter that is read by people.
#pragma once

#include <string>

#include "quantity/quantity_text.hpp"
#include "seamwright/case.hpp"

namespace seamwright {

// "Fillet, leg 5 mm, 6 mm EN AW-5083, position PB (2F, horizontal)"
[[nodiscard]] std::string joint_words(const Case& resolved, Units units);

// Keys as words: "single-v" becomes "single v", and with `capital` "Single v".
[[nodiscard]] std::string key_words(std::string_view key, bool capital = false);

// "pass 1", "passes 2-5"
[[nodiscard]] std::string pass_span_words(int first, int last);

}  // namespace seamwright
