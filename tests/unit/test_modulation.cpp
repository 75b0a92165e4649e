#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <limits>
#include <numbers>

#include "seamwright/modulation.hpp"

using namespace seamwright;

namespace {

ModulationInput aluminium() {
  ModulationInput in;
  in.burnoff = {.wire_diameter_mm = 1.2, .extension_mm = 15, .melt_mm3_per_As = 1.10, .resistive_mm4_per_A2s = 1.7e-5};
  in.shape = pulse_shape_fixed_time(270, 1.9, 1);
  in.wire_feed_m_per_min = 8;
  in.travel_mm_per_s = 10;
  in.pool_length_mm = 22;
  in.bead_width_mm = 9;
  in.pool_depth_mm = 3;
  in.diffusivity_mm2_per_s = 48;
  in.pulse_feed_min_m_per_min = 3.4;
  in.pulse_feed_max_m_per_min = 12.9;
  in.burn_through_feed_m_per_min = std::numeric_limits<double>::infinity();
  in.source_frequency_min_Hz = 0.4;
  in.source_frequency_max_Hz = 8;
  in.source_amplitude_min_m_per_min = 0.1;
  in.source_amplitude_max_m_per_min = 3;
  return in;
}

}  // namespace

TEST_CASE("modulation: what is left agrees with the complex root, and falls with frequency and distance") {
  for (const double distance : {0.3, 1.3, 4.0})
    for (const double travel : {0.0, 3.0, 7.0, 25.0})
      for (const double diffusivity : {5.5, 48.0}) {
        double last = 1;
        for (double frequency = 0.1; frequency < 50; frequency *= 1.6) {
          const double p = travel / (2 * diffusivity);
          const std::complex<double> root =
              std::sqrt(std::complex<double>(p * p, 2 * std::numbers::pi * frequency / diffusivity));
          const double left = modulation_left(distance, frequency, travel, diffusivity);
          CHECK(left == doctest::Approx(std::exp(-distance * (root.real() - p))).epsilon(1e-9));
          CHECK(left < last);
          last = left;
        }
      }
  CHECK(modulation_left(2, 0, 7, 6) == 1);
  CHECK(modulation_left(0, 5, 7, 6) == 1);
}

TEST_CASE("modulation: the highest frequency leaves just what is asked for") {
  for (const double distance : {0.3, 1.3, 4.0})
    for (const double travel : {0.0, 7.0, 25.0})
      for (const double left : {0.05, 0.1, 0.5, 0.9, 0.999}) {
        const double frequency = highest_frequency_Hz(distance, left, travel, 5.8);
        if (frequency < 1000) CHECK(modulation_left(distance, frequency, travel, 5.8) == doctest::Approx(left));
      }
  CHECK(highest_frequency_Hz(0, 0.1, 7, 5.8) == 1000);
  CHECK(highest_frequency_Hz(1e-6, 0.1, 7, 5.8) == 1000);
  CHECK(highest_frequency_Hz(2, 1, 7, 5.8) == 0);
}

TEST_CASE("modulation: the mean feed is kept at any share of the high phase") {
  for (const double share : {0.2, 0.35, 0.5, 0.65}) {
    ModulationInput in = aluminium();
    in.share_high = share;
    const Modulation m = solve_modulation(in);
    CAPTURE(share);
    CHECK(share * m.wire_feed_high_m_per_min + (1 - share) * m.wire_feed_low_m_per_min == doctest::Approx(8));
    CHECK(m.wire_feed_high_m_per_min - 8 == doctest::Approx(m.amplitude_m_per_min));
    CHECK(m.wire_feed_low_m_per_min >= in.pulse_feed_min_m_per_min - 1e-12);
    CHECK(m.wire_feed_high_m_per_min <= in.pulse_feed_max_m_per_min + 1e-12);
    CHECK(m.high.frequency_Hz > m.low.frequency_Hz);
  }
}

TEST_CASE("modulation: recommended values lie in their bands, and each end names its limit") {
  const Modulation m = solve_modulation(aluminium());
  CHECK(m.frequency_low_Hz == doctest::Approx(10 / 11.0));
  CHECK(m.frequency_low_end == C::modulation_remelting);
  CHECK(m.frequency_high_Hz == 8);
  CHECK(m.frequency_high_end == C::modulation_usual);
  CHECK(m.frequency_Hz == doctest::Approx(10 / 2.7));
  CHECK(m.ripple_pitch_mm * m.frequency_Hz == doctest::Approx(10));
  CHECK(m.amplitude_m_per_min == doctest::Approx(2.4));
  CHECK(m.amplitude_low_end == C::modulation_swing);
  CHECK(m.amplitude_low_m_per_min > 0.05 * 8);
  CHECK(m.amplitude_high_end == C::modulation_usual);

  // At the lower amplitude the swing of the current under the arc is the least allowed.
  ModulationInput in = aluminium();
  in.source_amplitude_max_m_per_min = m.amplitude_low_m_per_min;
  const Modulation least = solve_modulation(in);
  const double mean = pulse_set(in.burnoff, in.shape, 8).mean_current_A;
  const double swing = (least.high.mean_current_A - least.low.mean_current_A) / (2 * mean) * least.left_under_arc;
  CHECK(swing == doctest::Approx(0.05).epsilon(0.01));
}

TEST_CASE("modulation: the nearest limit ends the amplitude") {
  const auto high_end = [](double feed, double burn_through) {
    ModulationInput in = aluminium();
    in.source_amplitude_max_m_per_min = 10;
    in.wire_feed_m_per_min = feed;
    in.burn_through_feed_m_per_min = burn_through;
    return solve_modulation(in);
  };
  const double open = std::numeric_limits<double>::infinity();
  CHECK(high_end(5, open).amplitude_high_end == C::modulation_low_phase);
  CHECK(high_end(5, open).amplitude_high_m_per_min == doctest::Approx(1.6));
  CHECK(high_end(11, open).amplitude_high_end == C::modulation_high_phase);
  CHECK(high_end(11, open).amplitude_high_m_per_min == doctest::Approx(1.9));
  CHECK(high_end(8, 9).amplitude_high_end == C::modulation_burn_through);
  CHECK(high_end(8, 9).amplitude_high_m_per_min == doctest::Approx(1));
}

TEST_CASE("modulation: where nothing fits the bands are empty and every number is still finite") {
  ModulationInput in = aluminium();
  in.pool_length_mm = 0;
  in.bead_width_mm = 0;
  in.wire_feed_m_per_min = 3;  // below the pulse window
  in.pool_depth_mm = 200;
  const Modulation m = solve_modulation(in);
  CHECK(m.frequency_low_Hz > m.frequency_high_Hz);
  CHECK(m.amplitude_low_m_per_min > m.amplitude_high_m_per_min);
  CHECK(m.amplitude_m_per_min == 0);
  for (const double value : {m.frequency_low_Hz, m.frequency_high_Hz, m.frequency_Hz, m.amplitude_low_m_per_min,
                             m.amplitude_high_m_per_min, m.ripple_pitch_mm, m.left_under_arc, m.high.mean_current_A})
    CHECK(std::isfinite(value));
}
