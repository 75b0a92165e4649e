// What is chosen of a joint where its file leaves it open, and what of its own numbers is out of the ordinary.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <string>

#include "present/job_summary.hpp"
#include "unit/reported_plan.hpp"

using namespace seamwright;

namespace {

Plan groove(const char* thickness, std::vector<Assignment> more = {}) {
  more.insert(more.end(), {{"joint.type", "butt"}, {"joint.thickness", thickness}, {"material.alloy", "S355"}});
  return plan_of("", more);
}

std::string reason(const Plan& plan, std::string_view key) {
  for (const Choice& c : plan.resolved.choices)
    if (c.key == key) return c.reason;
  return {};
}

}  // namespace

TEST_CASE("preparations of steel: the numbers chosen lie in the rows of ISO 9692-1") {
  CHECK(groove("3").resolved.section.gap_mm == 1.5);  // square: half the thickness, up to 4 mm
  // V of 3 to 10 mm: 40 to 60 degrees, gap up to 4 mm, face up to 2 mm; its wide end gives the gun room.
  const SectionInput thin = groove("9", {{"joint.preparation", "single-v"}}).resolved.section;
  CHECK(thin.angle_deg == 60);
  CHECK(thin.gap_mm == 2);
  CHECK(thin.root_face_mm == 1);
  // With a broad root face, 10 to 40 mm: 55 to 65 degrees, gap 1 to 4 mm, face 2 to 4 mm.
  const SectionInput broad = groove("20", {{"joint.preparation", "single-v"}}).resolved.section;
  CHECK(broad.angle_deg == 60);  // beyond 60 degrees the middle is enough
  CHECK(broad.gap_mm == 2.5);
  CHECK(broad.root_face_mm == 3);
}

TEST_CASE("preparations: warned about outside the row, not at its ends") {
  CHECK_FALSE(warned(groove("9", {{"joint.preparation", "single-v"}, {"joint.gap", "4"}}), "preparation-gap"));
  CHECK(warned(groove("9", {{"joint.preparation", "single-v"}, {"joint.gap", "4.5"}}), "preparation-gap"));
  CHECK_FALSE(warned(groove("4", {{"joint.preparation", "square"}}), "preparation-thickness"));
  CHECK(warned(groove("5", {{"joint.preparation", "square"}}), "preparation-thickness"));
}

TEST_CASE("a leg is as large as the thinner plate, up to the position's largest") {
  const auto fillet = [](const char* thickness) {
    return plan_of("", {{"joint.type", "fillet"}, {"joint.thickness", thickness}, {"material.alloy", "S355"}});
  };
  const Plan thin = fillet("4"), thick = fillet("20");
  CHECK(thin.resolved.section.leg_mm == 4);
  CHECK(reason(thin, "joint.leg") == "as large as the thinner plate is thick");
  CHECK(thick.resolved.section.leg_mm == thick.resolved.position->fillet_leg_max_mm.value);
  CHECK(reason(thick, "joint.leg") == "the largest single-pass leg in this position");
}

TEST_CASE("a gas composition adds up within half a per cent") {
  const auto taken = [](const char* gas) {
    return static_cast<bool>(read_joint(
        "", {{"joint.type", "butt"}, {"joint.thickness", "6"}, {"material.alloy", "S355"}, {"gas.composition", gas}},
        builtin_catalog()));
  };
  CHECK(taken("{ Ar = 82, CO2 = 17.6 }"));
  CHECK(taken("{ Ar = 82, CO2 = 18.4 }"));
  CHECK_FALSE(taken("{ Ar = 82, CO2 = 17.4 }"));
  CHECK_FALSE(taken("{ Ar = 82, CO2 = 18.6 }"));
}

TEST_CASE("the summary of a list: sums of the plans, in pounds and cubic feet for those who want them") {
  const Plan plan = groove("12");
  REQUIRE(plan.feasible);
  JobSummary one, both;
  for (int i = 0; i < 1000; ++i) one.add(plan);
  both.merge(one);
  both.add_error();
  // Every joint's gas is counted in whole millilitres.
  const auto line = [&](double kg_in_unit, double m3_in_unit) {
    return fmt::format("{:>10}{:>12.2f}{:>12.2f}{:>12.2f}\n", 1000, plan.total(F::wire_mass).value / kg_in_unit,
                       1e-3 * std::round(1e3 * plan.total(F::gas_volume).value) / m3_in_unit,
                       1000 * plan.total(F::arc_time).value / 3600);
  };
  CHECK(both.text(Units::metric, 100).starts_with("1001 joints: 1000 with a window, 0 without, 1 refused\n"));
  CHECK(both.text(Units::metric, 100).find(line(1, 1)) != std::string::npos);
  // 0.45359237 kg a pound, 0.3048 m a foot
  CHECK(both.text(Units::us, 100).find(line(0.45359237, 0.3048 * 0.3048 * 0.3048)) != std::string::npos);
}

TEST_CASE("the summary of a list names what is missed by most") {
  const Plan plan = groove("12", {{"limits.heat_input", "..0.01 kJ/mm"}, {"limits.penetration", "0.1 mm.."}});
  REQUIRE_FALSE(plan.feasible);
  const Margin* worst = nullptr;
  for (const PassResult& pass : plan.passes)
    for (const Margin& m : pass.conflicts)
      if (worst == nullptr || m.score < worst->score) worst = &m;
  REQUIRE(worst != nullptr);
  JobSummary summary;
  summary.add(plan);
  CHECK(summary.text(Units::metric, 100).find(constraint(worst->id).label) != std::string::npos);
}
