// The catalog that was compiled in: constant tables written from data/ by seamwright-catalog.
#include <cstddef>
#include <span>
#include <string_view>

#include "catalog/table_list.hpp"
#include "seamwright/catalog.hpp"

namespace seamwright {
namespace {

namespace tables {
#include "catalog_tables.inc"
}  // namespace tables

constexpr Catalog compiled_in() {
  Catalog all;
#define SEAMWRIGHT_TABLE(kind, Row, rows, text) all.rows = tables::rows;
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
  all.limits = &tables::limits;
  all.review = &tables::review;
  all.version = tables::version;
  return all;
}

constexpr std::size_t count_tables() {
  std::size_t count = 0;
#define SEAMWRIGHT_TABLE(kind, Row, rows, text) ++count;
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
  return count;
}
static_assert(sizeof(Catalog) ==
                  count_tables() * sizeof(std::span<const Source>) + 2 * sizeof(void*) + sizeof(std::string_view),
              "a table of Catalog is not in the list");

constexpr Catalog catalog = compiled_in();

}  // namespace

const Catalog& builtin_catalog() { return catalog; }

}  // namespace seamwright
