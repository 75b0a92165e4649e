#include "catalog/compiler/table_writer.hpp"

#include <fmt/format.h>

#include <cmath>

#include "catalog/catalog_columns.hpp"

namespace seamwright {
namespace {

std::string literal(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + '"';
}
std::string literal(bool value) { return value ? "true" : "false"; }
std::string literal(double value) {
  if (std::isinf(value)) return value < 0 ? "-unbounded" : "unbounded";
  return fmt::format("{}", value);  // shortest text that reads back the same
}
std::string literal(SourceIndex value) { return fmt::format("{}", value); }
std::string literal(const Constant& c) { return fmt::format("{{{}, {}, {}}}", c.value, c.half_width_90, c.source); }
std::string literal(const Composition& c) {
  return fmt::format("{{{{{}}}, {}}}", fmt::join(c.percent, ", "), c.source);
}
std::string literal(Family value) { return fmt::format("Family{{{}}}", static_cast<int>(value)); }
std::string literal(Mode value) { return fmt::format("Mode{{{}}}", static_cast<int>(value)); }
std::string literal(C value) { return fmt::format("C{{{}}}", static_cast<int>(value)); }
std::string literal(Strength value) { return fmt::format("Strength{{{}}}", static_cast<int>(value)); }
std::string literal(SourceKind value) { return fmt::format("SourceKind{{{}}}", static_cast<int>(value)); }

// Named members: the C++ compiler then checks every name and their order once more.
template <class Row>
std::string row_text(const Row& row) {
  std::string out = "{";
  visit_columns(row, [&](std::string_view column, const auto& member, const Rule&) {
    out += fmt::format("{}.{} = {}", out.size() > 1 ? ",\n   " : "", column, literal(member));
  });
  return out + "}";
}

template <class Row>
std::string table_text(std::string_view type, std::string_view name, std::span<const Row> rows) {
  // An array of no rows cannot be written.
  if (rows.empty()) return fmt::format("constexpr std::span<const {}> {};\n", type, name);
  std::string out = fmt::format("constexpr {} {}[] = {{\n", type, name);
  for (const Row& row : rows) out += "  " + row_text(row) + ",\n";
  return out + "};\n";
}

}  // namespace

std::string write_tables(const Catalog& catalog) {
  std::string out = "// Written by seamwright-catalog from data/. Do not edit.\n";
#define SEAMWRIGHT_TABLE(kind, Row, rows, text) out += table_text(#Row, #rows, catalog.rows);
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
  out += fmt::format("constexpr Limits limits = {};\n", row_text(*catalog.limits));
  out += fmt::format("constexpr ReviewRules review = {};\n", row_text(*catalog.review));
  out += fmt::format("constexpr std::string_view version = {};\n", literal(catalog.version));
  return out;
}

}  // namespace seamwright
