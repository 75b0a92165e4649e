#include <doctest/doctest.h>

#include <cmath>

#include "seamwright/burnoff.hpp"
#include "seamwright/constant.hpp"

using namespace seamwright;

namespace {
constexpr BurnoffInput steel{
    .wire_diameter_mm = 1.2, .extension_mm = 15, .melt_mm3_per_As = 0.33, .resistive_mm4_per_A2s = 6.2e-5};
}

TEST_CASE("burn-off: the steady current melts the feed it was solved for") {
  for (const double diameter : {0.6, 0.8, 1.0, 1.2, 1.6, 2.4})
    for (const double resistive : {0.0, 1.7e-5, 1.3e-4})
      for (double feed = 1e-6; feed < 40; feed = 1.7 * feed + 0.01) {
        BurnoffInput in = steel;
        in.wire_diameter_mm = diameter;
        in.resistive_mm4_per_A2s = resistive;
        const double current = steady_current_A(in, feed);
        CHECK(wire_feed_m_per_min(in, current, current) == doctest::Approx(feed).epsilon(1e-13));
      }
}

TEST_CASE("burn-off: no feed takes no current, and more feed more") {
  CHECK(steady_current_A(steel, 0) == 0);
  CHECK(wire_feed_m_per_min(steel, 0, 0) == 0);
  double last = 0;
  for (double feed = 0.1; feed < 30; feed += 0.1) {
    const double current = steady_current_A(steel, feed);
    CHECK(current > last);
    last = current;
  }
}

TEST_CASE("burn-off: tiny resistive heating leaves the linear law to the last digits") {
  BurnoffInput in = steel;
  in.resistive_mm4_per_A2s = 1e-18;
  const double linear = 5 * mm_per_s_per_m_per_min * wire_section_mm2(1.2) / 0.33;
  CHECK(steady_current_A(in, 5) == doctest::Approx(linear).epsilon(1e-12));
}

TEST_CASE("burn-off: volumes melted by mean and RMS current add up") {
  const double pulsed = wire_feed_m_per_min(steel, 160, 225);
  CHECK(pulsed > wire_feed_m_per_min(steel, 160, 160));
  CHECK(pulsed == doctest::Approx(wire_feed_m_per_min(steel, 160, 0) + wire_feed_m_per_min(steel, 0, 225)));
}
