// Worked windows of the model: fillets with hand travel 3 to 12 mm/s, convexity 10 %, deposition 0.96, joint factor
// 0.67, extension 10 or 15 wire diameters, arc length mid-range, the gas correction of the transition left out.
// Computed by hand from the published relations (derived). Only mode, travel, penetration and melt-through are in play.
#include <doctest/doctest.h>

#include "property/random_joint.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/window.hpp"
#include "settle/resolve.hpp"
#include "window/pass_context.hpp"

using namespace seamwright;
using seamwright::test::given;

namespace {

struct Worked {
  const char* name;
  const char* alloy;
  double thickness_mm, leg_mm, wire_mm;
  Mode mode;
  double low_feed, low_A;
  C low_end;
  double high_feed, high_A;
  C high_end;
};

const Worked rows[] = {
    {"steel 1.5 mm", "S235", 1.5, 2.5, 0.8, Mode::short_arc, 2.25, 50, C::root_fusion, 5.10, 100, C::travel_max},
    {"steel 3.2 mm", "S235", 3.2, 3.2, 0.9, Mode::short_arc, 2.80, 75, C::root_fusion, 6.60, 151, C::travel_max},
    {"steel 6 mm", "S355", 6.0, 6.0, 1.2, Mode::spray, 7.25, 241, C::transition, 13.1, 360, C::travel_max},
    {"5083 6 mm", "5083", 6.0, 6.0, 1.2, Mode::spray, 7.45, 135, C::transition, 13.1, 232, C::travel_max},
};

PassContext worked_pass(const char* alloy, double t, double leg, double wire, Mode mode) {
  Joint j;
  j.type = given(JointType::fillet);
  j.thickness_mm = given(t);
  j.leg_mm = given(leg);
  j.alloy = given(std::string(alloy));
  j.position = given(std::string("PA"));
  j.wire_diameter_mm = given(wire);
  j.mode = given(mode);
  if (std::string(alloy)[0] == 'S') j.gas_composition = {{"Ar", 98.0}, {"O2", 2.0}};
  if (std::string(alloy) == "5083") j.wire = given(std::string("ER5183"));
  // The worked windows take 3 to 12 mm/s for a hand and every limit as a wall.
  j.travel_mm_per_s = given(Interval{3, 12});
  Expected<Case> c = resolve_joint(j, nullptr, builtin_catalog());
  REQUIRE(static_cast<bool>(c));
  REQUIRE_FALSE(settle_mode(*c, mode, wire));
  PassContext pass = pass_contexts(*c).front();
  pass.ends = {};
  pass.plate.back_width_last_mm = pass.plate.back_width_max_mm;
  pass.ignored_constraints = ~0ULL;
  for (const C id : {C::transition, C::short_arc_min, C::short_arc_max, C::spray_max, C::root_fusion, C::burn_through,
                     C::melt_support, C::travel_min, C::travel_max}) {
    // The worked aluminium window takes no upper end for spray; the catalog's, 210 A by NAVEDTRA 14119, would end it.
    if (id == C::spray_max && std::string(alloy) == "5083") continue;
    pass.ignored_constraints &= ~(1ULL << static_cast<unsigned>(id));
  }
  return pass;
}

Band nominal_band(const PassContext& pass) {
  return solve_band(pass, nominal_values(pass.constants), {pass.deposit.nominal_mm2, 0});
}

}  // namespace

TEST_CASE("worked windows") {
  for (const Worked& row : rows) {
    CAPTURE(row.name);
    const PassContext pass = worked_pass(row.alloy, row.thickness_mm, row.leg_mm, row.wire_mm, row.mode);
    const Band band = nominal_band(pass);
    REQUIRE(band.feasible);
    CAPTURE(band.low.wire_feed_m_per_min);
    CAPTURE(band.high.wire_feed_m_per_min);
    CHECK(band.low.wire_feed_m_per_min == doctest::Approx(row.low_feed).epsilon(0.10));
    CHECK(band.high.wire_feed_m_per_min == doctest::Approx(row.high_feed).epsilon(0.10));
    const ConstantValues x = nominal_values(pass.constants);
    CHECK(
        evaluate(pass, x, on_line(pass, x, {pass.deposit.nominal_mm2, 0}, band.low.wire_feed_m_per_min))[F::current] ==
        doctest::Approx(row.low_A).epsilon(0.10));
    CHECK(
        evaluate(pass, x, on_line(pass, x, {pass.deposit.nominal_mm2, 0}, band.high.wire_feed_m_per_min))[F::current] ==
        doctest::Approx(row.high_A).epsilon(0.10));
    CHECK(band.low.constraint.id == row.low_end);
    CHECK(band.high.constraint.id == row.high_end);
  }
}

TEST_CASE("3 mm aluminium with a 4 mm leg has no window in 1.2 mm spray by hand") {
  CHECK_FALSE(nominal_band(worked_pass("5083", 3.0, 4.0, 1.2, Mode::spray)).feasible);
}
