// Which findings and numbers a heat report has for which joint: lists of cases.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "unit/reported_plan.hpp"

using namespace seamwright;

namespace {

using Keys = std::vector<Assignment>;

Keys with(Keys keys, const Keys& more) {
  keys.insert(keys.end(), more.begin(), more.end());
  return keys;
}

Keys butt(const char* alloy, const char* thickness) {
  return {{"joint.type", "butt"}, {"joint.thickness", thickness}, {"material.alloy", alloy}};
}

std::size_t count(const Plan& plan, std::string_view section_key, std::string_view key) {
  const HeatSection* s = section(plan, section_key);
  return s == nullptr ? 0
                      : static_cast<std::size_t>(std::count_if(s->items.begin(), s->items.end(),
                                                               [&](const HeatItem& i) { return i.key == key; }));
}

}  // namespace

TEST_CASE("hydrogen scale of EN 1011-2: a bound belongs to the letter of less hydrogen") {
  // EN 1011-2:2001 table C.2: A over 15, B over 10, C over 5, D over 3 ml/100 g, E up to 3.
  const std::pair<const char*, char> scale[] = {{"16", 'A'},  {"15.1", 'A'}, {"15", 'B'},  {"10.1", 'B'}, {"10", 'C'},
                                                {"5.1", 'C'}, {"5", 'D'},    {"3.1", 'D'}, {"3", 'E'},    {"1", 'E'}};
  for (const auto& [hydrogen, letter] : scale) {
    CAPTURE(hydrogen);
    const Plan plan = plan_of("", with(butt("S355", "8"), {{"material.hydrogen", hydrogen}}));
    const std::string expected = std::string("scale ") + letter + " of EN 1011-2";
    CHECK(item(plan, "preheat", "hydrogen").note.find(expected) != std::string::npos);
  }
}

TEST_CASE("the relief for single-run fillets is for fillets and laps of one run that CET would have preheated") {
  const Keys hard{
      {"material.alloy", "S355"}, {"joint.thickness", "20"}, {"material.composition", "{ C = 0.22, Mn = 1.5 }"}};
  const struct {
    const char *type, *leg;
    bool relief;
  } cases[] = {{"fillet", "6", true}, {"lap", "6", true}, {"fillet", "14", false}};
  for (const auto& c : cases) {
    CAPTURE(c.type);
    CAPTURE(c.leg);
    const Plan plan = plan_of("", with(hard, {{"joint.type", c.type}, {"joint.leg", c.leg}}));
    CHECK(found(plan, "preheat", "single-run-fillet") == c.relief);
  }
  CHECK_FALSE(found(plan_of("", with(hard, {{"joint.type", "butt"}})), "preheat", "single-run-fillet"));
  // Mild steel that needs no preheat.
  CHECK_FALSE(found(
      plan_of("",
              {{"joint.type", "fillet"}, {"joint.thickness", "12"}, {"joint.leg", "6"}, {"material.alloy", "S235"}}),
      "preheat", "single-run-fillet"));
}

TEST_CASE("the heat input window is told of the alloys that have one") {
  const std::pair<Keys, std::size_t> cases[] = {{butt("2205", "8"), 1},
                                                {butt("316L", "8"), 0},
                                                {with(butt("316L", "8"), {{"material.alloy2", "2205"}}), 1},
                                                {with(butt("2205", "8"), {{"material.alloy2", "2507"}}), 2}};
  for (const auto& [keys, windows] : cases) {
    const Plan plan = plan_of("", keys);
    REQUIRE(section(plan, "stainless") != nullptr);
    CHECK(count(plan, "stainless", "heat_input_window") == windows);
  }
  // Super duplex: 0.5 to 1.5 kJ/mm (Kotecki 2010).
  const Plan super = plan_of("", butt("2507", "8"));
  CHECK(item(super, "stainless", "heat_input_window").low == 0.5);
  CHECK(item(super, "stainless", "heat_input_window").high == 1.5);
}
