// The user's own rows laid over the built-in catalog.
#pragma once

#include <memory>
#include <string>

#include "catalog/catalog_reader.hpp"

namespace seamwright {

// Stays where it is: the catalog points into it.
struct CatalogOverlay {
  CatalogData data;
  std::string version;
  Catalog catalog;
};

// Reads a file of catalog rows. All errors at once, with their source lines.
[[nodiscard]] Expected<std::unique_ptr<CatalogOverlay>> lay_over(const std::string& file);

}  // namespace seamwright
