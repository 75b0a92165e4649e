// Published formulas that the program does not use, kept with the values published for them: for whoever takes one up.
#pragma once

#include "seamwright/catalog.hpp"
#include "seamwright/checked.hpp"
#include "seamwright/stainless.hpp"

namespace seamwright {

// Schaeffler 1949: Cr + Mo + 1.5Si + 0.5Nb;  Ni + 30C + 0.5Mn
[[nodiscard]] Equivalents equivalents_schaeffler(const Composition& metal);

// Rockwell C from Vickers for duplex welds: HRC = 0.091 HV - 2.4, inside the range of HRC only.
[[nodiscard]] Checked<double> duplex_HRC(double vickers_HV, Interval rockwell_HRC);
[[nodiscard]] Checked<double> duplex_HV(double rockwell_HRC, Interval allowed_HRC);

// Ito and Bessyo 1969, highly restrained root runs, so on the high side; hydrogen by the glycerine method.
//   Pc = Pcm + H/60 + t/600;  T0 = 1440 Pc - 392
struct CrackingIndexInput {
  double pcm_percent = 0, hydrogen_ml_per_100g = 0, thickness_mm = 0;
};
struct CrackingIndex {
  double index_percent = 0;
  double preheat_C = 0;
};
// The ranges in which it holds are those of the catalog.
[[nodiscard]] Checked<CrackingIndex> cracking_index(const Catalog& catalog, const CrackingIndexInput& in);

// Longitudinal shrinkage, fillet, mm (Masubuchi): 305e-7 I L/d with current A, length L mm and thickness d mm.
[[nodiscard]] double longitudinal_shrinkage_mm(double current_A, double length_mm, double thickness_mm);

// Relative 90 % half-width of the heat input from independent relative half-widths.
[[nodiscard]] double heat_input_relative_uncertainty(double u_voltage, double u_current, double u_travel);

}  // namespace seamwright
