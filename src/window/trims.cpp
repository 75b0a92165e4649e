#include "seamwright/trims.hpp"

#include <cmath>

#include "seamwright/arc.hpp"
#include "seamwright/pulse.hpp"
#include "seamwright/transfer.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

void peak_effects(const PassContext& c, const ConstantValues& x, const Setting& s, std::vector<PeakTrimEffect>& out) {
  const TrimWindow window = peak_trim_window(c.pulse.criterion_window, c.pulse.criterion_exponent);
  constexpr double rounding = 1e-9;  // the ends belong to the window
  for (int percent = -10; percent <= 15; percent += 5) {
    Setting trimmed = s;
    trimmed.peak_trim = percent / 100.0;
    const FieldValues f = evaluate(c, x, trimmed);
    out.push_back(
        {.trim = trimmed.peak_trim,
         .drops_per_pulse = drops_per_pulse(trimmed.peak_trim, c.pulse.criterion_exponent),
         .peak_current_A = f[F::peak_current],
         .base_current_A = f[F::base_current],
         .current_A = f[F::current],
         .power_W = f[F::power],
         .one_drop = trimmed.peak_trim >= window.low - rounding && trimmed.peak_trim <= window.high + rounding});
  }
}

void arc_effects(const PassContext& c, const ConstantValues& x, const Setting& s, std::vector<ArcTrimEffect>& out) {
  const double half = trim_half_V(c, x);
  if (half <= 0) return;
  for (const double share : {-1.0, -0.5, 0.0, 0.5, 1.0}) {
    Setting trimmed = s;
    trimmed.arc_trim_V = share * half;
    const FieldValues f = evaluate(c, x, trimmed);
    out.push_back({.trim_V = trimmed.arc_trim_V,
                   .voltage_V = f[F::voltage],
                   .arc_length_mm = is_dip(c.mode) ? not_applicable : f[F::arc_length],
                   .power_W = f[F::power],
                   .heat_input_kJ_per_mm = f[F::heat_input],
                   .penetration_mm = f[F::penetration]});
  }
}

void dynamics_effects(const PassContext& c, const ConstantValues& x, const Setting& s,
                      std::vector<DynamicsEffect>& out) {
  const FieldValues f = evaluate(c, x, s);
  const double clearing_A = bridge_clearing_current_A(at(x, K::drop_surface_tension), c.wire.diameter_mm);
  const double product = f[F::inductance] * c.arc.rise_nominal;  // the inductance is inverse to the rise
  for (const double rise : {c.arc.rise_min, c.arc.rise_nominal, c.arc.rise_max}) {
    const ShortCircuit bridge = short_circuit(f[F::current], rise, c.arc.short_charge_A_ms, clearing_A);
    out.push_back({.rise_A_per_ms = rise,
                   .inductance_mH = product / rise,
                   .short_circuit_ms = bridge.duration_ms,
                   .peak_A = bridge.peak_A});
  }
}

}  // namespace

ShortCircuit short_circuit(double start_A, double rise_A_per_ms, double charge_A_ms, double clearing_A) {
  // start t + rise t^2 / 2 = charge, the root without cancellation.
  const double charged_ms =
      2.0 * charge_A_ms / (start_A + std::sqrt(start_A * start_A + 2.0 * rise_A_per_ms * charge_A_ms));
  const double cleared_ms = (clearing_A - start_A) / rise_A_per_ms;
  const double duration_ms = std::max(charged_ms, cleared_ms);
  return {duration_ms, start_A + rise_A_per_ms * duration_ms};
}

TrimEffects trim_effects(const PassContext& c, const Setting& s) {
  TrimEffects out;
  const ConstantValues x = nominal_values(c.constants);
  if (is_pulsed(c.mode)) peak_effects(c, x, s, out.peak);
  arc_effects(c, x, s, out.arc);
  if (is_dip(c.mode)) dynamics_effects(c, x, s, out.dynamics);
  return out;
}

}  // namespace seamwright
