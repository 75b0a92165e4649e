// An explanation of one number as text; write_json.cpp has it as JSON.
#pragma once

#include <string>

#include "present/write_table.hpp"
#include "seamwright/explain.hpp"

namespace seamwright {

[[nodiscard]] std::string explanation_text(const Plan& plan, const Explanation& explanation,
                                           const TableOptions& options);

// The quantities of a pass with their meaning: what can be explained.
[[nodiscard]] std::string explainable_text(const Plan& plan, std::size_t pass, const TableOptions& options);

}  // namespace seamwright
