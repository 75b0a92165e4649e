// Relations that must hold whatever the constants are: 2,000 random joints each, fixed seeds.
#include <doctest/doctest.h>

#include <cmath>

#include "property/random_joint.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/window.hpp"
#include "settle/resolve.hpp"
#include "window/pass_context.hpp"

using namespace seamwright;
using namespace seamwright::test;

namespace {

constexpr int trials = 2000;
constexpr std::array<Mode, 4> all_modes{Mode::short_arc, Mode::spray, Mode::pulse, Mode::double_pulse};

std::optional<PassContext> first_pass(const Joint& joint) {
  Expected<Case> c = resolve_joint(joint, nullptr, builtin_catalog());
  REQUIRE(static_cast<bool>(c));
  if (settle_mode(*c, *joint.mode, *joint.wire_diameter_mm)) return std::nullopt;
  return pass_contexts(*c).front();
}

double value(const ConstantValues& x, K id) { return x[static_cast<std::size_t>(id)]; }

// Runs `check(random, joint, context, constants)` on random joints until it has counted `trials` of them. A check
// that returns false has found nothing to compare on that joint; at most twenty tries are spent on each counted one.
template <std::size_t N, class Check>
void on_random_joints(unsigned seed, const std::array<Mode, N>& modes, Check check) {
  RandomJoints random(seed);
  int counted = 0;
  for (int tried = 0; counted < trials; ++tried) {
    REQUIRE(tried < 20 * trials);
    const Joint joint = random.next(random.one_of(modes));
    const auto context = first_pass(joint);
    if (context && check(random, joint, *context, nominal_values(context->constants))) ++counted;
  }
}

Setting setting(double feed, double travel) {
  Setting s;
  s.wire_feed_m_per_min = feed;
  s.travel_mm_per_s = travel;
  return s;
}

}  // namespace

TEST_CASE("more feed, more current") {
  on_random_joints(1, all_modes, [](RandomJoints& random, const Joint&, const PassContext& c, const ConstantValues& x) {
    const double feed = random.uniform(2.0, 12.0);
    const double travel = random.uniform(3.0, 12.0);
    CHECK(evaluate(c, x, setting(1.02 * feed, travel))[F::current] > evaluate(c, x, setting(feed, travel))[F::current]);
    return true;
  });
}

TEST_CASE("twice the travel, half the heat input") {
  on_random_joints(2, all_modes, [](RandomJoints& random, const Joint&, const PassContext& c, const ConstantValues& x) {
    const double feed = random.uniform(2.0, 12.0);
    const double travel = random.uniform(2.0, 8.0);
    const double slow = evaluate(c, x, setting(feed, travel))[F::heat_input];
    const double fast = evaluate(c, x, setting(feed, 2 * travel))[F::heat_input];
    CHECK(fast == doctest::Approx(0.5 * slow).epsilon(1e-12));
    return true;
  });
}

TEST_CASE("the pulse's means melt the feed") {
  on_random_joints(
      3, std::array{Mode::pulse},
      [](RandomJoints& random, const Joint&, const PassContext& c, const ConstantValues& x) {
        const double feed = random.uniform(2.0, 12.0);
        const FieldValues f = evaluate(c, x, setting(feed, 6.0));
        const BurnoffInput law{c.wire.diameter_mm, c.wire.extension_mm, value(x, K::melt), value(x, K::resistive)};
        // The factor for the ramps stands on top of the rectangle that melts the feed.
        const double ramps = value(x, K::pulse_mean);
        CHECK(wire_feed_m_per_min(law, f[F::current] / ramps, f[F::current_rms] / ramps) ==
              doctest::Approx(feed).epsilon(1e-9));
        // One drop a pulse: the drops carry the wire.
        const double drop_mm3 = std::numbers::pi / 6.0 * std::pow(f[F::drop_diameter], 3);
        CHECK(f[F::pulse_frequency] * drop_mm3 ==
              doctest::Approx(wire_section_mm2(c.wire.diameter_mm) * feed * mm_per_s_per_m_per_min).epsilon(1e-9));
        return true;
      });
}

TEST_CASE("double pulse: the mean of the phases is the mean") {
  on_random_joints(
      4, std::array{Mode::double_pulse},
      [](RandomJoints& random, const Joint&, const PassContext& c, const ConstantValues& x) {
        const double feed = random.uniform(3.0, 10.0);
        const FieldValues f = evaluate(c, x, setting(feed, 6.0));
        const double share = c.modulation.share;
        CHECK(share * f[F::wire_feed_high] + (1 - share) * f[F::wire_feed_low] == doctest::Approx(feed).epsilon(1e-12));
        CHECK(f[F::wire_feed_high] >= f[F::wire_feed_low]);
        return true;
      });
}

TEST_CASE("thicker plate never lowers the least feed for fusion at fixed travel") {
  on_random_joints(
      5, all_modes, [](RandomJoints& random, const Joint& joint, const PassContext& c, const ConstantValues&) {
        Joint thicker = joint;
        thicker.thickness_mm = given(*joint.thickness_mm * random.uniform(1.02, 1.4));
        const auto thick = first_pass(thicker);
        if (!thick) return false;
        const double travel = random.uniform(4.0, 12.0);
        const auto least_feed = [&](PassContext pass) {
          pass.ignored_constraints =
              ~((1ULL << static_cast<unsigned>(C::root_fusion)) | (1ULL << static_cast<unsigned>(C::full_penetration)));
          pass.limits.clear();
          pass.mode = pass.mode == Mode::double_pulse ? Mode::pulse : pass.mode;
          const ConstantValues x = nominal_values(pass.constants);
          double low = 0.5, high = 60.0;
          const auto fused = [&](double feed) {
            return margins(pass, x, evaluate(pass, x, setting(feed, travel))).worst().score >= 0;
          };
          if (!fused(high)) return 60.0;
          for (int i = 0; i < 40; ++i) {
            const double middle = std::sqrt(low * high);
            (fused(middle) ? high : low) = middle;
          }
          return high;
        };
        // The field's table is good to a per cent, so that much is allowed for.
        CHECK(least_feed(*thick) >= 0.99 * least_feed(c));
        return true;
      });
}

TEST_CASE("band ends move continuously with thickness") {
  on_random_joints(6, all_modes, [](RandomJoints&, const Joint& joint, const PassContext& c, const ConstantValues& x) {
    const Band band = solve_band(c, x, {c.deposit.nominal_mm2, 0});
    // A band on the point of closing may open or close with any small change: that is no jump.
    if (!band.feasible || band.best_score < 0.1) return false;
    Joint thicker = joint;
    thicker.thickness_mm = given(*joint.thickness_mm * 1.001);
    const auto thick = first_pass(thicker);
    REQUIRE(thick);
    const Band moved = solve_band(*thick, nominal_values(thick->constants), {thick->deposit.nominal_mm2, 0});
    REQUIRE(moved.feasible);
    CHECK(moved.low.wire_feed_m_per_min == doctest::Approx(band.low.wire_feed_m_per_min).epsilon(0.03));
    CHECK(moved.high.wire_feed_m_per_min == doctest::Approx(band.high.wire_feed_m_per_min).epsilon(0.03));
    return true;
  });
}
