// The catalog that was compiled in: constant tables written from data/ by seamwright-catalog.
#include "seamwright/catalog.hpp"

namespace seamwright {
namespace {

namespace tables {
#include "catalog_tables.inc"
}  // namespace tables

constexpr Catalog catalog{tables::sources,
                          tables::metals,
                          tables::alloys,
                          tables::wire_families,
                          tables::wire_sizes,
                          tables::wires,
                          tables::gases,
                          tables::preparations,
                          tables::positions,
                          tables::modes,
                          tables::quality_levels,
                          tables::pairings,
                          tables::cautions,
                          tables::filter_shades,
                          tables::heat_ranges,
                          tables::cooling_joints,
                          tables::composition_limits,
                          tables::no_preheat,
                          tables::minimum_preheat,
                          tables::susceptibility_groups,
                          tables::susceptibility_preheat,
                          tables::filler_pairs,
                          tables::filler_traits,
                          tables::aluminium_temperatures,
                          tables::qualifications,
                          tables::qualified_groups,
                          tables::imperfections,
                          tables::limit_strengths,
                          tables::travel_ranges,
                          tables::trials,
                          tables::readings,
                          tables::verdicts,
                          &tables::limits,
                          &tables::review,
                          tables::version};

}  // namespace

const Catalog& builtin_catalog() { return catalog; }

}  // namespace seamwright
