#include "reference/formulas.hpp"

#include <cmath>

#include "seamwright/heat_rules.hpp"

namespace seamwright {

using enum Element;

Equivalents equivalents_schaeffler(const Composition& x) {
  return {x[Cr] + x[Mo] + 1.5 * x[Si] + 0.5 * x[Nb], x[Ni] + 30 * x[C] + 0.5 * x[Mn]};
}

Checked<double> duplex_HRC(double HV, Interval allowed) {
  const double HRC = 0.091 * HV - 2.4;
  if (const auto refusal = refuse_outside("hardness, HRC", HRC, allowed)) return *refusal;
  return HRC;
}

Checked<double> duplex_HV(double HRC, Interval allowed) {
  if (const auto refusal = refuse_outside("hardness, HRC", HRC, allowed)) return *refusal;
  return (HRC + 2.4) / 0.091;
}

Checked<CrackingIndex> cracking_index(const Catalog& catalog, const CrackingIndexInput& in) {
  if (const auto refusal = first_refusal(
          refuse_outside("hydrogen, ml/100 g", in.hydrogen_ml_per_100g, heat_range(catalog, "cracking-index-hydrogen")),
          refuse_outside("thickness, mm", in.thickness_mm, heat_range(catalog, "cracking-index-thickness")))) {
    return *refusal;
  }
  const double Pc = in.pcm_percent + in.hydrogen_ml_per_100g / 60 + in.thickness_mm / 600;
  return CrackingIndex{Pc, 1440 * Pc - 392};
}

double longitudinal_shrinkage_mm(double I, double L, double d) { return 305e-7 * I * L / d; }

double heat_input_relative_uncertainty(double u_voltage, double u_current, double u_travel) {
  return std::hypot(u_voltage, u_current, u_travel);
}

}  // namespace seamwright
