// What the header of a solver must have: an example that is compiled and prints what it says, the error stated, and the
// references of its equations. A solver is a source of src/physics with a public header of its name.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdarg>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

#include "headers/example_source.hpp"
#include "seamwright/catalog.hpp"

#define EXAMPLE(name) void example_##name();
#include "header_examples.inc"
#undef EXAMPLE

namespace header_examples {

void print(const char* said, const char* format, ...) {
  char printed[200];
  std::va_list arguments;
  va_start(arguments, format);
  std::vsnprintf(printed, sizeof printed, format, arguments);
  va_end(arguments);
  CHECK(std::string(printed) == std::string(said) + "\n");
}

void fault(const char* what) { FAIL_CHECK(std::string(what)); }

}  // namespace header_examples

namespace {

using header_examples::example_source;

std::string text_of(const std::string& header) {
  std::ifstream in(SEAMWRIGHT_INCLUDE_DIR "/seamwright/" + header);
  REQUIRE_MESSAGE(in.good(), "cannot read ", header);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

// The paragraph of the comment that begins with a heading, heading included: its lines without "// ".
std::vector<std::string> paragraph(const std::string& text, const std::string& heading) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    if (lines.empty() ? !line.starts_with("// " + heading) : !line.starts_with("// ")) {
      if (!lines.empty()) break;
      continue;
    }
    lines.push_back(line.substr(3));
  }
  return lines;
}

// Entries are set in by two blanks, what goes on of one by four.
std::vector<std::string> references(const std::string& text) {
  std::vector<std::string> entries;
  for (const std::string& line : paragraph(text, "References:")) {
    if (line.starts_with("    ") && !entries.empty())
      entries.back() += line.substr(3);
    else if (line.starts_with("  "))
      entries.push_back(line.substr(2));
  }
  return entries;
}

// The keys of the catalog's sources that an entry names in brackets.
std::vector<std::string> source_keys(const std::string& entry) {
  std::vector<std::string> keys;
  for (std::size_t at = entry.find('['); at != std::string::npos; at = entry.find('[', at + 1))
    keys.push_back(entry.substr(at + 1, entry.find(']', at) - at - 1));
  return keys;
}

void check_header(const std::string& header) {
  const std::string text = text_of(header);
  CHECK_MESSAGE(!paragraph(text, "Error:").empty(), "no stated error");
  const std::vector<std::string> entries = references(text);
  CHECK_MESSAGE(!entries.empty(), "no references");
  for (const std::string& entry : entries) {
    CAPTURE(entry);
    const std::vector<std::string> keys = source_keys(entry);
    CHECK_MESSAGE((!keys.empty() || entry.find("doi:10.") != std::string::npos ||
                   entry.find("(memory)") != std::string::npos || entry.find("(derived here)") != std::string::npos),
                  "neither a DOI nor a source of the catalog, and not said to be recalled or derived");
    for (const std::string& key : keys) {
      CAPTURE(key);
      const auto sources = seamwright::builtin_catalog().sources;
      CHECK_MESSAGE(std::ranges::find(sources, key, &seamwright::Source::key) != sources.end(), "unknown source");
    }
  }
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("headers of solvers: the example prints what it says, the error is stated, the references are named") {
  struct Solver {
    const char* header;
    void (*example)();
  };
  constexpr Solver solvers[] = {
#define EXAMPLE(name) {#name ".hpp", example_##name},
#include "header_examples.inc"
#undef EXAMPLE
  };
  CHECK(std::size(solvers) >= 21);
  for (const Solver& solver : solvers) {
    const std::string header = solver.header;
    CAPTURE(header);
    solver.example();
    check_header(header);
  }
}

TEST_CASE("examples: what is printed is held against what the comment says, by the lines of the header") {
  const std::string source = example_source("include/seamwright/some.hpp",
                                            "// Something.\n"
                                            "// Example:\n"
                                            "//\n"
                                            "//     #include \"seamwright/other.hpp\"\n"
                                            "//     const double x = f(1);\n"
                                            "//     std::printf(\"%.1f \\\"mm\\\"\\n\", x);  // 2.5 \"mm\"\n"
                                            "#pragma once\n"
                                            "//     not of it;\n");
  CHECK(holds(source, "#include \"include/seamwright/some.hpp\"\n#include \"seamwright/other.hpp\"\n"));
  CHECK(holds(source, "void example_some() {"));
  CHECK(holds(source, "#line 5 \"include/seamwright/some.hpp\"\n  const double x = f(1);\n"));
  CHECK(holds(source,
              "#line 6 \"include/seamwright/some.hpp\"\n"
              "  header_examples::print(\"2.5 \\\"mm\\\"\", \"%.1f \\\"mm\\\"\\n\", x);\n"));
  CHECK_FALSE(holds(source, "not of it"));
  CHECK_FALSE(holds(source, "fault"));
}

TEST_CASE("examples: a header without one, one that prints nothing and one that does not say what all fail") {
  CHECK(holds(example_source("a.hpp", "// Something.\n#pragma once\n"), "fault(\"a.hpp: no example\")"));
  CHECK(holds(example_source("a.hpp", "// Example:\n//     f(1);\n"),
              "fault(\"a.hpp: an example that prints nothing\")"));
  const std::string silent = example_source("a.hpp", "// Example:\n//     std::printf(\"%g\\n\", x);\n");
  CHECK(holds(silent, "does not say what it prints"));
}
