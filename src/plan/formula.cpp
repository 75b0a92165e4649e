// The relation behind every quantity, in words. What the solvers compute stands in their own headers; this tells it to
// people, in the keys of the output.
#include <utility>

#include "seamwright/explain.hpp"

namespace seamwright {
namespace {

constexpr std::string_view own = "this program's rule";
constexpr std::string_view lesnewich = "burn-off law in the form of Lesnewich 1958 and Halmoy 1979";
constexpr std::string_view field_source = "conduction field of Eagar and Tsai 1983, image sources after Grong 1.10.4";
constexpr std::string_view arithmetic = "arithmetic";

Formula equation(std::string_view text, std::string_view source, std::vector<F> from) {
  return {text, source, std::move(from), true};
}
Formula words(std::string_view text, std::string_view source, std::vector<F> from) {
  return {text, source, std::move(from), false};
}

constexpr std::string_view by_phases =
    "the mean over the high and the low phase, each worked out as a pulse at its own wire feed";

Formula current_formula(Mode mode) {
  if (mode == Mode::double_pulse)
    return words(by_phases, "time mean", {F::wire_feed_high, F::wire_feed_low, F::peak_current});
  if (mode == Mode::pulse)
    return equation(
        "factor x (pulse_duty x peak_current + (1 - pulse_duty) x base_current); mean of the rectangular pulse, the "
        "factor for its ramps",
        "time mean; base current from the melting balance", {F::peak_current, F::base_current, F::pulse_duty});
  if (mode == Mode::controlled_dip)
    return equation(
        "A x wire_feed = m x current + c x extension / A x current^2; or wire_feed = slope x (current - zero); the "
        "current that melts the wire feed (A section of the wire, m and c constants of the wire family), by the line "
        "of "
        "feed against current where one is measured for the wire, fading into the law above its end",
        lesnewich, {F::wire_feed});
  return equation(
      "A x wire_feed = m x current + c x extension / A x current^2; the current that melts the wire feed (A section of "
      "the wire, m and c constants of the wire family)",
      lesnewich, {F::wire_feed});
}

Formula voltage_formula(Mode mode) {
  if (is_dip(mode))
    return equation(
        "base + slope x current + offset + gas; or cap, where that is lower; offset of the wire family, gas: what "
        "helium "
        "and plenty of CO2 add",
        "load voltage line of IEC 60974-1, used as an estimate of the mean voltage", {F::current});
  if (mode == Mode::double_pulse) return words(by_phases, "linear arc characteristic", {F::current, F::arc_length});
  if (mode == Mode::pulse)
    return equation(
        "fixed part + gas + (arc resistance + resistivity x extension / A) x current / factor + column field x "
        "arc_length; gas: what helium, hydrogen and the lack or plenty of CO2 add, factor: of the pulse's ramps",
        "linear arc characteristic and the drop in the hot wire", {F::current, F::arc_length});
  return equation(
      "fixed part + gas + (arc resistance + resistivity x extension / A) x current + column field x arc_length; gas: "
      "what helium, hydrogen and the lack or plenty of CO2 add",
      "linear arc characteristic and the drop in the hot wire", {F::current, F::arc_length});
}

Formula power_formula(Mode mode) {
  if (mode == Mode::double_pulse) return words(by_phases, "time mean", {F::current, F::voltage});
  if (mode == Mode::pulse)
    return equation(
        "voltage x current + factor x pulse_duty x (1 - pulse_duty) x (arc resistance + resistivity x extension / A) x "
        "(peak_current - base_current)^2; time mean of the instantaneous power",
        "time mean of the rectangular pulse",
        {F::voltage, F::current, F::peak_current, F::base_current, F::pulse_duty});
  return equation("voltage x current", arithmetic, {F::voltage, F::current});
}

Formula rms_formula(Mode mode) {
  if (mode == Mode::double_pulse)
    return words("root of the mean square over the high and the low phase", "root mean square",
                 {F::wire_feed_high, F::wire_feed_low, F::peak_current});
  if (mode == Mode::pulse)
    return equation("factor x sqrt(pulse_duty x peak_current^2 + (1 - pulse_duty) x base_current^2)",
                    "root mean square of the rectangular pulse", {F::peak_current, F::base_current, F::pulse_duty});
  return equation("current; it is taken as steady", own, {F::current});
}

}  // namespace

Formula formula_of(F id, Mode mode) {
  switch (id) {
    case F::wire_feed:
      return words(
          "found by search: the feed, on the line of the nominal deposit cross-section, at which the smallest margin "
          "of all "
          "constraints is largest; a margin is the distance to its limit in 90 % half-widths",
          own, {});
    case F::travel:
      return equation(
          "deposition efficiency x A x wire_feed / deposit_area; the speed that lays the deposit cross-section at the "
          "wire "
          "feed",
          "volume balance", {F::wire_feed, F::deposit_area});
    case F::current:
      return current_formula(mode);
    case F::current_rms:
      return rms_formula(mode);
    case F::voltage:
      return voltage_formula(mode);
    case F::arc_length:
      return equation(
          "nominal arc length + arc_length_trim / column field; nominal: the middle of the usual arc lengths of the "
          "wire family in this mode, or the one given",
          "practice of the trade", {F::arc_length_trim});
    case F::arc_length_trim:
      if (is_dip(mode))
        return equation("0; at the recommended voltage, its range is the usual setting window of short arc", own, {});
      return equation("0; at the recommended arc length, its range is half the usual arc-length window x column field",
                      "linear arc characteristic", {F::arc_length});
    case F::current_rise:
      return equation(
          "minimum of (fastest rise, maximum of (slowest rise, usual rise x rise of the position)); all usual of the "
          "wire "
          "family",
          "practice of the trade", {});
    case F::inductance:
      return equation("(voltage - resistivity x extension / A x current) / current_rise",
                      "U = L dI/dt, less the drop in the bridged wire", {F::voltage, F::current, F::current_rise});
    case F::peak_current:
      return equation("peak x (1 + peak_current_trim); the usual peak for this wire and diameter, or the one given",
                      "published pulse settings, by wire and diameter", {F::peak_current_trim});
    case F::peak_time:
      return equation(
          "share x pi / 6 x drop_diameter^3 / (m x peak_current + c x extension / A x peak_current^2); the share of "
          "the "
          "drop that is melted in the peak over the melting rate there",
          "one drop a pulse with the burn-off law", {F::peak_current, F::drop_diameter});
    case F::base_current:
      return equation(
          "A x wire_feed = m x (pulse_duty x peak_current + (1 - pulse_duty) x base_current) + c x extension / A x "
          "(pulse_duty x peak_current^2 + (1 - pulse_duty) x base_current^2); the base at which mean and RMS current "
          "of "
          "the pulse melt the wire feed",
          lesnewich, {F::wire_feed, F::peak_current, F::pulse_duty});
    case F::base_time:
      return equation("1 / pulse_frequency - peak_time", arithmetic, {F::pulse_frequency, F::peak_time});
    case F::pulse_frequency:
      return equation("A x wire_feed / (pi / 6 x drop_diameter^3); volume of wire per second over the volume of a drop",
                      "one drop a pulse", {F::wire_feed, F::drop_diameter});
    case F::pulse_duty:
      return equation("peak_time x pulse_frequency; in per cent", arithmetic, {F::peak_time, F::pulse_frequency});
    case F::peak_current_trim:
      return equation(
          "0; at the recommended peak, its range keeps 1 + trim, the volume melted in the peak over a drop, within the "
          "window of one drop a pulse",
          "one drop a pulse by volume", {});
    case F::drop_diameter:
      return equation("drop ratio x wire diameter; another ratio where the peak time it asks for is outside the usual",
                      "practice of the trade", {});
    case F::modulation_frequency:
      return words(
          "found between limits: travel over pitch in bead widths and bead_width, kept between remelting of each "
          "ripple and the response "
          "of the pool",
          own, {F::travel, F::bead_width, F::pool_length, F::penetration});
    case F::modulation_amplitude:
      return words(
          "share of the mean feed, kept between the minimum power swing the pool notices and what the pulse window "
          "and burn-through allow",
          own, {F::wire_feed, F::modulation_frequency});
    case F::wire_feed_high:
      return equation("wire_feed + modulation_amplitude", arithmetic, {F::wire_feed, F::modulation_amplitude});
    case F::wire_feed_low:
      return equation(
          "wire_feed - modulation_amplitude x high / (1 - high); high is the share of the high phase, so that the mean "
          "stays the mean",
          arithmetic, {F::wire_feed, F::modulation_amplitude});
    case F::ripple_pitch:
      return equation("travel / modulation_frequency", arithmetic, {F::travel, F::modulation_frequency});
    case F::weave_width:
      return equation(
          "deposit_width - 2 x (radius at no current + growth of the radius x current); or narrowest weave, at the "
          "least; what the arc does not cover without swinging, where a hand weaves in this position",
          "practice of the trade", {F::deposit_width, F::current});
    case F::weave_dwell:
      return equation(
          "usual stop; or usual advance / (2 x travel) - weave_width / speed across, where that is shorter; or "
          "shortest stop, at the least",
          "practice of the trade", {F::weave_width, F::travel});
    case F::weave_advance:
      return equation("2 x travel x (weave_width / speed across + weave_dwell)", arithmetic,
                      {F::travel, F::weave_width, F::weave_dwell});
    case F::deposit_area:
      return equation("deposition efficiency x A x wire_feed / travel", "volume balance", {F::wire_feed, F::travel});
    case F::deposit_width:
      return words("width of the joint's section that this pass must cover", "geometry of the joint", {});
    case F::layer_height:
      return equation(
          "deposit_area / maximum of (bead_width, deposit_width); or deposit_area / (step share x bead_width), from "
          "bead "
          "to bead on an overlay; or deposit_area / step, where that step is given",
          "geometry of the joint", {F::deposit_area, F::bead_width, F::deposit_width});
    case F::reinforcement:
      return equation(
          "factor x exp(k) x deposit_area^a x voltage^u x travel^w; a bead laid alone on plate, k, a, u and w fitted",
          "least squares through measured beads of carbon steel", {F::deposit_area, F::voltage, F::travel});
    case F::bead_width:
      return words(
          "width factor x width of the melting isotherm at the face, heat = joint factor x (arc efficiency x power "
          "- heat carried by the wire)",
          field_source, {F::power, F::wire_feed, F::current, F::travel});
    case F::penetration:
      return words(
          "penetration factor x depth of the melting isotherm, at most the plate, heat = joint factor x (arc "
          "efficiency x power - heat carried by the wire)",
          field_source, {F::power, F::wire_feed, F::current, F::travel});
    case F::back_width:
      return words(
          "width factor x width of the melting isotherm at the back of the thinner plate; 0 when it does not reach "
          "it",
          field_source, {F::power, F::wire_feed, F::current, F::travel});
    case F::pool_length:
      return words("melted length ahead of the arc and behind it", field_source,
                   {F::power, F::wire_feed, F::current, F::travel});
    case F::dilution:
      return equation(
          "melted share x bead_width x penetration / (melted share x bead_width x penetration + deposit_area); in per "
          "cent, on an overlay only the part of the melted section that lies beyond the bead before",
          own, {F::bead_width, F::penetration, F::deposit_area});
    case F::dilution_layer_2:
      return equation("dilution^2; in per cent, each layer melts as much of the one below as the first of the plate",
                      own, {F::dilution});
    case F::dilution_layer_3:
      return equation("dilution^3; in per cent, each layer melts as much of the one below as the first of the plate",
                      own, {F::dilution});
    case F::power:
      return power_formula(mode);
    case F::arc_energy:
      return equation("power / (1000 x travel)", "ISO/TR 18491", {F::power, F::travel});
    case F::arc_energy_ui:
      return equation("voltage x current / (1000 x travel)", "ISO/TR 18491", {F::voltage, F::current, F::travel});
    case F::heat_input:
      return equation("procedure efficiency k x arc_energy", "EN 1011-1", {F::arc_energy});
    case F::t8_5:
      return equation(
          "(6700 - 5 x T0) x heat_input x (1 / (500 - T0) - 1 / (800 - T0)) x F3; or (4300 - 4.3 x T0) x 100000 x "
          "heat_input^2 / d^2 x (1 / (500 - T0)^2 - 1 / (800 - T0)^2) x F2, whichever is larger; thick plate and thin "
          "plate, T0 the preheat, d the thicker plate, F2 and F3 of the joint",
          "EN 1011-2 annex D", {F::heat_input, F::preheat});
    case F::hardness:
      return words(
          "mean of two formulas for the hardness of the heat-affected zone at t8_5 from the base metal's analysis",
          "Lorenz and Dueren; Yurioka and others 1987", {F::t8_5, F::carbon_equivalent});
    case F::carbon_equivalent:
      return equation("C + Mn / 6 + (Cr + Mo + V) / 5 + (Ni + Cu) / 15; of the base metal's analysis", "IIW, EN 1011-2",
                      {});
    case F::cet:
      return equation("C + (Mn + Mo) / 10 + (Cr + Cu) / 20 + Ni / 40; of the base metal's analysis",
                      "EN 1011-2 method B", {});
    case F::ferrite_number:
      return words(
          "from the chromium and nickel equivalents of filler and base metal, mixed by the dilution, inside the range "
          "of its formula; with duplex filler beyond it the plane -81.4 + 10.97 Creq - 12.41 Nieq, extrapolated",
          "with duplex filler a fit to points of Kotecki and Siewert 1992 (WRC-1992), else Valiente Bermejo 2012",
          {F::dilution});
    case F::pren:
      return equation("(1 - dilution) x filler + dilution x base; each Cr + 3.3 x (Mo + 0.5 x W) + 16 x N",
                      "note of a stainless-steel association", {F::dilution});
    case F::iron_layer_1:
      return equation("(1 - dilution) x filler + dilution x base; iron of each, which an analysis of steel leaves over",
                      "mixing by mass", {F::dilution});
    case F::iron_layer_2:
      return equation("(1 - dilution_layer_2) x filler + dilution_layer_2 x base; iron of each", "mixing by mass",
                      {F::dilution_layer_2});
    case F::iron_layer_3:
      return equation("(1 - dilution_layer_3) x filler + dilution_layer_3 x base; iron of each", "mixing by mass",
                      {F::dilution_layer_3});
    case F::preheat:
      return words("as given, else the ambient temperature", own, {});
    case F::interpass:
      return words("as given, else the usual highest for the alloy", "the alloy's row of the catalog", {});
    case F::wire_mass:
      return equation("A x wire_feed x arc_time x density of the wire", arithmetic, {F::wire_feed, F::arc_time});
    case F::gas_volume:
      return equation("gas flow x arc_time", arithmetic, {F::arc_time});
    case F::arc_time:
      return equation("length of the joint / travel", arithmetic, {F::travel});
    case F::quantity:
      return words("as given", own, {});
    case F::wire_mass_all:
      return equation("quantity x wire_mass", arithmetic, {F::wire_mass});
    case F::gas_volume_all:
      return equation("quantity x gas_volume", arithmetic, {F::gas_volume});
    case F::arc_time_all:
      return equation("quantity x arc_time", arithmetic, {F::arc_time});
    case F::total_time:
      return equation("arc_time / operating factor", arithmetic, {F::arc_time});
    case F::energy_drawn:
      return equation("power x arc_time / efficiency of the power source", arithmetic, {F::power, F::arc_time});
    case F::cost_wire:
      return equation("wire_mass x price of the wire", arithmetic, {F::wire_mass});
    case F::cost_gas:
      return equation("gas_volume x price of the gas", arithmetic, {F::gas_volume});
    case F::cost_power:
      return equation("energy_drawn x price of power", arithmetic, {F::energy_drawn});
    case F::cost_labour:
      return equation("total_time x price of labour", arithmetic, {F::total_time});
    case F::cost:
      return equation("cost_wire + cost_gas + cost_power + cost_labour; as far as they have a price", arithmetic,
                      {F::cost_wire, F::cost_gas, F::cost_power, F::cost_labour});
    case F::total_time_all:
      return equation("quantity x total_time", arithmetic, {F::total_time});
    case F::energy_drawn_all:
      return equation("quantity x energy_drawn", arithmetic, {F::energy_drawn});
    case F::cost_all:
      return equation("quantity x cost", arithmetic, {F::cost});
    case F::count:
      break;
    default:
      break;
  }
  return {};
}

std::string_view origin_key(Origin origin) {
  switch (origin) {
    case Origin::given:
      return "given";
    case Origin::chosen:
      return "chosen";
    case Origin::catalog:
      return "catalog";
    case Origin::computed:
      break;
  }
  return "computed";
}

}  // namespace seamwright
