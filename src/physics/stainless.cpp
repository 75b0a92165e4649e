#include "seamwright/stainless.hpp"

namespace seamwright {

using enum Element;

Equivalents equivalents_wrc1992(const Composition& x) {
  return {x[Cr] + x[Mo] + 0.7 * x[Nb], x[Ni] + 35 * x[C] + 20 * x[N] + 0.25 * x[Cu]};
}

Equivalents equivalents_hammar_svensson(const Composition& x) {
  return {x[Cr] + 1.37 * x[Mo] + 1.5 * x[Si] + 2 * x[Nb] + 3 * x[Ti],
          x[Ni] + 0.31 * x[Mn] + 22 * x[C] + 14.2 * x[N] + x[Cu]};
}

namespace {

// `ferrite_number` computed at `at`, if it and the equivalents are inside.
Checked<double> inside(double ferrite_number, const Equivalents& at, const FerriteLimits& limits) {
  const auto [chromium, nickel] = at;
  if (const auto refusal = first_refusal(refuse_outside("Creq, %", chromium, limits.chromium_percent),
                                         refuse_outside("Nieq, %", nickel, limits.nickel_percent),
                                         refuse_outside("Creq/Nieq", chromium / nickel, limits.ratio),
                                         refuse_outside("Creq + Nieq, %", chromium + nickel, limits.sum_percent),
                                         refuse_outside("FN", ferrite_number, limits.ferrite_number))) {
    return *refusal;
  }
  return ferrite_number;
}

}  // namespace

Checked<double> ferrite_number_duplex(const Equivalents& at, const FerriteLimits& limits) {
  const double Cr = at.chromium_percent, Ni = at.nickel_percent;
  const double FN =
      -465.113 + 53.8848 * Cr - 40.1754 * Ni - 0.998757 * Cr * Cr + 0.231229 * Ni * Ni + 0.784681 * Cr * Ni;
  return inside(FN, at, limits);
}

Checked<FerriteEstimate> ferrite_estimate_duplex(const Equivalents& at, const FerriteLimits& limits) {
  if (const auto fitted = ferrite_number_duplex(at, limits)) return FerriteEstimate{*fitted, false};
  const double FN = -81.4 + 10.97 * at.chromium_percent - 12.41 * at.nickel_percent;
  if (const auto refusal = first_refusal(refuse_outside("Creq, %", at.chromium_percent, limits.outer_chromium_percent),
                                         refuse_outside("Nieq, %", at.nickel_percent, limits.outer_nickel_percent),
                                         refuse_outside("FN", FN, limits.outer_ferrite_number))) {
    return *refusal;
  }
  return FerriteEstimate{FN, true};
}

Checked<double> ferrite_number_austenitic(const Equivalents& at, const FerriteLimits& limits) {
  const double r = at.chromium_percent / at.nickel_percent, S = (at.chromium_percent + at.nickel_percent) / 100;
  const double FN = 54.22 - 126.26 * S + (-48.11 + 37.14 * S) * r + (-0.23 + 61.95 * S) * r * r;
  return inside(FN, at, limits);
}

Solidification solidification(const Equivalents& at, double ratio) {
  return at.chromium_percent > ratio * at.nickel_percent ? Solidification::ferrite_first
                                                         : Solidification::austenite_first;
}

double pitting_resistance(const Composition& x) { return x[Cr] + 3.3 * (x[Mo] + 0.5 * x[W]) + 16 * x[N]; }

double dilution_share(double melted_base_mm2, double deposit_mm2) {
  return melted_base_mm2 / (melted_base_mm2 + deposit_mm2);
}

Composition mix(const Composition& filler, const Composition& base, double dilution, const Composition& base2,
                double dilution2) {
  Composition out;
  for (std::size_t i = 0; i < element_count; ++i) {
    out.percent[i] =
        dilution * base.percent[i] + dilution2 * base2.percent[i] + (1 - dilution - dilution2) * filler.percent[i];
  }
  return out;
}

std::vector<DuplexFinding> duplex_findings(const DuplexWeld& weld, const DuplexLimits& limits,
                                           const FerriteLimits& ferrite) {
  std::vector<DuplexFinding> out;
  const auto note = [&](bool applies, DuplexFinding finding) {
    if (applies) out.push_back(finding);
  };
  using enum DuplexFinding;
  const double Q = weld.heat_input_kJ_per_mm, root = weld.root_heat_input_kJ_per_mm;
  note(Q < limits.heat_input_kJ_per_mm.low, heat_input_low);
  note(Q > limits.heat_input_kJ_per_mm.high, heat_input_high);
  note(root > 0 && Q > limits.second_run_share * root, second_run_hot);
  note(weld.interpass_C > limits.interpass_max_C, interpass_high);
  note(weld.preheat_C > limits.preheat_max_C, preheated);
  const auto FN = ferrite_estimate_duplex(equivalents_wrc1992(weld.weld_metal), ferrite);
  note(FN && FN->number < limits.ferrite_number.low, ferrite_low);
  note(FN && FN->number > limits.ferrite_number.high, ferrite_high);
  note(!FN, ferrite_unknown);
  note(pitting_resistance(weld.weld_metal) < limits.pitting_resistance_min, weld_pitting_low);
  note(weld.base[N] < limits.base_nitrogen_min_percent, base_nitrogen_low);
  return out;
}

}  // namespace seamwright
