// Every output quantity is declared here once: key, label, units, decimals, meaning.
// Tables, JSON, CSV, limits and help are all made from this list.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string_view>

namespace seamwright {

inline constexpr double mm_per_in = 25.4;  // exact: NIST SP 811
inline constexpr double mm_per_ft = 12 * mm_per_in;

// Order is the order of presentation. Values are held in the metric unit of their row.
enum class F : std::size_t {
#define SEAMWRIGHT_QUANTITY(id, row, relations) id,
#include "seamwright/quantities.def"
  count
};
inline constexpr std::size_t field_count = static_cast<std::size_t>(F::count);

// What a field's low and high ends mean.
enum class Range {
  setting,      // a range to keep the setting or the reading in; each end has a constraint that ends it
  consequence,  // the values the quantity takes over the recommended wire-feed band
  total         // a sum; no ends
};

// Whether a quantity is there without prices, and whether its unit is their currency.
enum class Priced : unsigned char { never, use, money };

// What people read together.
enum class QuantityGroup : unsigned char { machine, torch, expect, heat, metal, use, cost, count };

// What must be known before a quantity is: the electrical side and the travel, or the pool as well.
enum class Needs : unsigned char { supply, pool };

struct FieldInfo {
  F id;
  std::string_view key;    // in JSON, CSV, limits, explain
  std::string_view label;  // in tables and sheets
  std::string_view unit;   // metric, as printed; empty for a pure number
  int decimals;
  std::string_view us_unit;
  double us_factor;  // us = metric * us_factor + us_offset
  double us_offset;
  int us_decimals;
  Range range;
  QuantityGroup group;
  Needs needs;
  std::string_view meaning;  // one sentence
  Priced priced = Priced::never;
};

[[nodiscard]] std::span<const FieldInfo, field_count> fields();
[[nodiscard]] const FieldInfo& field(F id);
[[nodiscard]] std::optional<F> field_by_key(std::string_view key);
[[nodiscard]] inline bool needs_pool(F id) { return field(id).needs == Needs::pool; }

// Values of all fields at one operating point; `not_applicable` where a field has no meaning for the mode.
struct FieldValues {
  std::array<double, field_count> value;
  [[nodiscard]] double& operator[](F id) { return value[static_cast<std::size_t>(id)]; }
  [[nodiscard]] double operator[](F id) const { return value[static_cast<std::size_t>(id)]; }
};

}  // namespace seamwright
