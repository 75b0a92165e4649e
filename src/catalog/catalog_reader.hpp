// Reads catalog tables from TOML: the project's own `data/` when the program is built, and a user's overlay at run
// time.
//
// A document holds any of: `version = "2026.11"`, `[limits]` and `[[source]]`, `[[metal]]`, `[[alloy]]`, ... with the
// columns of catalog_columns.hpp. A constant is written
//   { value = 0.030, u90 = 0.003, source = "key" }     u90: absolute half-width of the 90 % interval
//   { value = 0.030, u90_rel = 0.1, source = "key" }   the same relative to the value
//   { value = 0.8, exact = true, source = "key" }      a convention or a choice
//   { value = 0.022, carried_by = "arc_fixed_V", source = "key" }   its spread is counted in that column of the row
//   0                                                  the catalog has none
// A composition is { C = 0.02, Cr = 17.2, source = "key" }, % by mass.
#pragma once

#include <deque>
#include <string>
#include <vector>

#include "catalog/table_list.hpp"
#include "seamwright/catalog.hpp"
#include "text/toml_document.hpp"

namespace seamwright {

struct CatalogDocument {
  std::string name;  // the file, for messages
  TomlValue root;
};

// A catalog that owns its rows and their text.
struct CatalogData {
  CatalogData() = default;
  CatalogData(CatalogData&&) = default;
  CatalogData& operator=(CatalogData&&) = default;
  CatalogData(const CatalogData&) = delete;  // the copy's rows would point into the original's text
  CatalogData& operator=(const CatalogData&) = delete;

#define SEAMWRIGHT_TABLE(kind, Row, rows, text) std::vector<Row> rows;
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
  Limits limits;
  ReviewRules review;
  std::string_view version;
  std::deque<std::string> text;  // what the rows point into

  [[nodiscard]] Catalog view() const;  // valid while this object stays where it is
};

// Every *.toml file of a folder, by name.
[[nodiscard]] Expected<std::vector<CatalogDocument>> read_catalog_folder(const std::string& folder);

// A whole catalog. Everything wrong is reported at once: unknown or missing columns, values out of a sane range, widths
// that are not positive, unknown or unused sources, clashing names, references to rows that do not exist.
[[nodiscard]] Expected<CatalogData> read_catalog(const std::vector<CatalogDocument>& documents);

// `base` with the rows of `documents` laid over it: a row whose id `base` has changes only the columns it names,
// another is added and must be whole. `base` must outlive the result.
[[nodiscard]] Expected<CatalogData> overlay_catalog(const Catalog& base, const std::vector<CatalogDocument>& documents);

}  // namespace seamwright
