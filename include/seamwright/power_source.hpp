// What a power source may deliver, and how exactly. Neither function checks its input: currents 0 or more, duties and
// shares inside 0..1, a duty above 0.
//
// Error: none of the rules' own (by hand, tests/published/equipment.csv); both rules are recalled. Constant I^2 X holds
// for what heats as the square of the current, a winding or a cable.
//
// References:
//   IEC 60974-1, duty cycle over ten minutes and rated current [iec-60974-1]
//   IEC 60974-14, validation of arc welding equipment, standard and precision grade [iec-60974-14]
//
// Example:
//
//     std::printf("%.0f A\n", current_at_duty_A(300, 0.6, 1.0));         // 232 A
//     std::printf("%.0f A\n", current_at_duty_A(300, 0.6, 0.35, 350));   // 350 A
//     std::printf("%.0f A\n", setting_deviation(200, 400, 0.10, 0.25));  // 20 A
#pragma once

namespace seamwright {

// Current allowed at `duty` when `rated_current_A` is allowed at `rated_duty`: I^2 X = constant over the ten-minute
// period. At shorter duties than rated it rises to `greatest_current_A`, the most the source is stated to deliver (0:
// not stated, no more than the rated one). A: guide only, the rating plate decides.
[[nodiscard]] double current_at_duty_A(double rated_current_A, double rated_duty, double duty,
                                       double greatest_current_A = 0);

// How far current or voltage may be off what is set, A or V: `share` of the setting down to `from` of the greatest one,
// and no less than that below (standard grade: 10 % down to 25 %, 2.5 % of the greatest below).
[[nodiscard]] double setting_deviation(double setting, double greatest, double share, double from);

}  // namespace seamwright
