#include "reference/steady_feed.hpp"

#include <algorithm>

namespace seamwright {

double steady_feed_m_per_min(const BurnoffInput& in, double current_A) {
  const double law = wire_feed_m_per_min(in, current_A, current_A);
  const auto& [slope, zero_A, to_A, end_A] = in.line;
  if (!(slope > 0) || current_A >= end_A) return law;
  if (current_A <= to_A) return std::max(0.0, slope * (current_A - zero_A));
  const double step = slope * (to_A - zero_A) - wire_feed_m_per_min(in, to_A, to_A);
  const double left = (end_A - current_A) / (end_A - to_A);
  return law + step * left * left;
}

}  // namespace seamwright
