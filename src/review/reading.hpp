// A reading while the arc burns, as the meters take it.
#pragma once

namespace seamwright {

struct Reading {
  double time_s = 0;
  double weight_s = 0;  // of the time it stands for
  // Not a number where not recorded.
  double current_A = 0, voltage_V = 0, feed_m_per_min = 0, travel_mm_per_s = 0;
  double x_mm = 0, y_mm = 0, z_mm = 0;
  bool after_gap = false;  // nothing is known of what was just before
};

}  // namespace seamwright
