// Warnings of the catalog for wire, gas, mode and metal that do not go together.
#include "seamwright/heat_rules.hpp"
#include "settle/metal_parts.hpp"
#include "settle/resolve.hpp"
#include "settle/settle_parts.hpp"

namespace seamwright {

void warn(Case& c, std::string_view id) {
  for (const Pairing& p : c.catalog->pairings)
    if (p.id == id) {
      c.warnings.push_back({p.id, c.with_reasons ? std::string(p.text) : std::string(), p.source});
      return;
    }
}

namespace {

// A steel wire off the list with much less molybdenum than the listed one, which has it for strength or for heat.
void lean_steel_filler(Case& c) {
  if (c.alloy->family != Family::carbon_steel || wire_metal(*c.wire) != WireMetal::steel) return;
  if (c.alloy2 != nullptr && c.alloy2 != c.alloy) return;  // between two steels the leaner one's wire will do
  const Wire* usual = find_wire(*c.catalog, first_item(c.alloy->fillers));
  const double much_less = heat_range(*c.catalog, "pairing-lean-molybdenum").high;
  if (usual == nullptr || list_has(c.alloy->fillers, c.wire->id) ||
      c.wire->typical[Element::Mo] >= much_less * usual->typical[Element::Mo])
    return;
  const bool strong = c.alloy->group.starts_with("2") || c.alloy->group.starts_with("3");
  warn(c, strong ? "soft-filler-strong-steel" : "plain-filler-creep-steel");
}

}  // namespace

bool downhill(const Position& p) { return p.id == "PG" || p.id == "PJ" || p.id == "J-L045"; }

void pairing_warnings(Case& c) {
  const Limits& lim = *c.catalog->limits;
  const double t = *c.joint.thickness_mm;
  const Family family = c.alloy->family;
  const auto range = [&](HeatRangeId id) { return heat_range(*c.catalog, id); };
  const auto high_magnesium = [&](const Alloy* a) {
    return a != nullptr && a->typical[Element::Mg] > range("filler-service-magnesium").high;
  };
  const WireMetal metal = wire_metal(*c.wire);
  const double active_gas_percent = c.gas.co2_percent + c.gas.oxygen_percent;
  if (c.wire->family == "aluminium-4xxx" && (high_magnesium(c.alloy) || high_magnesium(c.alloy2)))
    warn(c, "4043-on-high-mg");
  // The root of an open groove is no thick plate to it.
  const bool thin_root = c.of_root_alone && open_root(c);
  if (c.mode == Mode::short_arc && t > lim.short_arc_plate_max_mm.value && !thin_root) warn(c, "short-arc-thick-plate");
  if (is_stainless(family) && c.gas.co2_percent > lim.co2_stainless_max_percent.value) warn(c, "co2-on-stainless");
  if (family == Family::carbon_steel && metal == WireMetal::steel &&
      c.gas.argon_percent > range("pairing-argon-on-steel").high)
    warn(c, "argon-on-carbon-steel");
  if (family == Family::super_duplex && !list_has(c.alloy->fillers, c.wire->id)) warn(c, "wrong-filler-super-duplex");
  if (family == Family::aluminium && active_gas_percent > range("pairing-active-gas-on-aluminium").high)
    warn(c, "co2-on-aluminium");
  if (is_stainless(family) && metal == WireMetal::steel) warn(c, "carbon-filler-on-stainless");
  if (family == Family::nickel && active_gas_percent > range("pairing-active-gas-on-nickel").high)
    warn(c, "active-gas-on-nickel");
  if (family == Family::copper && active_gas_percent > range("pairing-active-gas-on-copper").high)
    warn(c, "active-gas-on-copper");
  if (is_stainless(family) && c.gas.oxygen_percent > range("pairing-oxygen-on-stainless").high)
    warn(c, "oxygen-on-stainless");
  if (c.gas.nitrogen_percent > range("pairing-nitrogen").high && family != Family::austenitic && !is_duplex(family))
    warn(c, "nitrogen-gas");
  if (c.gas.hydrogen_percent > 0 && family != Family::austenitic && family != Family::nickel) warn(c, "hydrogen-gas");
  if (family == Family::duplex && metal == WireMetal::stainless) warn(c, "lean-filler-duplex");
  const bool iron = family == Family::carbon_steel || is_stainless(family);
  if (is_bronze(*c.wire) && iron && (c.joint.wire || t > range("pairing-bronze-sheet").high))
    warn(c, "bronze-filler-on-steel");
  if (is_zinc_coated(*c.alloy) && metal == WireMetal::steel) warn(c, "steel-filler-on-zinc");
  const bool to_iron = c.alloy2 != nullptr && !(family == Family::copper && c.alloy2->family == Family::copper);
  const bool foreign_copper =
      family == Family::copper && !to_iron && metal != WireMetal::copper && metal != WireMetal::nickel;
  if ((metal == WireMetal::aluminium) != (family == Family::aluminium) || foreign_copper) warn(c, "filler-other-metal");
  if (c.mode == Mode::spray && out_of_position(*c.position)) warn(c, "spray-out-of-position");
  if (downhill(*c.position) && t > range("pairing-vertical-down").high) warn(c, "vertical-down-plate");
  const bool to_carbon_steel =
      c.alloy2 != nullptr && (family == Family::carbon_steel) != (c.alloy2->family == Family::carbon_steel);
  if (to_carbon_steel && metal == WireMetal::stainless &&
      c.wire->typical[Element::Cr] < range("pairing-chromium-dissimilar").low)
    warn(c, "lean-filler-dissimilar");
  lean_steel_filler(c);
  if (is_ferritic(*c.catalog, *c.wire) && family != Family::ferritic) warn(c, "ferritic-filler");
}

}  // namespace seamwright
