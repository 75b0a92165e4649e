// The relation behind every quantity, in words. What the solvers compute stands in their own headers; this tells it to
// people, in the keys of the output.
#include "seamwright/explain.hpp"

namespace seamwright {
namespace {

constexpr std::string_view own = "this program's rule";
constexpr std::string_view lesnewich = "burn-off law in the form of Lesnewich 1958 and Halmoy 1979";
constexpr std::string_view field_source = "conduction field of Eagar and Tsai 1983, image sources after Grong 1.10.4";
constexpr std::string_view arithmetic = "arithmetic";

Formula burnoff_formula(Mode mode) {
  if (is_pulsed(mode))
    return {"mean of the rectangular pulse: current = factor x (duty x peak_current + (1 - duty) x base_current)",
            "time mean; base current from the melting balance",
            {F::peak_current, F::base_current, F::pulse_duty}};
  if (mode == Mode::controlled_dip)
    return {
        "the current that melts the wire feed: A x wire_feed = m x I + c x extension / A x I^2, solved for I "
        "(A section of the wire, m and c constants of the wire family); where a line of feed against current is "
        "measured for the wire, wire_feed = slope x (I - zero) instead, fading into the law above its end",
        lesnewich,
        {F::wire_feed}};
  return {
      "the current that melts the wire feed: A x wire_feed = m x I + c x extension / A x I^2, solved for I "
      "(A section of the wire, m and c constants of the wire family)",
      lesnewich,
      {F::wire_feed}};
}

}  // namespace

Formula formula_of(F id, Mode mode) {
  const bool pulsed = is_pulsed(mode);
  switch (id) {
    case F::wire_feed:
      return {
          "the feed, on the line of the nominal deposit section, at which the smallest margin of all constraints "
          "is largest; a margin is the distance to its limit in 90 % half-widths",
          own,
          {}};
    case F::travel:
      return {
          "the speed that lays the deposit section at the wire feed: travel = efficiency x A x wire_feed / "
          "deposit_area",
          "volume balance",
          {F::wire_feed, F::deposit_area}};
    case F::current:
      return burnoff_formula(mode);
    case F::current_rms:
      if (pulsed)
        return {"factor x sqrt(duty x peak_current^2 + (1 - duty) x base_current^2)",
                "root mean square of the rectangular pulse",
                {F::peak_current, F::base_current, F::pulse_duty}};
      return {"as the mean current: the current is taken as steady", own, {F::current}};
    case F::voltage:
      if (is_dip(mode))
        return {"least of base + slope x current + offset of the wire family (helium allowance included), and the cap",
                "load voltage line of IEC 60974-1, used as an estimate of the mean voltage",
                {F::current}};
      return {
          "fixed part + arc resistance x current + column field x arc_length + drop in the hot wire "
          "(resistivity x extension / A x current)",
          "linear arc characteristic, fitted to measured arcs",
          {F::current, F::arc_length}};
    case F::arc_length:
      return {"middle of the usual arc lengths of the wire family in this mode, moved by trim / column field",
              "practice of the trade",
              {F::arc_length_trim}};
    case F::arc_length_trim:
      if (is_dip(mode))
        return {"0 at the recommended voltage; its range is the usual setting window of short arc", own, {}};
      return {"0 at the recommended arc length; its range is half the usual arc-length window x column field",
              "linear arc characteristic",
              {F::arc_length}};
    case F::current_rise:
      return {"usual rise of the wire family x factor of the position, kept inside the usual range",
              "practice of the trade",
              {}};
    case F::inductance:
      return {"(voltage - resistance of the bridged wire x current) / current_rise",
              "U = L dI/dt",
              {F::voltage, F::current, F::current_rise}};
    case F::peak_current:
      return {"the usual peak for this wire and diameter (or the one given) x (1 + peak_current_trim)",
              "published pulse settings, by wire and diameter",
              {F::peak_current_trim}};
    case F::peak_time:
      return {
          "share of the drop melted in the peak x volume of the drop / melting rate at the peak "
          "(m x I + c x extension / A x I^2), or the one given",
          "one drop a pulse with the burn-off law",
          {F::peak_current, F::drop_diameter}};
    case F::base_current:
      return {
          "the base at which mean and RMS current of the pulse melt the wire feed: A x wire_feed = m x I_mean + "
          "c x extension / A x I_rms^2, solved for the base",
          lesnewich,
          {F::wire_feed, F::peak_current, F::peak_time, F::pulse_frequency}};
    case F::base_time:
      return {"1 / pulse_frequency - peak_time", arithmetic, {F::pulse_frequency, F::peak_time}};
    case F::pulse_frequency:
      return {"volume of wire a second / volume of a drop: A x wire_feed / (pi / 6 x drop_diameter^3)",
              "one drop a pulse",
              {F::wire_feed, F::drop_diameter}};
    case F::pulse_duty:
      return {"peak_time x pulse_frequency, in per cent", arithmetic, {F::peak_time, F::pulse_frequency}};
    case F::peak_current_trim:
      return {
          "0 at the recommended peak; its range keeps 1 + trim, the volume melted in the peak over a drop, within the "
          "window "
          "of one drop a pulse",
          "one drop a pulse by volume",
          {}};
    case F::drop_diameter:
      return {"drop ratio x wire diameter", "practice of the trade", {}};
    case F::modulation_frequency:
      return {
          "travel / (pitch in bead widths x bead_width), kept between remelting of each ripple and the response "
          "of the pool",
          own,
          {F::travel, F::bead_width, F::pool_length, F::penetration}};
    case F::modulation_amplitude:
      return {
          "share of the mean feed, kept between the least power swing the pool notices and what the pulse window "
          "and burn-through allow",
          own,
          {F::wire_feed, F::modulation_frequency}};
    case F::wire_feed_high:
      return {"wire_feed + modulation_amplitude", arithmetic, {F::wire_feed, F::modulation_amplitude}};
    case F::wire_feed_low:
      return {"wire_feed - modulation_amplitude x share / (1 - share), so that the mean stays the mean",
              arithmetic,
              {F::wire_feed, F::modulation_amplitude}};
    case F::ripple_pitch:
      return {"travel / modulation_frequency", arithmetic, {F::travel, F::modulation_frequency}};
    case F::deposit_area:
      return {"deposition efficiency x A x wire_feed / travel", "volume balance", {F::wire_feed, F::travel}};
    case F::deposit_width:
      return {"width of the joint's section that this pass must cover", "geometry of the joint", {}};
    case F::layer_height:
      return {
          "deposit_area / the larger of bead_width and deposit_width; on an overlay deposit_area / step from bead to "
          "bead",
          "geometry of the joint",
          {F::deposit_area, F::bead_width, F::deposit_width}};
    case F::reinforcement:
      return {"factor x exp(c) x deposit_area^a x voltage^u x travel^w: a bead laid alone on plate",
              "least squares through measured beads of carbon steel",
              {F::deposit_area, F::voltage, F::travel}};
    case F::bead_width:
      return {
          "width factor x width of the melting isotherm at the face, heat = joint factor x (arc efficiency x power "
          "- heat carried by the wire)",
          field_source,
          {F::power, F::wire_feed, F::current, F::travel}};
    case F::penetration:
      return {
          "penetration factor x depth of the melting isotherm, at most the plate, heat = joint factor x (arc "
          "efficiency x power - heat carried by the wire)",
          field_source,
          {F::power, F::wire_feed, F::current, F::travel}};
    case F::back_width:
      return {
          "width factor x width of the melting isotherm at the back of the thinner plate; 0 when it does not reach "
          "it",
          field_source,
          {F::power, F::wire_feed, F::current, F::travel}};
    case F::pool_length:
      return {"melted length ahead of the arc + melted length behind it",
              field_source,
              {F::power, F::wire_feed, F::current, F::travel}};
    case F::dilution:
      return {
          "melted base metal / (melted base metal + deposit_area) in per cent, the melted section as a share of "
          "bead_width times penetration; on an overlay only the share of it that lies beyond the bead before",
          own,
          {F::bead_width, F::penetration, F::deposit_area}};
    case F::power:
      if (pulsed)
        return {
            "time mean of the instantaneous power: factor x (U x I + duty x (1 - duty) x (peak - base current) x "
            "(peak - base voltage))",
            "time mean of the rectangular pulse",
            {F::current, F::peak_current, F::base_current, F::pulse_duty}};
      return {"voltage x current", arithmetic, {F::voltage, F::current}};
    case F::arc_energy:
      return {"power / (1000 x travel)", "ISO/TR 18491", {F::power, F::travel}};
    case F::arc_energy_ui:
      return {"voltage x current / (1000 x travel)", "ISO/TR 18491", {F::voltage, F::current, F::travel}};
    case F::heat_input:
      return {"procedure efficiency k x arc_energy", "EN 1011-1", {F::arc_energy}};
    case F::t8_5:
      return {
          "the larger of the thick-plate form k3 x heat_input x F3 and the thin-plate form k2 x heat_input^2 / d^2 x "
          "F2, both with (1/(500 - T0) - 1/(800 - T0)) terms of the preheat T0",
          "EN 1011-2 annex D",
          {F::heat_input, F::preheat}};
    case F::hardness:
      return {"mean of two formulas for the hardness of the heat-affected zone at t8_5 from the base metal's analysis",
              "Lorenz and Dueren; Yurioka and others 1987",
              {F::t8_5, F::carbon_equivalent}};
    case F::carbon_equivalent:
      return {"C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15 of the base metal's analysis", "IIW, EN 1011-2", {}};
    case F::cet:
      return {"C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40 of the base metal's analysis", "EN 1011-2 method B", {}};
    case F::ferrite_number:
      return {
          "from the chromium and nickel equivalents of filler and base metal, mixed by the dilution, inside the range "
          "of its formula; with duplex filler beyond it the plane -81.4 + 10.97 Creq - 12.41 Nieq, extrapolated",
          "with duplex filler a fit to points of Kotecki and Siewert 1992 (WRC-1992), else Valiente Bermejo 2012",
          {F::dilution}};
    case F::pren:
      return {"Cr + 3.3 (Mo + 0.5 W) + 16 N of filler and base metal, mixed by the dilution",
              "note of a stainless-steel association",
              {F::dilution}};
    case F::preheat:
      return {"as given, else the temperature of the shop", own, {}};
    case F::interpass:
      return {"as given, else the usual highest for the alloy", "the alloy's row of the catalog", {}};
    case F::wire_mass:
      return {"A x wire_feed x arc_time x density of the wire", arithmetic, {F::wire_feed, F::arc_time}};
    case F::gas_volume:
      return {"gas flow x arc_time", arithmetic, {F::arc_time}};
    case F::arc_time:
      return {"length of the joint / travel", arithmetic, {F::travel}};
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
