#include "seamwright/power_source.hpp"

#include <algorithm>
#include <cmath>

namespace seamwright {

double current_at_duty_A(double rated_current_A, double rated_duty, double duty, double greatest_current_A) {
  return std::min(rated_current_A * std::sqrt(rated_duty / duty), std::max(rated_current_A, greatest_current_A));
}

double setting_deviation(double setting, double greatest, double share, double from) {
  return share * std::max(setting, from * greatest);
}

}  // namespace seamwright
