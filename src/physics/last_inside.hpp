// The end of a range, by halving.
#pragma once

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cstdint>

namespace seamwright {

// Between `inside`, where `holds(x)` is true, and `outside`, where it is not: the last x found inside after `halvings`
// halvings of what lies between. Neither end is asked.
template <class Holds>
[[nodiscard]] double last_inside(double inside, double outside, int halvings, Holds holds) {
  const auto sign = [&](double x) { return x == inside ? 1.0 : x == outside ? -1.0 : holds(x) ? 1.0 : -1.0; };
  constexpr int counted_as_steps = 3;  // by the library, for the ends and the first middle
  auto steps = static_cast<std::uintmax_t>(halvings + counted_as_steps);
  const auto [low, high] = boost::math::tools::bisect(
      sign, std::min(inside, outside), std::max(inside, outside), [](double, double) { return false; }, steps);
  return inside < outside ? low : high;
}

}  // namespace seamwright
