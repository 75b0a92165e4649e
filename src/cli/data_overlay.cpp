// --data FILE: the user's own rows over the built-in catalog.
#include <fmt/format.h>

#include <optional>

#include "catalog/catalog_reader.hpp"
#include "cli/console.hpp"
#include "io/toml_document.hpp"
#include "seamwright/catalog_in_use.hpp"
#include "seamwright/input.hpp"

namespace seamwright {
namespace {

struct Overlay {
  CatalogData data;
  std::string version;
  Catalog catalog;
};

}  // namespace

Diagnostics lay_over(const std::string& file) {
  static std::optional<Overlay> overlay;  // what the catalog in use points into
  Expected<std::string> text = read_text_file(file, max_input_bytes);
  if (!text) return text.errors();
  Expected<TomlValue> root = parse_toml(*text, file);
  if (!root) {
    Diagnostics errors = root.errors();
    for (Diagnostic& error : errors)
      if (error.help.empty()) error.help = "'seamwright help data' shows how such a file looks";
    attach_source_lines(errors, *text, file);
    return errors;
  }
  std::vector<CatalogDocument> documents;
  documents.push_back({file, std::move(*root)});
  Expected<CatalogData> data = overlay_catalog(builtin_catalog(), documents);
  if (!data) {
    Diagnostics errors = data.errors();
    attach_source_lines(errors, *text, file);
    return errors;
  }
  overlay.emplace();
  overlay->data = std::move(*data);
  overlay->version = fmt::format("{} with {}", builtin_catalog().version, file);
  overlay->catalog = overlay->data.view();
  overlay->catalog.version = overlay->version;
  use_catalog(overlay->catalog);
  return {};
}

}  // namespace seamwright
