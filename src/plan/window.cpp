#include "seamwright/window.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>
#include <optional>

#include "plan/operating_point.hpp"
#include "seamwright/pulse.hpp"

namespace seamwright {
namespace {

constexpr std::size_t scan_points = 40;  // along a line, log-spaced
constexpr int deposit_lines = 13;        // across the window, log-spaced
constexpr int root_bits = 36;            // about 1e-11 relative

// Constraints on the deposit section do not change along a line of constant deposit, and on a fillet neither does the
// one on excess metal: they decide whether the line is allowed and how good it is, not where on it the best point lies.
std::uint64_t constant_on_line(const PassContext& c, const Line& line) {
  constexpr auto bit = [](C id) { return std::uint64_t{1} << static_cast<unsigned>(id); };
  if (line.deposit_mm2 <= 0) return 0;
  return bit(C::deposit_needed) | bit(C::deposit_position) | (c.excess_fillet_max_mm2 > 0 ? bit(C::excess_metal) : 0);
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

// The feeds that every line of a pass is scanned at, worked out as they are asked for.
class FeedScan {
 public:
  FeedScan(const PassContext& c, const ConstantValues& x) : c_(c), x_(x) {
    const Interval range = feed_range(c);
    const double step = std::log(range.high / range.low) / (scan_points - 1);
    for (std::size_t k = 0; k < scan_points; ++k) feed[k] = range.low * std::exp(step * static_cast<double>(k));
  }
  [[nodiscard]] FeedPoint& point(std::size_t node) {
    if (!known_[node]) point_[node] = feed_point(c_, x_, feed[node]);
    known_[node] = true;
    return point_[node];
  }
  std::array<double, scan_points> feed{};

 private:
  const PassContext& c_;
  const ConstantValues& x_;
  std::array<FeedPoint, scan_points> point_;
  std::array<bool, scan_points> known_{};
};

// Searches along one line. The worst margin of a line is the lower envelope of its constraints: most of it is smooth
// and cheap, so it is followed constraint by constraint and worked out in full only where that tells something.
class LineSearch {
 public:
  static constexpr double no_pool = std::numeric_limits<double>::infinity(), everything = -no_pool;

  LineSearch(const PassContext& c, const ConstantValues& x, FeedScan& scan, const Line& line)
      : c_(c), x_(x), scan_(&scan), line_(line), left_out_(constant_on_line(c, line)) {}

  [[nodiscard]] WorstMargin at(double feed) const {
    FeedPoint point = feed_point(c_, x_, feed);
    return at(point, feed, everything);
  }

  // The node with the largest worst margin: first among every third node, then beside the best of those, since the
  // envelope has one hill. Where a constraint that does not hang on the feed makes a plateau it is the first of them:
  // rounding must not choose. From the best node of a line nearby, where there is one, the hill is climbed.
  [[nodiscard]] std::size_t find_best_node(std::optional<std::size_t> nearby) {
    constexpr std::size_t stride = 3;
    const auto best_around = [&](std::size_t node, std::size_t reach) {
      return best_of(node - std::min(node, reach), std::min(node + reach, scan_points - 1), 1);
    };
    if (!nearby) return best_around(best_of(0, scan_points - 1, stride), stride - 1);
    std::size_t best = *nearby;
    for (std::size_t next = best_around(best, 1); next != best; next = best_around(best, 1)) best = next;
    return best;
  }

  [[nodiscard]] double feed(std::size_t node) const { return scan_->feed[node]; }
  // A node's score, or a bound above it.
  [[nodiscard]] double score(std::size_t node) {
    if (!known_[node]) keep(node, at(scan_->point(node), feed(node), no_pool));
    return score_[node];
  }

  // Whether a node satisfies everything.
  [[nodiscard]] bool holds(std::size_t node) {
    if (score(node) >= 0) make_exact(node);
    return score(node) >= 0;
  }

  struct Peak {
    double feed = 0, score = 0;
  };
  // The largest worst margin between the neighbours of a node.
  [[nodiscard]] Peak peak_near(std::size_t node, double to_beat) {
    const std::size_t low = node == 0 ? 0 : node - 1, high = std::min<std::size_t>(node + 1, scan_points - 1);
    make_exact(low);
    make_exact(high);
    if (const auto peak = crossing_peak(low, high, to_beat)) return *peak;
    const auto refined = [&](int bits) -> Peak {
      const auto found = boost::math::tools::brent_find_minima([this](double w) { return -at(w).margin.score; },
                                                               scan_->feed[low], scan_->feed[high], bits);
      return {found.first, -found.second};
    };
    // A feed known to 12 bits knows its score to a hundredth or two: enough to give up what stays far below.
    constexpr double far_below = 0.2;
    if (to_beat > everything)
      if (const Peak rough = refined(12); rough.score < to_beat - far_below) return {rough.feed, everything};
    return refined(30);
  }

  // Between a feed that holds and a node that does not: where the first constraint gives out, on the side that holds,
  // so that the printed end satisfies every constraint.
  [[nodiscard]] BandEnd end_between(double holds, std::size_t fails_node) const {
    double fails = scan_->feed[fails_node];
    WorstMargin against = worst_[fails_node];
    for (int i = 0; i < 20; ++i) {
      const auto score = [&](double w) { return pair(w, against, against, i > 0).a; };
      const double end = root_of(score, {holds, score(holds)}, {fails, against.margin.score}, [] { return false; });
      const WorstMargin there = at(end);
      if (there.margin.score >= 0 || end == holds) return end_at(end, there);
      // Another constraint has given out before.
      fails = end;
      against = there;
    }
    return end_at(holds, at(holds));
  }

  // Where the worst margin is largest; the ends are left open.
  // A line that cannot come above `to_beat` may be given up as not feasible.
  [[nodiscard]] Band best_point(double to_beat = everything, std::optional<std::size_t> nearby = {}) {
    best_node_ = find_best_node(nearby);
    const Peak peak = peak_near(best_node_, to_beat);
    const bool improved = peak.score > score(best_node_) + same_score;
    Band band;
    band.best = on_line(c_, x_, line_, improved ? peak.feed : feed(best_node_));
    band.best_score = std::min(improved ? peak.score : score(best_node_), excess_score(band.best));
    band.feasible = band.best_score >= 0 && allowed(band.best);
    return band;
  }

  [[nodiscard]] std::size_t best_node() const { return best_node_; }
  // The best score cannot be above this. Cheap: no pool.
  [[nodiscard]] double best_possible() const { return excess_score(on_line(c_, x_, line_, scan_->feed[0])); }

  // Outwards from the best point to the first node that fails.
  void add_ends(Band& band) {
    const double best_feed = band.best.wire_feed_m_per_min;
    double low = best_feed, high = best_feed;
    std::size_t i = best_node_ + 1;  // one beyond, so that it can run down to 0
    while (i > 0 && (feed(i - 1) >= best_feed || holds(i - 1))) low = std::min(low, feed(--i));
    band.low = i > 0 ? end_between(low, i - 1) : end_at(low, at(low));
    i = best_node_;
    while (i < scan_points && (feed(i) <= best_feed || holds(i))) high = std::max(high, feed(i++));
    band.high = i < scan_points ? end_between(high, i) : end_at(high, at(high));
  }

 private:
  const PassContext& c_;
  const ConstantValues& x_;
  FeedScan* scan_;
  Line line_;
  std::uint64_t left_out_;
  std::array<WorstMargin, scan_points> worst_;
  std::array<double, scan_points> score_{};  // of the worst margins
  std::array<bool, scan_points> known_{};    // at least a bound
  std::size_t best_node_ = 0;

  [[nodiscard]] BandEnd end_at(double feed, const WorstMargin& worst) const {
    return {feed, on_line(c_, x_, line_, feed).travel_mm_per_s, worst.margin};
  }

  [[nodiscard]] bool allowed(const Setting& s) const { return smallest_deposit_score(c_, x_, s, left_out_) >= 0; }
  [[nodiscard]] double excess_score(const Setting& s) const {
    constexpr std::uint64_t excess = std::uint64_t{1} << static_cast<unsigned>(C::excess_metal);
    return smallest_deposit_score(c_, x_, s, left_out_ & excess);
  }

  [[nodiscard]] WorstMargin at(FeedPoint& point, double feed, double enough) const {
    return worst_margin(c_, x_, point, on_line(c_, x_, line_, feed).travel_mm_per_s, left_out_, enough);
  }

  // The best of the nodes from first to last. Those whose bound is below the best are never worked out.
  [[nodiscard]] std::size_t best_of(std::size_t first, std::size_t last, std::size_t stride) {
    for (std::size_t k = first; k <= last; k += stride) static_cast<void>(score(k));
    for (;;) {
      std::size_t best = first;
      for (std::size_t k = first; k <= last; k += stride)
        if (score_[k] > score_[best] + same_score) best = k;
      if (worst_[best].exact) return best;
      make_exact(best);
    }
  }

  void keep(std::size_t node, const WorstMargin& worst) {
    worst_[node] = worst;
    score_[node] = worst.margin.score;
    known_[node] = true;
  }

  void make_exact(std::size_t node) {
    if (!worst_[node].exact) keep(node, at(scan_->point(node), feed(node), everything));
  }

  [[nodiscard]] ScorePair pair(double feed, const WorstMargin& a, const WorstMargin& b, bool thorough = false) const {
    return scores_of(c_, x_, on_line(c_, x_, line_, feed), a, b, thorough);
  }

  // A feed and the value of a function there.
  struct Sample {
    double feed = 0, value = 0;
  };
  // The root of `f` between a feed where it is positive and one where it is negative: the positive side of it.
  template <class Function, class Stop>
  [[nodiscard]] static double root_of(Function f, const Sample& positive, const Sample& negative, Stop stop) {
    if (positive.value <= 0) return positive.feed;
    if (negative.value >= 0) return negative.feed;
    std::uintmax_t iterations = 80;
    const auto tolerance = [near = boost::math::tools::eps_tolerance<double>(root_bits), &stop](
                               double a, double b) mutable { return near(a, b) || stop(); };
    const bool rising = negative.feed < positive.feed;
    const Sample &low = rising ? negative : positive, &high = rising ? positive : negative;
    const auto bracket =
        boost::math::tools::toms748_solve(f, low.feed, high.feed, low.value, high.value, tolerance, iterations);
    return rising ? bracket.second : bracket.first;
  }

  // The peak where a constraint that relaxes with the feed meets one that tightens. Nothing where the envelope has
  // another shape there, such as the smooth top of one constraint.
  [[nodiscard]] std::optional<Peak> crossing_peak(std::size_t low_node, std::size_t high_node, double to_beat) const {
    WorstMargin left = worst_[low_node], right = worst_[high_node];
    double low = scan_->feed[low_node], high = scan_->feed[high_node];
    for (int i = 0; i < 8; ++i) {
      // Positive where the left one is the worse.
      const auto excess = [](const ScorePair& s) { return s.b - s.a; };
      const ScorePair at_low = pair(low, left, right), at_high = pair(high, left, right);
      if (!(excess(at_low) > 0) || !(excess(at_high) < 0)) return std::nullopt;
      // Between two feeds the envelope cannot come above the lower one's right and the higher one's left constraint.
      double rising_side = at_high.a;
      double below = low;  // the highest feed known to lie below the meeting, and the scores there
      ScorePair at_below = at_low;
      const auto follow = [&](double w) {
        const ScorePair s = pair(w, left, right);
        if (excess(s) > 0) {
          below = w;
          at_below = s;
        } else {
          rising_side = s.a;
        }
        return excess(s);
      };
      const auto hopeless = [&] { return std::min(rising_side, at_below.b) < to_beat; };
      const double meet = root_of(follow, {low, excess(at_low)}, {high, excess(at_high)}, hopeless);
      if (hopeless()) return Peak{meet, everything};
      const WorstMargin there = at(meet);
      const ScorePair level = meet == below ? at_below : pair(meet, left, right);
      if (there.margin.score >= std::min(level.a, level.b)) {
        // A peak, if the left one has risen to here and the right one falls from here.
        if (!(at_low.a < there.margin.score) || !(at_high.b < there.margin.score)) return std::nullopt;
        return Peak{meet, there.margin.score};
      }
      // A third constraint lies below. Where it is level the point that is best without it is taken; else the peak is
      // on the side to which it rises.
      const double nudge = 1e-5 * meet;
      const double rise = pair(meet + nudge, there, there).a - there.margin.score;
      if (std::abs(rise) <= same_score) return Peak{meet, there.margin.score};
      if (rise > 0) {
        low = meet;
        left = there;
      } else {
        high = meet;
        right = there;
      }
    }
    return std::nullopt;
  }
};

// Deposit sections to try: from what the joint needs to the most the position or the quality level lets stand.
Interval deposit_range(const PassContext& c) {
  double high = c.position_max_mm2;
  if (c.excess_fillet_max_mm2 > 0) high = std::min(high, c.excess_fillet_max_mm2);
  const double low = c.needed_mm2 > 0 ? c.needed_mm2 : 0.5 * c.nominal_mm2;
  // A hair inside, so that rounding does not decide whether the uppermost line is allowed.
  constexpr double inside = 1 - 1e-12;
  return {low, std::max(low, inside * high)};
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
  FeedScan scan(c, x);
  LineSearch search(c, x, scan, line);
  Band band = search.best_point();
  if (band.feasible) search.add_ends(band);
  return band;
}

Window solve_window(const PassContext& c, double fixed_travel_mm_per_s, WindowDetail detail) {
  const ConstantValues x = nominal_values(c.constants);
  Window window;
  window.line = fixed_travel_mm_per_s > 0 ? Line{0, fixed_travel_mm_per_s} : Line{c.nominal_mm2, 0};
  FeedScan scan(c, x);
  LineSearch nominal(c, x, scan, window.line);
  window.band = nominal.best_point();
  if (window.band.feasible) nominal.add_ends(window.band);
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
  const bool nominal_feasible = window.band.feasible, every_line = detail == WindowDetail::full;
  if (nominal_feasible) include(window.band, window.line.deposit_mm2);
  bool any = nominal_feasible;
  std::optional<LineSearch> moved;  // the best of the other lines that may take the nominal one's place
  Band best = window.band;
  // Lines that may replace start from each other alone, so that a band by itself comes out as with the whole window.
  // A hill is climbed from the line before only where that one holds: outside the window the envelope has several.
  std::optional<std::size_t> nearby, nearby_for_extent;
  if (nominal_feasible) nearby_for_extent = nominal.best_node();
  for (int i = 0; i < deposit_lines && step > 0; ++i) {
    const double deposit = range.low * std::exp(step * i);
    // Only a deposit above the nominal may replace it: the joint must be filled with its allowance.
    bool may_replace = !nominal_feasible && deposit >= c.nominal_mm2;
    if (!may_replace && !every_line) continue;
    LineSearch search(c, x, scan, {deposit, 0});
    if (best.feasible && search.best_possible() <= best.best_score) may_replace = false;
    if (!may_replace && !every_line) continue;
    std::optional<std::size_t>& start = may_replace ? nearby : nearby_for_extent;
    // A line that holds nowhere is of no use, whatever its best score.
    Band band = search.best_point(!every_line && best.feasible ? best.best_score : 0.0, start);
    start = search.score(search.best_node()) >= 0 ? std::optional(search.best_node()) : std::nullopt;
    if (band.feasible && every_line) {
      search.add_ends(band);
      include(band, deposit);
      any = true;
    }
    // Where several are equally good the smallest deposit is taken.
    const bool better = band.feasible > best.feasible ||
                        (band.feasible == best.feasible && band.best_score > best.best_score + same_score);
    if (!may_replace || !better) continue;
    best = band;
    moved.emplace(search);
    window.line = {deposit, 0};
  }
  if (moved && best.feasible) {
    if (!every_line) moved->add_ends(best);
    window.band = best;
    window.line_moved = true;
  } else {
    window.line = {c.nominal_mm2, 0};  // a conflict is reported at the nominal deposit
  }
  if (any && every_line) window.extent = extent;
  return window;
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

void settle_modulation(const PassContext& c, const ConstantValues& x, Setting& s) {
  if (c.mode != Mode::double_pulse) return;
  const double burn = burn_through_feed_m_per_min(c, x, s.travel_mm_per_s, s.wire_feed_m_per_min);
  const Modulation m = modulation_at(c, x, evaluate(c, x, s), burn);
  s.modulation_frequency_Hz = c.modulation_frequency_Hz > 0 ? c.modulation_frequency_Hz : m.frequency_Hz;
  s.modulation_amplitude_m_per_min =
      c.modulation_amplitude_m_per_min > 0 ? c.modulation_amplitude_m_per_min : m.amplitude_m_per_min;
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
