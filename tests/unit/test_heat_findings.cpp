// Which findings and numbers a heat report has for which joint: lists of cases.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "seamwright/heat_rules.hpp"
#include "unit/reported_plan.hpp"

using namespace seamwright;

namespace {

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
    const auto& this_hydrogen = hydrogen;
    CAPTURE(this_hydrogen);
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

TEST_CASE("steel: what is said of the plate, the table and the analysis") {
  const auto note = [](const Keys& keys, std::string_view key) { return item(plan_of("", keys), "preheat", key).note; };
  // Hot enough for the table, which begins at 1 kJ/mm.
  const auto tee = [](const char* type, const char* alloy, const char* thickness) {
    return Keys{{"joint.type", type},
                {"joint.thickness", thickness},
                {"joint.leg", "9"},
                {"joint.position", "PA"},
                {"material.alloy", alloy}};
  };
  // EN 1011-2: heat flows into three plates of a T or lap.
  CHECK(note(tee("fillet", "S355", "12"), "no_preheat_thickness").find("joint has 36 mm: no preheat by") !=
        std::string::npos);
  CHECK(note(tee("lap", "S355", "12"), "no_preheat_thickness").find("joint has 36 mm: no preheat by") !=
        std::string::npos);
  CHECK(note(tee("fillet", "S355", "60"), "no_preheat_thickness").find("joint has 180 mm: preheat by") !=
        std::string::npos);
  // The weld metal governs where the plate is the leaner by more than 0.03 % CET.
  const Keys lean = with(butt("S355", "15"), {{"material.composition", "{ C = 0.08, Mn = 0.6 }"}});
  CHECK(note(lean, "preheat_cet").find("(weld metal governs)") != std::string::npos);
  CHECK(note(butt("S355", "15"), "preheat_cet").find("(weld metal governs)") == std::string::npos);
  // Up to the grade's maximum an analysis is the grade's: 0.20 % C of S355J2 in EN 10025-2.
  CHECK_FALSE(warned(plan_of("", with(butt("S355J2", "12"), {{"material.composition", "{ C = 0.20 }"}})),
                     "analysis-above-grade"));
  CHECK(warned(plan_of("", with(butt("S355J2", "12"), {{"material.composition", "{ C = 0.205 }"}})),
               "analysis-above-grade"));
  // With an analysis nobody needs the grade's worst.
  const Keys grade = tee("fillet", "S355J2", "12");
  CHECK(count(plan_of("", grade), "preheat", "no_preheat_thickness_maximum") == 1);
  CHECK(count(plan_of("", with(grade, {{"material.composition", "{ C = 0.15 }"}})), "preheat",
              "no_preheat_thickness_maximum") == 0);
}

TEST_CASE("steel: the pass of the minimum heat input is the one that preheat is asked for") {
  const Plan plan = plan_of("cradle-beam");
  int coldest = 1;
  double least = 1e9;
  for (const PassResult& pass : plan.passes)
    if (pass[F::heat_input].value < least * (1 - 1e-9)) {
      least = pass[F::heat_input].value;
      coldest = pass.pass.number;
    }
  CHECK(item(plan, "preheat", "preheat_cet").note.find("(pass " + std::to_string(coldest) + ")") != std::string::npos);
}

TEST_CASE("steel: t8/5 at the interpass limit is longer, and left out where nothing gets hotter") {
  const Plan plan = plan_of("", butt("S355", "12"));
  CHECK(item(plan, "cooling", "t8_5_interpass", 1).value > item(plan, "cooling", "t8_5", 1).value);
  const Keys even{{"material.preheat", "150"}, {"material.interpass", "150"}};
  CHECK(count(plan_of("", with(butt("S355", "12"), even)), "cooling", "t8_5_interpass") == 0);
  for (const char* thickness : {"4", "8", "12", "25"}) {
    CAPTURE(thickness);
    const Plan any = plan_of("", butt("S355", thickness));
    for (const HeatItem& i : section(any, "cooling")->items)
      if (i.key == "t8_5_field") CHECK(std::abs(i.value / item(any, "cooling", "t8_5", i.pass).value - 1) > 0.05);
  }
}

TEST_CASE("steel beside steel: the richer one hardens, in either order, and the thicker plate cools") {
  for (const auto& [first, second] : {std::pair{"S235", "S355"}, std::pair{"S355", "S235"}}) {
    const Plan plan = plan_of("", with(butt(first, "12"), {{"material.alloy2", second}}));
    CHECK(item(plan, "carbon_equivalents", "cet").note.starts_with("S355"));
  }
  const Keys fillet{{"joint.type", "fillet"}, {"joint.thickness", "6"}, {"joint.leg", "5"}, {"material.alloy", "S355"}};
  const Plan plan = plan_of("", with(fillet, {{"joint.thickness2", "15"}}));
  CHECK(item(plan, "preheat", "preheat_cet").note.find(", 15 mm,") != std::string::npos);
}

TEST_CASE("stainless: findings by composition, passes and gas") {
  const Plan one = plan_of("", butt("316L", "2")), many = plan_of("", butt("316L", "12"));
  REQUIRE(one.passes.size() == 1);
  REQUIRE(many.passes.size() > 1);
  CHECK_FALSE(found(one, "stainless", "dilution-of-fill"));
  CHECK(found(many, "stainless", "dilution-of-fill"));
  CHECK_FALSE(found(many, "stainless", "austenite-first"));
  CHECK_FALSE(found(many, "stainless", "ferrite-low"));
  const HeatItem& ratio = item(many, "stainless", "solidification", 1);
  CHECK(ratio.value == doctest::Approx(item(many, "stainless", "chromium_equivalent", 1).value /
                                       item(many, "stainless", "nickel_equivalent", 1).value));
  CHECK(ratio.value > 1.4);
  const Plan rich = plan_of("", with(butt("316L", "2"), {{"material.composition", "{ Cr = 16, Ni = 15, N = 0.1 }"}}));
  CHECK(found(rich, "stainless", "austenite-first"));
  CHECK(item(many, "stainless", "weld_metal", 1).note.find("Ti") == std::string::npos);  // there is none

  const auto gas = [](const char* designation) {
    return item(plan_of("", with(butt("2205", "8"), {{"gas.designation", designation}})), "stainless", "gas_nitrogen")
        .note;
  };
  CHECK(gas("N2-ArN-2").find("makes up for") == 0);  // 1 to 3 % are wanted
  CHECK(gas("M12-ArC-2.5").find("none or little") == 0);
  CHECK(count(plan_of("", butt("2205", "8")), "stainless", "backing_gas") == 1);
  CHECK(count(plan_of("", with(butt("2205", "8"), {{"joint.backing", "permanent"}})), "stainless", "backing_gas") == 0);
  // Duplex has a finding of its own for a hot interpass.
  const Plan hot = plan_of("", with(butt("2205", "8"), {{"material.interpass", "180"}}));
  CHECK(found(hot, "stainless", "duplex-interpass"));
  CHECK_FALSE(found(hot, "stainless", "interpass-high"));
}

TEST_CASE("duplex: in thick plate preheat slows the cooling from 1200 to 800 degC as Rosenthal's point source has it") {
  // t = q / (2 pi k) (1 / (800 - T0) - 1 / (1200 - T0)), q the heat a length that the weld keeps
  const auto over_heat = [](const char* preheat) {
    const Plan plan = plan_of("", with(butt("2205", "40"), {{"material.preheat", preheat}}));
    return item(plan, "stainless", "cooling_1200_800", 1).value / plan.passes.front()[F::arc_energy].value;
  };
  const auto by_hand = [](double T0) { return 1 / (800 - T0) - 1 / (1200 - T0); };
  CHECK(over_heat("90") / over_heat("20") == doctest::Approx(by_hand(90) / by_hand(20)).epsilon(0.01));
}

TEST_CASE("duplex: the run over the root is held against the root") {
  // So slow a travel leaves the second run too much heat.
  const Plan plan = plan_of("", with(butt("2205", "12"), {{"process.travel", "2.6"}}));
  REQUIRE(plan.passes.size() > 2);
  const double root = plan.passes[0][F::heat_input].value, second = plan.passes[1][F::heat_input].value;
  REQUIRE(second > 0.75 * root);
  REQUIRE(found(plan, "stainless", "duplex-second-run"));
  for (const HeatFinding& f : section(plan, "stainless")->findings)
    if (f.id == "duplex-second-run")
      CHECK(f.text.find("(" + std::to_string(static_cast<int>(std::lround(100 * second / root))) +
                        " % of the root's") != std::string::npos);
}

// In thinner plate the run over the root is the cap, which has what is left of the groove to fill.
TEST_CASE("duplex left open: with three layers or more the run over the root keeps to three quarters of its heat") {
  for (const char* alloy : {"2205", "2507"})
    for (const char* thickness : {"8", "10", "12", "15", "20", "30"}) {
      const Plan plan = plan_of("", butt(alloy, thickness));
      CAPTURE(thickness);
      REQUIRE(plan.feasible);
      CHECK(plan.passes[1][F::heat_input].value <= 0.75 * plan.passes[0][F::heat_input].value);
    }
}

TEST_CASE("shrinkage: the formulas by hand on the joint's own sizes") {
  const Plan groove = plan_of("", butt("S355", "12"));
  double section_mm2 = 0;
  for (const PassResult& pass : groove.passes) section_mm2 += pass[F::deposit_area].value;
  // Spraragen and Ettinger 1950: 0.2 A/t + 0.05 gap
  CHECK(item(groove, "shrinkage", "shrinkage_transverse").value ==
        doctest::Approx(0.2 * section_mm2 / 12 + 0.05 * groove.resolved.section.gap_mm).epsilon(1e-6));
  const auto edge = [](const char* type) {
    const Plan plan =
        plan_of("", {{"joint.type", type}, {"joint.thickness", "10"}, {"joint.leg", "5"}, {"material.alloy", "S355"}});
    return item(plan, "shrinkage", "shrinkage_transverse").value;
  };
  CHECK(edge("fillet") == doctest::Approx(1.02 * 5 / 10).epsilon(1e-6));
  CHECK(edge("lap") == doctest::Approx(1.52 * 5 / 10).epsilon(1e-6));
  // Free contraction: expansion over volume heat, 2.45e-3 mm3/J of steel and 8.9e-3 of aluminium; none known of
  // stainless.
  for (const auto& [alloy, expansion] : {std::pair{"S355", 2.45e-3}, std::pair{"5083", 8.9e-3}}) {
    const auto& this_alloy = alloy;
    CAPTURE(this_alloy);
    const Plan plan = plan_of("", butt(alloy, "8"));
    double most = 0;
    for (std::size_t i = 0; i < plan.passes.size(); ++i)
      most = std::max(most, plan.contexts[i].constants[static_cast<std::size_t>(K::arc_efficiency)].value * 1e3 *
                                plan.passes[i][F::arc_energy].value);
    CHECK(item(plan, "shrinkage", "contraction").value == doctest::Approx(expansion * most / 8).epsilon(1e-6));
  }
  CHECK(count(plan_of("", butt("316L", "8")), "shrinkage", "contraction") == 0);
}

TEST_CASE("between passes: the flange of a T takes heat to both sides, and more heat is hotter") {
  const auto reached = [](const char* web, const char* flange) {
    const Plan plan = plan_of("", {{"joint.type", "fillet"},
                                   {"joint.thickness", web},
                                   {"joint.thickness2", flange},
                                   {"joint.leg", "14"},
                                   {"material.alloy", "S355"},
                                   {"process.mode", "spray"},
                                   {"process.wire_feed", "9"},
                                   {"process.travel", "5"}});
    const HeatItem first = item(plan, "between_passes", "interpass_reached", 1);
    CHECK(first.low < first.value);
    CHECK(first.value < first.high);
    return first.value;
  };
  CHECK(reached("12", "25") < reached("25", "12"));
}

TEST_CASE("aluminium: temperatures, hardened alloys and what speaks for a filler") {
  const auto plan = [](const char* alloy, const Keys& more) { return plan_of("", with(butt(alloy, "10"), more)); };
  // EN 1011-4: preheat up to 120 degC, interpass up to 100 degC for Al-Mg-Si
  CHECK_FALSE(warned(plan("6082", {{"material.preheat", "100"}}), "preheat-high"));
  CHECK(warned(plan("6082", {{"material.preheat", "125"}, {"material.interpass", "130"}}), "preheat-high"));
  CHECK_FALSE(warned(plan("6082", {{"material.interpass", "100"}}), "interpass-high"));
  CHECK(warned(plan("6082", {{"material.interpass", "105"}}), "interpass-high"));
  CHECK(found(plan("6082", {}), "aluminium", "softening"));
  CHECK_FALSE(found(plan("5083", {}), "aluminium", "softening"));
  // 5086 in one pass never sees its interpass temperature.
  const Keys warm{{"material.interpass", "90"}};
  const Plan thin = plan_of("", with(butt("5086", "3"), warm)), thick = plan_of("", with(butt("5086", "12"), warm));
  REQUIRE(thin.passes.size() == 1);
  REQUIRE(thick.passes.size() > 1);
  CHECK_FALSE(found(thin, "aluminium", "interpass-stress-corrosion"));
  CHECK(found(thick, "aluminium", "interpass-stress-corrosion"));
  // 4043 has no magnesium that warm service could harm; 5356 has 5 %.
  const Plan fillers = plan("6082", {});
  CHECK(item(fillers, "aluminium", "filler_4043").note.find("service above 65 degC") != std::string::npos);
  CHECK(item(fillers, "aluminium", "filler_5356").note.find("service above 65 degC") == std::string::npos);
  CHECK(found(plan("6082", {{"wire.designation", "4047"}}), "aluminium", "filler-not-listed") ==
        (count(fillers, "aluminium", "filler_4047") == 0));
  CHECK_FALSE(found(fillers, "aluminium", "filler-not-listed"));
  // Lever rule on the magnesium of 5356 (5.0 %) and 6082.
  const Plan lever = plan("6082", {{"wire.designation", "5356"}, {"material.composition", "{ Mg = 0.9 }"}});
  const double dilution = 0.01 * lever.passes.front()[F::dilution].value;
  CHECK(item(lever, "aluminium", "weld_magnesium", 1).value ==
        doctest::Approx(5.0 + dilution * (0.9 - 5.0)).epsilon(1e-3));
}

TEST_CASE("overlay: layers by the lever rule, and a finding only above the usual dilution") {
  const auto overlay = [](const char* wire, const char* step) {
    return plan_of("", {{"joint.type", "overlay"},
                        {"joint.thickness", "20"},
                        {"material.alloy", "P265GH"},
                        {"wire.designation", wire},
                        {"joint.step_over", step}});
  };
  for (const char* step : {"2", "4", "8"}) {
    const Plan plan = overlay("309L", step);
    const double dilution = item(plan, "overlay", "dilution_overlapped").value;
    CHECK(found(plan, "overlay", "overlay-dilution") ==
          (dilution > heat_range(builtin_catalog(), "overlay-dilution").high));
    // 24 % chromium in the wire, none in the plate
    CHECK(item(plan, "overlay", "chromium_first_layer").value == doctest::Approx(24 * (1 - 0.01 * dilution)));
  }
  const Plan nickel = overlay("ERNiCrMo-3", "4");
  double others = 0;
  for (const double percent : nickel.resolved.alloy->typical.percent) others += percent;
  const double dilution = 0.01 * item(nickel, "overlay", "dilution_overlapped").value;
  CHECK(item(nickel, "overlay", "iron_first_layer").value ==
        doctest::Approx(0.5 + dilution * (100 - others - 0.5)).epsilon(1e-6));
  // The same as quantities of the output, to the third layer.
  const PassResult& pass = nickel.passes.front();
  CHECK(pass[F::iron_layer_1].value == doctest::Approx(item(nickel, "overlay", "iron_first_layer").value));
  CHECK(pass[F::iron_layer_2].value == doctest::Approx(item(nickel, "overlay", "iron_second_layer").value));
  CHECK(pass[F::dilution_layer_2].value == doctest::Approx(100 * dilution * dilution));
  CHECK(pass[F::iron_layer_3].value < pass[F::iron_layer_2].value);
  CHECK_FALSE(overlay("G3Si1", "4").passes.front()[F::iron_layer_1].present);
}

TEST_CASE("hardness: high above the limit, near when only the scatter reaches over it") {
  bool high = false, near = false;
  for (const char* carbon : {"0.08", "0.10", "0.12", "0.13", "0.14", "0.16", "0.18"}) {
    CAPTURE(carbon);
    const Plan plan =
        plan_of("", with(butt("S355", "12"), {{"material.composition", std::string("{ C = ") + carbon + " }"}}));
    bool above = false, within = false;  // ISO 15614-1, group 1: 380 HV10
    for (const HeatItem& i : section(plan, "cooling")->items)
      if (i.key == "hardness") {
        above = above || i.value > 380;
        within = within || (i.value <= 380 && i.high > 380);
      }
    CHECK(found(plan, "cooling", "hardness-high") == above);
    CHECK(found(plan, "cooling", "hardness-near") == within);
    for (const HeatFinding& f : section(plan, "cooling")->findings)
      if (f.id == "hardness-near") CHECK(f.text.find("Later passes") == std::string::npos);
    high = high || above;
    near = near || within;
  }
  CHECK(high);
  CHECK(near);
}

TEST_CASE("steel: a plate as warm as asked for is not cold, and a preheat below the shop's is none") {
  const Plan plan = plan_of("", with(butt("S355", "40"), {{"material.composition", "{ C = 0.2 }"}}));
  const double least_C = item(plan, "preheat", "least_temperature").value;
  const auto cold = [&](double preheat_C) {
    return warned(plan_of("", with(butt("S355", "40"), {{"material.composition", "{ C = 0.2 }"},
                                                        {"material.preheat", std::to_string(preheat_C)}})),
                  "plate-cold");
  };
  CHECK_FALSE(cold(least_C));
  CHECK(cold(least_C - 1));
  const auto note = [](const char* analysis) {
    return item(plan_of("", with(butt("S355", "30"), {{"material.composition", analysis}})), "preheat", "preheat_cet");
  };
  const HeatItem none = note("{ C = 0.10, Mn = 1.0 }"), some = note("{ C = 0.2, Mn = 1.5 }");
  CHECK((none.value < 20) == none.note.starts_with("none needed"));
  CHECK(some.value > 20);
  CHECK_FALSE(some.note.starts_with("none needed"));
}

TEST_CASE("stainless: too little ferrite is a finding of austenitic filler, and only there") {
  bool low = false;
  for (const char* nickel : {"12", "15", "17", "18", "19", "20"}) {
    CAPTURE(nickel);
    const Plan plan = plan_of(
        "", with(butt("316L", "2"), {{"material.composition", std::string("{ Cr = 16, Ni = ") + nickel + " }"}}));
    const double FN = item(plan, "stainless", "ferrite_number", 1).value;
    const bool little = applies(FN) && FN < 3;  // 3 FN against hot cracking
    CHECK(found(plan, "stainless", "ferrite-low") == little);
    low = low || little;
    CHECK(item(plan, "stainless", "weld_metal", 1).note.find("W 0") == std::string::npos);  // what is not there
  }
  CHECK(low);
  // A nickel filler is austenite by nature.
  CHECK_FALSE(found(plan_of("", with(butt("316L", "4"), {{"wire.designation", "ERNiCrMo-3"}})), "stainless",
                    "austenite-first"));
  // Of the fillers of a pair one is the strongest.
  const Plan mast = plan_of("", butt("6082", "10"));
  std::size_t strongest = 0;
  for (const HeatItem& i : section(mast, "aluminium")->items)
    strongest += i.note.find("strongest") != std::string::npos;
  CHECK(strongest >= 1);
}

TEST_CASE("unlike plates: the stricter limits hold, in either order") {
  const struct {
    const char *one, *other;
    double interpass_C;
  } cases[] = {{"S355", "2507", 100}, {"2205", "2507", 100}, {"S355", "316L", 150}, {"5083", "5086", 65}};
  for (const auto& c : cases)
    for (const auto& [first, second] : {std::pair{c.one, c.other}, std::pair{c.other, c.one}}) {
      const auto& this_first = first;
      CAPTURE(this_first);
      const auto& this_second = second;
      CAPTURE(this_second);
      CHECK(plan_of("", with(butt(first, "8"), {{"material.alloy2", second}})).resolved.interpass_C == c.interpass_C);
    }
  for (const auto& [first, second] : {std::pair{"2205", "2507"}, std::pair{"2507", "2205"}}) {
    const Plan hot = plan_of("", with(butt(first, "8"), {{"material.alloy2", second}, {"material.interpass", "130"}}));
    CHECK(found(hot, "stainless", "duplex-interpass"));  // 100 degC of 2507, though 2205 bears 150
  }
}

TEST_CASE("the weld metal rests on the weakest source of those mixed into it") {
  const Plan plan = plan_of("", with(butt("316L", "8"), {{"material.alloy2", "S355"}}));
  const auto kind = [](SourceIndex source) { return source_of(builtin_catalog(), source).kind; };
  const Case& c = plan.resolved;
  CHECK(kind(item(plan, "stainless", "weld_metal", 1).source) ==
        std::max({kind(c.wire->typical.source), kind(c.alloy->typical.source), kind(c.alloy2->typical.source)}));
}
