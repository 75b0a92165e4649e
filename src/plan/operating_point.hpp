// Parts of the margin evaluation that the planner also needs.
#pragma once

#include <cstdint>

#include "seamwright/pool.hpp"
#include "seamwright/window.hpp"

namespace seamwright {

// Scores nearer than this are equal: on which side of a limit a point stands that lies on it is a matter of rounding.
inline constexpr double same_score = 1e-9;

// What power source and wire do at a feed.
struct Electrical {
  double current_A = 0, rms_A = 0, voltage_V = 0, power_W = 0;
};

// A feed with everything worked out that does not hang on the travel: used again for every line through the window.
struct FeedPoint {
  FieldValues fields;
  Electrical electrical;
  Margin worst;  // of the constraints that follow from the feed alone; an infinite score where there is none
};
[[nodiscard]] FeedPoint feed_point(const PassContext& context, const ConstantValues& constants,
                                   double wire_feed_m_per_min);

// The smallest margin at a feed and travel. Works out no more than it must: where the margins that need no pool are
// below `enough` already it is the smallest of those, and not exact: an upper bound. Bit k of `left_out`: constraint k
// does not count; only constraints on the deposit can be left out. The point's fields are left at that travel.
struct WorstMargin {
  Margin margin;
  bool exact = false;
  bool from_weld = false;  // its constraint needs the pool
};
[[nodiscard]] WorstMargin worst_margin(const PassContext& context, const ConstantValues& constants, FeedPoint& point,
                                       double travel_mm_per_s, std::uint64_t left_out, double enough);

// The smallest score among the constraints of `chosen` (bit k: constraint k), which are on the deposit and need no
// pool; infinite without any.
[[nodiscard]] double smallest_deposit_score(const PassContext& context, const ConstantValues& constants,
                                            const Setting& setting, std::uint64_t chosen);

// The smallest score at a feed among the constraints on the pulse: base current, base time, frequency, duty.
[[nodiscard]] double smallest_pulse_score(const PassContext& context, const ConstantValues& constants,
                                          double wire_feed_m_per_min);

// The quantities that need no pool; the others are `not_applicable`. The same values as evaluate() gives.
[[nodiscard]] FieldValues evaluate_supply(const PassContext& context, const ConstantValues& constants,
                                          const Setting& setting);
[[nodiscard]] bool needs_pool(F id);

// The quantities that the pass's constraints look at, as evaluate() gives them; others may be missing or 0.
[[nodiscard]] FieldValues evaluate_for_margins(const PassContext& context, const ConstantValues& constants,
                                               const Setting& setting);

// The scores of two constraints at a setting, from the sizes of the pool that they look at; `thorough`: from the sizes
// that all constraints look at, where the pool tables can choose another way to the same size.
struct ScorePair {
  double a = 0, b = 0;
};
[[nodiscard]] ScorePair scores_of(const PassContext& context, const ConstantValues& constants, const Setting& setting,
                                  const WorstMargin& a, const WorstMargin& b, bool thorough);

// The constraint that an end of the amplitude band stands for.
[[nodiscard]] C amplitude_constraint(AmplitudeEnd end, bool from_equipment);
[[nodiscard]] C frequency_constraint(FrequencyEnd end, bool from_equipment);

// Greatest deposit section, mm2, that the quality level lets stand at an evaluated point; infinite where it sets none.
// Butts: what the joint needs plus two thirds of width times allowed height on the face, and at the root where the
// back is melted. Fillets: the square of the largest allowed throat.
[[nodiscard]] double most_deposit_mm2(const PassContext& context, const FieldValues& point);

// Width melted at the back, mm, by a steady feed at a travel: for double pulse, what one phase held on would melt.
[[nodiscard]] double back_width_mm(const PassContext& context, const ConstantValues& constants,
                                   double wire_feed_m_per_min, double travel_mm_per_s);

// The field of a pass at an evaluated point in a plate of that thickness, the heat of the molten wire included: it too
// flows through the plate as the weld cools.
[[nodiscard]] PoolInput heat_field(const PassContext& context, const ConstantValues& constants,
                                   const FieldValues& point, double thickness_mm);

// Double pulse: fixes frequency and amplitude at the recommended point, so that what is printed is what is evaluated.
void settle_modulation(const PassContext& context, const ConstantValues& constants, Setting& setting);

// The conduction problem of the pass at an evaluated point.
[[nodiscard]] PoolInput pool_input_at(const PassContext& context, const ConstantValues& constants,
                                      const FieldValues& point);

}  // namespace seamwright
