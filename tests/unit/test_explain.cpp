// Explanations: every key of every example has one, and what it says agrees with the solvers.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <utility>
#include <vector>

#include "catalog/catalog_columns.hpp"
#include "catalog/catalog_reader.hpp"
#include "present/write_explanation.hpp"
#include "present/write_json.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/explain.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"

using namespace seamwright;

namespace {

Plan plan_of(const std::string& example, std::vector<Assignment> assignments = {},
             const Equipment* equipment = nullptr) {
  const Expected<Joint> joint = read_joint(example.empty() ? "" : std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/" + example,
                                           assignments, builtin_catalog());
  REQUIRE(joint);
  PlanOptions options;
  options.suggestions = false;
  options.detail = WindowDetail::band;
  Expected<Plan> plan = make_plan(*joint, equipment, builtin_catalog(), options);
  REQUIRE(plan);
  return std::move(*plan);
}

}  // namespace

TEST_CASE("every quantity has a relation in every mode") {
  for (std::size_t m = 0; m < mode_count; ++m)
    for (const FieldInfo& info : fields()) {
      CAPTURE(info.key);
      const Relation& relation = relation_of(info.id, static_cast<Mode>(m));
      CHECK(!relation.text.empty());
      CHECK(!relation.source.empty());
      CHECK(std::ranges::find(relation.from(), info.id) == relation.from().end());
    }
}

namespace {

// What must stand in an explanation, whatever it is of.
void check_whole(const Plan& plan, const Explanation& e) {
  const Estimate& estimate = plan.passes[e.pass][e.field];
  CHECK(!(e.inputs.empty() && e.constants.empty() && e.relation.from().empty()));
  for (const ExplainedInput& in : e.inputs) {
    CAPTURE(in.key);
    CHECK(!in.label.empty());
    CHECK(std::isfinite(in.value));
    // A choice has a reason; a number of the catalog a source.
    if (in.origin == Origin::chosen) CHECK(!in.reason.empty());
    if (in.origin == Origin::catalog) CHECK(in.source != 0);
  }
  double variance = 0;
  for (const ExplainedConstant& c : e.constants) {
    CAPTURE(c.key);
    CHECK(c.label != c.key);
    CHECK(c.constant.source != 0);
    variance += c.half_change * c.half_change;
  }
  if (estimate.plus_minus > 0) CHECK(variance > 0);
  for (const auto& end : {e.low, e.high}) {
    if (!end || end->id == C::none) continue;
    CHECK(!constraint(end->id).why.empty());
    CHECK(!constraint(end->id).remedy.empty());
    CHECK(end->next != end->id);
  }
  CHECK(e.low.has_value() == e.high.has_value());
  CHECK(std::is_sorted(e.changes.begin(), e.changes.end(),
                       [](const auto& a, const auto& b) { return std::abs(a.change) > std::abs(b.change); }));
}

void check_written(const Plan& plan, const Explanation& e) {
  const FieldInfo& info = field(e.field);
  for (const Units units : {Units::metric, Units::us}) {
    TableOptions options;
    options.units = units;
    const std::string text = explanation_text(plan, e, options);
    for (const char* broken : {"nan", "inf ", "-0 "}) CHECK(text.find(broken) == std::string::npos);
    for (const char* part : {"\nHow\n", "Relation: ", "\nMost influential"})
      CHECK(text.find(part) != std::string::npos);
    CHECK(text.find(info.key) != std::string::npos);
    for (const ExplainedInput& in : e.inputs) CHECK(text.find("(" + in.key + ")") != std::string::npos);
    // What went in is converted; constants of the model stay in the units of the data.
    if (const auto from = text.find("\nFrom\n"); units == Units::us && from != std::string::npos) {
      const std::string inputs = text.substr(from, text.find("\n\n", from) - from);
      for (const char* metric : {" degC", " mm,", " mm2", " l/min"}) CHECK(inputs.find(metric) == std::string::npos);
    }
  }
  const auto json = nlohmann::json::parse(explanation_json(plan, e, {}));
  CHECK(json["key"] == info.key);
  CHECK(json["formula"]["text"].get<std::string>().size() >= 8);
  CHECK(json["inputs"].size() == e.inputs.size());
  for (const auto& in : json["inputs"]) CHECK((in["origin"] != "chosen" || in["reason"].is_string()));
  CHECK(json["constants"].size() == e.constants.size());
  for (const auto& c : json["constants"]) CHECK(c["source"]["kind"].is_string());
  CHECK(json["changes"].size() == e.changes.size());
  CHECK(json["ends"]["low"].is_null() == !e.low);
  if (e.low && e.low->id != C::none) CHECK(json["ends"]["low"]["why"].is_string());
}

}  // namespace

TEST_CASE("every quantity of every pass is explained whole, as text and as JSON") {
  const std::vector<Assignment> no_window{{"joint.preparation", "square"}, {"limits.heat_input", "..0.01 kJ/mm"}};
  const std::vector<Assignment> fixed{{"process.wire_feed", "12"}, {"process.travel", "10.5"}, {"quantity", "12"}};
  const std::vector<Assignment> build_up{
      {"joint.type", "overlay"}, {"joint.thickness", "20"}, {"material.alloy", "S355"}, {"wire.designation", "G3Si1"}};
  const std::vector<Assignment> cladding{{"joint.type", "overlay"},
                                         {"joint.thickness", "20"},
                                         {"material.alloy", "S355"},
                                         {"wire.designation", "ERNiCrMo-3"}};
  const std::pair<const char*, std::vector<Assignment>> joints[] = {
      {"locker-corner.toml", {}},   // steel, short arc
      {"keel-bracket.toml", {}},    // aluminium, pulse
      {"hull-seam.toml", {}},       // aluminium, double pulse
      {"cradle-beam.toml", {}},     // steel, several passes
      {"shaft-bracket.toml", {}},   // duplex, vertical
      {"fuel-tank-lap.toml", {}},   // stainless
      {"exhaust-flange.toml", {}},  // unequal plates
      {"mast-step.toml", {}},       // aluminium, several passes, backed
      {"winch-base-dissimilar.toml", {}},
      {"hull-seam.toml", no_window},
      {"keel-bracket.toml", fixed},
      {"", build_up},   // steel on steel
      {"", cladding}};  // nickel on steel
  const auto priced = read_equipment(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/jetty-300.toml");
  REQUIRE(priced);
  std::vector<bool> met(field_count);
  for (const auto& joint : joints) {
    const std::string name = joint.first;
    const Plan plan =
        plan_of(name, joint.second, !joint.second.empty() && name == "keel-bracket.toml" ? &*priced : nullptr);
    for (std::size_t pass = 0; pass < plan.passes.size(); ++pass) {
      const PassExplainer explainer(plan, pass);
      for (const FieldInfo& info : fields()) {
        CAPTURE(name);
        CAPTURE(info.key);
        const auto explanation = explainer.explain(info.id);
        CHECK(explanation.has_value() == plan.passes[pass][info.id].present);
        if (!explanation) continue;
        met[static_cast<std::size_t>(info.id)] = true;
        check_whole(plan, *explanation);
        check_written(plan, *explanation);
      }
    }
  }
  // No quantity was left out for want of a joint that has it.
  for (const FieldInfo& info : fields()) {
    CAPTURE(info.key);
    CHECK(met[static_cast<std::size_t>(info.id)]);
  }
}

namespace {

// The plan of a joint whose setting is fixed, with a catalog of its own: nothing but the catalog moves its numbers.
struct EditedCatalog {
  Joint joint;
  CatalogData data;
  Catalog rows;  // of `data`: plans point at it
  PlanOptions options;

  EditedCatalog(const EditedCatalog&) = delete;
  EditedCatalog& operator=(const EditedCatalog&) = delete;
  EditedCatalog(const std::string& example, const std::vector<Assignment>& assignments) {
    Expected<Joint> read =
        read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/" + example, assignments, builtin_catalog());
    REQUIRE(read);
    joint = std::move(*read);
    Expected<CatalogData> copy = overlay_catalog(builtin_catalog(), {});
    REQUIRE(copy);
    data = std::move(*copy);
    rows = data.view();
    options.suggestions = options.heat_report = false;
    options.detail = WindowDetail::band;
  }
  [[nodiscard]] std::optional<Plan> plan() const {
    Expected<Plan> plan = make_plan(joint, nullptr, rows, options);
    if (!plan || plan->passes.empty()) return std::nullopt;
    return std::move(*plan);
  }
};

// What a change of one number did to each quantity of the first pass.
struct Moved {
  std::array<bool, field_count> value{}, value_or_end{};
  std::array<bool, model_constant_count> constant{};
  void add(const Plan& before, const Plan& after) {
    const auto differ = [](double a, double b) { return std::abs(a - b) > 1e-7 * std::abs(a); };
    for (std::size_t i = 0; i < field_count; ++i) {
      const Estimate &a = before.passes[0].estimates[i], &b = after.passes[0].estimates[i];
      if (!a.present || !b.present) continue;
      value[i] = value[i] || differ(a.value, b.value);
      value_or_end[i] = value_or_end[i] || value[i] || differ(a.low, b.low) || differ(a.high, b.high);
    }
    for (std::size_t k = 0; k < model_constant_count; ++k)
      constant[k] = constant[k] || before.contexts[0].constants[k].value != after.contexts[0].constants[k].value;
  }
};

// Each number of the rows that the joint names, with the key an explanation calls it by.
template <class Visit>
void for_each_number(CatalogData& data, const Case& c, Visit visit) {
  const auto row = [&](const std::string& table, auto& of) {
    visit_columns(of, [&](std::string_view column, auto& value, const auto&) {
      using Value = std::decay_t<decltype(value)>;
      if constexpr (std::is_same_v<Value, Constant>) {
        visit(table + "." + std::string(column), value.value);
      } else if constexpr (std::is_same_v<Value, Composition>) {
        if (column != "typical") return;
        for (std::size_t i = 0; i < element_count; ++i)
          visit((table == "alloys" ? "material.composition." : "wires.typical.") +
                    std::string(element_symbol(static_cast<Element>(i))),
                value.percent[i]);
      }
    });
  };
  row("limits", data.limits);
  for (auto& metal : data.metals)
    if (metal.id == c.metal->id) row("metals", metal);
  for (auto& alloy : data.alloys)
    if (alloy.id == c.alloy->id) row("alloys", alloy);
  for (auto& family : data.wire_families)
    if (family.id == c.wire_family->id) row("wire-families", family);
  for (auto& size : data.wire_sizes)
    if (size.family == c.wire_size->family && size.diameter_mm == c.wire_size->diameter_mm) row("wire-sizes", size);
  for (auto& wire : data.wires)
    if (wire.id == c.wire->id) row("wires", wire);
  for (auto& position : data.positions)
    if (position.id == c.position->id) row("positions", position);
  for (auto& mode : data.modes)
    if (mode.id == c.mode) row("modes", mode);
}

[[nodiscard]] bool lists(const Explanation& e, const std::string& key) {
  const auto called = [&](const auto& part) { return part.key == key; };
  return std::any_of(e.constants.begin(), e.constants.end(), called) ||
         std::any_of(e.inputs.begin(), e.inputs.end(), called);
}

}  // namespace

TEST_CASE(
    "every number of the catalog and every element that moves a quantity stands in its explanation, and no other") {
  const std::pair<const char*, std::vector<Assignment>> joints[] = {
      {"locker-corner.toml", {{"process.wire_feed", "5"}, {"process.travel", "8"}, {"process.mode", "short-arc"}}},
      {"keel-bracket.toml", {{"process.wire_feed", "11"}, {"process.travel", "10"}, {"process.mode", "pulse"}}},
      {"hull-seam.toml",
       {{"process.wire_feed", "10"},
        {"process.travel", "9"},
        {"process.mode", "double-pulse"},
        {"modulation.frequency", "2"},
        {"modulation.amplitude", "1.5"}}},
      {"slipway-frame.toml", {{"process.wire_feed", "9"}, {"process.travel", "6"}, {"process.mode", "spray"}}},
      {"shaft-bracket.toml", {{"process.wire_feed", "6"}, {"process.travel", "4"}, {"process.mode", "pulse"}}},
      {"fuel-tank-lap.toml", {{"process.wire_feed", "5"}, {"process.travel", "8"}, {"process.mode", "pulse"}}}};
  std::size_t moved_at_all = 0;
  for (const auto& [example, assignments] : joints) {
    const std::string this_example(example);
    CAPTURE(this_example);
    std::vector<Assignment> fixed = assignments;
    fixed.push_back({"material.preheat", "20"});
    EditedCatalog edited(example, fixed);
    const std::optional<Plan> before = edited.plan();
    REQUIRE(before);
    // Wire and gas stay what they are, whatever is changed.
    const PassExplainer explainer(*before, 0);
    std::array<std::optional<Explanation>, field_count> explained;
    for (const FieldInfo& info : fields()) explained[static_cast<std::size_t>(info.id)] = explainer.explain(info.id);
    for_each_number(edited.data, before->resolved, [&](const std::string& key, double& number) {
      const double was = number;
      if (was == 0) return;
      CAPTURE(key);
      Moved moved;
      for (const double by : {1.01, 0.99}) {
        number = was * by;
        const std::optional<Plan> after = edited.plan();
        if (after && after->passes.size() == before->passes.size()) moved.add(*before, *after);
      }
      number = was;
      for (const FieldInfo& info : fields()) {
        CAPTURE(info.key);
        const auto i = static_cast<std::size_t>(info.id);
        if (!explained[i]) continue;
        bool through_a_constant = false;
        for (std::size_t k = 0; k < model_constant_count; ++k)
          through_a_constant =
              through_a_constant ||
              (moved.constant[k] && lists(*explained[i], std::string(model_constant(static_cast<K>(k)).key)));
        const bool listed = lists(*explained[i], key);
        if (moved.value[i]) {
          CHECK((listed || through_a_constant));
          ++moved_at_all;
        }
        if (listed) CHECK(moved.value_or_end[i]);
      }
    });
  }
  CHECK(moved_at_all > 500);
}

TEST_CASE("what the joint file fixes is explained as given") {
  const Plan plan = plan_of("keel-bracket.toml", {{"process.wire_feed", "12"}, {"process.travel", "10.5"}});
  for (const F id : {F::wire_feed, F::travel}) {
    const auto e = explain(plan, 0, id);
    REQUIRE(e);
    CHECK(e->relation.text == "as given");
    REQUIRE(e->inputs.size() == 1);
    CHECK(e->inputs[0].origin == Origin::given);
    CHECK(e->inputs[0].value == doctest::Approx(plan.passes[0][id].value));
  }
}

TEST_CASE("shape and analysis: what the joint's own numbers do") {
  const Plan plan = plan_of("cradle-beam.toml");
  const auto ce = explain(plan, 0, F::carbon_equivalent);
  REQUIRE(ce);
  double manganese = 0;
  for (const ExplainedChange& c : ce->changes)
    if (c.key == "material.composition.Mn") manganese = c.change;
  CHECK(manganese == doctest::Approx(0.1 / 6));
  const Plan fillet = plan_of("locker-corner.toml");
  const auto width = explain(fillet, 0, F::deposit_width);
  REQUIRE(width);
  REQUIRE(!width->changes.empty());
  CHECK(width->changes[0].key == "joint.leg");
  CHECK(width->changes[0].change == doctest::Approx(0.1 * fillet.passes[0][F::deposit_width].value));
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

namespace {

// Symbols of the elements of one metal that an explanation names, in the catalog's order.
std::string elements_of(const Explanation& e, std::string_view metal) {
  std::string list;
  for (const ExplainedInput& in : e.inputs)
    if (const auto of = in.label.find(" of "); of != std::string::npos && in.label.substr(of + 4) == metal)
      list += (list.empty() ? "" : " ") + in.label.substr(0, of);
  return list;
}

double change_by(const Explanation& e, const std::string& element) {
  for (const ExplainedChange& c : e.changes)
    if (c.key == "material.composition." + element) return c.change;
  return 0;
}

}  // namespace

TEST_CASE("explanations name every element of the published formula, of every metal, and no other") {
  // An analysis that leaves out nothing.
  const std::string rest = ", P = 0.01, S = 0.005, V = 0.04, Nb = 0.02, Ti = 0.01, Al = 0.03, B = 0.0006, W = 0.05 }";
  const std::string steel = "{ C = 0.12, Si = 0.3, Mn = 1.2, Cr = 0.2, Ni = 0.2, Mo = 0.1, N = 0.006, Cu = 0.15" + rest,
                    duplex = "{ C = 0.02, Si = 0.4, Mn = 1.4, Cr = 22, Ni = 5.7, Mo = 3.1, N = 0.17, Cu = 0.1" + rest,
                    austenitic =
                        "{ C = 0.02, Si = 0.5, Mn = 1.5, Cr = 17, Ni = 11, Mo = 2.1, N = 0.05, Cu = 0.2" + rest;
  const struct {
    F quantity;
    const char *alloy, *alloy2;
    std::string analysis;
    const char *first, *second, *wire;  // elements of the two plates and of the filler
  } cases[] = {                         // IIW: C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15
               {F::carbon_equivalent, "S355", "", steel, "C Mn Cr Ni Mo Cu V", "", ""},
               // EN 1011-2: C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40
               {F::cet, "S355", "", steel, "C Mn Cr Ni Mo Cu", "", ""},
               // Lorenz and Dueren: C, Si, Mn, Cu, Cr, Ni, Mo, V; Yurioka 1987 adds Nb, and B less what N binds of it
               {F::hardness, "S355", "", steel, "C Si Mn Cr Ni Mo N Cu V Nb B", "", ""},
               // WRC-1992: Cr + Mo + 0.7 Nb and Ni + 35 C + 20 N + 0.25 Cu
               {F::ferrite_number, "2205", "", duplex, "C Cr Ni Mo N Cu Nb", "", "C Cr Ni Mo N"},
               // Hammar and Svensson: Cr + 1.37 Mo + 1.5 Si + 2 Nb + 3 Ti and Ni + 0.31 Mn + 22 C + 14.2 N + Cu
               {F::ferrite_number, "316L", "", austenitic, "C Si Mn Cr Ni Mo N Cu Nb Ti", "", "C Si Mn Cr Ni Mo"},
               // Cr + 3.3 (Mo + 0.5 W) + 16 N
               {F::pren, "2205", "", duplex, "Cr Mo N W", "", "Cr Mo N"},
               {F::pren, "2205", "S32760", duplex, "Cr Mo N W", "Cr Mo N W", "Cr Mo N"},
               // Only the steel beside the stainless plate hardens.
               {F::hardness, "316L", "S355", austenitic, "", "C Si Mn", ""}};
  for (const auto& c : cases) {
    CAPTURE(field(c.quantity).key);
    CAPTURE(c.alloy);
    std::vector<Assignment> joint{{"joint.type", "butt"},
                                  {"joint.thickness", "10"},
                                  {"material.alloy", c.alloy},
                                  {"material.composition", c.analysis}};
    if (*c.alloy2 != 0) joint.push_back({"material.alloy2", c.alloy2});
    const Plan plan = plan_of("", joint);
    const auto e = explain(plan, 0, c.quantity);
    REQUIRE(e);
    const Case& resolved = plan.resolved;
    CHECK(elements_of(*e, resolved.alloy->id) == c.first);
    if (resolved.alloy2 != nullptr) CHECK(elements_of(*e, resolved.alloy2->id) == c.second);
    CHECK(elements_of(*e, resolved.wire->id) == c.wire);
    for (const ExplainedInput& in : e->inputs)
      if (in.key.starts_with("material.composition."))
        CHECK((in.origin == Origin::given) == in.label.ends_with(fmt::format(" of {}", resolved.alloy->id)));
  }
}

TEST_CASE("more of an element moves the quantity by its term in the published formula") {
  const auto changes = [](const char* alloy, F id, std::initializer_list<std::pair<const char*, double>> terms) {
    const Plan plan = plan_of(
        "", {{"joint.type", "butt"},
             {"joint.thickness", "10"},
             {"material.alloy", alloy},
             {"material.composition", "{ C = 0.1, Mn = 1.2, Cr = 0.2, Ni = 0.2, Mo = 0.1, Cu = 0.15, V = 0.04 }"}});
    const auto e = explain(plan, 0, id);
    REQUIRE(e);
    for (const auto& [element, change] : terms) {
      const auto& this_element = element;
      CAPTURE(this_element);
      CHECK(change_by(*e, element) == doctest::Approx(change).epsilon(1e-9));
    }
  };
  changes("S355", F::carbon_equivalent,
          {{"C", 0.01}, {"Mn", 0.1 / 6}, {"Cr", 0.02}, {"Mo", 0.02}, {"V", 0.02}, {"Ni", 0.1 / 15}, {"Cu", 0.1 / 15}});
  changes("S355", F::cet,
          {{"C", 0.01}, {"Mn", 0.01}, {"Mo", 0.01}, {"Cr", 0.005}, {"Cu", 0.005}, {"Ni", 0.0025}, {"V", 0}});
  const Plan duplex = plan_of("", {{"joint.type", "butt"}, {"joint.thickness", "10"}, {"material.alloy", "S32760"}});
  const auto pren = explain(duplex, 0, F::pren);
  REQUIRE(pren);
  const double dilution = 0.01 * duplex.passes[0][F::dilution].value;
  const std::pair<const char*, double> terms[] = {{"Cr", 0.1}, {"Mo", 0.33}, {"W", 0.165}, {"N", 0.16}, {"Ni", 0}};
  for (const auto& [element, change] : terms)
    CHECK(change_by(*pren, element) == doctest::Approx(dilution * change).epsilon(1e-9));
}

TEST_CASE("a constant is named in an explanation when the quantity changes with it, and only then") {
  for (const char* example : {"locker-corner.toml", "keel-bracket.toml", "cradle-beam.toml", "seawater-spool.toml"}) {
    const Plan plan = plan_of(example);
    const PassContext& context = plan.contexts[0];
    const Setting& setting = plan.passes[0].window.band.best;
    const ConstantValues nominal = nominal_values(context.constants);
    const FieldValues before = evaluate(context, nominal, setting);
    for (const FieldInfo& info : fields()) {
      const auto e = explain(plan, 0, info.id);
      if (!e || e->solved_again) continue;
      for (std::size_t k = 0; k < model_constant_count; ++k) {
        const Constant& constant = context.constants[k];
        if (constant.source == 0 && constant.half_width_90 == 0) continue;
        const std::string key(model_constant(static_cast<K>(k)).key);
        CAPTURE(example);
        CAPTURE(info.key);
        CAPTURE(key);
        const double by = constant.half_width_90 > 0 ? constant.half_width_90 : 1e-4 * nominal[k];
        double change = 0;
        for (const double sign : {-1.0, 1.0}) {  // a limit may stop one way
          ConstantValues moved = nominal;
          moved[k] += sign * by;
          change = std::max(change, std::abs(evaluate(context, moved, setting)[info.id] - before[info.id]));
        }
        const bool named =
            std::any_of(e->constants.begin(), e->constants.end(), [&](const auto& c) { return c.key == key; });
        CHECK(named == (change > 1e-9 * std::abs(before[info.id])));
      }
    }
  }
}
