#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "seamwright/joint.hpp"
#include "seamwright/section.hpp"

using namespace seamwright;

namespace {

using J = JointType;
using P = PreparationType;

constexpr PassRules flat{.root_thickness_max_mm = 10,
                         .fillet_leg_max_mm = 12,
                         .layer_thickness_max_mm = 6,
                         .layer_split_width_mm = 16,
                         .deposit_max_mm2 = 70,
                         .root_layer_mm = 3,
                         .fill_layer_mm = 3,
                         .reinforcement_share = 0.1,
                         .convexity_share = 0.1,
                         .square_excess_mm2 = 3};

SectionInput butt(P preparation, double thickness, double gap, double face, double angle, double radius = 0) {
  return {.type = J::butt,
          .preparation = preparation,
          .thickness_mm = thickness,
          .gap_mm = gap,
          .root_face_mm = face,
          .angle_deg = angle,
          .arc_radius_mm = radius};
}

SectionInput fillet(double leg, double leg2 = 0) {
  return {.type = J::fillet, .thickness_mm = 10, .leg_mm = leg, .leg2_mm = leg2};
}

double needed(const std::vector<PassPlan>& plan) {
  double sum = 0;
  for (const PassPlan& pass : plan) sum += pass.needed_mm2;
  return sum;
}
double nominal(const std::vector<PassPlan>& plan) {
  double sum = 0;
  for (const PassPlan& pass : plan) sum += pass.nominal_mm2;
  return sum;
}

bool both_sides(P p) { return p == P::double_v || p == P::double_bevel; }

// Every kind of groove over its usual sizes.
template <class Visit>
void for_each_groove(Visit visit) {
  for (double t = 2; t <= 40; t += 0.7)
    for (const double gap : {0.0, 1.0, 2.5, 4.0})
      for (const double face : {0.0, 1.0, 2.0})
        for (const double angle : {40.0, 60.0, 75.0})
          for (const P p : {P::single_v, P::double_v, P::single_bevel, P::double_bevel, P::u, P::j}) {
            if (face >= t) continue;  // no groove is left
            const bool round = p == P::u || p == P::j;
            visit(butt(p, t, gap, face, round ? angle / 4 : angle, round ? 6 : 0));
          }
}

}  // namespace

TEST_CASE("section: textbook areas") {
  CHECK(section_area_mm2(butt(P::square, 3, 1.5, 0, 0)) == doctest::Approx(4.5));
  CHECK(section_area_mm2(butt(P::single_v, 10, 2, 1, 60)) == doctest::Approx(20 + 81 * std::tan(std::numbers::pi / 6)));
  CHECK(section_area_mm2(butt(P::single_bevel, 10, 2, 1, 45)) == doctest::Approx(20 + 81 / 2.0));
  CHECK(section_area_mm2(butt(P::double_v, 20, 2, 2, 60)) ==
        doctest::Approx(40 + 2 * 81 * std::tan(std::numbers::pi / 6)));
  CHECK(section_area_mm2(butt(P::double_bevel, 20, 2, 2, 45)) == doctest::Approx(40 + 81));
  CHECK(section_area_mm2(fillet(6)) == doctest::Approx(18));
  CHECK(section_area_mm2(fillet(6, 4)) == doctest::Approx(12));
  CHECK(section_area_mm2({.type = J::corner, .thickness_mm = 6}) == doctest::Approx(18));
  CHECK(section_area_mm2({.type = J::edge, .thickness_mm = 3, .overlay_height_mm = 1.5}) == doctest::Approx(4.5));
  CHECK(section_area_mm2({.type = J::overlay, .thickness_mm = 10, .overlay_height_mm = 3, .overlay_width_mm = 8}) ==
        doctest::Approx(24));
  CHECK(section_area_mm2({.type = J::overlay, .thickness_mm = 10, .overlay_height_mm = 3}) == doctest::Approx(36));
  // A U without a radius is a V.
  CHECK(section_area_mm2(butt(P::u, 10, 2, 1, 60)) ==
        doctest::Approx(section_area_mm2(butt(P::single_v, 10, 2, 1, 60))));
  // A U with parallel sides: the gap, two quarter circles and what stands above them.
  CHECK(section_area_mm2(butt(P::u, 20, 2, 3, 0, 6)) == doctest::Approx(40 + 2 * (std::numbers::pi * 36 / 4 + 11 * 6)));
}

TEST_CASE("section: the area is the integral of the width, which never narrows upward") {
  for_each_groove([](const SectionInput& in) {
    const double top = both_sides(in.preparation) ? in.thickness_mm / 2 : in.thickness_mm;
    constexpr int steps = 500;
    double sum = 0;
    double last = 0;
    bool narrows = false;
    for (int i = 0; i < steps; ++i) {
      const double width = groove_width_mm(in, (i + 0.5) * top / steps);
      narrows = narrows || width < last;
      last = width;
      sum += width * top / steps;
    }
    CHECK_FALSE(narrows);
    CHECK(groove_area_mm2(in, top) == doctest::Approx(sum).epsilon(1e-3));
    CHECK(section_area_mm2(in) == doctest::Approx((both_sides(in.preparation) ? 2 : 1) * groove_area_mm2(in, top)));
    CHECK(groove_width_mm(in, 0) == doctest::Approx(in.gap_mm));
  });
}

TEST_CASE("section: mean thickness is the plate less the open groove") {
  for_each_groove([](const SectionInput& in) {
    const bool both = both_sides(in.preparation);
    const double top = both ? in.thickness_mm / 2 : in.thickness_mm;
    const bool one_wall =
        in.preparation == P::single_bevel || in.preparation == P::double_bevel || in.preparation == P::j;
    for (const double half : {3.0, 8.0}) {
      double open = 0;
      constexpr int steps = 500;
      for (int i = 0; i < steps; ++i) {
        const double extra = groove_width_mm(in, (i + 0.5) * top / steps) - in.gap_mm;
        const double wall = one_wall ? extra : extra / 2;
        const double reached = std::min(wall, half - in.gap_mm / 2);
        open += (in.gap_mm + (one_wall ? reached : 2 * reached)) * top / steps;
      }
      const double want = in.thickness_mm - (both ? 2 : 1) * open / (2 * half);
      // The sum starts at the sharp corner of a J or U with an error of this size.
      CHECK(std::abs(mean_section_thickness_mm(in, half) - want) <= 5e-4 * in.thickness_mm);
    }
  });
  CHECK(mean_section_thickness_mm(fillet(6), 5) == 10);
  CHECK(mean_section_thickness_mm(butt(P::square, 4, 0, 0, 0), 5) == 4);
  CHECK(mean_section_thickness_mm(butt(P::square, 4, 2, 0, 0), 5) == doctest::Approx(3.2));
}

TEST_CASE("passes: fills that hardly differ are laid alike, and hold the same metal together") {
  PassRules alike_fills = flat;
  alike_fills.alike_ratio = 1.05;
  const SectionInput thick = butt(P::single_v, 150, 3, 2, 60);
  const std::vector<PassPlan> apart = plan_passes(thick, flat), together = plan_passes(thick, alike_fills);
  const auto settings = [](const std::vector<PassPlan>& plan) {
    std::size_t count = 1;
    for (std::size_t i = 1; i < plan.size(); ++i) count += alike(plan[i], plan[i - 1]) ? 0 : 1;
    return count;
  };
  REQUIRE(together.size() == apart.size());
  CHECK(needed(together) == doctest::Approx(needed(apart)));
  CHECK(nominal(together) == doctest::Approx(nominal(apart)));
  CHECK(5 * settings(together) < 4 * settings(apart));
  for (std::size_t i = 0; i < apart.size(); ++i) {
    CHECK(std::abs(together[i].nominal_mm2 / apart[i].nominal_mm2 - 1) <= 0.05);
    CHECK(together[i].width_mm >= apart[i].width_mm);
  }
}

TEST_CASE("passes: a root is spared where there is room for a layer above the second") {
  PassRules sparing = flat;
  sparing.over_root_share = 0.65;
  sparing.spared_root_gain = 1.1;
  for (const double t : {8.0, 12.0, 20.0, 40.0}) {
    const SectionInput in = butt(P::single_v, t, 2, 1, 60);
    const std::vector<PassPlan> usual = plan_passes(in, flat), plan = plan_passes(in, sparing);
    CAPTURE(t);
    REQUIRE(plan.size() > 2);
    CHECK(plan[0].nominal_mm2 <= doctest::Approx(1.1 * usual[0].nominal_mm2));
    CHECK(plan[1].nominal_mm2 <= doctest::Approx(0.65 * plan[0].nominal_mm2));
    CHECK(needed(plan) == doctest::Approx(section_area_mm2(in)));
  }
  // A cap alone over the root has what is left of the groove to fill.
  const SectionInput thin = butt(P::single_v, 5, 2, 1, 60);
  CHECK(plan_passes(thin, sparing)[1].nominal_mm2 == plan_passes(thin, flat)[1].nominal_mm2);
  // Or is cut into stringers, as narrow as they may be.
  sparing.stringer_min_mm = 4;
  for (const double t : {4.0, 5.0, 6.0}) {
    const SectionInput low = butt(P::single_v, t, 3, 1, 70);
    const std::vector<PassPlan> plan = plan_passes(low, sparing);
    CAPTURE(t);
    REQUIRE(plan.size() == (t < 5 ? 2 : 3));
    const bool small_enough = plan[1].nominal_mm2 <= 0.65 * plan[0].nominal_mm2;
    CHECK((small_enough || plan[1].width_mm * (t < 5 ? 0.5 : 2.0 / 3.0) < 4));
    CHECK(plan[1].width_mm >= 4);
    CHECK(needed(plan) == doctest::Approx(section_area_mm2(low)));
  }
}

TEST_CASE("passes: every groove is filled exactly, in order, inside the limits") {
  PassRules vertical = flat;
  vertical.layer_split_width_mm = 25;
  vertical.deposit_max_mm2 = 50;
  PassRules down = flat;
  down.root_thickness_max_mm = 8;
  down.deposit_max_mm2 = 20;
  for (const PassRules& rules : {flat, vertical, down})
    for_each_groove([&](const SectionInput& in) {
      const std::vector<PassPlan> plan = plan_passes(in, rules);
      const bool both = both_sides(in.preparation);
      const double top = both ? in.thickness_mm / 2 : in.thickness_mm;
      CAPTURE(preparation_key(in.preparation));
      CAPTURE(in.thickness_mm);
      CAPTURE(in.gap_mm);
      CAPTURE(in.root_face_mm);
      CAPTURE(in.angle_deg);
      CAPTURE(rules.deposit_max_mm2);
      REQUIRE(!plan.empty());
      CHECK(needed(plan) == doctest::Approx(section_area_mm2(in)));
      CHECK(nominal(plan) == doctest::Approx(1.1 * section_area_mm2(in)));
      CHECK(plan.front().side == 1);
      CHECK(plan.back().side == (both ? 2 : 1));
      CHECK(plan.back().height_mm == doctest::Approx(top));
      if (both || plan.size() > 1) {
        CHECK(plan.front().role == PassRole::root);
        CHECK(plan.back().role == PassRole::cap);
      } else {
        CHECK(plan.front().role == PassRole::single);
      }
      double below = 0;
      int side = 1;
      for (std::size_t i = 0; i < plan.size(); ++i) {
        const PassPlan& pass = plan[i];
        CHECK(pass.number == static_cast<int>(i) + 1);
        CHECK(pass.needed_mm2 > 0);
        CHECK(pass.nominal_mm2 >= pass.needed_mm2 - 1e-12);
        CHECK(pass.nominal_mm2 <= rules.deposit_max_mm2 * (1 + 1e-6));
        CHECK(pass.width_mm <= rules.layer_split_width_mm * (1 + 1e-6));
        if (pass.side != side) below = 0;
        side = pass.side;
        if (pass.bead > 1) continue;
        const double height = pass.height_mm - below;
        if (pass.layer > 1) CHECK(height <= rules.layer_thickness_max_mm * (1 + 1e-9));
        if (pass.layer == 1) CHECK(height <= rules.root_thickness_max_mm * (1 + 1e-9));
        // No thin layers, save in plates too thin for two whole ones.
        if (top >= 2 * rules.layer_min_mm) CHECK(height >= rules.layer_min_mm * (1 - 1e-6));
        below = pass.height_mm;
      }
    });
}

TEST_CASE("passes: beads of a layer are equal") {
  const std::vector<PassPlan> plan = plan_passes(butt(P::single_v, 20, 2, 1, 60), flat);
  for (std::size_t i = 1; i < plan.size(); ++i)
    if (plan[i].layer == plan[i - 1].layer) CHECK(plan[i].nominal_mm2 == plan[i - 1].nominal_mm2);
}

TEST_CASE("passes: thin and ordinary butts as the trade lays them") {
  CHECK(plan_passes(butt(P::single_v, 3, 2, 1, 60), flat).size() == 1);
  CHECK(plan_passes(butt(P::single_v, 5, 2, 1, 60), flat).size() == 2);
  CHECK(plan_passes(butt(P::single_v, 8, 2, 1, 60), flat).size() == 3);
  const auto square = plan_passes(butt(P::square, 3, 1.5, 0, 0), flat);
  REQUIRE(square.size() == 1);
  CHECK(square[0].role == PassRole::single);
  CHECK(square[0].nominal_mm2 == doctest::Approx(4.5 * 1.1 + 3));
  CHECK(square[0].width_mm == doctest::Approx(2.5));
  SectionInput in = butt(P::square, 6, 2, 0, 0);
  in.sides = 2;
  const auto sealed = plan_passes(in, flat);
  REQUIRE(sealed.size() == 2);
  CHECK(sealed[0].side == 1);
  CHECK(sealed[1].side == 2);
  CHECK(sealed[0].height_mm == doctest::Approx(3));
  CHECK(needed(sealed) == doctest::Approx(12));
}

TEST_CASE("passes: fillets of any size") {
  PassRules horizontal = flat;
  horizontal.fillet_leg_max_mm = 10;
  horizontal.deposit_max_mm2 = 40;
  std::size_t last = 0;
  for (double leg = 2; leg <= 40; leg += 0.25) {
    const SectionInput in = fillet(leg);
    const std::vector<PassPlan> plan = plan_passes(in, horizontal);
    CAPTURE(leg);
    CHECK(plan.size() >= last);  // a larger fillet never takes fewer passes
    last = plan.size();
    CHECK(needed(plan) == doctest::Approx(section_area_mm2(in)));
    CHECK(nominal(plan) == doctest::Approx(1.1 * section_area_mm2(in)));
    CHECK(plan.back().height_mm == doctest::Approx(leg / std::sqrt(2.0)));
    double below = 0;
    for (std::size_t i = 0; i < plan.size(); ++i) {
      CHECK(plan[i].nominal_mm2 <= 40 * (1 + 1e-9));
      CHECK(plan[i].nominal_mm2 == doctest::Approx(plan[0].nominal_mm2));
      const bool first = plan[i].bead == 1;
      if (first && plan[i].layer > 1)
        CHECK(plan[i].height_mm - below <= horizontal.layer_thickness_max_mm * (1 + 1e-9));
      if (first) below = plan[i].height_mm;
    }
    if (leg <= 8.5) CHECK(plan.size() == 1);
    if (plan.size() == 1) {
      CHECK(plan[0].role == PassRole::single);
      CHECK(plan[0].width_mm == doctest::Approx(leg * std::sqrt(2.0)));
    } else {
      CHECK(plan.front().role == PassRole::root);
      CHECK(plan.back().role == PassRole::cap);
    }
  }
  // The leg limit alone, overhead say, also asks for more than one pass.
  PassRules overhead = flat;
  overhead.fillet_leg_max_mm = 8;
  CHECK(plan_passes(fillet(9), overhead).size() == 2);
}

TEST_CASE("passes: unequal legs, corners and edges") {
  const auto unequal = plan_passes(fillet(6, 4), flat);
  REQUIRE(unequal.size() == 1);
  CHECK(unequal[0].width_mm == doctest::Approx(std::hypot(6, 4)));
  CHECK(unequal[0].height_mm == doctest::Approx(24 / std::hypot(6, 4)));
  const auto corner = plan_passes({.type = J::corner, .thickness_mm = 4}, flat);
  REQUIRE(corner.size() == 1);
  CHECK(corner[0].needed_mm2 == doctest::Approx(8));
  const auto edge = plan_passes({.type = J::edge, .thickness_mm = 3, .overlay_height_mm = 1.5}, flat);
  REQUIRE(edge.size() == 1);
  CHECK(edge[0].width_mm == doctest::Approx(3));
}

TEST_CASE("passes: random grooves and rules never break the sum") {
  std::mt19937 random(20260101);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / static_cast<double>(std::mt19937::max());
  };
  for (int i = 0; i < 20000; ++i) {
    PassRules rules = flat;
    rules.root_thickness_max_mm = between(3, 14);
    rules.layer_thickness_max_mm = between(3, 8);
    rules.layer_split_width_mm = between(8, 30);
    rules.deposit_max_mm2 = between(10, 90);
    rules.root_layer_mm = between(2, 4);
    rules.fill_layer_mm = between(2, 5);
    const auto p = static_cast<P>(random() % 7);
    SectionInput in = butt(p, between(0.5, 80), between(0, 6), between(0, 3), between(0, 89), between(0, 8));
    in.sides = 1 + static_cast<int>(random() % 2);
    const std::vector<PassPlan> plan = plan_passes(in, rules);
    REQUIRE(!plan.empty());
    CHECK(needed(plan) == doctest::Approx(section_area_mm2(in)));
    for (const PassPlan& pass : plan) {
      CHECK(std::isfinite(pass.nominal_mm2));
      CHECK(pass.width_mm > 0);
      CHECK(pass.height_mm > 0);
    }
  }
}
