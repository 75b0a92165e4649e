#include "seamwright/box.hpp"

#include <algorithm>
#include <cmath>

#include "seamwright/pulse.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

constexpr int parts = 512;      // of a share: to 0.2 % of an aim
constexpr int fill_parts = 64;  // of a step of a side that grows on
constexpr int fill_steps = 4;   // in which a side that is not in the way grows on

enum : std::size_t { feed_side, travel_side, trim_side, peak_side, amplitude_side, frequency_side };

struct Shares {
  std::array<double, box_side_count> down{}, up{};
  [[nodiscard]] double& of(std::size_t side, int sign) { return sign < 0 ? down[side] : up[side]; }
};

class BoxSolver {
 public:
  BoxSolver(const PassContext& c, const Window& window, const BoxWish& wish)
      : c_(c), x_(nominal_values(c.constants)), wish_(wish) {
    box_.confidence = wish.confidence;
    box_.accuracy = wish.accuracy;
    box_.centre = window.band.best;
    const bool pulsed = is_pulsed(c.mode), modulated = c.mode == Mode::double_pulse;
    const std::array<bool, box_side_count> present{true, true, true, pulsed, modulated, modulated};
    for (std::size_t i = 0; i < box_side_count; ++i) {
      box_.sides[i].present = present[i];
      if (present[i] && wish.fixed[i]) fix(i, *wish.fixed[i]);
    }
    box_.sides[travel_side].follows = c.aim.travel_follows_feed && !box_.sides[travel_side].fixed;
    // An arc length the user fixed has no range to trim it in.
    if (trim_half_V(c, x_) <= 0 && !wish.fixed[trim_side]) fix(trim_side, {0, 0});
    const auto given = [&](std::size_t side, double value) {
      if (modulated && value > 0 && !wish.fixed[side]) fix(side, {value, value});
    };
    given(amplitude_side, c.modulation.amplitude_m_per_min);
    given(frequency_side, c.modulation.frequency_Hz);
    settle_centre();
    box_.deposit_mm2 = travel_for_deposit(c, x_, box_.centre.wire_feed_m_per_min, 1.0) / box_.centre.travel_mm_per_s;
    needed_surety_ = normal_quantile(wish.confidence) / normal_quantile(0.9);
  }

  LockBox solve() {
    if (const auto stop = fails(Shares{}, true)) {
      box_.first = *stop;
      return box_;
    }
    // The hand's tolerance first; where it leaves the feed no room, less of it.
    Shares shares;
    for (const double part : {1.0, 0.5, 0.25, 0.0}) {
      if (box_.sides[travel_side].follows) box_.travel_tolerance = part * c_.aim.travel_tolerance;
      if (fails(Shares{}, false)) continue;
      box_.share = last_part(parts, [&](double share) { return common(share); });
      shares = common(box_.share);
      for (BoxSide& side : box_.sides) side.low_stop = side.high_stop = {};
      fill(shares);
      if (width(shares) >= c_.lock.feed_min_share || !box_.sides[travel_side].follows) break;
    }
    if (box_.share < 1)
      if (const auto stop = fails(common(std::min(1.0, box_.share + 2.0 / parts)), true)) box_.first = *stop;
    for (std::size_t i = 0; i < box_side_count; ++i) {
      if (!grows(i)) continue;
      // The set point keeps a quarter of the width from either end.
      const double down = std::min(shares.down[i] * aim(i, -1), 3 * shares.up[i] * aim(i, 1));
      const double up = std::min(shares.up[i] * aim(i, 1), 3 * shares.down[i] * aim(i, -1));
      // An end that the other draws in is stopped by what stops the other.
      BoxSide& side = box_.sides[i];
      if (down < shares.down[i] * aim(i, -1)) side.low_stop = {};
      if (up < shares.up[i] * aim(i, 1)) side.high_stop = {};
      box_.sides[i].low = setting_value(box_.centre, i) - down;
      box_.sides[i].high = setting_value(box_.centre, i) + up;
    }
    BoxSide& travel = box_.sides[travel_side];
    if (travel.follows) {
      travel.low = travel_for_deposit(c_, x_, box_.sides[feed_side].low, box_.deposit_mm2);
      travel.high = travel_for_deposit(c_, x_, box_.sides[feed_side].high, box_.deposit_mm2);
    }
    box_.narrow = grows(feed_side) && box_.sides[feed_side].high - box_.sides[feed_side].low <
                                          c_.lock.feed_min_share * box_.centre.wire_feed_m_per_min;
    box_.exists = !box_.narrow;
    if (box_.exists && box_.accuracy.known) display_off();
    return box_;
  }

 private:
  const PassContext& c_;
  ConstantValues x_;
  const BoxWish& wish_;
  LockBox box_;
  bool fixed_elsewhere_ = false;  // feed or travel
  double needed_surety_ = 0;      // 0: the nominal model
  SettingMemo memo_;
  BoxCorner last_failed_{};  // only where the search looks first

  void fix(std::size_t i, Interval range) {
    box_.sides[i].fixed = true;
    box_.sides[i].low = range.low;
    box_.sides[i].high = range.high;
    constexpr double same = 1e-6;
    const double point = setting_value(box_.centre, i), middle = 0.5 * (range.low + range.high);
    if ((i == feed_side || i == travel_side) && std::abs(middle - point) > same * point) fixed_elsewhere_ = true;
    setting_value(box_.centre, i) = middle;
  }
  [[nodiscard]] bool grows(std::size_t i) const {
    return box_.sides[i].present && !box_.sides[i].fixed && !box_.sides[i].follows;
  }
  // Whether the corners of a box differ along a side.
  [[nodiscard]] bool wide(const Shares& shares, std::size_t i) const {
    const BoxSide& side = box_.sides[i];
    if (!side.present) return false;
    if (side.follows) return box_.travel_tolerance > 0;
    return side.fixed ? side.low != side.high : shares.down[i] > 0 || shares.up[i] > 0;
  }

  // How far a side reaches at most.
  [[nodiscard]] double aim(std::size_t i, int sign) const {
    const double centre = setting_value(box_.centre, i);
    switch (i) {
      case feed_side:
      case travel_side:
        return c_.lock.feed_share * centre;
      case trim_side:
        return std::min(c_.lock.trim_V, trim_half_V(c_, x_));
      case peak_side: {
        const TrimWindow trim = peak_trim_window(c_.pulse.criterion_window, c_.pulse.criterion_exponent);
        return std::abs(sign < 0 ? trim.low : trim.high);
      }
      default:
        return c_.lock.modulation_share * centre;
    }
  }

  [[nodiscard]] double value(const Shares& shares, std::size_t i, int sign) const {
    const BoxSide& side = box_.sides[i];
    if (sign == 0) return setting_value(box_.centre, i);
    if (side.fixed) return sign < 0 ? side.low : side.high;
    return setting_value(box_.centre, i) + (sign < 0 ? -shares.down[i] * aim(i, -1) : shares.up[i] * aim(i, 1));
  }
  [[nodiscard]] Setting point(const Shares& shares, const BoxCorner& corner) const {
    Setting s = box_.centre;
    for (std::size_t i = 0; i < box_side_count; ++i)
      if (box_.sides[i].present && corner[i] != 0 && !box_.sides[i].follows)
        setting_value(s, i) = value(shares, i, corner[i]);
    if (box_.sides[travel_side].follows)
      s.travel_mm_per_s = travel_for_deposit(c_, x_, s.wire_feed_m_per_min, box_.deposit_mm2) *
                          (1 + corner[travel_side] * box_.travel_tolerance);
    return s;
  }

  // The constraint nearest to giving out; at a confidence, nearest to being less sure than that.
  [[nodiscard]] Margin worst_at(const Setting& s) {
    const MarginList list = setting_margins(c_, x_, s, &memo_);
    Margin worst = list.worst();
    if (needed_surety_ > 0)
      for (const Margin& m : list) {
        const bool spread = !c_.ends[static_cast<std::size_t>(m.id)].easy_apart;
        if (!spread || m.surety - needed_surety_ >= worst.score) continue;
        worst = m;
        worst.score = m.surety - needed_surety_;
      }
    // A limit that is just met holds.
    if (std::abs(worst.score) < same_score) worst.score = 0;
    return worst;
  }

  // Calls visit(corner) for every corner and for the middle of every face until it returns true.
  template <class Visit>
  void each_corner(const Shares& shares, Visit visit) const {
    unsigned sides = 0;
    std::array<std::size_t, box_side_count> index{};
    // The frequency first: corners that differ in it alone follow one another.
    for (std::size_t i = box_side_count; i-- > 0;)
      if (wide(shares, i)) index[sides++] = i;
    for (unsigned bits = 0; bits < (1U << sides); ++bits) {
      BoxCorner corner{};
      for (unsigned k = 0; k < sides; ++k) corner[index[k]] = static_cast<signed char>((bits >> k) & 1U ? 1 : -1);
      if (visit(corner)) return;
    }
    for (unsigned k = 0; k < sides && sides > 1; ++k)
      for (const int sign : {-1, 1}) {
        BoxCorner corner{};
        corner[index[k]] = static_cast<signed char>(sign);
        if (visit(corner)) return;
      }
  }

  // The corner that fails; `named`: the worst one, cut down to the sides that matter. `side`, `sign`: only those on
  // that face.
  [[nodiscard]] std::optional<BoxStop> fails(const Shares& shares, bool named, std::size_t side = box_side_count,
                                             int sign = 0) {
    // The corner that failed last is likely to fail again.
    if (!named && (side == box_side_count || last_failed_[side] == sign))
      if (const Margin m = worst_at(point(shares, last_failed_)); m.score < 0) return BoxStop{last_failed_, m};
    BoxStop stop;
    stop.constraint.score = 1e30;
    each_corner(shares, [&](const BoxCorner& corner) {
      if (side < box_side_count && corner[side] != sign) return false;
      if (const Margin m = worst_at(point(shares, corner)); m.score < stop.constraint.score) stop = {corner, m};
      return !named && stop.constraint.score < 0;
    });
    if (stop.constraint.score >= 0) return std::nullopt;
    last_failed_ = stop.corner;
    for (std::size_t i = 0; i < box_side_count && named; ++i) {
      BoxCorner without = stop.corner;
      if (without[i] == 0) continue;
      without[i] = 0;
      const Margin m = worst_at(point(shares, without));
      if (m.score < 0 && m.id == stop.constraint.id) stop = {without, m};
    }
    return stop;
  }

  // The last of so many equal parts of the way at which no corner fails (of a side, where one is named), as a share of
  // the way; none fails at its beginning. A corner that failed is followed back by itself to where it holds, and only
  // there the others are asked.
  template <class SharesAt>
  [[nodiscard]] double last_part(int of, SharesAt shares_at, std::size_t side = box_side_count, int sign = 0) {
    const auto share = [&](int part) { return static_cast<double>(part) / of; };
    int last = of;
    while (last > 0 && fails(shares_at(share(last)), false, side, sign)) {
      const BoxCorner corner = last_failed_;
      int holds = 0;
      while (last - holds > 1) {
        const int between = (holds + last) / 2;
        (worst_at(point(shares_at(share(between)), corner)).score < 0 ? last : holds) = between;
      }
      last = holds;
    }
    return share(last);
  }

  [[nodiscard]] double weight(std::size_t i) const {
    double most = 0;
    for (std::size_t k = 0; k < box_side_count; ++k)
      if (grows(k)) most = std::max(most, wish_.weight[k]);
    return most > 0 ? wish_.weight[i] / most : 1.0;
  }
  [[nodiscard]] Shares common(double share) const {
    Shares s;
    for (std::size_t i = 0; i < box_side_count; ++i)
      if (grows(i)) s.down[i] = s.up[i] = share * weight(i);
    return s;
  }
  [[nodiscard]] double width(const Shares& s) const {
    if (!grows(feed_side)) return 1;
    const double down = std::min(s.down[feed_side], 3 * s.up[feed_side]);
    return c_.lock.feed_share * (down + std::min(s.up[feed_side], 3 * s.down[feed_side]));
  }

  // Every face goes on by itself, a step at a time in turn, until a corner on it stops it.
  void fill(Shares& shares) {
    std::array<std::array<bool, 2>, box_side_count> done{};
    for (bool moved = true; moved;) {
      moved = false;
      for (std::size_t i = 0; i < box_side_count; ++i)
        for (const int sign : {-1, 1}) {
          bool& stopped = done[i][sign < 0 ? 0 : 1];
          double& share = shares.of(i, sign);
          if (!grows(i) || stopped) continue;
          if (share >= 1) {
            stopped = true;
            continue;
          }
          const double before = share, step = weight(i) / fill_steps;
          share = std::min(1.0, before + step);
          if (!fails(shares, false, i, sign)) {
            moved = true;
            continue;
          }
          const auto at = [&](double part) {
            Shares s = shares;
            s.of(i, sign) = before + part * (share - before);
            return s;
          };
          const double part = last_part(fill_parts, at, i, sign);
          const double inside = before + part * (share - before);
          BoxSide& side = box_.sides[i];
          if (const auto stop = fails(at(part + 1.0 / fill_parts), true, i, sign))
            (sign < 0 ? side.low_stop : side.high_stop) = *stop;
          share = inside;
          stopped = true;
        }
    }
  }

  // How far the real feed may go, the other sides at their corners; a display that is off must keep it inside that.
  void display_off() {
    const double off = box_.accuracy.wire_feed;
    Shares wide_feed;
    for (std::size_t i = 0; i < box_side_count; ++i)
      if (grows(i)) {
        wide_feed.down[i] = (setting_value(box_.centre, i) - box_.sides[i].low) / std::max(1e-12, aim(i, -1));
        wide_feed.up[i] = (box_.sides[i].high - setting_value(box_.centre, i)) / std::max(1e-12, aim(i, 1));
      }
    if (!grows(feed_side)) return;
    const double far = 3;  // aims: further than any display is off
    const auto reach = [&](int sign) {
      const double base = wide_feed.of(feed_side, sign);
      const double share = last_part(
          parts,
          [&](double part) {
            Shares s = wide_feed;
            s.of(feed_side, sign) = base + part * far;
            return s;
          },
          feed_side, sign);
      return base + share * far;
    };
    const double feed = box_.centre.wire_feed_m_per_min;
    const double low = (feed - reach(-1) * aim(feed_side, -1)) / (1 - off);
    const double high = (feed + reach(1) * aim(feed_side, 1)) / (1 + off);
    const Interval inner{std::max(low, box_.sides[feed_side].low), std::min(high, box_.sides[feed_side].high)};
    if (inner.low <= inner.high) box_.feed_if_display_off = inner;
  }

  // A feed or travel that is fixed elsewhere than at the point moves it: the free one of the two goes where the corners
  // of the fixed sides have most room. With other sides fixed, or where the point does not stand the width of one, it
  // moves too: both together, at the same deposit, where both are free.
  void settle_centre() {
    const bool feed_free = !box_.sides[feed_side].fixed, travel_free = !box_.sides[travel_side].fixed;
    const bool any_fixed = std::any_of(box_.sides.begin(), box_.sides.end(), [](const BoxSide& s) { return s.fixed; });
    const auto deposit_here = [&] {
      box_.deposit_mm2 = travel_for_deposit(c_, x_, box_.centre.wire_feed_m_per_min, 1.0) / box_.centre.travel_mm_per_s;
    };
    const auto score = [&] {
      deposit_here();
      double worst = 1e30;
      each_corner(Shares{}, [&](const BoxCorner& corner) {
        worst = std::min(worst, worst_at(point(Shares{}, corner)).score);
        return false;
      });
      return worst;
    };
    if (!any_fixed || (!feed_free && !travel_free)) return;
    if (!fixed_elsewhere_ && score() >= 0) return;
    const Setting start = box_.centre;
    double best = 1, best_score = -1e30;
    const auto move = [&](double factor) {
      if (feed_free) box_.centre.wire_feed_m_per_min = factor * start.wire_feed_m_per_min;
      if (travel_free) box_.centre.travel_mm_per_s = factor * start.travel_mm_per_s;
      settle_frequency();
    };
    const auto consider = [&](double factor) {
      move(factor);
      if (const double now = score(); now > best_score) {
        best_score = now;
        best = factor;
      }
    };
    constexpr int points = 33;
    const double step = std::pow(2.5 / 0.4, 1.0 / (points - 1));
    for (int i = 0; i < points; ++i) consider(0.4 * std::pow(step, i));
    const double coarse = best;
    for (int i = -4; i <= 4; ++i) consider(coarse * std::pow(step, i / 5.0));
    move(best);
  }
  void settle_frequency() {
    if (c_.mode != Mode::double_pulse) return;
    Setting s = box_.centre;
    s.modulation_frequency_Hz = s.modulation_amplitude_m_per_min = 0;
    settle_modulation(c_, x_, s);
    if (!box_.sides[amplitude_side].fixed)
      box_.centre.modulation_amplitude_m_per_min = s.modulation_amplitude_m_per_min;
    if (!box_.sides[frequency_side].fixed) box_.centre.modulation_frequency_Hz = s.modulation_frequency_Hz;
  }
};

}  // namespace

double& setting_value(Setting& s, std::size_t side) {
  switch (side) {
    case feed_side:
      return s.wire_feed_m_per_min;
    case travel_side:
      return s.travel_mm_per_s;
    case trim_side:
      return s.arc_trim_V;
    case peak_side:
      return s.peak_trim;
    case amplitude_side:
      return s.modulation_amplitude_m_per_min;
    default:
      return s.modulation_frequency_Hz;
  }
}

double setting_value(const Setting& s, std::size_t side) {
  Setting copy = s;
  return setting_value(copy, side);
}

LockBox solve_box(const PassContext& c, const Window& window, const BoxWish& wish) {
  return BoxSolver(c, window, wish).solve();
}

std::array<BoxPlan, 4> box_plan(const LockBox& box) {
  const BoxSide &feed = box.sides[feed_side], &travel = box.sides[travel_side];
  if (!travel.follows)
    return {{{feed.low, travel.low}, {feed.low, travel.high}, {feed.high, travel.high}, {feed.high, travel.low}}};
  const double slow = 1 - box.travel_tolerance, fast = 1 + box.travel_tolerance;
  return {{{feed.low, slow * travel.low},
           {feed.low, fast * travel.low},
           {feed.high, fast * travel.high},
           {feed.high, slow * travel.high}}};
}

}  // namespace seamwright
