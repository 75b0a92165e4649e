#include <doctest/doctest.h>

#include <cmath>

#include "reference/formulas.hpp"
#include "seamwright/equipment.hpp"
#include "seamwright/heat.hpp"
#include "seamwright/power_source.hpp"

using namespace seamwright;

TEST_CASE("heat: energy falls with speed and k scales it") {
  CHECK(arc_energy_kJ_per_mm(5280, 5) == doctest::Approx(1.056));
  CHECK(arc_energy_kJ_per_mm(5280, 10) == doctest::Approx(0.528));
  CHECK(heat_input_kJ_per_mm(1.056, 0.8) == doctest::Approx(0.8448));
  CHECK(heat_input_kJ_per_mm(1.056, 1.0) == 1.056);
}

TEST_CASE("heat: independent uncertainties add in squares") {
  CHECK(heat_input_relative_uncertainty(0.1, 0, 0) == doctest::Approx(0.1));
  CHECK(heat_input_relative_uncertainty(0.03, 0.04, 0) == doctest::Approx(0.05));
  const double all = heat_input_relative_uncertainty(0.1, 0.1, 0.05);
  CHECK(all > 0.1);
  CHECK(all < 0.25);
  CHECK(all == heat_input_relative_uncertainty(0.05, 0.1, 0.1));
}

TEST_CASE("equipment: current and duty hold I^2 X, and do not pass the rated current unasked") {
  double last = 1e9;
  for (double duty = 0.1; duty <= 1.0; duty += 0.05) {
    const double current = current_at_duty_A(300, 0.6, duty);
    CHECK(current <= 300);
    CHECK(current <= last);
    if (duty > 0.6) CHECK(current * current * duty == doctest::Approx(300 * 300 * 0.6));
    last = current;
  }
}

TEST_CASE("equipment: a greatest current above the rated one is open at a shorter duty") {
  // 300 A at 60 %: 300 sqrt(0.6 / 0.35) = 392.8 A at 35 %.
  CHECK(current_at_duty_A(300, 0.6, 0.35, 500) == doctest::Approx(392.8).epsilon(0.0002));
  CHECK(current_at_duty_A(300, 0.6, 0.35, 350) == 350);
  CHECK(current_at_duty_A(300, 0.6, 0.35, 200) == 300);  // the range of the source itself is another limit
  CHECK(current_at_duty_A(300, 0.6, 0.6, 500) == 300);
  CHECK(current_at_duty_A(300, 0.6, 1.0, 500) == doctest::Approx(232.4).epsilon(0.0002));
}

TEST_CASE("equipment: a dial maps a value to its reading, either way round, and never to minus zero") {
  Dial dial;
  dial.zero_value = 2;
  dial.at_zero = 10;
  dial.per_step = -0.5;
  CHECK(dial_reading(dial, 2) == 10);
  CHECK(dial_reading(dial, 4) == 6);
  dial.at_zero = 0;
  CHECK_FALSE(std::signbit(dial_reading(dial, 2)));
}
