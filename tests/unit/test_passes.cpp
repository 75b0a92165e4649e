// Passes with a process of their own. What is planned for one of them is held against the same joint planned wholly in
// that process: the two take different roads to it.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "present/plan_columns.hpp"
#include "present/plan_words.hpp"
#include "present/write_procedure.hpp"
#include "seamwright/lock_file.hpp"
#include "seamwright/procedure_input.hpp"
#include "unit/reported_plan.hpp"

using namespace seamwright;

namespace {

const Keys riser{{"joint.type", "pipe-butt"},
                 {"joint.thickness", "12"},
                 {"joint.diameter", "168.3"},
                 {"material.alloy", "S235"},
                 {"wire.diameter", "1.2"}};
const Keys two_sides{{"joint.type", "butt"},     {"joint.thickness", "16"}, {"joint.preparation", "double-v"},
                     {"material.alloy", "S355"}, {"wire.diameter", "1.2"},  {"process.mode", "pulse"}};

const Case& process(const Plan& plan, std::size_t pass) { return case_of(plan.resolved, pass); }

std::vector<Mode> modes(const Plan& plan) {
  std::vector<Mode> list;
  for (std::size_t i = 0; i < plan.passes.size(); ++i) list.push_back(process(plan, i).mode);
  return list;
}

Diagnostics errors_of(const Keys& keys, const Equipment* equipment = nullptr) {
  const auto joint = read_joint("", keys, builtin_catalog());
  if (!joint) return joint.errors();
  const auto plan = make_plan(*joint, equipment, builtin_catalog(), {});
  return plan ? Diagnostics{} : plan.errors();
}

}  // namespace

TEST_CASE("a pass of its own process is the pass of the joint welded wholly so") {
  const Plan mixed =
      plan_of("", with(riser, {{"pass.root.mode", "short-arc"}, {"pass.root.gas", "C1"}, {"pass.fill.mode", "spray"}}));
  const Plan root = plan_of("", with(riser, {{"process.mode", "short-arc"}, {"gas.designation", "C1"}}));
  const Plan rest = plan_of("", with(riser, {{"process.mode", "spray"}}));
  REQUIRE(mixed.passes.size() > 2);
  REQUIRE(root.passes.size() >= 1);
  REQUIRE(rest.passes.size() == mixed.passes.size());
  // Short arc throughout may need smaller passes: the root is the same where it has the same metal.
  if (alike(root.resolved.pass_plans[0], mixed.resolved.pass_plans[0])) CHECK(root.contexts[0] == mixed.contexts[0]);
  for (std::size_t i = 1; i < mixed.passes.size(); ++i) {
    CAPTURE(i);
    CHECK(rest.contexts[i] == mixed.contexts[i]);
    CHECK(rest.passes[i][F::wire_feed].value == mixed.passes[i][F::wire_feed].value);
    CHECK(rest.passes[i][F::heat_input].value == mixed.passes[i][F::heat_input].value);
  }
  CHECK(mixed.passes[0].feasible);
  CHECK(modes(mixed).front() == Mode::short_arc);
}

TEST_CASE("a short-arc root is the root of short arc throughout") {
  const Keys thin = with(riser, {{"joint.thickness", "8"}});
  const Plan mixed = plan_of("", with(thin, {{"pass.root.mode", "short-arc"}, {"pass.fill.mode", "pulse"}}));
  const Plan root = plan_of("", with(thin, {{"process.mode", "short-arc"}}));
  const Plan rest = plan_of("", with(thin, {{"process.mode", "pulse"}}));
  REQUIRE(mixed.passes.size() == 2);
  REQUIRE(root.passes.size() == 2);
  CHECK(mixed.contexts[0] == root.contexts[0]);
  CHECK(mixed.contexts[1] == rest.contexts[1]);
  CHECK(mixed.passes[0][F::voltage].value == root.passes[0][F::voltage].value);
  CHECK(mixed.feasible == (root.passes[0].feasible && rest.passes[1].feasible));
}

TEST_CASE("tables of passes: the narrower one says more, the rest is the joint's") {
  const Plan plan = plan_of("", with(two_sides, {{"pass.fill.travel", "6"},
                                                 {"pass.cap.wire", "G4Si1"},
                                                 {"pass.back.position", "PE"},
                                                 {"pass.back.mode", "pulse"},
                                                 {"pass.2.extension", "20"}}));
  REQUIRE(plan.passes.size() > 3);
  for (std::size_t i = 0; i < plan.passes.size(); ++i) {
    CAPTURE(i);
    const PassPlan& pass = plan.resolved.pass_plans[i];
    const Case& c = process(plan, i);
    CHECK(c.mode == Mode::pulse);
    CHECK(static_cast<bool>(c.joint.travel_mm_per_s) == (i > 0));
    CHECK(c.wire->id == (pass.role == PassRole::cap ? "G 4Si1" : "G 3Si1"));
    CHECK(c.position->id == (pass.side == 2 ? "PE" : "PA"));
    CHECK(static_cast<bool>(c.joint.extension_mm) == (pass.number == 2));
    if (i > 0) CHECK(plan.passes[i][F::travel].value == doctest::Approx(6));
  }
}

TEST_CASE("a gas stays where it suits the wire of a pass, and is that wire's own where it does not") {
  const Plan steel = plan_of("", with(riser, {{"pass.cap.wire", "G4Si1"}}));
  CHECK(steel.resolved.own.back().gas_name == steel.resolved.gas_name);
  CHECK(process_changes(steel.resolved).size() == 1);
  const Plan other = plan_of("", with(riser, {{"pass.cap.wire", "309LSi"}}));
  const std::vector<ProcessChange> changes = process_changes(other.resolved);
  REQUIRE(changes.size() == 2);
  CHECK(changes[0].what == ProcessChange::What::wire);
  CHECK(changes[1].what == ProcessChange::What::gas);
  CHECK(changes[0].after == changes[0].before + 1);
  CHECK(changes[1].to == process(other, other.passes.size() - 1).gas_name);
  const std::vector<std::string> words = change_words(other, Units::metric);
  REQUIRE(words.size() == 2);
  CHECK(words[0].starts_with("1 wire change: between passes "));
}

TEST_CASE("findings look at the wire and the gas of each pass") {
  const Keys stainless{
      {"joint.type", "butt"}, {"joint.thickness", "10"}, {"joint.sides", "1"}, {"material.alloy", "304L"}};
  CHECK_FALSE(warned(plan_of("", stainless), "carbon-filler-on-stainless"));
  const Plan plan = plan_of("", with(stainless, {{"pass.cap.wire", "G3Si1"}, {"pass.cap.gas", "M21"}}));
  CHECK(warned(plan, "carbon-filler-on-stainless"));
  CHECK(warned(plan, "co2-on-stainless"));
  for (const Warning& w : plan.resolved.warnings)
    if (w.id == "carbon-filler-on-stainless") CHECK(w.text.starts_with("Pass "));
  // The ferrite of passes 1 and 2 is that of their own filler.
  const Plan two = plan_of("", with(stainless, {{"pass.root.wire", "309LSi"}}));
  CHECK(item(two, "stainless", "ferrite_number", 1).value > item(two, "stainless", "ferrite_number", 2).value);
  const HeatSection* heat = section(two, "stainless");
  REQUIRE(heat != nullptr);
  CHECK(std::ranges::count(heat->items, std::string("ferrite_number_filler"), &HeatItem::key) == 2);
}

TEST_CASE("tables of passes that a joint does not have are refused where they stand") {
  for (const char* table : {"hot", "cap", "fill", "back", "2"}) {
    const Diagnostics errors = errors_of({{"joint.type", "fillet"},
                                          {"joint.thickness", "5"},
                                          {"joint.leg", "4"},
                                          {"material.alloy", "S355"},
                                          {std::string("pass.") + table + ".mode", "pulse"}});
    CAPTURE(table);
    REQUIRE(errors.size() == 1);
    CHECK(errors[0].place.file.find(table) != std::string::npos);
    CHECK(errors[0].help == "its passes: single (pass 1)");
  }
  CHECK(errors_of(with(riser, {{"pass.60.mode", "pulse"}})).size() == 1);
  CHECK(errors_of(with(riser, {{"pass.61.mode", "pulse"}})).size() == 1);
  CHECK(errors_of(with(riser, {{"pass.root.mode", "pulse"}})).empty());
}

TEST_CASE("the root of an open groove is given an arc that dips where no one mode is better throughout") {
  const auto equipment = read_equipment_text("modes = [\"short-arc\", \"spray\"]\n", "plain.toml");
  REQUIRE(static_cast<bool>(equipment));
  const auto planned = [&](const Keys& keys, const Equipment* machine) {
    const auto joint = read_joint("", keys, builtin_catalog());
    REQUIRE(static_cast<bool>(joint));
    auto plan = make_plan(*joint, machine, builtin_catalog(), {});
    REQUIRE(static_cast<bool>(plan));
    return *plan;
  };
  const Plan plain = planned(riser, &*equipment);
  CHECK(modes(plain) == std::vector{Mode::short_arc, Mode::spray, Mode::spray});
  CHECK(process(plain, 0).wire == process(plain, 1).wire);
  CHECK(process(plain, 0).gas_name == process(plain, 1).gas_name);
  CHECK(process_changes(plain.resolved).empty());
  CHECK_FALSE(warned(plain, "short-arc-thick-plate"));
  CHECK(std::ranges::any_of(plain.resolved.choices, [&](const Choice& c) {
    return c.key == "pass.root.mode" && c.value == "short-arc" &&
           source_of(*plain.resolved.catalog, c.source).kind == SourceKind::practice;
  }));
  // A pulse that holds throughout is left alone, and so are a mode that is given, a backing and the other side.
  CHECK(planned(riser, nullptr).resolved.own.empty());
  CHECK(planned(with(riser, {{"process.mode", "spray"}}), &*equipment).resolved.own.empty());
  CHECK(planned(with(riser, {{"joint.backing", "permanent"}}), &*equipment).resolved.own.empty());
}

TEST_CASE("a lock file tells passes apart, and planning by it gives the same passes") {
  const auto joint = read_joint(
      "", with(riser, {{"pass.root.mode", "short-arc"}, {"pass.fill.mode", "spray"}, {"pass.cap.wire", "G4Si1"}}),
      builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  const auto plan = make_plan(*joint, nullptr, builtin_catalog(), {});
  REQUIRE(static_cast<bool>(plan));
  const auto lock = locked_procedure(*plan, {});
  REQUIRE(static_cast<bool>(lock));
  const auto read = read_procedure_text(procedure_toml(*lock), "lock.toml", builtin_catalog());
  REQUIRE(static_cast<bool>(read));
  CHECK(*stated_words(*read, ProcedureWord::mode, 1) == std::vector<std::string>{"short-arc"});
  const auto open = read_joint("", riser, builtin_catalog());
  REQUIRE(static_cast<bool>(open));
  PlanOptions bound;
  bound.procedure = &*read;
  const auto again = make_plan(with_procedure(*open, *read), nullptr, builtin_catalog(), bound);
  REQUIRE(static_cast<bool>(again));
  REQUIRE(again->passes.size() == plan->passes.size());
  CHECK(modes(*again) == modes(*plan));
  for (std::size_t i = 0; i < plan->passes.size(); ++i) {
    CHECK(process(*again, i).wire == process(*plan, i).wire);
    CHECK(again->passes[i][F::wire_feed].value == doctest::Approx(plan->passes[i][F::wire_feed].value).epsilon(0.02));
  }
}

TEST_CASE("a row of a joint says every process, a row of a pass its own") {
  const Plan plan = plan_of("", with(riser, {{"pass.root.mode", "short-arc"}, {"pass.fill.mode", "spray"}}));
  std::string scratch;
  const auto mode_in = [&](const PlanRow& row) {
    for (const PlanColumn& column : plan_columns(Units::metric))
      if (column.key == "mode") return std::string(plan_cell(column, row, scratch).text);
    return std::string();
  };
  CHECK(mode_in({plan, &plan.passes[0], true, Units::metric}) == "short-arc|spray");
  CHECK(mode_in({plan, &plan.passes[0], false, Units::metric}) == "short-arc");
  CHECK(mode_in({plan, &plan.passes[1], false, Units::metric}) == "spray");
}

TEST_CASE("what a planner answers does not hang on the passes of the joints before") {
  const std::vector<Keys> joints{with(riser, {{"pass.root.mode", "short-arc"}, {"pass.fill.mode", "spray"}}), riser,
                                 with(riser, {{"pass.cap.wire", "309LSi"}}),
                                 with(two_sides, {{"pass.back.position", "PE"}}),
                                 with(riser, {{"joint.thickness", "8"}, {"pass.root.mode", "controlled-dip"}})};
  PlanOptions options;
  options.suggestions = options.uncertainties = false;
  Planner kept(nullptr, builtin_catalog(), options);
  for (int round = 0; round < 2; ++round)
    for (const Keys& keys : joints) {
      const auto joint = read_joint("", keys, builtin_catalog());
      REQUIRE(static_cast<bool>(joint));
      const auto alone = make_plan(*joint, nullptr, builtin_catalog(), options);
      const Plan* plan = kept.solve(*joint);
      REQUIRE(static_cast<bool>(alone));
      REQUIRE(plan != nullptr);
      REQUIRE(plan->passes.size() == alone->passes.size());
      CHECK(modes(*plan) == modes(*alone));
      CHECK(plan->resolved.own.size() == alone->resolved.own.size());
      CHECK(plan->resolved.warnings.size() == alone->resolved.warnings.size());
      for (std::size_t i = 0; i < plan->passes.size(); ++i) CHECK(plan->contexts[i] == alone->contexts[i]);
    }
}

TEST_CASE("a pass takes its gas by composition, as the joint does") {
  const Plan by_name = plan_of("", with(riser, {{"pass.root.gas", "C1"}, {"pass.root.mode", "short-arc"}}));
  const Plan by_parts =
      plan_of("", with(riser, {{"pass.root.gas_composition", "{ CO2 = 100 }"}, {"pass.root.mode", "short-arc"}}));
  CHECK(by_parts.contexts.front() == by_name.contexts.front());
  CHECK(process(by_parts, 0).gas_name == "CO2 100 %");
  // It takes the place of a gas of the whole joint, and one named takes the place of its composition.
  const Keys mixed = with(riser, {{"gas.composition", "{ Ar = 82, CO2 = 18 }"}, {"pass.root.gas", "C1"}});
  CHECK(process(plan_of("", mixed), 0).gas_name == "C1");
  const Keys named = with(riser, {{"gas.designation", "C1"}, {"pass.root.gas_composition", "{ Ar = 90, CO2 = 10 }"}});
  CHECK(process(plan_of("", named), 0).gas.co2_percent == 10);
  CHECK(errors_of(with(riser, {{"pass.root.gas_composition", "{ Ar = 90, CO2 = 8 }"}})).front().message ==
        "pass.root.gas_composition adds up to 98 %");
  CHECK_FALSE(errors_of(with(riser, {{"pass.root.gas_composition.Xe", "100"}})).empty());
  CHECK_FALSE(errors_of(with(riser, {{"pass.root.gas_composition", "{ Ar = 100 }"}, {"pass.root.gas", "C1"}})).empty());
}

TEST_CASE("a lock file of passes of which one has its gas by parts states the gas of the others alone") {
  const Keys keys = with(riser, {{"pass.root.gas_composition", "{ Ar = 90, CO2 = 10 }"}});
  const auto joint = read_joint("", keys, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  const Plan plan = plan_of("", keys);
  const auto lock = locked_procedure(plan, {});
  REQUIRE(static_cast<bool>(lock));
  CHECK_FALSE((*lock)[ProcedureWord::gas]);
  const auto read = read_procedure_text(procedure_toml(*lock), "lock.toml", builtin_catalog());
  REQUIRE(static_cast<bool>(read));
  CHECK_FALSE(stated_words(*read, ProcedureWord::gas, 1));
  REQUIRE(stated_words(*read, ProcedureWord::gas, 2));
  CHECK(stated_words(*read, ProcedureWord::gas, 2).value->front() == plan.resolved.gas_name);
  // Planned by it, the root keeps the gas of the joint.
  const auto again = make_plan(with_procedure(*joint, *read), nullptr, builtin_catalog(), {});
  REQUIRE(static_cast<bool>(again));
  CHECK(process(*again, 0).gas.co2_percent == 10);
  CHECK(process(*again, 1).gas.co2_percent == plan.resolved.gas.co2_percent);
}
