#include <doctest/doctest.h>

#include <cmath>

#include "reference/steady_feed.hpp"
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

namespace {

// The measured line of 4043 of 1.2 mm in controlled dip, and one below its law.
constexpr BurnoffInput dip_4043{.wire_diameter_mm = 1.2,
                                .extension_mm = 12,
                                .melt_mm3_per_As = 1.2,
                                .resistive_mm4_per_A2s = 1.7e-5,
                                .line = {0.138, 35.8, 73, 97}};
constexpr BurnoffInput below_law{.wire_diameter_mm = 1.2,
                                 .extension_mm = 12,
                                 .melt_mm3_per_As = 1.2,
                                 .resistive_mm4_per_A2s = 1.7e-5,
                                 .line = {0.1, 35.8, 73, 97}};

}  // namespace

TEST_CASE("burn-off: a measured line and the law join without a step, rise throughout and can be turned round") {
  for (const BurnoffInput& in : {dip_4043, below_law}) {
    CAPTURE(in.line.slope_m_per_min_A);
    double last = 0;
    for (double current = in.line.zero_A + 0.01; current < 150; current += 0.01) {
      const double feed = steady_feed_m_per_min(in, current);
      CHECK(feed > last);
      CHECK(feed - last < 0.01 * 0.2);  // no jump: never more than 0.2 m/min an ampere
      CHECK(steady_current_A(in, feed) == doctest::Approx(current).epsilon(1e-9));
      last = feed;
    }
  }
}

TEST_CASE("burn-off: the line holds up to its end, the law from its own, and a wire without a line has the law") {
  // 0.138 (67 - 35.8) by hand
  CHECK(steady_feed_m_per_min(dip_4043, 67) == doctest::Approx(4.3056).epsilon(1e-12));
  CHECK(steady_feed_m_per_min(dip_4043, 30) == 0);
  for (const double current : {97.0, 120.0})
    CHECK(steady_feed_m_per_min(dip_4043, current) == wire_feed_m_per_min(dip_4043, current, current));
  for (const double current : {10.0, 73.0, 300.0})
    CHECK(steady_feed_m_per_min(steel, current) == wire_feed_m_per_min(steel, current, current));
}
