#include "seamwright/box.hpp"

#include <algorithm>
#include <cmath>

#include "plan/operating_point.hpp"
#include "seamwright/pulse.hpp"

namespace seamwright {
namespace {

constexpr double least_share = 0.01;  // a box smaller than this share of the single ranges is none
constexpr int halvings = 9;           // of a share: to 0.2 % of a side's own range
constexpr int fill_steps = 4;         // in which a side that is not in the way grows on

struct Reach {
  double down = 0, up = 0;
};
struct Shares {
  std::array<double, box_side_count> down{}, up{};
  [[nodiscard]] double& of(std::size_t side, int sign) { return sign < 0 ? down[side] : up[side]; }
};
struct Demand {
  double confidence = 0.5;
  SettingAccuracy accuracy;
};

SettingAccuracy scaled(const SettingAccuracy& a, double share) {
  return {share * a.wire_feed, share * a.voltage, share * a.peak_current, a.known};
}

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
    // An arc length the user fixed has no range to trim it in.
    if (!is_dip(c.mode) && c.arc_length_max_mm <= c.arc_length_min_mm && !wish.fixed[2]) fix(2, {0, 0});
    if (c.modulation_amplitude_m_per_min > 0 && modulated && !wish.fixed[4])
      fix(4, {c.modulation_amplitude_m_per_min, c.modulation_amplitude_m_per_min});
    if (c.modulation_frequency_Hz > 0 && modulated && !wish.fixed[5])
      fix(5, {c.modulation_frequency_Hz, c.modulation_frequency_Hz});
    settle_centre();
    if (wish.confidence > 0.5) constants_ = bearing_constants(c_, box_.centre);
    voltage_V_ = evaluate_supply(c_, x_, box_.centre)[F::voltage];
  }

  LockBox solve() {
    const Demand exact, wanted{0.5, box_.accuracy};
    if (const auto stop = fails(Shares{}, exact, true)) return without(*stop);
    for (std::size_t i = 0; i < box_side_count; ++i)
      if (grows(i)) reach_[i] = {reach(i, -1), reach(i, 1)};
    if (const auto stop = fails(Shares{}, wanted, true)) return without_accuracy(*stop);
    const Demand sure{wish_.confidence, box_.accuracy};
    if (const auto stop = fails(Shares{}, sure, true)) return without_confidence(*stop);

    const double common = largest([&](double share) { return !fails(common_shares(share), wanted, false); });
    Shares shares = common_shares(common);
    box_.share = common;
    if (common < 1)
      if (const auto stop = fails(common_shares(std::min(1.0, common + 2 * std::ldexp(1.0, -halvings))), wanted, true))
        box_.first = *stop;
    fill(shares, wanted);
    if (wish_.confidence > 0.5) {
      // All sides give way together, so that a surer box lies inside a less sure one.
      const auto shrunk = [&](double factor) {
        Shares s = shares;
        for (std::size_t i = 0; i < box_side_count; ++i) {
          s.down[i] *= factor;
          s.up[i] *= factor;
        }
        return s;
      };
      const double kept = largest([&](double factor) { return !fails(shrunk(factor), sure, false); });
      if (kept < 1)
        if (const auto stop = fails(shrunk(std::min(1.0, kept + 2 * std::ldexp(1.0, -halvings))), sure, true))
          box_.first = *stop;
      shares = shrunk(kept);
      box_.share *= kept;
    }
    for (std::size_t i = 0; i < box_side_count; ++i) {
      if (!grows(i)) continue;
      box_.sides[i].low = value(shares, i, -1);
      box_.sides[i].high = value(shares, i, 1);
    }
    box_.exists = box_.share >= least_share;
    return box_;
  }

 private:
  const PassContext& c_;
  ConstantValues x_;
  const BoxWish& wish_;
  std::vector<std::size_t> constants_;  // asked only above the nominal confidence
  LockBox box_;
  std::array<Reach, box_side_count> reach_{};
  double voltage_V_ = 0;
  mutable BoxCorner last_failed_{};  // only where the search looks first

  void fix(std::size_t i, Interval range) {
    box_.sides[i].fixed = true;
    box_.sides[i].low = range.low;
    box_.sides[i].high = range.high;
    setting_value(box_.centre, i) = 0.5 * (range.low + range.high);
  }
  [[nodiscard]] bool grows(std::size_t i) const { return box_.sides[i].present && !box_.sides[i].fixed; }

  // A fixed feed or travel moves the point: the free one of the two goes where the corners of the fixed sides have
  // most room. With other sides fixed both go together, at the same deposit, where the point does not stand them.
  void settle_centre() {
    const bool feed_free = !box_.sides[0].fixed, travel_free = !box_.sides[1].fixed;
    const bool any_fixed = std::any_of(box_.sides.begin(), box_.sides.end(), [](const BoxSide& s) { return s.fixed; });
    const auto score = [&] { return worst_of(Shares{}, Demand{}).constraint.score; };
    if (!any_fixed || (!feed_free && !travel_free)) return;
    if (feed_free && travel_free && score() >= 0) return;
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
    if (!box_.sides[4].fixed) box_.centre.modulation_amplitude_m_per_min = s.modulation_amplitude_m_per_min;
    if (!box_.sides[5].fixed) box_.centre.modulation_frequency_Hz = s.modulation_frequency_Hz;
  }

  [[nodiscard]] double value(const Shares& shares, std::size_t i, int sign) const {
    const BoxSide& side = box_.sides[i];
    if (side.fixed) return sign < 0 ? side.low : sign > 0 ? side.high : setting_value(box_.centre, i);
    const double centre = setting_value(box_.centre, i);
    return sign < 0   ? centre - shares.down[i] * reach_[i].down
           : sign > 0 ? centre + shares.up[i] * reach_[i].up
                      : centre;
  }

 public:
  // The accuracy moves a value outwards, towards `sign`.
  static double beyond(std::size_t i, double value, int sign, const SettingAccuracy& accuracy, double voltage_V) {
    if (i == 0) return value * (1 + sign * accuracy.wire_feed);
    if (i == 2) return value + sign * accuracy.voltage * voltage_V;
    if (i == 3) return (1 + value) * (1 + sign * accuracy.peak_current) - 1;
    return value;
  }

 private:
  [[nodiscard]] Setting point(const Shares& shares, const BoxCorner& corner, const Demand& demand) const {
    Setting s = box_.centre;
    for (std::size_t i = 0; i < box_side_count; ++i) {
      const int sign = corner[i];
      if (!box_.sides[i].present || sign == 0) continue;
      setting_value(s, i) = beyond(i, value(shares, i, sign), sign, demand.accuracy, voltage_V_);
    }
    return s;
  }
  [[nodiscard]] Margin worst_at(const Setting& s, double confidence) const {
    return (confidence > 0.5 ? confident_margins(c_, constants_, s, confidence) : setting_margins(c_, x_, s)).worst();
  }

  // Sides along which the corners of a box differ.
  [[nodiscard]] std::array<bool, box_side_count> wide(const Shares& shares, const Demand& demand) const {
    std::array<bool, box_side_count> out{};
    const Setting low = point(shares, {-1, -1, -1, -1, -1, -1}, demand);
    const Setting high = point(shares, {1, 1, 1, 1, 1, 1}, demand);
    for (std::size_t i = 0; i < box_side_count; ++i) out[i] = setting_value(low, i) != setting_value(high, i);
    return out;
  }

  // Calls visit(corner) for every corner and for the middle of every face until it returns true.
  template <class Visit>
  static void each_corner(const std::array<bool, box_side_count>& wide, Visit visit) {
    unsigned sides = 0;
    std::array<std::size_t, box_side_count> index{};
    for (std::size_t i = 0; i < box_side_count; ++i)
      if (wide[i]) index[sides++] = i;
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

  // `side`, `sign`: only the corners on that face.
  [[nodiscard]] BoxStop worst_of(const Shares& shares, const Demand& demand, bool first_failing = false,
                                 std::size_t side = box_side_count, int sign = 0) const {
    BoxStop worst;
    worst.constraint.score = 1e30;
    each_corner(wide(shares, demand), [&](const BoxCorner& corner) {
      if (side < box_side_count && corner[side] != sign) return false;
      const Margin m = worst_at(point(shares, corner, demand), demand.confidence);
      if (m.score < worst.constraint.score) worst = {corner, m};
      return first_failing && m.score < 0;
    });
    return worst;
  }
  // The corner that fails; `named`: the worst one, cut down to the sides that matter.
  [[nodiscard]] std::optional<BoxStop> fails(const Shares& shares, const Demand& demand, bool named,
                                             std::size_t side = box_side_count, int sign = 0) const {
    // The corner that failed last is likely to fail again.
    const bool on_face = side == box_side_count || last_failed_[side] == sign;
    if (!named && on_face) {
      const Margin m = worst_at(point(shares, last_failed_, demand), demand.confidence);
      if (m.score < 0) return BoxStop{last_failed_, m};
    }
    BoxStop stop = worst_of(shares, demand, !named, side, sign);
    if (stop.constraint.score >= 0) return std::nullopt;
    last_failed_ = stop.corner;
    for (std::size_t i = 0; i < box_side_count && named; ++i) {
      BoxCorner without = stop.corner;
      if (without[i] == 0) continue;
      without[i] = 0;
      const Margin m = worst_at(point(shares, without, demand), demand.confidence);
      if (m.score < 0 && m.id == stop.constraint.id) stop = {without, m};
    }
    return stop;
  }

  // Largest share in [0, 1] at which `holds`, to the number of halvings; it holds at 0.
  template <class Holds>
  static double largest(Holds holds) {
    if (holds(1.0)) return 1.0;
    double low = 0, high = 1;
    for (int i = 0; i < halvings; ++i) {
      const double between = 0.5 * (low + high);
      (holds(between) ? low : high) = between;
    }
    return low;
  }

  // How far one setting may go alone, the fixed sides at all their corners.
  double reach(std::size_t i, int sign) {
    const double centre = setting_value(box_.centre, i);
    double far = 0;
    switch (i) {
      case 0:
      case 1:
        far = sign < 0 ? 0.8 * centre : 3 * centre;
        break;
      case 2:
        far = is_dip(c_.mode)
                  ? c_.dip_trim_V
                  : 0.5 * (c_.arc_length_max_mm - c_.arc_length_min_mm) * x_[static_cast<std::size_t>(K::arc_field)];
        break;
      case 3:
        far =
            std::abs(sign < 0 ? peak_trim_window(c_.criterion_window).low : peak_trim_window(c_.criterion_window).high);
        break;
      case 4:
        far = sign < 0 ? centre : box_.centre.wire_feed_m_per_min;
        break;
      default:
        far = sign < 0 ? 0.95 * centre : 4 * centre;
        break;
    }
    far *= 1.001;  // so that the limit itself ends it
    const Demand exact;
    const auto alone = [&](double share) {
      Shares s;
      s.of(i, sign) = share;
      return s;
    };
    reach_[i] = sign < 0 ? Reach{far, reach_[i].up} : Reach{reach_[i].down, far};
    constexpr int looks = 5;
    double inside = 0, outside = 1;
    bool open = true;
    for (int k = 1; k <= looks && open; ++k) {
      const double share = static_cast<double>(k) / looks;
      if (fails(alone(share), exact, false)) {
        outside = share;
        open = false;
      } else {
        inside = share;
      }
    }
    for (int k = 0; k < halvings - 2 && !open; ++k) {
      const double between = 0.5 * (inside + outside);
      (fails(alone(between), exact, false) ? outside : inside) = between;
    }
    BoxSide& side = box_.sides[i];
    BoxStop& stop = sign < 0 ? side.low_stop : side.high_stop;
    if (!open)
      if (const auto named = fails(alone(outside), exact, true)) stop = *named;
    reach_[i] = sign < 0 ? Reach{0, reach_[i].up} : Reach{reach_[i].down, 0};
    return inside * far;
  }

  [[nodiscard]] double weight(std::size_t i) const {
    double most = 0;
    for (std::size_t k = 0; k < box_side_count; ++k)
      if (grows(k)) most = std::max(most, wish_.weight[k]);
    return most > 0 ? wish_.weight[i] / most : 1.0;
  }
  [[nodiscard]] Shares common_shares(double share) const {
    Shares s;
    for (std::size_t i = 0; i < box_side_count; ++i)
      if (grows(i)) s.down[i] = s.up[i] = share * weight(i);
    return s;
  }

  // Every face goes on by itself, a step at a time in turn, until a corner on it stops it.
  void fill(Shares& shares, const Demand& demand) {
    const auto on_face = [&](const Shares& s, std::size_t i, int sign, bool named) {
      return fails(s, demand, named, i, sign);
    };
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
          if (!on_face(shares, i, sign, false)) {
            moved = true;
            continue;
          }
          double inside = before, outside = share;
          for (int k = 0; k < halvings - 3; ++k) {
            share = 0.5 * (inside + outside);
            (on_face(shares, i, sign, false) ? outside : inside) = share;
          }
          share = outside;
          BoxSide& side = box_.sides[i];
          if (const auto stop = on_face(shares, i, sign, true)) (sign < 0 ? side.low_stop : side.high_stop) = *stop;
          share = inside;
          stopped = true;
        }
    }
  }

  LockBox without(const BoxStop& stop) {
    box_.first = stop;
    return box_;
  }
  LockBox without_accuracy(const BoxStop& stop) {
    box_.killed_by_accuracy = true;
    box_.accuracy_that_opens = largest([&](double share) {
      return !fails(Shares{}, {0.5, scaled(box_.accuracy, share)}, false);
    });
    const auto alone = [&](double SettingAccuracy::*which) {
      SettingAccuracy only;
      const double full = box_.accuracy.*which;
      return full * largest([&](double share) {
               only.*which = share * full;
               return !fails(Shares{}, {0.5, only}, false);
             });
    };
    box_.accuracy_alone = {alone(&SettingAccuracy::wire_feed), alone(&SettingAccuracy::voltage),
                           alone(&SettingAccuracy::peak_current), true};
    return without(stop);
  }
  LockBox without_confidence(const BoxStop& stop) {
    box_.killed_by_confidence = true;
    const double span = wish_.confidence - 0.5;
    box_.confidence_that_opens = 0.5 + span * largest([&](double share) {
                                         return !fails(Shares{}, {0.5 + share * span, box_.accuracy}, false);
                                       });
    return without(stop);
  }
};

}  // namespace

double& setting_value(Setting& s, std::size_t side) {
  switch (side) {
    case 0:
      return s.wire_feed_m_per_min;
    case 1:
      return s.travel_mm_per_s;
    case 2:
      return s.arc_trim_V;
    case 3:
      return s.peak_trim;
    case 4:
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

Setting corner_setting(const PassContext& c, const LockBox& box, const BoxCorner& corner) {
  const double voltage_V = evaluate_supply(c, nominal_values(c.constants), box.centre)[F::voltage];
  Setting s = box.centre;
  for (std::size_t i = 0; i < box_side_count; ++i) {
    if (!box.sides[i].present || corner[i] == 0) continue;
    const double value = corner[i] < 0 ? box.sides[i].low : box.sides[i].high;
    setting_value(s, i) = BoxSolver::beyond(i, value, corner[i], box.accuracy, voltage_V);
  }
  return s;
}

}  // namespace seamwright
