#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "seamwright/input.hpp"
#include "seamwright/plan.hpp"

using namespace seamwright;

namespace {

Plan plan_of(const std::string& example, const std::vector<Assignment>& set = {}) {
  const auto joint = read_joint(example.empty() ? "" : SEAMWRIGHT_EXAMPLE_DIR "/" + example + ".toml", set);
  REQUIRE(static_cast<bool>(joint));
  PlanOptions options;
  options.detail = WindowDetail::band;
  options.suggestions = options.uncertainties = false;
  const auto plan = make_plan(*joint, nullptr, builtin_catalog(), options);
  REQUIRE(static_cast<bool>(plan));
  return *plan;
}

const HeatSection* section(const Plan& plan, std::string_view key) {
  for (const HeatSection& s : plan.heat)
    if (s.key == key) return &s;
  return nullptr;
}

const HeatItem& item(const Plan& plan, std::string_view section_key, std::string_view key, int pass = 0) {
  const HeatSection* s = section(plan, section_key);
  REQUIRE(s != nullptr);
  for (const HeatItem& i : s->items)
    if (i.key == key && (pass == 0 || i.pass == pass)) return i;
  FAIL("no item ", std::string(key));
  return s->items.front();
}

bool found(const Plan& plan, std::string_view section_key, std::string_view id) {
  const HeatSection* s = section(plan, section_key);
  return s != nullptr &&
         std::any_of(s->findings.begin(), s->findings.end(), [&](const HeatFinding& f) { return f.id == id; });
}

}  // namespace

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
  const Plan free = plan_of("cradle-beam");
  const HeatItem& preheat = item(free, "cooling", "preheat_for_hardness", 1);
  if (applies(preheat.value)) {
    CHECK(found(free, "cooling", "hardness-high"));
    CHECK(preheat.value > free.resolved.preheat_C);
  }
}

TEST_CASE("preheat by CET: refused outside its box, computed inside") {
  const Plan thin = plan_of("", {{"joint.type", "butt"}, {"joint.thickness", "5"}, {"material.alloy", "S355"}});
  const HeatItem& refused = item(thin, "preheat", "preheat_cet");
  CHECK_FALSE(applies(refused.value));
  CHECK(refused.note.find("not computed: thickness is 5 mm") != std::string::npos);
  const Plan given = plan_of("cradle-beam", {{"material.composition", "{ C = 0.22, Mn = 1.5 }"}});
  CHECK(item(given, "carbon_equivalents", "cet").value == doctest::Approx(0.37));
  CHECK(item(given, "carbon_equivalents", "cet").note.find("analysis given") != std::string::npos);
  CHECK(item(given, "preheat", "preheat_cet").value > 40);
  CHECK(found(given, "preheat", "preheat-missing"));
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

TEST_CASE("duplex: heat input and interpass findings, ferrite inside its box only") {
  const Plan spool = plan_of("seawater-spool");
  for (const PassResult& pass : spool.passes) {
    CHECK(pass[F::heat_input].low >= 0.5 * (1 - 1e-9));
    CHECK(pass[F::heat_input].high <= 1.5 * (1 + 1e-9));
    CHECK(pass[F::pren].value > 40);
  }
  CHECK(item(spool, "stainless", "cooling_1200_800", 1).value > 0);
  const Plan hot = plan_of("seawater-spool", {{"material.interpass", "180"}});
  CHECK(found(hot, "stainless", "duplex-interpass"));
  const Plan preheated = plan_of("shaft-bracket", {{"material.preheat", "120"}});
  CHECK(found(preheated, "stainless", "duplex-preheat"));
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
