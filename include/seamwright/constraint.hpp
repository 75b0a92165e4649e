// What ends a band. Each constraint is declared here once: key, label, and the sentence that tells why it exists.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string_view>

#include "seamwright/catalog.hpp"
#include "seamwright/field.hpp"

namespace seamwright {

enum class C : std::size_t {
  none,
  // transfer mode
  transition,
  short_arc_min,
  short_arc_max,
  controlled_dip_min,
  controlled_dip_max,
  spray_max,
  // pulse
  pulse_base_current,
  pulse_base_time,
  pulse_frequency_min,
  pulse_frequency_max,
  pulse_duty,
  drop_criterion,
  // double pulse
  modulation_remelting,
  modulation_response,
  modulation_usual,
  modulation_low_phase,
  modulation_high_phase,
  modulation_burn_through,
  modulation_swing,
  // arc
  arc_length_range,
  dip_voltage_range,
  dynamics_range,
  // feeder, power source
  feeder_min,
  feeder_max,
  equipment_feed,
  equipment_current,
  equipment_voltage,
  equipment_duty,
  equipment_pulse,
  equipment_modulation,
  // the weld
  root_fusion,
  wall_fusion,
  full_penetration,
  burn_through,
  melt_support,
  pool_support,
  cold_lap,
  travel_min,
  travel_max,
  deposit_needed,
  deposit_position,
  excess_metal,
  heat_input_min,
  heat_input_max,
  procedure,
  user_limit,
  count
};
inline constexpr std::size_t constraint_count = static_cast<std::size_t>(C::count);

struct ConstraintInfo {
  C id;
  std::string_view key;     // "root-fusion": in JSON and CSV
  std::string_view label;   // "root fusion": in tables
  std::string_view why;     // one sentence: what goes wrong beyond it
  std::string_view remedy;  // one sentence: what moves it
};
[[nodiscard]] std::span<const ConstraintInfo, constraint_count> constraints();
[[nodiscard]] const ConstraintInfo& constraint(C id);

// One constraint at one operating point. Satisfied when score >= 0. The score is the distance to the limit in units of
// the quantity's own 90 % half-width, so that a score of 1 means "safe at about 90 % confidence" whatever the quantity.
struct Margin {
  C id = C::none;
  F field = F::count;  // the quantity that is limited
  bool upper = false;  // the limit is an upper one
  double value = 0;
  double limit = 0;
  double score = 0;
  SourceIndex source = 0;
};

struct MarginList {
  static constexpr std::size_t capacity = 64;
  std::array<Margin, capacity> items;
  std::size_t size = 0;
  [[nodiscard]] const Margin* begin() const { return items.data(); }
  [[nodiscard]] const Margin* end() const { return items.data() + size; }
  // The smallest score; the list must not be empty.
  [[nodiscard]] const Margin& worst() const {
    const Margin* least = begin();
    for (const Margin& m : *this)
      if (m.score < least->score) least = &m;
    return *least;
  }
};

}  // namespace seamwright
