// How far inside its limits an operating point lies.
#pragma once

#include <cstddef>
#include <type_traits>

#include "seamwright/constant.hpp"
#include "seamwright/constraint_id.hpp"
#include "seamwright/field.hpp"

namespace seamwright {

// One constraint at one operating point.
struct Margin {
  C id = C::none;
  F field = F::count;  // the quantity that is limited
  bool upper = false;  // the limit is an upper one
  double value = 0;
  double limit = 0;
  double score = 0;   // distance to the last end, in the units of the surety: below 0 the plan is refused
  double surety = 0;  // 1: holds nine times in ten, or stands at the easy end; 0: as likely as not, or at the last end
  double room = 0;    // logarithm of the distance to the last end
  double distance = 0;  // logarithm of how far inside its limit the quantity lies; pool limits in net power
  SourceIndex source = 0;
};

struct MarginList {
  static constexpr std::size_t capacity = 64;
  // Room for margins that are made one by one: a list is made thousands of times a plan.
  struct Room {
    [[nodiscard]] Margin& operator[](std::size_t i) { return data()[i]; }
    [[nodiscard]] const Margin& operator[](std::size_t i) const { return data()[i]; }
    [[nodiscard]] Margin* data() { return reinterpret_cast<Margin*>(bytes); }
    [[nodiscard]] const Margin* data() const { return reinterpret_cast<const Margin*>(bytes); }
    alignas(Margin) std::byte bytes[capacity * sizeof(Margin)];
  };
  static_assert(std::is_trivially_copyable_v<Margin>);
  Room items;
  std::size_t size = 0;
  [[nodiscard]] const Margin* begin() const { return items.data(); }
  [[nodiscard]] const Margin* end() const { return items.data() + size; }
  // The smallest score, and the smallest surety; the list must not be empty.
  [[nodiscard]] const Margin& worst() const {
    const Margin* least = begin();
    for (const Margin& m : *this)
      if (m.score < least->score) least = &m;
    return *least;
  }
  [[nodiscard]] const Margin& least_sure() const {
    const Margin* least = begin();
    for (const Margin& m : *this)
      if (m.surety < least->surety) least = &m;
    return *least;
  }
};

}  // namespace seamwright
