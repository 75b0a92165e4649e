#include "seamwright/window.hpp"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>
#include <optional>

#include "seamwright/pulse.hpp"
#include "window/line_end.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"
#include "window/point.hpp"

namespace seamwright {
namespace {

constexpr int deposit_lines = 13;  // across the window, log-spaced
constexpr int root_bits = 24;      // about 1e-7 relative

double as_printed(F id, double value, int steps = 0) {
  const double scale = std::pow(10.0, field(id).decimals);
  return (std::round(value * scale) + steps) / scale;
}

// The nearest printed value that stays well inside the range, which hangs on settings that are rounded for print too;
// in a narrow one the middle.
constexpr double printed_room = 1.5;  // printed steps
double as_printed_inside(F id, double value, const Interval& range) {
  const double scale = std::pow(10.0, field(id).decimals);
  const double low = std::ceil(range.low * scale + printed_room), high = std::floor(range.high * scale - printed_room);
  return (low <= high ? std::clamp(std::round(value * scale), low, high)
                      : std::round(0.5 * (range.low + range.high) * scale)) /
         scale;
}

// A point so near to a limit that it no longer holds once it is rounded for print moves to the nearest printed setting
// that does. Where there is none nobody could set what holds, and there is no window.
void hold_as_printed(const PassContext& c, const ConstantValues& x, const Freedom& freedom, PointResult& point) {
  if (!point.holds) return;
  const auto at = [&](int feed_steps, int travel_steps) {
    Setting s = point.setting;
    if (freedom.feed_m_per_min <= 0)
      s.wire_feed_m_per_min = as_printed(F::wire_feed, s.wire_feed_m_per_min, feed_steps);
    if (freedom.travel_mm_per_s <= 0) s.travel_mm_per_s = as_printed(F::travel, s.travel_mm_per_s, travel_steps);
    return s;
  };
  const auto score = [&](const Setting& s) { return point_margins(c, x, s).worst().score; };
  const bool told_holds = score(at(0, 0)) >= 0;
  // The bands of a double pulse hang on the feed so closely that its point is always one that is printed.
  if (told_holds && c.mode != Mode::double_pulse) return;
  // A step of a slow travel is a large share of it: the feed goes along as far as keeps the deposit, and a little on.
  constexpr int travel_reach = 2, feed_reach = 4;
  const double feed = point.setting.wire_feed_m_per_min, travel = point.setting.travel_mm_per_s;
  double nearest = std::numeric_limits<double>::infinity();
  Setting best = at(0, 0);
  for (int j = -travel_reach; j <= travel_reach && !told_holds; ++j) {
    const double moved = at(0, j).travel_mm_per_s;
    if (!(moved > 0)) continue;
    const int keeping =
        static_cast<int>(std::lround(feed * (moved / travel - 1) * std::pow(10.0, field(F::wire_feed).decimals)));
    for (int i = std::min(0, keeping) - feed_reach; i <= std::max(0, keeping) + feed_reach; ++i) {
      const Setting s = at(i, j);
      if (!(s.wire_feed_m_per_min > 0)) continue;
      const double away = std::abs(std::log(s.wire_feed_m_per_min / feed)) + std::abs(std::log(moved / travel));
      if (away >= nearest || score(s) < 0) continue;
      nearest = away;
      best = s;
    }
  }
  const MarginList list = point_margins(c, x, best);
  point.setting = best;
  point.deposit_mm2 = travel_for_deposit(c, x, best.wire_feed_m_per_min, 1.0) / best.travel_mm_per_s;
  point.score = list.worst().score;
  point.surety = list.least_sure().surety;
  point.holds = point.score >= 0;
}

Band band_at(const PassContext& c, const ConstantValues& x, const Line& line, const PointResult& point) {
  Band band;
  band.feasible = point.holds;
  band.best = point.setting;
  band.best_score = point.score;
  band.best_surety = point.surety;
  if (!band.feasible) return band;
  const auto score = [&](double feed) { return point_margins(c, x, on_line(c, x, line, feed)).worst(); };
  band.low = line_end(c, x, line, band.best.wire_feed_m_per_min, -1, score);
  band.high = line_end(c, x, line, band.best.wire_feed_m_per_min, 1, score);
  return band;
}

// Deposit sections to try: from what the joint needs to the most the position or the quality level lets stand.
Interval deposit_range(const PassContext& c) {
  double high = c.deposit.position_max_mm2 * std::exp(c.ends[static_cast<std::size_t>(C::deposit_position)].last);
  if (c.deposit.excess_fillet_max_mm2 > 0) high = std::min(high, c.deposit.excess_fillet_max_mm2);
  const double low = c.deposit.needed_mm2 > 0 ? c.deposit.needed_mm2 : 0.5 * c.deposit.nominal_mm2;
  // A hair inside, so that rounding does not decide whether the uppermost line is allowed.
  constexpr double inside = 1 - 1e-12;
  return {low, std::max(low, inside * high)};
}

// Everything the two-dimensional window reaches, line by line outwards from the one through the point.
WindowExtent extent_of(const PassContext& c, const ConstantValues& x, const Window& window) {
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
  include(window.band, window.line.deposit_mm2);
  const Interval range = deposit_range(c);
  const double step = std::log(range.high / range.low) / (deposit_lines - 1);
  for (int i = 0; i < deposit_lines && step > 0; ++i) {
    const double deposit = range.low * std::exp(step * i);
    const PointResult point = find_point(c, x, {.deposit_mm2 = deposit});
    if (point.holds) include(band_at(c, x, {deposit, 0}, point), deposit);
  }
  return extent;
}

}  // namespace

BandEnd line_end(const PassContext& c, const ConstantValues& x, const Line& line, double holds, int direction,
                 const LineScore& score) {
  const Interval range = feed_range(c);
  const double step = std::exp(0.2 * direction), last = direction < 0 ? range.low : range.high;
  const auto end_at = [&](double feed, const Margin& m) {
    return BandEnd{feed, on_line(c, x, line, feed).travel_mm_per_s, m};
  };
  double inside = holds, outside = holds;
  Margin there = score(holds);
  double at_inside = there.score;
  for (;;) {
    if (inside == last) return end_at(inside, there);
    outside = direction < 0 ? std::max(last, inside * step) : std::min(last, inside * step);
    const Margin next = score(outside);
    if (next.score < 0) {
      there = next;
      break;
    }
    inside = outside;
    there = next;
    at_inside = next.score;
  }
  if (!(at_inside > 0)) return end_at(inside, there);
  const double at_outside = there.score;
  const auto root = [&](double feed) {
    const Margin m = score(feed);
    if (m.score < 0) there = m;
    return m.score;
  };
  std::uintmax_t iterations = 80;
  const bool rising = outside < inside;
  const auto bracket = boost::math::tools::toms748_solve(
      root, std::min(inside, outside), std::max(inside, outside), rising ? at_outside : at_inside,
      rising ? at_inside : at_outside, boost::math::tools::eps_tolerance<double>(root_bits), iterations);
  return end_at(rising ? bracket.second : bracket.first, there);
}

double travel_for_deposit(const PassContext& c, const ConstantValues& x, double feed, double deposit_mm2) {
  return x[static_cast<std::size_t>(K::deposition)] * wire_section_mm2(c.wire.diameter_mm) * feed *
         mm_per_s_per_m_per_min / deposit_mm2;
}

Setting on_line(const PassContext& c, const ConstantValues& x, const Line& line, double feed) {
  Setting s;
  s.wire_feed_m_per_min = feed;
  s.travel_mm_per_s = line.deposit_mm2 > 0 ? travel_for_deposit(c, x, feed, line.deposit_mm2) : line.travel_mm_per_s;
  return s;
}

Band solve_band(const PassContext& c, const ConstantValues& x, const Line& line) {
  return band_at(c, x, line,
                 find_point(c, x, {.deposit_mm2 = line.deposit_mm2, .travel_mm_per_s = line.travel_mm_per_s}));
}

Window solve_window(const PassContext& c, double fixed_travel_mm_per_s, WindowDetail detail) {
  const ConstantValues x = nominal_values(c.constants);
  Window window;
  const Freedom freedom{.travel_mm_per_s = fixed_travel_mm_per_s, .feed_m_per_min = c.aim.fixed_feed_m_per_min};
  PointResult point = find_point(c, x, freedom);
  hold_as_printed(c, x, freedom, point);
  window.line = fixed_travel_mm_per_s > 0 ? Line{0, fixed_travel_mm_per_s} : Line{point.deposit_mm2, 0};
  window.band = band_at(c, x, window.line, point);
  // More metal by less than this is the hand's own.
  constexpr double told_from = 1.03;
  window.line_moved = window.band.feasible && fixed_travel_mm_per_s <= 0 &&
                      point.deposit_mm2 > told_from * std::max(c.deposit.nominal_mm2, c.deposit.needed_mm2);
  if (window.line_moved) {
    Setting nominal = point.setting;
    nominal.travel_mm_per_s = travel_for_deposit(c, x, nominal.wire_feed_m_per_min, c.deposit.nominal_mm2);
    window.moved_by = point_margins(c, x, nominal).least_sure().id;
  }
  if (detail == WindowDetail::full) add_extent(c, fixed_travel_mm_per_s, window);
  return window;
}

void add_extent(const PassContext& c, double fixed_travel_mm_per_s, Window& window) {
  if (!window.band.feasible) return;
  if (fixed_travel_mm_per_s > 0)
    window.extent = WindowExtent{{window.band.low.wire_feed_m_per_min, window.band.high.wire_feed_m_per_min},
                                 {fixed_travel_mm_per_s, fixed_travel_mm_per_s},
                                 {}};
  else
    window.extent = extent_of(c, nominal_values(c.constants), window);
}

Interval pulse_feed_window(const PassContext& c, const ConstantValues& x) {
  const auto worst = [&](double feed) { return smallest_pulse_score(c, x, feed); };
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
  if (!std::isfinite(c.plate.back_width_max_mm)) return std::numeric_limits<double>::infinity();
  const auto room = [&](double feed) { return c.plate.back_width_max_mm - back_width_mm(c, x, feed, travel); };
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

void settle_modulation(const PassContext& c, const ConstantValues& x, Setting& s) {
  if (c.mode != Mode::double_pulse) return;
  const double burn = burn_through_feed_m_per_min(c, x, s.travel_mm_per_s, s.wire_feed_m_per_min);
  const Modulation wanted = modulation_at(c, x, evaluate(c, x, s), burn);
  s.modulation_frequency_Hz = c.modulation.frequency_Hz > 0
                                  ? c.modulation.frequency_Hz
                                  : as_printed_inside(F::modulation_frequency, wanted.frequency_Hz,
                                                      {wanted.frequency_low_Hz, wanted.frequency_high_Hz});
  // The band of the amplitude is that at the frequency which is printed. The high phase keeps to the easy end of
  // burn-through as far as the pool still notices it; beyond, the last end has its say.
  const FieldValues f = evaluate(c, x, s);
  const Modulation m = modulation_at(c, x, f, std::numeric_limits<double>::infinity());
  const double least_room = 2 * printed_room / std::pow(10.0, field(F::modulation_amplitude).decimals);
  const double most = std::min(m.amplitude_high_m_per_min,
                               std::max(burn - s.wire_feed_m_per_min, m.amplitude_low_m_per_min + least_room));
  s.modulation_amplitude_m_per_min =
      c.modulation.amplitude_m_per_min > 0
          ? c.modulation.amplitude_m_per_min
          : as_printed_inside(F::modulation_amplitude, std::min(m.amplitude_m_per_min, most),
                              {m.amplitude_low_m_per_min, most});
}

Influences influences(const PassContext& c, const Setting& s) {
  Influences result;
  result.correlations = c.correlations;
  const ConstantValues nominal = nominal_values(c.constants);
  PoolMemo memo;
  const FieldValues centre = evaluate(c, nominal, s, memo);
  for (std::size_t k = 0; k < model_constant_count; ++k) {
    const double half = c.constants[k].half_width_90;
    // An exact constant is moved a little to see what hangs on it.
    constexpr double probe = 1e-4, rounding = 1e-12;
    const double step = half > 0 ? half : probe * std::abs(nominal[k]);
    ConstantValues up = nominal, down = nominal;
    up[k] += step;
    down[k] -= step;
    const FieldValues high = evaluate(c, up, s, memo);
    const FieldValues low = evaluate(c, down, s, memo);
    for (std::size_t i = 0; i < field_count; ++i) {
      const double half_change = 0.5 * (high.value[i] - low.value[i]);
      const bool known = applies(half_change);
      result.half_change[k].value[i] = known && half > 0 ? half_change : 0.0;
      const double moved =
          std::max(std::abs(high.value[i] - centre.value[i]), std::abs(low.value[i] - centre.value[i]));
      result.depends[k][i] = known && moved > rounding * std::abs(centre.value[i]);
    }
  }
  return result;
}

FieldValues uncertainty(const Influences& influences) {
  FieldValues sum;
  sum.value.fill(0.0);
  for (const FieldValues& change : influences.half_change)
    for (std::size_t i = 0; i < field_count; ++i) sum.value[i] += change.value[i] * change.value[i];
  for (const CorrelatedPair& pair : influences.correlations)
    for (std::size_t i = 0; i < field_count; ++i)
      sum.value[i] += 2 * pair.value * influences.half_change[static_cast<std::size_t>(pair.first)].value[i] *
                      influences.half_change[static_cast<std::size_t>(pair.second)].value[i];
  for (double& value : sum.value) value = std::sqrt(std::max(value, 0.0));
  return sum;
}

}  // namespace seamwright
