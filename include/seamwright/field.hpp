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

// Order is the order of presentation. The unit beside each is the one its value is held in.
enum class F : std::size_t {
  wire_feed,             // m/min
  travel,                // mm/s
  current,               // A, mean
  current_rms,           // A
  voltage,               // V, mean
  arc_length,            // mm
  arc_length_trim,       // V about the recommended arc length's
  current_rise,          // A/ms
  inductance,            // mH
  peak_current,          // A
  peak_time,             // ms
  base_current,          // A
  base_time,             // ms
  pulse_frequency,       // Hz
  pulse_duty,            // %
  peak_current_trim,     // %
  drop_diameter,         // mm
  modulation_frequency,  // Hz
  modulation_amplitude,  // m/min
  wire_feed_high,        // m/min
  wire_feed_low,         // m/min
  ripple_pitch,          // mm
  weave_width,           // mm
  weave_dwell,           // s
  weave_advance,         // mm
  deposit_area,          // mm2
  deposit_width,         // mm
  layer_height,          // mm
  reinforcement,         // mm
  bead_width,            // mm
  penetration,           // mm
  back_width,            // mm
  pool_length,           // mm
  dilution,              // %
  dilution_layer_2,      // %
  dilution_layer_3,      // %
  power,                 // W
  arc_energy,            // kJ/mm
  arc_energy_ui,         // kJ/mm
  heat_input,            // kJ/mm
  t8_5,                  // s
  hardness,              // HV10
  carbon_equivalent,     // %
  cet,                   // %
  ferrite_number,        // FN
  pren,
  iron_layer_1,    // %
  iron_layer_2,    // %
  iron_layer_3,    // %
  preheat,         // degC
  interpass,       // degC
  wire_mass,       // g
  gas_volume,      // l
  arc_time,        // s
  quantity,        // welds like this one; those below are over all of them
  wire_mass_all,   // g
  gas_volume_all,  // l
  arc_time_all,    // s
  // Where prices are given.
  total_time,        // min
  energy_drawn,      // kWh
  cost_wire,         // money, in the currency of the prices
  cost_gas,          // money
  cost_power,        // money
  cost_labour,       // money
  cost,              // money
  total_time_all,    // min
  energy_drawn_all,  // kWh
  cost_all,          // money
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
  std::string_view meaning;  // one sentence
  Priced priced = Priced::never;
};

[[nodiscard]] std::span<const FieldInfo, field_count> fields();
[[nodiscard]] const FieldInfo& field(F id);
[[nodiscard]] std::optional<F> field_by_key(std::string_view key);

// Values of all fields at one operating point; `not_applicable` where a field has no meaning for the mode.
struct FieldValues {
  std::array<double, field_count> value;
  [[nodiscard]] double& operator[](F id) { return value[static_cast<std::size_t>(id)]; }
  [[nodiscard]] double operator[](F id) const { return value[static_cast<std::size_t>(id)]; }
};

}  // namespace seamwright
