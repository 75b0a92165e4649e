#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <string>

#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "text/nearest_word.hpp"

using namespace seamwright;

namespace {

Joint read_ok(const std::string& text, const std::vector<Assignment>& assignments = {}) {
  const auto joint = read_joint_text(text, "j.toml", assignments, builtin_catalog());
  REQUIRE_MESSAGE(joint, (joint ? "" : format_diagnostics(joint.errors())));
  return *joint;
}

Diagnostics read_bad(const std::string& text, const std::vector<Assignment>& assignments = {}) {
  const auto joint = read_joint_text(text, "j.toml", assignments, builtin_catalog());
  REQUIRE_MESSAGE(!joint, text);
  return joint.errors();
}

// One error, at the place given and holding the words.
void check_error(const std::string& text, int line, int column, std::string_view words, std::string_view help = {}) {
  CAPTURE(text);
  const Diagnostics errors = read_bad(text);
  CAPTURE(format_diagnostics(errors));
  CHECK(errors.size() == 1);
  CHECK(errors[0].place.line == line);
  CHECK(errors[0].place.column == column);
  CHECK(errors[0].message.find(words) != std::string::npos);
  CHECK(errors[0].help.find(help) != std::string::npos);
}

// A good joint on lines 1 to 5; what is added begins on line 6.
std::string fillet(const std::string& more) {
  return "[material]\nalloy = \"S355\"\n[joint]\ntype = \"fillet\"\nthickness = 6\n" + more;
}
std::string butt(const std::string& more) {
  return "[material]\nalloy = \"S355\"\n[joint]\ntype = \"butt\"\nthickness = 6\n" + more;
}

}  // namespace

TEST_CASE("a whole joint") {
  const Joint j = read_ok(R"(schema = 1
title = "Bulkhead to shell, Bootswerft F)"
                          "\xc3\xbc"
                          R"(hr"
id = 17
confidence = 0.9
quality = "C"
[joint]
type = "butt"
thickness = "1/4 in"
thickness2 = 8
preparation = "single-v"
gap = "2 mm"
root_face = 1
angle = 60
position = "PA"
length = "1.5 m"
backing = "ceramic"
sides = 1
[material]
alloy = "S355"
composition = { C = 0.16, Mn = "1.4 %" }
preheat = "212 F"
interpass = 200
hydrogen = 5
[wire]
designation = "ER70S-6"
diameter = 1.2
extension = 15
[gas]
composition = { Ar = 82, CO2 = 18 }
flow = "35 cfh"
[process]
mode = "double-pulse"
travel = "6..8 mm/s"
mechanised = true
wire_feed = "350 ipm"
arc_length = 4
peak_current = 450
peak_time = 2.2
[modulation]
frequency = 2
amplitude = 1.5
share = "40 %"
[limits]
heat_input = "0.5..1.5 kJ/mm"
current = { max = 300 }
penetration = [1, 3]
voltage = "20.."
)");
  CHECK(j.name == "j.toml");
  CHECK(*j.title == "Bulkhead to shell, Bootswerft F\xc3\xbchr");
  CHECK(*j.id == "17");
  CHECK(*j.type == JointType::butt);
  CHECK(*j.thickness_mm == 6.35);
  CHECK(j.thickness_mm.place.line == 8);
  CHECK(j.thickness_mm.place.column == 13);
  CHECK(*j.preparation == PreparationType::single_v);
  CHECK(*j.length_mm == 1500);
  CHECK(*j.backing == Backing::ceramic);
  CHECK(*j.sides == 1);
  REQUIRE(j.composition.size() == 2);
  CHECK(j.composition[1].first == Element::Mn);
  CHECK(j.composition[1].second == 1.4);
  CHECK(*j.preheat_C == 100);
  CHECK(*j.wire == "ER70S-6");
  REQUIRE(j.gas_composition.size() == 2);
  CHECK(j.gas_composition[1].first == "CO2");
  CHECK(*j.gas_flow_l_per_min == doctest::Approx(16.518160512).epsilon(1e-14));
  CHECK(*j.mode == Mode::double_pulse);
  CHECK((*j.travel_mm_per_s).low == 6);
  CHECK((*j.travel_mm_per_s).high == 8);
  CHECK(*j.mechanised);
  CHECK(*j.wire_feed_m_per_min == 8.89);
  CHECK(*j.modulation_share == 0.4);
  REQUIRE(j.limits.size() == 4);
  CHECK(j.limits[0].field == F::heat_input);
  CHECK(j.limits[0].range.high == 1.5);
  CHECK(std::isinf(j.limits[1].range.low));
  CHECK(j.limits[1].range.high == 300);
  CHECK(j.limits[2].range.low == 1);
  CHECK(std::isinf(j.limits[3].range.high));
  CHECK_FALSE(j.leg_mm);
}

TEST_CASE("what is left out stays empty and what must be there is asked for") {
  const Joint j = read_ok(fillet(""));
  CHECK_FALSE(j.gap_mm);
  CHECK_FALSE(j.position);
  CHECK_FALSE(j.mode);
  const Diagnostics errors = read_bad("");
  REQUIRE(errors.size() == 3);
  CHECK(errors[0].message == "joint.type is missing");
  CHECK(errors[1].message == "joint.thickness is missing");
  CHECK(errors[2].message == "material.alloy is missing");
}

TEST_CASE("unknown keys and words, with the nearest known one") {
  check_error(fillet("thicknes = 5\n"), 6, 1, "unknown key 'joint.thicknes'", "did you mean 'joint.thickness'");
  check_error(fillet("diamter = 5\n"), 6, 1, "unknown key", "'joint.diameter'");
  check_error(fillet("alloy = \"S355\"\n"), 6, 1, "unknown key 'joint.alloy'", "'material.alloy'");
  check_error(fillet("[proces]\nmode = \"spray\"\n"), 6, 2, "unknown key 'proces'", "'process'");
  check_error(fillet("zzzzzzz = 5\n"), 6, 1, "unknown key 'joint.zzzzzzz'");
  check_error(fillet("\"x.y\" = 5\n"), 6, 1, "unknown key");
  check_error(fillet("position = \"PX\"\n"), 6, 12, "joint.position 'PX' is not in the catalog");
  check_error(fillet("[process]\nmode = \"short_arc\"\n"), 7, 8, "process.mode 'short_arc'",
              "did you mean 'short-arc'");
  check_error(fillet("[wire]\ndesignation = \"ER70S6X\"\n"), 7, 15, "not in the catalog", "ER70S-6");
  check_error(fillet("[limits]\nheat_imput = \"..1\"\n"), 7, 1, "unknown key", "'limits.heat_input'");
  check_error(fillet("[gas]\ncomposition = { Xe = 100 }\n"), 7, 17, "'Xe' is not a component", "Ar, CO2");
  check_error(fillet("[material.composition]\nQq = 1\n"), 7, 1, "'Qq' is not an element");
  check_error("[joint]\ntype = \"filet\"\nthickness = 6\n[material]\nalloy = \"S355\"\n", 2, 8, "joint.type 'filet'",
              "did you mean 'fillet'");
}

TEST_CASE("values of the wrong kind, unit or size") {
  check_error(fillet("leg = \"70 F\"\n"), 6, 7, "'F' is a temperature, expected a length");
  check_error(fillet("leg = -4\n"), 6, 7, "joint.leg is -4 mm, expected 1 to 50 mm");
  check_error(fillet("leg = 400\n"), 6, 7, "expected 1 to 50 mm", "a number without a unit is in mm");
  check_error(fillet("leg = \"0,25 in\"\n"), 6, 7, "decimal comma", "'0.25 in'");
  check_error(fillet("leg = nan\n"), 6, 7, "not a finite number");
  check_error(fillet("leg = inf\n"), 6, 7, "not a finite number");
  check_error(fillet("leg = true\n"), 6, 7, "joint.leg is true or false, expected a length");
  check_error(fillet("leg = [4]\n"), 6, 7, "joint.leg is a list");
  check_error(fillet("position = true\n"), 6, 12, "expected a string");
  check_error(fillet("position = \"\"\n"), 6, 12, "is empty");
  check_error(fillet("sides = 1.5\n"), 6, 9, "whole number");
  check_error(fillet("[process]\nmechanised = \"yes\"\n"), 7, 14, "expected true or false");
  check_error(fillet("[process]\ntravel = \"8..6\"\n"), 7, 10, "runs from 8 down to 6");
  check_error(fillet("[process]\ntravel = [8, 6]\n"), 7, 10, "runs from 8 down to 6");
  check_error(fillet("[process]\ntravel = \"6..\"\n"), 7, 10, "not a range");
  check_error(fillet("[process]\ntravel = { min = 6 }\n"), 7, 10, "expected a range");
  check_error(fillet("[limits]\ncurrent = 200\n"), 7, 11, "one value, expected a range", "..200 A");
  check_error(fillet("[limits]\ncurrent = \"..1 kJ/mm\"\n"), 7, 11, "a heat input, expected a current");
  check_error("wire = 5\n" + fillet(""), 1, 8, "wire is a table of keys");
  check_error("schema = 2\n" + fillet(""), 1, 10, "schema is 2");
}

TEST_CASE("sums of compositions") {
  check_error(fillet("[gas]\ncomposition = { Ar = 82, CO2 = 10 }\n"), 7, 22, "adds up to 92 %");
  check_error(fillet("[material.composition]\nC = 60\nMn = 60\n"), 7, 5, "adds up to 120 %");
}

TEST_CASE("contradictions name both places") {
  const auto contradiction = [](const std::string& text, int line, std::string_view words, int other_line) {
    CAPTURE(text);
    const Diagnostics errors = read_bad(text);
    CAPTURE(format_diagnostics(errors));
    REQUIRE(errors.size() == 1);
    CHECK(errors[0].place.line == line);
    CHECK(errors[0].message.find(words) != std::string::npos);
    CHECK(errors[0].message.find("(line " + std::to_string(other_line) + ")") != std::string::npos);
  };
  contradiction(fillet("root_face = 2\n"), 6, "joint.root_face does not go with joint.type = \"fillet\"", 4);
  contradiction(fillet("angle = 60\n"), 6, "joint.angle does not go with", 4);
  contradiction(fillet("preparation = \"u\"\n"), 6, "joint.preparation does not go with", 4);
  contradiction(fillet("backing = \"ceramic\"\n"), 6, "joint.backing does not go with", 4);
  contradiction(fillet("diameter = 60\n"), 6, "joint.diameter does not go with", 4);
  contradiction(fillet("leg = 13\n"), 6, "joint.leg is too large", 5);
  contradiction(fillet("thickness2 = 2\nleg = 5\n"), 7, "joint.leg is too large for the thinner plate, 2 mm", 6);
  contradiction(fillet("gap = 13\n"), 6, "joint.gap is more than twice", 5);
  contradiction(butt("leg = 4\n"), 6, "joint.leg does not go with joint.type = \"butt\"", 4);
  contradiction(butt("root_face = 6\n"), 6, "leaves no groove", 5);
  contradiction(butt("preparation = \"square\"\nangle = 60\n"), 7, "joint.angle does not go with", 6);
  contradiction(butt("preparation = \"double-v\"\nsides = 1\n"), 7, "joint.sides = 1 does not go with", 6);
  contradiction(butt("sides = 2\nbacking = \"permanent\"\n"), 7, "joint.backing does not go with joint.sides = 2", 6);
  CHECK(read_joint_text(butt("sides = 2\nbacking = \"ceramic\"\n"), "j.toml", {},
                        builtin_catalog()));  // taken off before the second side
  contradiction("[material]\nalloy = \"S355\"\n[joint]\ntype = \"pipe-butt\"\nthickness = 6\ndiameter = 12\n", 6,
                "leaves no bore", 5);
  contradiction("[material]\nalloy = \"S355\"\n[joint]\ntype = \"pipe-butt\"\nthickness = 6\nthickness2 = 8\n", 6,
                "joint.thickness2 does not go with", 4);
  contradiction(fillet("[process]\nmode = \"spray\"\npeak_time = 2\n"), 8, "process.peak_time does not go with", 7);
  contradiction(fillet("[process]\nmode = \"short-arc\"\narc_length = 2\n"), 8, "process.arc_length", 7);
  contradiction(fillet("[process]\nmode = \"pulse\"\n[modulation]\nfrequency = 2\n"), 9, "modulation.frequency", 7);
  contradiction(fillet("[process]\nwire_feed = 5\n[modulation]\namplitude = 5\n"), 9, "modulation.amplitude", 7);
  contradiction(fillet("[gas]\ndesignation = \"M21\"\ncomposition = { Ar = 100 }\n"), 8, "gas.composition", 7);
  contradiction(fillet("[wire]\ndiameter = 1.2\nextension = 3\n"), 8, "shorter than 3 wire diameters", 7);
  contradiction(
      "[joint]\ntype = \"butt\"\nthickness = 6\n[material]\nalloy = \"S355\"\npreheat = 150\ninterpass = 100\n", 7,
      "material.interpass is below material.preheat", 6);
  // What sheet needs is no contradiction.
  read_ok("[material]\nalloy = \"S355\"\n[joint]\ntype = \"fillet\"\nthickness = 1\nleg = 2.5\n");
  read_ok(fillet("[modulation]\nfrequency = 2\n"));
}

TEST_CASE("many errors come at once, twenty are shown") {
  std::string text = fillet("");
  for (int i = 0; i < 30; ++i) text += "wrong_" + std::to_string(i) + " = 1\n";
  const std::string shown = format_diagnostics(read_bad(text));
  std::size_t count = 0;
  for (std::size_t at = shown.find("error:"); at != std::string::npos; at = shown.find("error:", at + 1)) ++count;
  CHECK(count == 20);
  CHECK(shown.find("and 10 more errors") != std::string::npos);
  CHECK(shown.find("j.toml:6:1: error: unknown key 'joint.wrong_0'\n    wrong_0 = 1\n    ^\n") == 0);
}

TEST_CASE("command-line keys") {
  const std::vector<Assignment> base = {
      {"joint.type", "fillet"}, {"joint.thickness", "1/4 in"}, {"material.alloy", "S355"}};
  const auto with = [&](std::vector<Assignment> more) {
    more.insert(more.begin(), base.begin(), base.end());
    return more;
  };
  const auto joint = read_joint("", base, builtin_catalog());
  REQUIRE(joint);
  CHECK(*joint->thickness_mm == 6.35);
  CHECK(joint->thickness_mm.place.file == "--set joint.thickness=1/4 in");
  CHECK(joint->thickness_mm.place.line == 0);

  // They win over the file.
  CHECK(*read_ok(fillet("leg = 4\n"), {{"joint.leg", "5"}}).leg_mm == 5);
  CHECK(*read_ok(fillet("leg = 4\n"), {{"joint.leg", "\"5 mm\""}}).leg_mm == 5);
  CHECK(*read_ok(fillet("leg = 4\n"), {{"joint.leg", "5"}, {"joint.leg", "6"}}).leg_mm == 6);
  const auto gas =
      read_ok(fillet("[gas]\ncomposition = { Ar = 90, He = 10 }\n"), {{"gas.composition", "{ Ar = 82, CO2 = 18 }"}});
  REQUIRE(gas.gas_composition.size() == 2);
  CHECK(gas.gas_composition[1].first == "CO2");
  CHECK(read_ok(fillet(""), {{"limits.heat_input", "..1.5"}}).limits.size() == 1);
  CHECK(*read_ok(fillet(""), {{"process.mechanised", "true"}}).mechanised);
  CHECK((*read_ok(fillet(""), {{"process.travel", "[6, 8]"}}).travel_mm_per_s).high == 8);

  const auto bad = read_joint("", with({{"joint.gap", "-1"}}), builtin_catalog());
  REQUIRE(!bad);
  CHECK(format_diagnostics(bad.errors()).find("--set joint.gap=-1: error: joint.gap is -1 mm, expected 0 to 20 mm\n") ==
        0);
  CHECK(format_diagnostics(read_bad(fillet(""), {{"joint.legg", "4"}})).find("did you mean 'joint.leg'") !=
        std::string::npos);
  CHECK(format_diagnostics(read_bad(fillet(""), {{"joint.root_face", "2"}})).find("(line 4)") != std::string::npos);
  for (const Assignment& wrong : {Assignment{"", "1"},
                                  {"a..b", "1"},
                                  {".", "1"},
                                  {"joint", "6"},
                                  {"joint.leg", "1\n[x]\ny=1"},
                                  {"joint.leg", "1 # x\""},
                                  {std::string(500, 'k'), "1"}})
    CHECK_FALSE(format_diagnostics(read_bad(fillet(""), {wrong})).empty());
  CHECK_FALSE(read_ok(fillet("leg = 5"), {{"joint.leg", ""}}).leg_mm);  // without a value: left out
}

TEST_CASE("messages never carry control characters") {
  const std::string shown = format_diagnostics(read_bad(fillet(""), {{"joint.leg",
                                                                      "\x1b[31m\n\x7f\xc2\x9b"
                                                                      "5"},
                                                                     {"x\x1b", "1"}}));
  for (const char c : shown) CHECK((c == '\n' || static_cast<unsigned char>(c) >= 0x20));
  CHECK(shown.find('\x7f') == std::string::npos);
  CHECK(shown.find("\xc2\x9b") == std::string::npos);
}

TEST_CASE("nearest words") {
  constexpr std::array<std::string_view, 4> words = {"fillet", "butt", "pipe-butt", "gap"};
  CHECK(nearest_word("filet", words) == "fillet");
  CHECK(nearest_word("flilet", words) == "fillet");  // swapped neighbours are one edit
  CHECK(nearest_word("FILLET", words) == "fillet");
  CHECK(nearest_word("pipe_butt", words) == "pipe-butt");
  CHECK(nearest_word("gp", words) == "gap");
  CHECK(nearest_word("xyz", words).empty());
  CHECK(nearest_word("", words).empty());
  CHECK(nearest_word(std::string(100000, 'x'), words).empty());
}

TEST_CASE("the key table is whole") {
  for (const InputKeyInfo& key : input_keys()) {
    CAPTURE(std::string(key.path));
    CHECK_FALSE(key.accepts.empty());
    CHECK_FALSE(key.meaning.empty());
    CHECK(key.meaning.back() == '.');
  }
}

TEST_CASE("every output field is declared once, in order") {
  for (std::size_t i = 0; i < field_count; ++i) {
    const FieldInfo& info = fields()[i];
    CHECK(static_cast<std::size_t>(info.id) == i);
    CHECK(field_by_key(info.key) == info.id);
    CHECK_FALSE(info.label.empty());
    CHECK_FALSE(info.meaning.empty());
  }
  CHECK_FALSE(field_by_key("no_such_field").has_value());
  // NIST SP 811 factors: 1 m/min = 39.370 08 in/min, 1 mm/s = 2.362 205 in/min, 1 kJ/mm = 25.4 kJ/in, 1 lb = 453.592 37
  // g.
  CHECK(field(F::wire_feed).us_factor == doctest::Approx(39.37007874).epsilon(1e-9));
  CHECK(field(F::travel).us_factor == doctest::Approx(2.362204724).epsilon(1e-9));
  CHECK(field(F::heat_input).us_factor == 25.4);
  CHECK(field(F::deposit_area).us_factor == doctest::Approx(1 / 645.16).epsilon(1e-12));
  CHECK(field(F::wire_mass).us_factor == doctest::Approx(0.00220462262).epsilon(1e-8));
  CHECK(field(F::gas_volume).us_factor == doctest::Approx(0.0353146667).epsilon(1e-8));
  CHECK(100 * field(F::preheat).us_factor + field(F::preheat).us_offset == 212);
}

TEST_CASE("equipment of the example") {
  const auto e = read_equipment(SEAMWRIGHT_EXAMPLE_DIR "/slipway-350.toml");
  REQUIRE_MESSAGE(e, (e ? "" : format_diagnostics(e.errors())));
  CHECK(e->name == "Slipway 350");
  CHECK(e->current_A->high == 350);
  CHECK(*e->rated_duty == 0.6);
  CHECK(e->modes.size() == 4);
  REQUIRE(e->dials.size() == 6);
  // Both ends of the feed dial are the ends of the feeder.
  CHECK(dial_reading(e->dials[0], e->wire_feed_m_per_min->low) == doctest::Approx(e->dials[0].low));
  CHECK(dial_reading(e->dials[0], e->wire_feed_m_per_min->high) == doctest::Approx(e->dials[0].high));
  CHECK(dial_reading(e->dials[1], 1.5) == doctest::Approx(6));
  CHECK(dial_reading(e->dials[3], 4.0) == doctest::Approx(2));
}

TEST_CASE("equipment files that do not fit") {
  const auto refused = [](const std::string& text, std::string_view words) {
    const auto e = read_equipment_text(text, "e.toml");
    REQUIRE_MESSAGE(!e, text);
    const std::string shown = format_diagnostics(e.errors());
    CHECK_MESSAGE(shown.find(words) != std::string::npos, shown);
  };
  REQUIRE(read_equipment_text("", "e.toml"));
  refused("[source]\ncurent = \"1..2\"\n", "e.toml:2:1: error: unknown key 'source.curent'");
  refused("[source]\ncurrent = \"20..350 V\"\n", "a voltage, expected a current");
  refused("[source]\nrated_current = 350\n", "belong together");
  refused("[source]\nduty = \"35 %\"\n", "without a rating");
  refused("modes = [\"pulze\"]\n", "did you mean 'pulse'");
  refused("modes = \"pulse\"\n", "must be a list");
  refused("accuracy = \"fine\"\n", "standard, precision");
  refused("dial = 3\n", "must be a list of tables");
  refused("source = 3\n", "table of keys");
  refused("[[dial]]\nsets = \"voltage\"\n", "a dial needs sets, per_step and scale");
  refused("[[dial]]\nsets = \"volts\"\nper_step = 1\nscale = [0, 9]\n", "'volts' is not known");
  refused("[[dial]]\nsets = \"voltage\"\nper_step = 0\nscale = [0, 9]\n", "per_step is 0");
  refused("[[dial]]\nsets = \"voltage\"\nper_step = 1\nscale = [9, 9]\n", "has no length");
  refused("[[dial]]\nsets = \"voltage\"\nper_step = \"1 A\"\nscale = [0, 9]\n", "a current, expected a voltage");
  refused("[[dial]]\nsteps = 1\n", "unknown key 'steps'");
}
