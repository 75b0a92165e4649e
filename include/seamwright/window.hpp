// The window of one pass: the set of wire feed and travel in which every constraint holds.
#pragma once

#include <optional>
#include <vector>

#include "seamwright/case.hpp"
#include "seamwright/margin.hpp"
#include "seamwright/modulation.hpp"

namespace seamwright {

// What a welder sets. Trims are about the recommended arc length and peak current.
struct Setting {
  double wire_feed_m_per_min = 0;
  double travel_mm_per_s = 0;
  double arc_trim_V = 0;                      // voltage above the nominal arc length's
  double peak_trim = 0;                       // relative: 0.05 = +5 %
  double modulation_frequency_Hz = 0;         // 0: recommended
  double modulation_amplitude_m_per_min = 0;  // 0: recommended
  [[nodiscard]] bool operator==(const Setting&) const = default;
};

// All quantities at a setting. Throws nothing; any feed and travel above zero are accepted.
[[nodiscard]] FieldValues evaluate(const PassContext& context, const ConstantValues& constants, const Setting& setting);

// Every constraint at an evaluated point. `modulation_set`: the point's modulation frequency and amplitude were set, so
// they must lie in their bands; otherwise only those the user gave must, and the bands must be open.
[[nodiscard]] MarginList margins(const PassContext& context, const ConstantValues& constants, const FieldValues& point,
                                 bool modulation_set = false);

// The double-pulse solution at a point (bands, ends, phases). Double-pulse contexts only.
[[nodiscard]] Modulation modulation_at(const PassContext& context, const ConstantValues& constants,
                                       const FieldValues& point, double burn_through_feed_m_per_min);

// Wire feed, m/min, at which the melted back of the pass grows as wide as it may at a fixed travel; infinite where the
// pass cannot melt through within the feeds searched.
[[nodiscard]] double burn_through_feed_m_per_min(const PassContext& context, const ConstantValues& constants,
                                                 double travel_mm_per_s, double from_feed_m_per_min);

// Travel, mm/s, that lays `deposit_mm2` at a wire feed.
[[nodiscard]] double travel_for_deposit(const PassContext& context, const ConstantValues& constants,
                                        double wire_feed_m_per_min, double deposit_mm2);

// A line through the window: travel follows the feed at a fixed deposit cross-section, or travel is fixed.
struct Line {
  double deposit_mm2 = 0;      // used when > 0
  double travel_mm_per_s = 0;  // used otherwise
};
[[nodiscard]] Setting on_line(const PassContext& context, const ConstantValues& constants, const Line& line,
                              double wire_feed_m_per_min);

struct BandEnd {
  double wire_feed_m_per_min = 0;
  double travel_mm_per_s = 0;
  Margin constraint;  // the one that ends the band there
};
struct Band {
  bool feasible = false;
  BandEnd low, high;
  Setting best;            // the point: what a shop would choose among the settings that hold
  double best_score = 0;   // the smallest there; negative when not feasible
  double best_surety = 0;  // the smallest there
};

// The point on a line, and the feasible interval of wire feed around it, its ends found by root search on the margins.
[[nodiscard]] Band solve_band(const PassContext& context, const ConstantValues& constants, const Line& line);

struct WindowExtent {
  Interval wire_feed_m_per_min, travel_mm_per_s, deposit_mm2;
};
struct Window {
  Line line;                // the nominal deposit, or the one taken instead
  bool line_moved = false;  // more metal than the joint needs with its allowance was taken
  C moved_by = C::none;     // the constraint that is least sure at the nominal deposit
  Band band;
  std::optional<WindowExtent> extent;  // over the whole two-dimensional window
};
enum class WindowDetail : unsigned char { band, full };
// `fixed_travel_mm_per_s` > 0 makes the band run along that travel instead of the nominal deposit.
[[nodiscard]] Window solve_window(const PassContext& context, double fixed_travel_mm_per_s, WindowDetail detail);

// What the two-dimensional window of a solved pass reaches, into `window`.
void add_extent(const PassContext& context, double fixed_travel_mm_per_s, Window& window);

// Wire-feed window of the pulse alone (base current, base time, frequency, duty), m/min; low > high: none.
[[nodiscard]] Interval pulse_feed_window(const PassContext& context, const ConstantValues& constants);

// What each model constant does to every field at a setting.
struct Influences {
  // Half the change of the field when the constant goes from the low to the high end of its 90 % interval; 0 for an
  // exact constant and where the field does not depend on it.
  std::array<FieldValues, model_constant_count> half_change;
  // Whether the field depends on the constant at all (exact constants included).
  std::array<std::array<bool, field_count>, model_constant_count> depends;
  std::vector<CorrelatedPair> correlations;  // of the context
};
[[nodiscard]] Influences influences(const PassContext& context, const Setting& setting);

// 90 % half-width of every field from the constants' half-widths: first order, by central finite differences, the
// constants taken as independent (root of the sum of squares) but for those that trial welds have tied together.
[[nodiscard]] FieldValues uncertainty(const Influences& influences);

}  // namespace seamwright
