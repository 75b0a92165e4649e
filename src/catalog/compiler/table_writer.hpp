// Writes a catalog as C++ constant tables, to be included by builtin_catalog.cpp.
#pragma once

#include <string>

#include "seamwright/catalog.hpp"

namespace seamwright {

[[nodiscard]] std::string write_tables(const Catalog& catalog);

}  // namespace seamwright
