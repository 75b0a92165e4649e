// Cooling time between 800 and 500 degC, t8/5.
//
// EN 1011-2:2001 annex D, unalloyed and low-alloy steel; T0 preheat degC, Q heat input kJ/mm (efficiency k included), d
// plate thickness mm:
//   three-dimensional  t = (6700 - 5 T0) Q [1/(500-T0) - 1/(800-T0)] F3
//   two-dimensional    t = (4300 - 4.3 T0) 1e5 Q^2/d^2 [1/(500-T0)^2 - 1/(800-T0)^2] F2
// The larger governs. Not for austenitic and duplex steel or aluminium.
//
// Error: numbers worked from the formulas by hand are met to 0.02 s (tests/published/cooling.csv); real t8/5 is known
// to about +-20 %, and no measured one was at hand. Taking the larger form leaves out that heat flows both ways at
// once: against the sum of 801 image sources it overstates t8/5 by up to 25 %, near 0.75 of the transition thickness,
// by more than 5 % between 0.53 and 1.06 of it at most, and by less than 0.4 % below 0.4 and above 1.5 (heat input 0.3
// to 2 kJ/mm, 5 to 15 mm/s; slower and smaller welds more: 35 % at 0.3 kJ/mm and 2 mm/s). cooling_time_8_5_by_field_s
// does not; it meets that sum to 0.001 s where it was worked out (5 to 20 mm), and the thin-plate form in 3 mm sheet to
// 0.3 %.
//
// References:
//   EN 1011-2:2001, annex D, cooling time and table D.1 of joint factors [recalled-en-1011-2]; the formulas are those
//     of SEW 088, as a technical note on t8/5 has them (memory)
//   Rosenthal, D. (1946) The theory of moving sources of heat and its application to metal treatments, Transactions of
//     the ASME 68, 849-865, doi:10.1115/1.4018624: point and line source (form recalled)
//   Grong, O. (1997) Metallurgical Modelling of Welding, 2nd edition, The Institute of Materials, London, 1.10.4
//     (memory): image sources in plate of medium thickness
//
// Example:
//
//     const CoolingLimits limits{.preheat_C = {-20, 250}};
//     const CoolingInput pass{.heat_input_kJ_per_mm = 0.8, .preheat_C = 20, .thickness_mm = 8, .factors = {}};
//     const auto time = cooling_time_8_5(pass, limits);
//     std::printf("%.1f s\n", time->value_s);                   // 11.4 s
//     std::printf("%.1f mm\n", time->transition_thickness_mm);  // 13.1 mm
//     const auto heat = heat_input_for_cooling_time(pass, {8, 20}, limits);
//     std::printf("%.2f to %.2f kJ/mm\n", heat->low, heat->high);  // 0.67 to 1.06 kJ/mm
#pragma once

#include "seamwright/checked.hpp"
#include "seamwright/pool.hpp"

namespace seamwright {

// Joint factors of EN 1011-2 table D.1. F2 is a range where it depends on Q/d^2.
struct CoolingFactors {
  Interval f2{1, 1};
  double f3 = 1;
};

enum class CoolingJoint : unsigned char { plate, butt, corner, tee };
// Its word in the tables of data/.
[[nodiscard]] std::string_view cooling_joint_key(CoolingJoint joint);

struct CoolingInput {
  double heat_input_kJ_per_mm = 0;
  double preheat_C = 0;
  double thickness_mm = 0;
  CoolingFactors factors;
};

struct CoolingLimits {
  Interval preheat_C;  // below 500
};

enum class HeatFlow : unsigned char { two_dimensional, three_dimensional };

struct CoolingTime {
  double low_s = 0, value_s = 0, high_s = 0;  // over the range of F2; value at its middle
  HeatFlow flow{};                            // which form governs the value
  double transition_thickness_mm = 0;         // with F2 = F3 = 1
};

// The two forms, s; T0 < 500, Q and d > 0. No check.
[[nodiscard]] double cooling_time_8_5_thick_s(double heat_input_kJ_per_mm, double preheat_C, double f3);
[[nodiscard]] double cooling_time_8_5_thin_s(double heat_input_kJ_per_mm, double preheat_C, double thickness_mm,
                                             double f2);
// Thickness, mm, at which both forms agree (T0 < 500, Q > 0; no check) when F2 = F3 = 1; thicker plate cools
// three-dimensionally.
[[nodiscard]] double transition_thickness_mm(double heat_input_kJ_per_mm, double preheat_C);

// t8/5 of a pass, s. Refuses a preheat outside the limits, and a heat input or thickness that is not positive and
// finite.
[[nodiscard]] Checked<CoolingTime> cooling_time_8_5(const CoolingInput& in, const CoolingLimits& limits);

// Heat input, kJ/mm, that keeps t8/5 inside `wanted_s` for every F2 of the range; `in.heat_input_kJ_per_mm` is not
// read. No solution when the range of F2 alone spreads t8/5 wider than wanted. Refuses as cooling_time_8_5 does, and a
// wanted range below 0 or with its ends the wrong way round.
[[nodiscard]] Checked<Interval> heat_input_for_cooling_time(const CoolingInput& in, Interval wanted_s,
                                                            const CoolingLimits& limits);
// Preheat, degC, that does the same at the heat input given, cut to the limits. t8/5 rises with preheat. No solution
// when no preheat inside the limits comes to the wanted range.
[[nodiscard]] Checked<Interval> preheat_for_cooling_time(const CoolingInput& in, Interval wanted_s,
                                                         const CoolingLimits& limits);

// t8/5 on the centreline, s, from the conduction field with image sources; `preheat_C`, < 500, is the plate temperature
// the rises in the field are counted from. 0 for input that does not conduct (not positive, not finite).
[[nodiscard]] double cooling_time_8_5_by_field_s(const PoolInput& in, double preheat_C);

}  // namespace seamwright
