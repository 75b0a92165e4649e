// How surely the constraints hold: the sureties of margins as probabilities, and the wire-feed band at a confidence.
//
// Every uncertain constant counts as independent and normal; its 90 % half-width is 1.645 standard deviations. A
// constraint holds with the probability Phi(1.282 surety) (plan/margins.hpp): first order, each constraint by itself;
// all of them together hold less often. Checked against sampling of the constants.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "seamwright/window.hpp"

namespace seamwright {

// One-sided normal quantile of a confidence 0.5 <= p < 1: 0 at 0.5, 1.282 at 0.9.
[[nodiscard]] double normal_quantile(double confidence);
// Its inverse.
[[nodiscard]] double normal_share(double quantile);

// Every constraint that bears on what a welder sets, at a setting: those of `margins`, a given modulation against its
// band, the arc length against its usual range, and the peak trim against one drop a pulse. A memo, of the same context
// and constants, spares the pool where it was asked last for a setting that differs in its modulation frequency alone.
struct SettingMemo {
  bool filled = false;
  Setting setting;
  FieldValues fields;
  MarginList margins;
};
[[nodiscard]] MarginList setting_margins(const PassContext& context, const ConstantValues& constants,
                                         const Setting& setting, SettingMemo* memo = nullptr);

// The probability that a constraint of that surety holds, and the surety of a probability.
[[nodiscard]] double probability_of(double surety);
[[nodiscard]] double surety_of(double probability);
// A probability is graded as it is printed, to the percent: 0.695 is 70 %.
inline constexpr double probability_rounding = 0.005;

// The wire-feed band at a confidence, on the line of the nominal band.
struct ConfidentBand {
  double confidence = 0.5;
  bool exists = false;
  BandEnd low, high;  // when it exists
  Margin weakest;     // the constraint that holds least surely at the recommended point
  double held = 0;    // the confidence at which it holds there, 0.5..0.999; below 0.5 where it does not hold at all
};
[[nodiscard]] ConfidentBand confident_band(const PassContext& context, const Window& window, double confidence);

}  // namespace seamwright
