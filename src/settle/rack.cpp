// What stands on the rack of the shop: wires and gases are chosen from it first.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include "settle/settle_parts.hpp"

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
  const auto unknown = [&](const RackItem& item, std::string_view what) {
    Diagnostic d;
    d.place = item.place;
    d.message = fmt::format("{} '{}' on the rack is not in the catalog", what, item.name);
    d.help = fmt::format("'seamwright catalog {}' lists them", what);
    errors.push_back(std::move(d));
  };
  for (const RackItem& item : c.equipment->rack_wires)
    if (find_wire(*c.catalog, item.name) == nullptr) unknown(item, "wire");
  for (const RackItem& item : c.equipment->rack_gases)
    if (find_gas(*c.catalog, item.name) == nullptr) unknown(item, "gas");
}

bool on_rack(const Case& c, const Wire& wire) {
  return std::ranges::any_of(c.equipment->rack_wires,
                             [&](const RackItem& item) { return find_wire(*c.catalog, item.name) == &wire; });
}

bool on_rack(const Case& c, const Wire& wire, double diameter_mm) {
  constexpr double same_mm = 0.0127;  // as find_wire_size() knows a size
  return std::ranges::any_of(c.equipment->rack_wires, [&](const RackItem& item) {
    return find_wire(*c.catalog, item.name) == &wire &&
           (item.diameter_mm <= 0 || std::abs(item.diameter_mm - diameter_mm) < same_mm);
  });
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
