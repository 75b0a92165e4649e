#include "seamwright/window.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>

#include "plan/operating_point.hpp"
#include "seamwright/pulse.hpp"

namespace seamwright {
namespace {

constexpr int scan_points = 40;    // along a line, log-spaced
constexpr int deposit_lines = 13;  // across the window, log-spaced
constexpr int root_bits = 36;      // about 1e-11 relative

// Constraints on the deposit section do not change along a line of constant deposit: they decide whether the line is
// allowed, not where on it the best point lies.
bool constant_on_line(const Line& line, C id) {
  return line.deposit_mm2 > 0 && (id == C::deposit_needed || id == C::deposit_position);
}

// The worst constraint at a feed on a line, the ones that are constant along the line left out.
Margin worst_on_line(const PassContext& c, const ConstantValues& x, const Line& line, double feed) {
  const MarginList list = margins(c, x, evaluate(c, x, on_line(c, x, line, feed)));
  Margin worst;
  worst.score = std::numeric_limits<double>::infinity();
  for (const Margin& m : list)
    if (m.score < worst.score && !constant_on_line(line, m.id)) worst = m;
  return worst;
}

// Range of feeds worth searching: what the wire can do, a little beyond each end so that the limits themselves end the
// band.
Interval feed_range(const PassContext& c) {
  double low = 0.3, high = 40.0;
  for (const FieldLimit& limit : c.limits) {
    if (limit.field != F::wire_feed || limit.id == C::user_limit) continue;
    if (std::isfinite(limit.low)) low = std::max(low, 0.9 * limit.low);
    if (std::isfinite(limit.high)) high = std::min(high, 1.1 * limit.high);
  }
  return {low, std::max(high, 1.01 * low)};
}

// The feed between a feasible and an infeasible one where the worst score passes through zero.
double band_end(const PassContext& c, const ConstantValues& x, const Line& line, double feasible, double infeasible) {
  const auto score = [&](double feed) { return worst_on_line(c, x, line, feed).score; };
  const double score_in = score(feasible);
  const double score_out = score(infeasible);
  if (score_in <= 0) return feasible;
  std::uintmax_t iterations = 80;
  const auto tolerance = boost::math::tools::eps_tolerance<double>(root_bits);
  const bool in_is_low = feasible < infeasible;
  const auto bracket =
      in_is_low
          ? boost::math::tools::toms748_solve(score, feasible, infeasible, score_in, score_out, tolerance, iterations)
          : boost::math::tools::toms748_solve(score, infeasible, feasible, score_out, score_in, tolerance, iterations);
  // The feasible side of the bracket, so that the printed end satisfies every constraint.
  return in_is_low ? bracket.first : bracket.second;
}

BandEnd end_at(const PassContext& c, const ConstantValues& x, const Line& line, double feed) {
  const Setting s = on_line(c, x, line, feed);
  return {feed, s.travel_mm_per_s, worst_on_line(c, x, line, feed)};
}

bool line_allowed(const PassContext& c, const ConstantValues& x, const Line& line, double feed) {
  for (const Margin& m : margins(c, x, evaluate(c, x, on_line(c, x, line, feed))))
    if (constant_on_line(line, m.id) && m.score < 0) return false;
  return true;
}

// Deposit sections to try: from what the joint needs to the most the position or the quality level lets stand.
Interval deposit_range(const PassContext& c) {
  double high = c.position_max_mm2;
  if (c.excess_fillet_max_mm2 > 0) high = std::min(high, c.excess_fillet_max_mm2);
  const double low = c.needed_mm2 > 0 ? c.needed_mm2 : 0.5 * c.nominal_mm2;
  return {low, std::max(low, high)};
}

}  // namespace

double travel_for_deposit(const PassContext& c, const ConstantValues& x, double feed, double deposit_mm2) {
  return x[static_cast<std::size_t>(K::deposition)] * wire_section_mm2(c.wire_diameter_mm) * feed *
         mm_per_s_per_m_per_min / deposit_mm2;
}

Setting on_line(const PassContext& c, const ConstantValues& x, const Line& line, double feed) {
  Setting s;
  s.wire_feed_m_per_min = feed;
  s.travel_mm_per_s = line.deposit_mm2 > 0 ? travel_for_deposit(c, x, feed, line.deposit_mm2) : line.travel_mm_per_s;
  return s;
}

Band solve_band(const PassContext& c, const ConstantValues& x, const Line& line) {
  const Interval range = feed_range(c);
  const double step = std::log(range.high / range.low) / (scan_points - 1);
  std::array<double, scan_points> feed{};
  std::array<double, scan_points> score{};
  int best = 0;
  for (int i = 0; i < scan_points; ++i) {
    const auto k = static_cast<std::size_t>(i);
    feed[k] = range.low * std::exp(step * i);
    score[k] = worst_on_line(c, x, line, feed[k]).score;
    if (score[k] > score[static_cast<std::size_t>(best)]) best = i;
  }
  const auto node = [&](int i) { return feed[static_cast<std::size_t>(std::clamp(i, 0, scan_points - 1))]; };
  const auto refined = boost::math::tools::brent_find_minima(
      [&](double w) { return -worst_on_line(c, x, line, w).score; }, node(best - 1), node(best + 1), 30);
  Band band;
  const bool improved = -refined.second > score[static_cast<std::size_t>(best)];
  const double best_feed = improved ? refined.first : node(best);
  band.best_score = improved ? -refined.second : score[static_cast<std::size_t>(best)];
  band.best = on_line(c, x, line, best_feed);
  band.feasible = band.best_score >= 0 && line_allowed(c, x, line, best_feed);
  if (!band.feasible) return band;

  // Outwards from the best point to the first node that fails.
  double low = best_feed, high = best_feed;
  int i = best;
  while (i >= 0 && (node(i) >= best_feed || score[static_cast<std::size_t>(i)] >= 0)) {
    low = std::min(low, node(i));
    --i;
  }
  if (i >= 0) low = band_end(c, x, line, low, node(i));
  i = best;
  while (i < scan_points && (node(i) <= best_feed || score[static_cast<std::size_t>(i)] >= 0)) {
    high = std::max(high, node(i));
    ++i;
  }
  if (i < scan_points) high = band_end(c, x, line, high, node(i));
  band.low = end_at(c, x, line, low);
  band.high = end_at(c, x, line, high);
  return band;
}

Window solve_window(const PassContext& c, double fixed_travel_mm_per_s, WindowDetail detail) {
  const ConstantValues x = nominal_values(c.constants);
  Window window;
  window.line = fixed_travel_mm_per_s > 0 ? Line{0, fixed_travel_mm_per_s} : Line{c.nominal_mm2, 0};
  window.band = solve_band(c, x, window.line);
  const bool travel_is_free = fixed_travel_mm_per_s <= 0;
  if (window.band.feasible && (detail == WindowDetail::band || !travel_is_free)) {
    if (detail == WindowDetail::full)
      window.extent = WindowExtent{{window.band.low.wire_feed_m_per_min, window.band.high.wire_feed_m_per_min},
                                   {fixed_travel_mm_per_s, fixed_travel_mm_per_s},
                                   {}};
    return window;
  }
  if (!travel_is_free) return window;

  const Interval range = deposit_range(c);
  const double step = std::log(range.high / range.low) / (deposit_lines - 1);
  WindowExtent extent{{1e9, -1e9}, {1e9, -1e9}, {1e9, -1e9}};
  const auto widen = [](Interval& interval, double value) {
    interval.low = std::min(interval.low, value);
    interval.high = std::max(interval.high, value);
  };
  const auto include = [&](const Band& band, double deposit) {
    for (const BandEnd* end : {&band.low, &band.high}) {
      widen(extent.wire_feed_m_per_min, end->wire_feed_m_per_min);
      widen(extent.travel_mm_per_s, end->travel_mm_per_s);
    }
    widen(extent.deposit_mm2, deposit);
  };
  Window moved = window;
  moved.band.best_score = window.band.best_score;
  bool any = window.band.feasible;
  if (any) include(window.band, window.line.deposit_mm2);
  for (int i = 0; i < deposit_lines && step > 0; ++i) {
    const double deposit = range.low * std::exp(step * i);
    const Band band = solve_band(c, x, {deposit, 0});
    if (band.feasible) {
      any = true;
      include(band, deposit);
    }
    // Only a deposit above the nominal may replace it: the joint must be filled with its allowance.
    const bool better = band.feasible > moved.band.feasible ||
                        (band.feasible == moved.band.feasible && band.best_score > moved.band.best_score);
    if (!window.band.feasible && deposit >= c.nominal_mm2 && better) {
      moved.band = band;
      moved.line = {deposit, 0};
      moved.line_moved = true;
    }
  }
  if (!window.band.feasible) {
    // A conflict is reported at the nominal deposit unless a window opened elsewhere.
    if (moved.band.feasible) window = moved;
  }
  if (any && detail == WindowDetail::full) window.extent = extent;
  return window;
}

Interval pulse_feed_window(const PassContext& c, const ConstantValues& x) {
  PassContext plain = c;
  plain.mode = Mode::pulse;
  plain.limits.clear();
  const auto worst = [&](double feed) {
    Setting s;
    s.wire_feed_m_per_min = feed;
    s.travel_mm_per_s = 10.0;
    double least = std::numeric_limits<double>::infinity();
    for (const Margin& m : margins(plain, x, evaluate(plain, x, s)))
      if (m.id == C::pulse_base_current || m.id == C::pulse_base_time || m.id == C::pulse_frequency_min ||
          m.id == C::pulse_frequency_max || m.id == C::pulse_duty)
        least = std::min(least, m.score);
    return least;
  };
  constexpr int points = 60;
  constexpr double lowest = 0.4, highest = 40.0;
  const double step = std::log(highest / lowest) / (points - 1);
  double first = 0, last = 0, previous = 0, previous_score = -1;
  const auto root = [&](double a, double b) {
    std::uintmax_t iterations = 80;
    const auto r = boost::math::tools::toms748_solve(worst, a, b, boost::math::tools::eps_tolerance<double>(root_bits),
                                                     iterations);
    return 0.5 * (r.first + r.second);
  };
  for (int i = 0; i < points; ++i) {
    const double feed = lowest * std::exp(step * i);
    const double s = worst(feed);
    if (s >= 0 && first == 0) first = i > 0 && previous_score < 0 ? root(previous, feed) : feed;
    if (s >= 0) last = feed;
    if (s < 0 && previous_score >= 0) {
      last = root(previous, feed);
      break;
    }
    previous = feed;
    previous_score = s;
  }
  if (first == 0) return {1.0, 0.0};
  return {first, last};
}

double burn_through_feed_m_per_min(const PassContext& c, const ConstantValues& x, double travel, double from_feed) {
  if (!std::isfinite(c.back_width_max_mm)) return std::numeric_limits<double>::infinity();
  const auto room = [&](double feed) { return c.back_width_max_mm - back_width_mm(c, x, feed, travel); };
  const double highest = 3.0 * from_feed;
  const double at_from = room(from_feed);
  const double at_highest = room(highest);
  if (at_from <= 0) return from_feed;
  if (at_highest >= 0) return std::numeric_limits<double>::infinity();
  std::uintmax_t iterations = 60;
  return boost::math::tools::toms748_solve(room, from_feed, highest, at_from, at_highest,
                                           boost::math::tools::eps_tolerance<double>(root_bits), iterations)
      .first;
}

Influences influences(const PassContext& c, const Setting& s) {
  Influences result;
  const ConstantValues nominal = nominal_values(c.constants);
  const FieldValues centre = evaluate(c, nominal, s);
  for (std::size_t k = 0; k < model_constant_count; ++k) {
    const double half = c.constants[k].half_width_90;
    // An exact constant is moved a little to see what hangs on it.
    constexpr double probe = 1e-4;
    const double step = half > 0 ? half : probe * std::abs(nominal[k]);
    ConstantValues up = nominal, down = nominal;
    up[k] += step;
    down[k] -= step;
    const FieldValues high = evaluate(c, up, s);
    const FieldValues low = evaluate(c, down, s);
    for (std::size_t i = 0; i < field_count; ++i) {
      const double half_change = 0.5 * (high.value[i] - low.value[i]);
      const bool known = applies(half_change);
      result.half_change[k].value[i] = known && half > 0 ? half_change : 0.0;
      result.depends[k][i] = known && (high.value[i] != centre.value[i] || low.value[i] != centre.value[i]);
    }
  }
  return result;
}

FieldValues uncertainty(const Influences& influences) {
  FieldValues sum;
  sum.value.fill(0.0);
  for (const FieldValues& change : influences.half_change)
    for (std::size_t i = 0; i < field_count; ++i) sum.value[i] += change.value[i] * change.value[i];
  for (double& value : sum.value) value = std::sqrt(value);
  return sum;
}

}  // namespace seamwright
