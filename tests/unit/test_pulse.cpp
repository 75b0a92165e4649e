#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "seamwright/constant.hpp"
#include "seamwright/pulse.hpp"

using namespace seamwright;

namespace {

constexpr BurnoffInput steel{
    .wire_diameter_mm = 1.2, .extension_mm = 15, .melt_mm3_per_As = 0.33, .resistive_mm4_per_A2s = 6.2e-5};
constexpr BurnoffInput aluminium{
    .wire_diameter_mm = 1.2, .extension_mm = 15, .melt_mm3_per_As = 1.10, .resistive_mm4_per_A2s = 1.7e-5};
constexpr PulseShapeRules rules{.peak_share = 0.78,
                                .drop_ratio = 1,
                                .drop_ratio_min = 0.85,
                                .drop_ratio_max = 1.25,
                                .peak_time_min_ms = 1,
                                .peak_time_max_ms = 4};

double drop_mm3(double diameter_mm) { return std::numbers::pi / 6 * std::pow(diameter_mm, 3); }

}  // namespace

TEST_CASE("pulse: what the pulse melts is what is fed, and each pulse takes one drop") {
  for (const BurnoffInput& wire : {steel, aluminium})
    for (double feed = 1; feed < 13; feed += 0.25) {
      const PulseShape shape = pulse_shape(wire, &wire == &steel ? 450 : 300, rules);
      const PulseSet set = pulse_set(wire, shape, feed);
      if (set.base_current_A < 0) continue;
      CAPTURE(feed);
      CHECK(wire_feed_m_per_min(wire, set.mean_current_A, set.rms_current_A) == doctest::Approx(feed).epsilon(1e-12));
      CHECK(set.frequency_Hz * drop_mm3(1.2 * shape.drop_ratio) ==
            doctest::Approx(wire_section_mm2(1.2) * feed * mm_per_s_per_m_per_min).epsilon(1e-12));
      CHECK(shape.peak_time_ms + set.base_time_ms == doctest::Approx(1000 / set.frequency_Hz).epsilon(1e-12));
      CHECK(set.duty == doctest::Approx(shape.peak_time_ms * set.frequency_Hz / 1000).epsilon(1e-12));
      CHECK(set.rms_current_A >= set.mean_current_A);
    }
}

TEST_CASE("pulse: base current rises with the feed, and passes zero without a jump") {
  double last = -1e9;
  const PulseShape shape = pulse_shape_fixed_time(450, 2.6, 1);  // melts more than a drop: the base is asked to cool
  for (double feed = 0.2; feed < 12; feed += 0.05) {
    const PulseSet set = pulse_set(steel, pulse_shape_fixed_time(450, 2.2, 1), feed);
    CHECK(set.base_current_A > last);
    last = set.base_current_A;
    CHECK(std::isfinite(pulse_set(steel, shape, feed).base_current_A));
  }
}

TEST_CASE("pulse: a peak that just melts its drop leaves nothing to the base") {
  PulseShapeRules whole = rules;
  whole.peak_share = 1;
  const PulseShape shape = pulse_shape(steel, 450, whole);
  CHECK(pulse_set(steel, shape, 4).base_current_A == doctest::Approx(0).epsilon(1e-9));
}

TEST_CASE("pulse: peaks that fill the period give the steady current") {
  const PulseShape shape = pulse_shape(steel, 450, rules);
  const double full = 1000 / shape.peak_time_ms * drop_mm3(1.2) / wire_section_mm2(1.2) / mm_per_s_per_m_per_min;
  const PulseSet set = pulse_set(steel, shape, 1.01 * full);
  CHECK(set.base_time_ms < 0);
  CHECK(set.mean_current_A == doctest::Approx(steady_current_A(steel, 1.01 * full)));
  CHECK(set.rms_current_A == set.mean_current_A);
}

TEST_CASE("pulse: the drop moves only to bring the peak time in, and no further than allowed") {
  for (const double diameter : {0.6, 0.8, 1.0, 1.2, 1.6, 2.0, 2.4})
    for (double peak = 150; peak < 600; peak += 10) {
      BurnoffInput wire = steel;
      wire.wire_diameter_mm = diameter;
      wire.extension_mm = 15 * diameter;
      const PulseShape shape = pulse_shape(wire, peak, rules);
      CAPTURE(diameter);
      CAPTURE(peak);
      CHECK(shape.drop_ratio >= rules.drop_ratio_min);
      CHECK(shape.drop_ratio <= rules.drop_ratio_max);
      const double melted = wire_feed_m_per_min(wire, peak, peak) * mm_per_s_per_m_per_min *
                            wire_section_mm2(diameter) * shape.peak_time_ms / 1000;
      CHECK(melted == doctest::Approx(0.78 * drop_mm3(diameter * shape.drop_ratio)).epsilon(1e-12));
      if (shape.drop_ratio == 1.0) {
        CHECK(shape.peak_time_ms >= 1);
        CHECK(shape.peak_time_ms <= 4);
      } else if (shape.drop_ratio > rules.drop_ratio_min && shape.drop_ratio < rules.drop_ratio_max) {
        const double end = shape.drop_ratio > 1 ? 1.0 : 4.0;
        CHECK(shape.peak_time_ms == doctest::Approx(end).epsilon(1e-12));
      }
    }
}

TEST_CASE("pulse: power is the time mean of voltage by current") {
  for (double duty = 0; duty <= 1; duty += 0.05) {
    const double mean_of_products = duty * 450 * 32 + (1 - duty) * 50 * 22;
    CHECK(pulse_power_W(450, 50, 32, 22, duty) == doctest::Approx(mean_of_products).epsilon(1e-12));
  }
}

TEST_CASE("pulse: the trim window ends where the drop criterion does") {
  for (const double window : {0.01, 0.15, 0.5}) {
    const TrimWindow trim = peak_trim_window(window);
    CHECK(drops_per_pulse(trim.low) == doctest::Approx(1 - window));
    CHECK(drops_per_pulse(trim.high) == doctest::Approx(1 + window));
  }
  CHECK(peak_trim_window(0).low == 0);
}
