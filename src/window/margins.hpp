// The constraints of a pass as distances to their limits.
//
// A distance is the logarithm of how far inside its limit a quantity lies; limits of the pool are compared in the net
// power that would just reach them. How surely a constraint holds follows from the distance and its own spread, which
// comes from every uncertain constant of the case, the electrode extension and the setting of the feed among them:
//   surety = distance / spread, spread the half-width that nine in ten stay inside on one side (1.282 standard
//   deviations, first order, the constants independent and normal).
// So surety 1 is 90 % by construction. Limits whose easy end stands in the data have the surety 1 there, 0 at the last.
#pragma once

#include <optional>

#include "seamwright/window.hpp"

namespace seamwright {

// The margins of `margins` at a setting, worked out for the sizes they look at alone.
[[nodiscard]] MarginList point_margins(const PassContext& context, const ConstantValues& constants,
                                       const Setting& setting);

// The smallest score among the constraints that the pool does not decide: `point_margins` never has a better worst one,
// and it costs several times as much.
[[nodiscard]] double score_without_pool(const PassContext& context, const ConstantValues& constants,
                                        const Setting& setting);

// Score and surety of a setting, the worst of its margins; nothing where the score is below `enough`, which is often
// told from a part of them.
struct PointScore {
  double score = 0, surety = 0;
};
[[nodiscard]] std::optional<PointScore> score_from(const PassContext& context, const ConstantValues& constants,
                                                   const Setting& setting, double enough);

// The smallest score at a feed among the constraints on the pulse: base current, base time, frequency, duty.
[[nodiscard]] double smallest_pulse_score(const PassContext& context, const ConstantValues& constants,
                                          double wire_feed_m_per_min);

// Spreads of all constraints at a setting, into the context. `feed_setting_share`: how far the feed may be off what is
// set, relative half-width at 90 %.
void work_out_spreads(PassContext& context, const Setting& setting, double feed_setting_share);

// The last end of a margin's limit, beyond which a plan is refused; a wall's is the limit itself.
[[nodiscard]] double last_end(const PassContext& context, const Margin& margin);

// Whether two margins are the same constraint, across evaluations.
[[nodiscard]] bool same_slot(const Margin& a, const Margin& b);

}  // namespace seamwright
