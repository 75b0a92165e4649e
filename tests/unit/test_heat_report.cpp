#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "unit/reported_plan.hpp"

using namespace seamwright;

TEST_CASE("heat report: every number is finite or absent, ordered, and said why") {
  for (const char* name : {"cradle-beam", "shaft-bracket", "seawater-spool", "mast-step", "winch-base-dissimilar",
                           "hull-seam", "heat-exchanger-shell", "vent-hood", "locker-corner"}) {
    CAPTURE(name);
    const Plan plan = plan_of(name);
    CHECK_FALSE(plan.heat.empty());
    for (const HeatSection& s : plan.heat)
      for (const HeatItem& i : s.items) {
        CAPTURE(i.key);
        for (const double x : {i.value, i.low, i.high}) {
          CHECK_FALSE(std::isinf(x));
          CHECK_FALSE((x == 0 && std::signbit(x)));
        }
        if (applies(i.value) && applies(i.low) && applies(i.high) && i.key != "gas_nitrogen") {
          CHECK(i.low <= i.value);
          CHECK(i.value <= i.high);
        }
        if (!applies(i.value) && !applies(i.low) && !applies(i.high)) CHECK_FALSE(i.note.empty());
      }
  }
}

TEST_CASE("t8/5: a limit binds in every pass, and names itself where it ends the band") {
  for (const char* range : {"5..20 s", "..9 s", "6 s.."}) {
    CAPTURE(range);
    const Plan plan = plan_of("cradle-beam", {{"limits.t8_5", range}});
    REQUIRE(plan.feasible);
    const UserLimit& limit = plan.resolved.joint.limits.front();
    for (const PassResult& pass : plan.passes) {
      CHECK(pass[F::t8_5].low >= limit.range.low * (1 - 1e-9));
      CHECK(pass[F::t8_5].high <= limit.range.high * (1 + 1e-9));
    }
  }
  const Plan none = plan_of("cradle-beam", {{"limits.t8_5", "..0.5 s"}});
  CHECK_FALSE(none.feasible);
}

TEST_CASE("t8/5: formula and field are both shown where they differ, with what keeps the limit") {
  const Plan plan = plan_of("cradle-beam", {{"limits.t8_5", "5..20 s"}});
  const double formula = item(plan, "cooling", "t8_5", 1).value;
  CHECK(formula == doctest::Approx(plan.passes.front()[F::t8_5].value).epsilon(1e-9));
  const HeatItem& band = item(plan, "cooling", "heat_input_for_t8_5", 1);
  CHECK(band.low <= plan.passes.front()[F::heat_input].value);
  CHECK(band.high >= plan.passes.front()[F::heat_input].value);
}

TEST_CASE("hardness: preheat that keeps it below the limit does so") {
  const Plan cold = plan_of("cradle-beam", {{"limits.hardness", "..600 HV10"}});
  const double value = item(cold, "cooling", "hardness", 1).value;
  const Plan limited = plan_of("cradle-beam", {{"limits.hardness", "..370"}, {"material.preheat", "120"}});
  REQUIRE(limited.feasible);
  for (const PassResult& pass : limited.passes) CHECK(pass[F::hardness].high <= 370 * (1 + 1e-9));
  CHECK(value > 200);
  const Plan unheated = plan_of("cradle-beam", {{"material.preheat", "20"}});
  const HeatItem& preheat = item(unheated, "cooling", "preheat_for_hardness", 1);
  REQUIRE(applies(preheat.value));
  CHECK(found(unheated, "cooling", "hardness-high"));
  CHECK(preheat.value > unheated.resolved.preheat_C);
  // Left to itself the program warms a plate so far, and then nothing is too hard.
  const Plan free = plan_of("cradle-beam");
  CHECK(free.resolved.preheat_C >= item(free, "cooling", "preheat_for_hardness", 1).value);
  CHECK(free.resolved.preheat_C > unheated.resolved.preheat_C);
  CHECK_FALSE(found(free, "cooling", "hardness-high"));
}

TEST_CASE("a ceramic holds the root of the first side; the second side is welded without it") {
  const std::vector<Assignment> joint{{"joint.type", "butt"},
                                      {"joint.thickness", "6"},
                                      {"joint.sides", "2"},
                                      {"joint.position", "PA"},
                                      {"material.alloy", "S355"}};
  std::vector<Assignment> backed = joint;
  backed.push_back({"joint.backing", "ceramic"});
  const Plan with = plan_of("", backed), without = plan_of("", joint);
  REQUIRE(with.contexts.size() == 2);
  REQUIRE(without.contexts.size() == 2);
  CHECK(std::isinf(with.contexts[0].plate.back_width_max_mm));
  CHECK(std::isfinite(with.contexts[1].plate.back_width_max_mm));
  CHECK(with.contexts[1].plate.back_width_max_mm == without.contexts[1].plate.back_width_max_mm);
}

TEST_CASE("preheat by CET: refused outside its box, computed inside") {
  const Plan thin = plan_of("", {{"joint.type", "butt"}, {"joint.thickness", "5"}, {"material.alloy", "S355"}});
  const HeatItem& refused = item(thin, "preheat", "preheat_cet");
  CHECK_FALSE(applies(refused.value));
  CHECK(refused.note.find("not computed: thickness is 5 mm") != std::string::npos);
  const Plan given = plan_of("cradle-beam", {{"material.composition", "{ C = 0.22, Mn = 1.5 }"}});
  CHECK(item(given, "carbon_equivalents", "cet").value == doctest::Approx(0.37));
  CHECK(item(given, "carbon_equivalents", "cet").note.find("the analysis given, with Si") != std::string::npos);
  CHECK(item(given, "preheat", "preheat_cet").value > 40);
  // What the rule asks for is chosen, and the plan computed with it.
  CHECK_FALSE(found(given, "preheat", "preheat-missing"));
  CHECK(given.resolved.preheat_C >= item(given, "preheat", "preheat_cet").value);
  CHECK(std::any_of(given.resolved.choices.begin(), given.resolved.choices.end(),
                    [](const Choice& c) { return c.key == "material.preheat"; }));
  // One that is given stays, and is warned about.
  CHECK(warned(plan_of("cradle-beam", {{"material.composition", "{ C = 0.22, Mn = 1.5 }"}, {"material.preheat", "20"}}),
               "preheat-missing"));
  const Plan high = plan_of("cradle-beam", {{"material.composition", "{ C = 0.4 }"}});
  CHECK_FALSE(applies(item(high, "preheat", "preheat_cet").value));
  // Carbon outside the hardness formulas: no hardness, and a limit on it says that it is not checked.
  const Plan carbon = plan_of("cradle-beam", {{"material.composition", "{ C = 0.6 }"}, {"limits.hardness", "..380"}});
  CHECK_FALSE(carbon.passes.front()[F::hardness].present);
  CHECK(std::any_of(carbon.resolved.warnings.begin(), carbon.resolved.warnings.end(),
                    [](const Warning& w) { return w.id == "limit-unchecked"; }));
}

TEST_CASE("preheat outside the range of t8/5 leaves it out") {
  const Plan hot = plan_of("cradle-beam", {{"material.preheat", "300"}, {"material.interpass", "350"}});
  for (const PassResult& pass : hot.passes) {
    CHECK_FALSE(pass[F::t8_5].present);
    CHECK_FALSE(pass[F::hardness].present);
  }
}

TEST_CASE("duplex: heat input and interpass findings") {
  const Plan spool = plan_of("seawater-spool");
  // 0.5 kJ/mm are for plate that cools three-dimensionally; thinner, as much less cools no faster.
  const double least = 0.5 * std::min(1.0, *spool.resolved.joint.thickness_mm / 10.5);
  for (const PassResult& pass : spool.passes) {
    CHECK(pass[F::heat_input].low >= least * (1 - 1e-9));
    CHECK(pass[F::heat_input].high <= 1.5 * (1 + 1e-9));
    CHECK(pass[F::pren].value > 40);
  }
  CHECK(item(spool, "stainless", "cooling_1200_800", 1).value > 0);
  const Plan hot = plan_of("seawater-spool", {{"material.interpass", "180"}});
  CHECK(found(hot, "stainless", "duplex-interpass"));
  const Plan preheated = plan_of("shaft-bracket", {{"material.preheat", "120"}});
  CHECK(found(preheated, "stainless", "duplex-preheat"));
}

TEST_CASE("vertical down: warned about on plate, not on thinner metal, not vertical up") {
  const auto plan = [](const char* thickness, const char* position) {
    return plan_of("", {{"joint.type", "fillet"},
                        {"joint.thickness", thickness},
                        {"joint.leg", "4"},
                        {"material.alloy", "S355"},
                        {"joint.position", position}});
  };
  CHECK(warned(plan("8", "PG"), "vertical-down-plate"));
  CHECK_FALSE(warned(plan("5", "PG"), "vertical-down-plate"));
  CHECK_FALSE(warned(plan("8", "PF"), "vertical-down-plate"));
}

TEST_CASE("hardness: probability of passing, and what raises it") {
  const std::vector<Assignment> fillet{
      {"joint.type", "fillet"}, {"joint.thickness", "10"}, {"joint.leg", "6"}, {"material.alloy", "S355"}};
  const Plan plan = plan_of("", fillet);
  const HeatItem& sure = item(plan, "cooling", "hardness_pass_probability", 1);
  const HeatItem& mean = item(plan, "cooling", "hardness", 1);
  CHECK((sure.value > 50) == (mean.value < 380));
  CHECK(sure.note.find("more heat input") != std::string::npos);
  CHECK(sure.note.find("more preheat") != std::string::npos);
  std::vector<Assignment> warm = fillet;
  warm.push_back({"material.preheat", "100"});
  CHECK(item(plan_of("", warm), "cooling", "hardness_pass_probability", 1).value > sure.value);
}

TEST_CASE("overlay: half over one another a bead takes less of the plate, and the second layer less again") {
  const std::vector<Assignment> keys{{"joint.type", "overlay"},
                                     {"joint.thickness", "20"},
                                     {"material.alloy", "P265GH"},
                                     {"wire.designation", "ERNiCrMo-3"}};
  const Plan plan = plan_of("", keys);
  const PassResult& pass = plan.passes.front();
  const double step = item(plan, "overlay", "step_over").value;
  CHECK(step == doctest::Approx(0.5 * pass[F::bead_width].value).epsilon(1e-6));
  CHECK(pass[F::layer_height].value == doctest::Approx(pass[F::deposit_area].value / step).epsilon(1e-6));
  const double first_bead = item(plan, "overlay", "dilution_first_bead").value,
               after = item(plan, "overlay", "dilution_overlapped").value;
  CHECK(after == doctest::Approx(pass[F::dilution].value).epsilon(1e-6));
  // Half the melted section in base metal: d / (1 - d) halves.
  CHECK(after / (100 - after) == doctest::Approx(0.5 * first_bead / (100 - first_bead)).epsilon(1e-6));
  // Lever rule on iron: 0.5 % in the wire, about 98.5 % in the plate.
  const double iron = item(plan, "overlay", "iron_first_layer").value,
               second = item(plan, "overlay", "iron_second_layer").value;
  CHECK(iron == doctest::Approx(0.5 + 0.01 * after * 98.0).epsilon(0.02));
  CHECK(second == doctest::Approx(0.5 + 0.01 * after * (iron - 0.5)).epsilon(1e-3));
  std::vector<Assignment> narrow = keys;
  narrow.push_back({"joint.step_over", "3"});
  CHECK(item(plan_of("", narrow), "overlay", "dilution_overlapped").value < after);
  CHECK_FALSE(pass[F::reinforcement].present);  // a nickel wire
  const Plan steel = plan_of("", {{"joint.type", "overlay"},
                                  {"joint.thickness", "20"},
                                  {"material.alloy", "S355"},
                                  {"wire.designation", "G3Si1"}});
  const PassResult& bead = steel.passes.front();
  // The law itself, by hand.
  CHECK(bead[F::reinforcement].value ==
        doctest::Approx(std::exp(1.386 + 0.345 * std::log(bead[F::deposit_area].value) -
                                 0.428 * std::log(bead[F::voltage].value) - 0.013 * std::log(bead[F::travel].value)))
            .epsilon(1e-6));
}

TEST_CASE("dissimilar: half of the melted metal from each plate, the steel side hardens") {
  const Plan winch = plan_of("winch-base-dissimilar");
  const PassResult& pass = winch.passes.front();
  CHECK(pass[F::t8_5].present);
  CHECK(pass[F::hardness].present);
  const double dilution = 0.01 * pass[F::dilution].value;
  const double filler = 24.0 + 3.3 * 0.2, base = 0.5 * (17.0 + 3.3 * 2.1 + 16 * 0.05);
  CHECK(pass[F::pren].value == doctest::Approx(filler + dilution * (base - filler)).epsilon(0.01));
}

TEST_CASE("aluminium: filler by the table for unlike pairs, warm service and anodising") {
  const auto wire = [](const std::vector<Assignment>& set) {
    std::vector<Assignment> all{{"joint.type", "fillet"}, {"joint.thickness", "6"}, {"material.alloy", "6082"}};
    all.insert(all.end(), set.begin(), set.end());
    return plan_of("", all).resolved.wire->id;
  };
  CHECK(wire({{"material.alloy2", "5083"}}) == "S Al 5356");
  CHECK(wire({{"material.service", "90"}}) == "S Al 4043A");
  CHECK(wire({{"material.anodised", "true"}}) != "S Al 4043A");
  const Plan mast = plan_of("mast-step", {{"material.service", "90"}});
  CHECK(found(mast, "aluminium", "filler-barred"));  // 5356 asked for, in warm service
  CHECK(found(mast, "aluminium", "softening"));
  CHECK(item(mast, "aluminium", "softened_half_width", 1).value > 0);
}

TEST_CASE("preheat and hotter passes cool slower and harden less") {
  double last_time = 0, last_hardness = 1e9;
  for (const char* preheat : {"20", "80", "140", "200"}) {
    const Plan plan = plan_of("cradle-beam", {{"material.preheat", preheat}, {"process.mode", "pulse"}});
    const PassContext& context = plan.contexts.front();
    const ConstantValues x = nominal_values(context.constants);
    Setting s;
    s.wire_feed_m_per_min = 6;
    s.travel_mm_per_s = 5;
    const FieldValues f = evaluate(context, x, s);
    CHECK(f[F::t8_5] > last_time);
    CHECK(f[F::hardness] < last_hardness);
    last_time = f[F::t8_5];
    last_hardness = f[F::hardness];
    s.travel_mm_per_s = 4;
    CHECK(evaluate(context, x, s)[F::t8_5] > f[F::t8_5]);
  }
}

TEST_CASE("between passes: a narrower plate gets hotter") {
  const Plan wide = plan_of("cradle-beam"), narrow = plan_of("cradle-beam", {{"joint.plate_width", "60"}});
  const double a = item(wide, "between_passes", "interpass_reached", 2).value;
  const double b = item(narrow, "between_passes", "interpass_reached", 2).value;
  CHECK(b > a);
}

TEST_CASE("findings beyond a limit are warnings of the plan, each said once") {
  const Plan cradle = plan_of("cradle-beam", {{"material.preheat", "20"}});
  CHECK(found(cradle, "cooling", "hardness-high"));
  CHECK(warned(cradle, "hardness-high"));
  // A few degrees above the shop's temperature are a remark, not a warning.
  const Plan frame = plan_of("slipway-frame", {{"joint.thickness", "14"},
                                               {"joint.leg", "10"},
                                               {"joint.position", "PB"},
                                               {"process.mode", "spray"},
                                               {"material.alloy", "S355J2"}});
  CHECK(found(frame, "preheat", "preheat-warm"));
  CHECK_FALSE(warned(frame, "preheat-warm"));
  CHECK_FALSE(warned(cradle, "composition-assumed"));
  CHECK(warned(plan_of("cradle-beam", {{"material.composition", "{ C = 0.22 }"}, {"material.preheat", "20"}}),
               "preheat-missing"));
  CHECK(warned(plan_of("cradle-beam", {{"material.preheat", "5"}}), "plate-cold"));
  const Plan spool = plan_of("seawater-spool");
  for (const HeatSection& s : spool.heat) {
    std::vector<std::string> texts;
    for (const HeatFinding& f : s.findings) {
      CHECK(std::find(texts.begin(), texts.end(), f.text) == texts.end());
      texts.push_back(f.text);
      CHECK(warned(spool, f.id) == f.beyond);
    }
  }
  const Plan silicon = plan_of(
      "",
      {{"joint.type", "fillet"}, {"joint.thickness", "6"}, {"material.alloy", "5083"}, {"wire.designation", "4043"}});
  CHECK(warned(silicon, "4043-on-high-mg"));
  CHECK_FALSE(warned(silicon, "filler-barred"));  // the same in other words
}

TEST_CASE("an analysis the grade would not allow is warned about") {
  const Plan carbon = plan_of("cradle-beam", {{"material.composition", "{ C = 0.23 }"}});
  CHECK(warned(carbon, "analysis-above-grade"));  // S355J2 ends at 0.20
  const Plan jr = plan_of("cradle-beam", {{"material.composition", "{ C = 0.23 }"}, {"material.alloy", "S355JR"}});
  CHECK_FALSE(warned(jr, "analysis-above-grade"));
  CHECK(warned(jr, "carbon-equivalent-above-grade"));  // 0.23 + 1.4 / 6
  CHECK_FALSE(warned(plan_of("cradle-beam"), "carbon-equivalent-above-grade"));
  CHECK(item(jr, "carbon_equivalents", "carbon_equivalent_limit").value == doctest::Approx(0.45));
}

TEST_CASE("ferrite number: a range beyond its points, called extrapolated; none off the diagram") {
  const std::vector<Assignment> butt{{"joint.type", "butt"}, {"joint.thickness", "8"}, {"material.alloy", "2205"}};
  const Plan spool = plan_of("", butt);
  // So little nickel and nitrogen that any dilution leaves the points.
  std::vector<Assignment> lean = butt;
  lean.push_back({"material.composition", "{ Ni = 4.5, N = 0.12 }"});
  const Plan lean_plan = plan_of("", lean);
  const HeatItem& beyond = item(lean_plan, "stainless", "ferrite_number", 1);
  REQUIRE(applies(beyond.value));
  CHECK(beyond.note.find("extrapolated") != std::string::npos);
  CHECK(beyond.value > 58);
  // +-10 of the diagram and +-6 of the plane
  CHECK(beyond.high - beyond.value == doctest::Approx(std::hypot(10.0, 6.0)));
  CHECK(beyond.value - beyond.low == doctest::Approx(std::hypot(10.0, 6.0)));
  const PassResult& pass = lean_plan.passes.front();
  CHECK(pass[F::ferrite_number].value == doctest::Approx(beyond.value).epsilon(1e-6));
  std::vector<Assignment> off = butt;
  off.push_back({"material.composition", "{ Cr = 31, Mo = 5 }"});
  const Plan off_plan = plan_of("", off);
  const HeatItem& refused = item(off_plan, "stainless", "ferrite_number", 1);
  CHECK_FALSE(applies(refused.value));
  CHECK(refused.note.find("not computed") != std::string::npos);
  const HeatItem& filler = item(spool, "stainless", "ferrite_number_filler");
  CHECK(filler.value > 32);
  CHECK(filler.value < 58);
}

TEST_CASE("austenitic interpass: the usual limit and that of a navy standard") {
  const auto warning = [](const char* interpass) {
    const Plan plan = plan_of("", {{"joint.type", "butt"},
                                   {"joint.thickness", "8"},
                                   {"material.alloy", "316L"},
                                   {"material.interpass", interpass}});
    for (const Warning& w : plan.resolved.warnings)
      if (w.id == "interpass-high") return w.text;
    return std::string();
  };
  CHECK(warning("150").empty());
  CHECK(warning("170").find("a navy fabrication standard allows 177 degC") != std::string::npos);
  CHECK(warning("190").find("above the 177 degC") != std::string::npos);
}

TEST_CASE("aluminium rich in magnesium is not kept warm") {
  const auto plan = [](const char* alloy, const char* preheat) {
    return plan_of(
        "",
        {{"joint.type", "butt"}, {"joint.thickness", "10"}, {"material.alloy", alloy}, {"material.preheat", preheat}});
  };
  const Plan cold = plan("5086", "20"), warm = plan("5086", "65");
  CHECK(cold.resolved.interpass_C == 65);
  CHECK(item(cold, "aluminium", "avoid_range").low == doctest::Approx(65.6));
  CHECK_FALSE(warned(warm, "preheat-stress-corrosion"));
  CHECK(warned(plan("5083", "90"), "preheat-stress-corrosion"));
  CHECK_FALSE(warned(plan("6082", "90"), "preheat-stress-corrosion"));
  CHECK_FALSE(warned(plan("5754", "90"), "preheat-stress-corrosion"));  // 3 % magnesium
}

TEST_CASE("cautions name the eye filter for the planned current and the exposure limit") {
  CHECK(cautioned(plan_of("cradle-beam"), "Eye filter of shade 10 at least for up to"));
  const Plan thin = plan_of("", {{"joint.type", "fillet"},
                                 {"joint.thickness", "1"},
                                 {"material.alloy", "S235"},
                                 {"wire.diameter", "0.8"},
                                 {"process.mode", "short-arc"},
                                 {"limits.current", "..55 A"}});
  REQUIRE(thin.feasible);
  CHECK(cautioned(thin, "Eye filter of shade 7 at least"));
  CHECK(cautioned(plan_of("seawater-spool"), "5 ug/m3 over 8 hours"));
  CHECK_FALSE(cautioned(thin, "ug/m3"));
  for (const char* name : {"cradle-beam", "seawater-spool", "mast-step"})
    CHECK_FALSE(cautioned(plan_of(name), "{"));  // every number is filled in
}

TEST_CASE("a throat gives the leg of a flat fillet") {
  const std::vector<Assignment> plate{{"joint.type", "fillet"}, {"joint.thickness", "8"}, {"material.alloy", "S355"}};
  auto with = [&](const char* key, const char* value) {
    std::vector<Assignment> set = plate;
    set.push_back({key, value});
    return plan_of("", set);
  };
  const Plan throat = with("joint.throat", "4 mm"), leg = with("joint.leg", "5.656854249492381 mm");
  CHECK(throat.resolved.section.leg_mm == doctest::Approx(leg.resolved.section.leg_mm).epsilon(1e-12));
  CHECK(throat.passes.front()[F::heat_input].value == doctest::Approx(leg.passes.front()[F::heat_input].value));
  std::vector<Assignment> both = plate;
  both.push_back({"joint.throat", "4"});
  both.push_back({"joint.leg", "5"});
  CHECK_FALSE(static_cast<bool>(read_joint("", both, builtin_catalog())));
  CHECK_FALSE(static_cast<bool>(read_joint(
      "", {{"joint.type", "butt"}, {"joint.thickness", "8"}, {"material.alloy", "S355"}, {"joint.throat", "4"}},
      builtin_catalog())));
}
