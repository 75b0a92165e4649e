// Stainless and duplex steel: equivalents, ferrite, pitting resistance, and what limits a duplex weld.
// Percentages by mass.
//
// Error: equivalents, PREN and mixing are sums, met to the last digit published. Ferrite, in FN:
//   duplex      against the 18 pairs it was fitted to: 0.57 at most, standard deviation 0.37; of the diagram +-10 more
//   its plane   against the same pairs: 2.2 at most; outside them +-6, points kept out of the fit -2.6 to +1.9
//   austenitic  its formula to 0.05; against welds its author states a mean error of +1.0, +-2.1 at 95 %
// No measured weld was at hand; measured ferrite scatters about the diagram by 3 to 4 FN in austenitic metal.
//
// References:
//   Kotecki, D. J. and Siewert, T. A. (1992) WRC-1992 constitution diagram for stainless steel weld metals: a
//     modification of the WRC-1988 diagram, Welding Journal 71, 171s-178s: table 1 [ferrite-points], [ferrite-plane];
//     range of the diagram [recalled-wrc-1992], scatter [recalled-ferrite-spread]
//   Hammar, O. and Svensson, U. (1979) in Solidification and Casting of Metals, The Metals Society, London, 401-410:
//     equivalents (memory)
//   Valiente Bermejo, M. A. (2012) mathematical model of delta ferrite in austenitic stainless steel weld metals,
//     Welding in the World 56, doi:10.1007/BF03321381 (abstract read) [bermejo-2012]
//   Ferrite first or last [recalled-solidification]; PREN [pitting-s32205]
//   Duplex welds [kotecki-2010], [imoa-duplex], [recalled-duplex-weld]
//
// Example:
//
//     #include "seamwright/heat_rules.hpp"
//     const auto ferrite = ferrite_number_duplex({25.708, 12.73}, ferrite_duplex_limits(builtin_catalog()));
//     std::printf("%.1f FN\n", *ferrite);  // 42.9 FN
//     Composition plate;
//     plate[Element::Cr] = 22, plate[Element::Mo] = 3.1, plate[Element::N] = 0.17;
//     std::printf("PREN %.2f\n", pitting_resistance(plate));  // PREN 34.95
//     std::printf("%.0f %%\n", 100 * dilution_share(9, 21));  // 30 %
#pragma once

#include <vector>

#include "seamwright/catalog.hpp"
#include "seamwright/checked.hpp"

namespace seamwright {

struct Equivalents {
  double chromium_percent = 0, nickel_percent = 0;
  [[nodiscard]] bool operator==(const Equivalents&) const = default;
};
// WRC-1992: Cr + Mo + 0.7Nb;  Ni + 35C + 20N + 0.25Cu                  (Kotecki and Siewert 1992)
[[nodiscard]] Equivalents equivalents_wrc1992(const Composition& metal);
// Hammar and Svensson 1979: Cr + 1.37Mo + 1.5Si + 2Nb + 3Ti;  Ni + 0.31Mn + 22C + 14.2N + Cu
[[nodiscard]] Equivalents equivalents_hammar_svensson(const Composition& metal);

// Where a ferrite formula holds; an interval left open (-inf, inf) does not bind.
struct FerriteLimits {
  Interval chromium_percent, nickel_percent, ratio, sum_percent, ferrite_number;
  // Up to where a formula of the duplex range may be carried on; the whole diagram.
  Interval outer_chromium_percent{-unbounded, unbounded}, outer_nickel_percent{-unbounded, unbounded},
      outer_ferrite_number{-unbounded, unbounded};
  [[nodiscard]] bool operator==(const FerriteLimits&) const = default;
};

// FN in the duplex range: least-squares quadratic through 18 of the pairs tabulated by Kotecki and Siewert 1992 for
// alloy 255 and 2205 welds. Our own fit: the diagram itself is published as a drawing only. Only
// inside its box, and never for austenitic fillers. The diagram itself is good to about +-10 FN here.
[[nodiscard]] Checked<double> ferrite_number_duplex(const Equivalents& wrc1992, const FerriteLimits& limits);

struct FerriteEstimate {
  double number = 0;
  bool extrapolated = false;
};
// The same, carried on outside its box by a plane through the same 18 pairs,
//   FN = -81.4 + 10.97 Creq - 12.41 Nieq,
// as far as the limits' outer box reaches, and refused beyond it: the plane's own error there is +-6 FN (points kept
// out of a fit lay -2.6 to +1.9 FN off), to be added to the diagram's own +-10. Where weld metal of 2205 or 2507 leaves
// the box the two differ by 1 to 4 FN, in corners of the box without points by up to 7.
[[nodiscard]] Checked<FerriteEstimate> ferrite_estimate_duplex(const Equivalents& wrc1992, const FerriteLimits& limits);

// FN of austenitic welds cooled at 10 to 1000 K/s (Valiente Bermejo 2012), r = Creq/Nieq, S = (Creq + Nieq)/100:
//   FN = 54.22 - 126.26 S + (-48.11 + 37.14 S) r + (-0.23 + 61.95 S) r^2
// Refuses a ratio, a sum or a number outside the limits.
[[nodiscard]] Checked<double> ferrite_number_austenitic(const Equivalents& hammar_svensson,
                                                        const FerriteLimits& limits);

enum class Solidification : unsigned char { austenite_first, ferrite_first };
// Ferrite first (resists hot cracking) where the WRC-1992 Creq/Nieq is above `ratio` (about 1.4).
[[nodiscard]] Solidification solidification(const Equivalents& wrc1992, double ratio);

// Pitting resistance equivalent: Cr + 3.3 (Mo + 0.5 W) + 16 N.
[[nodiscard]] double pitting_resistance(const Composition& metal);

// Share of molten base metal in the weld metal, 0..1: melted base over melted base and deposit, both as sections, mm2,
// >= 0 and not both 0. No check.
[[nodiscard]] double dilution_share(double melted_base_mm2, double deposit_mm2);

// Weld metal from filler and the two base metals; the dilutions are each base's share of the fused section.
// Their sum is at most 1.
[[nodiscard]] Composition mix(const Composition& filler, const Composition& base, double dilution,
                              const Composition& base2, double dilution2);

// --- Findings on a duplex weld ---

struct DuplexLimits {
  Interval heat_input_kJ_per_mm;
  double interpass_max_C = 0;
  double preheat_max_C = 0;  // warming to dry is not preheat
  Interval ferrite_number;   // weld metal
  double pitting_resistance_min = 0;
  double base_nitrogen_min_percent = 0;
  double second_run_share = 0;  // heat input of the second run over that of the root, at most
};

struct DuplexWeld {
  Composition base, weld_metal;
  double heat_input_kJ_per_mm = 0;
  double preheat_C = 0, interpass_C = 0;
  double root_heat_input_kJ_per_mm = 0;  // for the second run; 0: this is not it
};

enum class DuplexFinding : unsigned char {
  heat_input_low,   // too much ferrite, chromium nitrides
  heat_input_high,  // intermetallic phases
  second_run_hot,   // the run over the root reheats it into the range of intermetallic phases
  interpass_high,
  preheated,
  ferrite_low,       // less strength and resistance to stress corrosion
  ferrite_high,      // less toughness and pitting resistance
  ferrite_unknown,   // the weld metal is off the diagram, where FN is not even extrapolated
  weld_pitting_low,  // weld metal below the least PREN
  base_nitrogen_low  // heat-affected zone turns too ferritic
};

// Everything that stands against the weld, in the order of the list above.
[[nodiscard]] std::vector<DuplexFinding> duplex_findings(const DuplexWeld& weld, const DuplexLimits& limits,
                                                         const FerriteLimits& ferrite);

}  // namespace seamwright
