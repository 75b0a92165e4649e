// Numbers on their way out: the only place that rounds.
#pragma once

#include <string>

namespace seamwright {

// Fixed decimals; never "-0".
[[nodiscard]] std::string fixed_text(double value, int decimals);
// Six significant digits, no trailing zeros, never "-0".
[[nodiscard]] std::string short_text(double value);
// The number that short_text prints. Monotone, so an order of values survives it.
[[nodiscard]] double six_digits(double value);

}  // namespace seamwright
