// A result of a formula that holds inside stated ranges only: the value, or what stood outside.
#pragma once

#include <cmath>
#include <optional>
#include <string_view>
#include <utility>
#include <variant>

#include "seamwright/constant.hpp"

namespace seamwright {

enum class RefusalReason : unsigned char {
  outside,       // an input is outside the range in which the formula holds: it is not extrapolated
  not_in_table,  // the published table has no entry for this case
  no_solution    // the wanted value is not reached anywhere inside the range
};

struct Refusal {
  RefusalReason reason = RefusalReason::outside;
  std::string_view quantity;  // which input, with its unit: "CET, %"
  double value = 0;
  Interval range;  // what is allowed, or what can be reached
};

// First of several refusals that applies; empty when there is none.
using MaybeRefusal = std::optional<Refusal>;

// NaN is never inside.
[[nodiscard]] inline MaybeRefusal refuse_outside(std::string_view quantity, double value, Interval range) {
  if (range.contains(value)) return std::nullopt;
  return Refusal{RefusalReason::outside, quantity, value, range};
}
// The first of several checks that refuses.
template <class... Rest>
[[nodiscard]] MaybeRefusal first_refusal(MaybeRefusal first, const Rest&... rest) {
  if constexpr (sizeof...(rest) == 0) {
    return first;
  } else {
    return first ? first : first_refusal(rest...);
  }
}

template <class T>
class Checked {
 public:
  Checked(T value) : state_(std::move(value)) {}  // NOLINT(google-explicit-constructor)
  Checked(Refusal refusal) : state_(refusal) {}   // NOLINT(google-explicit-constructor)
  [[nodiscard]] explicit operator bool() const { return state_.index() == 0; }
  [[nodiscard]] const T& operator*() const { return std::get<0>(state_); }
  [[nodiscard]] const T* operator->() const { return &std::get<0>(state_); }
  [[nodiscard]] const Refusal& refusal() const { return std::get<1>(state_); }

 private:
  std::variant<T, Refusal> state_;
};

}  // namespace seamwright
