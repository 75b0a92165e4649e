#include "io/lock_words.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

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
constexpr std::size_t trim_side = 2, peak_side = 3;

std::string percent(double share) {
  const bool fine = (share > 0 && share < 0.1) || share > 0.99;
  return fixed_text(100 * share, fine ? 1 : 0) + " %";
}

// A printed range never reaches beyond the one computed: ends are rounded inwards, with more decimals where the range
// is narrower than one step of the last.
std::string inward_range(const FieldInfo& info, double low, double high, Units units) {
  const double a = in_units(info, low, units), b = in_units(info, high, units);
  int decimals = units == Units::us ? info.us_decimals : info.decimals;
  for (const int most = decimals + 3;; ++decimals) {
    const double scale = std::pow(10.0, decimals);
    constexpr double slack = 1e-9;  // what stands for a printed value already
    const double from = std::ceil(a * scale - slack) / scale, to = std::floor(b * scale + slack) / scale;
    if (from < to || decimals == most || a == b)
      return a == b ? fixed_text(a, decimals)
                    : fmt::format("{} to {}", fixed_text(from, decimals), fixed_text(std::max(from, to), decimals));
  }
}

std::string stop_text(const BoxStop& stop, Mode mode) {
  return fmt::format("{}: {}", corner_words(stop.corner, mode), constraint(stop.constraint.id).label);
}

std::string accuracy_words(const SettingAccuracy& a) {
  if (!a.known) return "the machine's setting accuracy is not counted (machine not described)";
  if (a.wire_feed == a.voltage && a.voltage == a.peak_current)
    return fmt::format("settings held within {} are counted", percent(a.wire_feed));
  return fmt::format("counted as held within {} of wire feed, {} of voltage, {} of peak current", percent(a.wire_feed),
                     percent(a.voltage), percent(a.peak_current));
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

std::string box_ranges(const LockBox& box, Units units) {
  std::string text;
  for (std::size_t i = 0; i < box_side_count && box.exists; ++i) {
    const BoxSide& side = box.sides[i];
    if (!side.present) continue;
    const FieldInfo& info = field(box_fields[i]);
    const std::string_view unit = unit_of(info, units);
    text += fmt::format("{}{} {}{}{}", text.empty() ? "" : ", ", info.label,
                        inward_range(info, side_in_field(i, side.low), side_in_field(i, side.high), units),
                        unit.empty() ? "" : " ", unit);
  }
  return text;
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
      constexpr double slack = 1e-9;
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
                         ? std::string("Every range reaches its aim. ")
                         : fmt::format("Stopped by the corner {}. ", stop_text(box.first, mode));
  text += box.confidence > 0.5 ? fmt::format("Holds at {} confidence", percent(box.confidence))
                               : std::string("Holds for the nominal model");
  return text + "; " + accuracy_words(box.accuracy) + ".";
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
  if (g.grade == Grade::sound) return text + ": every limit holds nine times in ten or more";
  text += fmt::format(": {} holds {}", info.label, percent(g.probability));
  if (const std::string turn = turn_words(g.turn); !turn.empty())
    text += fmt::format("; if {}: {}", info.symptom.empty() ? "it gives out" : info.symptom, turn);
  return text;
}

std::string confident_words(const ConfidentBand& band, Units units) {
  const FieldInfo& info = field(F::wire_feed);
  const std::string confidence = percent(band.confidence);
  if (band.exists) {
    const auto end = [](const BandEnd& e) { return constraint(e.constraint.id).label; };
    return fmt::format("At {} confidence: {} {} {} (low: {}, high: {}).", confidence, info.label,
                       inward_range(info, band.low.wire_feed_m_per_min, band.high.wire_feed_m_per_min, units),
                       unit_of(info, units), end(band.low), end(band.high));
  }
  return fmt::format("At {} confidence no wire feed holds everything: at the recommended point {} holds at {}.",
                     confidence, constraint(band.weakest.id).label, percent(band.held));
}

}  // namespace seamwright
