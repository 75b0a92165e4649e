#include "seamwright/confidence.hpp"

#include <algorithm>
#include <boost/math/special_functions/erf.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <vector>

#include "plan/operating_point.hpp"
#include "seamwright/pulse.hpp"

namespace seamwright {
namespace {

constexpr double surest = 0.999;  // no greater confidence is stated: the tails are not known that far

// Which constraint a margin is, across evaluations: the ends of a modulation band and the two ways to fuse a root
// change their id as another limit takes over.
struct Slot {
  C id;
  F field;
  bool upper;
  bool operator==(const Slot&) const = default;
};
Slot slot_of(const Margin& m) {
  switch (m.id) {
    case C::root_fusion:
    case C::wall_fusion:
    case C::full_penetration:
      return {C::root_fusion, F::penetration, false};
    case C::modulation_burn_through:
      break;
    default:
      if (m.field == F::modulation_frequency || m.field == F::modulation_amplitude)
        return {C::modulation_usual, m.field, m.upper};
  }
  return {m.id, m.field, m.upper};
}

const Margin* find(const MarginList& list, const Slot& slot, std::size_t guess) {
  if (guess < list.size && slot_of(list.items[guess]) == slot) return &list.items[guess];
  for (const Margin& m : list)
    if (slot_of(m) == slot) return &m;
  return nullptr;
}

// How a score falls with the quantile z: score - slope z + shift + curve z^2.
struct Fall {
  double slope = 0, shift = 0, curve = 0;
  [[nodiscard]] double at(double score, double z) const { return score - slope * z + shift + curve * z * z; }
};
struct Spread {
  MarginList nominal;
  std::array<Fall, MarginList::capacity> fall{};
};

Spread spread_at(const PassContext& c, std::span<const std::size_t> constants, const Setting& s, double z) {
  const ConstantValues x = nominal_values(c.constants);
  Spread spread{setting_margins(c, x, s), {}};
  MarginList& nominal = spread.nominal;
  // Steps of at least one standard deviation: a kink (a back that begins to melt) is seen where it matters.
  const double steps = std::max(z, 1.0);
  struct Moved {
    std::size_t constant;
    double sigma;
    MarginList up, down;
  };
  std::vector<Moved> moves;
  moves.reserve(constants.size());
  for (const std::size_t k : constants) {
    const double sigma = c.constants[k].half_width_90 / normal_quantile(0.95);
    const auto moved = [&](double by) {
      ConstantValues y = x;
      y[k] += by;
      return setting_margins(c, y, s);
    };
    moves.push_back({k, sigma, moved(steps * sigma), moved(-steps * sigma)});
    // A constraint that only bears once a constant moves has the room it has there.
    for (const MarginList* list : {&moves.back().up, &moves.back().down})
      for (const Margin& m : *list)
        if (find(nominal, slot_of(m), 0) == nullptr && nominal.size < MarginList::capacity)
          nominal.items[nominal.size++] = m;
  }
  constexpr double leap = 0.5;  // second change over first from which a gain is no measure of the loss
  std::vector<double> slope(moves.size());
  for (std::size_t i = 0; i < nominal.size; ++i) {
    const Slot slot = slot_of(nominal.items[i]);
    const double score = nominal.items[i].score;
    const auto in = [&](const MarginList& list) {
      const Margin* m = find(list, slot, i);
      return m == nullptr ? score : m->score;
    };
    double squares = 0, bend = 0;
    for (std::size_t k = 0; k < moves.size(); ++k) {
      const double up = in(moves[k].up), down = in(moves[k].down);
      slope[k] = (up - down) / (2 * steps);
      const double second = (up + down - 2 * score) / (2 * steps * steps);
      // A gain out of all proportion (a root that then melts right through) is no curvature: the loss counts.
      if (second * steps > leap * std::abs(slope[k]))
        slope[k] = std::copysign(std::max(0.0, score - std::min(up, down)) / steps, slope[k]);
      else
        bend += second;
      squares += slope[k] * slope[k];
    }
    Fall& fall = spread.fall[i];
    fall.slope = std::sqrt(squares);
    // Far from its limit a constraint needs no more than that.
    constexpr double far = 2;
    if (fall.slope <= 0 || fall.at(score, steps) + std::min(0.0, bend) > far) continue;
    // All constants at once, each by its part in the fall: what they do together.
    ConstantValues y = x;
    for (std::size_t k = 0; k < moves.size(); ++k)
      y[moves[k].constant] -= steps * moves[k].sigma * slope[k] / fall.slope;
    const double together = (in(setting_margins(c, y, s)) - score + fall.slope * steps) / (steps * steps);
    fall.shift = std::min(0.0, bend - together);
    // A surer demand is never easier to meet.
    fall.curve = std::min(together, fall.slope / (2 * normal_quantile(surest)));
  }
  return spread;
}

// The confidence at which a margin holds at a point.
double held_at(double score, const Fall& fall) {
  const double room = score + fall.shift;
  if (fall.slope <= 0) return room >= 0 ? surest : 0.0;
  // The smaller root of room - slope z + curve z^2 = 0, without cancellation.
  const double root = fall.slope * fall.slope - 4 * fall.curve * room;
  if (root < 0) return surest;
  return std::min(surest, normal_share(2 * room / (fall.slope + std::sqrt(root))));
}

}  // namespace

double normal_quantile(double confidence) {
  return std::sqrt(2.0) * boost::math::erf_inv(2.0 * std::clamp(confidence, 0.5, surest) - 1.0);
}

double normal_share(double quantile) { return 0.5 * (1.0 + boost::math::erf(quantile / std::sqrt(2.0))); }

MarginList setting_margins(const PassContext& c, const ConstantValues& x, const Setting& s) {
  const FieldValues f = evaluate_for_margins(c, x, s);
  MarginList list = margins(c, x, f, s.modulation_frequency_Hz > 0);
  const auto add = [&](C id, F field, bool upper, double value, double limit, double scale) {
    if (list.size == MarginList::capacity) return;
    list.items[list.size++] = {id, field, upper, value, limit, (upper ? limit - value : value - limit) / scale, 0};
  };
  if (is_dip(c.mode)) {
    add(C::dip_voltage_range, F::arc_length_trim, false, s.arc_trim_V, -c.dip_trim_V, c.dip_trim_V);
    add(C::dip_voltage_range, F::arc_length_trim, true, s.arc_trim_V, c.dip_trim_V, c.dip_trim_V);
  } else if (const double half = 0.5 * (c.arc_length_max_mm - c.arc_length_min_mm); half > 0) {
    add(C::arc_length_range, F::arc_length, false, f[F::arc_length], c.arc_length_min_mm, half);
    add(C::arc_length_range, F::arc_length, true, f[F::arc_length], c.arc_length_max_mm, half);
  }
  if (is_pulsed(c.mode)) {
    const TrimWindow window = peak_trim_window(c.criterion_window);
    const double trim = f[F::peak_current_trim], low = 100.0 * window.low, high = 100.0 * window.high;
    add(C::drop_criterion, F::peak_current_trim, false, trim, low, -low);
    add(C::drop_criterion, F::peak_current_trim, true, trim, high, high);
  }
  return list;
}

std::vector<std::size_t> bearing_constants(const PassContext& c, const Setting& s) {
  const ConstantValues x = nominal_values(c.constants);
  std::array<Setting, 3> settings{s, s, s};
  settings[1].wire_feed_m_per_min *= 0.7;
  settings[2].wire_feed_m_per_min *= 1.5;
  std::vector<std::size_t> bearing;
  for (std::size_t k = 0; k < model_constant_count; ++k) {
    const double half = c.constants[k].half_width_90;
    if (half <= 0) continue;
    ConstantValues y = x;
    y[k] += half;
    const bool bears = std::any_of(settings.begin(), settings.end(), [&](const Setting& at) {
      const MarginList before = setting_margins(c, x, at), after = setting_margins(c, y, at);
      return before.size != after.size ||
             !std::equal(before.begin(), before.end(), after.begin(),
                         [](const Margin& a, const Margin& b) { return a.score == b.score; });
    });
    // What holds a melted back up bears only where one melts.
    const bool back =
        k == static_cast<std::size_t>(K::surface_tension) || k == static_cast<std::size_t>(K::melt_density);
    if (bears || back) bearing.push_back(k);
  }
  return bearing;
}

MarginList confident_margins(const PassContext& c, std::span<const std::size_t> constants, const Setting& s,
                             double confidence) {
  const double z = normal_quantile(confidence);
  if (z <= 0) return setting_margins(c, nominal_values(c.constants), s);
  Spread spread = spread_at(c, constants, s, z);
  for (std::size_t i = 0; i < spread.nominal.size; ++i) {
    double& score = spread.nominal.items[i].score;
    score = spread.fall[i].at(score, z);
  }
  return spread.nominal;
}

ConfidentBand confident_band(const PassContext& c, const Window& window, double confidence) {
  ConfidentBand out;
  out.confidence = confidence;
  const ConstantValues x = nominal_values(c.constants);
  const Band& band = window.band;
  const std::vector<std::size_t> constants = bearing_constants(c, band.best);
  const auto setting_at = [&](double feed) {
    Setting s = on_line(c, x, window.line, feed);
    s.modulation_frequency_Hz = band.best.modulation_frequency_Hz;
    // Frequency is held; the amplitude follows the feed as it does on the nominal band.
    s.modulation_amplitude_m_per_min = band.best.modulation_amplitude_m_per_min;
    return s;
  };

  // How surely everything holds at the recommended point.
  const Spread spread = spread_at(c, constants, band.best, normal_quantile(confidence));
  out.held = 2;
  for (std::size_t i = 0; i < spread.nominal.size; ++i) {
    const Margin& m = spread.nominal.items[i];
    // Settings themselves are exact: their own ranges are not a matter of confidence.
    if (spread.fall[i].slope <= 0 && m.score >= 0) continue;
    const double held = held_at(m.score, spread.fall[i]);
    if (held < out.held) {
      out.held = held;
      out.weakest = m;
    }
  }
  if (out.held > 1) out.held = surest;
  if (!band.feasible) return out;

  const auto worst = [&](double feed) { return confident_margins(c, constants, setting_at(feed), confidence).worst(); };
  // Points from end to end of the nominal band, the recommended one among them.
  constexpr int points = 7;
  const double from = band.low.wire_feed_m_per_min, to = band.high.wire_feed_m_per_min;
  std::array<double, points> feed{}, score{};
  for (int i = 0; i < points; ++i) feed[static_cast<std::size_t>(i)] = from + (to - from) * i / (points - 1);
  if (const double best_feed = band.best.wire_feed_m_per_min; best_feed > from && best_feed < to)
    *std::min_element(feed.begin() + 1, feed.end() - 1, [&](double a, double b) {
      return std::abs(a - best_feed) < std::abs(b - best_feed);
    }) = best_feed;
  std::transform(feed.begin(), feed.end(), score.begin(), [&](double w) { return worst(w).score; });
  const int best = static_cast<int>(std::max_element(score.begin(), score.end()) - score.begin());
  const auto at = [](const auto& list, int i) { return list[static_cast<std::size_t>(i)]; };
  if (at(score, best) < 0) return out;
  out.exists = true;
  const auto end = [&](int step) {
    int i = best;
    while (i + step >= 0 && i + step < points && at(score, i + step) >= 0) i += step;
    double inside = at(feed, i);
    if (i + step < 0 || i + step >= points) return BandEnd{inside, setting_at(inside).travel_mm_per_s, worst(inside)};
    const double outside = at(feed, i + step);
    const double near = 1e-4 * std::abs(outside - inside);
    Margin stop = worst(outside);
    const auto score_at = [&](double w) {
      const Margin m = worst(w);
      if (m.score < 0) stop = m;
      return m.score;
    };
    std::uintmax_t tries = 20;
    const auto close = [near](double a, double b) { return std::abs(a - b) < near; };
    const auto bracket = boost::math::tools::toms748_solve(
        score_at, std::min(inside, outside), std::max(inside, outside), step > 0 ? at(score, i) : at(score, i + step),
        step > 0 ? at(score, i + step) : at(score, i), close, tries);
    inside = step > 0 ? bracket.first : bracket.second;
    return BandEnd{inside, setting_at(inside).travel_mm_per_s, stop};
  };
  out.low = end(-1);
  out.high = end(1);
  return out;
}

}  // namespace seamwright
