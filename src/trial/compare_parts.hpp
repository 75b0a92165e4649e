// Items of a comparison, made alike whatever the side is.
#pragma once

#include "seamwright/compare.hpp"
#include "seamwright/procedure.hpp"

namespace seamwright {

[[nodiscard]] ComparedItem joint_number(std::string_view key, std::string_view label, std::string_view unit, double low,
                                        double high);
[[nodiscard]] ComparedItem word_item(std::string_view key, std::string_view label, std::string_view text);
// The same of a pass: among what is expected of it.
[[nodiscard]] ComparedItem pass_word(std::string_view key, std::string_view label, std::string_view text);
// What a procedure says of one pass: "transfer mode, pass 1".
[[nodiscard]] ComparedItem word_of_pass(int pass, ProcedureWord id, std::string_view text);
[[nodiscard]] ComparedItem number_of_pass(int pass, ProcedureNumber id, double low, double high);
[[nodiscard]] ComparedItem pass_quantity(int pass, F id);

}  // namespace seamwright
