// What the printed sheet shows besides the plan itself: the window map of the pass with the least room, and what the
// numbers rest on.
#pragma once

#include <vector>

#include "seamwright/window_map.hpp"

namespace seamwright {

struct SheetContent {
  std::size_t pass = 0;  // index of the pass with the least room
  WindowMap map;
  std::vector<SourceIndex> sources;  // of the uncertain constants that move any quantity of that pass; each once
};

// The plan must have a pass.
[[nodiscard]] SheetContent sheet_content(const Plan& plan);

}  // namespace seamwright
