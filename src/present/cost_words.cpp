#include "present/cost_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace seamwright {
namespace {

struct Part {
  F cost;
  std::string_view name;
  double PassPrices::*price;
};
constexpr std::array<Part, 4> parts{{{F::cost_wire, "wire", &PassPrices::wire_per_kg},
                                     {F::cost_gas, "gas", &PassPrices::gas_per_m3},
                                     {F::cost_power, "power", &PassPrices::power_per_kWh},
                                     {F::cost_labour, "labour", &PassPrices::labour_per_h}}};

// "38 min", "7.3 h".
std::string time_text(double minutes) {
  constexpr double long_min = 120, min_per_h = 60;
  return minutes < long_min ? fmt::format("{} min", fixed_text(minutes, 1))
                            : fmt::format("{} h", fixed_text(minutes / min_per_h, 1));
}

}  // namespace

Currency currency_of(const std::optional<Equipment>& equipment) {
  if (!equipment || !equipment->prices) return std::nullopt;
  return equipment->prices->currency;
}

std::string amount_text(F id, double metric, Units units, Currency currency) {
  const FieldInfo& info = field(id);
  const std::string_view unit = unit_of(info, units, currency.value_or(""));
  const std::string number = quantity_text(info, metric, units);
  return unit.empty() ? number : fmt::format("{} {}", number, unit);
}

std::vector<std::string_view> without_price(const Case& c) {
  std::vector<std::string_view> names;
  if (c.prices.present)
    for (const Part& part : parts)
      if (c.prices.*part.price < 0) names.push_back(part.name);
  return names;
}

std::string without_price_words(const Case& c) {
  std::string list;
  const std::vector<std::string_view> names = without_price(c);
  for (std::size_t i = 0; i < names.size(); ++i)
    list += fmt::format("{}{}", i == 0 ? "" : i + 1 == names.size() ? " and " : ", ", names[i]);
  return list.empty() ? list : fmt::format("no price is given for {}", list);
}

std::string cost_words(const Plan& plan, Units units) {
  const Case& c = plan.resolved;
  const Estimate &time = plan.total(F::total_time), &cost = plan.total(F::cost);
  if (!time.present) return {};
  const bool of_a_weld = c.joint.length_mm || c.joint.diameter_mm;
  const std::string_view of = of_a_weld ? "per weld" : units == Units::us ? "per foot" : "per metre";
  const Currency currency = currency_of(c.equipment);
  const auto money = [&](double value) { return amount_text(F::cost, value, units, currency); };
  std::string text;
  if (cost.present) {
    text = money(cost.value);
    const std::string spread = difference_text(field(F::cost), cost.plus_minus, units);
    if (spread.find_first_of("123456789") != std::string::npos) text += " +-" + spread;
    text += fmt::format(" {}: ", of);
    std::vector<const Part*> priced;
    for (const Part& part : parts)
      if (plan.total(part.cost).present) priced.push_back(&part);
    std::stable_sort(priced.begin(), priced.end(), [&](const Part* a, const Part* b) {
      return plan.total(a->cost).value > plan.total(b->cost).value;
    });
    for (const Part* part : priced)
      text += fmt::format("{}{} {}", part == priced.front() ? "" : ", ", part->name,
                          quantity_text(field(part->cost), plan.total(part->cost).value, units));
    text += "; ";
  }
  constexpr double percent = 100;
  text += fmt::format("{}{}{}, the arc burns {} % of it", time_text(time.value), cost.present ? "" : " ",
                      cost.present ? "" : of, fixed_text(percent * c.operating_factor.value, 0));
  if (const Estimate& all = plan.total(F::total_time_all); all.present) {
    text += fmt::format("; all {} welds ", fixed_text(plan.total(F::quantity).value, 0));
    if (plan.total(F::cost_all).present) text += money(plan.total(F::cost_all).value) + ", ";
    text += time_text(all.value);
  }
  if (const std::string missing = without_price_words(c); !missing.empty()) text += "; " + missing;
  return text;
}

}  // namespace seamwright
