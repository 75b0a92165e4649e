// The nearest setting that holds better: rings about the setting in the logarithms of feed and travel, each point of
// them as it can be set, until one is sound.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "seamwright/confidence.hpp"
#include "seamwright/pulse.hpp"
#include "trial/assess_parts.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

constexpr double nothing = -std::numeric_limits<double>::infinity();
const std::array<double, 3> targets{least_surety(Grade::scrap), least_surety(Grade::likely),
                                    least_surety(Grade::sound)};

// What can be set: steps of a dial, else of the display.
class Steps {
 public:
  Steps(const Case& c, F id) : id_(id) {
    if (!c.equipment) return;
    for (const Dial& dial : c.equipment->dials)
      if (dial.field == id) dial_ = &dial;
  }
  [[nodiscard]] double nearest(double value) const {
    const double scale = std::pow(10.0, dial_ != nullptr ? dial_->decimals : field(id_).decimals);
    if (dial_ == nullptr) return std::round(value * scale) / scale;
    const double low = std::min(dial_->low, dial_->high), high = std::max(dial_->low, dial_->high);
    const double reading = std::clamp(std::round(dial_reading(*dial_, value) * scale) / scale, low, high);
    return dial_->zero_value + (reading - dial_->at_zero) * dial_->per_step;
  }

 private:
  F id_;
  const Dial* dial_ = nullptr;
};

class Search {
 public:
  Search(const Plan& plan, std::size_t pass, const Setting& from)
      : c_(plan.contexts[pass]),
        x_(nominal_values(c_.constants)),
        from_(from),
        feed_(plan.resolved, F::wire_feed),
        travel_(plan.resolved, F::travel),
        trim_(plan.resolved, F::arc_length_trim) {
    point_ = plan.passes[pass].window.band.best;
  }

  // The nearest of each grade, sound last.
  [[nodiscard]] std::optional<NearestSetting> find(std::optional<Grade> grade) {
    work_out_spreads(c_, point_, c_.aim.feed_setting_share);
    std::array<std::optional<Setting>, targets.size()> found;
    for (const Setting& start : starts()) {
      rings(start, found);
      if (found.back()) break;
    }
    for (std::size_t i = targets.size(); i-- > 0;) {
      if (!found[i] || (grade && i <= static_cast<std::size_t>(*grade))) continue;
      NearestSetting near = as_setting(*found[i]);
      if (!grade || near.grade > *grade) return near;
    }
    return std::nullopt;
  }

 private:
  PassContext c_;
  ConstantValues x_;
  Setting from_, point_;
  Steps feed_, travel_, trim_;
  int looks_ = 400;  // at most so many settings are looked at with spreads of their own

  // With the trims brought into their ranges, as far as they must; then without them.
  [[nodiscard]] std::vector<Setting> starts() const {
    Setting inside = from_;
    inside.modulation_frequency_Hz = inside.modulation_amplitude_m_per_min = 0;
    const double half_V = trim_half_V(c_, x_);
    if (std::abs(inside.arc_trim_V) > half_V) {
      // A step inside, so that it holds as it can be set.
      const double step = std::pow(10.0, -field(F::arc_length_trim).decimals);
      inside.arc_trim_V = trim_.nearest(std::copysign(std::max(0.0, half_V - step), inside.arc_trim_V));
      if (std::abs(inside.arc_trim_V) > half_V) inside.arc_trim_V = 0;
    }
    if (is_pulsed(c_.mode)) {
      const TrimWindow window = peak_trim_window(c_.pulse.criterion_window, c_.pulse.criterion_exponent);
      if (inside.peak_trim < window.low || inside.peak_trim > window.high) inside.peak_trim = 0;
    }
    std::vector<Setting> list{inside};
    if (inside.arc_trim_V != 0 || inside.peak_trim != 0) {
      inside.arc_trim_V = inside.peak_trim = 0;
      list.push_back(inside);
    }
    return list;
  }

  // Surety of the least sure limit; `nothing` where one is broken.
  [[nodiscard]] double surety(const Setting& s) const {
    double least = std::numeric_limits<double>::infinity();
    for (const Margin& m : setting_margins(c_, x_, s)) {
      if (m.score < -same_score) return nothing;
      if (!is_set_exactly(m.id)) least = std::min(least, m.surety);
    }
    return least;
  }
  // The same with the spreads that belong to that setting, not to the plan's point.
  [[nodiscard]] double surety_there(const Setting& s) const {
    double least = std::numeric_limits<double>::infinity();
    for (const AssessedLimit& l : assessed_limits(c_, s)) {
      if (l.broken) return nothing;
      if (!is_set_exactly(l.margin.id)) least = std::min(least, l.margin.surety);
    }
    return least;
  }
  [[nodiscard]] Setting modulated(Setting s) const {
    settle_modulation(c_, x_, s);
    return s;
  }

  static double distance(const Setting& a, const Setting& b) {
    return std::hypot(std::log(a.wire_feed_m_per_min / b.wire_feed_m_per_min),
                      std::log(a.travel_mm_per_s / b.travel_mm_per_s));
  }

  void rings(const Setting& start, std::array<std::optional<Setting>, targets.size()>& found) {
    const bool modulated_pass = c_.mode == Mode::double_pulse;
    const int directions = modulated_pass ? 24 : 48;
    const double step = modulated_pass ? 0.04 : 0.02, reach = 2.5;
    const auto consider = [&](Setting s) {
      if (!(s.wire_feed_m_per_min > 0) || !(s.travel_mm_per_s > 0)) return;
      double here = surety(s);
      if (here == nothing) return;
      if (modulated_pass) {
        s = modulated(s);
        here = surety(s);
      }
      const auto wanted = [&] {
        for (std::size_t i = 0; i < targets.size(); ++i)
          if (!found[i] && here >= targets[i]) return true;
        return false;
      };
      if (!wanted() || looks_ == 0) return;
      --looks_;
      here = std::min(here, surety_there(s));
      for (std::size_t i = 0; i < targets.size(); ++i)
        if (!found[i] && here >= targets[i]) found[i] = s;
    };
    // The plan's own point ends the search, if nothing nearer does.
    Setting last = start;
    last.wire_feed_m_per_min = feed_.nearest(point_.wire_feed_m_per_min);
    last.travel_mm_per_s = travel_.nearest(point_.travel_mm_per_s);
    for (double r = 0; r <= reach && !found.back(); r += step) {
      if (r > 0 && distance(start, last) < r) consider(last);
      for (int k = 0; k < (r > 0 ? directions : 1); ++k) {
        // One knob alone before both.
        const int quarter = directions / 4;
        const int at = k < 4 ? k * quarter : (k - 4) + (k - 4) / (quarter - 1) + 1;
        const double angle = 2 * std::numbers::pi * at / directions;
        Setting s = start;
        const double up = r * std::cos(angle), along = r * std::sin(angle);
        if (std::abs(up) > 1e-9) s.wire_feed_m_per_min = feed_.nearest(start.wire_feed_m_per_min * std::exp(up));
        if (std::abs(along) > 1e-9) s.travel_mm_per_s = travel_.nearest(start.travel_mm_per_s * std::exp(along));
        consider(s);
      }
    }
  }

  [[nodiscard]] NearestSetting as_setting(const Setting& s) const {
    NearestSetting near;
    near.setting = s;
    near.values = evaluate(c_, x_, s);
    const double least = surety_there(s);
    near.grade = grade_of(least);
    near.probability = probability_of(least);
    const FieldValues before = evaluate_supply(c_, x_, from_);
    for (const F id : {F::wire_feed, F::voltage, F::arc_length_trim, F::peak_current, F::modulation_amplitude,
                       F::modulation_frequency, F::travel}) {
      const double a = before[id], b = near.values[id];
      if (!applies(a) || !applies(b)) continue;
      const double scale = std::pow(10.0, field(id).decimals);
      if (std::round(a * scale) != std::round(b * scale)) near.changes.push_back({id, a, b});
    }
    return near;
  }
};

}  // namespace

std::optional<NearestSetting> nearest_setting(const Plan& plan, std::size_t pass, const Setting& from,
                                              std::optional<Grade> grade) {
  return Search(plan, pass, from).find(grade);
}

}  // namespace seamwright
