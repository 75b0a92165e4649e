#include "catalog/overlay.hpp"

#include <fmt/format.h>

#include "text/digest.hpp"
#include "text/toml_document.hpp"

namespace seamwright {

Expected<std::unique_ptr<CatalogOverlay>> lay_over(const std::string& file) {
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
  auto overlay = std::make_unique<CatalogOverlay>();
  overlay->data = std::move(*data);
  // Two files of one name are told apart, in saved plans and lock files too.
  Digest digest;
  digest.add(*text);
  overlay->version = fmt::format("{} with {} ({})", builtin_catalog().version, file, digest.brief());
  overlay->catalog = overlay->data.view();
  overlay->catalog.version = overlay->version;
  return overlay;
}

}  // namespace seamwright
