#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "present/write_compare.hpp"
#include "present/write_json.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/compare.hpp"
#include "seamwright/input.hpp"
#include "seamwright/lock_file.hpp"
#include "seamwright/planner.hpp"
#include "text/digest.hpp"

using namespace seamwright;

namespace {

const ProcedureOrigin made{"seamwright 0", "0000.00", "fnv1a64:0"};

Plan plan_of(const char* gap, const char* leg = "5") {
  const auto joint = read_joint_text("[joint]\ntype = \"fillet\"\nthickness = 6\n[material]\nalloy = \"S355\"\n",
                                     "joint.toml", {{"joint.gap", gap}, {"joint.leg", leg}}, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  PlanOptions options;
  options.suggestions = false;
  const auto plan = make_plan(*joint, nullptr, builtin_catalog(), options);
  REQUIRE(static_cast<bool>(plan));
  return *plan;
}

ComparedSide saved(const Plan& plan, Units units) {
  const auto side = compared_saved_plan(plan_json(plan, {units, "0", false}), "plan.json");
  REQUIRE(static_cast<bool>(side));
  return *side;
}

const ComparedDifference* difference(const Comparison& c, std::string_view key) {
  const auto at = std::find_if(c.differences.begin(), c.differences.end(),
                               [&](const ComparedDifference& d) { return d.a.key == key; });
  return at == c.differences.end() ? nullptr : &*at;
}

}  // namespace

TEST_CASE("a plan is the same as its lock file and as what was saved of it, in either units") {
  const Plan plan = plan_of("0");
  const ComparedSide now = compared_plan(plan, "joint.toml", made);
  const auto lock = locked_procedure(plan, made);
  REQUIRE(static_cast<bool>(lock));
  for (const ComparedSide& other :
       {compared_procedure(*lock, "lock.toml"), saved(plan, Units::metric), saved(plan, Units::us), now}) {
    const Comparison c = compare(now, other);
    CAPTURE(other.kind);
    for (const ComparedDifference& d : c.differences) MESSAGE(d.a.key);
    CHECK(c.differences.empty());
    CHECK(c.compared > 10);
  }
}

TEST_CASE("a wider gap and another leg move settings, and all is told") {
  const ComparedSide a = compared_plan(plan_of("0"), "a.toml", made),
                     b = compared_plan(plan_of("1.5", "4"), "b.toml", made);
  const Comparison c = compare(a, b);
  const ComparedDifference* gap = difference(c, "joint.gap");
  REQUIRE(gap != nullptr);
  CHECK(gap->a.value == 0);
  CHECK(gap->b.value == 1.5);
  CHECK(difference(c, "pass.1.wire_feed") != nullptr);
  CHECK(difference(c, "pass.1.lock.wire_feed") != nullptr);
  CHECK(difference(c, "joint.thickness") == nullptr);
  const std::string text = compare_table(c, {});
  for (const char* word : {"gap", "0 mm -> 1.5 mm (+1.5 mm)", "wire feed, pass 1", "Settings", "Ranges"})
    CHECK_MESSAGE(text.find(word) != std::string::npos, word);
}

TEST_CASE("drift is what moves with other data and the same inputs") {
  ComparedSide a = compared_plan(plan_of("0"), "a.toml", made), b = a;
  CHECK_FALSE(compare(a, b).other_data);
  b.made.data = "0001.00";
  CHECK(compare(a, b).other_data);
  CHECK(compare(a, b).data_sentence.find("drift") != std::string::npos);
  b.made.inputs = "fnv1a64:1";
  CHECK(compare(a, b).data_sentence.find("inputs are others") != std::string::npos);
  b.made.inputs.clear();
  CHECK(compare(a, b).data_sentence.find("not known") != std::string::npos);
  // A limit that took over is told even where no number moved.
  b = a;
  for (ComparedItem& item : b.items)
    if (item.key == "pass.1.wire_feed") item.low_end = "cold-lap";
  const Comparison c = compare(a, b);
  REQUIRE(c.differences.size() == 1);
  CHECK(c.differences.front().ends_differ);
  CHECK(compare_table(c, {}).find("low end: ") != std::string::npos);
}

TEST_CASE("trial welds behind one side alone are named, and what the program moved is not laid to the data") {
  ComparedSide a = compared_plan(plan_of("0"), "a.toml", made), b = a;
  CHECK(a.made.trials.empty());
  b.made.trials = {"Trials of March", "Trials of May"};
  CHECK(compare(a, b).other_data);
  CHECK(compare(a, b).data_sentence.find(
            "The first rests on no trial welds, the second on \"Trials of March\", \"Trials of "
            "May\".") != std::string::npos);
  a.made.trials = b.made.trials;
  CHECK_FALSE(compare(a, b).other_data);
  CHECK(compare(a, b).data_sentence.find("rests on") == std::string::npos);
  b.made.program = "seamwright 1";
  CHECK(compare(a, b).data_sentence.find("drift") == std::string::npos);
  b.items.front().text += " moved";
  CHECK(compare(a, b).data_sentence.find("drift of the program") != std::string::npos);
}

TEST_CASE("what is no saved plan is refused where it goes wrong") {
  const auto at = [](std::string_view text) {
    const auto side = compared_saved_plan(text, "plan.json");
    REQUIRE_FALSE(static_cast<bool>(side));
    return side.errors().front();
  };
  CHECK(at("{}").message.find("no plan") != std::string::npos);
  CHECK(at("{\"program\": \"seamwright\", \"passes\": 3, \"case\": {}}").message.find("no plan") != std::string::npos);
  const Diagnostic broken = at("{\n  \"schema\": 1,\n  \"passes\": [,]\n}");
  CHECK(broken.place.line == 3);
  CHECK(broken.place.column > 10);
}

// Vectors of the authors of FNV: the empty text and "a", 64 bit, before the length is added.
TEST_CASE("the digest tells parts apart") {
  CHECK(Digest().value() == 0xcbf29ce484222325ULL);
  Digest ab, a_b, other;
  ab.add("ab");
  ab.add("c");
  a_b.add("a");
  a_b.add("bc");
  other.add("ab");
  other.add("c");
  CHECK(ab.value() != a_b.value());
  CHECK(ab.value() == other.value());
  CHECK(ab.text().starts_with("fnv1a64:"));
  CHECK(ab.text().size() == 24);
}
