// Parts of the margin evaluation that the planner also needs.
#pragma once

#include "seamwright/window.hpp"

namespace seamwright {

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

}  // namespace seamwright
