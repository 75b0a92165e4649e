// What wire, gas, power and labour of a case cost.
#include <fmt/format.h>

#include <cmath>

#include "catalog/same_wire.hpp"
#include "settle/settle_parts.hpp"

namespace seamwright {
namespace {

// A price of its own, in this diameter before in any; else the price of all, below 0: none.
double price_of(const std::vector<Prices::Named>& named, const std::optional<double>& all, double diameter_mm,
                auto is_it) {
  const Prices::Named* found = nullptr;
  for (const Prices::Named& row : named) {
    const bool any = row.item.diameter_mm <= 0;
    if (!is_it(row.item.name) || (!any && std::abs(row.item.diameter_mm - diameter_mm) > same_wire_mm)) continue;
    if (found == nullptr || (found->item.diameter_mm <= 0 && !any)) found = &row;
  }
  return found != nullptr ? found->price : all.value_or(-1);
}

}  // namespace

void resolve_times_and_efficiency(Case& c) {
  c.prices = {};
  c.operating_factor = c.source_efficiency = {1, 0, 0};
  if (!c.equipment || !c.equipment->prices) return;
  const Limits& lim = *c.catalog->limits;
  const auto given_or = [](const std::optional<double>& given, const Constant& usual) {
    return given ? Constant{*given, 0, 0} : usual;
  };
  const std::optional<double>& factor = c.equipment->prices->operating_factor;
  c.operating_factor = given_or(factor, c.mechanised ? lim.operating_factor_carriage : lim.operating_factor_hand);
  c.source_efficiency = given_or(c.equipment->efficiency, lim.source_efficiency);
  if (!factor)
    choose(c, [&]() -> Choice {
      return {"prices.operating_factor", fmt::format("{:.4g}", c.operating_factor.value),
              fmt::format("usual share of the time that the arc burns, with a {}; shops differ widely",
                          c.mechanised ? "carriage" : "hand"),
              c.operating_factor.source};
    });
  if (!c.equipment->efficiency)
    choose(c, [&]() -> Choice {
      return {"source.efficiency", fmt::format("{:.4g}", c.source_efficiency.value),
              "power of the arc over power from the mains", c.source_efficiency.source};
    });
}

void settle_prices(Case& c) {
  if (!c.equipment || !c.equipment->prices) return;
  const Prices& p = *c.equipment->prices;
  c.prices.present = true;
  c.prices.wire_per_kg = price_of(p.wires, p.wire_per_kg, c.diameter_mm,
                                  [&](std::string_view name) { return find_wire(*c.catalog, name) == c.wire; });
  c.prices.gas_per_m3 = price_of(p.gases, p.gas_per_m3, 0, [&](std::string_view name) {
    const Gas* gas = find_gas(*c.catalog, name);
    return gas != nullptr && gas->id == c.gas_name;
  });
  c.prices.power_per_kWh = p.power_per_kWh.value_or(-1);
  c.prices.labour_per_h = p.labour_per_h.value_or(-1);
}

}  // namespace seamwright
