#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"
#include "seamwright/procedure_check.hpp"
#include "seamwright/procedure_input.hpp"

using namespace seamwright;

namespace {

constexpr std::string_view butt = R"([joint]
type = "butt"
thickness = 10
preparation = "single-v"
position = "PA"
[material]
alloy = "S355"
)";

Procedure procedure(std::string_view text) {
  const auto read = read_procedure_text(text, "wps.toml", builtin_catalog());
  REQUIRE(static_cast<bool>(read));
  return *read;
}

Plan plan_of(std::string_view text, const Procedure* binding = nullptr) {
  const auto joint = read_joint_text(text, "joint.toml", {}, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  PlanOptions options;
  options.uncertainties = options.suggestions = options.heat_report = false;
  options.procedure = binding;
  const auto plan = make_plan(*joint, nullptr, builtin_catalog(), options);
  REQUIRE(static_cast<bool>(plan));
  return *plan;
}

const CheckRow& row(const ProcedureCheck& check, std::string_view key) {
  const auto at = std::find_if(check.rows.begin(), check.rows.end(), [&](const CheckRow& r) { return r.key == key; });
  REQUIRE(at != check.rows.end());
  return *at;
}

std::string first_error(std::string_view text) {
  const auto read = read_procedure_text(text, "wps.toml", builtin_catalog());
  REQUIRE_FALSE(read);
  return read.errors().front().message + " | " + read.errors().front().help;
}

}  // namespace

TEST_CASE("a procedure file: words, ranges, roles") {
  const Procedure p = procedure(R"(number = "WPS-1"
[joint]
type = "butt"
thickness = "1/4 in..20 mm"
[material]
group = [1, "2.1"]
preheat = "50 C.."
[every]
heat_input = "0.6..1.5 kJ/mm"
[root]
heat_input = "0.8..2 kJ/mm"
)");
  CHECK(p.number == "WPS-1");
  REQUIRE(p[ProcedureNumber::thickness]);
  CHECK(p[ProcedureNumber::thickness].value->low == doctest::Approx(6.35));
  CHECK(p[ProcedureWord::group].value->size() == 2);
  CHECK_FALSE(p[ProcedureWord::mode]);
  const auto root = procedure_range(p, F::heat_input, PassRole::root);
  REQUIRE(root);
  CHECK(root->low == doctest::Approx(0.8));
  CHECK(root->high == doctest::Approx(1.5));  // the narrower of both
  CHECK(procedure_range(p, F::heat_input, PassRole::cap)->low == doctest::Approx(0.6));
  CHECK_FALSE(procedure_range(p, F::current, PassRole::root));
}

TEST_CASE("a procedure file: what does not fit is said") {
  CHECK(first_error("[joint]\nthicknes = 5\n").find("joint.thickness") != std::string::npos);
  CHECK(first_error("[every]\nheat_inputt = \"1..2\"\n").find("every.heat_input") != std::string::npos);
  CHECK(first_error("[process]\nmode = \"puls\"\n").find("pulse") != std::string::npos);
  CHECK(first_error("[process]\nmode = []\n").find("empty list") != std::string::npos);
  CHECK(first_error("[every]\nheat_input = \"2..1 kJ/mm\"\n").find("heat_input") != std::string::npos);
  CHECK(first_error("every = 3\n").find("table of keys") != std::string::npos);
}

TEST_CASE("check: inside, outside by how much, not stated") {
  const Plan plan = plan_of(butt);
  REQUIRE(plan.feasible);
  const Procedure p = procedure(R"([joint]
type = "butt"
thickness = "12..20 mm"
position = "PC"
[material]
group = "1"
interpass = "..200 C"
)");
  const ProcedureCheck check = check_procedure(plan, p);
  CHECK(check.outside);
  CHECK(row(check, "joint.type").status == CheckStatus::inside);
  CHECK(row(check, "joint.position").status == CheckStatus::outside);
  CHECK(row(check, "material.group").status == CheckStatus::inside);  // 1.2 is in group 1
  CHECK(row(check, "wire.designation").status == CheckStatus::not_stated);
  const CheckRow& thickness = row(check, "joint.thickness");
  CHECK(thickness.status == CheckStatus::outside);
  CHECK(thickness.beyond == doctest::Approx(2));
  CHECK(thickness.nearest == 12);
  CHECK(row(check, "interpass").beyond == doctest::Approx(50));
  CHECK(row(check, "heat_input").status == CheckStatus::not_stated);
}

TEST_CASE("check: the nearest setting inside the procedure satisfies everything") {
  const Plan free = plan_of(butt);
  const double current = free.passes.front()[F::current].value;
  // A range well inside the pass's own band, but not where the plan lies.
  const Estimate& e = free.passes.front()[F::current];
  const double low = current + 0.3 * (e.high - current), high = current + 0.6 * (e.high - current);
  REQUIRE(high > low + 1);
  const Procedure p = procedure("[root]\ncurrent = \"" + std::to_string(low) + ".." + std::to_string(high) + " A\"\n");
  const ProcedureCheck check = check_procedure(free, p);
  REQUIRE(check.outside);
  const auto at = std::find_if(check.rows.begin(), check.rows.end(), [](const CheckRow& r) {
    return r.key == "current" && r.status == CheckStatus::outside;
  });
  REQUIRE(at != check.rows.end());
  CHECK(at->beyond == doctest::Approx(low - current).epsilon(1e-6));
  CHECK(at->nearest >= low - 1e-6);
  CHECK(at->nearest <= high + 1e-6);
  // Bound to the procedure, the plan lies inside it, and the check finds nothing outside.
  const Plan bound = plan_of(butt, &p);
  REQUIRE(bound.feasible);
  CHECK_FALSE(check_procedure(bound, p).outside);
}

TEST_CASE("check: a procedure that no setting satisfies") {
  const Procedure p = procedure("[every]\nheat_input = \"..0.05 kJ/mm\"\n");
  const ProcedureCheck check = check_procedure(plan_of(butt), p);
  CHECK(check.outside);
  CHECK(check.summary.find("No setting satisfies both") != std::string::npos);
  for (const CheckRow& r : check.rows)
    if (r.key == "heat_input") CHECK_FALSE(applies(r.nearest));
  const Plan bound = plan_of(butt, &p);
  CHECK_FALSE(bound.feasible);
  bool named = false;
  for (const PassResult& pass : bound.passes)
    for (const Margin& m : pass.conflicts) named = named || m.id == C::procedure;
  CHECK(named);
}

TEST_CASE("a procedure settles what the joint leaves open") {
  const auto joint = read_joint_text(butt, "joint.toml", {}, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  const Procedure p = procedure(R"([process]
mode = "pulse"
[wire]
diameter = 1.0
[material]
preheat = "80 C.."
interpass = "..180 C"
)");
  const Joint settled = with_procedure(*joint, p);
  CHECK(*settled.mode == Mode::pulse);
  CHECK(*settled.wire_diameter_mm == 1.0);
  CHECK(*settled.preheat_C == 80);
  CHECK(*settled.interpass_C == 180);
  CHECK(*settled.position == "PA");  // the joint's own
}

TEST_CASE("test piece: ranges of ISO 15614-1 level 2, each with its source, and a plan against them") {
  const auto piece = read_test_piece_text(R"(thickness = "10 mm"
heat_input = "1 kJ/mm"
preheat = "20 C"
interpass = "150 C"
mode = "pulse"
position = "PA"
runs = "multi"
impact_required = true
impact_tested = true
hardness_required = true
)",
                                          "piece.toml", builtin_catalog());
  REQUIRE(static_cast<bool>(piece));
  const auto check = check_test_piece(*piece, builtin_catalog(), nullptr);
  REQUIRE(static_cast<bool>(check));
  CHECK_FALSE(check->outside);
  CHECK(row(*check, "joint.thickness").range.low == 3);
  CHECK(row(*check, "joint.thickness").range.high == 20);
  CHECK(row(*check, "heat_input").range.low == doctest::Approx(0.75));
  CHECK(row(*check, "heat_input").range.high == doctest::Approx(1.25));
  for (const CheckRow& r : check->rows) {
    CAPTURE(r.key);
    REQUIRE(r.source != 0);
    CHECK(source_of(builtin_catalog(), r.source).kind == SourceKind::memory);
  }
  CHECK(check->summary.find("confirm") != std::string::npos);

  const Plan plan = plan_of(butt);
  const auto against = check_test_piece(*piece, builtin_catalog(), &plan);
  REQUIRE(static_cast<bool>(against));
  CHECK(row(*against, "interpass").status == CheckStatus::outside);  // 250 against 150
  CHECK(row(*against, "interpass").beyond == doctest::Approx(100));
  CHECK(row(*against, "joint.thickness").status == CheckStatus::inside);

  const auto fillet = read_test_piece_text("thickness = 10\nweld = \"fillet\"\n", "piece.toml", builtin_catalog());
  REQUIRE(static_cast<bool>(fillet));
  const auto wrong_weld = check_test_piece(*fillet, builtin_catalog(), &plan);
  REQUIRE(static_cast<bool>(wrong_weld));
  CHECK(row(*wrong_weld, "joint.type").status == CheckStatus::outside);

  const auto untested = read_test_piece_text("thickness = 40\nruns = \"multi\"\nimpact_required = true\n", "piece.toml",
                                             builtin_catalog());
  REQUIRE(static_cast<bool>(untested));
  CHECK_FALSE(check_test_piece(*untested, builtin_catalog(), nullptr));
  CHECK_FALSE(read_test_piece_text("runs = \"multi\"\n", "piece.toml", builtin_catalog()));
  CHECK_FALSE(read_test_piece_text("thickness = 5\nweld = \"spot\"\n", "piece.toml", builtin_catalog()));
}

TEST_CASE("test piece: groups of parent metal and the gas it covers") {
  const Plan plan = plan_of(butt);  // S355, group 1.2, M21
  const auto status = [&](const std::string& stated, std::string_view key, const Plan* against) {
    const auto piece = read_test_piece_text("thickness = 10\n" + stated, "piece.toml", builtin_catalog());
    REQUIRE(static_cast<bool>(piece));
    const auto check = check_test_piece(*piece, builtin_catalog(), against);
    REQUIRE(static_cast<bool>(check));
    return row(*check, key).status;
  };
  CHECK(status("group = 1.2\n", "material.group", &plan) == CheckStatus::inside);
  CHECK(status("group = \"1.3\"\n", "material.group", &plan) == CheckStatus::inside);
  CHECK(status("group = \"1.1\"\n", "material.group", &plan) == CheckStatus::outside);
  CHECK(status("group = \"8.1\"\n", "material.group", &plan) == CheckStatus::outside);
  CHECK(status("group = \"1.2\"\n", "material.group", nullptr) == CheckStatus::not_stated);
  CHECK(status("gas = \"M21\"\n", "gas.designation", &plan) == CheckStatus::inside);
  CHECK(status("gas = \"C1\"\n", "gas.designation", &plan) == CheckStatus::outside);
  for (const char* wrong : {"group = \"steel\"\n", "group = \"1.23\"\n", "gas = \"air\"\n"})
    CHECK_FALSE(read_test_piece_text(std::string("thickness = 10\n") + wrong, "piece.toml", builtin_catalog()));
}

TEST_CASE("check: S355 stands for its qualities, and what has no counterpart is named") {
  const std::string j2 =
      "[joint]\ntype = \"butt\"\nthickness = 10\npreparation = \"single-v\"\n[material]\nalloy = \"S355J2\"\n";
  const Plan plan = plan_of(j2);
  CHECK(row(check_procedure(plan, procedure("[material]\nalloy = \"S355\"\n")), "material.alloy").status ==
        CheckStatus::inside);
  CHECK(row(check_procedure(plan_of(butt), procedure("[material]\nalloy = \"S355J2\"\n")), "material.alloy").status ==
        CheckStatus::outside);
  const ProcedureCheck check = check_procedure(
      plan, procedure("[joint]\nleg = \"4..6 mm\"\ngap = \"0..5 mm\"\n[every]\nripple_pitch = \"1..3 mm\"\n"));
  CHECK_FALSE(check.outside);
  CHECK(check.summary.find("without a counterpart in this plan: joint.leg, ripple_pitch.") != std::string::npos);
}
