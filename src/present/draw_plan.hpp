// A plan as one picture to be kept in a file: the section of the joint, and of its passes window map and pulse.
#pragma once

#include <string_view>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"
#include "seamwright/window_map.hpp"
#include "text/drawing.hpp"

namespace seamwright {

enum class Picture : unsigned char { all, section, window, pulse };

struct PassMap {
  std::size_t pass = 0;  // index into the plan's passes
  WindowMap map;         // of what shows the window
};

// Empty where there is nothing to show: a pulse in a mode without one. A pulse shows the slow modulation too.
[[nodiscard]] Drawing draw_plan(const Plan& plan, const std::vector<PassMap>& passes, Picture what, Units units);

}  // namespace seamwright
