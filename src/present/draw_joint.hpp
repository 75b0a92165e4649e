// The joint's cross-section with its passes, to scale.
#pragma once

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"
#include "text/drawing.hpp"

namespace seamwright {

[[nodiscard]] Drawing draw_joint(const Plan& plan, double width, double height, Units units);

}  // namespace seamwright
