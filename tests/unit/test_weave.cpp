// Weaving: the swung arc against a Gaussian source stretched across the joint, integrated here by itself; what a weave
// does to a plan; and the weaves that are refused.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "seamwright/explain.hpp"
#include "seamwright/pool.hpp"
#include "unit/reported_plan.hpp"
#include "window/operating_point.hpp"

using namespace seamwright;

namespace {

// Melted width, mm, of a source with the radius `along` in the direction of travel and `across` it, in a thick plate:
// the integral of Eagar and Tsai with one radius for each direction.
double stretched_width_mm(const PoolInput& in, double along_mm, double across_mm) {
  const double a = in.conductivity_W_per_mmK / in.heat_capacity_J_per_mm3K;
  const auto hottest = [&](double y) {
    double most = 0;
    for (double x = -40; x < 5; x += 0.25) {
      double sum = 0;
      constexpr double du = 0.02;
      for (double u = du / 2; u < 14; u += du) {  // u: root of the time
        const double t = u * u, fx = 2 * a * t + along_mm * along_mm, fy = 2 * a * t + across_mm * across_mm;
        const double ahead = x + in.travel_mm_per_s * t;
        sum += std::exp(-ahead * ahead / (2 * fx) - y * y / (2 * fy)) / std::sqrt(fx * fy) * 2 * du;
      }
      most = std::max(most, sum);
    }
    return in.net_power_W * most /
           (std::numbers::pi * in.heat_capacity_J_per_mm3K * std::sqrt(4 * std::numbers::pi * a));
  };
  double inside = 0, outside = 30;
  for (int i = 0; i < 20; ++i) {
    const double y = 0.5 * (inside + outside);
    (hottest(y) >= in.rise_to_melting_K ? inside : outside) = y;
  }
  return 2 * inside;
}

const Keys vertical{{"joint.type", "fillet"}, {"joint.thickness", "12"},  {"joint.throat", "5"},
                    {"joint.position", "PF"}, {"material.alloy", "S355"}, {"wire.diameter", "1.2"},
                    {"process.mode", "pulse"}};

std::string error_of(const Keys& keys) {
  const auto joint = read_joint("", keys, builtin_catalog());
  if (!joint) return joint.errors().front().message;
  const auto plan = make_plan(*joint, nullptr, builtin_catalog(), {});
  return plan ? std::string() : plan.errors().front().message;
}

}  // namespace

TEST_CASE("variance of a swung arc: a twelfth of the width's square under way, a quarter at the sides") {
  CHECK(weave_variance_mm2(6, 20, 0) == doctest::Approx(3));
  CHECK(weave_variance_mm2(6, 20, 1e6) == doctest::Approx(9).epsilon(1e-5));
  CHECK(weave_variance_mm2(6, 20, 0.3) == doctest::Approx(6));  // half the time at the sides
}

TEST_CASE("a round source of the same area, widened, melts as wide as the stretched one") {
  PassContext c;
  c.weave.width_exponent = builtin_catalog().limits->weave_width_exponent.value;
  ConstantValues x{};
  x[static_cast<std::size_t>(K::width)] = 1;
  for (const double radius : {1.5, 2.0})
    for (const double weave : {4.0, 8.0, 12.0})
      for (const double power : {2000.0, 3500.0}) {
        x[static_cast<std::size_t>(K::source_radius)] = radius;
        c.weave.variance_mm2 = weave_variance_mm2(weave, 20, 0.3);
        const double across = std::sqrt(radius * radius + c.weave.variance_mm2);
        PoolInput in{power, 3, std::sqrt(radius * across), 60, 0.03, 0.0052, 1480};
        const double mine = width_over_field(c, x, 0) * pool_by_integral(in).width_mm;
        CAPTURE(radius);
        CAPTURE(weave);
        CAPTURE(power);
        CHECK(mine == doctest::Approx(stretched_width_mm(in, radius, across)).epsilon(0.1));
      }
}

TEST_CASE("at one setting a wider weave melts wider and less deep") {
  const Plan plan = plan_of("", with(vertical, {{"process.weave_width", "3"}}));
  PassContext c = plan.contexts.front();
  const ConstantValues x = nominal_values(c.constants);
  const Setting s = plan.passes.front().window.band.best;
  const FieldValues narrow = evaluate(c, x, s);
  c.plate.least_radius_mm = 0;  // the leg already spreads the heat of a fillet
  c.weave.variance_mm2 = weave_variance_mm2(3, c.weave.crossing_mm_per_s, c.weave.dwell_s);
  const FieldValues three = evaluate(c, x, s);
  c.weave.variance_mm2 = weave_variance_mm2(6, c.weave.crossing_mm_per_s, c.weave.dwell_s);
  const FieldValues six = evaluate(c, x, s);
  CHECK(six[F::bead_width] > 1.02 * three[F::bead_width]);
  CHECK(six[F::penetration] < 0.98 * three[F::penetration]);
  CHECK(narrow[F::weave_advance] ==
        doctest::Approx(2 * narrow[F::travel] * (3 / c.weave.crossing_mm_per_s + c.weave.dwell_s)));
}

TEST_CASE("vertical up a hand's weave is told and changes nothing; elsewhere, carried or in aluminium none is") {
  const Plan told = plan_of("", vertical);
  const PassResult& pass = told.passes.front();
  REQUIRE(pass[F::weave_width].present);
  CHECK(pass[F::weave_width].value < pass[F::deposit_width].value);
  CHECK(pass[F::weave_advance].value <= 3.5 + 1e-9);
  CHECK(told.contexts.front().weave.variance_mm2 == 0);
  for (const Keys& keys : {with(vertical, {{"joint.position", "PB"}}), with(vertical, {{"process.mechanised", "true"}}),
                           with(vertical, {{"material.alloy", "5083"}})})
    CHECK_FALSE(plan_of("", keys).passes.front()[F::weave_width].present);
}

TEST_CASE("a weave holds the travel back: the arc must not get on too far while the torch swings") {
  const Plan plan = plan_of("", with(vertical, {{"process.weave_width", "6"}, {"process.weave_dwell", "0.5"}}));
  const double last = std::exp(plan.contexts.front().ends[static_cast<std::size_t>(C::weave_advance)].last);
  REQUIRE(plan.feasible);
  CHECK(plan.passes.front()[F::weave_advance].value <=
        last * builtin_catalog().limits->weave_advance_max_mm.value * (1 + 1e-6));
}

TEST_CASE("weaves that no bead can be are refused, with the limit's source or the pass") {
  CHECK(
      error_of(with(vertical, {{"process.weave_width", "26"}})).find("wider bead than one pass may be in PF: 25 mm") !=
      std::string::npos);
  CHECK(error_of(with(vertical, {{"process.weave_width", "15"}})).find("that pass 1 (single) has to cover") !=
        std::string::npos);
  CHECK(error_of(with(vertical, {{"process.weave_dwell", "0.3"}})).find("no weave is given") != std::string::npos);
  CHECK(error_of(with(vertical, {{"process.weave_width", "5"}})).empty());
}

TEST_CASE("a weave that is given is explained as given, with its key") {
  const Plan plan = plan_of("", with(vertical, {{"process.weave_width", "6"}, {"process.weave_dwell", "0.4"}}));
  for (const auto& given :
       {std::pair(F::weave_width, "process.weave_width"), std::pair(F::weave_dwell, "process.weave_dwell")}) {
    const std::string_view key = given.second;
    const auto explanation = PassExplainer(plan, 0).explain(given.first);
    REQUIRE(explanation.has_value());
    CHECK(explanation->relation.text == "as given");
    CHECK(std::ranges::any_of(explanation->inputs, [&](const ExplainedInput& in) { return in.key == key; }));
  }
}
