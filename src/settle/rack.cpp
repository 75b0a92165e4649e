// What stands on the rack of the shop: wires and gases are chosen from it first.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include "catalog/same_wire.hpp"
#include "input/input_keys.hpp"
#include "settle/resolve.hpp"
#include "settle/settle_parts.hpp"
#include "text/nearest_word.hpp"

namespace seamwright {
namespace {

std::string names_of(const std::vector<RackItem>& items) {
  std::string list;
  for (const RackItem& item : items)
    if (list.find(item.name) == std::string::npos) list += (list.empty() ? "" : ", ") + item.name;
  return list;
}

// The first of a '|' list that stands on the rack; empty: none.
std::string_view first_on_rack(std::string_view list, const auto& known) {
  std::string_view found;
  for_each_item(list, [&](std::string_view id) {
    if (found.empty() && known(id)) found = id;
  });
  return found;
}

}  // namespace

void check_rack(const Case& c, Diagnostics& errors) {
  if (!c.equipment) return;
  const auto known = [&](const RackItem& item, NameList list) { return catalog_knows(*c.catalog, list, item.name); };
  const auto unknown = [&](const RackItem& item, NameList list, std::string_view where) {
    const std::string_view what = catalog_table(list);
    const std::string_view near = nearest_word(item.name, catalog_names(*c.catalog, list));
    Diagnostic d;
    d.place = item.place;
    d.message = fmt::format("{} '{}' {} is not in the catalog", what, item.name, where);
    d.help = fmt::format("{}'seamwright catalog {}' lists them",
                         near.empty() ? "" : fmt::format("did you mean '{}'? ", near), what);
    errors.push_back(std::move(d));
  };
  const Equipment& e = *c.equipment;
  for (const auto& [items, list] : {std::pair(&e.rack_wires, NameList::wire), std::pair(&e.rack_gases, NameList::gas)})
    for (const RackItem& item : *items)
      if (!known(item, list)) unknown(item, list, "on the rack");
  if (!e.prices) return;
  for (const auto& [rows, list] :
       {std::pair(&e.prices->wires, NameList::wire), std::pair(&e.prices->gases, NameList::gas)})
    for (const Prices::Named& row : *rows)
      if (!known(row.item, list)) unknown(row.item, list, "among the prices");
}

bool on_rack(const Case& c, const Wire& wire) {
  return std::ranges::any_of(c.equipment->rack_wires,
                             [&](const RackItem& item) { return find_wire(*c.catalog, item.name) == &wire; });
}

bool on_rack(const Case& c, const Wire& wire, double diameter_mm) {
  return std::ranges::any_of(c.equipment->rack_wires, [&](const RackItem& item) {
    return find_wire(*c.catalog, item.name) == &wire &&
           (item.diameter_mm <= 0 || std::abs(item.diameter_mm - diameter_mm) <= same_wire_mm);
  });
}

std::vector<std::string_view> fillers_on_rack(const Case& c) {
  std::vector<std::string_view> wires;
  if (!c.equipment || c.equipment->rack_wires.empty() || (c.alloy2 != nullptr && c.alloy2 != c.alloy)) return wires;
  for_each_item(c.alloy->fillers, [&](std::string_view id) {
    if (const Wire* wire = find_wire(*c.catalog, id); wire != nullptr && on_rack(c, *wire)) wires.push_back(wire->id);
  });
  return wires;
}

const Wire& wire_from_rack(Case& c, const Wire& usual, std::string_view others) {
  if (!c.equipment || c.equipment->rack_wires.empty() || on_rack(c, usual)) return usual;
  const auto known = [&](std::string_view id) {
    const Wire* wire = find_wire(*c.catalog, id);
    return wire != nullptr && on_rack(c, *wire);
  };
  if (const auto id = first_on_rack(others, known); !id.empty()) return *find_wire(*c.catalog, id);
  warn_that(c, "rack-wire", 0, [&] {
    return fmt::format("No wire on the rack suits {}: planned with {}, which is to be bought. On the rack: {}.",
                       c.alloy->id, usual.id, names_of(c.equipment->rack_wires));
  });
  return usual;
}

const Gas& gas_from_rack(Case& c, const Gas& usual) {
  if (!c.equipment || c.equipment->rack_gases.empty()) return usual;
  const auto known = [&](std::string_view id) {
    const Gas* gas = find_gas(*c.catalog, id);
    return std::ranges::any_of(c.equipment->rack_gases,
                               [&](const RackItem& item) { return find_gas(*c.catalog, item.name) == gas; });
  };
  if (const auto id = first_on_rack(c.wire->gases, known); !id.empty()) return *find_gas(*c.catalog, id);
  warn_that(c, "rack-gas", 0, [&] {
    return fmt::format("No gas on the rack suits {}: planned with {}, which is to be bought. On the rack: {}.",
                       c.wire->id, usual.id, names_of(c.equipment->rack_gases));
  });
  return usual;
}

}  // namespace seamwright
