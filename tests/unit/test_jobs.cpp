#include <doctest/doctest.h>

#include <random>
#include <string>
#include <vector>

#include "io/job_reader.hpp"
#include "io/job_records.hpp"
#include "io/json_value.hpp"
#include "io/write_jobs.hpp"

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

TEST_CASE("columns of the answer") {
  const std::vector<std::string> passed{"x-a"};
  const auto chosen = choose_job_columns("heat_input,default,-line,-x-a", passed, Units::us);
  REQUIRE(chosen);
  CHECK(chosen->columns.size() > 30);
  CHECK_FALSE(chosen->options.uncertainties);
  CHECK(choose_job_columns("wire_feed_plus_minus", passed, Units::metric)->options.uncertainties);
  CHECK(choose_job_columns("wire_feed_ipm", passed, Units::metric).errors().size() == 1);
  CHECK_FALSE(choose_job_columns("id,-id", passed, Units::metric));
}
