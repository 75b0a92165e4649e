#include <doctest/doctest.h>
#include <fmt/format.h>

#include <chrono>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include "input/job_reader.hpp"
#include "input/job_records.hpp"
#include "present/plan_columns.hpp"
#include "present/write_jobs.hpp"
#include "seamwright/catalog.hpp"
#include "text/json_value.hpp"

using namespace seamwright;

namespace {

struct Found {
  std::string text;
  std::uint64_t line;
  JobFlaw flaw;
  bool operator==(const Found&) const = default;
};

// All rows of a text that comes in pieces.
std::vector<Found> rows_of(std::string_view text, JobFormat format, std::size_t longest,
                           const std::vector<std::size_t>& pieces) {
  RecordScanner scanner(format, ',', longest);
  std::vector<Found> rows;
  std::string buffer;
  std::size_t taken = 0, piece = 0;
  for (bool at_end = false;;) {
    const RecordScanner::Step step = scanner.next(buffer, at_end);
    if (step.found)
      rows.push_back({buffer.substr(step.record.offset, step.record.size), step.record.line, step.record.flaw});
    buffer.erase(0, step.used);
    if (step.used > 0) continue;
    if (at_end) return rows;
    const std::size_t size = std::min(pieces[piece++ % pieces.size()], text.size() - taken);
    buffer += text.substr(taken, size);
    taken += size;
    at_end = taken == text.size();
  }
}

}  // namespace

TEST_CASE("rows of a job list: quotes, blank lines, line ends, flaws") {
  const auto rows = rows_of("a,\"b\nc\",d\r\n\n  \ne,6\" plate\nf,\"g\nh,i\n", JobFormat::csv, 1000, {1000});
  const std::vector<Found> expected{{"a,\"b\nc\",d", 1, JobFlaw::none},
                                    {"e,6\" plate", 5, JobFlaw::none},
                                    {"f,\"g", 6, JobFlaw::open_quote},
                                    {"h,i", 7, JobFlaw::none}};
  CHECK(rows == expected);
  const auto tables =
      rows_of("# jobs\n[[job]]\nid = \"a\"\n\n [[ job ]] # b\nid = \"b\"", JobFormat::toml, 1000, {1000});
  CHECK(tables.size() == 2);
  CHECK(tables[0].line == 2);
  CHECK(tables[1].text == " [[ job ]] # b\nid = \"b\"");
  const auto wide = rows_of("{\"a\":1}\n{" + std::string(100, 'x') + "}\n{}\n", JobFormat::ndjson, 20, {1000});
  CHECK(wide.size() == 3);
  CHECK(wide[1].flaw == JobFlaw::too_long);
  CHECK(wide[2].line == 3);
}

TEST_CASE("rows do not hang on how the text comes in") {
  std::mt19937 dice(5);
  const std::string letters = "ab,,\"\"\n\r [j";
  for (int i = 0; i < 3000; ++i) {
    std::string text;
    for (int k = std::uniform_int_distribution<int>(0, 80)(dice); k > 0; --k)
      text += letters[std::uniform_int_distribution<std::size_t>(0, letters.size() - 1)(dice)];
    if (i % 3 == 0) text.insert(text.size() / 2, "\n[[job]]\n");
    const auto format = static_cast<JobFormat>(i % 3);
    // With room for the longest row the pieces may be of any size.
    const auto whole = rows_of(text, format, 30, {text.size() + 1});
    CAPTURE(text);
    CHECK(rows_of(text, format, 30, {1}) == whole);
    CHECK(rows_of(text, format, 30, {3, 1, 7, 2}) == whole);
  }
}

TEST_CASE("cells of a CSV row") {
  std::vector<std::string_view> cells;
  std::string scratch;
  CHECK(split_csv_row("a, b ,\"c, \"\"d\"\"\",,6\" plate", ',', cells, scratch));
  CHECK(cells == std::vector<std::string_view>{"a", "b", "c, \"d\"", "", "6\" plate"});
  CHECK(split_csv_row("", ',', cells, scratch));
  CHECK(cells.size() == 1);
  CHECK_FALSE(split_csv_row("\"a\" b,c", ',', cells, scratch));
  CHECK(sniff_separator("a;\"b,c,d\";e") == ';');
  CHECK(sniff_separator("a\tb") == '\t');
  CHECK(sniff_separator("a") == ',');
}

TEST_CASE("JSON rows") {
  const auto row =
      parse_json_object(R"( {"joint.type": "fil\u006cet", "joint": {"gap": -1.5e0}, "n": null, "l": [1]} )");
  REQUIRE(row);
  const TomlValue* joint = row->find("joint");
  REQUIRE(joint != nullptr);
  CHECK(joint->find("type")->text == "fillet");
  CHECK(joint->find("gap")->number == -1.5);
  CHECK(row->find("n") == nullptr);
  CHECK(row->find("l")->items.size() == 1);
  const auto parts = parse_json_object(R"({"a": {"b": {"x": 1}}, "a.b": {"y": 2}, "a.c": 3, "d.e": null, "f": {}})");
  REQUIRE(parts);
  const TomlValue* a = parts->find("a");
  REQUIRE(a != nullptr);
  CHECK(a->members.size() == 2);
  CHECK(a->find("b")->find("x")->number == 1);
  CHECK(a->find("b")->find("y")->number == 2);
  CHECK(a->find("c")->number == 3);
  CHECK(parts->find("d") == nullptr);
  CHECK(parts->find("f")->members.empty());
  for (const char* wrong : {"",
                            "[]",
                            "{",
                            "{\"a\"}",
                            "{\"a\":}",
                            "{\"a\":01}",
                            "{\"a\":1.}",
                            "{\"a\":1,}",
                            "{\"a\":1}x",
                            "{\"a\":\"\\q\"}",
                            "{\"a\":\"\\ud800\"}",
                            "{\"a\":\"\x01\"}",
                            "{\"a\":\"\xff\"}",
                            "{\"a\":1,\"a\":2}",
                            "{\"a\":{\"b\":1},\"a.b\":2}",
                            "{\"a\":{\"b\":1},\"a\":{\"b\":2}}",
                            "{\"a.b\":1,\"a\":2}",
                            "{a:1}",
                            "{\"a\":tru}",
                            "{\"a\":\"b"}) {
    CAPTURE(wrong);
    CHECK_FALSE(parse_json_object(wrong));
  }
  std::string deep = "{\"a\":";
  deep += std::string(100, '[') + std::string(100, ']') + "}";
  CHECK_FALSE(parse_json_object(deep));
  std::string out;
  append_json_string(out, "a\"\\\n\xff\xc3\xa9");
  CHECK(out == "\"a\\\"\\\\\\u000a\xEF\xBF\xBD\xc3\xa9\"");
}

TEST_CASE("JSON rows: dots count as levels, and what is too much is refused in words") {
  const auto dotted = [](std::size_t parts, std::string_view value) {
    std::string key = "a";
    for (std::size_t i = 1; i < parts; ++i) key += ".a";
    return fmt::format("{{\"{}\": {}}}", key, value);
  };
  CHECK(parse_json_object(dotted(32, "1")));
  for (const std::size_t parts : {33U, 34U, 40000U, 100001U}) {
    const auto row = parse_json_object(dotted(parts, "1"));
    REQUIRE_FALSE(row);
    CHECK(row.errors().front().message == "nested too deeply: more than 32 levels");
  }
  // Objects and dots together, and the keys that the objects around are at meanwhile.
  CHECK(parse_json_object(dotted(20, dotted(12, "1"))));
  CHECK_FALSE(parse_json_object(dotted(20, dotted(13, "1"))));
  std::string nested = "1";
  for (int i = 0; i < 16; ++i) nested = fmt::format(R"({{"a.b": {}, "c": 2}})", nested);
  const auto objects = parse_json_object(nested);
  REQUIRE(objects);
  CHECK(objects->find("a")->find("b")->find("c")->number == 2);
  std::string deep;
  for (int i = 0; i < 100000; ++i) deep += "{\"a\":";
  CHECK_FALSE(parse_json_object(deep));

  const auto keys = [](int count) {
    std::string text = "{\"k\": 0";
    for (int i = 1; i < count; ++i) text += fmt::format(", \"k{}\": 0", i);
    return text + "}";
  };
  JsonReader reader;
  TomlValue row;
  CHECK(reader.read_object(keys(1000), row));
  CHECK_FALSE(reader.read_object(keys(1001), row));
  CHECK(reader.error().message == "more than 1000 values in one row");
  std::string items = "0";
  for (int i = 0; i < 1000; ++i) items += ",0";
  CHECK_FALSE(reader.read_object("{\"a\": [" + items + "]}", row));
  CHECK(reader.error().message == "more than 1000 values in one row");
  CHECK(parse_json_object(keys(2000)));  // of an answer
  CHECK_FALSE(parse_json_object(keys(5000)));
}

TEST_CASE("JSON rows: a key given twice is refused, null or not") {
  for (const char* wrong :
       {R"({"joint.gap": 0.5, "joint.gap": null})", R"({"joint.gap": null, "joint.gap": 0.5})",
        R"({"joint.gap": null, "joint.gap": null})", R"({"joint": {"gap": null}, "joint.gap": 0.5})",
        R"({"joint": null, "joint.gap": 0.5})", R"({"joint.gap": 0.5, "joint": null})",
        R"({"joint.gap": 0.5, "joint": {"gap": null}})", R"({"x-a": null, "x-a": 1})"}) {
    CAPTURE(wrong);
    const auto row = parse_json_object(wrong);
    REQUIRE_FALSE(row);
    CHECK(row.errors().front().message.find("is given twice") != std::string::npos);
    CHECK(row.errors().front().message.find("not JSON") == std::string::npos);
  }
  const auto row = parse_json_object(R"({"joint": {"a": null, "b": 1, "c": null, "d": 2}, "joint.e": {"f": null}})");
  REQUIRE(row);
  CHECK(row->find("joint")->members.size() == 2);
  CHECK(row->find("joint")->find("b")->number == 1);
  CHECK(row->find("joint")->find("d")->number == 2);
  CHECK(parse_json_object(R"({"a": 1e-999, "b": -0.000e5, "c": 1e999})")->find("a")->number == 0);
}

namespace {

// What a list with this first row is refused for: message and help; empty: it is not.
std::string list_fault(JobFormat format, std::string_view first, JobLayoutOptions options = {}) {
  options.is_answer = is_answer_column;
  const auto layout = read_job_layout(format, sniff_separator(first), first, options, builtin_catalog());
  if (layout) return {};
  std::string text;
  for (const Diagnostic& d : layout.errors())
    text += fmt::format("{}:{}: {} ({})\n", d.place.file, d.place.line, d.message, d.help);
  return text;
}

// A reader of rows below a first row.
struct Rows {
  JobFormat format;
  std::unique_ptr<JobLayout> layout;
  std::unique_ptr<JobReader> reader;

  Rows(JobFormat list_format, std::string_view first, const JobLayoutOptions& options = {}) : format(list_format) {
    auto made = read_job_layout(format, sniff_separator(first), first, options, builtin_catalog());
    REQUIRE(made);
    layout = std::move(*made);
    reader = std::make_unique<JobReader>(*layout);
  }
  const Job& read(std::string_view row) const { return reader->read(row, JobFlaw::none); }
  std::string message(std::string_view row) const {
    const Job& job = read(row);
    return job.good ? "" : job.message;
  }
};

bool holds(std::string_view text, std::string_view part) {
  const bool found = text.find(part) != std::string_view::npos;
  if (!found) MESSAGE(text << " does not hold " << part);
  return found;
}

const std::string header = "joint.type,joint.thickness,material.alloy";
const std::string json_row = R"({"joint.type": "fillet", "joint.thickness": 6, "material.alloy": "S275")";

}  // namespace

TEST_CASE("lists of another form than they are taken for say so") {
  CHECK(holds(list_fault(JobFormat::csv, "fillet,6,S275"), "row 1 holds no key of a joint: 'fillet', '6', 'S275'"));
  CHECK(holds(list_fault(JobFormat::csv, "joint.type|joint.thickness|material.alloy"), "comma, semicolon or tab"));
  CHECK(holds(list_fault(JobFormat::csv, "title = \"x\""), "a TOML list begins with [[job]]"));
  CHECK(holds(list_fault(JobFormat::csv, ""), "the header is longer than 1048576 bytes"));
  CHECK(holds(list_fault(JobFormat::csv, header + "\rfillet,6,S275\rfillet,5,S275"), "lines end in CR alone"));
  CHECK(holds(list_fault(JobFormat::ndjson, "{\"a\":1}\r{\"a\":2}"), "lines end in CR alone"));
  CHECK(holds(list_fault(JobFormat::csv, "\"" + header + ",x-"),
              "the quote before column 1 of the header is not closed"));
  CHECK(holds(list_fault(JobFormat::csv, header + ",\"x-a"), "the quote before column 4"));
  CHECK(holds(list_fault(JobFormat::ndjson, "{ "), "one object a line"));
  CHECK(holds(list_fault(JobFormat::toml, "[{\"joint.type\": \"fillet\"}]"), "the list is a JSON array"));
  CHECK(holds(list_fault(JobFormat::toml, "[\n  {\n"), "the list is a JSON array"));
  CHECK(holds(list_fault(JobFormat::toml, header + "\nfillet,6,S275\n"), "taken for TOML, as it begins with '#'"));
  CHECK(holds(list_fault(JobFormat::toml, "[job]\njoint.type = \"fillet\"\n"), "not [[job]]"));
  CHECK(list_fault(JobFormat::toml, "[[job]]\njoint.type = fillet\n") == "");  // the row itself is refused
  CHECK(list_fault(JobFormat::csv,
                   "\"x-a\nb, c\";"
                   "joint.type;joint.thickness;material.alloy") == "");
}

TEST_CASE("what a header cannot hold") {
  CHECK(holds(list_fault(JobFormat::csv, header + ",gas.composition"), "gas.composition.Ar, gas.composition.CO2"));
  CHECK(holds(list_fault(JobFormat::csv, header + ",material.composition"), "material.composition.C"));
  CHECK(holds(list_fault(JobFormat::csv, header + ",limits"), "limits.heat_input"));
  CHECK(holds(list_fault(JobFormat::csv, header + ",limits.heat_inpt"), "did you mean 'limits.heat_input'?"));
  CHECK(holds(list_fault(JobFormat::csv, header + ",gas.composition.co2"), "did you mean 'gas.composition.CO2'?"));
  CHECK(holds(list_fault(JobFormat::csv, header + ",material.composition.mn"),
              "did you mean 'material.composition.Mn'?"));
  CHECK(holds(list_fault(JobFormat::csv, header + ",x-\xe9"), "column 4 of the header is not UTF-8"));
  CHECK(
      holds(list_fault(JobFormat::csv, header + ",\"x-\x1b[0m\""), "column 4 of the header holds a control character"));
  CHECK(holds(list_fault(JobFormat::ndjson, json_row + R"(, "x-\u0000": 1})"), "holds a control character, byte 0x00"));
  std::string wide = header;
  for (int i = 3; i < 1000; ++i) wide += fmt::format(",x-{}", i);
  CHECK(list_fault(JobFormat::csv, wide) == "");
  CHECK(holds(list_fault(JobFormat::csv, wide + ",x-1000"), "the header has 1001 columns, more than 1000"));
  for (const char* name : {"status", "line", "id", "wire_feed", "wire_feed_m_per_min", "wire_feed_in_per_min"}) {
    JobLayoutOptions options;
    options.keep = {name};
    for (const JobFormat format : {JobFormat::csv, JobFormat::ndjson})
      CHECK(holds(list_fault(format, format == JobFormat::csv ? header : json_row + "}", options),
                  fmt::format("'{}' is a column of the answer (name it x-{}", name, name)));
  }
  CHECK_FALSE(list_fault(JobFormat::csv, header + ",status").find("--keep") != std::string::npos);
}

TEST_CASE("separators are looked for in the whole header") {
  CHECK(sniff_separator("\"x-a\n,b\";c;d\n1,2,3,4,5") == ';');
  CHECK(header_end("a,\"b\nc\",d\ne") == 9);
  CHECK(header_end("6\" a,b\nc") == 6);
  CHECK(header_end("\"a,b\nc") == std::string_view::npos);
}

TEST_CASE("cells of text are taken as they are") {
  const Rows rows(JobFormat::csv, header + ",id,title");
  for (const char* text : {"[12]", "{a=1}", "true", "007", "1e5", "[", "-"}) {
    CAPTURE(text);
    const Job& job = rows.read(fmt::format("fillet,6,S275,{0},{0}", text));
    REQUIRE(job.good);
    CHECK(job.id == text);
    CHECK(*job.joint.id == text);
    CHECK(*job.joint.title == text);
  }
  CHECK(holds(rows.message("true,6,S275,,"), "joint.type 'true' is not known"));
  CHECK(holds(rows.message("fillet,[6],S275,,"), "joint.thickness is a list"));
  CHECK(holds(rows.message("6"), "1 cell, the header has 5"));
  CHECK(holds(rows.message("fillet,6,S275,,,"), "take the separators off the end of the row"));
  CHECK(holds(rows.message("fillet,6,5,S275,,"), "take the separators off"));
  CHECK(holds(rows.message("fillet,6,5,S275,a,b"), "a decimal comma splits a cell"));
}

TEST_CASE("what comes out again is UTF-8 without control characters") {
  const Rows rows(JobFormat::csv, header + ",id,x-note");
  const auto row = [](std::string_view id, std::string_view note) {
    return fmt::format("fillet,6,S275,{},{}", id, note);
  };
  CHECK(rows.message(row("a", "h\xc3\xa9\tb")) == "");
  CHECK(rows.message(row("a", "\"b\r\nc\"")) == "");
  CHECK(rows.message(row("a", "caf\xe9")) == "cell 5 (x-note) is not UTF-8 (save the list as UTF-8)");
  CHECK(rows.read(row("a", "caf\xe9")).passed.front().empty());
  CHECK(rows.message(row("\xff", "b")) == "cell 4 (id) is not UTF-8 (save the list as UTF-8)");
  CHECK(rows.read(row("\xff", "b")).id.empty());
  CHECK(holds(rows.message("fillet,6,S\xe9,,"), "cell 3 (material.alloy) is not UTF-8"));
  CHECK(holds(rows.message(row("a", "\x1b[1m")), "cell 5 (x-note) holds a control character, byte 0x1b"));
  CHECK(holds(rows.message(row("\x7f", "")), "cell 4 (id) holds a control character, byte 0x7f"));
  CHECK(holds(rows.message(row("a", std::string_view("b\0c", 3))), "byte 0x00"));
  const Rows json(JobFormat::ndjson, json_row + R"(, "x-note": null})");
  CHECK(holds(json.message(json_row + R"(, "x-note": "\u001b[1m"})"), "'x-note' holds a control character, byte 0x1b"));
  CHECK(holds(json.message(json_row + R"(, "id": "a\u0000"})"), "id holds a control character, byte 0x00"));
  CHECK(json.message(json_row + R"(, "x-note": "a\tb\nc"})") == "");
}

TEST_CASE("NDJSON hands through what CSV does") {
  JobLayoutOptions options;
  options.keep = {"shop.no", "shop.no"};
  const std::string first = json_row + R"(, "x-c": null, "x-a.b": 1, "shop.no": true})";
  const Rows rows(JobFormat::ndjson, first, options);
  CHECK(rows.layout->passed == std::vector<std::string>{"shop.no", "x-c", "x-a.b"});
  const Job& job = rows.read(first);
  REQUIRE(job.good);
  CHECK(job.passed == std::vector<std::string>{"true", "", "1"});
  CHECK(job.bare == std::vector<unsigned char>{1, 0, 1});
  const Job& later = rows.read(json_row + R"(, "x-c": "5", "x-other": null})");
  REQUIRE(later.good);
  CHECK(later.passed == std::vector<std::string>{"", "5", ""});
  CHECK(later.bare == std::vector<unsigned char>{0, 0, 0});
  CHECK(holds(rows.message(json_row + R"(, "x-new": 1})"), "'x-new' is not in the first row"));
  CHECK(holds(rows.message(json_row + R"(, "shop": {"no": 1}})"), "unknown key 'shop'"));

  const auto columns = choose_job_columns("x-a.b,shop.no,x-c", rows.layout->passed, false, Units::metric);
  REQUIRE(columns);
  std::string out;
  const Job& again = rows.read(json_row + R"(, "x-c": "5", "x-a.b": -1.50, "shop.no": false})");
  JobWriter(*columns, Units::metric, {.kind = AnswerForm::Kind::ndjson})
      .append_error(out, {1, again.passed, again.bare}, "", "");
  CHECK(out == "{\"x-a.b\":-1.50,\"shop.no\":false,\"x-c\":\"5\"}\n");

  const Rows toml(JobFormat::toml, "[[job]]\nx-a = 0x1F\nx-b = 1.5\nx-c = \"2\"\nx-d = +3\n");
  CHECK(toml.read("[[job]]\nx-a = 0x1F\nx-b = 1.5\nx-c = \"2\"\nx-d = +3\n").bare ==
        std::vector<unsigned char>{0, 1, 0, 0});
}

TEST_CASE("faults of the defaults are told at the start, and named in rows") {
  JobLayoutOptions options;
  options.defaults_name = "shop.toml";
  options.defaults_text = "[joint]\ntype = \"filet\"\nthicknes = 6\n";
  const std::string fault = list_fault(JobFormat::csv, header, options);
  CHECK(holds(fault, "shop.toml:2: joint.type 'filet' is not known (did you mean 'fillet'?"));
  CHECK(holds(fault, "shop.toml:3: unknown key 'joint.thicknes' (did you mean 'joint.thickness'?)"));
  options.defaults_text = "joint.leg = 5\n";
  const Rows rows(JobFormat::csv, header + ",joint.throat", options);
  CHECK(rows.message("fillet,6,S275,") == "");
  CHECK(holds(rows.message("fillet,6,S275,4"), "joint.throat and joint.leg (joint.leg of the defaults) both give"));
  CHECK(holds(rows.message("butt,6,S275,"), "joint.leg of the defaults does not go with joint.type = \"butt\" (leave"));
  CHECK(holds(rows.message("fillet,1,S275,"), "joint.leg of the defaults is too large for the thinner plate, 1 mm"));
}

TEST_CASE("a fault in a TOML row has its line") {
  const std::string first = "[[job]]\nid = \"a\"\njoint.type = fillet\n";
  const Rows rows(JobFormat::toml, first);
  CHECK(holds(rows.message(first), "line 3 of the row: not a value"));
  CHECK(holds(Rows(JobFormat::ndjson, json_row + "}").message("[1]"), "on a line of its own, without [ ]"));
  CHECK(holds(Rows(JobFormat::ndjson, json_row + "}").message("{ \"a\": "), "on a line of its own"));
}

TEST_CASE("rows under 1 MiB take a time that grows with their length") {
  const auto repeated = [](std::size_t count, auto part_of) {
    std::string text;
    for (std::size_t i = 0; i < count; ++i) text += part_of(i);
    return text;
  };
  const auto seconds_of = [](auto work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  };
  constexpr double enough = 3;  // each took 8 s and more; sanitizers are slow
  const Rows json(JobFormat::ndjson, json_row + "}"), toml(JobFormat::toml, "[[job]]\n");
  for (const char* name : {"x-", "k"}) {
    const std::string row =
        "{" + repeated(80000, [&](std::size_t i) { return fmt::format("\"{}{}\":0,", name, i); }) + "\"a\":0}";
    CHECK(seconds_of([&] { CHECK(list_fault(JobFormat::ndjson, row) == ""); }) < enough);
    CHECK(seconds_of([&] { CHECK_FALSE(json.read(row).good); }) < enough);
    const std::string table =
        "[[job]]\n" + repeated(80000, [&](std::size_t i) { return fmt::format("{}{}=0\n", name, i); });
    CHECK(seconds_of([&] { CHECK(list_fault(JobFormat::toml, table) == ""); }) < enough);
    CHECK(seconds_of([&] { CHECK(holds(toml.message(table), "80000 keys in one table, more than 1000")); }) < enough);
  }
  for (const char* item : {"1,", "\"\xc3\xa9\","}) {
    const std::string list = "[[job]]\na=[" + repeated(150000, [&](std::size_t) { return item; }) + "]\n";
    CHECK(seconds_of([&] { CHECK(holds(toml.message(list), "unknown key 'a'")); }) < enough);
  }
  const std::string wide = header + repeated(100000, [](std::size_t i) { return fmt::format(",x-{}", i); });
  CHECK(seconds_of([&] { CHECK(holds(list_fault(JobFormat::csv, wide), "more than 1000")); }) < enough);
}

TEST_CASE("columns of the answer") {
  const std::vector<std::string> passed{"x-a"};
  const auto chosen = choose_job_columns("heat_input,default,-line,-x-a", passed, false, Units::us);
  REQUIRE(chosen);
  CHECK(chosen->columns.size() > 30);
  CHECK_FALSE(chosen->options.uncertainties);
  CHECK(choose_job_columns("wire_feed_plus_minus", passed, false, Units::metric)->options.uncertainties);
  CHECK(choose_job_columns("wire_feed_ipm", passed, false, Units::metric).errors().size() == 1);
  CHECK_FALSE(choose_job_columns("id,-id", passed, false, Units::metric));
}
