// The limits and tables of the heat and metallurgy solvers, taken from a catalog (data/heat_*.toml).
// A range the catalog lacks comes out empty: the solver then refuses everything. Nothing here refuses by itself; units
// are those of the struct that is filled.
//
// Error: none of its own; what the rows say, their sources and kinds answer for (`seamwright catalog`). A range that
// the data lack does not compile; the test `unit` asks that every word of a table is one that the solvers know.
//
// References:
//   EN 1011-2 [en-1011-2-c1], [recalled-en-1011-2]; AWS D1.1 [aws-d1.1-3.3], [recalled-d1.1-annex]; [navsea-278]
//   ISO 15614-1 table 3, greatest hardness by group of ISO/TR 15608 [recalled-hardness-limit]
//   Scatter of heats about a grade's composition [practice-heat-scatter]; ranges without a source [assumed-heat]
//   Least heat of duplex steel in sheet [derived-least-heat]
//
// Example:
//
//     const Catalog& catalog = builtin_catalog();
//     const Interval preheat = cooling_limits(catalog).preheat_C;
//     std::printf("%.0f to %.0f degC\n", preheat.low, preheat.high);                  // -20 to 250 degC
//     std::printf("%.0f HV10\n", *hardness_max_HV(catalog, "1.2"));                   // 380 HV10
//     const HeatRangeId lacking = HeatRangeId::made_of("no such range");
//     std::printf("%d\n", heat_range(catalog, lacking).contains(1) ? 1 : 0);          // 0
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "seamwright/aluminium.hpp"
#include "seamwright/carbon.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/cooling.hpp"
#include "seamwright/heat_range_id.hpp"
#include "seamwright/imperfection.hpp"
#include "seamwright/qualification.hpp"
#include "seamwright/shrinkage.hpp"
#include "seamwright/stainless.hpp"

namespace seamwright {

// Null where the catalog lacks it.
[[nodiscard]] const HeatRange* find_heat_range(const Catalog& catalog, HeatRangeId id);
// Its ends; empty (low above high) where the catalog lacks it.
[[nodiscard]] Interval heat_range(const Catalog& catalog, HeatRangeId id);

// Joint factors of t8/5; 1 throughout for a joint the catalog has no row of.
[[nodiscard]] CoolingFactors cooling_factors(const Catalog& catalog, CoolingJoint joint);
[[nodiscard]] CoolingLimits cooling_limits(const Catalog& catalog);
[[nodiscard]] CetPreheatLimits cet_preheat_limits(const Catalog& catalog);
[[nodiscard]] LeastTemperature least_temperature(const Catalog& catalog);
[[nodiscard]] HardnessLimits hardness_limits(const Catalog& catalog);
// Greatest hardness, HV10, of a weld in steel of an ISO/TR 15608 group, not heat-treated; empty for other groups.
[[nodiscard]] std::optional<double> hardness_max_HV(const Catalog& catalog, std::string_view group);

// How far a heat of the grade scatters about its typical composition; much less where the element was analysed.
[[nodiscard]] HardnessSpread hardness_spread(const Catalog& catalog, const Composition& steel,
                                             std::span<const Element> analysed);

[[nodiscard]] FerriteLimits ferrite_duplex_limits(const Catalog& catalog);
[[nodiscard]] FerriteLimits ferrite_austenitic_limits(const Catalog& catalog);
// Share of an alloy's minimum heat input that metal of this thickness still needs, 0..1. Heat leaves metal thinner than
// plate along the sheet alone, so that less of it cools as slowly, in proportion to the thickness; 1 in plate.
// Thickness mm, > 0.
[[nodiscard]] double least_heat_share(const Catalog& catalog, double thickness_mm);
// For an alloy of the duplex or super_duplex family.
[[nodiscard]] DuplexLimits duplex_limits(const Catalog& catalog, const Alloy& alloy);

[[nodiscard]] FillerLimits filler_limits(const Catalog& catalog);
[[nodiscard]] CrackingRanges cracking_ranges(const Catalog& catalog);

[[nodiscard]] ShrinkageRules shrinkage_rules(const Catalog& catalog);
[[nodiscard]] QualificationRules qualification_rules(const Catalog& catalog);

}  // namespace seamwright
