// The feed that a steady current melts, as the header of burnoff.hpp writes it: the program only ever asks the other
// way round, for the current, and is held against this.
#pragma once

#include "seamwright/burnoff.hpp"

namespace seamwright {

// m/min; current A, >= 0. The line where there is one. Never negative.
[[nodiscard]] double steady_feed_m_per_min(const BurnoffInput& in, double current_A);

}  // namespace seamwright
