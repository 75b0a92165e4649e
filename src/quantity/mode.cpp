#include "seamwright/mode.hpp"

#include <algorithm>
#include <array>

namespace seamwright {
namespace {

constexpr std::array<std::string_view, mode_count> keys{"short-arc", "controlled-dip", "spray", "pulse",
                                                        "double-pulse"};

}  // namespace

std::string_view mode_key(Mode mode) { return keys[static_cast<std::size_t>(mode)]; }

std::optional<Mode> mode_by_key(std::string_view key) {
  const auto at = std::ranges::find(keys, key);
  return at == keys.end() ? std::nullopt : std::optional(static_cast<Mode>(at - keys.begin()));
}

}  // namespace seamwright
