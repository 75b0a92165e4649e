// Files to start from, with comments where their format has them; each runs as it is.
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace seamwright {

inline constexpr std::array<std::string_view, 8> starter_kinds{"fillet",    "butt",      "lap",        "pipe",
                                                               "equipment", "procedure", "test-piece", "jobs"};

// Empty when `kind` is none of them.
[[nodiscard]] std::string starter_text(std::string_view kind);

}  // namespace seamwright
