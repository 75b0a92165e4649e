#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "present/write_check.hpp"
#include "present/write_procedure.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "seamwright/lock_file.hpp"
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

namespace {

// Root, fill and cap in 12 mm.
constexpr std::string_view grown =
    "[joint]\ntype = \"butt\"\nthickness = 12\npreparation = \"single-v\"\nposition = \"PA\"\n[material]\nalloy = "
    "\"S355\"\n";

std::vector<const CheckRow*> rows(const ProcedureCheck& check, std::string_view key) {
  std::vector<const CheckRow*> found;
  for (const CheckRow& r : check.rows)
    if (r.key == key) found.push_back(&r);
  return found;
}

// The range of a current a little above what one pass is planned with.
std::string above(const PassResult& pass) {
  const Estimate& e = pass[F::current];
  return std::to_string(e.value + 0.2 * (e.high - e.value)) + ".." + std::to_string(e.high) + " A";
}

}  // namespace

TEST_CASE("check: the range of a role is held against the passes of that role, and temperatures against the joint") {
  const Plan plan = plan_of(grown);
  REQUIRE(plan.passes.size() > 2);
  const int cap = static_cast<int>(plan.passes.size());
  const Procedure p =
      procedure("[material]\npreheat = \"100 C..\"\ninterpass = \"..200 C\"\n[cap]\npenetration = \"0..1 mm\"\n");
  const ProcedureCheck check = check_procedure(plan, p);
  const auto penetration = rows(check, "penetration");
  REQUIRE(penetration.size() == 1);
  CHECK(penetration.front()->passes.ends_with(std::to_string(cap)));
  CHECK_FALSE(penetration.front()->passes.ends_with(" 1"));
  for (const char* key : {"preheat", "interpass"}) CHECK(rows(check, key).size() == 1);
  CHECK(row(check, "preheat").nearest == 100);
  CHECK(row(check, "interpass").nearest == 200);
}

TEST_CASE("check: the nearest setting of a pass is held only by what can be set in that pass") {
  const Plan plan = plan_of(grown);
  // The root misses its own range, which it can meet. What the cap cannot meet, and the plate's temperature, are no
  // reason to give no setting for the root.
  const Procedure p = procedure("[material]\npreheat = \"100 C..\"\ninterpass = \"..200 C\"\n[root]\ncurrent = \"" +
                                above(plan.passes.front()) + "\"\n[cap]\nheat_input = \"..0.01 kJ/mm\"\n");
  const ProcedureCheck check = check_procedure(plan, p);
  const CheckRow& root = *rows(check, "current").front();
  CHECK(root.passes == "pass 1");
  CHECK(root.status == CheckStatus::outside);
  CHECK(root.range.contains(root.nearest));
  const CheckRow& cap = *rows(check, "heat_input").back();
  CHECK(cap.status == CheckStatus::outside);
  CHECK_FALSE(applies(cap.nearest));
  CHECK(cap.remark == "no setting inside satisfies everything else");
}

TEST_CASE("check: words are compared whole, and what is not of the joint is not asked for") {
  const auto joint = [](const std::string& keys) {
    return plan_of("[joint]\ntype = \"butt\"\nthickness = 6\n" + keys);
  };
  const auto status = [](const Plan& plan, const std::string& text, std::string_view key) {
    return row(check_procedure(plan, procedure(text)), key).status;
  };
  constexpr auto inside = CheckStatus::inside, outside = CheckStatus::outside;
  const Plan duplex = joint("[material]\nalloy = \"2205\"\n[gas]\nbacking = \"I1\"\n");
  CHECK(status(duplex, "[material]\ngroup = \"10\"\n", "material.group") == inside);
  CHECK(status(duplex, "[material]\ngroup = \"1\"\n", "material.group") == outside);  // 10.1 is not in group 1
  CHECK(status(duplex, "[gas]\nbacking = \"argon\"\n", "gas.backing") == inside);
  CHECK(status(duplex, "[gas]\nbacking = \"N2-ArN-2\"\n", "gas.backing") == outside);
  // Only of carbon steel does a grade's name stand for its qualities.
  const Plan austenitic = joint("preparation = \"square\"\n[material]\nalloy = \"316L\"\n");
  CHECK(status(austenitic, "[material]\nalloy = \"316\"\n", "material.alloy") == outside);
  CHECK(status(austenitic, "[gas]\nbacking = \"I1\"\n", "gas.backing") == outside);  // the joint states none
  const ProcedureCheck square = check_procedure(austenitic, procedure("number = \"1\"\n"));
  CHECK(rows(square, "joint.root_face").empty());
  CHECK(rows(square, "joint.angle").empty());
  CHECK(rows(check_procedure(plan_of(butt), procedure("number = \"1\"\n")), "joint.angle").size() == 1);
}

TEST_CASE("check: both plates' thickness, and a plan whose range reaches over one end of the procedure's") {
  const Plan fillet =
      plan_of("[joint]\ntype = \"fillet\"\nthickness = 6\nthickness2 = 12\nleg = 5\n[material]\nalloy = \"S355\"\n");
  const ProcedureCheck thick = check_procedure(fillet, procedure("[joint]\nthickness = \"3..8 mm\"\n"));
  const auto both = rows(thick, "joint.thickness");
  REQUIRE(both.size() == 2);
  CHECK(both[0]->status == CheckStatus::inside);
  CHECK(both[1]->status == CheckStatus::outside);
  CHECK(both[1]->beyond == 4);
  CHECK(both[1]->nearest == 8);
  const Estimate& feed = fillet.passes.front()[F::wire_feed];
  const auto remark = [&](double low, double high) {
    const std::string range = std::to_string(low) + ".." + std::to_string(high) + " m/min";
    return row(check_procedure(fillet, procedure("[every]\nwire_feed = \"" + range + "\"\n")), "wire_feed").remark;
  };
  CHECK(remark(1, 0.5 * (feed.value + feed.high)).find("reaches beyond") != std::string::npos);
  CHECK(remark(0.5 * (feed.value + feed.low), 30).find("reaches beyond") != std::string::npos);
  CHECK(remark(1, 30).empty());
}

TEST_CASE("a procedure settles only what it leaves no choice of") {
  const auto joint = read_joint_text(butt, "joint.toml", {}, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  const Joint several = with_procedure(
      *joint, procedure("[process]\nmode = [\"pulse\", \"spray\"]\n[wire]\ndiameter = \"1.0..1.2 mm\"\n"));
  CHECK_FALSE(several.mode);
  CHECK_FALSE(several.wire_diameter_mm);
}

TEST_CASE("test piece: what it covers of positions, welds, groups, gas and heat input") {
  const auto check = [](const std::string& text, const Plan* plan) {
    const auto piece = read_test_piece_text("thickness = 10\n" + text, "piece.toml", builtin_catalog());
    REQUIRE(static_cast<bool>(piece));
    const auto result = check_test_piece(*piece, builtin_catalog(), plan);
    REQUIRE(static_cast<bool>(result));
    return *result;
  };
  const auto plate = [](const std::string& position) {
    return plan_of("[joint]\ntype = \"fillet\"\nthickness = 8\nleg = 5\nposition = \"" + position +
                   "\"\n[material]\nalloy = \"S355\"\n");
  };
  // ISO 15614-1 (recalled): any position qualifies all but downwards, a position downwards only itself.
  const struct {
    const char *tested, *planned;
    CheckStatus status;
  } positions[] = {{"PA", "PF", CheckStatus::inside},  {"PA", "PG", CheckStatus::outside},
                   {"PA", "PJ", CheckStatus::outside}, {"PG", "PG", CheckStatus::inside},
                   {"PG", "PB", CheckStatus::outside}, {"PG", "PJ", CheckStatus::outside}};
  for (const auto& p : positions) {
    CAPTURE(p.tested);
    CAPTURE(p.planned);
    const Plan plan = plate(p.planned);
    CHECK(row(check(std::string("position = \"") + p.tested + "\"\n", &plan), "joint.position").status == p.status);
  }
  const Plan fillet = plate("PB"), groove = plan_of(butt);
  const auto weld = [&](const char* tested, const Plan& plan) {
    return row(check(std::string("weld = \"") + tested + "\"\n", &plan), "joint.type");
  };
  CHECK(weld("butt", groove).status == CheckStatus::inside);
  CHECK(weld("butt", groove).remark.empty());
  CHECK(weld("butt", fillet).status == CheckStatus::inside);
  CHECK(weld("butt", fillet).remark.find("fillets have their own") != std::string::npos);
  CHECK(weld("fillet", fillet).remark.empty());
  CHECK(weld("fillet", groove).status == CheckStatus::outside);
  // S355 is 1.2, S235 1.1: each is covered by 1.2, the two together are not.
  const Plan unlike = plan_of(std::string(butt) + "alloy2 = \"S235\"\n");
  const ProcedureCheck groups = check("group = \"1.2\"\n", &unlike);
  for (const CheckRow* r : rows(groups, "material.group")) {
    CHECK(r->status == CheckStatus::outside);
    CHECK(r->remark.find("a test of their own") != std::string::npos);
  }
  // CO2 within 20 % of that in the test: 18 +- 3.6 %.
  CHECK(row(check("gas = \"M21\"\n", nullptr), "gas.designation").allowed == "M21 with 14.4 to 21.6 % CO2");
  // No lower end where hardness is not asked for.
  const CheckRow heat =
      row(check("heat_input = \"1 kJ/mm\"\nimpact_required = true\nimpact_tested = true\n", nullptr), "heat_input");
  CHECK(heat.range.low == -unbounded);
  CHECK(heat.range.high == doctest::Approx(1.25));
}

TEST_CASE("a check in words: ranges, differences of temperature, US units") {
  const Plan plan = plan_of(butt);
  const ProcedureCheck check = check_procedure(
      plan,
      procedure("[joint]\nthickness = \"12..20 mm\"\n[wire]\ndiameter = \"1.2 mm\"\n[gas]\nflow = \"5..30 l/min\"\n"
                "[material]\npreheat = \"100 C..\"\ninterpass = \"..200 C\"\n"));
  CheckOptions options;
  options.catalog = &builtin_catalog();
  options.title = "WPS-1";
  options.width = 400;
  const auto says = [&](const char* words) { return check_table(check, options).find(words) != std::string::npos; };
  CHECK(says("10.0 mm; stated: 12.0 to 20.0 mm; outside by 2.0 mm; nearest inside 12.0 mm"));
  CHECK(says("stated: at least 100 degC; outside by 80 degC;"));
  CHECK(says("stated: at most 200 degC; outside by 50 degC;"));
  CHECK(says("stated: 1.2 mm\n"));  // one value, not a range of it
  options.units = Units::us;
  CHECK(says("0.394 in; stated: 0.472 to 0.787 in; outside by 0.079 in"));
  CHECK(says("stated: at most 392 degF; outside by 90 degF;"));  // 50 K are 90 degrees there
  CHECK(says("stated: 10.6 to 63.6 ft3/h"));                     // 28.3168 l in a cubic foot
}

TEST_CASE("a lock file carries the weave: given, as it is; of a hand, its greatest width") {
  constexpr std::string_view upright = R"([joint]
type = "butt"
thickness = 12
preparation = "single-v"
position = "PF"
[material]
alloy = "S355"
)";
  const std::string woven = std::string(upright) + "[pass.cap]\nweave_width = 8\nweave_dwell = 0.4\n";
  const Plan plan = plan_of(woven);
  const auto locked = locked_procedure(plan, {"seamwright 0", "0000.00", "fnv1a64:0"});
  REQUIRE(locked);
  const Procedure read = procedure(procedure_toml(*locked));
  const int last = static_cast<int>(plan.passes.size());
  REQUIRE(last == 3);
  const auto range = [&](F id, int pass) { return procedure_range(read, id, plan.passes[0].pass.role, pass); };
  CHECK_FALSE(range(F::weave_width, 1));  // stringers
  const auto cap = procedure_range(read, F::weave_width, PassRole::cap, last);
  REQUIRE(cap);
  CHECK(cap->low == 8);
  CHECK(cap->high == 8);
  CHECK(procedure_range(read, F::weave_dwell, PassRole::cap, last)->low == 0.4);
  const auto fill = procedure_range(read, F::weave_width, PassRole::fill, 2);
  REQUIRE(fill);
  CHECK_FALSE(std::isfinite(fill->low));
  CHECK(fill->high > plan.passes[1][F::weave_width].value);
  CHECK_FALSE(check_procedure(plan, read).outside);

  // The joint without its weave takes it from the file, in that pass alone; another weave is outside.
  const auto bare = read_joint_text(upright, "joint.toml", {}, builtin_catalog());
  REQUIRE(bare);
  PlanOptions under;
  under.uncertainties = under.suggestions = under.heat_report = false;
  under.procedure = &read;
  const auto planned = make_plan(with_procedure(*bare, read), nullptr, builtin_catalog(), under);
  REQUIRE(planned);
  const Plan& again = *planned;
  CHECK(again.passes[2][F::weave_width].value == 8);
  CHECK(again.passes[2][F::weave_dwell].value == 0.4);
  CHECK(again.passes[1][F::weave_width].value < 8);
  CHECK(*case_of(again, again.passes[2]).joint.weave_width_mm == 8);
  CHECK_FALSE(case_of(again, again.passes[1]).joint.weave_width_mm);
  const ProcedureCheck other = check_procedure(plan_of(std::string(upright) + "[pass.cap]\nweave_width = 6\n"), read);
  CHECK(other.outside);
  const auto at = std::find_if(other.rows.begin(), other.rows.end(), [](const CheckRow& r) {
    return r.key == "weave_width" && r.status == CheckStatus::outside;
  });
  REQUIRE(at != other.rows.end());
  CHECK(at->beyond == doctest::Approx(2));
  CHECK(at->remark == "give weave_width and plan again");

  // Said of all passes it is the joint's; of the passes of a role, theirs.
  const Procedure all = procedure("[every]\nweave_width = \"7 mm\"\n"), caps = procedure("[cap]\nweave_width = 7\n");
  CHECK(*with_procedure(*bare, all).weave_width_mm == 7);
  CHECK(with_procedure(*bare, all).passes.empty());
  const Joint of_caps = with_procedure(*bare, caps);
  CHECK_FALSE(of_caps.weave_width_mm);
  REQUIRE(of_caps.passes.size() == 1);
  CHECK(of_caps.passes[0].kind == PassTableKind::cap);
  CHECK(*of_caps.passes[0].says.weave_width_mm == 7);

  CHECK(
      first_error("[pass.2]\nweave_width = \"80 mm\"\n").starts_with("pass.2.weave_width is 80 mm, expected 0 to 60"));
  CHECK(first_error("[every]\nweave_dwell = -1\n").starts_with("every.weave_dwell is -1"));
  CHECK(first_error("[pass.2]\nweave_width = \"8 V\"\n").find("mm") != std::string::npos);
}
