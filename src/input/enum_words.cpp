#include "input/enum_words.hpp"

#include <array>

namespace seamwright {
namespace {

constexpr Word<JointType> joint_types[] = {
    {JointType::fillet, "fillet"},   {JointType::butt, "butt"}, {JointType::lap, "lap"},
    {JointType::corner, "corner"},   {JointType::edge, "edge"}, {JointType::pipe_butt, "pipe-butt"},
    {JointType::overlay, "overlay"},
};
constexpr Word<PreparationType> preparations[] = {
    {PreparationType::square, "square"},
    {PreparationType::single_v, "single-v"},
    {PreparationType::double_v, "double-v"},
    {PreparationType::single_bevel, "single-bevel"},
    {PreparationType::double_bevel, "double-bevel"},
    {PreparationType::u, "u"},
    {PreparationType::j, "j"},
};
constexpr Word<Backing> backings[] = {
    {Backing::none, "none"},
    {Backing::permanent, "permanent"},
    {Backing::ceramic, "ceramic"},
    {Backing::gas, "gas"},
};
constexpr Word<AccuracyGrade> grades[] = {
    {AccuracyGrade::standard, "standard"},
    {AccuracyGrade::precision, "precision"},
};

constexpr Word<Preference> preferences[] = {
    {Preference::metal, "metal"},
    {Preference::time, "time"},
    {Preference::margin, "margin"},
};

template <class E>
std::string_view key_of(E value) {
  for (const Word<E>& word : words_of<E>())
    if (word.value == value) return word.key;
  return {};
}

}  // namespace

template <>
std::span<const Word<JointType>> words_of<JointType>() {
  return joint_types;
}
template <>
std::span<const Word<PreparationType>> words_of<PreparationType>() {
  return preparations;
}
template <>
std::span<const Word<Backing>> words_of<Backing>() {
  return backings;
}
template <>
std::span<const Word<AccuracyGrade>> words_of<AccuracyGrade>() {
  return grades;
}
template <>
std::span<const Word<Preference>> words_of<Preference>() {
  return preferences;
}
template <>
std::span<const Word<Mode>> words_of<Mode>() {
  static const auto modes = [] {
    std::array<Word<Mode>, mode_count> list{};
    for (std::size_t i = 0; i < mode_count; ++i) list[i] = {static_cast<Mode>(i), mode_key(static_cast<Mode>(i))};
    return list;
  }();
  return modes;
}

std::string_view joint_type_key(JointType type) { return key_of(type); }
std::string_view preparation_key(PreparationType type) { return key_of(type); }
std::string_view backing_key(Backing backing) { return key_of(backing); }
std::string_view preference_key(Preference preference) { return key_of(preference); }

}  // namespace seamwright
