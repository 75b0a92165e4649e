// Cooling time between 800 and 500 degC, t8/5.
//
// EN 1011-2:2001 annex D (SEW 088), unalloyed and low-alloy steel; T0 preheat degC, Q heat input kJ/mm (efficiency k
// included), d plate thickness mm:
//   three-dimensional  t = (6700 - 5 T0) Q [1/(500-T0) - 1/(800-T0)] F3
//   two-dimensional    t = (4300 - 4.3 T0) 1e5 Q^2/d^2 [1/(500-T0)^2 - 1/(800-T0)^2] F2
// The larger governs. Known to about +-20 %. Between 0.5 and 0.95 of the transition thickness the larger-of-two rule
// overstates t8/5, by up to 22 % near 0.7 (against the sum of image sources): `cooling_time_8_5_by_field_s` does not.
// Not for austenitic and duplex steel or aluminium.
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

// The two forms; T0 < 500, Q and d > 0.
[[nodiscard]] double cooling_time_8_5_thick_s(double heat_input_kJ_per_mm, double preheat_C, double f3);
[[nodiscard]] double cooling_time_8_5_thin_s(double heat_input_kJ_per_mm, double preheat_C, double thickness_mm,
                                             double f2);
// Thickness, mm, at which both forms agree when F2 = F3 = 1; thicker plate cools three-dimensionally.
[[nodiscard]] double transition_thickness_mm(double heat_input_kJ_per_mm, double preheat_C);

// t8/5 of a pass. Refuses a preheat outside the limits, and a heat input or thickness that is not positive.
[[nodiscard]] Checked<CoolingTime> cooling_time_8_5(const CoolingInput& in, const CoolingLimits& limits);

// Heat input, kJ/mm, that keeps t8/5 inside `wanted_s` for every F2 of the range; `in.heat_input_kJ_per_mm` is not
// read. No solution when the range of F2 alone spreads t8/5 wider than wanted.
[[nodiscard]] Checked<Interval> heat_input_for_cooling_time(const CoolingInput& in, Interval wanted_s,
                                                            const CoolingLimits& limits);
// Preheat, degC, that does the same at the heat input given, cut to the limits. t8/5 rises with preheat.
[[nodiscard]] Checked<Interval> preheat_for_cooling_time(const CoolingInput& in, Interval wanted_s,
                                                         const CoolingLimits& limits);

// t8/5 on the centreline from the conduction field with image sources; `preheat_C` is the plate temperature the rises
// in the field are counted from.
[[nodiscard]] double cooling_time_8_5_by_field_s(const PoolInput& in, double preheat_C);

}  // namespace seamwright
