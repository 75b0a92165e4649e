// The ranges to lock of a plan as a procedure: what check, assess and plan take with --procedure.
#pragma once

#include <string>
#include <vector>

#include "seamwright/plan.hpp"
#include "seamwright/procedure.hpp"

namespace seamwright {

// Titles of the sources of kind trial behind the constants and limits of its passes, each once, in the order of the
// passes; empty where none is.
[[nodiscard]] std::vector<std::string> trials_behind(const Plan& plan);

// What is said of the joint as a whole, without the ranges of the passes. `made.trials` are those behind the plan.
[[nodiscard]] Procedure described_procedure(const Plan& plan, const ProcedureOrigin& made);

// Title, joint, material, wire, gas, mode and temperatures as planned, and for every pass the sides of its box
// (m/min, mm/s, V, %, Hz), rounded inwards to six digits. Where travel follows the feed, also the deposit cross-section
// that it may stray in: travel alone is then the widest it gets. Every setting in these ranges lies in the box, and the
// box reaches beyond them in the last of six digits at most. Errors: the plan has no window; a pass has no ranges to
// lock.
[[nodiscard]] Expected<Procedure> locked_procedure(const Plan& plan, const ProcedureOrigin& made);

}  // namespace seamwright
