#include <doctest/doctest.h>

#include <cmath>

#include "reference/formulas.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/stainless.hpp"

using namespace seamwright;
using doctest::Approx;

namespace {

const Catalog& catalog = builtin_catalog();

Composition duplex_2209() {  // a deposit of the 22 9 3 N L type
  Composition out;
  out[Element::C] = 0.02;
  out[Element::Cr] = 23;
  out[Element::Ni] = 8.7;
  out[Element::Mo] = 3.1;
  out[Element::N] = 0.16;
  return out;
}

Composition base_2205() {
  Composition out;
  out[Element::C] = 0.02;
  out[Element::Cr] = 22;
  out[Element::Ni] = 5.7;
  out[Element::Mo] = 3.1;
  out[Element::N] = 0.17;
  return out;
}

DuplexWeld good_weld() {
  return {.base = base_2205(),
          .weld_metal = duplex_2209(),
          .heat_input_kJ_per_mm = 1.2,
          .preheat_C = 20,
          .interpass_C = 100,
          .root_heat_input_kJ_per_mm = 0};
}

std::vector<DuplexFinding> findings(const DuplexWeld& weld) {
  return duplex_findings(weld, duplex_limits(catalog, *find_alloy(catalog, "2205")), ferrite_duplex_limits(catalog));
}

}  // namespace

TEST_CASE("duplex ferrite number: only inside its box") {
  const auto limits = ferrite_duplex_limits(catalog);
  CHECK(ferrite_number_duplex({27, 13.5}, limits));
  CHECK(ferrite_number_duplex({22.9, 11}, limits).refusal().quantity == "Creq, %");
  CHECK(ferrite_number_duplex({30.1, 15}, limits).refusal().quantity == "Creq, %");
  CHECK(ferrite_number_duplex({25, 10.7}, limits).refusal().quantity == "Nieq, %");
  CHECK(ferrite_number_duplex({29, 16.6}, limits).refusal().quantity == "Nieq, %");
  CHECK(ferrite_number_duplex({29, 11}, limits).refusal().quantity == "FN");       // off the fitted points: FN above 58
  CHECK(ferrite_number_duplex({20, 10}, limits).refusal().quantity == "Creq, %");  // a 308L deposit
  CHECK_FALSE(ferrite_number_duplex({std::nan(""), 13}, limits));
}

// The plane against the 18 pairs it was put through (published/stainless.csv has them) and at points worked out by
// hand.
TEST_CASE("duplex ferrite number: carried on by a plane outside its box, as far as the diagram") {
  const auto limits = ferrite_duplex_limits(catalog);
  const auto inside = ferrite_estimate_duplex({27, 13.5}, limits);
  REQUIRE(inside);
  CHECK_FALSE(inside->extrapolated);
  CHECK(inside->number == *ferrite_number_duplex({27, 13.5}, limits));
  // 2205 plate alone: Creq 25.6, Nieq 9.8: -81.4 + 280.832 - 121.618
  const auto plate = ferrite_estimate_duplex({25.6, 9.8}, limits);
  REQUIRE(plate);
  CHECK(plate->extrapolated);
  CHECK(plate->number == Approx(77.814).epsilon(1e-4));
  CHECK_FALSE(ferrite_estimate_duplex({16, 10}, limits));  // off the diagram
  CHECK_FALSE(ferrite_estimate_duplex({25, 19}, limits));
  CHECK(ferrite_estimate_duplex({30, 9}, limits).refusal().quantity == "FN");  // above 100
  CHECK_FALSE(ferrite_estimate_duplex({std::nan(""), 13}, limits));
  // Over the whole box, its corners without points included, the two differ by no more than 7 FN.
  for (double Cr = 23; Cr <= 30; Cr += 0.1)
    for (double Ni = 10.8; Ni <= 16.5; Ni += 0.1)
      if (const auto fitted = ferrite_number_duplex({Cr, Ni}, limits))
        CHECK(std::abs(*fitted - (-81.4 + 10.97 * Cr - 12.41 * Ni)) < 7);
}

TEST_CASE("austenitic ferrite number: only inside its box") {
  const auto limits = ferrite_austenitic_limits(catalog);
  CHECK(ferrite_number_austenitic({20, 12}, limits));
  CHECK(ferrite_number_austenitic({16, 15}, limits).refusal().quantity == "Creq/Nieq");
  CHECK(ferrite_number_austenitic({24, 11.5}, limits).refusal().quantity == "Creq/Nieq");
  CHECK(ferrite_number_austenitic({17, 11}, limits).refusal().quantity == "Creq + Nieq, %");
  CHECK(ferrite_number_austenitic({26, 15}, limits).refusal().quantity == "Creq + Nieq, %");
  CHECK_FALSE(ferrite_number_austenitic({20, 0}, limits));
}

TEST_CASE("solidification turns at the ratio") {
  CHECK(solidification({20, 13}, 1.4) == Solidification::ferrite_first);
  CHECK(solidification({18, 14}, 1.4) == Solidification::austenite_first);
}

TEST_CASE("mixing: ends, and equal shares of two bases") {
  const Composition filler = duplex_2209(), base = base_2205();
  CHECK(mix(filler, base, 0, base, 0)[Element::Ni] == filler[Element::Ni]);
  CHECK(mix(filler, base, 1, filler, 0)[Element::Ni] == base[Element::Ni]);
  const Composition split = mix(filler, base, 0.15, filler, 0.15);
  CHECK(split[Element::Ni] == Approx(0.15 * 5.7 + 0.85 * 8.7));
}

TEST_CASE("a sound duplex weld has nothing against it") { CHECK(findings(good_weld()).empty()); }

TEST_CASE("each departure of a duplex weld is found, and only it") {
  const auto only = [](auto change, DuplexFinding expected) {
    DuplexWeld weld = good_weld();
    change(weld);
    CHECK(findings(weld) == std::vector{expected});
  };
  only([](DuplexWeld& w) { w.heat_input_kJ_per_mm = 0.4; }, DuplexFinding::heat_input_low);
  only([](DuplexWeld& w) { w.heat_input_kJ_per_mm = 2.6; }, DuplexFinding::heat_input_high);
  only([](DuplexWeld& w) { w.root_heat_input_kJ_per_mm = 1.3; }, DuplexFinding::second_run_hot);
  only([](DuplexWeld& w) { w.interpass_C = 160; }, DuplexFinding::interpass_high);
  only([](DuplexWeld& w) { w.preheat_C = 120; }, DuplexFinding::preheated);
  only([](DuplexWeld& w) { w.weld_metal[Element::Ni] = 4; }, DuplexFinding::ferrite_unknown);
  only([](DuplexWeld& w) { w.weld_metal[Element::Mo] = 2.5; }, DuplexFinding::weld_pitting_low);
  only([](DuplexWeld& w) { w.base[Element::N] = 0.10; }, DuplexFinding::base_nitrogen_low);
  DuplexLimits strict = duplex_limits(catalog, *find_alloy(catalog, "2205"));
  strict.ferrite_number = {50, 55};
  CHECK(duplex_findings(good_weld(), strict, ferrite_duplex_limits(catalog)) ==
        std::vector{DuplexFinding::ferrite_low});
  strict.ferrite_number = {30, 35};
  CHECK(duplex_findings(good_weld(), strict, ferrite_duplex_limits(catalog)) ==
        std::vector{DuplexFinding::ferrite_high});
}

TEST_CASE("super duplex is held to its own limits") {
  DuplexWeld weld = good_weld();
  weld.heat_input_kJ_per_mm = 1.8;
  const auto found =
      duplex_findings(weld, duplex_limits(catalog, *find_alloy(catalog, "2507")), ferrite_duplex_limits(catalog));
  CHECK(found ==
        std::vector{DuplexFinding::heat_input_high, DuplexFinding::weld_pitting_low, DuplexFinding::base_nitrogen_low});
}

TEST_CASE("Rockwell and Vickers: inverse inside the scale, refused outside") {
  CHECK(*duplex_HV(*duplex_HRC(300, heat_range(catalog, "duplex-rockwell")), heat_range(catalog, "duplex-rockwell")) ==
        Approx(300));
  CHECK_FALSE(duplex_HRC(230, heat_range(catalog, "duplex-rockwell")));
  CHECK_FALSE(duplex_HRC(500, heat_range(catalog, "duplex-rockwell")));
  CHECK_FALSE(duplex_HV(15, heat_range(catalog, "duplex-rockwell")));
}
