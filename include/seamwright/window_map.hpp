// The window of a pass drawn out over wire feed and travel: where every constraint holds, and the line on which each
// one ends.
#pragma once

#include <vector>

#include "seamwright/plan.hpp"

namespace seamwright {

struct MapPoint {
  double wire_feed_m_per_min = 0, travel_mm_per_s = 0;
};
struct MapLine {
  C id = C::none;
  bool bounds = false;  // every other constraint holds along it: it is an edge of the window
  std::vector<MapPoint> points;
};
struct WindowMap {
  Interval wire_feed_m_per_min, travel_mm_per_s;  // what is shown
  std::vector<MapPoint> region;                   // outline of the window; empty when there is none
  std::vector<MapLine> lines;                     // edges first
  std::vector<MapPoint> band;                     // the line of the deposit taken, between the ends of the band
  MapPoint best;
};

// `columns` (feeds) by `rows` (travels) points are evaluated; both at least 8. Lines are interpolated between them, so
// they are within a cell's fraction of the true ones.
[[nodiscard]] WindowMap window_map(const PassContext& context, const PassResult& pass, int columns, int rows);

}  // namespace seamwright
