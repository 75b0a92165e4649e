// What the weld's heat does to the metal at one setting, in closed form: cheap enough to be evaluated with everything
// else, so that limits on it bind like any other.
//
//   t8/5              EN 1011-2 annex D, the larger of its two forms; T0 is the preheat, the coldest the plate may be
//   hardness          mean of Lorenz-Dueren and Yurioka 1987 at that t8/5
//   ferrite number    of filler and base metal mixed by the dilution; only inside the range of its formula
//   PREN              of the same mixture
//
// Error: the same as the solvers it is made of, to 1e-12 (24 passes, 3 to 40 mm, 0.3 to 2.5 kJ/mm); theirs stand in
// cooling.hpp, carbon.hpp and stainless.hpp.
//
// References:
//   Cooling time [recalled-en-1011-2]; hardness [recalled-hardness-formulas]; ferrite [ferrite-points],
//     [ferrite-plane], [bermejo-2012]: the whole of them in the headers named
//
// Example:
//
//     Metallurgy plate;
//     plate.steel.present = true;
//     plate.steel.thick_s_mm_per_kJ = cooling_time_8_5_thick_s(1, 20, 1);
//     plate.steel.thin_s_mm2_per_kJ2 = cooling_time_8_5_thin_s(1, 20, 8, 1);
//     std::printf("%.1f s\n", metallurgy_values(plate, 0.8, 0.3, {}).cooling_time_s);                       // 11.4 s
//     std::printf("%.1f s\n", metallurgy_values(plate, 0.8, 0.3, {.cooling_factor = 1.2}).cooling_time_s);  // 13.6 s
//     std::printf("%d\n", applies(metallurgy_values(plate, 0.8, 0.3, {}).hardness_HV) ? 1 : 0);             // 0
#pragma once

#include "seamwright/carbon.hpp"
#include "seamwright/cooling.hpp"
#include "seamwright/stainless.hpp"

namespace seamwright {

// The carbon or low-alloy steel whose heat-affected zone hardens most.
struct SteelSide {
  bool present = false;
  double thick_s_mm_per_kJ = 0;   // t8/5 = thick Q (F3 included)
  double thin_s_mm2_per_kJ2 = 0;  // t8/5 = thin F2 Q^2 (thickness included)
  double carbon_equivalent_percent = 0, cet_percent = 0;
  bool hardness_known = false;  // the composition is inside the range of the formulas
  HardnessCurve hardness;
  Interval cooling_time_s;  // in which the hardness formulas hold
  [[nodiscard]] bool operator==(const SteelSide&) const = default;
};

enum class FerriteRule : unsigned char { none, duplex, austenitic };

// Stainless weld metal: equivalents (by the rule's own definition) and PREN are linear in the dilution.
struct StainlessWeld {
  bool present = false;
  FerriteRule rule = FerriteRule::none;
  Equivalents filler, base;
  double pitting_filler = 0, pitting_base = 0;
  FerriteLimits limits;
  double extrapolated_factor = 1;  // how much further an extrapolated ferrite number may be off
  [[nodiscard]] bool operator==(const StainlessWeld&) const = default;
};

struct Metallurgy {
  SteelSide steel;
  StainlessWeld stainless;
  [[nodiscard]] bool operator==(const Metallurgy&) const = default;
};

// All s, HV10, FN; `not_applicable` where a formula does not hold.
struct MetallurgyValues {
  double cooling_time_s = not_applicable;
  double hardness_HV = not_applicable;
  double ferrite_number = not_applicable;
  double pitting_resistance = not_applicable;
};
// How far the formulas as a whole may be off: factor 1 and offsets 0 are nominal.
struct MetallurgyErrors {
  double cooling_factor = 1;
  double f2 = 1;  // joint factor of two-dimensional heat flow
  double hardness_HV = 0;
  double ferrite_number = 0;
};
// At a heat input, kJ/mm, > 0, and a dilution, 0..1. No check.
[[nodiscard]] MetallurgyValues metallurgy_values(const Metallurgy& context, double heat_input_kJ_per_mm,
                                                 double dilution, const MetallurgyErrors& errors);

}  // namespace seamwright
