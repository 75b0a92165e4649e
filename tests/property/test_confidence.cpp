// The confident band against sampling of the model constants.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <string>
#include <tuple>
#include <vector>

#include "property/random_joint.hpp"
#include "seamwright/confidence.hpp"
#include "seamwright/input.hpp"
#include "seamwright/plan.hpp"

using namespace seamwright;
using seamwright::test::RandomJoints;

namespace {

constexpr int samples = 10'000;

// A standard normal number by Box and Muller: the library's distributions differ between implementations.
double normal(RandomJoints& random) {
  constexpr double smallest = 1e-12;
  return std::sqrt(-2 * std::log(random.uniform(smallest, 1))) * std::cos(2 * std::numbers::pi * random.uniform(0, 1));
}

using Key = std::tuple<C, F, bool>;
// Ends of a modulation band change their name with the limit that sets them; so do the two ways to fuse a root.
Key key_of(const Margin& m) {
  const bool fusion = m.id == C::root_fusion || m.id == C::wall_fusion || m.id == C::full_penetration;
  const bool band = (m.field == F::modulation_frequency || m.field == F::modulation_amplitude);
  return {fusion ? C::root_fusion : band ? C::modulation_usual : m.id, fusion ? F::penetration : m.field, m.upper};
}

// Share of samples of the constants in which each constraint is violated at a setting.
std::map<Key, double> violated_shares(const PassContext& c, const Setting& s, unsigned seed) {
  RandomJoints random(seed);
  const ConstantValues nominal = nominal_values(c.constants);
  std::map<Key, double> shares;
  for (int k = 0; k < samples; ++k) {
    ConstantValues x = nominal;
    for (std::size_t i = 0; i < x.size(); ++i)
      if (const double half = c.constants[i].half_width_90; half > 0)
        // No constant of the model can reach zero.
        x[i] = std::max(x[i] + half / 1.6448536 * normal(random), nominal[i] > 0 ? 0.02 * nominal[i] : -1e9);
    for (const Margin& m : setting_margins(c, x, s))
      if (m.score < 0) shares[key_of(m)] += 1.0 / samples;
  }
  return shares;
}

}  // namespace

TEST_CASE("normal quantiles") {
  CHECK(normal_quantile(0.5) == doctest::Approx(0.0));
  CHECK(normal_quantile(0.9) == doctest::Approx(1.2815516).epsilon(1e-7));
  CHECK(normal_quantile(0.95) == doctest::Approx(1.6448536).epsilon(1e-7));
  CHECK(normal_share(normal_quantile(0.77)) == doctest::Approx(0.77));
}

TEST_CASE("confident band: each constraint fails in no more than the stated share") {
  constexpr double beyond_second_order = 0.005;
  int bands = 0;
  for (const std::string& name :
       std::vector<std::string>{"cooling-riser", "hull-seam", "fuel-tank-lap", "locker-corner", "slipway-frame",
                                "keel-bracket", "exhaust-flange", "mast-step", "seawater-spool", "cradle-beam"}) {
    const Expected<Joint> joint = read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/" + name + ".toml", {});
    REQUIRE(static_cast<bool>(joint));
    PlanOptions options;
    options.suggestions = options.uncertainties = options.heat_report = options.detail_tables = options.box = false;
    const Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), options);
    REQUIRE(static_cast<bool>(plan));
    if (!plan->feasible) continue;
    const PassContext& c = plan->contexts.front();
    const PassResult& pass = plan->passes.front();
    for (const double confidence : {0.6, 0.8, 0.9}) {
      const ConfidentBand band = confident_band(c, pass.window, confidence);
      if (!band.exists) continue;
      ++bands;
      // Three standard deviations of a share of that many samples.
      const double noise = 3 * std::sqrt(confidence * (1 - confidence) / samples);
      for (const BandEnd* end : {&band.low, &band.high}) {
        Setting s = pass.window.band.best;
        s.wire_feed_m_per_min = end->wire_feed_m_per_min;
        s.travel_mm_per_s = end->travel_mm_per_s;
        for (const auto& violated : violated_shares(c, s, 71)) {
          const auto& key = violated.first;
          const double share = violated.second;
          CAPTURE(name);
          CAPTURE(confidence);
          CAPTURE(constraint(std::get<0>(key)).key);
          CHECK(share <= 1 - confidence + noise + beyond_second_order);
        }
      }
      CHECK(band.low.wire_feed_m_per_min >= pass.window.band.low.wire_feed_m_per_min);
      CHECK(band.high.wire_feed_m_per_min <= pass.window.band.high.wire_feed_m_per_min);
    }
  }
  CHECK(bands >= 5);
}

TEST_CASE("a surer band lies inside a less sure one") {
  const Expected<Joint> joint = read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/cooling-riser.toml", {});
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

TEST_CASE("the confidence stated at the recommended point is the one sampling finds") {
  int compared = 0;
  for (const std::string& name :
       std::vector<std::string>{"cooling-riser", "deck-beam-overhead", "exhaust-flange", "fuel-tank-lap",
                                "heat-exchanger-shell", "hull-seam", "keel-bracket", "locker-corner", "mast-step",
                                "seawater-spool", "shaft-bracket", "slipway-frame", "vent-hood"}) {
    CAPTURE(name);
    const Expected<Joint> joint = read_joint(std::string(SEAMWRIGHT_EXAMPLE_DIR) + "/" + name + ".toml", {});
    REQUIRE(static_cast<bool>(joint));
    const Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), {});
    if (!plan->feasible) continue;
    const PassResult& pass = plan->passes.front();
    REQUIRE(pass.confident.has_value());
    const auto shares = violated_shares(plan->contexts.front(), pass.window.band.best, 5);
    const auto found = shares.find(key_of(pass.confident->weakest));
    const double violated = found == shares.end() ? 0 : found->second;
    CHECK(std::abs(1 - violated - pass.confident->held) < 0.05);
    ++compared;
  }
  CHECK(compared >= 8);
}
