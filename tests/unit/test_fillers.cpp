// Fillers between unlike metals and what is warned about: lists of cases of the trade's practice.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "plan/plan_parts.hpp"
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

bool has_caution(const std::vector<Assignment>& set, std::string_view id) {
  const std::vector<Warning> list = plan_of_butt(set).cautions;
  return std::any_of(list.begin(), list.end(), [&](const Warning& w) { return w.id == id; });
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
      const auto& this_first = first;
      CAPTURE(this_first);
      const auto& this_second = second;
      CAPTURE(this_second);
      CHECK(plan_of_butt({{"material.alloy", first}, {"material.alloy2", second}}).resolved.wire->id == c.wire);
    }
}

TEST_CASE("what is warned about: where it is true, and not beside it") {
  const struct {
    const char* id;
    std::vector<Assignment> yes, no;
  } cases[] = {{"4043-on-high-mg",
                {{"material.alloy", "5083"}, {"wire.designation", "4043"}},
                {{"material.alloy", "6082"}, {"wire.designation", "4043"}}},
               {"4043-on-high-mg",
                {{"material.alloy", "6082"}, {"material.alloy2", "5083"}, {"wire.designation", "4043"}},
                {{"material.alloy", "6082"}, {"material.alloy2", "5083"}, {"wire.designation", "5356"}}},
               {"short-arc-thick-plate",
                {{"material.alloy", "S355"}, {"joint.thickness", "5.5"}, {"process.mode", "short-arc"}},
                {{"material.alloy", "S355"}, {"joint.thickness", "5"}, {"process.mode", "short-arc"}}},
               {"short-arc-on-aluminium",
                {{"material.alloy", "5083"}, {"process.mode", "short-arc"}, {"wire.diameter", "1.0"}},
                {{"material.alloy", "5083"}, {"process.mode", "pulse"}, {"wire.diameter", "1.0"}}},
               {"co2-on-stainless",
                {{"material.alloy", "316L"}, {"gas.designation", "M20-ArC-5.5"}},
                {{"material.alloy", "316L"}, {"gas.designation", "M12-ArC-2.5"}}},
               {"co2-on-stainless",
                {{"material.alloy", "2205"}, {"gas.designation", "M21"}},
                {{"material.alloy", "S355"}, {"gas.designation", "M21"}}},
               {"argon-on-carbon-steel",
                {{"material.alloy", "S355"}, {"gas.designation", "I1"}},
                {{"material.alloy", "S355"}, {"gas.designation", "M13-ArO-1"}}},
               {"argon-on-carbon-steel",
                {{"material.alloy", "S235"}, {"gas.designation", "I1"}},
                {{"material.alloy", "S235"}, {"wire.designation", "309L"}, {"gas.designation", "I1"}}},
               {"co2-on-aluminium",
                {{"material.alloy", "5083"}, {"gas.designation", "M12-ArC-2"}},
                {{"material.alloy", "5083"}, {"gas.designation", "I3"}}},
               {"co2-on-aluminium",
                {{"material.alloy", "5083"}, {"gas.designation", "M13-ArO-1"}},
                {{"material.alloy", "5083"}, {"gas.designation", "I1"}}},
               {"active-gas-on-nickel",
                {{"material.alloy", "625"}, {"gas.designation", "M14-ArCO-3/1"}},
                {{"material.alloy", "625"}, {"gas.designation", "M12-ArC-2.5"}}},
               {"hydrogen-gas",
                {{"material.alloy", "2205"}, {"gas.composition", "{ Ar = 98, H2 = 2 }"}},
                {{"material.alloy", "316L"}, {"gas.composition", "{ Ar = 98, H2 = 2 }"}}},
               {"hydrogen-gas",
                {{"material.alloy", "5083"}, {"gas.composition", "{ Ar = 98, H2 = 2 }"}},
                {{"material.alloy", "625"}, {"gas.composition", "{ Ar = 98, H2 = 2 }"}}},
               {"wrong-filler-super-duplex",
                {{"material.alloy", "2507"}, {"wire.designation", "2209"}},
                {{"material.alloy", "2507"}, {"wire.designation", "2594"}}},
               {"lean-filler-duplex",
                {{"material.alloy", "2205"}, {"wire.designation", "316LSi"}},
                {{"material.alloy", "2205"}, {"wire.designation", "2209"}}},
               {"carbon-filler-on-stainless",
                {{"material.alloy", "316L"}, {"wire.designation", "G3Si1"}},
                {{"material.alloy", "S355"}, {"wire.designation", "G3Si1"}}},
               {"lean-filler-dissimilar",
                {{"material.alloy", "S355"}, {"material.alloy2", "316L"}, {"wire.designation", "316LSi"}},
                {{"material.alloy", "S355"}, {"material.alloy2", "316L"}, {"wire.designation", "309L"}}},
               {"filler-other-metal",
                {{"material.alloy", "S355"}, {"wire.designation", "5356"}},
                {{"material.alloy", "5083"}, {"wire.designation", "5356"}}},
               {"bronze-filler-on-steel",
                {{"material.alloy", "DX51D"}, {"joint.thickness", "2"}, {"wire.designation", "CuSi3"}},
                {{"material.alloy", "DX51D"}, {"joint.thickness", "2"}}},  // chosen: told with the choice
               {"bronze-filler-on-steel",
                {{"material.alloy", "DX51D"}, {"joint.thickness", "4"}},
                {{"material.alloy", "S235"}, {"joint.thickness", "4"}}},
               {"steel-filler-on-zinc",
                {{"material.alloy", "DX51D"}, {"joint.thickness", "2"}, {"wire.designation", "G3Si1"}},
                {{"material.alloy", "DX51D"}, {"joint.thickness", "2"}, {"wire.designation", "CuSi3"}}},
               {"spray-out-of-position",
                {{"material.alloy", "S355"}, {"process.mode", "spray"}, {"joint.position", "PF"}},
                {{"material.alloy", "S355"}, {"process.mode", "spray"}, {"joint.position", "PC"}}}};
  for (const auto& c : cases) {
    CAPTURE(c.id);
    CAPTURE(c.yes.front().value);
    CHECK(warned(plan_of_butt(c.yes), c.id));
    CHECK_FALSE(warned(plan_of_butt(c.no), c.id));
  }
}

TEST_CASE("cautions: where the hazard is, and not beside it") {
  const std::vector<Assignment> steel{{"material.alloy", "S355"}},
      beside{{"material.alloy", "S355"}, {"material.alloy2", "316L"}, {"wire.designation", "G3Si1"}},
      bronze{{"material.alloy", "DX51D"}, {"joint.thickness", "2"}},
      dip{{"material.alloy", "S355"}, {"joint.thickness", "3"}, {"process.mode", "short-arc"}};
  const struct {
    const char* id;
    std::vector<Assignment> yes, no;
  } cases[] = {{"cr-vi", beside, steel},  // a stainless plate welded with plain wire
               {"cr-vi", {{"material.alloy", "316L"}}, bronze},
               {"ozone", beside, steel},
               {"ozone", {{"material.alloy", "5083"}}, bronze},
               {"nickel-fume", {{"material.alloy", "316L"}}, beside},
               {"copper-fume", bronze, steel},
               {"zinc", bronze, {{"material.alloy", "S235"}, {"joint.thickness", "2"}}},
               {"aluminium-fume", {{"material.alloy", "6082"}}, steel},
               {"hot-service",
                {{"material.alloy", "6082"}, {"wire.designation", "5356"}},
                {{"material.alloy", "6082"}, {"wire.designation", "4043"}}},
               {"short-arc-not-prequalified", dip, steel},
               {"starting-values", steel, {}}};
  for (const auto& c : cases) {
    CAPTURE(c.id);
    CHECK(has_caution(c.yes, c.id));
    if (!c.no.empty()) CHECK_FALSE(has_caution(c.no, c.id));
  }
}

TEST_CASE("eye filter: the shade is that of the current rounded up, and the table's end is told") {
  // 29 CFR 1910.133, gas metal arc welding: shade 7 below 60 A, 10 from there to 500 A.
  const Case c = plan_of_butt({{"material.alloy", "S355"}}).resolved;
  const auto text = [&](std::string_view id, double current_A) {
    for (const Warning& w : cautions_for(c, current_A))
      if (w.id == id) return w.text;
    return std::string();
  };
  CHECK(text("filter-shade", 58.5).find("shade 7 at least for up to 59 A") != std::string::npos);
  CHECK(text("filter-shade", 59.5).find("shade 10 at least for up to 60 A") != std::string::npos);
  CHECK(text("filter-shade", 500).find("shade 10 at least for up to 500 A") != std::string::npos);
  CHECK(text("filter-shade", 500.5).empty());
  CHECK(text("filter-shade-beyond", 500.5).find("501 A lies beyond") != std::string::npos);
  CHECK(text("filter-shade-beyond", 500.5).find("ends at 500 A with shade 10") != std::string::npos);
  CHECK(text("filter-shade-beyond", 500).empty());
}
