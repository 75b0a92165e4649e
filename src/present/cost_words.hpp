// What a plan costs, in words.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "present/plan_columns.hpp"

namespace seamwright {

// The currency of the prices, empty where they do not say it; nothing without prices.
[[nodiscard]] Currency currency_of(const std::optional<Equipment>& equipment);

// A quantity with its unit; a cost with its currency.
[[nodiscard]] std::string amount_text(F id, double metric, Units units, Currency currency);

// What has no price: "wire", "gas", "power", "labour".
[[nodiscard]] std::vector<std::string_view> without_price(const Case& resolved);
// "no price is given for gas and power"; empty: everything has one.
[[nodiscard]] std::string without_price_words(const Case& resolved);

// Cost and time of the joint in a line: "4.12 EUR +-1.03 per metre: labour 2.47, wire 1.20, ..."; empty without prices.
[[nodiscard]] std::string cost_words(const Plan& plan, Units units);

}  // namespace seamwright
