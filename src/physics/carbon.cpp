#include "seamwright/carbon.hpp"

#include <algorithm>
#include <array>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>
#include <numeric>

namespace seamwright {
namespace {

using enum Element;

// Alloying term shared by Lorenz-Dueren and Dueren's bainite limit.
double dueren_alloying(const Composition& x) {
  return x[Si] / 11 + x[Mn] / 8 + x[Cu] / 9 + x[Cr] / 5 + x[Ni] / 17 + x[Mo] / 6 + x[V] / 3;
}

// Hardenability that boron adds to CE1, % (recalled, unread): steps in ppm of boron, less where nitrogen binds it.
double boron_hardenability(const Composition& x) {
  const double ppm = std::floor(x[B] * 1e4 + 1e-9);
  const double step = 0.03 * std::clamp(ppm - 1, 0.0, 3.0);
  return step * std::max(0.0, (0.02 - x[N]) / 0.02);
}

double lorenz_dueren_HV(const HardnessCurve& k, double t) {
  return std::clamp(k.at_1s_HV - k.per_decade_HV * std::log10(t), k.bainite_HV, k.martensite_HV);
}

double yurioka_HV(const HardnessCurve& k, double t) {
  return k.middle_HV - k.swing_HV * std::atan(k.slope * (std::log(t) - k.ln_tM) - 2);
}

double suzuki_HV(const Composition& x, double t) {
  const double pcm = carbon_equivalent_pcm(x);
  const double K = 237 + 1633 * x[C] - 1157 * pcm;
  const double a = (566 + 5532 * x[C] - 2880 * pcm) / K;
  const double H_inf = 884 * x[C] + 287 - K;
  const double Y5 = -0.03 - 6.00 * x[C] + 7.77 * pcm;
  return H_inf + K / (1 + std::exp(a * (std::log10(t) - Y5)));
}

MaybeRefusal check_hardness(const Composition& steel, double t, const HardnessLimits& limits) {
  return first_refusal(composition_outside(steel, limits.composition, "hardness"),
                       refuse_outside("t8/5, s", t, limits.cooling_time_s));
}

}  // namespace

HardnessCurve hardness_curve(const Composition& x) {
  HardnessCurve k;
  // Lorenz and Dueren: 2019 {C (1 - 0.5 log t) + 0.3 B} + 66 (1 - 0.8 log t)
  const double alloying = dueren_alloying(x);
  k.at_1s_HV = 2019 * (x[Element::C] + 0.3 * alloying) + 66;
  k.per_decade_HV = 2019 * 0.5 * x[Element::C] + 66 * 0.8;
  k.martensite_HV = 802 * x[Element::C] + 305;
  k.bainite_HV = std::min(350 * (x[Element::C] + alloying) + 101, k.martensite_HV);
  // Yurioka et al. 1987
  const double carbon = x[Element::C] <= 0.3 ? x[Element::C] : x[Element::C] / 6 + 0.25;
  const double CE1 = carbon + x[Si] / 24 + x[Mn] / 6 + x[Cu] / 15 + x[Ni] / 12 +
                     x[Cr] * (1 - 0.16 * std::sqrt(x[Cr])) / 8 + x[Mo] / 4 + boron_hardenability(x);
  const double CE2 =
      x[Element::C] + x[Si] / 24 + x[Mn] / 5 + x[Cu] / 10 + x[Ni] / 18 + x[Cr] / 5 + x[Mo] / 2.5 + x[V] / 5 + x[Nb] / 3;
  const double CE3 = carbon + x[Mn] / 3.6 + x[Cu] / 20 + x[Ni] / 9 + x[Cr] / 5 + x[Mo] / 4;
  const double HM = 884 * x[Element::C] * (1 - 0.3 * x[Element::C] * x[Element::C]) + 294;
  const double HB = 145 + 130 * std::tanh(2.65 * CE2 - 0.69);
  k.ln_tM = 10.6 * CE1 - 4.8;
  k.slope = 4 / (6.2 * CE3 + 0.74 - k.ln_tM);
  k.middle_HV = (HM + HB) / 2;
  k.swing_HV = (HM - HB) / 2.2;
  return k;
}

double mean_hardness_HV(const HardnessCurve& curve, double t) {
  return std::midpoint(lorenz_dueren_HV(curve, t), yurioka_HV(curve, t));
}

double carbon_equivalent_iiw(const Composition& x) {
  return x[Element::C] + x[Mn] / 6 + (x[Cr] + x[Mo] + x[V]) / 5 + (x[Ni] + x[Cu]) / 15;
}

double carbon_equivalent_cet(const Composition& x) {
  return x[Element::C] + (x[Mn] + x[Mo]) / 10 + (x[Cr] + x[Cu]) / 20 + x[Ni] / 40;
}

double carbon_equivalent_pcm(const Composition& x) {
  return x[Element::C] + x[Si] / 30 + (x[Mn] + x[Cu] + x[Cr]) / 20 + x[Ni] / 60 + x[Mo] / 15 + x[V] / 10 + 5 * x[B];
}

double cen_factor(double carbon) { return 0.75 + 0.25 * std::tanh(20 * (carbon - 0.12)); }

double carbon_equivalent_cen(const Composition& x) {
  return x[Element::C] + cen_factor(x[Element::C]) * (x[Si] / 24 + x[Mn] / 6 + x[Cu] / 15 + x[Ni] / 20 +
                                                      (x[Cr] + x[Mo] + x[V] + x[Nb]) / 5 + 5 * x[B]);
}

MaybeRefusal composition_outside(const Composition& steel, std::span<const CompositionLimit> table,
                                 std::string_view rule) {
  for (const auto& row : table) {
    const auto element = element_by_symbol(row.element);
    if (row.rule != rule || !element) continue;
    if (const auto refusal = refuse_outside(element_symbol(*element), steel[*element], {row.low, row.high})) {
      return refusal;
    }
  }
  return std::nullopt;
}

Checked<double> preheat_by_cet_C(const CetPreheatInput& in, const CetPreheatLimits& limits) {
  if (const auto refusal =
          first_refusal(refuse_outside("CET, %", in.cet_percent, limits.cet_percent),
                        refuse_outside("thickness, mm", in.thickness_mm, limits.thickness_mm),
                        refuse_outside("hydrogen, ml/100 g", in.hydrogen_ml_per_100g, limits.hydrogen_ml_per_100g),
                        refuse_outside("heat input, kJ/mm", in.heat_input_kJ_per_mm, limits.heat_input_kJ_per_mm))) {
    return *refusal;
  }
  const double CET = in.cet_percent, d = in.thickness_mm, HD = in.hydrogen_ml_per_100g, Q = in.heat_input_kJ_per_mm;
  return 697 * CET + 160 * std::tanh(d / 35) + 62 * std::pow(HD, 0.35) + (53 * CET - 32) * Q - 328;
}

double governing_cet_percent(double plate, double weld_metal, const CetPreheatLimits& limits) {
  const double margin = limits.weld_metal_margin_percent;
  return weld_metal > plate - margin ? std::max(plate, weld_metal + margin) : plate;
}

double combined_thickness_mm(CombinedJoint joint, double t1, double t2) {
  switch (joint) {
    case CombinedJoint::butt:
      return t1 + t2;
    case CombinedJoint::tee:
      return t1 + 2 * t2;
    case CombinedJoint::opposed_fillets:
      return (t1 + 2 * t2) / 2;
  }
  return 0;
}

Checked<double> no_preheat_thickness_mm(std::span<const NoPreheatRow> table, double ce, double hydrogen, double heat) {
  const NoPreheatRow* best = nullptr;
  double highest_ce = 0, lowest_heat = unbounded;
  for (const auto& row : table) {
    highest_ce = std::max(highest_ce, row.ce_percent);
    lowest_heat = std::min(lowest_heat, row.heat_input_kJ_per_mm);
    const bool holds = hydrogen > row.hydrogen_over_ml_per_100g && hydrogen <= row.hydrogen_to_ml_per_100g &&
                       ce <= row.ce_percent && heat >= row.heat_input_kJ_per_mm;
    if (holds && (best == nullptr || row.combined_thickness_mm > best->combined_thickness_mm)) best = &row;
  }
  if (best != nullptr) return best->combined_thickness_mm;
  if (!(ce <= highest_ce)) return Refusal{RefusalReason::not_in_table, "CE, %", ce, {0, highest_ce}};
  if (!(heat >= lowest_heat)) {
    return Refusal{RefusalReason::not_in_table, "heat input, kJ/mm", heat, {lowest_heat, unbounded}};
  }
  return Refusal{RefusalReason::not_in_table, "hydrogen, ml/100 g", hydrogen, {0, unbounded}};
}

std::string_view preheat_category_key(PreheatCategory category) { return category == PreheatCategory::a ? "a" : "b"; }

Checked<double> minimum_preheat_C(std::span<const MinimumPreheatRow> table, PreheatCategory category,
                                  double thickness) {
  double thinnest = unbounded, thickest = 0;
  for (const auto& row : table) {
    if (row.category != preheat_category_key(category)) continue;
    const bool first = row.over_mm < thinnest;
    thinnest = std::min(thinnest, row.over_mm);
    thickest = std::max(thickest, row.to_mm);
    const bool above = first ? thickness >= row.over_mm : thickness > row.over_mm;
    if (above && thickness <= row.to_mm) return row.preheat_C;
  }
  return Refusal{RefusalReason::not_in_table, "thickness, mm", thickness, {thinnest, thickest}};
}

double least_temperature_C(double carbon_percent, double thickness_mm, const LeastTemperature& rule) {
  const bool high = carbon_percent > rule.carbon_percent && thickness_mm > rule.thickness_mm;
  return high ? rule.high_carbon_C : rule.usual_C;
}

double susceptibility_index(double pcm, double hydrogen) { return 12 * pcm + std::log10(hydrogen); }

Checked<std::string_view> susceptibility_group(std::span<const SusceptibilityGroup> groups, double index) {
  for (const auto& row : groups) {
    if (index <= row.index_to) return row.id;
  }
  return Refusal{
      RefusalReason::not_in_table, "susceptibility index", index, {0, groups.empty() ? 0 : groups.back().index_to}};
}

std::string_view restraint_key(Restraint restraint) {
  constexpr std::array<std::string_view, 3> keys{"low", "medium", "high"};
  return keys[static_cast<std::size_t>(restraint)];
}

Checked<double> susceptibility_preheat_C(std::span<const SusceptibilityRow> table, Restraint restraint,
                                         std::string_view group, double thickness) {
  using Row = SusceptibilityRow;
  constexpr std::array columns{&Row::A_C, &Row::B_C, &Row::C_C, &Row::D_C, &Row::E_C, &Row::F_C, &Row::G_C};
  const std::size_t column = group.size() == 1 ? static_cast<std::size_t>(group.front() - 'A') : columns.size();
  if (column >= columns.size()) return Refusal{RefusalReason::not_in_table, "susceptibility group", 0, {}};
  for (const auto& row : table) {
    if (row.restraint == restraint_key(restraint) && thickness > 0 && thickness <= row.thickness_to_mm) {
      return row.*columns[column];
    }
  }
  return Refusal{RefusalReason::not_in_table, "thickness, mm", thickness, {0, unbounded}};
}

Checked<double> hardness_HV(HardnessFormula formula, const Composition& steel, double t, const HardnessLimits& limits) {
  if (const auto refusal = check_hardness(steel, t, limits)) return *refusal;
  switch (formula) {
    case HardnessFormula::lorenz_dueren:
      return lorenz_dueren_HV(hardness_curve(steel), t);
    case HardnessFormula::yurioka_1987:
      return yurioka_HV(hardness_curve(steel), t);
    case HardnessFormula::suzuki_bl70s:
      break;
  }
  // The logistic turns over where K is not positive: lean, highly alloyed steel outside Suzuki's set.
  const double pcm = carbon_equivalent_pcm(steel), pcm_max = (237 + 1633 * steel[Element::C]) / 1157;
  if (!(pcm < pcm_max)) return Refusal{RefusalReason::outside, "Pcm, %", pcm, {0, pcm_max}};
  return suzuki_HV(steel, t);
}

Checked<Hardness> hardness(const Composition& steel, double t, const HardnessLimits& limits) {
  if (const auto refusal = check_hardness(steel, t, limits)) return *refusal;
  const double HV = mean_hardness_HV(hardness_curve(steel), t);
  return Hardness{HV - limits.half_width_HV, HV, HV + limits.half_width_HV};
}

Checked<double> hardness_pass_probability(const Composition& steel, double t, double limit_HV,
                                          const HardnessSpread& spread, const HardnessLimits& limits) {
  if (const auto refusal = check_hardness(steel, t, limits)) return *refusal;
  const double mean = mean_hardness_HV(hardness_curve(steel), t);
  double variance = limits.half_width_HV * limits.half_width_HV / 4;
  const auto add = [&](double up_HV, double down_HV) {
    const double half = (up_HV - down_HV) / (2 * deviations_90);
    variance += half * half;
  };
  for (std::size_t i = 0; i < element_count; ++i) {
    if (!(spread.composition.percent[i] > 0)) continue;
    Composition more = steel, less = steel;
    more.percent[i] += spread.composition.percent[i];
    less.percent[i] = std::max(0.0, less.percent[i] - spread.composition.percent[i]);
    add(mean_hardness_HV(hardness_curve(more), t), mean_hardness_HV(hardness_curve(less), t));
  }
  const double slower = t * (1 + spread.cooling_time_share);
  add(mean_hardness_HV(hardness_curve(steel), slower), mean_hardness_HV(hardness_curve(steel), t * t / slower));
  return 0.5 * std::erfc((mean - limit_HV) / std::sqrt(2 * variance));
}

Checked<double> cooling_time_for_hardness_s(const Composition& steel, double limit_HV, const HardnessLimits& limits) {
  if (const auto refusal = composition_outside(steel, limits.composition, "hardness")) return *refusal;
  const auto [fastest, slowest] = limits.cooling_time_s;
  const HardnessCurve curve = hardness_curve(steel);
  const auto excess = [&](double log_t) { return mean_hardness_HV(curve, std::exp(log_t)) - limit_HV; };
  const double start = std::log(fastest), end = std::log(slowest);
  if (excess(start) <= 0) return fastest;
  if (!(excess(end) <= 0)) {
    return Refusal{RefusalReason::no_solution,
                   "hardness, HV10",
                   limit_HV,
                   {mean_hardness_HV(curve, slowest), mean_hardness_HV(curve, fastest)}};
  }
  std::uintmax_t steps = 100;
  const auto root =
      boost::math::tools::toms748_solve(excess, start, end, boost::math::tools::eps_tolerance<double>(40), steps);
  return std::exp(root.second);  // the bracket's soft side
}

Checked<double> preheat_for_hardness_C(const Composition& steel, double limit_HV, const CoolingInput& in,
                                       const CoolingLimits& cooling, const HardnessLimits& limits) {
  const auto shortest = cooling_time_for_hardness_s(steel, limit_HV, limits);
  if (!shortest) return shortest.refusal();
  const auto preheat = preheat_for_cooling_time(in, {*shortest, std::numeric_limits<double>::max()}, cooling);
  if (!preheat) return preheat.refusal();
  return preheat->low;
}

}  // namespace seamwright
