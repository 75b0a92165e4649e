// Charts of a pass: the window over feed and travel, the pulse, the slow modulation of the wire feed.
#pragma once

#include <string>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/window_map.hpp"

namespace seamwright {

// A letter for each constraint that bounds the window, in the order of the map's lines.
struct MapLetter {
  C id = C::none;
  char letter = 'A';
};
[[nodiscard]] std::vector<MapLetter> map_letters(const WindowMap& map);

[[nodiscard]] std::string window_map_svg(const WindowMap& map, const PassResult& pass, double width, double height,
                                         Units units);
// Empty in modes without a pulse.
[[nodiscard]] std::string pulse_svg(const PassResult& pass, double width, double height);
// Wire feed against time in double pulse; empty elsewhere. `share` of the period is the high phase's.
[[nodiscard]] std::string modulation_svg(const PassResult& pass, double share, double width, double height,
                                         Units units);

}  // namespace seamwright
