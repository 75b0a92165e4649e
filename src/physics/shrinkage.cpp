#include "seamwright/shrinkage.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace seamwright {
namespace {

constexpr Interval positive{std::numeric_limits<double>::min(), std::numeric_limits<double>::max()};
constexpr Interval not_negative{0, std::numeric_limits<double>::max()};

Shrinkage spread(double value, const ShrinkageRules& rules) {
  return {value * std::max(0.0, 1 - rules.relative_spread), value, value * (1 + rules.relative_spread)};
}

MaybeRefusal check_fillet(double z, double d, const ShrinkageRules& rules) {
  return first_refusal(refuse_outside("thickness, mm", d, positive),
                       refuse_outside("leg, mm", z, {0, rules.fillet_leg_share_max * d}));
}

}  // namespace

Checked<Shrinkage> butt_shrinkage_mm(double A_w, double d, double g, const ShrinkageRules& rules) {
  if (const auto refusal =
          first_refusal(refuse_outside("weld section, mm2", A_w, not_negative),
                        refuse_outside("thickness, mm", d, positive), refuse_outside("gap, mm", g, not_negative))) {
    return *refusal;
  }
  return spread(0.2 * A_w / d + 0.05 * g, rules);
}

Checked<Shrinkage> fillet_shrinkage_mm(FilletJoint joint, double z, double d, const ShrinkageRules& rules) {
  if (const auto refusal = check_fillet(z, d, rules)) return *refusal;
  return spread((joint == FilletJoint::tee ? 1.02 : 1.52) * z / d, rules);
}

Checked<Shrinkage> contraction_mm(double expansion, double net_heat, double d, const ShrinkageRules& rules) {
  if (const auto refusal = first_refusal(refuse_outside("net heat, J/mm", net_heat, not_negative),
                                         refuse_outside("thickness, mm", d, positive))) {
    return *refusal;
  }
  return spread(expansion * net_heat / d, rules);
}

Checked<Shrinkage> fillet_angle_deg(double z, double d, const ShrinkageRules& rules) {
  if (const auto refusal = check_fillet(z, d, rules)) return *refusal;
  constexpr double mm_per_cm = 10, degrees_per_radian = 180 / std::numbers::pi;
  const double z_cm = z / mm_per_cm, d_cm = d / mm_per_cm;
  return spread(0.076 * std::pow(z_cm, 1.3) / (d_cm * d_cm) * degrees_per_radian, rules);
}

}  // namespace seamwright
