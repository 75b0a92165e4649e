// The lock file of every example: read back as it was written, its plan passes the check, its corners hold.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "present/write_procedure.hpp"
#include "property/examples.hpp"
#include "property/random_joint.hpp"
#include "seamwright/assess.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/confidence.hpp"
#include "seamwright/lock_file.hpp"
#include "seamwright/planner.hpp"
#include "seamwright/procedure_check.hpp"
#include "seamwright/procedure_input.hpp"

using namespace seamwright;
using seamwright::test::example_joints;
using seamwright::test::given;
using seamwright::test::RandomJoints;

namespace {

const ProcedureOrigin made{"seamwright 0", "0000.00", "fnv1a64:0"};

struct Locked {
  Plan plan;
  Procedure written, read;
};

template <class Check>
int on_locks(Check check) {
  int locks = 0;
  for (const Joint& joint : example_joints()) {
    PlanOptions options;
    options.uncertainties = options.suggestions = options.heat_report = options.detail_tables = false;
    const auto plan = make_plan(joint, nullptr, builtin_catalog(), options);
    REQUIRE(static_cast<bool>(plan));
    const auto locked = locked_procedure(*plan, made);
    if (!locked) continue;
    CAPTURE(joint.name);
    const auto read = read_procedure_text(procedure_toml(*locked), "lock.toml", builtin_catalog());
    REQUIRE(static_cast<bool>(read));
    check(Locked{*plan, *locked, *read});
    ++locks;
  }
  return locks;
}

double of_pass(const Procedure& p, F id, const PassPlan& pass, bool high) {
  const auto range = procedure_range(p, id, pass.role, pass.number);
  REQUIRE(range);
  return high ? range->high : range->low;
}

// A setting of the file: each side at a share of its range, the travel at a share of the deposit's.
Setting inside(const Locked& l, std::size_t p, const std::array<double, box_side_count>& share) {
  const PassContext& c = l.plan.contexts[p];
  const LockBox& box = *l.plan.passes[p].box;
  const PassPlan& pass = l.plan.passes[p].pass;
  Setting s = box.centre;
  const auto at = [&](F id, double part) {
    const double low = of_pass(l.read, id, pass, false), high = of_pass(l.read, id, pass, true);
    return part <= 0 ? low : part >= 1 ? high : low + part * (high - low);
  };
  for (std::size_t i = 0; i < box_side_count; ++i)
    if (box.sides[i].present && !box.sides[i].follows)
      setting_value(s, i) = at(box_fields[i], share[i]) * (box_fields[i] == F::peak_current_trim ? 0.01 : 1.0);
  if (box.sides[1].follows)
    s.travel_mm_per_s =
        travel_for_deposit(c, nominal_values(c.constants), s.wire_feed_m_per_min, at(F::deposit_area, share[1]));
  return s;
}

double least_score(const PassContext& c, const Setting& s) {
  return setting_margins(c, nominal_values(c.constants), s).worst().score;
}

}  // namespace

TEST_CASE("a lock file is read back as it was written, and the plan it was made from passes the check") {
  const int locks = on_locks([](const Locked& l) {
    CHECK(l.read.title == l.written.title);
    CHECK(l.read.made.program == made.program);
    CHECK(l.read.made.data == made.data);
    CHECK(l.read.made.inputs == made.inputs);
    CHECK(l.read.made.trials.empty());
    for (std::size_t i = 0; i < procedure_word_count; ++i) CHECK(l.read.words[i].value == l.written.words[i].value);
    REQUIRE(l.read.ranges.size() == l.written.ranges.size());
    for (const ProcedureRange& r : l.written.ranges) {
      const auto same = std::find_if(l.read.ranges.begin(), l.read.ranges.end(), [&](const ProcedureRange& other) {
        return other.field == r.field && other.pass == r.pass && other.role == r.role;
      });
      REQUIRE(same != l.read.ranges.end());
      CHECK(same->range.low == r.range.low);
      CHECK(same->range.high == r.range.high);
    }
    const ProcedureCheck check = check_procedure(l.plan, l.read);
    for (const CheckRow& row : check.rows) {
      CAPTURE(row.key);
      CHECK(row.status != CheckStatus::outside);
    }
    CHECK_FALSE(check.outside);
  });
  CHECK(locks > 8);
}

TEST_CASE("every corner of a lock file holds, and so does what lies between") {
  RandomJoints random(7);
  on_locks([&](const Locked& l) {
    for (std::size_t p = 0; p < l.plan.passes.size(); ++p) {
      if (p > 0 && alike(l.plan.passes[p].pass, l.plan.passes[p - 1].pass)) continue;
      const PassContext& c = l.plan.contexts[p];
      // The procedure's own ranges bind as well: the corner lies in them.
      PassContext bound = c;
      for (const ProcedureRange& r : l.read.ranges)
        if (r.binds(c.role, l.plan.passes[p].pass.number))
          bound.limits.push_back({C::procedure, r.field, r.range.low, r.range.high, 0});
      for (unsigned bits = 0; bits < (1U << box_side_count); ++bits) {
        std::array<double, box_side_count> share{};
        for (std::size_t i = 0; i < box_side_count; ++i) share[i] = (bits >> i) & 1U ? 1.0 : 0.0;
        CHECK(least_score(bound, inside(l, p, share)) >= -1e-6);
      }
      for (int i = 0; i < 20; ++i) {
        std::array<double, box_side_count> share{};
        for (double& part : share) part = random.uniform(0, 1);
        CHECK(least_score(bound, inside(l, p, share)) >= -1e-6);
      }
      // A twentieth beyond the feed's range is outside the procedure.
      Setting beyond = inside(l, p, {1, 0.5, 0.5, 0.5, 0.5, 0.5});
      beyond.wire_feed_m_per_min *= 1.05;
      CHECK(least_score(bound, beyond) < 0);
    }
  });
}

TEST_CASE("a plan under its own lock file keeps to it, pass by pass") {
  const int kept = on_locks([](const Locked& l) {
    PlanOptions options;
    options.uncertainties = options.suggestions = options.heat_report = options.detail_tables = options.box = false;
    options.procedure = &l.read;
    const auto bound = make_plan(with_procedure(l.plan.resolved.joint, l.read), nullptr, builtin_catalog(), options);
    REQUIRE(static_cast<bool>(bound));
    REQUIRE(bound->passes.size() == l.plan.passes.size());
    CHECK(bound->feasible);
    for (const PassResult& pass : bound->passes) {
      const auto feed = procedure_range(l.read, F::wire_feed, pass.pass.role, pass.pass.number);
      REQUIRE(feed);
      CHECK(pass[F::wire_feed].value >= feed->low - 1e-9);
      CHECK(pass[F::wire_feed].value <= feed->high + 1e-9);
    }
  });
  CHECK(kept > 8);
}

TEST_CASE("passes of one role may have ranges of their own") {
  const auto read = read_procedure_text(
      "[pass.1]\nwire_feed = \"4..5 m/min\"\n[pass.2]\nwire_feed = \"6..7 m/min\"\n[fill]\ncurrent = \"..300 A\"\n",
      "wps.toml", builtin_catalog());
  REQUIRE(static_cast<bool>(read));
  CHECK(procedure_range(*read, F::wire_feed, PassRole::fill, 1)->high == 5);
  CHECK(procedure_range(*read, F::wire_feed, PassRole::fill, 2)->low == 6);
  CHECK_FALSE(procedure_range(*read, F::wire_feed, PassRole::fill, 3));
  // Without a number: as wide as the passes reach.
  CHECK(procedure_range(*read, F::wire_feed, PassRole::fill)->low == 4);
  CHECK(procedure_range(*read, F::wire_feed, PassRole::fill)->high == 7);
  CHECK(procedure_range(*read, F::current, PassRole::fill, 3)->high == 300);
  CHECK_FALSE(same_ranges(*read, 1, 2));
  CHECK(same_ranges(*read, 3, 4));
  const auto roles = read_procedure_text(
      "[pass.1]\nrole = \"root\"\nwire_feed = \"4..5 m/min\"\n[pass.2]\nwire_feed = \"6..7 m/min\"\nrole = \"cap\"\n",
      "wps.toml", builtin_catalog());
  REQUIRE(static_cast<bool>(roles));
  CHECK(procedure_range(*roles, F::wire_feed, PassRole::root)->high == 5);
  CHECK(procedure_range(*roles, F::wire_feed, PassRole::cap)->low == 6);
  CHECK_FALSE(procedure_range(*roles, F::wire_feed, PassRole::single));
  for (const char* bad : {"[pass.0]\nwire_feed = 5\n", "[pass.x]\nwire_feed = 5\n", "[pass.1]\nwire_fed = 5\n",
                          "[pass.1]\nrole = \"roof\"\n", "pass = 3\n", "[pass]\n1 = 3\n", "[made]\ndate = \"x\"\n"})
    CHECK_FALSE(static_cast<bool>(read_procedure_text(bad, "wps.toml", builtin_catalog())));
}
