// Where something gives out along a line of the window.
#pragma once

#include <type_traits>

#include "seamwright/window.hpp"

namespace seamwright {

// The nearest margin at a feed of the line; its score is below 0 where it does not hold. Refers to a function that must
// outlive it, and takes no memory of its own.
class LineScore {
 public:
  template <class Function>
  requires(!std::is_same_v<std::remove_cvref_t<Function>, LineScore>)
      LineScore(const Function& function)  // NOLINT(google-explicit-constructor): that is what it is for
      : function_(&function),
        call_([](const void* f, double feed) { return (*static_cast<const Function*>(f))(feed); }) {}
  Margin operator()(double wire_feed_m_per_min) const { return call_(function_, wire_feed_m_per_min); }

 private:
  const void* function_;
  Margin (*call_)(const void*, double);
};

// From a feed that holds outwards (direction -1 or 1) to where the first margin gives out, on the side that holds, so
// that the end that is printed satisfies every constraint; the end of the feeds worth searching where none does.
[[nodiscard]] BandEnd line_end(const PassContext& context, const ConstantValues& constants, const Line& line,
                               double holds_m_per_min, int direction, const LineScore& score);

}  // namespace seamwright
