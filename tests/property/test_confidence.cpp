// Probabilities and the confident band against sampling of the model constants.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "property/random_joint.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/confidence.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"
#include "window/margins.hpp"

using namespace seamwright;
using seamwright::test::RandomJoints;

namespace {

// A standard normal number by Box and Muller: the library's distributions differ between implementations.
double normal(RandomJoints& random) {
  constexpr double smallest = 1e-12;
  return std::sqrt(-2 * std::log(random.uniform(smallest, 1))) * std::cos(2 * std::numbers::pi * random.uniform(0, 1));
}

constexpr double sigmas_of_90 = 1.6448536269514722;

// Share of samples of the constants, and of the feed as it is really set, in which each constraint holds.
std::vector<double> held_shares(const PassContext& c, const Setting& s, const MarginList& wanted, int samples,
                                RandomJoints& random) {
  const ConstantValues nominal = nominal_values(c.constants);
  std::vector<double> shares(wanted.size);
  for (int k = 0; k < samples; ++k) {
    ConstantValues x = nominal;
    for (std::size_t i = 0; i < x.size(); ++i)
      if (const double half = c.constants[i].half_width_90; half > 0)
        // No constant of the model can reach zero.
        x[i] = std::max(x[i] + half / sigmas_of_90 * normal(random), nominal[i] > 0 ? 0.02 * nominal[i] : -1e9);
    Setting real = s;
    const double off = 1 + c.aim.feed_setting_share / sigmas_of_90 * normal(random);
    real.wire_feed_m_per_min *= off;
    if (c.aim.travel_follows_feed) real.travel_mm_per_s *= off;
    const MarginList list = point_margins(c, x, real);
    for (std::size_t i = 0; i < wanted.size; ++i)
      for (const Margin& m : list)
        if (same_slot(m, wanted.items[i])) {
          shares[i] += m.distance >= 0 ? 1.0 : 0.0;
          break;
        }
  }
  for (double& share : shares) share /= samples;
  return shares;
}

}  // namespace

TEST_CASE("normal quantiles") {
  CHECK(normal_quantile(0.5) == doctest::Approx(0.0));
  CHECK(normal_quantile(0.9) == doctest::Approx(1.2815516).epsilon(1e-7));
  CHECK(normal_quantile(0.95) == doctest::Approx(1.6448536).epsilon(1e-7));
  CHECK(normal_share(normal_quantile(0.77)) == doctest::Approx(0.77));
}

TEST_CASE("the probability of every constraint is the one that sampling finds, on 200 random passes") {
  constexpr int passes = 200, samples = 1500;
  RandomJoints joints(71), random(5);
  PlanOptions options;
  options.suggestions = options.uncertainties = options.heat_report = options.detail_tables = options.box = false;
  const std::array modes{Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse};
  int compared = 0, close = 0, checked = 0, beyond = 0;
  double worst = 0;
  for (int n = 0; n < 3 * passes && checked < passes; ++n) {
    const Expected<Plan> plan = make_plan(joints.next(joints.one_of(modes)), nullptr, builtin_catalog(), options);
    if (!plan || !plan->feasible) continue;
    PassContext c = plan->contexts.front();
    const Setting s = plan->passes.front().window.band.best;
    work_out_spreads(c, s, c.aim.feed_setting_share);
    const MarginList nominal = point_margins(c, nominal_values(c.constants), s);
    const std::vector<double> held = held_shares(c, s, nominal, samples, random);
    ++checked;
    for (std::size_t i = 0; i < nominal.size; ++i) {
      const Margin& m = nominal.items[i];
      // Limits with an easy end of their own are no matter of chance: where they give out is a range of practice.
      if (c.ends[static_cast<std::size_t>(m.id)].easy_apart) continue;
      // Far beyond the width at which burn-through refuses a plan the skin of the pool has no say.
      if (m.id == C::melt_support && m.distance > 40) continue;
      const double stated = probability_of(m.surety), off = std::abs(stated - held[i]);
      ++compared;
      close += off <= 0.04 ? 1 : 0;
      if (off > worst) worst = off;
      CAPTURE(constraint(m.id).key);
      CAPTURE(n);
      CAPTURE(stated);
      CAPTURE(held[i]);
      // What sampling itself is uncertain by, three standard deviations, comes on top.
      const double noise = 3 * std::sqrt(held[i] * (1 - held[i]) / samples);
      beyond += off > 0.08 + noise ? 1 : 0;
      CHECK(off <= 0.12 + noise);
    }
  }
  CAPTURE(worst);
  CHECK(checked == passes);
  CHECK(close >= 0.95 * compared);
  // The depth of fusion bends most: two in a thousand lie a little outside.
  CHECK(beyond <= compared / 500);
}

TEST_CASE("a surer band lies inside a less sure one") {
  const Expected<Joint> joint =
      read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/cooling-riser.toml", {}, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  const Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), {});
  REQUIRE(plan->feasible);
  double low = 0, high = 1e9;
  for (const double confidence : {0.55, 0.6, 0.7, 0.8}) {
    const ConfidentBand band = confident_band(plan->contexts.front(), plan->passes.front().window, confidence);
    if (!band.exists) break;
    CHECK(band.low.wire_feed_m_per_min >= low - 1e-3);
    CHECK(band.high.wire_feed_m_per_min <= high + 1e-3);
    low = band.low.wire_feed_m_per_min;
    high = band.high.wire_feed_m_per_min;
  }
}
