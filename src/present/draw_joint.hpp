// The joint's cross-section with its passes, to scale.
#pragma once

#include <string>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

[[nodiscard]] std::string joint_svg(const Plan& plan, double width, double height, Units units);

}  // namespace seamwright
