// A closed range of numbers.
#pragma once

namespace seamwright {

// Either end may be infinite; low above high holds nothing.
struct Interval {
  double low = 0;
  double high = 0;
  [[nodiscard]] constexpr bool contains(double x) const { return x >= low && x <= high; }
  [[nodiscard]] constexpr bool operator==(const Interval&) const = default;
};

}  // namespace seamwright
