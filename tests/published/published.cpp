#include "published/published.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <fstream>

namespace published {
namespace {

std::vector<std::string> fields_of(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (c == '"' && quoted && i + 1 < line.size() && line[i + 1] == '"') {
      fields.back() += '"';
      ++i;
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else {
      fields.back() += c;
    }
  }
  return fields;
}

Row row_of(const std::map<std::string, std::string>& record) {
  Row row;
  row.id = record.at("id");
  row.quantity = record.at("quantity");
  row.expected_text = record.at("expected");
  row.expected = number(row.expected_text);
  row.unit = record.at("unit");
  row.tolerance = number(record.at("tolerance"));
  row.source = record.at("source");
  row.kind = record.at("kind");
  std::string_view left = record.at("inputs");
  while (!left.empty()) {
    const std::size_t end = left.find(';');
    const std::string_view item = left.substr(0, end);
    const std::size_t equals = item.find('=');
    REQUIRE_MESSAGE(equals != std::string_view::npos, row.id, ": an input without '='");
    row.inputs.emplace(item.substr(0, equals), item.substr(equals + 1));
    left.remove_prefix(end == std::string_view::npos ? left.size() : end + 1);
  }
  return row;
}

}  // namespace

std::vector<std::vector<std::string>> read_csv(std::string_view file) {
  const std::string path = std::string(SEAMWRIGHT_TEST_DIR "/published/").append(file);
  std::ifstream in(path);
  REQUIRE_MESSAGE(in.good(), "cannot read ", path);
  std::vector<std::vector<std::string>> records;
  for (std::string line; std::getline(in, line);)
    if (!line.empty() && line.front() != '#') records.push_back(fields_of(line));
  REQUIRE_MESSAGE(records.size() > 1, path, " has no rows");
  return records;
}

std::vector<std::map<std::string, std::string>> read_table(std::string_view file) {
  const std::vector<std::vector<std::string>> records = read_csv(file);
  const std::vector<std::string>& header = records.front();
  std::vector<std::map<std::string, std::string>> table;
  for (std::size_t i = 1; i < records.size(); ++i) {
    REQUIRE_MESSAGE(records[i].size() == header.size(), file, ": record ", i, " starting \"", records[i].front(),
                    "\" has ", records[i].size(), " fields, the header ", header.size());
    std::map<std::string, std::string> row;
    for (std::size_t k = 0; k < header.size(); ++k) row[header[k]] = records[i][k];
    table.push_back(std::move(row));
  }
  return table;
}

double number(const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  REQUIRE_MESSAGE((!text.empty() && *end == '\0'), "not a number: \"", text, "\"");
  return value;
}

bool is_source_kind(std::string_view kind) {
  constexpr std::array<std::string_view, 7> kinds{"standard", "published", "open-data", "derived",
                                                  "practice", "memory",    "assumed"};
  return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
}

const std::string& Row::text(const std::string& name) const {
  const auto found = inputs.find(name);
  REQUIRE_MESSAGE(found != inputs.end(), id, ": no input \"", name, "\"");
  read.insert(name);
  return found->second;
}

double Row::get(const std::string& name, double otherwise) const {
  return inputs.contains(name) ? (*this)[name] : otherwise;
}

void check_published(std::string_view file, const Quantities& quantities) {
  std::set<std::string> ids;
  std::set<std::string> used;
  for (const auto& record : read_table(file)) {
    const Row row = row_of(record);
    CAPTURE(row.id);
    CHECK_MESSAGE(ids.insert(row.id).second, "repeated id");
    CHECK_MESSAGE(!row.source.empty(), "no source");
    CHECK_MESSAGE(is_source_kind(row.kind), "unknown kind of source: ", row.kind);
    const auto quantity = quantities.find(row.quantity);
    if (quantity == quantities.end()) {
      FAIL_CHECK("no function for the quantity ", row.quantity);
      continue;
    }
    used.insert(row.quantity);
    const double got = quantity->second(row);
    CHECK_MESSAGE(std::abs(got - row.expected) <= row.tolerance, row.quantity, ": want ", row.expected_text, " +-",
                  row.tolerance, " ", row.unit, ", got ", got, " [", row.kind, ": ", row.source, "]");
    for (const auto& input : row.inputs)
      CHECK_MESSAGE(row.read.contains(input.first), "input ", input.first, "=", input.second, " is not used");
  }
  for (const auto& quantity : quantities)
    CHECK_MESSAGE(used.contains(quantity.first), quantity.first, " has no row in ", file);
}

}  // namespace published
