// Carbon and low-alloy steel: carbon equivalents, preheat against hydrogen cracking, hardness of the heat-affected
// zone. Percentages by mass, temperatures degC, thickness mm, heat input kJ/mm (efficiency included), hydrogen ml/100
// g.
//
// Error: the sums are exact (CEN against a work sheet of CSA Z662 to 1e-5 %). Preheat by CET is its formula to 0.2 K;
// how far a real joint is from cracking at it is not known here. The tables are met in every cell that was read (EN
// 1011-2 C.1: 20; AWS D1.1 table 3.3: 14). Hardness: no measured zone was at hand. The standard deviation of 28 HV is
// that of the best pair of formulas over more than 300 welds of others (Nicholas and Abson: Lorenz and Dueren with
// Yurioka's formula of 1981; here it is that of 1987, so it is taken over, not shown), and +-56 HV is stated. Over the
// 70 carbon steels of the catalog that the formulas hold for, 2 to 60 s, the two differ by 27 HV (median), 62 HV (nine
// in ten) and 97 HV at most; Suzuki's, which takes no part, lies within 21 HV of their mean nine times in ten, 56 HV at
// most.
//
// References:
//   EN 1011-2:2001+A1, annex C: method A and table C.1 [en-1011-2-c1]; CET, method B and its ranges
//     [recalled-en-1011-2]. ISO/TR 17844:2004 sets the methods for avoiding cold cracks side by side
//   Uwer, D. and Hoehne, H. (1991) IIW document IX-1631-91, on the lowest preheat for welding without cold cracks
//     (memory): preheat by CET
//   Ito, Y. and Bessyo, K. (1969) Weldability formula of high strength steels related to heat-affected zone cracking,
//     IIW document IX-631-69 (memory): Pcm [recalled-ito-bessyo]
//   Yurioka, N. and Kasuya, T. (1995) A chart method to determine necessary preheat temperature in steel welding,
//     Quarterly Journal of the Japan Welding Society 13, 347-357, doi:10.2207/qjjws.13.347: CEN (coefficients recalled)
//   AWS D1.1:2015 table 3.3 [aws-d1.1-3.3]; its annex on susceptibility and restraint [recalled-d1.1-annex]
//   NAVSEA S9074-AR-GIB-010/278 table IV [navsea-278]
//   Yurioka, N. and others (1987) Prediction of HAZ hardness of transformable steels, Metal Construction 19, 217R-223R;
//     Lorenz and Dueren; Dueren's limits (memory) [recalled-hardness-formulas]
//   Suzuki, H., BL70S hardness formula [suzuki-bl70s]
//   Nicholas, J. M. and Abson, D. J. (2008) The prediction of maximum HAZ hardness in C-Mn and low alloy steel arc
//     welds, 17th International Conference on Computer Technology in Welding and Engineering, Cranfield [twi-hardness]
//
// Example:
//
//     #include "seamwright/heat_rules.hpp"
//     Composition s355;
//     s355[Element::C] = 0.16, s355[Element::Si] = 0.35, s355[Element::Mn] = 1.4;
//     std::printf("%.3f %%\n", carbon_equivalent_iiw(s355));  // 0.393 %
//     const CetPreheatInput joint{
//         .cet_percent = 0.34, .thickness_mm = 30, .hydrogen_ml_per_100g = 5, .heat_input_kJ_per_mm = 1.5};
//     std::printf("%.0f degC\n", *preheat_by_cet_C(joint, cet_preheat_limits(builtin_catalog())));  // 108 degC
//     std::printf("%.0f HV\n", hardness(s355, 10, hardness_limits(builtin_catalog()))->value_HV);   // 290 HV
#pragma once

#include <span>

#include "seamwright/catalog.hpp"
#include "seamwright/checked.hpp"
#include "seamwright/cooling.hpp"

namespace seamwright {

// --- Carbon equivalents, % ---
// Sums over the composition, 0 % and more of each element. None has limits of its own: `composition_outside` tells
// where a rule that uses one holds.

// CE (IIW) = C + Mn/6 + (Cr+Mo+V)/5 + (Ni+Cu)/15
[[nodiscard]] double carbon_equivalent_iiw(const Composition& steel);
// CET = C + (Mn+Mo)/10 + (Cr+Cu)/20 + Ni/40                                           (EN 1011-2 method B)
[[nodiscard]] double carbon_equivalent_cet(const Composition& steel);
// Pcm = C + Si/30 + (Mn+Cu+Cr)/20 + Ni/60 + Mo/15 + V/10 + 5B                         (Ito and Bessyo 1969)
[[nodiscard]] double carbon_equivalent_pcm(const Composition& steel);
// CEN = C + A [Si/24 + Mn/6 + Cu/15 + Ni/20 + (Cr+Mo+V+Nb)/5 + 5B], A = cen_factor(C)  (Yurioka)
[[nodiscard]] double carbon_equivalent_cen(const Composition& steel);
// A = 0.75 + 0.25 tanh(20 (C - 0.12))
[[nodiscard]] double cen_factor(double carbon_percent);

// The first element outside the ranges of a rule ("cet", "ce", "hardness"); empty when all are inside, and for a rule
// that the table does not have.
[[nodiscard]] MaybeRefusal composition_outside(const Composition& steel, std::span<const CompositionLimit> table,
                                               std::string_view rule);

// --- Preheat ---

struct CetPreheatInput {
  double cet_percent = 0;
  double thickness_mm = 0;  // of one plate, not combined
  double hydrogen_ml_per_100g = 0;
  double heat_input_kJ_per_mm = 0;
};
struct CetPreheatLimits {
  Interval cet_percent, thickness_mm, hydrogen_ml_per_100g, heat_input_kJ_per_mm;
  double weld_metal_margin_percent = 0;  // 0.03
};

// EN 1011-2 method B (Uwer and Hoehne):
//   Tp = 697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328
// May come out below room temperature: then none is needed. degC. Refuses outside the limits; the limits on single
// elements are a matter of `composition_outside`.
[[nodiscard]] Checked<double> preheat_by_cet_C(const CetPreheatInput& in, const CetPreheatLimits& limits);
// The CET that governs: that of the plate, unless the weld metal's is above it less the margin: then the larger of the
// plate's and the weld metal's plus the margin.
[[nodiscard]] double governing_cet_percent(double plate_cet_percent, double weld_metal_cet_percent,
                                           const CetPreheatLimits& limits);

// EN 1011-2 method A. Combined thickness: the plates' thickness averaged over 75 mm from the weld line, summed over the
// ways the heat flows.
enum class CombinedJoint : unsigned char { butt, tee, opposed_fillets };
// butt t1 + t2; tee t1 (web) + 2 t2 (flange); directly opposed fillets laid together: half the tee. mm, no check.
[[nodiscard]] double combined_thickness_mm(CombinedJoint joint, double thickness_mm, double thickness2_mm);

// Greatest combined thickness weldable without preheat (table C.1): from the row of the next higher CE and the next
// lower heat input, never in between. Not in the table: CE above the highest, heat input below the lowest.
[[nodiscard]] Checked<double> no_preheat_thickness_mm(std::span<const NoPreheatRow> table, double ce_percent,
                                                      double hydrogen_ml_per_100g, double heat_input_kJ_per_mm);

// AWS D1.1 prequalified minimum preheat and interpass by thickness of the thickest part at the joint.
// Category A: covered electrodes not low-hydrogen; B: low-hydrogen processes, GMAW among them. degC, 0: none asked for.
// Not in the table: thinner than its first row or thicker than its last.
enum class PreheatCategory : unsigned char { a, b };
// Its word in the tables of data/.
[[nodiscard]] std::string_view preheat_category_key(PreheatCategory category);
[[nodiscard]] Checked<double> minimum_preheat_C(std::span<const MinimumPreheatRow> table, PreheatCategory category,
                                                double thickness_mm);

// Least temperature of carbon steel to weld at, whatever the formulas say (NAVSEA S9074-AR-GIB-010/278 table IV):
// higher where carbon and thickness are both above their bounds.
struct LeastTemperature {
  double usual_C = 0, high_carbon_C = 0;
  double carbon_percent = 0, thickness_mm = 0;
};
[[nodiscard]] double least_temperature_C(double carbon_percent, double thickness_mm, const LeastTemperature& rule);

// AWS D1.1 alternative preheat: susceptibility index SI = 12 Pcm + log10 H (Pcm %, H > 0 ml/100 g) and its group "A"
// ... "G". Between two groups it is the higher one; not in the table: an index above the last.
[[nodiscard]] double susceptibility_index(double pcm_percent, double hydrogen_ml_per_100g);
[[nodiscard]] Checked<std::string_view> susceptibility_group(std::span<const SusceptibilityGroup> groups, double index);
enum class Restraint : unsigned char { low, medium, high };
// Its word in the tables of data/.
[[nodiscard]] std::string_view restraint_key(Restraint restraint);
// degC, 0: none. Not in the table: a group it does not have, a thickness of 0 or less or above its last row.
[[nodiscard]] Checked<double> susceptibility_preheat_C(std::span<const SusceptibilityRow> table, Restraint restraint,
                                                       std::string_view group, double thickness_mm);

// --- Hardness of the heat-affected zone, HV10 ---
// Single run. t8/5 in s. A function that is given limits refuses a composition outside the rule "hardness" and a t8/5
// outside them. None of the published methods is accurate over the whole range: +-56 HV (see Error).

enum class HardnessFormula : unsigned char { lorenz_dueren, yurioka_1987, suzuki_bl70s };

struct HardnessLimits {
  std::span<const CompositionLimit> composition;  // those of the rule "hardness" bind
  Interval cooling_time_s;
  double half_width_HV = 0;  // 56
};

// Lorenz and Dueren (log to base 10), kept between the bainite and martensite limits of Dueren:
//   HV = 2019 {C (1 - 0.5 log t) + 0.3 B} + 66 (1 - 0.8 log t),  B = Si/11 + Mn/8 + Cu/9 + Cr/5 + Ni/17 + Mo/6 + V/3
//   HM = 802 C + 305,  HB = 350 (C + B) + 101
// Yurioka et al. 1987: arctangent of ln t between martensite and bainite hardness, boron and nitrogen included.
// Suzuki BL70S: backward logistic of log t from C and Pcm.
[[nodiscard]] Checked<double> hardness_HV(HardnessFormula formula, const Composition& steel, double cooling_time_s,
                                          const HardnessLimits& limits);

// Both formulas of the mean with the composition worked in: what is left is a function of t8/5 alone.
struct HardnessCurve {
  // Lorenz-Dueren: at 1 s, less so much a decade, between its limits
  double at_1s_HV = 0, per_decade_HV = 0, bainite_HV = 0, martensite_HV = 0;
  // Yurioka: middle - swing atan(slope (ln t - ln_tM) - 2)
  double middle_HV = 0, swing_HV = 0, slope = 0, ln_tM = 0;
  [[nodiscard]] bool operator==(const HardnessCurve&) const = default;
};
[[nodiscard]] HardnessCurve hardness_curve(const Composition& steel);
// No limits are checked.
[[nodiscard]] double mean_hardness_HV(const HardnessCurve& curve, double cooling_time_s);

struct Hardness {
  double low_HV = 0, value_HV = 0, high_HV = 0;
};
// Mean of Lorenz-Dueren and Yurioka 1987, with the half-width.
[[nodiscard]] Checked<Hardness> hardness(const Composition& steel, double cooling_time_s, const HardnessLimits& limits);

// What is not known of a steel and of its cooling, as 90 % half-widths.
struct HardnessSpread {
  Composition composition;        // of each element, in %
  double cooling_time_share = 0;  // of t8/5, relative
};

// Probability, 0 to 1, that the zone is at most `limit_HV` hard: normal about the mean of the two formulas, the scatter
// of the formulas (half_width_HV being two standard deviations), the composition and t8/5 added as independent, each by
// the change over its own half-width. Within 0.03 of a Monte Carlo run over all of them.
[[nodiscard]] Checked<double> hardness_pass_probability(const Composition& steel, double cooling_time_s,
                                                        double limit_HV, const HardnessSpread& spread,
                                                        const HardnessLimits& limits);

// Shortest t8/5, s, at which the mean hardness stays at or below `limit_HV`. The shortest of the limits when every
// cooling time does; no solution when none does.
[[nodiscard]] Checked<double> cooling_time_for_hardness_s(const Composition& steel, double limit_HV,
                                                          const HardnessLimits& limits);
// Lowest preheat, degC, at which it does, for the pass given; `in.preheat_C` is not read.
[[nodiscard]] Checked<double> preheat_for_hardness_C(const Composition& steel, double limit_HV, const CoolingInput& in,
                                                     const CoolingLimits& cooling, const HardnessLimits& limits);

}  // namespace seamwright
