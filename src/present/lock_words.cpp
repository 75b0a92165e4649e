#include "present/lock_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace seamwright {
namespace {

struct SideWords {
  std::string_view low, high;
};
constexpr std::array<SideWords, box_side_count> side_words{{{"low feed", "high feed"},
                                                            {"slow travel", "fast travel"},
                                                            {"short arc", "long arc"},
                                                            {"low peak", "high peak"},
                                                            {"small swing", "large swing"},
                                                            {"slow ripple", "quick ripple"}}};
constexpr std::size_t travel_side = 1, trim_side = 2, peak_side = 3;

std::string percent(double share) {
  const bool whole = std::abs(100 * share - std::round(100 * share)) < 1e-9;
  const bool fine = !whole && ((share > 0 && share < 0.1) || share > 0.99);
  return fixed_text(100 * share, fine ? 1 : 0) + " %";
}

constexpr double slack = 1e-9;  // what stands for a printed value already

int decimals_of(const FieldInfo& info, Units units) { return units == Units::us ? info.us_decimals : info.decimals; }

// A printed range never reaches beyond the one computed: ends are rounded inwards, but never past the set point as it
// is printed, and with more decimals where the range is narrower than one step of the last.
std::string inward_range(const FieldInfo& info, double low, double high, double point, Units units) {
  const double a = in_units(info, low, units), b = in_units(info, high, units);
  int decimals = decimals_of(info, units);
  const double shown_scale = std::pow(10.0, decimals);
  const double shown = std::round(in_units(info, point, units) * shown_scale) / shown_scale;
  for (const int most = decimals + 3;; ++decimals) {
    const double scale = std::pow(10.0, decimals);
    double from = std::ceil(a * scale - slack) / scale, to = std::floor(b * scale + slack) / scale;
    if (shown >= a && shown <= b) {
      from = std::min(from, shown);
      to = std::max(to, shown);
    }
    if (from < to || decimals == most || a == b)
      return a == b ? fixed_text(a, decimals)
                    : fmt::format("{} to {}", fixed_text(from, decimals), fixed_text(std::max(from, to), decimals));
  }
}

std::string inward_end(const FieldInfo& info, double metric, bool low, Units units) {
  const int decimals = decimals_of(info, units);
  const double shown = in_units(info, metric, units), scale = std::pow(10.0, decimals);
  return fixed_text((low ? std::ceil(shown * scale - slack) : std::floor(shown * scale + slack)) / scale, decimals);
}

std::string stop_text(const BoxStop& stop, Mode mode) {
  return fmt::format("{}: {}", corner_words(stop.corner, mode), constraint(stop.constraint.id).label);
}

}  // namespace

double side_in_field(std::size_t side, double value) { return side == peak_side ? 100.0 * value : value; }

std::string corner_words(const BoxCorner& corner, Mode mode) {
  std::string text;
  for (std::size_t i = 0; i < box_side_count; ++i) {
    if (corner[i] == 0) continue;
    std::string_view word = corner[i] < 0 ? side_words[i].low : side_words[i].high;
    if (i == trim_side && is_dip(mode)) word = corner[i] < 0 ? "low voltage" : "high voltage";
    text += fmt::format("{}{}", text.empty() ? "" : ", ", word);
  }
  return text.empty() ? "the recommended point" : text;
}

std::string inward_words(const FieldInfo& info, const Interval& range, Units units) {
  const bool low = std::isfinite(range.low), high = std::isfinite(range.high);
  constexpr double no_point = std::numeric_limits<double>::quiet_NaN();
  if (low && high) return inward_range(info, range.low, range.high, no_point, units);
  return low ? "at least " + inward_end(info, range.low, true, units)
             : "at most " + inward_end(info, range.high, false, units);
}

std::string box_side_range(const LockBox& box, std::size_t i, Units units) {
  const BoxSide& side = box.sides[i];
  if (!box.exists || !side.present) return {};
  const FieldInfo& info = field(box_fields[i]);
  if (side.follows) {
    const std::string low = quantity_text(info, side.low, units), high = quantity_text(info, side.high, units);
    return low == high ? low : fmt::format("{} to {}", low, high);
  }
  return inward_range(info, side_in_field(i, side.low), side_in_field(i, side.high),
                      side_in_field(i, setting_value(box.centre, i)), units);
}

std::span<const Knob> knobs() {
  static constexpr std::array<Knob, 6> all{{{F::wire_feed, F::wire_feed},
                                            {F::voltage, F::arc_length_trim},
                                            {F::peak_current, F::peak_current_trim},
                                            {F::modulation_amplitude, F::modulation_amplitude},
                                            {F::modulation_frequency, F::modulation_frequency},
                                            {F::travel, F::travel}}};
  return all;
}

std::string knob_lock_words(const Knob& knob, const LockBox& box, Units units, bool unit_told) {
  const auto* at = std::find(box_fields.begin(), box_fields.end(), knob.locked);
  const auto side = static_cast<std::size_t>(at - box_fields.begin());
  std::string text = box_side_range(box, side, units);
  if (text.empty()) return text;
  if (knob.locked != knob.set) text.insert(0, "trim ");
  if (unit_told || knob.locked != knob.set) text += fmt::format(" {}", unit_of(field(knob.locked), units));
  if (box.sides[side].follows && box.sides[0].low < box.sides[0].high) text += " with the feed";
  if (const std::string stray = box_stray(box); box.sides[side].follows && !stray.empty()) text += ", +-" + stray;
  return text;
}

std::string box_ranges(const LockBox& box, Units units) {
  std::string text;
  for (std::size_t i = 0; i < box_side_count && box.exists; ++i) {
    if (!box.sides[i].present || box.sides[i].follows) continue;
    const FieldInfo& info = field(box_fields[i]);
    const std::string_view unit = unit_of(info, units);
    text += fmt::format("{}{} {}{}{}", text.empty() ? "" : ", ", info.label, box_side_range(box, i, units),
                        unit.empty() ? "" : " ", unit);
  }
  return text;
}

std::string box_feed(const LockBox& box, Units units) { return box_side_range(box, 0, units); }

std::string box_stray(const LockBox& box) {
  return box.travel_tolerance > 0 ? percent(box.travel_tolerance) : std::string();
}

std::string box_travel_words(const LockBox& box, std::string_view bead, Units units) {
  const BoxSide& travel = box.sides[travel_side];
  if (!box.exists || !travel.follows) return {};
  const FieldInfo &speed = field(F::travel), &feed = field(F::wire_feed);
  std::string stray = box_stray(box);
  if (!stray.empty()) stray.insert(0, ", give or take ");
  const BoxSide& wire = box.sides[0];
  if (wire.low == wire.high)
    return fmt::format("To keep the {}: travel {}{}.", bead, quantity_with_unit(speed, travel.low, units), stray);
  return fmt::format("To keep the {}, travel follows the feed: {} {} at {} {} to {} {} at {} {}{}.", bead,
                     quantity_text(speed, travel.low, units), unit_of(speed, units),
                     inward_end(feed, wire.low, true, units), unit_of(feed, units),
                     quantity_text(speed, travel.high, units), unit_of(speed, units),
                     inward_end(feed, wire.high, false, units), unit_of(feed, units), stray);
}

std::string box_display_words(const LockBox& box, Units units) {
  if (!box.exists || !box.accuracy.known || !(box.accuracy.wire_feed > 0) || box.sides[0].fixed) return {};
  const FieldInfo& feed = field(F::wire_feed);
  const std::string off = percent(box.accuracy.wire_feed);
  if (!box.feed_if_display_off)
    return fmt::format(
        "Where the display may be {} off no feed is certain: measure the wire fed in a quarter of a minute.", off);
  return fmt::format("Where the display may be {} off: {} {} {}.", off, feed.label,
                     inward_range(feed, box.feed_if_display_off->low, box.feed_if_display_off->high,
                                  0.5 * (box.feed_if_display_off->low + box.feed_if_display_off->high), units),
                     unit_of(feed, units));
}

std::string box_dials(const LockBox& box, const Equipment& equipment) {
  std::string text;
  for (std::size_t i = 0; i < box_side_count && box.exists; ++i) {
    const BoxSide& side = box.sides[i];
    for (const Dial& dial : equipment.dials) {
      if (!side.present || dial.field != box_fields[i]) continue;
      const double a = dial_reading(dial, side_in_field(i, side.low));
      const double b = dial_reading(dial, side_in_field(i, side.high));
      const double scale = std::pow(10.0, dial.decimals);
      const double from = std::ceil(std::max(std::min(a, b), dial.low) * scale - slack) / scale;
      const double to = std::floor(std::min(std::max(a, b), dial.high) * scale + slack) / scale;
      text += text.empty() ? "" : ", ";
      if (from > to)
        text += fmt::format("{}: no step of it lies inside", dial.name);
      else if (from == to)
        text += fmt::format("{} {}", dial.name, fixed_text(from, dial.decimals));
      else
        text += fmt::format("{} {} to {}", dial.name, fixed_text(from, dial.decimals), fixed_text(to, dial.decimals));
    }
  }
  return text;
}

std::string box_stop_words(const LockBox& box, Mode mode) {
  std::string text = box.first.constraint.id == C::none
                         ? std::string("No limit is in the way of these ranges.")
                         : fmt::format("Ended by the corner {}.", stop_text(box.first, mode));
  if (box.confidence > 0.5) text += fmt::format(" Every corner holds at {} confidence.", percent(box.confidence));
  return text;
}

std::string no_box_words(const LockBox& box, Mode mode) {
  if (box.narrow)
    return fmt::format("too narrow to lock ({}). {}", stop_text(box.first, mode),
                       box.first.constraint.id == C::none
                           ? ""
                           : fmt::format("What widens it: {}.", constraint(box.first.constraint.id).remedy));
  return fmt::format("no ranges: the fixed sides do not hold ({}).", stop_text(box.first, mode));
}

std::string turn_words(const Turn& turn) {
  std::string text = turn.travel > 0 ? "faster travel" : turn.travel < 0 ? "slower travel" : "";
  if (turn.feed != 0) text += fmt::format("{}{} wire", text.empty() ? "" : " or ", turn.feed > 0 ? "more" : "less");
  return text;
}

std::string grade_words(const PassGrade& g) {
  const ConstraintInfo& info = constraint(g.weakest.id);
  std::string text(grade_label(g.grade));
  if (g.weakest.id == C::none) return text;
  text += fmt::format(": {} sure; weakest limit: {}", percent(g.probability), info.label);
  if (const std::string turn = turn_words(g.turn); !turn.empty())
    text += fmt::format(". If {}: {}", info.symptom.empty() ? "it gives out" : info.symptom, turn);
  return text;
}

std::string remark_words(const PassGrade::Remark& remark, Units units) {
  const Margin& m = remark.margin;
  const FieldInfo& info = field(m.field);
  return fmt::format("{}: {} {}, {} {} {}, refused {} {}", constraint(m.id).label, info.label,
                     quantity_with_unit(info, m.value, units), "easy", m.upper ? "up to" : "from",
                     quantity_with_unit(info, m.limit, units), m.upper ? "above" : "below",
                     quantity_with_unit(info, remark.last, units));
}

std::string confident_words(const ConfidentBand& band, Units units) {
  const FieldInfo& info = field(F::wire_feed);
  const std::string confidence = percent(band.confidence);
  if (band.exists) {
    const auto end = [](const BandEnd& e) { return constraint(e.constraint.id).label; };
    return fmt::format("At {} confidence: {} {} {} (low: {}, high: {}).", confidence, info.label,
                       inward_range(info, band.low.wire_feed_m_per_min, band.high.wire_feed_m_per_min,
                                    0.5 * (band.low.wire_feed_m_per_min + band.high.wire_feed_m_per_min), units),
                       unit_of(info, units), end(band.low), end(band.high));
  }
  return fmt::format("At {} confidence no wire feed holds everything: at the recommended point {} holds at {}.",
                     confidence, constraint(band.weakest.id).label, percent(band.held));
}

}  // namespace seamwright
