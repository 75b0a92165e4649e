// Carbon and low-alloy steel: carbon equivalents, preheat against hydrogen cracking, hardness of the heat-affected
// zone. Percentages by mass, temperatures degC, thickness mm, heat input kJ/mm (efficiency included), hydrogen ml/100
// g.
#pragma once

#include <span>

#include "seamwright/catalog.hpp"
#include "seamwright/checked.hpp"
#include "seamwright/cooling.hpp"

namespace seamwright {

// --- Carbon equivalents, % ---

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

// The first element outside the ranges of a rule ("cet", "ce", "hardness").
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
// May come out below room temperature: then none is needed. Refuses outside the limits; the limits on single elements
// are a matter of `composition_outside`.
[[nodiscard]] Checked<double> preheat_by_cet_C(const CetPreheatInput& in, const CetPreheatLimits& limits);
// The CET that governs: that of the plate, unless the weld metal's is above it less the margin: then the larger of the
// plate's and the weld metal's plus the margin.
[[nodiscard]] double governing_cet_percent(double plate_cet_percent, double weld_metal_cet_percent,
                                           const CetPreheatLimits& limits);

// EN 1011-2 method A. Combined thickness: the plates' thickness averaged over 75 mm from the weld line, summed over the
// ways the heat flows.
enum class CombinedJoint : unsigned char { butt, tee, opposed_fillets };
// butt t1 + t2; tee t1 (web) + 2 t2 (flange); directly opposed fillets laid together: half the tee.
[[nodiscard]] double combined_thickness_mm(CombinedJoint joint, double thickness_mm, double thickness2_mm);

// Greatest combined thickness weldable without preheat (table C.1): from the row of the next higher CE and the next
// lower heat input, never in between. Not in the table: CE above the highest, heat input below the lowest.
[[nodiscard]] Checked<double> no_preheat_thickness_mm(std::span<const NoPreheatRow> table, double ce_percent,
                                                      double hydrogen_ml_per_100g, double heat_input_kJ_per_mm);

// AWS D1.1 prequalified minimum preheat and interpass by thickness of the thickest part at the joint.
// Category A: covered electrodes not low-hydrogen; B: low-hydrogen processes, GMAW among them.
enum class PreheatCategory : unsigned char { a, b };
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

// AWS D1.1 alternative preheat: susceptibility index SI = 12 Pcm + log10 H and its group "A" ... "G".
[[nodiscard]] double susceptibility_index(double pcm_percent, double hydrogen_ml_per_100g);
[[nodiscard]] Checked<std::string_view> susceptibility_group(std::span<const SusceptibilityGroup> groups, double index);
enum class Restraint : unsigned char { low, medium, high };
[[nodiscard]] std::string_view restraint_key(Restraint restraint);
// 0: none.
[[nodiscard]] Checked<double> susceptibility_preheat_C(std::span<const SusceptibilityRow> table, Restraint restraint,
                                                       std::string_view group, double thickness_mm);

// --- Hardness of the heat-affected zone, HV10 ---
// Single run. None of the published methods is accurate over the whole range: the best hybrid has a standard deviation
// of 28 HV (TWI 2008, over 300 results), so +-56 HV here.

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
