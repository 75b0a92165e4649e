#include "window/point.hpp"

#include <algorithm>
#include <boost/container/static_vector.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>

#include "physics/last_inside.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/pulse.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

constexpr double unbounded = std::numeric_limits<double>::infinity();

double current_at(const PassContext& c, const ConstantValues& x, double feed) {
  Setting s;
  s.wire_feed_m_per_min = feed;
  s.travel_mm_per_s = 1;
  return evaluate_supply(c, x, s)[F::current];
}

// The feed at which the mean current reaches a value, within the range; its ends where it never does.
double feed_at_current(const PassContext& c, const ConstantValues& x, double current_A, const Interval& range) {
  const auto excess = [&](double feed) { return current_at(c, x, feed) - current_A; };
  const double low = excess(range.low), high = excess(range.high);
  if (low >= 0) return range.low;
  if (high <= 0) return range.high;
  std::uintmax_t iterations = 50;
  constexpr int bits = 30;
  return boost::math::tools::toms748_solve(excess, range.low, range.high, low, high,
                                           boost::math::tools::eps_tolerance<double>(bits), iterations)
      .first;
}

struct Aim {
  double u = 0, a = 0;  // logarithms of the feed and of the deposit
};

// The easy ends themselves are just easy: aimed a little inside, rounding does not cross them.
constexpr double inside = 0.02;

// Deposit that may stand, mm2: by the position and, on a fillet, by the quality level.
double most_usable_mm2(const PassContext& c) {
  double most = c.deposit.position_max_mm2 * std::exp(c.ends[static_cast<std::size_t>(C::deposit_position)].last);
  if (c.deposit.excess_fillet_max_mm2 > 0) most = std::min(most, c.deposit.excess_fillet_max_mm2);
  return most;
}
Aim aim_of(const PassContext& c, const ConstantValues& x, const Freedom& freedom) {
  const Interval range = feed_range(c);
  double least_feed = range.low;
  if (!is_pulsed(c.mode)) {
    const double current_A = c.mode_min_is_transition ? at(x, K::transition) : at(x, K::mode_current_min);
    least_feed = feed_at_current(c, x, current_A, range);
  }
  double deposit = c.deposit.nominal_mm2;
  if (freedom.deposit_mm2 > 0) {
    deposit = freedom.deposit_mm2;
  } else if (freedom.feed_m_per_min <= 0 && freedom.travel_mm_per_s <= 0) {
    // A wire that melts too much for so small a bead lays more of it, as far as may stand, before a hand has to race.
    const double least_mm2 = travel_for_deposit(c, x, least_feed, 1.0) / c.aim.easy_travel_mm_per_s.high;
    deposit = std::max(deposit, std::min(least_mm2, c.aim.rich_share * most_usable_mm2(c)));
  }
  const double travel_of_feed = travel_for_deposit(c, x, 1.0, deposit);  // mm/s for one m/min
  Aim aim{0, std::log(deposit)};
  if (freedom.feed_m_per_min > 0) {
    aim.u = std::log(freedom.feed_m_per_min);
    return aim;
  }
  if (freedom.travel_mm_per_s > 0) {
    aim.u = std::log(std::clamp(freedom.travel_mm_per_s / travel_of_feed, range.low, range.high));
    return aim;
  }
  double slow = std::log(c.aim.easy_travel_mm_per_s.low / travel_of_feed) + inside;
  double fast = std::log(c.aim.easy_travel_mm_per_s.high / travel_of_feed) - inside;
  if (fast < slow) slow = fast = 0.5 * (slow + fast);
  const double least = std::log(least_feed) + inside;
  double most = std::log(range.high);
  if (std::isfinite(c.aim.easy_current_max_A))
    most = std::log(feed_at_current(c, x, c.aim.easy_current_max_A, range)) - inside;
  const double low = std::max(slow, least), high = std::min(fast, most);
  // Where no current is easy in every way: the nearest to easy travel that the wire has.
  aim.u = high >= low ? low + c.aim.way_up * (high - low) : slow > most ? most : least;
  return aim;
}

class Search {
 public:
  Search(const PassContext& c, const ConstantValues& x, const Freedom& freedom)
      : c_(c), x_(x), freedom_(freedom), aim_(aim_of(c, x, freedom)), range_(feed_range(c)) {
    free_feed_ = freedom.feed_m_per_min <= 0;
    // Along a fixed travel the deposit follows the feed.
    free_deposit_ = freedom.deposit_mm2 <= 0 && freedom.travel_mm_per_s <= 0;
  }

  PointResult find() {
    Place found = descend(aim_.u, aim_.a);
    if (found.score >= 0) return result(found);
    const Place scanned = scan();
    if (scanned.score < 0) return result(scanned);
    const Place again = descend(scanned.u, scanned.a);
    if (again.score >= 0) return result(again);
    // From the setting that holds towards the one of least cost, as far as it holds.
    Place best = scanned;
    constexpr int halvings = 20;
    static_cast<void>(last_inside(0, 1, halvings, [&](double share) {
      const Place between = place(scanned.u + share * (again.u - scanned.u), scanned.a + share * (again.a - scanned.a));
      if (between.score < 0) return false;
      best = between;
      return true;
    }));
    return result(best);
  }

  [[nodiscard]] Setting aim() const { return setting(aim_.u, aim_.a); }
  [[nodiscard]] double cost(const Setting& s) const {
    const double u = std::log(s.wire_feed_m_per_min);
    const double a = std::log(travel_for_deposit(c_, x_, s.wire_feed_m_per_min, 1.0) / s.travel_mm_per_s);
    return place(u, a).cost;
  }

 private:
  static constexpr std::size_t most_terms = 2 + 2 * MarginList::capacity;
  using Terms = std::array<double, most_terms>;
  struct Place {
    double u = 0, a = 0;
    double cost = unbounded, score = -unbounded, surety = -unbounded;
    std::size_t terms = 0;
    Terms term;
  };

  const PassContext& c_;
  const ConstantValues& x_;
  Freedom freedom_;
  Aim aim_;
  Interval range_;
  bool free_feed_ = true, free_deposit_ = true;

  [[nodiscard]] Setting setting(double u, double a) const {
    Setting s;
    s.wire_feed_m_per_min = std::exp(u);
    s.travel_mm_per_s = freedom_.travel_mm_per_s > 0 ? freedom_.travel_mm_per_s
                                                     : travel_for_deposit(c_, x_, s.wire_feed_m_per_min, std::exp(a));
    return s;
  }

  [[nodiscard]] Place place(double u, double a) const {
    Place p;
    p.u = u;
    p.a = a;
    const Setting s = setting(u, a);
    const double deposit = std::log(travel_for_deposit(c_, x_, s.wire_feed_m_per_min, 1.0) / s.travel_mm_per_s);
    p.term[p.terms++] = free_feed_ ? (u - aim_.u) / c_.aim.feed_scale : 0.0;
    p.term[p.terms++] = (deposit - aim_.a) / c_.aim.deposit_scale;
    p.score = p.surety = unbounded;
    for (const Margin& m : point_margins(c_, x_, s)) {
      p.score = std::min(p.score, m.score);
      p.surety = std::min(p.surety, m.surety);
      const double doubt = 1.0 - m.surety;
      p.term[p.terms++] = doubt <= 0 ? 0.0 : doubt <= 1 ? doubt : std::sqrt(2.0 * doubt - 1.0);
      constexpr double reach = 3;
      p.term[p.terms++] = std::max(0.0, reach - m.room / c_.aim.wall_scale);
    }
    p.cost = 0;
    for (std::size_t i = 0; i < p.terms; ++i) p.cost += p.term[i] * p.term[i];
    return p;
  }

  [[nodiscard]] Place descend(double u, double a) const {
    Place here = place(u, a);
    double damping = 1e-3;
    constexpr int steps = 40;
    constexpr double probe = 1e-4, still = 1e-6, longest = 0.5;
    for (int i = 0; i < steps && (free_feed_ || free_deposit_); ++i) {
      const Place beside_u = free_feed_ ? place(here.u + probe, here.a) : here;
      const Place beside_a = free_deposit_ ? place(here.u, here.a + probe) : here;
      double uu = 0, ua = 0, aa = 0, ru = 0, ra = 0;
      const std::size_t terms = std::min({here.terms, beside_u.terms, beside_a.terms});
      for (std::size_t k = 0; k < terms; ++k) {
        const double du = (beside_u.term[k] - here.term[k]) / probe, da = (beside_a.term[k] - here.term[k]) / probe;
        uu += du * du;
        ua += du * da;
        aa += da * da;
        ru += du * here.term[k];
        ra += da * here.term[k];
      }
      bool moved = false;
      for (int tries = 0; tries < 8; ++tries) {
        const double p = uu * (1 + damping) + 1e-12, q = aa * (1 + damping) + 1e-12;
        const double determinant = p * q - ua * ua;
        double step_u = free_feed_ ? -(q * ru - ua * ra) / determinant : 0.0;
        double step_a = free_deposit_ ? -(p * ra - ua * ru) / determinant : 0.0;
        if (const double far = std::max(std::abs(step_u), std::abs(step_a)); far > longest) {
          step_u *= longest / far;
          step_a *= longest / far;
        }
        const double low = std::log(range_.low), high = std::log(range_.high);
        const double u_next = free_feed_ ? std::clamp(here.u + step_u, low, high) : here.u;
        const Place next = place(u_next, here.a + step_a);
        if (next.cost < here.cost) {
          const double far = std::max(std::abs(next.u - here.u), std::abs(next.a - here.a));
          here = next;
          damping = std::max(1e-9, 0.2 * damping);
          if (far < still) return here;
          moved = true;
          break;
        }
        if (std::max(std::abs(step_u), std::abs(step_a)) < still) return here;
        damping *= 6;
      }
      if (!moved) break;
    }
    return here;
  }

  // A place whose cost is not asked for.
  [[nodiscard]] static Place scored(double u, double a, const PointScore& found) {
    Place p;
    p.u = u;
    p.a = a;
    p.score = found.score;
    p.surety = found.surety;
    return p;
  }

  // The best setting of a net over everything that may be chosen, refined where it just misses.
  [[nodiscard]] Place scan() const {
    constexpr int feeds = 28, deposits = 8;
    const double low = std::log(range_.low), high = std::log(range_.high);
    const double a_low = std::log(std::max(c_.deposit.needed_mm2, 0.5 * c_.deposit.nominal_mm2)),
                 a_high = std::max(std::log(most_usable_mm2(c_)), a_low);
    Place best;
    // A setting that falls short of the best even without its pool is not asked for the pool. Those that promise most
    // are asked first; of equal ones the first in the net stands.
    struct Candidate {
      double u = 0, a = 0, at_most = 0;
      int number = 0;
    };
    boost::container::static_vector<Candidate, std::size_t{feeds} * deposits> net;
    for (int j = 0; j < (free_deposit_ ? deposits : 1); ++j)
      for (int i = 0; i < (free_feed_ ? feeds : 1); ++i) {
        const double u = free_feed_ ? low + (high - low) * i / (feeds - 1) : aim_.u;
        const double a = free_deposit_ ? a_low + (a_high - a_low) * j / (deposits - 1) : aim_.a;
        net.push_back({u, a, score_without_pool(c_, x_, setting(u, a)), static_cast<int>(net.size())});
      }
    std::sort(net.begin(), net.end(), [](const Candidate& x, const Candidate& y) {
      return x.at_most != y.at_most ? x.at_most > y.at_most : x.number < y.number;
    });
    int best_number = -1;
    for (const Candidate& n : net) {
      if (n.at_most < best.score) break;
      if (n.at_most == best.score && n.number > best_number) continue;
      const auto found = score_from(c_, x_, setting(n.u, n.a), best.score);
      if (!found || (found->score == best.score && n.number > best_number)) continue;
      best = scored(n.u, n.a, *found);
      best_number = n.number;
    }
    const auto consider = [&](double u, double a) {
      const auto found = score_from(c_, x_, setting(u, a), best.score);
      if (found && found->score > best.score) best = scored(u, a, *found);
    };
    double step_u = (high - low) / (feeds - 1), step_a = (a_high - a_low) / (deposits - 1);
    constexpr int rounds = 24;
    for (int i = 0; i < rounds && best.score < 0; ++i) {
      const double before = best.score, u = best.u, a = best.a;
      for (const double way : {-1.0, 1.0}) {
        if (free_feed_) consider(std::clamp(u + way * step_u, low, high), a);
        if (free_deposit_) consider(u, a + way * step_a);
        // Along a constant travel, on which most pool limits lie.
        if (free_feed_ && free_deposit_) consider(std::clamp(u + way * step_u, low, high), a + way * step_u);
      }
      if (!(best.score > before)) {
        step_u *= 0.5;
        step_a *= 0.5;
      }
    }
    return best;
  }

  [[nodiscard]] PointResult result(const Place& p) const {
    PointResult out;
    out.setting = setting(p.u, p.a);
    out.deposit_mm2 = travel_for_deposit(c_, x_, out.setting.wire_feed_m_per_min, 1.0) / out.setting.travel_mm_per_s;
    out.score = p.score;
    out.surety = p.surety;
    out.holds = p.score >= 0;
    return out;
  }
};

}  // namespace

Interval feed_range(const PassContext& c) {
  double low = 0.3, high = 40.0;
  for (const FieldLimit& limit : c.limits) {
    if (limit.field != F::wire_feed || limit.id == C::user_limit || limit.id == C::procedure) continue;
    if (std::isfinite(limit.low)) low = std::max(low, 0.8 * limit.low);
    if (std::isfinite(limit.high)) high = std::min(high, 1.25 * limit.high);
  }
  return {low, std::max(high, 1.01 * low)};
}

PointResult find_point(const PassContext& c, const ConstantValues& x, const Freedom& freedom) {
  return Search(c, x, freedom).find();
}

Setting aimed_setting(const PassContext& c, const ConstantValues& x) {
  Freedom freedom;
  freedom.feed_m_per_min = c.aim.fixed_feed_m_per_min;
  return Search(c, x, freedom).aim();
}

double point_cost(const PassContext& c, const ConstantValues& x, const Setting& s) { return Search(c, x, {}).cost(s); }

}  // namespace seamwright
