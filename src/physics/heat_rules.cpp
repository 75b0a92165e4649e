#include "seamwright/heat_rules.hpp"

#include <algorithm>
#include <span>
#include <string>

namespace seamwright {
namespace {

constexpr Interval empty{unbounded, -unbounded};
constexpr Interval open{-unbounded, unbounded};

}  // namespace

const HeatRange* find_heat_range(const Catalog& catalog, HeatRangeId id) {
  const auto at = std::ranges::find(catalog.heat_ranges, id.text(), &HeatRange::id);
  return at == catalog.heat_ranges.end() ? nullptr : &*at;
}

Interval heat_range(const Catalog& catalog, HeatRangeId id) {
  const HeatRange* range = find_heat_range(catalog, id);
  return range ? Interval{range->low, range->high} : empty;
}

CoolingFactors cooling_factors(const Catalog& catalog, CoolingJoint joint) {
  const auto at = std::ranges::find(catalog.cooling_joints, cooling_joint_key(joint), &CoolingJointRow::id);
  if (at == catalog.cooling_joints.end()) return {};
  return {{at->f2_min, at->f2_max}, at->f3};
}

CoolingLimits cooling_limits(const Catalog& c) { return {heat_range(c, "cooling-preheat")}; }

CetPreheatLimits cet_preheat_limits(const Catalog& c) {
  return {heat_range(c, "cet-preheat-cet"), heat_range(c, "cet-preheat-thickness"),
          heat_range(c, "cet-preheat-hydrogen"), heat_range(c, "cet-preheat-heat-input"),
          heat_range(c, "cet-weld-metal-margin").high};
}

LeastTemperature least_temperature(const Catalog& c) {
  return {heat_range(c, "navy-least-temperature").low, heat_range(c, "navy-least-temperature-high-carbon").low,
          heat_range(c, "navy-carbon").high, heat_range(c, "navy-thickness").high};
}

HardnessLimits hardness_limits(const Catalog& c) {
  return {c.composition_limits, heat_range(c, "hardness-cooling-time"), heat_range(c, "hardness-spread").high};
}

HardnessSpread hardness_spread(const Catalog& c, const Composition& steel, std::span<const Element> analysed) {
  const double other = heat_range(c, "heat-spread-share").high, known = heat_range(c, "analysis-spread-share").high;
  HardnessSpread out;
  for (std::size_t i = 0; i < element_count; ++i) {
    const auto e = static_cast<Element>(i);
    const HeatRange* own =
        find_heat_range(c, HeatRangeId::made_of(std::string("heat-spread-").append(element_symbol(e))));
    const double typical = own != nullptr ? own->high : other * steel[e];
    const bool is_known = std::find(analysed.begin(), analysed.end(), e) != analysed.end();
    out.composition[e] = is_known ? known * typical : typical;
  }
  out.cooling_time_share = heat_range(c, "cooling-spread").high;
  return out;
}

FerriteLimits ferrite_duplex_limits(const Catalog& c) {
  return {heat_range(c, "ferrite-duplex-chromium"),
          heat_range(c, "ferrite-duplex-nickel"),
          open,
          open,
          heat_range(c, "ferrite-duplex-number"),
          heat_range(c, "wrc-1992-chromium"),
          heat_range(c, "wrc-1992-nickel"),
          heat_range(c, "wrc-1992-ferrite-number")};
}

FerriteLimits ferrite_austenitic_limits(const Catalog& c) {
  return {open,
          open,
          heat_range(c, "ferrite-austenitic-ratio"),
          heat_range(c, "ferrite-austenitic-sum"),
          heat_range(c, "ferrite-austenitic-number"),
          open,
          open,
          open};
}

double least_heat_share(const Catalog& catalog, double thickness_mm) {
  const Interval share = heat_range(catalog, "least-heat-share");
  const double here = std::max(share.low, thickness_mm / heat_range(catalog, "least-heat-plate").low);
  return here < share.high ? here : 1.0;
}

DuplexLimits duplex_limits(const Catalog& c, const Alloy& alloy) {
  const auto range = [&](HeatRangeId duplex, HeatRangeId super_duplex) {
    return heat_range(c, alloy.family == Family::duplex ? duplex : super_duplex);
  };
  const bool lean = pitting_resistance(alloy.typical) < heat_range(c, "lean-duplex-pren").high;
  const double heat_max = alloy.heat_input_max_kJ_per_mm.value;
  return {
      {alloy.heat_input_min_kJ_per_mm.value, heat_max > 0 ? heat_max : unbounded},
      alloy.interpass_max_C.value,
      range("duplex-preheat", "super-duplex-preheat").high,
      range("duplex-ferrite-number", "super-duplex-ferrite-number"),
      (lean ? heat_range(c, "lean-duplex-pitting-resistance")
            : range("duplex-pitting-resistance", "super-duplex-pitting-resistance"))
          .low,
      (lean ? heat_range(c, "lean-duplex-base-nitrogen") : range("duplex-base-nitrogen", "super-duplex-base-nitrogen"))
          .low,
      range("duplex-second-run", "super-duplex-second-run").high};
}

FillerLimits filler_limits(const Catalog& c) {
  return {heat_range(c, "filler-silicon").low, heat_range(c, "filler-base-magnesium-doubt").high,
          heat_range(c, "filler-base-magnesium").high, heat_range(c, "filler-service-magnesium").high,
          heat_range(c, "filler-service-temperature").high};
}

CrackingRanges cracking_ranges(const Catalog& c) {
  return {heat_range(c, "cracking-silicon"),
          heat_range(c, "cracking-magnesium"),
          heat_range(c, "cracking-magnesium-silicide"),
          heat_range(c, "cracking-copper"),
          heat_range(c, "cracking-silicon-safe").low,
          heat_range(c, "cracking-magnesium-safe").low};
}

ShrinkageRules shrinkage_rules(const Catalog& c) {
  return {heat_range(c, "shrinkage-spread").high, heat_range(c, "shrinkage-fillet-leg").high};
}

QualificationRules qualification_rules(const Catalog& c) {
  const HeatRange* heat = find_heat_range(c, "qualification-heat-input");
  return {.rows = c.qualifications,
          .groups = c.qualified_groups,
          .gas_co2_share = heat_range(c, "qualification-gas-co2").high,
          .heat_input_share = heat_range(c, "qualification-heat-input").high,
          .thickness_without_impact_max_mm = heat_range(c, "qualification-without-impact").high,
          .source = heat ? heat->source : SourceIndex{0}};
}

std::optional<double> hardness_max_HV(const Catalog& c, std::string_view group) {
  const auto main_group = group.substr(0, group.find('.'));
  if (main_group == "1" || main_group == "2") return heat_range(c, "hardness-groups-1-2").high;
  if (main_group == "3") return heat_range(c, "hardness-group-3").high;
  return std::nullopt;
}

}  // namespace seamwright
