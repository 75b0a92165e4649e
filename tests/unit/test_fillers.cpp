// Fillers between unlike metals and what is warned about: lists of cases of the trade's practice.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "unit/reported_plan.hpp"

using namespace seamwright;

namespace {

// An 8 mm butt unless told otherwise.
Plan plan_of_butt(std::vector<Assignment> set) {
  for (const Assignment& usual : {Assignment{"joint.type", "butt"}, Assignment{"joint.thickness", "8"}})
    if (std::none_of(set.begin(), set.end(), [&](const Assignment& a) { return a.key == usual.key; }))
      set.push_back(usual);
  return plan_of("", set);
}

}  // namespace

TEST_CASE("filler between unlike metals: as alloyed as the leaner plate can bear, in either order") {
  // Practice: 309L from carbon steel to austenitic; 2209 to duplex; 2594 to super duplex; 625 to nickel alloys.
  const struct {
    const char *one, *other, *wire;
  } cases[] = {{"S355", "316L", "23 12 L"},      {"S355", "2205", "22 9 3 N L"}, {"316L", "2205", "22 9 3 N L"},
               {"S355", "2507", "25 9 4 N L"},   {"316L", "2507", "25 9 4 N L"}, {"2205", "2507", "25 9 4 N L"},
               {"2205", "S32760", "25 9 4 N L"}, {"S355", "625", "S Ni 6625"},   {"316L", "625", "S Ni 6625"},
               {"2507", "S32760", "25 9 4 N L"}};
  for (const auto& c : cases)
    for (const auto& [first, second] : {std::pair{c.one, c.other}, std::pair{c.other, c.one}}) {
      CAPTURE(first);
      CAPTURE(second);
      CHECK(plan_of_butt({{"material.alloy", first}, {"material.alloy2", second}}).resolved.wire->id == c.wire);
    }
}
