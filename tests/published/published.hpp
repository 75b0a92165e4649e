// Checks against known numbers. A file holds rows
//   id,quantity,inputs,expected,unit,tolerance,source,kind
// with inputs as "name=value;name=value" and the tolerance absolute, in the unit of the expected value. A test case
// names the file and one function a quantity:
//
//   TEST_CASE("published: heat") { check_published("heat.csv", {{"arc_energy", [](const Row& r) { ... r["v"] ... }}});
//   }
//
// A quantity with no function, a function with no row, an input that the function does not read, a missing source, an
// unknown kind of source and a repeated id are failures.
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace published {

// Records of a CSV file (RFC 4180 quoting, no line breaks inside a field); the first is the header. Blank lines and
// lines that start with '#' are skipped. A file that cannot be read fails the running test.
[[nodiscard]] std::vector<std::vector<std::string>> read_csv(std::string_view file);

// A file's records by column name.
[[nodiscard]] std::vector<std::map<std::string, std::string>> read_table(std::string_view file);

// The number a text holds; fails the running test when it holds none, or more.
[[nodiscard]] double number(const std::string& text);

[[nodiscard]] bool is_source_kind(std::string_view kind);

class Row {
 public:
  std::string id, quantity, unit, source, kind;
  std::string expected_text;  // for what is no number
  double expected = 0;
  double tolerance = 0;

  // An input as a number or as text; a missing one fails the running test.
  [[nodiscard]] double operator[](const std::string& name) const { return number(text(name)); }
  [[nodiscard]] const std::string& text(const std::string& name) const;
  [[nodiscard]] double get(const std::string& name, double otherwise) const;

  std::map<std::string, std::string> inputs;
  mutable std::set<std::string> read;
};

using Quantities = std::map<std::string, std::function<double(const Row&)>>;

void check_published(std::string_view file, const Quantities& quantities);

}  // namespace published
