#include "seamwright/catalog_in_use.hpp"

namespace seamwright {
namespace {

const Catalog* in_use = nullptr;

}  // namespace

const Catalog& catalog_in_use() { return in_use == nullptr ? builtin_catalog() : *in_use; }

void use_catalog(const Catalog& catalog) { in_use = &catalog; }

}  // namespace seamwright
