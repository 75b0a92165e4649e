// A fixed pipe: the position changes round the joint. Each pass is set for every clock sector by itself, and once for
// all sectors together where one setting holds round the pipe.
#pragma once

#include <string_view>
#include <vector>

#include "seamwright/case.hpp"
#include "seamwright/window.hpp"

namespace seamwright {

struct SectorPass {
  bool feasible = false;
  Band band;
  double travel_mm_per_s = 0;
  double heat_input_kJ_per_mm = 0;
  Margin worst;  // at the best point
  // The pass lays more than is usual where this sector lies: its pool may not be held however the window stands.
  bool above_usual_deposit = false;
};

struct Sector {
  std::string_view clock;     // "5 to 7 o'clock"
  std::string_view position;  // id: "PE"
  double share = 0;           // of the circumference
  std::vector<SectorPass> passes;
};

// One setting for all sectors, a pass.
struct CompromisePass {
  bool feasible = false;
  Band band;  // on the deposit of `deposit_mm2`
  double deposit_mm2 = 0;
  std::string_view tightest;         // position id of the sector that is nearest to a limit
  std::string_view low_by, high_by;  // of the sectors that end the band
  Margin worst;
  double time_ratio = 1;   // arc time of the compromise over that of setting each sector by itself
  double margin_loss = 0;  // least margin over the sectors set by themselves, less that of the compromise
};

struct SectorPlan {
  std::vector<Sector> sectors;  // in welding order from the bottom or the top
  std::vector<CompromisePass> compromise;
};

// Empty for positions that do not change along the joint.
[[nodiscard]] SectorPlan sector_plan(const Case& resolved);

}  // namespace seamwright
