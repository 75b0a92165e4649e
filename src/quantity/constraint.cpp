#include "seamwright/constraint.hpp"

namespace seamwright {
namespace {

constexpr std::array<ConstraintInfo, constraint_count> table{{
    {C::none, "none", "", "", ""},
    {C::transition, "spray-transition", "spray transition",
     "below it the wire melts in large drops that do not cross the arc in an orderly spray",
     "a thinner wire, less CO2 in the gas, or pulse", "the drops are coarse and spatter"},
    {C::short_arc_min, "short-arc-low", "minimum short-arc current",
     "below it the wire stubs into the plate before it melts", "a thinner wire", "the wire stubs"},
    {C::short_arc_max, "short-arc-high", "maximum short-arc current",
     "above it the drops grow coarse and leave the short-circuit rhythm (globular transfer)",
     "a thicker wire, or spray or pulse", "the drops get coarse"},
    {C::controlled_dip_min, "controlled-dip-low", "minimum controlled-dip current",
     "below it the dip rhythm is not known to hold", "a thinner wire", "the wire stubs"},
    {C::controlled_dip_max, "controlled-dip-high", "maximum controlled-dip current",
     "above it the dip rhythm is not known to hold", "a thicker wire, or pulse", "the dips grow irregular"},
    {C::spray_max, "spray-high", "maximum spray current",
     "above it the wire tip may start to rotate, or the published range of this wire ends", "a thicker wire",
     "the arc rotates or spatters"},
    {C::pulse_base_current, "pulse-base-current", "minimum base current",
     "below it the arc goes out between the pulses", "a shorter peak time or lower peak, or a thinner wire",
     "the arc goes out between pulses"},
    {C::pulse_base_time, "pulse-base-time", "minimum base time",
     "the pulses run into each other and the arc becomes continuous spray", "a thicker wire",
     "the pulses run together"},
    {C::pulse_frequency_min, "pulse-frequency-low", "minimum pulse frequency",
     "the arc flickers at a lower frequency and the drops grow too large", "more wire feed, or a thinner wire",
     "the arc flickers"},
    {C::pulse_frequency_max, "pulse-frequency-high", "maximum pulse frequency",
     "above the usual range one drop a pulse is not known to hold", "a thicker wire"},
    {C::pulse_duty, "pulse-duty", "maximum pulse duty",
     "the peaks fill too much of the period for the drop to come off in each", "a thicker wire or a shorter peak",
     "the drops no longer come one a pulse"},
    {C::drop_criterion, "one-drop-a-pulse", "one drop a pulse",
     "beyond it the peak detaches less or more than one drop a pulse", "re-setting peak current and time together"},
    {C::modulation_remelting, "ripple-remelting", "remelting of each ripple",
     "slower, and a ripple solidifies fully before the next one remelts it", "faster travel or a longer pool"},
    {C::modulation_response, "pool-response", "response of the pool",
     "faster, and the pool no longer feels the modulation", "slower travel or a lower frequency"},
    {C::modulation_usual, "usual-modulation", "usual range of modulation", "outside what is usual for double pulse",
     "describing the equipment's own range in its file"},
    {C::modulation_low_phase, "low-phase", "low phase at the pulse window's lower end",
     "the low phase would fall below the minimum feed at which the pulse holds", "a higher mean feed"},
    {C::modulation_high_phase, "high-phase", "high phase at the pulse window's upper end",
     "the high phase would rise above the maximum feed at which the pulse holds", "a lower mean feed"},
    {C::modulation_burn_through, "high-phase-burn-through", "burn-through in the high phase",
     "the high phase would melt through", "a lower mean feed or faster travel", "it burns through in the high phase"},
    {C::modulation_swing, "power-swing", "minimum power swing", "less, and the pool does not notice the two phases",
     "a lower modulation frequency"},
    {C::arc_length_range, "arc-length-range", "usual arc length",
     "a shorter arc shorts and spatters, a longer one wanders, undercuts and draws in air",
     "another arc length (process.arc_length), or another mode"},
    {C::dip_voltage_range, "dip-voltage-range", "usual voltage of this mode",
     "less, and the wire stubs into the plate; more, and the shorts grow few and coarse and the spatter large",
     "another mode, or a trial weld: the range is the trade's"},
    {C::dynamics_range, "dynamics-range", "usual current rise", "slower stubs the wire, faster spatters",
     "a trial weld: the range is the trade's, for the family of the wire"},
    {C::feeder_min, "wire-feed-low", "minimum practical wire feed", "below the usual range of this wire",
     "a thinner wire", "the wire stubs"},
    {C::feeder_max, "wire-feed-high", "maximum practical wire feed", "above the usual range of this wire",
     "a thicker wire", "the feeder reaches its end"},
    {C::equipment_feed, "equipment-feed", "the feeder's range", "the described feeder cannot reach that wire feed",
     "another feeder or wire diameter"},
    {C::equipment_current, "equipment-current", "the power source's current",
     "the described power source cannot supply that current", "another power source or a thinner wire"},
    {C::equipment_voltage, "equipment-voltage", "the power source's voltage",
     "the described power source cannot supply that voltage", "another power source"},
    {C::equipment_duty, "equipment-duty", "the power source's duty cycle",
     "the power source would trip or overheat at this share of arc time", "a lower duty or a larger power source"},
    {C::equipment_pulse, "equipment-pulse", "the power source's pulse range",
     "the described power source cannot supply that pulse", "another mode or power source"},
    {C::equipment_modulation, "equipment-modulation", "the power source's modulation range",
     "the described power source cannot supply that modulation", "another power source, or pulse without modulation"},
    {C::root_fusion, "root-fusion", "root fusion", "the arc does not melt deep enough into the root",
     "more feed, slower travel, preheat, or pulse or spray instead of short arc", "the root is not fused"},
    {C::wall_fusion, "wall-fusion", "fusion into wall and layer below",
     "the bead lies on the metal without melting into it", "more feed, or thinner layers",
     "the wall or the layer below is not fused"},
    {C::full_penetration, "full-penetration", "penetration through the root", "the back of the joint stays unmelted",
     "a wider gap, a smaller root face, or more feed", "the back is not melted"},
    {C::burn_through, "burn-through", "burn-through", "the pool melts too wide at the back and falls through",
     "less feed, faster travel, backing, or a smaller gap", "it burns through"},
    {C::melt_support, "melt-support", "support of the molten pool",
     "arc pressure and weight break the skin of the melted-through pool", "less current, or backing",
     "the pool drops through"},
    {C::pool_support, "pool-support", "pool held in this position",
     "the pool grows too long and wide for its surface to hold it, and runs out of the joint",
     "less feed, a smaller bead, or turning the joint flat", "the pool runs"},
    {C::cold_lap, "cold-lap", "cold lap", "the deposit spreads wider than the plate is melted and laps cold over it",
     "more feed at the same deposit, a smaller deposit, or preheat", "it laps cold"},
    {C::travel_min, "travel-low", "slowest practical travel", "slower than a steady hand or carriage moves",
     "a smaller deposit (more passes), more feed, or a carriage that goes slower (process.travel)",
     "it is too slow for a steady hand"},
    {C::travel_max, "travel-high", "fastest practical travel", "faster than a steady hand or carriage moves",
     "mechanised travel, a larger leg, or a thinner wire", "it is too fast for the hand"},
    {C::weave_advance, "weave-advance", "usual advance a weave",
     "the arc gets on too far while the torch swings, and leaves the sides unmelted between two turns",
     "slower travel, a narrower weave, or a shorter stop at the sides", "the sides stay unmelted between turns"},
    {C::deposit_needed, "deposit-needed", "deposit the joint needs", "the joint is not filled",
     "slower travel or more feed", "the weld is too small"},
    {C::deposit_position, "deposit-position", "maximum deposit in this position",
     "the pool runs out of the joint in this position", "more passes, or another position", "the bead sags"},
    {C::excess_metal, "excess-metal", "excess weld metal", "more metal than the quality level lets stand",
     "faster travel, or a lower quality level where the drawing allows it", "the bead stands too high"},
    {C::heat_input_min, "heat-input-low", "minimum heat input", "the weld cools too fast for the alloy",
     "slower travel or more feed", "the heat input reads low"},
    {C::heat_input_max, "heat-input-high", "maximum heat input", "the weld stays hot too long for the alloy",
     "faster travel, thinner beads", "the heat input reads high"},
    {C::procedure, "procedure", "the procedure's range", "outside a range the welding procedure states",
     "another procedure, or requalifying this one"},
    {C::user_limit, "given-limit", "the limit given", "outside a limit given in the joint file", "changing the limit"},
}};

}  // namespace

std::string_view constraint_key(C id) { return table[static_cast<std::size_t>(id)].key; }

std::optional<C> constraint_by_key(std::string_view key) {
  for (const ConstraintInfo& info : table)
    if (info.key == key) return info.id;
  return std::nullopt;
}

namespace {
constexpr std::string_view strengths[] = {"rule", "physics", "practice", "assumed"};
}  // namespace

std::string_view strength_key(Strength strength) { return strengths[static_cast<std::size_t>(strength)]; }

std::optional<Strength> strength_by_key(std::string_view key) {
  for (std::size_t i = 0; i < std::size(strengths); ++i)
    if (strengths[i] == key) return static_cast<Strength>(i);
  return std::nullopt;
}

std::span<const ConstraintInfo, constraint_count> constraints() { return table; }

const ConstraintInfo& constraint(C id) { return table[static_cast<std::size_t>(id)]; }

}  // namespace seamwright
