// Charts of a pass: the window over feed and travel, the pulse, the slow modulation of the wire feed.
#pragma once

#include <string>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/window_map.hpp"
#include "text/drawing.hpp"

namespace seamwright {

// A letter for each constraint that bounds the window, in the order of the map's lines.
struct MapLetter {
  C id = C::none;
  char letter = 'A';
};
[[nodiscard]] std::vector<MapLetter> map_letters(const WindowMap& map);

[[nodiscard]] Drawing draw_window_map(const WindowMap& map, const PassResult& pass, double width, double height,
                                      Units units);
// What its shading, dot, dashes and box mean.
[[nodiscard]] std::string window_map_caption(const WindowMap& map, const PassResult& pass);
// Empty in modes without a pulse.
[[nodiscard]] Drawing draw_pulse(const PassResult& pass, double width, double height);
// Wire feed against time in double pulse; empty elsewhere. `share` of the period is the high phase's.
[[nodiscard]] Drawing draw_modulation(const PassResult& pass, double share, double width, double height, Units units);

}  // namespace seamwright
