// Parts of the margin evaluation that the planner also needs.
#pragma once

#include <boost/container/static_vector.hpp>
#include <cstdint>
#include <optional>

#include "seamwright/pool.hpp"
#include "seamwright/window.hpp"

namespace seamwright {

// Scores nearer than this are equal: on which side of a limit a point stands that lies on it is a matter of rounding.
inline constexpr double same_score = 1e-9;

// What power source and wire do at a feed.
struct Electrical {
  double current_A = 0, rms_A = 0, voltage_V = 0, power_W = 0;
};

// The value of one uncertain constant.
[[nodiscard]] inline double at(const ConstantValues& constants, K id) {
  return constants[static_cast<std::size_t>(id)];
}

// The quantities that need no pool; the others are `not_applicable`. The same values as evaluate() gives.
[[nodiscard]] FieldValues evaluate_supply(const PassContext& context, const ConstantValues& constants,
                                          const Setting& setting);

// Variance across the joint, mm2, of the place of an arc that swings `width_mm` from turn to turn, `crossing_mm_per_s`
// fast, and stops `dwell_s` at each side: a twelfth of the square of the width on its way, a quarter of it at the
// sides.
[[nodiscard]] double weave_variance_mm2(double width_mm, double crossing_mm_per_s, double dwell_s);

// Real melted width over that of the field, at a current. A swung arc is a source stretched across the joint; the field
// is that of a round source of the same area, whose width this stretches by a power, about the fourth root, of how much
// longer than wide the source is: within 10 % of the stretched source itself (source weave-as-source of the catalog).
[[nodiscard]] double width_over_field(const PassContext& context, const ConstantValues& constants, double current_A);

// Voltage of the short-arc line at a current, V.
[[nodiscard]] double short_arc_line_V(const PassContext& context, const ConstantValues& constants, double current_A);

// How far the voltage may be trimmed either way, V: the usual range of the arc length, or of a dip mode's voltage; 0
// where the voltage or the arc length is fixed.
[[nodiscard]] double trim_half_V(const PassContext& context, const ConstantValues& constants);

// The wire feed, m/min, at which a quantity that rises with it (current, base current, pulse frequency) takes a value,
// all else of the setting held; nothing where no feed from 0.02 to 400 m/min does.
[[nodiscard]] std::optional<double> feed_at_m_per_min(const PassContext& context, const ConstantValues& constants,
                                                      Setting setting, F id, double value);

// Whether the margins of a pass look at sizes of its pool, not only at the power that reaches them.
[[nodiscard]] bool margins_need_sizes(const PassContext& context);

// The pools of the first evaluation it is given to, for those after it: most of the uncertain constants leave alone
// what decides a pool.
struct PoolMemo {
  struct Known {
    PoolInput in;
    unsigned sizes = 0;
    Pool pool;
  };
  boost::container::static_vector<Known, 2> pools;  // of the fusion's plate and of the plate that may burn through
};
[[nodiscard]] FieldValues evaluate(const PassContext& context, const ConstantValues& constants, const Setting& setting,
                                   PoolMemo& memo);

// The quantities that the pass's constraints look at, as evaluate() gives them; others may be missing or 0.
[[nodiscard]] FieldValues evaluate_for_margins(const PassContext& context, const ConstantValues& constants,
                                               const Setting& setting);

// Completes those of evaluate_supply() to them.
void add_sizes_for_margins(const PassContext& context, const ConstantValues& constants, FieldValues& fields);

// An evaluated point of a double pulse at another frequency (above 0, Hz): all else of it stays.
[[nodiscard]] FieldValues at_frequency(FieldValues point, double frequency_Hz);

// Greatest deposit cross-section, mm2, that the quality level lets stand at an evaluated point; infinite where it sets
// none. Butts: what the joint needs plus two thirds of width times allowed height on the face, and at the root where
// the back is melted. Fillets: the square of the largest allowed throat.
[[nodiscard]] double most_deposit_mm2(const PassContext& context, const FieldValues& point);

// Whether that follows the width of the bead, so that it needs the pool.
[[nodiscard]] bool excess_follows_width(const PassContext& context);

// The conduction problem of one phase of a double pulse as if it were held on, in the plate that may melt through.
[[nodiscard]] PoolInput phase_pool(const PassContext& context, const ConstantValues& constants,
                                   double wire_feed_m_per_min, double travel_mm_per_s);

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
