// The words of the input enumerations, each list in one place.
#pragma once

#include <span>
#include <string_view>

#include "seamwright/equipment.hpp"
#include "seamwright/joint.hpp"

namespace seamwright {

template <class E>
struct Word {
  E value;
  std::string_view key;
};

// All words of an enumeration: words_of<JointType>().
template <class E>
[[nodiscard]] std::span<const Word<E>> words_of();
template <>
std::span<const Word<JointType>> words_of<JointType>();
template <>
std::span<const Word<PreparationType>> words_of<PreparationType>();
template <>
std::span<const Word<Backing>> words_of<Backing>();
template <>
std::span<const Word<Mode>> words_of<Mode>();
template <>
std::span<const Word<AccuracyGrade>> words_of<AccuracyGrade>();
template <>
std::span<const Word<Preference>> words_of<Preference>();

}  // namespace seamwright
