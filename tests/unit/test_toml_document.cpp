#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <string>

#include "text/toml_document.hpp"

using namespace seamwright;

namespace {

TomlValue parsed(std::string_view text) {
  const auto result = parse_toml(text, "t.toml");
  REQUIRE_MESSAGE(result, (result ? "" : result.errors()[0].message));
  return *result;
}

Diagnostic refused(std::string_view text) {
  const auto result = parse_toml(text, "t.toml");
  REQUIRE_MESSAGE(!result, std::string(text));
  CHECK(result.errors()[0].place.file == "t.toml");
  // The words are ours: none of the parser's own reach a user.
  for (const auto* word : {"toml++", "Error while parsing", "codepoint", "saw '", "encountered"})
    CHECK(result.errors()[0].message.find(word) == std::string::npos);
  return result.errors()[0];
}

void check_place(const Diagnostic& d, int line, int column) {
  CAPTURE(d.message);
  CHECK(d.place.line == line);
  CHECK(d.place.column == column);
}

}  // namespace

TEST_CASE("values, kinds and places") {
  const TomlValue root = parsed(
      "title = \"x\"\n"
      "[joint]\n"
      "thickness = -6.5  # mm\n"
      "list = [1, +2, \"three\"]\n"
      "on = true\n"
      "day = 2026-01-31\n"
      "[a.b]\n"
      "c = 0x10\n"
      "[[item]]\n"
      "n = 1\n"
      "[[item]]\n"
      "n = 2\n");
  REQUIRE(root.members.size() == 4);
  CHECK(root.members[0].key == "title");
  CHECK(root.members[1].key == "joint");
  CHECK(root.members[3].key == "item");
  const TomlValue& joint = root.members[1].value;
  const TomlValue* thickness = joint.find("thickness");
  REQUIRE(thickness != nullptr);
  CHECK(thickness->kind == TomlValue::Kind::floating);
  CHECK(thickness->number == -6.5);
  CHECK(thickness->text == "-6.5");
  CHECK(thickness->line == 3);
  CHECK(thickness->column == 13);
  CHECK(thickness->key_line == 3);
  CHECK(thickness->key_column == 1);
  const TomlValue* list = joint.find("list");
  REQUIRE(list != nullptr);
  REQUIRE(list->items.size() == 3);
  CHECK(list->items[1].number == 2);
  CHECK(list->items[1].column == 12);
  CHECK(list->items[2].text == "three");
  CHECK(joint.find("on")->boolean);
  CHECK(joint.find("day")->kind == TomlValue::Kind::datetime);
  CHECK(joint.find("day")->text == "2026-01-31");
  CHECK(joint.find("none") == nullptr);
  CHECK(root.members[2].value.find("b")->find("c")->number == 16);
  CHECK(root.members[3].value.items[1].find("n")->number == 2);
}

TEST_CASE("members keep the order of the file") {
  const TomlValue root = parsed("zebra = 1\nape = 2\nmole = 3\n");
  CHECK(root.members[0].key == "zebra");
  CHECK(root.members[1].key == "ape");
  CHECK(root.members[2].key == "mole");
}

TEST_CASE("letters outside ASCII live in strings and comments, and columns count letters") {
  const TomlValue root = parsed(
      "t = \"F\xc3\xbc\xc3\x9f"
      "e \\\"\xf0\x9f\x9a\xa2\\\"\" # K\xc3\xbchl\n"
      "u = { a = '\xc5\x81\xc3\xb3\\d\xc5\xba\"', b = 7 }\n"
      "v = \"\"\"\n\xc3\xa4\\\n   b\"\"\"\n"
      "w = '''\xc3\xa4\n''y'''''\n"
      "\"k\xc3\xa4y\" = 1\n");
  CHECK(root.find("t")->text ==
        "F\xc3\xbc\xc3\x9f"
        "e \"\xf0\x9f\x9a\xa2\"");
  CHECK(root.find("u")->find("a")->text == "\xc5\x81\xc3\xb3\\d\xc5\xba\"");
  CHECK(root.find("u")->find("b")->column == 25);
  CHECK(root.find("v")->text ==
        "\xc3\xa4"
        "b");
  CHECK(root.find("w")->text == "\xc3\xa4\n''y''");
  CHECK(root.find("k\xc3\xa4y")->number == 1);
}

TEST_CASE("byte-order mark and CRLF are accepted") {
  const TomlValue root = parsed(
      "\xef\xbb\xbf"
      "a = 1\r\nb = \"\"\"x\r\ny\"\"\"\r\nc = 2 # end\r\n");
  CHECK(root.find("a")->column == 5);
  CHECK(root.find("b")->text == "x\ny");
  CHECK(root.find("c")->line == 4);
  CHECK(parsed("").members.empty());
  CHECK(parsed("# only a comment").members.empty());
}

TEST_CASE("hostile bytes are refused with their place") {
  check_place(refused("\xc5\x81\""), 1, 1);  // a letter where a key starts
  check_place(refused("a = 1\n[!x"), 2, 1);  // stops the parser's own check
  check_place(refused("[!x"), 1, 1);
  check_place(refused(std::string("a = \0", 5)), 1, 5);
  check_place(refused(std::string("a = \"x\0\"", 8)), 1, 7);
  check_place(refused("# c\x01\n"), 1, 4);
  check_place(refused("a = 1 # \x7f"), 1, 9);
  check_place(refused("a = 1\rb = 2"), 1, 6);
  check_place(refused("a = \"\\u0000\""), 1, 5);  // by way of an escape
  check_place(refused("a = \"\\u001b[31m\""), 1, 5);
  // Truncated, overlong, surrogate, beyond the last letter, stray continuation.
  for (const std::string bytes : {"\xc5", "\xe2\x82", "\xf0\x9f\x9a", "\xc0\xaf", "\xe0\x80\xaf", "\xed\xa0\x80",
                                  "\xf4\x90\x80\x80", "\xff", "\x80"}) {
    check_place(refused("a = \"" + bytes + "\""), 1, 6);
    check_place(refused("#" + bytes + "\n"), 1, 2);
    check_place(refused(bytes + " = 1"), 1, 1);
  }
}

TEST_CASE("every text of three bytes out of the difficult ones parses or is refused") {
  const std::string bytes = std::string("\0\n\r\t \"'\\#=[]{},.-+_!ae0", 24) + "\xc5\x81\xef\xbb\xbf\x7f\xff";
  int total = 0;
  for (const char a : bytes)
    for (const char b : bytes)
      for (const char c : bytes) {
        const auto result = parse_toml(std::string{a, b, c}, "t.toml");
        if (!result) CHECK_FALSE(result.errors().empty());
        ++total;
      }
  CHECK(total == 31 * 31 * 31);
}

TEST_CASE("depth is limited") {
  check_place(refused("a = " + std::string(40, '[')), 1, 37);
  CHECK(refused("a = " + std::string(100000, '[')).message.find("nested too deep") != std::string::npos);
  CHECK(refused("a = " + std::string(100000, '{')).place.line == 1);
  std::string dots;
  for (int i = 0; i < 200000; ++i) dots += "a.";
  CHECK(refused(dots + "a = 1").message == "key nested too deep");
  CHECK(refused("[" + dots + "a]").message == "key nested too deep");
  parsed(
      "a = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 1.0, 2.0, 3.0, "
      "4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0]");
}

TEST_CASE("common slips get a message that fits") {
  CHECK(refused("type = fillet").message == "not a value");
  check_place(refused("type = fillet"), 1, 8);
  CHECK(refused("gap = 0,25").help == "numbers have a decimal point: 0.25");
  CHECK(refused("t = 6 mm").message == "unexpected text after a value");
  CHECK(refused("a = 1\na = 2").message == "this key or table is already defined above");
  CHECK(refused("[a]\nb = 1\n[a]\n").place.line == 3);
  CHECK(refused("a = \"x").message == "string not closed on its line");
  CHECK(refused("a = \"\"\"x\n\n").place.line == 1);
  CHECK(refused("a").message == "the text ends in the middle of a key or value");
  CHECK(refused("a = \"\\q\"").message == "unknown escape after '\\' in a string");
  CHECK(refused("a b = 1").message == "expected '=' between key and value");
}

TEST_CASE("files that cannot be read say why") {
  const auto why = [](const std::string& path, std::size_t most) {
    const auto result = read_text_file(path, most);
    REQUIRE(!result);
    CHECK(result.errors()[0].place.file == path);
    return result.errors()[0].message;
  };
  CHECK(why("/no/such/file.toml", 100) == "no such file");
  CHECK(why(SEAMWRIGHT_TEST_DIR, 100) == "is a directory, not a file");
  CHECK(why(std::string(SEAMWRIGHT_TEST_DIR) + "/main.cpp/x", 100) == "a part of the path is not a directory");
  CHECK(why("/dev/null", 100) == "the file is empty");
  CHECK(why("/dev/zero", 1000).find("larger than 1000 bytes") == 0);  // endless: must not be read to its end
  const auto whole = read_text_file(SEAMWRIGHT_TEST_DIR "/main.cpp", 1000000);
  REQUIRE(whole);
  CHECK(read_text_file(SEAMWRIGHT_TEST_DIR "/main.cpp", whole->size()));
  CHECK(!read_text_file(SEAMWRIGHT_TEST_DIR "/main.cpp", whole->size() - 1));
}
