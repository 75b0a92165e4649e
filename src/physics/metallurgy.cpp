#include "seamwright/metallurgy.hpp"

#include <algorithm>

namespace seamwright {
namespace {

double mixed(double filler, double base, double dilution) { return filler + dilution * (base - filler); }

}  // namespace

MetallurgyValues metallurgy_values(const Metallurgy& m, double Q, double dilution, const MetallurgyErrors& errors) {
  MetallurgyValues out;
  if (const SteelSide& steel = m.steel; steel.present) {
    const double t =
        errors.cooling_factor * std::max(steel.thick_s_mm_per_kJ * Q, errors.f2 * steel.thin_s_mm2_per_kJ2 * Q * Q);
    out.cooling_time_s = t;
    if (steel.hardness_known && steel.cooling_time_s.contains(t))
      out.hardness_HV = errors.hardness_HV + mean_hardness_HV(steel.hardness, t);
  }
  if (const StainlessWeld& weld = m.stainless; weld.present) {
    out.pitting_resistance = mixed(weld.pitting_filler, weld.pitting_base, dilution);
    const Equivalents at{mixed(weld.filler.chromium_percent, weld.base.chromium_percent, dilution),
                         mixed(weld.filler.nickel_percent, weld.base.nickel_percent, dilution)};
    if (weld.rule != FerriteRule::none) {
      if (weld.rule == FerriteRule::duplex) {
        if (const auto at_all = ferrite_estimate_duplex(at, weld.limits)) {
          const double error = errors.ferrite_number * (at_all->extrapolated ? weld.extrapolated_factor : 1.0);
          out.ferrite_number = std::max(0.0, at_all->number + error);
        }
      } else if (const auto number = ferrite_number_austenitic(at, weld.limits)) {
        out.ferrite_number = std::max(0.0, errors.ferrite_number + *number);
      }
    }
  }
  return out;
}

}  // namespace seamwright
