#include "seamwright/arc.hpp"

#include <algorithm>

#include "seamwright/constant.hpp"

namespace seamwright {
namespace {

// Everything of the arc voltage but the column.
double voltage_without_column_V(const ArcInput& in, double I) {
  // rho micro-ohm m, L mm, A_w mm2: rho L / A_w comes out in milliohm.
  const double wire_ohm = in.wire_resistivity_uohm_m * in.extension_mm / wire_section_mm2(in.wire_diameter_mm) / 1000.0;
  return in.fixed_V + (in.resistance_ohm + wire_ohm) * I;
}

}  // namespace

double arc_voltage_V(const ArcInput& in, double current_A, double arc_length_mm) {
  return voltage_without_column_V(in, current_A) + in.field_V_per_mm * arc_length_mm;
}

double arc_length_mm(const ArcInput& in, double current_A, double voltage_V) {
  return (voltage_V - voltage_without_column_V(in, current_A)) / in.field_V_per_mm;
}

double short_arc_voltage_V(const ShortArcLine& line, double current_A) {
  return std::min(line.base_V + line.slope_V_per_A * current_A + line.offset_V, line.cap_V);
}

// V / (A/ms) is mH, and V / mH is A/ms.
double equivalent_inductance_mH(double source_V, double current_A, double bridge_ohm, double rise_A_per_ms) {
  return (source_V - bridge_ohm * current_A) / rise_A_per_ms;
}

double current_rise_A_per_ms(double source_V, double current_A, double bridge_ohm, double inductance_mH) {
  return (source_V - bridge_ohm * current_A) / inductance_mH;
}

}  // namespace seamwright
