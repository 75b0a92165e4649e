// Heat and metallurgy against known numbers: see published.hpp for the files.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "published/published.hpp"
#include "reference/classic_cooling.hpp"
#include "reference/formulas.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/eye_filter.hpp"
#include "seamwright/heat_rules.hpp"

using namespace seamwright;
using published::check_published;
using published::Row;

namespace {

const Catalog& catalog = builtin_catalog();

// A refusal where the file has a number is a failure.
template <class T>
const T& value(const Checked<T>& checked) {
  REQUIRE_MESSAGE(checked, "refused: ", std::string(checked.refusal().quantity), " ", checked.refusal().value);
  return *checked;
}

// Place of a word among the values of an enum.
template <class Enum, std::size_t n>
Enum word(const Row& row, const std::string& input, const std::array<std::string_view, n>& words) {
  const auto at = std::ranges::find(words, std::string_view(row.text(input)));
  REQUIRE_MESSAGE(at != words.end(), row.id, ": unknown ", input);
  return static_cast<Enum>(at - words.begin());
}

// Percentages given by element symbol; other inputs are left alone.
Composition composition(const Row& row) {
  Composition out;
  for (std::size_t i = 0; i < element_count; ++i) {
    const auto element = static_cast<Element>(i);
    out[element] = row.get(std::string(element_symbol(element)), 0);
  }
  return out;
}

CoolingInput pass(const Row& r) { return {r.get("Q", 0), r["T0"], r["d"], {{r["F2"], r["F2"]}, r["F3"]}}; }
PlateHeat plate(const Row& r) { return {r["q"], r.get("k", 0), r.get("rho_c", 0), r["T0"]}; }

}  // namespace

TEST_CASE("published: cooling") {
  const CoolingLimits limits = cooling_limits(catalog);
  check_published(
      "cooling.csv",
      {{"transition_thickness", [](const Row& r) { return transition_thickness_mm(r["Q"], r["T0"]); }},
       {"t85", [&](const Row& r) { return value(cooling_time_8_5(pass(r), limits)).value_s; }},
       {"heat_input_for_t85",
        [&](const Row& r) {
          return value(heat_input_for_cooling_time(pass(r), {r["t"], r["t"]}, limits)).low;
        }},
       {"implied_conductivity",
        [](const Row& r) {
          const PlateHeat unit{1000, 1, 1, r["T0"]};
          return thick_plate_cooling_time_s(unit, 800, 500) / cooling_time_8_5_thick_s(1, r["T0"], 1);
        }},
       {"thick_plate_time",
        [](const Row& r) {
          PlateHeat in{r["q"], r["k"], r["rho_c"], r["T0"]};
          return thick_plate_cooling_time_s(in, r["T1"], r["T2"]);
        }},
       {"thin_plate_time", [](const Row& r) { return thin_plate_cooling_time_s(plate(r), r["d"], r["T1"], r["T2"]); }},
       {"equal_time_thickness", [](const Row& r) { return equal_time_thickness_mm(plate(r), r["T1"], r["T2"]); }},
       {"thick_plate_rate", [](const Row& r) { return thick_plate_cooling_rate_K_per_s(plate(r), r["T"]); }},
       {"thin_plate_rate", [](const Row& r) { return thin_plate_cooling_rate_K_per_s(plate(r), r["d"], r["T"]); }},
       {"peak_temperature", [](const Row& r) { return peak_temperature_C(plate(r), r["d"], r["Tm"], r["Y"]); }},
       {"distance_of_peak", [](const Row& r) { return distance_of_peak_mm(plate(r), r["d"], r["Tm"], r["Tp"]); }},
       {"relative_thickness", [](const Row& r) { return relative_thickness(plate(r), r["d"], r["T"]); }},
       {"solidification_time", [](const Row& r) { return solidification_time_s(plate(r), r["L"], r["Tm"]); }},
       {"t85_by_field", [](const Row& r) {
          const PoolInput in{.net_power_W = r["power"],
                             .travel_mm_per_s = r["v"],
                             .source_radius_mm = 1,
                             .thickness_mm = r["d"],
                             .conductivity_W_per_mmK = r["k"],
                             .heat_capacity_J_per_mm3K = r["rho_c"],
                             .rise_to_melting_K = 1480};
          return cooling_time_8_5_by_field_s(in, r["T0"]);
        }}});
}

TEST_CASE("published: carbon steel") {
  constexpr std::array<std::string_view, 3> joints{"butt", "tee", "opposed-fillets"};
  constexpr std::array<std::string_view, 3> restraints{"low", "medium", "high"};
  constexpr std::array<std::string_view, 2> categories{"a", "b"};
  constexpr std::array<std::string_view, 3> formulas{"lorenz_dueren", "yurioka", "suzuki"};
  const auto index = [](const Row& r) { return value(cracking_index(catalog, {r["Pcm"], r["H"], r["t"]})); };
  check_published(
      "carbon.csv",
      {{"ce", [](const Row& r) { return carbon_equivalent_iiw(composition(r)); }},
       {"cet", [](const Row& r) { return carbon_equivalent_cet(composition(r)); }},
       {"pcm", [](const Row& r) { return carbon_equivalent_pcm(composition(r)); }},
       {"cen", [](const Row& r) { return carbon_equivalent_cen(composition(r)); }},
       {"cen_factor", [](const Row& r) { return cen_factor(r["C"]); }},
       {"cen_at_factor_1",
        [](const Row& r) { return r["C"] + (carbon_equivalent_cen(composition(r)) - r["C"]) / cen_factor(r["C"]); }},
       {"preheat_by_cet",
        [](const Row& r) {
          return value(preheat_by_cet_C({r["CET"], r["d"], r["HD"], r["Q"]}, cet_preheat_limits(catalog)));
        }},
       {"no_preheat_thickness",
        [](const Row& r) { return value(no_preheat_thickness_mm(catalog.no_preheat, r["CE"], r["HD"], r["Q"])); }},
       {"combined_thickness",
        [&](const Row& r) { return combined_thickness_mm(word<CombinedJoint>(r, "joint", joints), r["t1"], r["t2"]); }},
       {"susceptibility_index", [](const Row& r) { return susceptibility_index(r["Pcm"], r["H"]); }},
       {"susceptibility_group",
        [](const Row& r) {
          const double SI = susceptibility_index(r["Pcm"], r["H"]);
          return value(susceptibility_group(catalog.susceptibility_groups, SI)).front() - 'A' + 1.0;
        }},
       {"susceptibility_preheat",
        [&](const Row& r) {
          return value(susceptibility_preheat_C(catalog.susceptibility_preheat,
                                                word<Restraint>(r, "restraint", restraints), r.text("group"), r["t"]));
        }},
       {"minimum_preheat",
        [&](const Row& r) {
          const auto category = word<PreheatCategory>(r, "category", categories);
          return value(minimum_preheat_C(catalog.minimum_preheat, category, r["t"]));
        }},
       {"cracking_index", [&](const Row& r) { return index(r).index_percent; }},
       {"cracking_index_preheat", [&](const Row& r) { return index(r).preheat_C; }},
       {"least_temperature",
        [](const Row& r) { return least_temperature_C(r["C"], r["t"], least_temperature(catalog)); }},
       {"hardness", [&](const Row& r) {
          return value(hardness_HV(word<HardnessFormula>(r, "formula", formulas), composition(r), r["t"],
                                   hardness_limits(catalog)));
        }}});
}

TEST_CASE("published: stainless steel") {
  const auto at = [](const Row& r) { return Equivalents{r["Creq"], r["Nieq"]}; };
  const auto mixed = [](const Row& r) {
    Composition base, filler;
    base[Element::Ni] = r["base"];
    filler[Element::Ni] = r["filler"];
    return mix(filler, base, r["dilution"], filler, 0)[Element::Ni];
  };
  check_published(
      "stainless.csv",
      {{"wrc_chromium", [](const Row& r) { return equivalents_wrc1992(composition(r)).chromium_percent; }},
       {"wrc_nickel", [](const Row& r) { return equivalents_wrc1992(composition(r)).nickel_percent; }},
       {"schaeffler_chromium", [](const Row& r) { return equivalents_schaeffler(composition(r)).chromium_percent; }},
       {"schaeffler_nickel", [](const Row& r) { return equivalents_schaeffler(composition(r)).nickel_percent; }},
       {"hammar_svensson_chromium",
        [](const Row& r) { return equivalents_hammar_svensson(composition(r)).chromium_percent; }},
       {"hammar_svensson_nickel",
        [](const Row& r) { return equivalents_hammar_svensson(composition(r)).nickel_percent; }},
       {"dilution", [](const Row& r) { return dilution_share(r["A_base"], r["A_total"] - r["A_base"]); }},
       {"interpass_max_navy",
        [](const Row& r) {
          return heat_range(catalog, HeatRangeId::made_of("navy-interpass-" + r.text("family"))).high;
        }},
       {"mixed_chromium", mixed},
       {"dilution_of_element", mixed},
       {"ferrite_duplex",
        [&](const Row& r) { return value(ferrite_number_duplex(at(r), ferrite_duplex_limits(catalog))); }},
       {"ferrite_austenitic",
        [&](const Row& r) { return value(ferrite_number_austenitic(at(r), ferrite_austenitic_limits(catalog))); }},
       {"pren", [](const Row& r) { return pitting_resistance(composition(r)); }},
       {"vickers_of_rockwell",
        [](const Row& r) { return value(duplex_HV(r["HRC"], heat_range(catalog, "duplex-rockwell"))); }}});
}

TEST_CASE("published: aluminium") {
  constexpr std::array<std::string_view, 10> kinds{"pure",          "copper",       "manganese",  "magnesium",
                                                   "mg-si",         "zinc",         "cast-al-si", "cast-al-mg",
                                                   "cast-al-si-mg", "cast-al-si-cu"};
  const auto limits = [&](const Row& r) {
    const auto kind = word<AluminiumKind>(r, "kind", kinds);
    return value(aluminium_temperatures(catalog.aluminium_temperatures, kind, kind));
  };
  // Of an alloy of the catalog that the rule is for.
  const auto avoided = [](const Row& r) {
    const Alloy* alloy = find_alloy(catalog, r.text("alloy"));
    REQUIRE_MESSAGE(alloy != nullptr, r.id, ": unknown alloy");
    const Interval range = heat_range(catalog, "navy-aluminium-avoid");
    CHECK(alloy->interpass_max_C.value <= range.low);
    return range;
  };
  check_published("aluminium.csv", {{"avoid_low", [&](const Row& r) { return avoided(r).low; }},
                                    {"avoid_high", [&](const Row& r) { return avoided(r).high; }},
                                    {"preheat_max", [&](const Row& r) { return limits(r).preheat_max_C; }},
                                    {"interpass_max", [&](const Row& r) { return limits(r).interpass_max_C; }}});
}

TEST_CASE("published: shrinkage") {
  const ShrinkageRules rules = shrinkage_rules(catalog);
  const auto fillet = [&](const Row& r, FilletJoint joint) {
    return value(fillet_shrinkage_mm(joint, r["leg"], r["d"], rules)).value;
  };
  check_published(
      "shrinkage.csv",
      {{"butt_shrinkage",
        [&](const Row& r) { return value(butt_shrinkage_mm(r["section"], r["d"], r["gap"], rules)).value; }},
       {"tee_shrinkage", [&](const Row& r) { return fillet(r, FilletJoint::tee); }},
       {"fillet_angle", [&](const Row& r) { return value(fillet_angle_deg(r["leg"], r["d"], rules)).value; }},
       {"lap_shrinkage", [&](const Row& r) { return fillet(r, FilletJoint::lap); }},
       {"longitudinal_shrinkage", [](const Row& r) { return longitudinal_shrinkage_mm(r["I"], r["L"], r["d"]); }},
       {"contraction",
        [&](const Row& r) { return value(contraction_mm(r["expansion"], r["heat"], r["d"], rules)).value; }}});
}

TEST_CASE("published: qualification and imperfections") {
  constexpr std::array<std::string_view, 2> standards{"steel", "aluminium"};
  constexpr std::array<std::string_view, 2> runs{"single", "multi"};
  constexpr std::array<std::string_view, 5> imperfections{"undercut", "convexity", "throat-short", "asymmetry",
                                                          "fit-up-gap"};
  const auto butt = [&](const Row& r) {
    TestPiece piece;
    piece.standard = word<QualificationStandard>(r, "standard", standards);
    piece.runs = word<Runs>(r, "runs", runs);
    piece.thickness_mm = r["t"];
    return value(qualify(piece, qualification_rules(catalog))).ranges.front().range;
  };
  check_published(
      "qualification.csv",
      {{"butt_low", [&](const Row& r) { return butt(r).low; }},
       {"butt_high", [&](const Row& r) { return butt(r).high; }},
       {"group_covered",
        [&](const Row& r) {
          const auto standard = word<QualificationStandard>(r, "standard", standards);
          return group_cover(r.text("tested"), r.text("planned"), standard, catalog.qualified_groups).covered ? 1.0
                                                                                                              : 0.0;
        }},
       {"gas_covered",
        [&](const Row& r) {
          const Gas *tested = find_gas(catalog, r.text("tested")), *planned = find_gas(catalog, r.text("planned"));
          REQUIRE(tested != nullptr);
          REQUIRE(planned != nullptr);
          return gas_covered(*tested, *planned, qualification_rules(catalog).gas_co2_share) ? 1.0 : 0.0;
        }},
       {"imperfection", [&](const Row& r) {
          return value(imperfection_limit_mm(
              catalog.imperfections, word<Imperfection>(r, "imperfection", imperfections), r.text("level"), r["size"]));
        }}});
}

TEST_CASE("published: catalog") {
  const auto alloy = [](const Row& r) -> const Alloy& {
    const Alloy* found = find_alloy(catalog, r.text("alloy"));
    REQUIRE_MESSAGE(found != nullptr, r.id, ": unknown alloy");
    return *found;
  };
  const auto maximum = [&](const Row& r) {
    const auto element = element_by_symbol(r.text("element"));
    REQUIRE(element);
    return alloy(r).maximum[*element];
  };
  const auto level = [](const Row& r) -> const QualityLevel& {
    const QualityLevel* found = find_quality(catalog, r.text("level"));
    REQUIRE_MESSAGE(found != nullptr, r.id, ": unknown level");
    return *found;
  };
  check_published("catalog.csv", {{"maximum", maximum},
                                  {"carbon_equivalent_max",
                                   [&](const Row& r) { return alloy(r).carbon_equivalent_max_percent.value; }},
                                  {"face_excess",
                                   [&](const Row& r) {
                                     const QualityLevel& q = level(r);
                                     return std::min(q.face_fixed_mm + q.face_share * r["size"], q.face_max_mm);
                                   }},
                                  {"throat_excess", [&](const Row& r) {
                                     const QualityLevel& q = level(r);
                                     return std::min(q.throat_fixed_mm + q.throat_share * r["size"], q.throat_max_mm);
                                   }}});
}

TEST_CASE("published: safety") {
  check_published(
      "safety.csv",
      {{"filter_shade", [](const Row& r) { return value(least_filter_shade(catalog.filter_shades, r["I"])); }},
       {"exposure_limit", [](const Row& r) {
          return heat_range(catalog, HeatRangeId::made_of("exposure-" + r.text("substance"))).high;
        }}});
}
