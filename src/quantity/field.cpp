#include "seamwright/field.hpp"

namespace seamwright {
namespace {

using enum Range;
using enum QuantityGroup;
using enum Needs;

// Exact by definition of the inch, the foot and the pound.
constexpr double litres_per_ft3 = 28.316846592, g_per_lb = 453.59237;

// A unit and what stands in its place in US units.
struct Unit {
  std::string_view metric, us = metric;
  double factor = 1, offset = 0;  // us = metric * factor + offset
};
constexpr Unit A{"A"}, V{"V"}, W{"W"}, Hz{"Hz"}, ms{"ms"}, s{"s"}, min{"min"}, mH{"mH"}, kWh{"kWh"};
constexpr Unit A_per_ms{"A/ms"}, HV10{"HV10"}, percent{"%"}, plain{""}, money{""};
constexpr Unit mm{"mm", "in", 1 / mm_per_in}, mm2{"mm2", "in2", 1 / mm_per_in / mm_per_in};
constexpr Unit m_per_min{"m/min", "in/min", 1000 / mm_per_in}, mm_per_s{"mm/s", "in/min", 60 / mm_per_in};
constexpr Unit kJ_per_mm{"kJ/mm", "kJ/in", mm_per_in}, degC{"degC", "degF", 1.8, 32};
constexpr Unit g{"g", "lb", 1 / g_per_lb}, l{"l", "ft3", 1 / litres_per_ft3};

constexpr FieldInfo shown(std::string_view label, const Unit& unit, int decimals, int us_decimals, Range range,
                          QuantityGroup group, Needs needs, std::string_view meaning, Priced priced = Priced::never) {
  return {F::count,    {},          label, unit.metric, decimals, unit.us, unit.factor,
          unit.offset, us_decimals, range, group,       needs,    meaning, &unit == &money ? Priced::money : priced};
}
constexpr FieldInfo named(F id, std::string_view key, FieldInfo row) {
  row.id = id;
  row.key = key;
  return row;
}

constexpr std::array<FieldInfo, field_count> table{{
#define SEAMWRIGHT_QUANTITY(id, row, relations) named(F::id, #id, row),
#include "seamwright/quantities.def"
}};

}  // namespace

std::span<const FieldInfo, field_count> fields() { return table; }

const FieldInfo& field(F id) { return table[static_cast<std::size_t>(id)]; }

std::optional<F> field_by_key(std::string_view key) {
  for (const FieldInfo& info : table)
    if (info.key == key) return info.id;
  return std::nullopt;
}

}  // namespace seamwright
