#include "seamwright/case.hpp"

namespace seamwright {
namespace {

constexpr std::array<ModelConstantInfo, model_constant_count> table{{
    {K::melt, "melt", "burn-off m", "mm3/(A s)"},
    {K::resistive, "resistive", "burn-off c", "mm4/(A2 s)"},
    {K::feed_law, "feed_law", "burn-off law as a whole", ""},
    {K::pulse_mean, "pulse_mean", "mean current of the pulse with its ramps over the rectangle's", ""},
    {K::deposition, "deposition", "deposition efficiency", ""},
    {K::drop_ratio, "drop_ratio", "drop diameter over wire diameter", ""},
    {K::peak_share, "peak_share", "share of the drop melted in the peak", ""},
    {K::peak_current, "peak_current", "peak current", "A"},
    {K::base_current_min, "base_current_min", "minimum base current", "A"},
    {K::arc_fixed, "arc_fixed", "fixed part of the arc voltage", "V"},
    {K::arc_resistance, "arc_resistance", "arc resistance", "ohm"},
    {K::arc_field, "arc_field", "column field", "V/mm"},
    {K::wire_resistivity, "wire_resistivity", "resistivity of the hot wire", "micro-ohm m"},
    {K::dip_base, "dip_base", "short-arc line, base", "V"},
    {K::dip_slope, "dip_slope", "short-arc line, slope", "V/A"},
    {K::dip_offset, "dip_offset", "short-arc line, offset of the wire family", "V"},
    {K::transition, "transition", "spray transition current", "A"},
    {K::mode_current_min, "mode_current_min", "minimum current of the mode", "A"},
    {K::mode_current_max, "mode_current_max", "maximum current of the mode", "A"},
    {K::arc_efficiency, "arc_efficiency", "arc efficiency", ""},
    {K::melt_enthalpy, "melt_enthalpy", "enthalpy of the molten wire", "J/mm3"},
    {K::joint_factor, "joint_factor", "joint factor on the heat", ""},
    {K::source_radius, "source_radius", "heat source radius at no current", "mm"},
    {K::source_radius_per_A, "source_radius_per_A", "growth of the heat source radius", "mm/A"},
    {K::conductivity, "conductivity", "effective conductivity", "W/(mm K)"},
    {K::heat_capacity, "heat_capacity", "effective heat capacity", "J/(mm3 K)"},
    {K::melting, "melting", "melting temperature", "degC"},
    {K::penetration, "penetration", "penetration correction factor", ""},
    {K::width, "width", "real width over the field's", ""},
    {K::gap_credit, "gap_credit", "depth credited per mm of gap", ""},
    {K::surface_tension, "surface_tension", "surface tension of the melt", "N/m"},
    {K::melt_density, "melt_density", "density of the melt", "kg/m3"},
    {K::drop_surface_tension, "drop_surface_tension", "surface tension of the drop", "N/m"},
    {K::cooling_law, "cooling_law", "t8/5 formula as a whole", ""},
    {K::cooling_f2, "cooling_f2", "joint factor F2 of t8/5", ""},
    {K::hardness_law, "hardness_law", "hardness formulas as a whole", "HV10"},
    {K::ferrite_law, "ferrite_law", "ferrite formula as a whole", "FN"},
    {K::extension, "extension", "real stick-out over the planned one", ""},
    {K::melted_share, "melted_share", "melted section over width times depth", ""},
    {K::bead_height, "bead_height", "real bead height over the fitted one", ""},
    {K::operating_factor, "operating_factor", "operating factor", ""},
    {K::source_efficiency, "source_efficiency", "efficiency of the power source", ""},
}};

}  // namespace

const ModelConstantInfo& model_constant(K id) { return table[static_cast<std::size_t>(id)]; }

ConstantValues nominal_values(const ConstantSet& set) {
  ConstantValues values{};
  for (std::size_t i = 0; i < set.size(); ++i) values[i] = set[i].value;
  return values;
}

}  // namespace seamwright
