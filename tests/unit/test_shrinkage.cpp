#include <doctest/doctest.h>

#include <cmath>

#include "seamwright/catalog.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/shrinkage.hpp"

using namespace seamwright;
using doctest::Approx;

namespace {

const Catalog& catalog = builtin_catalog();
const ShrinkageRules rules = shrinkage_rules(catalog);
}  // namespace

TEST_CASE("shrinkage: every estimate carries its spread about the value") {
  for (const auto& s : {*butt_shrinkage_mm(60, 10, 3, rules), *fillet_shrinkage_mm(FilletJoint::lap, 6, 12, rules),
                        *contraction_mm(heat_range(catalog, "expansion-aluminium").low, 400, 6, rules),
                        *fillet_angle_deg(6, 10, rules)}) {
    CHECK(s.low == Approx(0.6 * s.value));
    CHECK(s.high == Approx(1.4 * s.value));
    CHECK(s.value > 0);
  }
}

TEST_CASE("fillet angle: z 6 mm on 10 mm plate by hand") {
  // 0.076 * 0.6^1.3 / 1.0^2 rad
  CHECK(fillet_angle_deg(6, 10, rules)->value == Approx(0.076 * 0.514756 * 57.29578).epsilon(1e-5));
}

TEST_CASE("shrinkage: refused outside the range of each formula") {
  CHECK(fillet_shrinkage_mm(FilletJoint::tee, 9.1, 12, rules).refusal().quantity == "leg, mm");
  CHECK(fillet_shrinkage_mm(FilletJoint::tee, 9.0, 12, rules));
  CHECK(fillet_angle_deg(8, 10, rules).refusal().quantity == "leg, mm");
  CHECK(butt_shrinkage_mm(60, 0, 3, rules).refusal().quantity == "thickness, mm");
  CHECK(butt_shrinkage_mm(60, 10, -1, rules).refusal().quantity == "gap, mm");
  CHECK_FALSE(butt_shrinkage_mm(std::nan(""), 10, 1, rules));
  CHECK_FALSE(contraction_mm(2.45e-3, 800, -10, rules));
}
