#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "seamwright/catalog.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/qualification.hpp"

using namespace seamwright;
using doctest::Approx;

namespace {

const Catalog& catalog = builtin_catalog();

const QualificationRules rules = qualification_rules(catalog);

TestPiece piece(QualificationStandard standard, QualifiedWeld weld, Runs runs, double thickness) {
  TestPiece out;
  out.standard = standard;
  out.weld = weld;
  out.runs = runs;
  out.thickness_mm = thickness;
  out.position = "PA";
  return out;
}
TestPiece steel_butt(double thickness) {
  return piece(QualificationStandard::iso_15614_1_level_2, QualifiedWeld::butt, Runs::multi, thickness);
}

const QualifiedRange* find(const Qualification& q, QualifiedVariable variable) {
  const auto at = std::ranges::find(q.ranges, variable, &QualifiedRange::variable);
  return at == q.ranges.end() ? nullptr : &*at;
}
Interval range(const Qualification& q, QualifiedVariable variable) {
  const auto* found = find(q, variable);
  REQUIRE(found != nullptr);
  return found->range;
}

}  // namespace

TEST_CASE("heat input binds above for impact and below for hardness, else not at all") {
  TestPiece p = steel_butt(10);
  p.heat_input_kJ_per_mm = 1.2;
  CHECK(range(*qualify(p, rules), QualifiedVariable::heat_input_kJ_per_mm).high == unbounded);
  CHECK(range(*qualify(p, rules), QualifiedVariable::heat_input_kJ_per_mm).low == 0);
  p.impact_required = p.impact_tested = p.hardness_required = true;
  const auto q = *qualify(p, rules);
  CHECK(range(q, QualifiedVariable::heat_input_kJ_per_mm).low == Approx(0.9));
  CHECK(range(q, QualifiedVariable::heat_input_kJ_per_mm).high == Approx(1.5));
  CHECK(q.positions == QualifiedPositions::by_heat_input);
}

TEST_CASE("preheat is a floor, interpass a ceiling, and what is not stated is left out") {
  TestPiece p = steel_butt(10);
  CHECK(find(*qualify(p, rules), QualifiedVariable::preheat_C) == nullptr);
  CHECK(find(*qualify(p, rules), QualifiedVariable::heat_input_kJ_per_mm) == nullptr);
  p.preheat_C = 80;
  p.interpass_C = 190;
  const auto q = *qualify(p, rules);
  CHECK(range(q, QualifiedVariable::preheat_C).low == 80);
  CHECK(range(q, QualifiedVariable::interpass_C).high == 190);
}

TEST_CASE("impact required but not tested: 12 mm at most") {
  TestPiece p = steel_butt(10);
  p.impact_required = true;
  CHECK(range(*qualify(p, rules), QualifiedVariable::thickness_mm).high == 12);
  p.thickness_mm = 24;  // qualifies 12 to 48 mm, of which 12 is left
  CHECK(range(*qualify(p, rules), QualifiedVariable::thickness_mm).low == 12);
  CHECK(range(*qualify(p, rules), QualifiedVariable::thickness_mm).high == 12);
  p.thickness_mm = 30;
  REQUIRE_FALSE(qualify(p, rules));
  CHECK(qualify(p, rules).refusal().reason == RefusalReason::no_solution);
}

TEST_CASE("positions and transfer modes") {
  TestPiece p = steel_butt(8);
  CHECK(qualify(p, rules)->positions == QualifiedPositions::all);
  p.hardness_required = true;
  CHECK(qualify(p, rules)->positions == QualifiedPositions::by_heat_input);
  p.position = "PG";
  CHECK(qualify(p, rules)->positions == QualifiedPositions::tested_only);
  p.mode = Mode::short_arc;
  CHECK(qualify(p, rules)->modes == std::vector{Mode::short_arc, Mode::controlled_dip});
  p.mode = Mode::pulse;
  CHECK(qualify(p, rules)->modes == std::vector{Mode::spray, Mode::pulse, Mode::double_pulse});
}

TEST_CASE("fillets: plate and throat; aluminium butts and throats") {
  TestPiece p = piece(QualificationStandard::iso_15614_1_level_2, QualifiedWeld::fillet, Runs::single, 10);
  p.throat_mm = 4;
  const auto q = *qualify(p, rules);
  CHECK(range(q, QualifiedVariable::thickness_mm).low == 5);
  CHECK(range(q, QualifiedVariable::thickness_mm).high == 20);
  CHECK(range(q, QualifiedVariable::throat_mm).low == 3);
  CHECK(range(q, QualifiedVariable::throat_mm).high == 6);

  TestPiece light = piece(QualificationStandard::iso_15614_2, QualifiedWeld::fillet, Runs::single, 8);
  light.throat_mm = 12;
  const auto l = *qualify(light, rules);
  CHECK(find(l, QualifiedVariable::thickness_mm) == nullptr);  // the tables do not say
  CHECK(range(l, QualifiedVariable::throat_mm).low == 7.5);
  CHECK(range(l, QualifiedVariable::throat_mm).high == unbounded);
}

TEST_CASE("a thickness the tables do not cover is refused") {
  TestPiece p = piece(QualificationStandard::iso_15614_1_level_2, QualifiedWeld::butt, Runs::single, 101);
  const auto q = qualify(p, rules);
  REQUIRE_FALSE(q);
  CHECK(q.refusal().reason == RefusalReason::not_in_table);
  CHECK(q.refusal().range.high == 100);
  p.thickness_mm = 0;
  CHECK_FALSE(qualify(p, rules));
  p.thickness_mm = std::nan("");
  CHECK_FALSE(qualify(p, rules));
}

TEST_CASE("groups: lower strength is covered where the rule says so, another main group never; aluminium has no rule") {
  const auto cover = [](std::string_view tested, std::string_view planned) {
    return group_cover(tested, planned, QualificationStandard::iso_15614_1_level_2, builtin_catalog().qualified_groups);
  };
  for (const auto& row : builtin_catalog().qualified_groups) {
    const std::string group(row.group);
    CAPTURE(group);
    CHECK(cover(group + ".2", group + ".2").covered);
    CHECK(cover(group + ".2", group + ".1").covered == (row.covers == "lower"));
    CHECK_FALSE(cover(group + ".1", group + ".2").covered);
    CHECK_FALSE(cover(group + ".1", "99.1").covered);
  }
  CHECK(group_cover("22.4", "22.4", QualificationStandard::iso_15614_2, builtin_catalog().qualified_groups).rule ==
        nullptr);
}
