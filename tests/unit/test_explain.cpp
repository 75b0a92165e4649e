// Explanations: every key of every example has one, and what it says agrees with the solvers.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <vector>

#include "io/write_explanation.hpp"
#include "io/write_json.hpp"
#include "seamwright/explain.hpp"
#include "seamwright/input.hpp"

using namespace seamwright;

namespace {

Plan plan_of(const std::string& example, std::vector<Assignment> assignments = {}) {
  const Expected<Joint> joint = read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/" + example, assignments);
  REQUIRE(joint);
  PlanOptions options;
  options.suggestions = false;
  options.detail = WindowDetail::band;
  Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), options);
  REQUIRE(plan);
  return std::move(*plan);
}

}  // namespace

TEST_CASE("every quantity has a formula in every mode") {
  for (std::size_t m = 0; m < mode_count; ++m)
    for (const FieldInfo& info : fields()) {
      CAPTURE(info.key);
      const Formula formula = formula_of(info.id, static_cast<Mode>(m));
      CHECK(!formula.text.empty());
      CHECK(!formula.source.empty());
      CHECK(std::find(formula.from.begin(), formula.from.end(), info.id) == formula.from.end());
    }
}

TEST_CASE("every quantity of every pass can be explained, as text and as JSON") {
  for (const char* name : {"keel-bracket.toml", "cradle-beam.toml", "fuel-tank-lap.toml", "hull-seam.toml",
                           "exhaust-flange.toml", "mast-step.toml"}) {
    const Plan plan = plan_of(name);
    for (std::size_t pass = 0; pass < plan.passes.size(); ++pass)
      for (const FieldInfo& info : fields()) {
        CAPTURE(name);
        CAPTURE(info.key);
        const auto explanation = explain(plan, pass, info.id);
        CHECK(explanation.has_value() == plan.passes[pass][info.id].present);
        if (!explanation) continue;
        const std::string text = explanation_text(plan, *explanation, {});
        for (const char* broken : {"nan", "inf ", "-0 "}) CHECK(text.find(broken) == std::string::npos);
        CHECK(text.find(info.key) != std::string::npos);
        const auto json = nlohmann::json::parse(explanation_json(plan, *explanation, {}));
        CHECK(json["key"] == info.key);
        CHECK(json["formula"]["text"].get<std::string>().size() > 5);
      }
  }
}

TEST_CASE("contributions add up to the quantity's own uncertainty") {
  const Plan plan = plan_of("keel-bracket.toml");
  for (const F id : {F::current, F::voltage, F::penetration, F::heat_input, F::pulse_frequency}) {
    const auto e = explain(plan, 0, id);
    REQUIRE(e);
    double squares = 0, shares = 0;
    for (const ExplainedConstant& c : e->constants) {
      squares += c.half_change * c.half_change;
      shares += c.share;
    }
    CHECK(std::sqrt(squares) == doctest::Approx(plan.passes[0][id].plus_minus).epsilon(1e-9));
    CHECK(shares == doctest::Approx(1.0).epsilon(1e-9));
    CHECK(std::is_sorted(e->constants.begin(), e->constants.end(),
                         [](const auto& a, const auto& b) { return a.share > b.share; }));
  }
}

TEST_CASE("the ends are the band's, and the next one lies further out") {
  const Plan plan = plan_of("keel-bracket.toml");
  const auto e = explain(plan, 0, F::wire_feed);
  REQUIRE(e);
  REQUIRE(e->low);
  REQUIRE(e->high);
  const Estimate& feed = plan.passes[0][F::wire_feed];
  CHECK(e->low->id == feed.low_end);
  CHECK(e->high->id == feed.high_end);
  CHECK(e->low->at == doctest::Approx(feed.low));
  CHECK(e->high->at == doctest::Approx(feed.high));
  REQUIRE(e->low->next_at);
  CHECK(*e->low->next_at <= feed.low);
  CHECK(e->low->next != e->low->id);
  REQUIRE(e->high->next_at);
  CHECK(*e->high->next_at >= feed.high);
}

TEST_CASE("changes have the sign of the physics") {
  const Plan plan = plan_of("keel-bracket.toml");
  const auto change = [&](F id, std::string_view key) {
    const auto e = explain(plan, 0, id);
    for (const ExplainedChange& c : e->changes)
      if (c.key == key) return c.change;
    return 0.0;
  };
  CHECK(change(F::penetration, "wire_feed") > 0);
  CHECK(change(F::penetration, "travel") < 0);
  CHECK(change(F::penetration, "material.preheat") > 0);
  CHECK(change(F::heat_input, "travel") < 0);
  CHECK(change(F::current, "travel") == 0);
  CHECK(change(F::arc_time, "joint.length") > 0);
}

TEST_CASE("an input says whether it was given or chosen") {
  const Plan plan = plan_of("keel-bracket.toml", {{"wire.extension", "16"}});
  const auto e = explain(plan, 0, F::current);
  REQUIRE(e);
  bool given = false, chosen = false;
  for (const ExplainedInput& in : e->inputs) {
    given = given || (in.key == "wire.extension" && in.origin == Origin::given && in.value == 16);
    chosen = chosen || (in.key == "wire.diameter" && in.origin == Origin::chosen);
  }
  CHECK(given);
  CHECK(chosen);
}

TEST_CASE("what a pass does not have is not explained") {
  const Plan plan = plan_of("keel-bracket.toml");
  CHECK(!explain(plan, 0, F::modulation_frequency));
  CHECK(!explain(plan, 99, F::current));
}
