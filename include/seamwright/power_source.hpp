// What a power source may deliver, and how exactly.
#pragma once

namespace seamwright {

// Current allowed at `duty` when `rated_current_A` is allowed at `rated_duty`: I^2 X = constant over the ten-minute
// period. At shorter duties than rated it rises to `greatest_current_A`, the most the source is stated to deliver (0:
// not stated, no more than the rated one). Guide only (IEC 60974-1 rating practice).
[[nodiscard]] double current_at_duty_A(double rated_current_A, double rated_duty, double duty,
                                       double greatest_current_A = 0);

// How far current or voltage may be off what is set, A or V: `share` of the setting down to `from` of the greatest one,
// and no less than that below (IEC 60974-14, standard grade: 10 % down to 25 %, 2.5 % of the greatest below).
[[nodiscard]] double setting_deviation(double setting, double greatest, double share, double from);

}  // namespace seamwright
