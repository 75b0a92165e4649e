// Where something gives out along a line of the window.
#pragma once

#include <functional>

#include "seamwright/window.hpp"

namespace seamwright {

// The nearest margin at a feed of the line; its score is below 0 where it does not hold.
using LineScore = std::function<Margin(double wire_feed_m_per_min)>;

// From a feed that holds outwards (direction -1 or 1) to where the first margin gives out, on the side that holds, so
// that the end that is printed satisfies every constraint; the end of the feeds worth searching where none does.
[[nodiscard]] BandEnd line_end(const PassContext& context, const ConstantValues& constants, const Line& line,
                               double holds_m_per_min, int direction, const LineScore& score);

}  // namespace seamwright
