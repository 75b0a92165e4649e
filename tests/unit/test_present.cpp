// Presenters on a hand-made plan: what they print is decided here, what is in it elsewhere.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "present/quantity_groups.hpp"
#include "present/write_card.hpp"
#include "present/write_csv.hpp"
#include "present/write_json.hpp"
#include "present/write_table.hpp"
#include "quantity/quantity_text.hpp"
#include "seamwright/catalog.hpp"
#include "text/text_layout.hpp"
#include "text/units_text.hpp"

using namespace seamwright;

namespace {

std::size_t occurrences(std::string_view text, std::string_view part) {
  std::size_t n = 0;
  for (std::size_t at = text.find(part); at != std::string_view::npos; at = text.find(part, at + 1)) ++n;
  return n;
}

PassResult pass_with(int number, PassRole role, double feed) {
  PassResult pass;
  pass.pass.number = number;
  pass.pass.role = role;
  pass.feasible = true;
  Estimate e;
  e.present = true;
  e.value = feed;
  e.low = feed - 1;
  e.high = feed + 1;
  e.plus_minus = 0.8;
  e.low_end = C::root_fusion;
  e.high_end = C::burn_through;
  pass[F::wire_feed] = e;
  return pass;
}

Plan made_plan() {
  const Catalog& catalog = builtin_catalog();
  Plan plan;
  Case& c = plan.resolved;
  c.catalog = &catalog;
  c.alloy = catalog.alloys.data();
  c.wire = catalog.wires.data();
  c.position = catalog.positions.data();
  c.quality = catalog.quality_levels.data();
  c.gas_name = "mixture";
  c.section.thickness_mm = 12;
  c.joint.title.value = "Seam \x1b[2J";
  plan.feasible = true;
  plan.passes.add() = pass_with(1, PassRole::root, 6);
  plan.passes.add() = pass_with(2, PassRole::fill, 8);
  plan.passes.add() = pass_with(3, PassRole::fill, 8.001);
  plan.passes.back().pass.nominal_mm2 += 0.001;
  plan.passes.add() = pass_with(4, PassRole::cap, 8);
  for (const PassResult& pass : plan.passes) c.pass_plans.push_back(pass.pass);
  return plan;
}

}  // namespace

TEST_CASE("every field stands in one group of the table") {
  std::multiset<F> seen;
  for (const LabelledGroup& g : quantity_groups()) seen.insert(g.fields.begin(), g.fields.end());
  for (const FieldInfo& info : fields()) CHECK(seen.count(info.id) == 1);
}

static double value_of(const Expected<double>& value) {
  REQUIRE(value);
  return *value;
}

TEST_CASE("inches: a fraction where there is one, and what is printed reads back") {
  CHECK(inch_fraction(1.190625) == "3/64");
  CHECK(inch_fraction(38.1) == "1 1/2");
  CHECK(inch_fraction(25.4) == "1");
  CHECK(inch_fraction(9.525) == "3/8");
  for (const double metric : {0.0, 0.4, 1.2, 6.0, 10.0, 12.0, 450.0, 1000.0, -6.35})
    CHECK(inch_fraction(metric).empty());
  for (int sixty_fourths = 1; sixty_fourths < 400; ++sixty_fourths) {
    const double mm = 25.4 * sixty_fourths / 64;
    const auto back = parse_quantity(length_text(mm, Units::us), "mm");
    REQUIRE(back);
    CHECK(*back == doctest::Approx(mm).epsilon(1e-12));
  }
  for (const std::string_view text : {"1-1/2 in", "1 1/2 in", "1 1/2\"", "1-1/2\"", "1.5 in", "38.1"})
    CHECK(value_of(parse_quantity(text, "mm")) == doctest::Approx(38.1));
  CHECK_FALSE(parse_quantity("1-", "mm"));
  CHECK_FALSE(parse_quantity("1-2", "mm"));
  CHECK(value_of(parse_quantity("-1-1/2 in", "mm")) == doctest::Approx(-38.1));
  // Every US unit of an output quantity is one that inputs know, and says the same there.
  for (const FieldInfo& info : fields()) {
    if (info.unit.empty()) continue;
    const double metric = 123.4;
    const auto back = parse_quantity(with_unit(in_units(info, metric, Units::us), info.us_unit), info.unit);
    REQUIRE_MESSAGE(back, info.key);
    CHECK_MESSAGE(*back == doctest::Approx(metric).epsilon(1e-9), info.key);
  }
}

TEST_CASE("wires of the inch trade") {
  const Catalog& catalog = builtin_catalog();
  // A size is itself within half a thousandth of an inch; a trade size has the limits of the size it goes with.
  for (const auto& [mm, size] :
       {std::pair{1.2, 1.2}, {1.1938, 1.2}, {1.190625, 1.2}, {1.5875, 1.6}, {0.889, 0.9}, {1.143, 1.2}, {0.762, 0.8}}) {
    const WireSize* found = find_wire_size(catalog, "carbon-steel", mm);
    REQUIRE(found != nullptr);
    CHECK(found->diameter_mm == size);
  }
  for (const double mm : {1.1, 1.25, 1.3, 2.0}) CHECK(find_wire_size(catalog, "carbon-steel", mm) == nullptr);
  CHECK(aws_name(*find_wire(catalog, "G 3Si1")) == "ER70S-6");
  // A list in US units has the AWS name alone: it must mean the same wire.
  for (const Wire& wire : catalog.wires) {
    CAPTURE(wire.id);
    if (!aws_name(wire).empty()) CHECK(find_wire(catalog, aws_name(wire)) == &wire);
  }
  CHECK(aws_name(*find_wire(catalog, "G 4Si1")).empty());
  CHECK(aws_name(*find_wire(catalog, "metal-cored wire")) == "E70C-6M");
  for (const WireTradeSize& size : catalog.wire_trade_sizes) {
    CHECK(value_of(parse_quantity(size.id, "mm")) == doctest::Approx(size.diameter_mm));
    CHECK(std::abs(size.diameter_mm / size.size_mm - 1) < 0.06);
  }
}

TEST_CASE("numbers lose neither order nor sign rules when printed") {
  CHECK(fixed_text(-0.0004, 2) == "0.00");
  CHECK(fixed_text(-0.5, 1) == "-0.5");
  CHECK(short_text(-0.0) == "0");
  CHECK(short_text(6.3500001) == "6.35");
  CHECK(six_digits(1.0 / 3.0) == doctest::Approx(1.0 / 3.0).epsilon(1e-6));
  CHECK(length_text(6.35, Units::us) == "1/4 in");
  CHECK(length_text(6.0, Units::us) == "0.236 in");
  const FieldInfo& preheat = field(F::preheat);
  CHECK(quantity_text(preheat, 100, Units::us) == "212");
  CHECK(difference_text(preheat, 100, Units::us) == "180");  // a difference is not shifted
}

TEST_CASE("passes that print the same stand once") {
  const std::string table = plan_table(made_plan(), {});
  CHECK(occurrences(table, "Pass 1 of 4: root") == 1);
  CHECK(occurrences(table, "Passes 2-3 of 4: fill") == 1);
  CHECK(occurrences(table, "Pass 4 of 4: cap") == 1);
  CHECK(occurrences(table, "Pass 3") == 0);
}

TEST_CASE("the card has passes that print the same once, and keeps to its width") {
  for (const std::size_t width : {40u, 80u, 100u}) {
    CardOptions options;
    options.width = width;
    const std::string card = plan_card(made_plan(), options);
    CHECK(occurrences(card, "Pass 1 of 4: root") == 1);
    CHECK(occurrences(card, "Passes 2-3 of 4: fill") == 1);
    CHECK(occurrences(card, "Pass 4 of 4: cap") == 1);
    CHECK(occurrences(card, "  SET\n") + occurrences(card, "  SET ") == 3);
    for (std::size_t from = 0; from < card.size();) {
      const std::size_t to = card.find('\n', from);
      CHECK_MESSAGE(to - from <= width, card.substr(from, to - from));
      from = to + 1;
    }
    CHECK(std::all_of(card.begin(), card.end(), [](char ch) { return ch == '\n' || (ch >= ' ' && ch < '\x7f'); }));
  }
}

TEST_CASE("the table keeps to its width, to plain characters, and colours only when asked") {
  for (const std::size_t width : {72u, 80u, 100u}) {
    TableOptions options;
    options.width = width;
    const std::string table = plan_table(made_plan(), options);
    for (std::size_t from = 0; from < table.size();) {
      const std::size_t to = table.find('\n', from);
      CHECK_MESSAGE(to - from <= width, table.substr(from, to - from));
      from = to + 1;
    }
    CHECK(table.find('\x1b') == std::string::npos);
    CHECK(std::all_of(table.begin(), table.end(), [](char ch) { return static_cast<unsigned char>(ch) < 0x80; }));
    options.color = true;
    CHECK(plan_table(made_plan(), options).find("\x1b[1m") != std::string::npos);
  }
}

TEST_CASE("help is fitted to a narrower screen: paragraphs and lists, and what fits stays as it is") {
  const std::string text =
      "A paragraph of two\nlines in the text.\n\n  term      what it means,\n            in two lines\n  x = 1     # "
      "short\n";
  CHECK(fitted(text, 30) == text);
  CHECK(fitted(text, 24) ==
        "A paragraph of two\nlines in the text.\n\n  term      what it\n            means, in\n            two lines\n"
        "  x = 1     # short\n");
  CHECK(fitted(text, 16) ==
        "A paragraph of\ntwo lines in the\ntext.\n\n  term\n      what it\n      means, in\n      two lines\n"
        "  x = 1  # short\n");
}

TEST_CASE("a conflict tells by how much") {
  Margin m;
  m.id = C::root_fusion;
  m.field = F::penetration;
  m.value = 0.31;
  m.limit = 0.5;
  CHECK(shortfall_words(m, Units::metric) == "penetration 0.31 mm, needs at least 0.50 mm: 0.19 mm too little (38 %)");
  m.upper = true;
  m.value = 0.62;
  CHECK(shortfall_words(m, Units::metric) == "penetration 0.62 mm, needs at most 0.50 mm: 0.12 mm too much (24 %)");
}

TEST_CASE("JSON holds the same numbers under the field keys") {
  const auto json = nlohmann::json::parse(plan_json(made_plan(), {}));
  CHECK(json["passes"].size() == 4);
  const auto& feed = json["passes"][0]["wire_feed"];
  CHECK(feed["value"] == 6.0);
  CHECK(feed["unit"] == "m/min");
  CHECK(feed["ends"]["low"] == "root-fusion");
  CHECK(feed["dial"].is_null());
  CHECK(!json["passes"][0].contains("pulse_frequency"));
  CHECK(occurrences(plan_json(made_plan(), {Units::metric, "1", true}), "\n") == 1);
}

TEST_CASE("CSV cells survive commas, quotes, line ends and formulas") {
  const auto cell = [](std::string_view text) {
    std::string out;
    append_csv_text(out, text);
    return out;
  };
  CHECK(cell("plain") == "plain");
  CHECK(cell("a,b") == "\"a,b\"");
  CHECK(cell("say \"x\"") == "\"say \"\"x\"\"\"");
  CHECK(cell("two\nlines") == "\"two\nlines\"");
  CHECK(cell("=1+1") == "'=1+1");
  CHECK(cell("-1,2") == "\"'-1,2\"");
  std::string header, error;
  const std::vector<PlanColumn> columns = plan_columns(Units::metric);
  append_csv_header(header, {}, columns);
  append_csv_error(error, {}, "no such alloy", columns);
  CHECK(occurrences(header, ",") == occurrences(error, ","));
}

TEST_CASE("text wraps at its width and hides control characters") {
  std::string out;
  append_wrapped(out, "one two three four", 9, 0, 2);
  CHECK(out == "one two\n  three\n  four\n");
  CHECK(printable("a\x1b[1mb\xc2\x9b") == "a?[1mb?");
  CHECK(letters("gr\xc3\xbc\xc3\x9f") == 4);
  out.clear();
  append_wrapped(out, "at 25 % more", 7, 0, 0);
  CHECK(out == "at 25 %\nmore\n");
  out.clear();
  append_wrapped(out, "up to 25 %; more", 9, 0, 0);  // the sign stays with its number
  CHECK(out == "up to\n25 %;\nmore\n");
}
