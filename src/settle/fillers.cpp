// The wire and the gas of a joint.
#include <fmt/format.h>

#include <string>
#include <string_view>
#include <utility>

#include "seamwright/heat_rules.hpp"
#include "settle/metal_parts.hpp"
#include "settle/settle_parts.hpp"

namespace seamwright {

bool list_has(std::string_view list, std::string_view item) {
  bool found = false;
  for_each_item(list, [&](std::string_view entry) { found = found || entry == item; });
  return found;
}

bool is_ferritic(const Catalog& catalog, const Wire& wire) {
  return wire_metal(wire) == WireMetal::stainless &&
         wire.typical[Element::Ni] < heat_range(catalog, "ferritic-wire-nickel").high;
}

bool is_zinc_coated(const Alloy& alloy) {
  return alloy.family == Family::carbon_steel && first_item(alloy.fillers).starts_with("S Cu");
}

namespace {

bool speaks_of(std::string_view list, const Alloy& alloy, const Alloy& beside) {
  bool found = false;
  for_each_item(list, [&](std::string_view item) {
    found = found || item == family_key(alloy.family) || item == alloy.metal || list_has(alloy.fillers, item) ||
            (item == "any" && alloy.family != beside.family);
  });
  return found;
}

// The row of a pair of unlike metals; null: none speaks of it.
const UnlikeFiller* unlike_filler(const Catalog& catalog, const Alloy& a, const Alloy& b) {
  for (const UnlikeFiller& row : catalog.unlike_fillers)
    for (const auto& [one, other] : {std::pair(&a, &b), std::pair(&b, &a)})
      if (speaks_of(row.one, *one, *other) && speaks_of(row.other, *other, *one)) return &row;
  return nullptr;
}

// Aluminium: the first usable filler of the pair's table that the catalog has as a wire. Unlike pairs, warm service and
// anodising ask the table; otherwise the alloy's own list stands.
const Wire* aluminium_filler(const Case& c) {
  const auto question = filler_question(c);
  const bool plain_pair =
      alloys_of(c).size() == 1 && !c.joint.service_C && question && question->aim == FillerAim::usual;
  if (!question || plain_pair) return nullptr;
  const Catalog& catalog = *c.catalog;
  for (const FillerChoice& choice :
       choose_filler(*question, catalog.filler_pairs, catalog.filler_traits, filler_limits(catalog)))
    if (const Wire* wire = find_wire(catalog, choice.filler); choice.usable && wire != nullptr) return wire;
  return nullptr;
}

}  // namespace

void resolve_wire(Case& c, Diagnostics& errors) {
  const Joint& j = c.joint;
  if (j.wire) {
    c.wire = find_wire(*c.catalog, *j.wire);
  } else {
    std::string_view name = first_item(c.alloy->fillers);
    enum class Why { own, between, table } why = Why::own;
    SourceIndex source = 0;
    if (c.alloy2 != nullptr && c.alloy2 != c.alloy) {
      const bool steels = c.alloy->family == Family::carbon_steel && c.alloy2->family == Family::carbon_steel;
      if (steels) {  // the weaker or leaner one bears no more than its own wire: no need to match the stronger
        name = first_item((c.alloy2->group < c.alloy->group ? c.alloy2 : c.alloy)->fillers);
        why = Why::between;
      } else if (const UnlikeFiller* row = unlike_filler(*c.catalog, *c.alloy, *c.alloy2)) {
        name = row->filler;
        why = Why::between;
        source = row->source;
      }
    }
    c.wire = find_wire(*c.catalog, name);
    if (const Wire* wire = aluminium_filler(c); wire != nullptr) {
      c.wire = wire;
      why = Why::table;
    }
    const Wire* usual = c.wire;
    if (usual != nullptr) c.wire = &wire_from_rack(c, *usual, why == Why::own ? c.alloy->fillers : std::string_view());
    const bool brazes = c.wire != nullptr && is_bronze(*c.wire) && c.alloy->family != Family::copper;
    if (c.wire != nullptr)
      choose(c, [&]() -> Choice {
        return {"wire.designation", std::string(c.wire->id),
                c.wire != usual   ? fmt::format("on the rack, and a filler for {}; the first choice, {}, is not there",
                                                c.alloy->id, usual->id)
                : why == Why::own ? fmt::format("the usual filler for {}{}{}", c.alloy->id, brazes ? ": " : "",
                                                brazes ? c.wire->note : "")
                : why == Why::between ? fmt::format("the usual filler between {} and {}", c.alloy->id, c.alloy2->id)
                                      : "first usable of the fillers for this pair, service and finish",
                source};
      });
  }
  if (c.wire == nullptr) {
    errors.push_back(wrong(j.wire, "no filler wire is known for this pair of alloys", "give wire.designation"));
    return;
  }
  c.wire_family = find_wire_family(*c.catalog, c.wire->family);
  if (j.wire_diameter_mm && find_wire_size(*c.catalog, c.wire->family, *j.wire_diameter_mm) == nullptr) {
    std::string known;
    for (const WireSize& size : c.catalog->wire_sizes)
      if (size.family == c.wire->family) known += fmt::format("{}{:.4g}", known.empty() ? "" : ", ", size.diameter_mm);
    errors.push_back(wrong(j.wire_diameter_mm,
                           fmt::format("no limits are known for {} of {}", c.wire->id, mm(*j.wire_diameter_mm)),
                           fmt::format("the diameters known are {} mm", known)));
  }
}

void resolve_gas(Case& c) {
  const Joint& j = c.joint;
  if (j.gas) {
    const Gas* gas = find_gas(*c.catalog, *j.gas);
    c.gas = *gas;
    c.gas_name = gas->id;
    return;
  }
  if (!j.gas_composition.empty()) {
    for (const auto& [part, percent] : j.gas_composition) {
      if (part == "Ar") c.gas.argon_percent = percent;
      if (part == "CO2") c.gas.co2_percent = percent;
      if (part == "O2") c.gas.oxygen_percent = percent;
      if (part == "He") c.gas.helium_percent = percent;
      if (part == "N2") c.gas.nitrogen_percent = percent;
      if (part == "H2") c.gas.hydrogen_percent = percent;
      c.gas_name += fmt::format("{}{} {:.4g} %", c.gas_name.empty() ? "" : " + ", part, percent);
    }
    return;
  }
  const Gas* usual = find_gas(*c.catalog, first_item(c.wire->gases));
  const Gas* gas = &gas_from_rack(c, *usual);
  c.gas = *gas;
  c.gas_name = gas->id;
  choose(c, [&]() -> Choice {
    return {"gas.designation", std::string(gas->id),
            gas == usual ? fmt::format("the usual gas for {}", c.wire->id)
                         : fmt::format("on the rack, and a gas for {}; the first choice, {}, is not there", c.wire->id,
                                       usual->id),
            gas->source};
  });
}

}  // namespace seamwright
