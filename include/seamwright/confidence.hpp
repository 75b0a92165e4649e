// Constraints asked at a confidence of the model constants.
//
// Each uncertain constant counts as independent and normal about its value; its 90 % half-width is 1.645 standard
// deviations (the two-sided 90 % interval). A constraint holds at confidence p when its score, lowered by its own
// spread, is still not negative:
//
//   score_p = score - A z + min(0, B - C) + C z^2,   z the one-sided normal quantile of p (0.9: 1.282)
//
// A root of the sum of squares of the score's changes a standard deviation of each constant; B half the sum of its
// second differences; C its curvature with all constants moved together down the steepest way. So the score itself is
// propagated to second order (a constant that moves both a value and its limit counts once, with its sign; the linear
// part alone is the usual first order); exact for a linear score, and always falling with p. 0.5 is the nominal answer.
// Each constraint is asked by itself: all of them together hold less often. Checked against sampling of the constants.
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
// band, the arc length against its usual range, and the peak trim against one drop a pulse.
[[nodiscard]] MarginList setting_margins(const PassContext& context, const ConstantValues& constants,
                                         const Setting& setting);

// Indices of the uncertain constants that bear on a constraint anywhere near a setting: those of other modes do not.
[[nodiscard]] std::vector<std::size_t> bearing_constants(const PassContext& context, const Setting& setting);

// The same with every score lowered to the confidence. 0.5 leaves them as they are. `constants` are those of
// `bearing_constants`.
[[nodiscard]] MarginList confident_margins(const PassContext& context, std::span<const std::size_t> constants,
                                           const Setting& setting, double confidence);

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
