#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "reference/classic_cooling.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/cooling.hpp"
#include "seamwright/heat_rules.hpp"

using namespace seamwright;
using doctest::Approx;

namespace {

const Catalog& catalog = builtin_catalog();
const CoolingLimits limits = cooling_limits(catalog);
CoolingInput pass(double Q, double T0, double d, CoolingFactors factors = {}) { return {Q, T0, d, factors}; }
}  // namespace

TEST_CASE("t8/5: the larger form governs, and both agree at the transition thickness") {
  const double d = transition_thickness_mm(1.3, 60);
  CHECK(cooling_time_8_5_thick_s(1.3, 60, 1) == Approx(cooling_time_8_5_thin_s(1.3, 60, d, 1)).epsilon(1e-12));
  CHECK(cooling_time_8_5(pass(1.3, 60, 0.99 * d), limits)->flow == HeatFlow::two_dimensional);
  CHECK(cooling_time_8_5(pass(1.3, 60, 1.01 * d), limits)->flow == HeatFlow::three_dimensional);
  CHECK(cooling_time_8_5(pass(1.3, 60, 0.99 * d), limits)->transition_thickness_mm == Approx(d));
}

TEST_CASE("t8/5: the range of F2 orders low, value and high, and leaves thick plate alone") {
  const auto thin = *cooling_time_8_5(pass(0.8, 20, 6, cooling_factors(catalog, CoolingJoint::tee)), limits);
  CHECK(thin.low_s < thin.value_s);
  CHECK(thin.value_s < thin.high_s);
  CHECK(thin.high_s / thin.low_s == Approx(0.67 / 0.45));
  const auto thick = *cooling_time_8_5(pass(0.8, 20, 60, cooling_factors(catalog, CoolingJoint::tee)), limits);
  CHECK(thick.low_s == thick.high_s);
}

TEST_CASE("t8/5: refused outside the range of the formulas") {
  const auto hot = cooling_time_8_5(pass(1, 251, 10), limits);
  REQUIRE_FALSE(hot);
  CHECK(hot.refusal().reason == RefusalReason::outside);
  CHECK(hot.refusal().quantity == "preheat, degC");
  CHECK(hot.refusal().range.high == 250);
  CHECK_FALSE(cooling_time_8_5(pass(1, -60, 10), limits));
  CHECK_FALSE(cooling_time_8_5(pass(0, 20, 10), limits));
  CHECK_FALSE(cooling_time_8_5(pass(1, 20, 0), limits));
  CHECK_FALSE(cooling_time_8_5(pass(std::nan(""), 20, 10), limits));
  CHECK_FALSE(cooling_time_8_5(pass(1, 20, std::numeric_limits<double>::infinity()), limits));
}

TEST_CASE("heat input for a t8/5 range: both ends give back the range") {
  for (const double d : {4.0, 9.0, 15.0, 40.0}) {
    const CoolingInput in = pass(0, 80, d, cooling_factors(catalog, CoolingJoint::butt));
    const auto band = heat_input_for_cooling_time(in, {8, 20}, limits);
    REQUIRE(band);
    CHECK(cooling_time_8_5(pass(band->low, 80, d, cooling_factors(catalog, CoolingJoint::butt)), limits)->low_s ==
          Approx(8));
    CHECK(cooling_time_8_5(pass(band->high, 80, d, cooling_factors(catalog, CoolingJoint::butt)), limits)->high_s ==
          Approx(20));
  }
  // On thin plate in a T joint F2 alone spreads t8/5 by 1.49.
  const auto narrow =
      heat_input_for_cooling_time(pass(0, 20, 6, cooling_factors(catalog, CoolingJoint::tee)), {10, 14}, limits);
  REQUIRE_FALSE(narrow);
  CHECK(narrow.refusal().reason == RefusalReason::no_solution);
  CHECK_FALSE(heat_input_for_cooling_time(pass(0, 20, 6), {20, 10}, limits));
  CHECK_FALSE(heat_input_for_cooling_time(pass(0, 300, 6), {10, 20}, limits));
}

TEST_CASE("preheat for a t8/5 range: ends give back the range, or stand at the limit") {
  const auto band = preheat_for_cooling_time(pass(1.2, 0, 25), {7, 12}, limits);
  REQUIRE(band);
  CHECK(cooling_time_8_5(pass(1.2, band->low, 25), limits)->value_s == Approx(7).epsilon(1e-9));
  CHECK(cooling_time_8_5(pass(1.2, band->high, 25), limits)->value_s == Approx(12).epsilon(1e-9));
  const auto open = preheat_for_cooling_time(pass(1.2, 0, 25), {0.1, 1000}, limits);
  REQUIRE(open);
  CHECK(open->low == limits.preheat_C.low);
  CHECK(open->high == limits.preheat_C.high);
  const auto never = preheat_for_cooling_time(pass(0.3, 0, 40), {60, 90}, limits);
  REQUIRE_FALSE(never);
  CHECK(never.refusal().reason == RefusalReason::no_solution);
  CHECK(never.refusal().range.high < 60);
  CHECK_FALSE(preheat_for_cooling_time(pass(3, 0, 5), {1, 2}, limits));
}

TEST_CASE("Adams: distance and peak temperature are inverse, and the fusion line is at the melting point") {
  const PlateHeat plate{720, 0.028, 0.0044, 25};
  CHECK(peak_temperature_C(plate, 5, 1510, 0) == Approx(1510));
  const double Y = distance_of_peak_mm(plate, 5, 1510, 730);
  CHECK(peak_temperature_C(plate, 5, 1510, Y) == Approx(730));
}

TEST_CASE("cooling rates are the slope of the cooling times") {
  const PlateHeat plate{800, 0.040, 0.0045, 20};
  CHECK(thick_plate_cooling_rate_K_per_s(plate, 600) ==
        Approx(0.02 / thick_plate_cooling_time_s(plate, 600.01, 599.99)).epsilon(1e-6));
  CHECK(thin_plate_cooling_rate_K_per_s(plate, 4, 600) ==
        Approx(0.02 / thin_plate_cooling_time_s(plate, 4, 600.01, 599.99)).epsilon(1e-6));
  const double d = equal_time_thickness_mm(plate, 800, 500);
  CHECK(thick_plate_cooling_time_s(plate, 800, 500) == Approx(thin_plate_cooling_time_s(plate, d, 800, 500)));
}

TEST_CASE("t8/5 by the conduction field: thin-plate form in sheet, shorter than the larger form near the transition") {
  const PlateHeat plate{800, 0.040, 0.0045, 20};
  const auto field = [&](double d) {
    return cooling_time_8_5_by_field_s({.net_power_W = 4000,
                                        .travel_mm_per_s = 5,
                                        .source_radius_mm = 1,
                                        .thickness_mm = d,
                                        .conductivity_W_per_mmK = 0.040,
                                        .heat_capacity_J_per_mm3K = 0.0045,
                                        .rise_to_melting_K = 1480},
                                       20);
  };
  CHECK(field(3) == Approx(thin_plate_cooling_time_s(plate, 3, 800, 500)).epsilon(0.003));
  const double larger =
      std::max(thin_plate_cooling_time_s(plate, 12, 800, 500), thick_plate_cooling_time_s(plate, 800, 500));
  CHECK(larger / field(12) == Approx(1.22).epsilon(0.01));
}

// What cooling.hpp states of the larger of the two forms, against the sum of image sources.
TEST_CASE("t8/5: the larger form is a quarter too long at most, near the transition thickness alone") {
  constexpr double k = 0.040, rho_c = 0.0045;
  double greatest = 0;
  for (const double travel : {5.0, 15.0})
    for (const double net_J_per_mm : {300.0, 800.0, 2000.0})
      for (const double preheat : {20.0, 200.0}) {
        const PlateHeat plate{net_J_per_mm, k, rho_c, preheat};
        const double transition = equal_time_thickness_mm(plate, 800, 500);
        for (double share = 0.05; share < 4; share += 0.01) {
          const double d = share * transition;
          const double field = cooling_time_8_5_by_field_s({.net_power_W = net_J_per_mm * travel,
                                                            .travel_mm_per_s = travel,
                                                            .source_radius_mm = 1,
                                                            .thickness_mm = d,
                                                            .conductivity_W_per_mmK = k,
                                                            .heat_capacity_J_per_mm3K = rho_c,
                                                            .rise_to_melting_K = 1480},
                                                           preheat);
          const double larger =
              std::max(thin_plate_cooling_time_s(plate, d, 800, 500), thick_plate_cooling_time_s(plate, 800, 500));
          const double error = larger / field - 1;
          CAPTURE(share);
          CHECK(error < 0.255);
          if (share < 0.52 || share > 1.07) CHECK(std::abs(error) < 0.05);
          if (share < 0.40 || share > 1.50) CHECK(std::abs(error) < 0.004);
          greatest = std::max(greatest, error);
        }
      }
  CHECK(greatest > 0.245);
}
