// The names of the constraints, and how strong one is.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace seamwright {

enum class C : std::size_t {
#define SEAMWRIGHT_LIMIT(id, row) id,
#include "seamwright/limits.def"
  count
};
inline constexpr std::size_t constraint_count = static_cast<std::size_t>(C::count);

[[nodiscard]] std::string_view constraint_key(C id);
[[nodiscard]] std::optional<C> constraint_by_key(std::string_view key);

// How strong a limit is. The first two are walls; the others have an end inside which nothing is said and a last one
// beyond which a plan is refused.
enum class Strength : unsigned char {
  rule,      // a standard, the user's procedure or limit, the equipment
  physics,   // the arc goes out, the wire cannot be fed, the root is not melted
  practice,  // of the trade
  assumed    // of this program
};
[[nodiscard]] std::string_view strength_key(Strength strength);
[[nodiscard]] std::optional<Strength> strength_by_key(std::string_view key);

}  // namespace seamwright
