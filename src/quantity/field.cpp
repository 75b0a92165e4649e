#include "seamwright/field.hpp"

namespace seamwright {
namespace {

// Exact by definition of the inch and the pound.
constexpr double litres_per_ft3 = 28.316846592;
constexpr double per_in(double mm) { return mm / mm_per_in; }

constexpr std::array<FieldInfo, field_count> table{{
    {F::wire_feed, "wire_feed", "wire feed", "m/min", 2, "in/min", per_in(1000), 0, 0, Range::setting,
     "Speed of the wire."},
    {F::travel, "travel", "travel", "mm/s", 1, "in/min", 60 / mm_per_in, 0, 1, Range::setting,
     "Speed of the arc along the joint."},
    {F::current, "current", "current", "A", 0, "A", 1, 0, 0, Range::setting, "Mean welding current."},
    {F::current_rms, "current_rms", "RMS current", "A", 0, "A", 1, 0, 0, Range::consequence,
     "Root mean square of the current: what heats the extension and loads the power source."},
    {F::voltage, "voltage", "voltage", "V", 1, "V", 1, 0, 1, Range::setting,
     "Mean voltage between contact tip and work."},
    {F::arc_length, "arc_length", "arc length", "mm", 1, "in", per_in(1), 0, 2, Range::setting, "Length of the arc."},
    {F::arc_length_trim, "arc_length_trim", "arc length trim", "V", 1, "V", 1, 0, 1, Range::setting,
     "Voltage about that of the recommended arc length."},
    {F::current_rise, "current_rise", "current rise", "A/ms", 0, "A/ms", 1, 0, 0, Range::setting,
     "Rate at which the current climbs while the wire is bridged: low is soft, high is hard."},
    {F::inductance, "inductance", "equivalent inductance", "mH", 2, "mH", 1, 0, 2, Range::setting,
     "Inductance of the welding circuit that gives the current rise."},
    {F::peak_current, "peak_current", "peak current", "A", 0, "A", 1, 0, 0, Range::setting, "Current of the pulse."},
    {F::peak_time, "peak_time", "peak time", "ms", 2, "ms", 1, 0, 2, Range::consequence, "Duration of the pulse."},
    {F::base_current, "base_current", "base current", "A", 0, "A", 1, 0, 0, Range::consequence,
     "Current between pulses."},
    {F::base_time, "base_time", "base time", "ms", 2, "ms", 1, 0, 2, Range::consequence, "Time between pulses."},
    {F::pulse_frequency, "pulse_frequency", "pulse frequency", "Hz", 0, "Hz", 1, 0, 0, Range::consequence,
     "Pulses, and drops, per second."},
    {F::pulse_duty, "pulse_duty", "pulse duty", "%", 0, "%", 1, 0, 0, Range::consequence,
     "Share of the time spent at the peak."},
    {F::peak_current_trim, "peak_current_trim", "peak current trim", "%", 1, "%", 1, 0, 1, Range::setting,
     "Change of the peak current about the recommended one; inside its range one drop leaves a pulse."},
    {F::drop_diameter, "drop_diameter", "drop diameter", "mm", 2, "in", per_in(1), 0, 3, Range::consequence,
     "Diameter of the drop of one pulse."},
    {F::modulation_frequency, "modulation_frequency", "modulation frequency", "Hz", 2, "Hz", 1, 0, 2, Range::setting,
     "Slow modulation of the wire feed, periods per second."},
    {F::modulation_amplitude, "modulation_amplitude", "modulation amplitude", "m/min", 2, "in/min", per_in(1000), 0, 0,
     Range::setting, "Deviation of the wire feed from its mean, up and down."},
    {F::wire_feed_high, "wire_feed_high", "wire feed, high phase", "m/min", 2, "in/min", per_in(1000), 0, 0,
     Range::consequence, "Wire feed in the high phase of the modulation."},
    {F::wire_feed_low, "wire_feed_low", "wire feed, low phase", "m/min", 2, "in/min", per_in(1000), 0, 0,
     Range::consequence, "Wire feed in the low phase of the modulation."},
    {F::ripple_pitch, "ripple_pitch", "ripple pitch", "mm", 2, "in", per_in(1), 0, 3, Range::consequence,
     "Distance between the ripples that the modulation leaves."},
    {F::weave_width, "weave_width", "weave width", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "How far the torch swings across the joint, from turn to turn."},
    {F::weave_dwell, "weave_dwell", "stop at each side", "s", 2, "s", 1, 0, 2, Range::consequence,
     "How long the torch stops at each side of a weave."},
    {F::weave_advance, "weave_advance", "advance a weave", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "How far the arc gets along the joint while the torch swings there and back."},
    {F::deposit_area, "deposit_area", "deposit cross-section", "mm2", 1, "in2", per_in(1) / mm_per_in, 0, 4,
     Range::consequence, "Section of the weld metal this pass lays down."},
    {F::deposit_width, "deposit_width", "deposit width", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "Width the deposit must cover; a narrower melted width risks cold lap."},
    {F::layer_height, "layer_height", "layer height", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "Height of the layer this pass lays."},
    {F::reinforcement, "reinforcement", "bead height", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "Height of the bead above the plate when it is laid alone on it, carbon steel."},
    {F::bead_width, "bead_width", "bead width", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "Width of the melted zone at the face."},
    {F::penetration, "penetration", "penetration", "mm", 2, "in", per_in(1), 0, 3, Range::consequence,
     "Depth of the melted zone below the plate's surface."},
    {F::back_width, "back_width", "root-side melted width", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "Width of the melted zone at the back face; 0 when it is not melted through."},
    {F::pool_length, "pool_length", "pool length", "mm", 1, "in", per_in(1), 0, 2, Range::consequence,
     "Length of the melted zone along the joint."},
    {F::dilution, "dilution", "dilution", "%", 0, "%", 1, 0, 0, Range::consequence,
     "Share of melted base metal in the weld metal."},
    {F::dilution_layer_2, "dilution_layer_2", "base metal in layer 2", "%", 1, "%", 1, 0, 1, Range::consequence,
     "Overlay: share of base metal in the second layer."},
    {F::dilution_layer_3, "dilution_layer_3", "base metal in layer 3", "%", 1, "%", 1, 0, 1, Range::consequence,
     "Overlay: share of base metal in the third layer."},
    {F::power, "power", "arc power", "W", 0, "W", 1, 0, 0, Range::consequence,
     "Time mean of the instantaneous power, not the product of mean current and mean voltage."},
    {F::arc_energy, "arc_energy", "arc energy", "kJ/mm", 3, "kJ/in", mm_per_in, 0, 1, Range::consequence,
     "Arc power over travel, without an efficiency factor."},
    {F::arc_energy_ui, "arc_energy_ui", "arc energy from U and I", "kJ/mm", 3, "kJ/in", mm_per_in, 0, 1,
     Range::consequence,
     "Product of mean voltage and mean current over travel: what plain meters show, low in pulsed modes."},
    {F::heat_input, "heat_input", "heat input", "kJ/mm", 3, "kJ/in", mm_per_in, 0, 1, Range::consequence,
     "Arc energy times the efficiency factor of the welding procedure."},
    {F::t8_5, "t8_5", "cooling time t8/5", "s", 1, "s", 1, 0, 1, Range::consequence,
     "Time from 800 to 500 degC beside the weld, carbon and low-alloy steel, from the preheat temperature."},
    {F::hardness, "hardness", "HAZ hardness", "HV10", 0, "HV10", 1, 0, 0, Range::consequence,
     "Greatest hardness of the heat-affected zone of one pass, carbon and low-alloy steel."},
    {F::carbon_equivalent, "carbon_equivalent", "carbon equivalent CE", "%", 3, "%", 1, 0, 3, Range::total,
     "CE (IIW) of the base metal, carbon and low-alloy steel."},
    {F::cet, "cet", "carbon equivalent CET", "%", 3, "%", 1, 0, 3, Range::total,
     "CET of EN 1011-2 of the base metal, carbon and low-alloy steel."},
    {F::ferrite_number, "ferrite_number", "ferrite number", "", 0, "", 1, 0, 0, Range::consequence,
     "FN of stainless weld metal, mixed from filler and base metal by the dilution."},
    {F::pren, "pren", "pitting resistance PREN", "", 1, "", 1, 0, 1, Range::consequence,
     "PREN of stainless weld metal, mixed likewise: Cr + 3.3 (Mo + 0.5 W) + 16 N."},
    {F::iron_layer_1, "iron_layer_1", "iron of layer 1", "%", 1, "%", 1, 0, 1, Range::consequence,
     "Iron in the first layer of an overlay of stainless steel, nickel or copper alloy on steel."},
    {F::iron_layer_2, "iron_layer_2", "iron of layer 2", "%", 1, "%", 1, 0, 1, Range::consequence,
     "Iron in its second layer."},
    {F::iron_layer_3, "iron_layer_3", "iron of layer 3", "%", 1, "%", 1, 0, 1, Range::consequence,
     "Iron in its third layer."},
    {F::preheat, "preheat", "preheat", "degC", 0, "degF", 1.8, 32, 0, Range::setting,
     "Temperature of the joint before the first pass."},
    {F::interpass, "interpass", "interpass temperature", "degC", 0, "degF", 1.8, 32, 0, Range::setting,
     "Temperature of the joint before each further pass."},
    {F::wire_mass, "wire_mass", "wire used", "g", 0, "lb", 1 / 453.59237, 0, 3, Range::total,
     "Mass of wire melted over the length of the joint."},
    {F::gas_volume, "gas_volume", "shielding gas", "l", 0, "ft3", 1 / litres_per_ft3, 0, 2, Range::total,
     "Gas used while the arc burns."},
    {F::arc_time, "arc_time", "arc time", "s", 0, "s", 1, 0, 0, Range::total, "Time the arc burns."},
    {F::quantity, "quantity", "number of welds", "", 0, "", 1, 0, 0, Range::total,
     "Welds of this kind, where the joint gives their number."},
    {F::wire_mass_all, "wire_mass_all", "wire of all welds", "g", 0, "lb", 1 / 453.59237, 0, 2, Range::total,
     "Mass of wire melted in all welds of this kind."},
    {F::gas_volume_all, "gas_volume_all", "gas of all welds", "l", 0, "ft3", 1 / litres_per_ft3, 0, 2, Range::total,
     "Gas used in all welds of this kind."},
    {F::arc_time_all, "arc_time_all", "arc time of all welds", "s", 0, "s", 1, 0, 0, Range::total,
     "Time the arc burns in all welds of this kind."},
    {F::total_time, "total_time", "total time", "min", 1, "min", 1, 0, 1, Range::total,
     "Arc time over the operating factor: with fitting up, tacking, cleaning and handling.", Priced::use},
    {F::energy_drawn, "energy_drawn", "energy drawn", "kWh", 3, "kWh", 1, 0, 3, Range::total,
     "Energy drawn from the mains while the arc burns.", Priced::use},
    {F::cost_wire, "cost_wire", "cost of wire", "", 2, "", 1, 0, 2, Range::total, "Wire used at its price.",
     Priced::money},
    {F::cost_gas, "cost_gas", "cost of gas", "", 2, "", 1, 0, 2, Range::total, "Shielding gas at its price.",
     Priced::money},
    {F::cost_power, "cost_power", "cost of power", "", 2, "", 1, 0, 2, Range::total, "Energy drawn at its price.",
     Priced::money},
    {F::cost_labour, "cost_labour", "cost of labour", "", 2, "", 1, 0, 2, Range::total,
     "Total time at the price of an hour.", Priced::money},
    {F::cost, "cost", "cost", "", 2, "", 1, 0, 2, Range::total,
     "Wire, gas, power and labour together, as far as they have a price.", Priced::money},
    {F::total_time_all, "total_time_all", "total time of all welds", "min", 1, "min", 1, 0, 1, Range::total,
     "Total time of all welds of this kind.", Priced::use},
    {F::energy_drawn_all, "energy_drawn_all", "energy of all welds", "kWh", 3, "kWh", 1, 0, 3, Range::total,
     "Energy drawn for all welds of this kind.", Priced::use},
    {F::cost_all, "cost_all", "cost of all welds", "", 2, "", 1, 0, 2, Range::total, "Cost of all welds of this kind.",
     Priced::money},
}};

constexpr bool in_order() {
  for (std::size_t i = 0; i < field_count; ++i)
    if (table[i].id != static_cast<F>(i)) return false;
  return true;
}
static_assert(in_order());

}  // namespace

std::span<const FieldInfo, field_count> fields() { return table; }

const FieldInfo& field(F id) { return table[static_cast<std::size_t>(id)]; }

std::optional<F> field_by_key(std::string_view key) {
  for (const FieldInfo& info : table)
    if (info.key == key) return info.id;
  return std::nullopt;
}

}  // namespace seamwright
