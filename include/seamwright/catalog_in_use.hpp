// The catalog that reading and planning go by: the built-in one, or that with a user's own rows laid over it.
#pragma once

#include "seamwright/catalog.hpp"

namespace seamwright {

[[nodiscard]] const Catalog& catalog_in_use();
// Called once, before anything is read and before any thread starts; `catalog` must outlive the program's work.
void use_catalog(const Catalog& catalog);

}  // namespace seamwright
