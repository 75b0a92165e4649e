#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "seamwright/catalog.hpp"
#include "seamwright/eye_filter.hpp"
#include "seamwright/heat_rules.hpp"

using namespace seamwright;

namespace {

const Catalog& catalog = builtin_catalog();

template <class Enum>
std::set<std::string_view> keys(std::string_view (*key)(Enum), int count) {
  std::set<std::string_view> out;
  for (int i = 0; i < count; ++i) out.insert(key(static_cast<Enum>(i)));
  CHECK(out.size() == static_cast<std::size_t>(count));
  return out;
}

}  // namespace

TEST_CASE("heat ranges: known ones are not empty, unknown ones refuse everything") {
  for (const auto& range : catalog.heat_ranges) {
    CAPTURE(range.id);
    CHECK(range.low <= range.high);
    CHECK((range.low > -unbounded || range.high < unbounded));
  }
  CHECK_FALSE(heat_range(catalog, HeatRangeId::made_of("no-such-range")).contains(1));
  const Catalog none{};
  CHECK_FALSE(cooling_time_8_5({1, 20, 10, {}}, cooling_limits(none)));
  CHECK_FALSE(preheat_by_cet_C({0.3, 20, 5, 1}, cet_preheat_limits(none)));
  CHECK_FALSE(ferrite_number_duplex({27, 13.5}, ferrite_duplex_limits(none)));
}

TEST_CASE("every range that the rules ask for is in the data") {
  for (const Interval range : {cooling_limits(catalog).preheat_C,
                               cet_preheat_limits(catalog).cet_percent,
                               cet_preheat_limits(catalog).thickness_mm,
                               cet_preheat_limits(catalog).hydrogen_ml_per_100g,
                               cet_preheat_limits(catalog).heat_input_kJ_per_mm,
                               heat_range(catalog, "cracking-index-hydrogen"),
                               heat_range(catalog, "cracking-index-thickness"),
                               hardness_limits(catalog).cooling_time_s,
                               ferrite_duplex_limits(catalog).chromium_percent,
                               ferrite_duplex_limits(catalog).nickel_percent,
                               ferrite_duplex_limits(catalog).ferrite_number,
                               ferrite_austenitic_limits(catalog).ratio,
                               ferrite_austenitic_limits(catalog).sum_percent,
                               ferrite_austenitic_limits(catalog).ferrite_number,
                               cracking_ranges(catalog).silicon_percent,
                               cracking_ranges(catalog).magnesium_percent,
                               cracking_ranges(catalog).magnesium_silicide_percent,
                               cracking_ranges(catalog).copper_percent,
                               heat_range(catalog, "duplex-rockwell"),
                               heat_range(catalog, "ce-preheat-ce"),
                               heat_range(catalog, "ferrite-first-ratio"),
                               heat_range(catalog, "austenitic-ferrite-number"),
                               heat_range(catalog, "softening-temperature"),
                               heat_range(catalog, "navy-interpass-austenitic"),
                               heat_range(catalog, "navy-aluminium-avoid"),
                               heat_range(catalog, "wrc-1992-chromium"),
                               heat_range(catalog, "wrc-1992-nickel"),
                               heat_range(catalog, "exposure-chromium"),
                               heat_range(catalog, "expansion-steel"),
                               heat_range(catalog, "expansion-aluminium")}) {
    CHECK(range.low <= range.high);
  }
  const FillerLimits filler = filler_limits(catalog);
  const CrackingRanges cracking = cracking_ranges(catalog);
  const QualificationRules qualification = qualification_rules(catalog);
  for (const double value :
       {cet_preheat_limits(catalog).weld_metal_margin_percent, hardness_limits(catalog).half_width_HV,
        filler.silicon_from_percent, filler.base_magnesium_doubt_percent, filler.base_magnesium_max_percent,
        filler.service_magnesium_max_percent, filler.service_C, cracking.silicon_safe_percent,
        cracking.magnesium_safe_percent, shrinkage_rules(catalog).relative_spread,
        shrinkage_rules(catalog).fillet_leg_share_max, qualification.heat_input_share,
        qualification.thickness_without_impact_max_mm, qualification.gas_co2_share, least_temperature(catalog).usual_C,
        least_temperature(catalog).high_carbon_C, least_temperature(catalog).carbon_percent,
        least_temperature(catalog).thickness_mm}) {
    CHECK(value > 0);
    CHECK(value < unbounded);
  }
  CHECK(qualification.source != 0);
  for (const Alloy& alloy : catalog.alloys) {
    if (alloy.family != Family::duplex && alloy.family != Family::super_duplex) continue;
    CAPTURE(alloy.id);
    const DuplexLimits limits = duplex_limits(catalog, alloy);
    CHECK(limits.heat_input_kJ_per_mm.low < limits.heat_input_kJ_per_mm.high);
    CHECK(limits.ferrite_number.low < limits.ferrite_number.high);
    for (const double value : {limits.interpass_max_C, limits.preheat_max_C, limits.pitting_resistance_min,
                               limits.base_nitrogen_min_percent, limits.second_run_share}) {
      CHECK(value > 0);
      CHECK(value < unbounded);
    }
  }
}

TEST_CASE("every word of the heat tables is one the solvers know") {
  const auto joints = keys(cooling_joint_key, 4);
  for (const auto& row : catalog.cooling_joints) CHECK(joints.contains(row.id));
  CHECK(catalog.cooling_joints.size() == joints.size());
  for (const auto& row : catalog.composition_limits) {
    CHECK(element_by_symbol(row.element));
    CHECK(row.low < row.high);
    CHECK(std::set<std::string_view>{"cet", "ce", "hardness"}.contains(row.rule));
  }
  const auto categories = keys(preheat_category_key, 2);
  for (const auto& row : catalog.minimum_preheat) CHECK(categories.contains(row.category));
  const auto restraints = keys(restraint_key, 3);
  for (const auto& row : catalog.susceptibility_preheat) CHECK(restraints.contains(row.restraint));
  const auto kinds = keys(aluminium_kind_key, aluminium_kind_count);
  for (const auto& row : catalog.filler_pairs) CHECK((kinds.contains(row.kind) && kinds.contains(row.kind2)));
  for (const auto& row : catalog.aluminium_temperatures) CHECK(kinds.contains(row.id));
  const auto standards = keys(qualification_standard_key, 2);
  const auto welds = keys(qualified_weld_key, 2);
  const auto runs = keys(runs_key, 2);
  for (const auto& row : catalog.qualifications) {
    CHECK((standards.contains(row.standard) && welds.contains(row.weld) && runs.contains(row.runs)));
    CHECK((row.quantity == "thickness" || row.quantity == "throat"));
  }
  for (const auto& row : catalog.qualified_groups) {
    CHECK(standards.contains(row.standard));
    CHECK((row.covers == "lower" || row.covers == "same"));
  }
  const auto imperfections = keys(imperfection_key, imperfection_count);
  for (const auto& row : catalog.imperfections) {
    CHECK(imperfections.contains(row.imperfection));
    CHECK(find_quality(catalog, row.level) != nullptr);
  }
}

TEST_CASE("eye filters: the table leaves no gap, and refuses beyond its end") {
  double last = 0;
  for (const auto& row : catalog.filter_shades) {
    CHECK(row.from_A == last);
    CHECK(row.to_A > row.from_A);
    last = row.to_A;
  }
  CHECK(*least_filter_shade(catalog.filter_shades, last));
  const auto beyond = least_filter_shade(catalog.filter_shades, last + 1);
  REQUIRE_FALSE(beyond);
  CHECK(beyond.refusal().reason == RefusalReason::not_in_table);
  CHECK(beyond.refusal().range.high == last);
  CHECK_FALSE(least_filter_shade(catalog.filter_shades, -1));
  CHECK_FALSE(least_filter_shade({}, 100));
}

TEST_CASE("greatest hardness by group") {
  CHECK(*hardness_max_HV(catalog, "1.2") == 380);
  CHECK(*hardness_max_HV(catalog, "2.1") == 380);
  CHECK(*hardness_max_HV(catalog, "3.1") == 450);
  CHECK_FALSE(hardness_max_HV(catalog, "8.1"));
  CHECK_FALSE(hardness_max_HV(catalog, "10.1"));
  CHECK_FALSE(hardness_max_HV(catalog, "22.4"));
}
