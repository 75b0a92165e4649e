#include "seamwright/constraint.hpp"

namespace seamwright {
namespace {

using enum ConstraintInfo::Topic;
using enum ConstraintInfo::Spread;
constexpr F several = F::count;

constexpr ConstraintInfo limit(std::string_view key, std::string_view label, ConstraintInfo::Topic topic, F quantity,
                               ConstraintInfo::Spread spread, std::string_view why, std::string_view remedy,
                               std::string_view symptom = {}) {
  return {C::none, key, label, topic, quantity, spread, 0, why, remedy, symptom};
}
constexpr ConstraintInfo helped_by_power(ConstraintInfo row) {
  row.power = 1;
  return row;
}
constexpr ConstraintInfo harmed_by_power(ConstraintInfo row) {
  row.power = -1;
  return row;
}
constexpr ConstraintInfo named(C id, ConstraintInfo row) {
  row.id = id;
  return row;
}

}  // namespace

constexpr std::array<ConstraintInfo, constraint_count> constraint_table{{
#define SEAMWRIGHT_LIMIT(id, row) named(C::id, row),
#include "seamwright/limits.def"
}};

std::string_view constraint_key(C id) { return constraint(id).key; }

std::optional<C> constraint_by_key(std::string_view key) {
  for (const ConstraintInfo& info : constraint_table)
    if (info.key == key) return info.id;
  return std::nullopt;
}

namespace {
constexpr std::string_view strengths[] = {"rule", "physics", "practice", "assumed"};
}  // namespace

std::string_view strength_key(Strength strength) { return strengths[static_cast<std::size_t>(strength)]; }

std::optional<Strength> strength_by_key(std::string_view key) {
  for (std::size_t i = 0; i < std::size(strengths); ++i)
    if (strengths[i] == key) return static_cast<Strength>(i);
  return std::nullopt;
}

}  // namespace seamwright
