// The names of the constraints, and how strong one is.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

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
  weave_advance,
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

[[nodiscard]] std::string_view constraint_key(C id);
[[nodiscard]] std::optional<C> constraint_by_key(std::string_view key);

// How strong a limit is. The first two are walls; the others have an end inside which nothing is said and a last one
// beyond which a plan is refused.
enum class Strength : unsigned char {
  rule,      // a standard, the user's procedure or limit, the equipment
  physics,   // the arc goes out, the wire cannot be fed, the root is not melted
  practice,  // of the trade
  assumed    // of this program
};
[[nodiscard]] std::string_view strength_key(Strength strength);
[[nodiscard]] std::optional<Strength> strength_by_key(std::string_view key);

}  // namespace seamwright
