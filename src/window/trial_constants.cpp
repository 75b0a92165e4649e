#include "window/trial_constants.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace seamwright {
namespace {

constexpr std::array<TrialConstant, 17> table{{
    {K::feed_law, "feed_law", &TrialRow::feed_law},
    {K::pulse_mean, "pulse_mean", &TrialRow::pulse_mean},
    {K::deposition, "deposition", &TrialRow::deposition},
    {K::drop_ratio, "drop_ratio", &TrialRow::drop_ratio},
    {K::peak_share, "peak_share", &TrialRow::peak_share},
    {K::peak_current, "peak_current", &TrialRow::peak_current},
    {K::arc_fixed, "arc_fixed", &TrialRow::arc_fixed},
    {K::dip_offset, "dip_offset_V", &TrialRow::dip_offset_V, true},
    {K::arc_efficiency, "arc_efficiency", &TrialRow::arc_efficiency},
    {K::melt_enthalpy, "melt_enthalpy", &TrialRow::melt_enthalpy},
    {K::conductivity, "conductivity", &TrialRow::conductivity},
    {K::heat_capacity, "heat_capacity", &TrialRow::heat_capacity},
    {K::melting, "melting", &TrialRow::melting},
    {K::penetration, "penetration", &TrialRow::penetration},
    {K::width, "width", &TrialRow::width},
    {K::melted_share, "melted_share", &TrialRow::melted_share},
    {K::bead_height, "bead_height", &TrialRow::bead_height},
}};

K constant_of(std::string_view column) {
  const auto* found =
      std::find_if(table.begin(), table.end(), [&](const TrialConstant& row) { return row.column == column; });
  return found == table.end() ? K::count : found->id;
}

}  // namespace

std::span<const TrialConstant> trial_constants() { return table; }

void apply_trial(const TrialRow& trial, PassContext& p) {
  for (const TrialConstant& row : table) {
    const Constant& own = trial.*row.member;
    Constant& constant = p.constants[static_cast<std::size_t>(row.id)];
    // What the user fixed, or does not count in this mode, stays exact.
    if (own.source == 0 || !(constant.half_width_90 > 0)) continue;
    constant = row.offset
                   ? Constant{constant.value + own.value, own.half_width_90, own.source}
                   : Constant{constant.value * own.value, std::abs(constant.value) * own.half_width_90, own.source};
  }
  for_each_item(trial.correlation, [&](std::string_view item) {
    const auto pair = read_correlation(item);
    if (!pair) return;  // the reader of catalogs has refused it
    const K first = constant_of(pair->first), second = constant_of(pair->second);
    const auto counts = [&](K id) {
      return id != K::count && p.constants[static_cast<std::size_t>(id)].half_width_90 > 0;
    };
    if (counts(first) && counts(second)) p.correlations.push_back({first, second, pair->value});
  });
  if (const Constant& lap = trial.cold_lap_limit; lap.source != 0) {
    p.deposit.melted_width_min_mm *= lap.value;
    p.source.cold_lap = lap.source;
  }
  if (const Constant& burn = trial.burn_through_limit; burn.source != 0) {
    p.plate.back_width_max_mm *= burn.value;
    p.plate.back_width_last_mm *= burn.value;
    p.source.burn = burn.source;
  }
}

}  // namespace seamwright
