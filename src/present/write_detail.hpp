// Parts of the table beyond the settings: double pulse in depth, trims, sensitivity, clock sectors of a fixed pipe.
#pragma once

#include <string>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

// Each is empty where the pass or plan has no such part; indented for the pass it stands in.
[[nodiscard]] std::string modulation_text(const PassResult& pass, Units units, std::size_t width);
[[nodiscard]] std::string sensitivity_text(const PassResult& pass, Units units, std::size_t width);
[[nodiscard]] std::string trims_text(const PassResult& pass, Units units, std::size_t width);
// Feed and travel of a pass by the clock, in short; `pass` from 0.
[[nodiscard]] std::string clock_words(const Plan& plan, std::size_t pass, Units units);
// Of a fixed pipe, the passes welded alike together: where the bead is heavy or no one setting holds all round.
[[nodiscard]] std::vector<std::string> sector_warnings(const Plan& plan);
[[nodiscard]] std::string sectors_text(const Plan& plan, Units units, std::size_t width);

}  // namespace seamwright
