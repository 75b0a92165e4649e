// Every output quantity is declared here once: key, label, units, decimals, meaning.
// Tables, JSON, CSV, limits and help are all made from this list.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string_view>

namespace seamwright {

// Order is the order of presentation.
enum class F : std::size_t {
  wire_feed,
  travel,
  current,
  current_rms,
  voltage,
  arc_length,
  arc_length_trim,
  current_rise,
  inductance,
  peak_current,
  peak_time,
  base_current,
  base_time,
  pulse_frequency,
  pulse_duty,
  peak_current_trim,
  drop_diameter,
  modulation_frequency,
  modulation_amplitude,
  wire_feed_high,
  wire_feed_low,
  ripple_pitch,
  deposit_area,
  deposit_width,
  layer_height,
  bead_width,
  penetration,
  back_width,
  pool_length,
  dilution,
  power,
  arc_energy,
  arc_energy_ui,
  heat_input,
  preheat,
  interpass,
  wire_mass,
  gas_volume,
  arc_time,
  count
};
inline constexpr std::size_t field_count = static_cast<std::size_t>(F::count);

// What a field's low and high ends mean.
enum class Range {
  setting,      // a range to keep the setting or the reading in; each end has a constraint that ends it
  consequence,  // the values the quantity takes over the recommended wire-feed band
  total         // a sum; no ends
};

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
