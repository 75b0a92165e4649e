// Published current and voltage ranges against the mode's own window in current, and transition currents.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "published/published.hpp"
#include "seamwright/arc.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/catalog.hpp"

using namespace seamwright;
using published::number;

namespace {

struct Span {
  double low = 0, high = 0;
};

// Currents a mode may take with a wire: its own limits, cut by what the practical wire feed melts.
Span mode_window_A(const WireFamily& family, const WireSize& size, Mode mode) {
  const ModeInfo& info = mode_info(builtin_catalog(), mode);
  const bool dip = is_dip(mode);
  const BurnoffInput law{size.diameter_mm, info.extension_diameters.value * size.diameter_mm,
                         (dip ? family.melt_dip_mm3_per_As : family.melt_spray_mm3_per_As).value,
                         family.resistive_mm4_per_A2s.value};
  const double low = dip ? size.short_arc_min_A.value : size.transition_A.value;
  const double high = dip ? size.short_arc_max_A.value : size.spray_max_A.value;
  return {std::max(low, steady_current_A(law, size.feed_min_m_per_min.value)),
          std::min(high, steady_current_A(law, size.feed_max_m_per_min.value))};
}

double mode_voltage_V(const WireFamily& family, const WireSize& size, Mode mode, double current_A) {
  const Limits& lim = *builtin_catalog().limits;
  if (is_dip(mode))
    return short_arc_voltage_V({lim.short_arc_base_V.value, lim.short_arc_slope_V_per_A.value,
                                family.dip_offset_V.value, lim.short_arc_cap_V.value},
                               current_A);
  const ModeInfo& info = mode_info(builtin_catalog(), mode);
  const ArcInput arc{family.arc_fixed_V.value,
                     family.arc_resistance_ohm.value,
                     family.arc_field_V_per_mm.value,
                     family.wire_resistivity_uohm_m.value,
                     size.diameter_mm,
                     info.extension_diameters.value * size.diameter_mm};
  return arc_voltage_V(arc, current_A,
                       0.5 * (family.arc_length_spray_min_mm.value + family.arc_length_spray_max_mm.value));
}

}  // namespace

TEST_CASE("published current ranges overlap the mode windows; voltages agree within the stated 90 %") {
  int ranges = 0, voltages = 0, transitions = 0;
  for (const auto& row : published::read_table("current_ranges.csv")) {
    CAPTURE(row.at("id"));
    CAPTURE(row.at("source"));
    const double diameter = number(row.at("diameter_mm"));
    const WireSize* size = find_wire_size(builtin_catalog(), row.at("family"), diameter);
    if (size == nullptr) {
      // 1.1 mm stands between the catalog's sizes: its transition must, too.
      REQUIRE(diameter == doctest::Approx(1.1));
      const double thinner = find_wire_size(builtin_catalog(), row.at("family"), 1.0)->transition_A.value;
      const double thicker = find_wire_size(builtin_catalog(), row.at("family"), 1.2)->transition_A.value;
      CHECK(number(row.at("low_A")) > thinner);
      CHECK(number(row.at("low_A")) < thicker);
      continue;
    }
    const WireFamily& family = *find_wire_family(builtin_catalog(), row.at("family"));
    if (row.at("mode") == "transition") {
      // Published settings of 1.6 mm stainless begin far below the handbook's transition: the catalog stands between,
      // and the handbook's value inside its spread.
      if (row.at("family") == "stainless" && diameter == doctest::Approx(1.6))
        CHECK(std::abs(size->transition_A.value - number(row.at("low_A"))) <= size->transition_A.half_width_90);
      else
        CHECK(size->transition_A.value == doctest::Approx(number(row.at("low_A"))));
      ++transitions;
      continue;
    }
    const Mode mode = row.at("mode") == "short-arc" ? Mode::short_arc : Mode::spray;
    const Span ours = mode_window_A(family, *size, mode);
    CAPTURE(ours.low);
    CAPTURE(ours.high);
    if (row.at("low_A").empty()) {  // an upper end alone
      CHECK(ours.high <= number(row.at("high_A")));
      continue;
    }
    const double low = number(row.at("low_A")), high = number(row.at("high_A"));
    const double shared = std::min(high, ours.high) - std::max(low, ours.low);
    // Half of the published range or more lies in our window. The rest: published spray ranges start below the
    // transition (they count the mixed zone in), and ranges without a mode hold dip transfer too. Stainless 1.6 mm
    // (R11) starts furthest below: 215 A against a transition of 285 A, so there only an overlap is asked for.
    CHECK(shared >= (row.at("id") == "R11" ? 0.3 : 0.5) * (high - low));
    ++ranges;
    if (row.at("low_V").empty()) continue;
    // The voltage model's own 90 % is 2 V (short arc 3 V): its line over the shared currents must meet the range.
    const double slack = is_dip(mode) ? 3.0 : 2.0;
    CHECK(mode_voltage_V(family, *size, mode, std::max(low, ours.low)) >= number(row.at("low_V")) - slack);
    CHECK(mode_voltage_V(family, *size, mode, std::min(high, ours.high)) <= number(row.at("high_V")) + slack);
    ++voltages;
  }
  CHECK(ranges >= 16);
  CHECK(voltages >= 9);
  CHECK(transitions >= 14);
}
