#include <doctest/doctest.h>

#include "seamwright/arc.hpp"
#include "seamwright/transfer.hpp"

using namespace seamwright;

namespace {
constexpr ArcInput steel{.fixed_V = 15.7,
                         .resistance_ohm = 0.022,
                         .field_V_per_mm = 0.9,
                         .wire_resistivity_uohm_m = 0.65,
                         .wire_diameter_mm = 1.2,
                         .extension_mm = 15};
}

TEST_CASE("arc: voltage and arc length are inverse to each other") {
  for (double current = 20; current < 500; current += 40)
    for (double length = 0; length < 10; length += 0.7)
      CHECK(arc_length_mm(steel, current, arc_voltage_V(steel, current, length)) ==
            doctest::Approx(length).epsilon(1e-12));
}

TEST_CASE("arc: a millimetre of arc is worth its field, an ampere its resistances") {
  CHECK(arc_voltage_V(steel, 200, 5) - arc_voltage_V(steel, 200, 4) == doctest::Approx(0.9));
  // 0.65 micro-ohm m over 15 mm of 1.131 mm2 is 8.62 milliohm.
  CHECK(arc_voltage_V(steel, 201, 4) - arc_voltage_V(steel, 200, 4) == doctest::Approx(0.022 + 0.00862).epsilon(1e-3));
}

TEST_CASE("arc: the short-arc line rises to its cap and stays there") {
  const ShortArcLine line{.base_V = 14, .slope_V_per_A = 0.05, .offset_V = -0.3, .cap_V = 44};
  CHECK(short_arc_voltage_V(line, 0) == doctest::Approx(13.7));
  CHECK(short_arc_voltage_V(line, 606) == doctest::Approx(44));
  CHECK(short_arc_voltage_V(line, 607) == 44);
}

TEST_CASE("arc: inductance and current rise are inverse to each other") {
  for (double rise = 10; rise < 200; rise += 17) {
    const double inductance = equivalent_inductance_mH(18.5, 150, 0.01, rise);
    CHECK(current_rise_A_per_ms(18.5, 150, 0.01, inductance) == doctest::Approx(rise).epsilon(1e-13));
  }
  CHECK(equivalent_inductance_mH(18, 150, 0.01, 40) > equivalent_inductance_mH(18, 150, 0.01, 80));
}

TEST_CASE("transfer: CO2 raises the transition until there is no spray") {
  double last = 0;
  for (double co2 = 0; co2 <= 22; co2 += 1) {
    CHECK(has_spray(co2, 22));
    const double current = transition_current_A(240, co2, 0.011);
    CHECK(current > last);
    last = current;
  }
  CHECK_FALSE(has_spray(22.001, 22));
  CHECK_FALSE(has_spray(100, 22));
}

TEST_CASE("transfer: the clearing current goes with the root of tension and diameter") {
  const double once = bridge_clearing_current_A(1.3, 1.0);
  CHECK(bridge_clearing_current_A(1.3, 4.0) == doctest::Approx(2 * once));
  CHECK(bridge_clearing_current_A(4 * 1.3, 1.0) == doctest::Approx(2 * once));
}
