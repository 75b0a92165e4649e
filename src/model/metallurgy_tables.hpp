// Limits and tables of the heat and metallurgy rules. Each is marked with where it comes from:
//   [S] standard, read   [P] published, read   [D] derived here   [C] practice   [M] recalled, unread   [A] assumed
#pragma once

#include <array>
#include <limits>

#include "seamwright/aluminium.hpp"
#include "seamwright/carbon.hpp"
#include "seamwright/cooling.hpp"
#include "seamwright/imperfection.hpp"
#include "seamwright/qualification.hpp"
#include "seamwright/shrinkage.hpp"
#include "seamwright/stainless.hpp"

namespace seamwright::tables {

inline constexpr double unbounded = std::numeric_limits<double>::infinity();
inline constexpr Interval any{-unbounded, unbounded};

// --- Cooling: EN 1011-2:2001 annex D
// ----------------------------------------------------------------------------------

// [M] EN 1011-2 table D.1
inline constexpr CoolingFactors bead_on_plate{{1, 1}, 1};
inline constexpr CoolingFactors butt_run{{0.9, 0.9}, 0.9};
inline constexpr CoolingFactors corner_fillet{{0.67, 0.9}, 0.67};
inline constexpr CoolingFactors tee_fillet{{0.45, 0.67}, 0.67};

// [M] up to 250 degC in practice; [A] lower end: coldest workshop
inline constexpr CoolingLimits cooling_limits{{-20, 250}};

// --- Preheat
// ----------------------------------------------------------------------------------------------------------

// [M] EN 1011-2 C.3 (method B)
inline constexpr CetPreheatLimits cet_preheat_limits{{0.20, 0.50}, {10, 90}, {1, 20}, {0.5, 4.0}, 0.03};
// [M] EN 1011-2 C.3
inline constexpr std::array<ElementLimit, 11> cet_composition{{{Element::C, {0.05, 0.32}},
                                                               {Element::Si, {0, 0.8}},
                                                               {Element::Mn, {0.5, 1.9}},
                                                               {Element::Cr, {0, 1.5}},
                                                               {Element::Cu, {0, 0.7}},
                                                               {Element::Mo, {0, 0.75}},
                                                               {Element::Nb, {0, 0.06}},
                                                               {Element::Ni, {0, 2.5}},
                                                               {Element::Ti, {0, 0.12}},
                                                               {Element::V, {0, 0.18}},
                                                               {Element::B, {0, 0.005}}}};
// [M] EN 1011-2 C.2 (method A); CE 0.30 to 0.70
inline constexpr std::array<ElementLimit, 8> ce_composition{{{Element::C, {0.05, 0.25}},
                                                             {Element::Si, {0, 0.8}},
                                                             {Element::Mn, {0, 1.7}},
                                                             {Element::Cr, {0, 0.9}},
                                                             {Element::Cu, {0, 1.0}},
                                                             {Element::Ni, {0, 2.5}},
                                                             {Element::Mo, {0, 0.75}},
                                                             {Element::V, {0, 0.20}}}};
// [S] EN 1011-2:2001+A1 table C.1: greatest combined thickness weldable without preheat
inline constexpr std::array<NoPreheatRow, 20> no_preheat{
    {{15, unbounded, 0.49, 1.0, 25}, {15, unbounded, 0.49, 2.0, 50}, {15, unbounded, 0.43, 1.0, 40},
     {15, unbounded, 0.43, 2.0, 80}, {10, 15, 0.49, 1.0, 30},        {10, 15, 0.49, 2.0, 55},
     {10, 15, 0.43, 1.0, 50},        {10, 15, 0.43, 2.0, 90},        {5, 10, 0.49, 1.0, 35},
     {5, 10, 0.49, 2.0, 65},         {5, 10, 0.43, 1.0, 60},         {5, 10, 0.43, 2.0, 100},
     {3, 5, 0.49, 1.0, 50},          {3, 5, 0.49, 2.0, 100},         {3, 5, 0.43, 1.0, 100},
     {3, 5, 0.43, 2.0, 100},         {0, 3, 0.49, 1.0, 60},          {0, 3, 0.49, 2.0, 100},
     {0, 3, 0.43, 1.0, 100},         {0, 3, 0.43, 2.0, 100}}};
// [S] AWS D1.1:2015 table 3.3
inline constexpr std::array<MinimumPreheatRow, 8> minimum_preheat{{{PreheatCategory::a, 3, 20, 0},
                                                                   {PreheatCategory::a, 20, 38, 65},
                                                                   {PreheatCategory::a, 38, 65, 110},
                                                                   {PreheatCategory::a, 65, unbounded, 150},
                                                                   {PreheatCategory::b, 3, 20, 0},
                                                                   {PreheatCategory::b, 20, 38, 10},
                                                                   {PreheatCategory::b, 38, 65, 65},
                                                                   {PreheatCategory::b, 65, unbounded, 110}}};
// [M] AWS D1.1 annex, alternative preheat
inline constexpr std::array<SusceptibilityGroup, 7> susceptibility_groups{
    {{'A', 3.0}, {'B', 3.5}, {'C', 4.0}, {'D', 4.5}, {'E', 5.0}, {'F', 5.5}, {'G', 7.0}}};
// [M] AWS D1.1 annex; the entry high restraint, group D, 2 in is also read (300 degF). Columns: groups A to G; rows:
// plate up to 10, 20, 38, 75 mm and above.
inline constexpr double susceptibility_thickness_mm[5] = {10, 20, 38, 75, unbounded};
inline constexpr double susceptibility_preheat[3][5][7] = {{{0, 0, 0, 0, 60, 140, 150},
                                                            {0, 0, 20, 60, 100, 140, 150},
                                                            {0, 0, 20, 80, 110, 140, 150},
                                                            {20, 20, 40, 95, 120, 140, 150},
                                                            {20, 20, 40, 95, 120, 140, 150}},
                                                           {{0, 0, 0, 0, 70, 140, 160},
                                                            {0, 0, 20, 80, 115, 145, 160},
                                                            {20, 20, 75, 110, 140, 150, 160},
                                                            {20, 80, 110, 130, 150, 150, 160},
                                                            {95, 120, 140, 150, 160, 160, 160}},
                                                           {{0, 0, 0, 40, 110, 150, 160},
                                                            {0, 20, 65, 105, 140, 160, 160},
                                                            {20, 85, 115, 140, 150, 160, 160},
                                                            {115, 130, 150, 150, 160, 160, 160},
                                                            {115, 130, 150, 150, 160, 160, 160}}};
inline constexpr auto susceptibility_rows = [] {
  std::array<SusceptibilityRow, 105> rows{};
  std::size_t i = 0;
  for (std::size_t restraint = 0; restraint < 3; ++restraint) {
    for (std::size_t plate = 0; plate < 5; ++plate) {
      for (std::size_t group = 0; group < 7; ++group) {
        rows[i++] = {static_cast<Restraint>(restraint), susceptibility_groups[group].group,
                     susceptibility_thickness_mm[plate], susceptibility_preheat[restraint][plate][group]};
      }
    }
  }
  return rows;
}();
// [M] Ito and Bessyo 1969
inline constexpr CrackingIndexLimits cracking_index_limits{{1, 5}, {19, 50}};

// --- Hardness
// ---------------------------------------------------------------------------------------------------------

// C [P] abstract of Suzuki's BL70S set (70 steels); the rest [A]: low-alloy steel, inside which martensite forms faster
// than bainite in Yurioka's terms
inline constexpr std::array<ElementLimit, 8> hardness_composition{{{Element::C, {0.017, 0.33}},
                                                                   {Element::Si, {0, 1.0}},
                                                                   {Element::Mn, {0, 2.0}},
                                                                   {Element::Cr, {0, 1.6}},
                                                                   {Element::Ni, {0, 2.5}},
                                                                   {Element::Mo, {0, 0.8}},
                                                                   {Element::Cu, {0, 1.0}},
                                                                   {Element::V, {0, 0.2}}}};
// times [A]; half width [P] TWI 2008: twice the standard deviation of the best hybrid
inline constexpr HardnessLimits hardness_limits{hardness_composition, {1, 100}, 56};
// [M] ISO 15614-1 table 3, not heat-treated: groups 1 and 2; group 3
inline constexpr double hardness_max_groups_1_2_HV = 380, hardness_max_group_3_HV = 450;

// --- Stainless and duplex
// ---------------------------------------------------------------------------------------------

// [D] box of the fitted points (Kotecki and Siewert 1992, table 1)
inline constexpr FerriteLimits ferrite_duplex_limits{{23, 30}, {10.8, 16.5}, any, any, {32, 58}};
// [P] abstract of Valiente Bermejo 2012: ratio and sum of the set
inline constexpr FerriteLimits ferrite_austenitic_limits{any, any, {1.22, 2.00}, {30, 40}, {0, unbounded}};
// [M] Creq/Nieq above which ferrite solidifies first; [P] Valiente Bermejo 2012: 3 to 4 FN is the accepted minimum
inline constexpr double ferrite_first_ratio = 1.4, ferrite_number_min_austenitic = 3;
// 2205: heat input [M]; interpass [P] IMOA; preheat [A] dry; FN [M]; second run [M]; N of S32205 [M]; PREN of S32205
// at its minimum composition [D]
inline constexpr DuplexLimits duplex_limits{{0.5, 2.5}, 150, 75, {30, 70}, 34, 0.14, 0.75};
// super duplex: heat input [P] Kotecki 2010; interpass [M]; FN [M]; PREN [P]; N of S32760 [M]
inline constexpr DuplexLimits super_duplex_limits{{0.5, 1.5}, 100, 75, {30, 70}, 40, 0.20, 0.75};
// [A] below HRC 20 the scale ends; the two published pairs are at 28 and 32
inline constexpr Interval duplex_rockwell_HRC{20, 40};

// --- Aluminium
// --------------------------------------------------------------------------------------------------------

// Dissimilar pairs [P] Mathers 2002 table 3.2; the same kind on both sides, castings, and the fillers added after the
// first [M].
inline constexpr std::array<FillerPair, 23> filler_pairs{
    {{AluminiumKind::pure, AluminiumKind::pure, "4043|5356"},
     {AluminiumKind::manganese, AluminiumKind::manganese, "4043|5356"},
     {AluminiumKind::pure, AluminiumKind::manganese, "4043|5356"},
     {AluminiumKind::pure, AluminiumKind::magnesium, "5356"},
     {AluminiumKind::manganese, AluminiumKind::magnesium, "5356|5183"},
     {AluminiumKind::magnesium, AluminiumKind::magnesium, "5356|5183|5556|5087|5554|5754|4043"},
     {AluminiumKind::pure, AluminiumKind::mg_si, "4043|5356"},
     {AluminiumKind::manganese, AluminiumKind::mg_si, "5356|4043"},
     {AluminiumKind::magnesium, AluminiumKind::mg_si, "5356|5183|5556|5087|5554|4043"},
     {AluminiumKind::mg_si, AluminiumKind::mg_si, "4043|5356|5183|4047|5554"},
     {AluminiumKind::magnesium, AluminiumKind::zinc, "5356|5183|5556"},
     {AluminiumKind::mg_si, AluminiumKind::zinc, "5556|5356|5183|4043"},
     {AluminiumKind::zinc, AluminiumKind::zinc, "5556|5356|5183|5087"},
     {AluminiumKind::copper, AluminiumKind::copper, "2319|4043|4047"},
     {AluminiumKind::copper, AluminiumKind::pure, "2319|4043|4047"},
     {AluminiumKind::copper, AluminiumKind::manganese, "2319|4043|4047"},
     {AluminiumKind::copper, AluminiumKind::mg_si, "2319|4043|4047"},
     {AluminiumKind::cast_al_si, AluminiumKind::cast_al_si, "4043|4047"},
     {AluminiumKind::cast_al_si_mg, AluminiumKind::cast_al_si_mg, "4043|4047"},
     {AluminiumKind::cast_al_si_cu, AluminiumKind::cast_al_si_cu, "4043|4047"},
     {AluminiumKind::cast_al_mg, AluminiumKind::cast_al_mg, "5356|5183"},
     {AluminiumKind::cast_al_si, AluminiumKind::mg_si, "4043|4047"},
     {AluminiumKind::cast_al_si_mg, AluminiumKind::mg_si, "4043|4047"}}};
// Mg and Si: middle of the AWS A5.10 range [S, seen on a secondary page]; 5754, 5087, 2319 [M]. Ranks [C].
inline constexpr std::array<FillerTraits, 9> filler_traits{{{"4043", 0, 5.2, 2, 5, 1},
                                                            {"4047", 0, 12.0, 2, 6, 1},
                                                            {"5356", 5.0, 0, 4, 3, 4},
                                                            {"5183", 4.75, 0, 5, 3, 4},
                                                            {"5556", 5.1, 0, 6, 3, 4},
                                                            {"5087", 4.8, 0, 6, 4, 4},
                                                            {"5554", 2.7, 0, 3, 2, 4},
                                                            {"5754", 3.1, 0, 3, 2, 4},
                                                            {"2319", 0, 0, 5, 3, 2}}};
// [M]: Mg2Si above 2.5 to 3 % Mg in the base; magnesium fillers of 3 % and more not above 65 degC; silicon share [A]
inline constexpr FillerLimits filler_limits{2.0, 2.5, 3.0, 3.0, 65};

// [S, seen on a secondary page] EN 1011-4 preheat and interpass limits; pure copper-alloyed 2xxx is not in it
inline constexpr std::array<AluminiumTemperatureRow, 9> aluminium_temperature_rows{
    {{AluminiumKind::pure, 120, 120},
     {AluminiumKind::manganese, 120, 120},
     {AluminiumKind::magnesium, 120, 120},
     {AluminiumKind::cast_al_si, 120, 120},
     {AluminiumKind::cast_al_mg, 120, 120},
     {AluminiumKind::mg_si, 120, 100},
     {AluminiumKind::cast_al_si_mg, 120, 100},
     {AluminiumKind::cast_al_si_cu, 120, 100},
     {AluminiumKind::zinc, 100, 80}}};
// [M] crack sensitivity peaks near 1 % Si, 1 to 1.5 % Mg, 1 % Mg2Si and 3 % Cu; the ends of the ranges are rounded
inline constexpr CrackingRanges cracking_ranges{{0.5, 2.0}, {0.5, 2.5}, {0.5, 2.0}, {1.0, 5.0}, 2.0, 3.0};
// [M] recovery and over-ageing begin to matter
inline constexpr double aluminium_softening_C = 250;

// --- Shrinkage
// --------------------------------------------------------------------------------------------------------

// spread [A]; leg share [M]
inline constexpr ShrinkageRules shrinkage_rules{0.40, 0.75};
// [D] alpha / rho c, mm3/J: 205 GPa steel at about 12e-6 /K; aluminium 24e-6 /K over 2.7e-3 J/(mm3 K)
inline constexpr double steel_expansion_mm3_per_J = 2.45e-3, aluminium_expansion_mm3_per_J = 8.9e-3;

// --- Imperfections
// ----------------------------------------------------------------------------------------------------

// EN 25817 (superseded; ISO 5817 has the same forms) [S]; undercut ISO 5817:2014 B [S, seen on a secondary page], C and
// D [M]: that page has 1 and 2 mm instead, check the standard; asymmetry without a greatest value
inline constexpr std::array<ImperfectionLimit, 15> imperfection_limits{
    {{Imperfection::undercut, 'B', 0, 0.05, 0.5},
     {Imperfection::undercut, 'C', 0, 0.1, 0.5},
     {Imperfection::undercut, 'D', 0, 0.2, 1},
     {Imperfection::convexity, 'B', 1, 0.1, 3},
     {Imperfection::convexity, 'C', 1, 0.15, 4},
     {Imperfection::convexity, 'D', 1, 0.25, 5},
     {Imperfection::throat_short, 'B', 0, 0, 0},
     {Imperfection::throat_short, 'C', 0.3, 0.1, 1},
     {Imperfection::throat_short, 'D', 0.3, 0.1, 2},
     {Imperfection::asymmetry, 'B', 1.5, 0.15, unbounded},
     {Imperfection::asymmetry, 'C', 2, 0.15, unbounded},
     {Imperfection::asymmetry, 'D', 2, 0.2, unbounded},
     {Imperfection::fit_up_gap, 'B', 0.5, 0.1, 2},
     {Imperfection::fit_up_gap, 'C', 0.5, 0.2, 3},
     {Imperfection::fit_up_gap, 'D', 1, 0.3, 4}}};

// --- Qualification: all [M]
// -------------------------------------------------------------------------------------------

// [M] ISO 15614-1:2004 table 5, taken over for 2017 level 2; fillets: 2017's 2 t; ISO 15614-2, of which the
// plate thickness for fillets is not known here
inline constexpr auto steel = QualificationStandard::iso_15614_1_level_2;
inline constexpr auto light = QualificationStandard::iso_15614_2;
inline constexpr std::array<QualificationRow, 19> qualification_thickness{
    {{steel, QualifiedWeld::butt, Runs::single, 0, 3, 0.7, 0, 1.3},
     {steel, QualifiedWeld::butt, Runs::single, 3, 12, 0.5, 3, 1.3},
     {steel, QualifiedWeld::butt, Runs::single, 12, 100, 0.5, 0, 1.1},
     {steel, QualifiedWeld::butt, Runs::multi, 0, 3, 0.7, 0, 2},
     {steel, QualifiedWeld::butt, Runs::multi, 3, 12, 0, 3, 2},
     {steel, QualifiedWeld::butt, Runs::multi, 12, 100, 0.5, 0, 2},
     {steel, QualifiedWeld::butt, Runs::multi, 100, unbounded, 0, 50, 2},
     {steel, QualifiedWeld::fillet, Runs::single, 0, 3, 0.7, 0, 2},
     {steel, QualifiedWeld::fillet, Runs::single, 3, 30, 0.5, 3, 2},
     {steel, QualifiedWeld::fillet, Runs::single, 30, unbounded, 0, 5, 0},
     {steel, QualifiedWeld::fillet, Runs::multi, 0, 3, 0.7, 0, 2},
     {steel, QualifiedWeld::fillet, Runs::multi, 3, 30, 0.5, 3, 2},
     {steel, QualifiedWeld::fillet, Runs::multi, 30, unbounded, 0, 5, 0},
     {light, QualifiedWeld::butt, Runs::single, 0, 3, 0.5, 0, 2},
     {light, QualifiedWeld::butt, Runs::single, 3, 20, 0, 3, 2},
     {light, QualifiedWeld::butt, Runs::single, 20, unbounded, 0.8, 0, 0},
     {light, QualifiedWeld::butt, Runs::multi, 0, 3, 0.5, 0, 2},
     {light, QualifiedWeld::butt, Runs::multi, 3, 20, 0, 3, 2},
     {light, QualifiedWeld::butt, Runs::multi, 20, unbounded, 0.8, 0, 0}}};
inline constexpr std::array<QualificationRow, 6> qualification_throat{
    {{steel, QualifiedWeld::fillet, Runs::single, 0, unbounded, 0.75, 0, 1.5},
     {steel, QualifiedWeld::fillet, Runs::multi, 0, unbounded, 0, 0, 0},
     {light, QualifiedWeld::fillet, Runs::single, 0, 10, 0.75, 0, 1.5},
     {light, QualifiedWeld::fillet, Runs::single, 10, unbounded, 0, 7.5, 0},
     {light, QualifiedWeld::fillet, Runs::multi, 0, 10, 0.75, 0, 1.5},
     {light, QualifiedWeld::fillet, Runs::multi, 10, unbounded, 0, 7.5, 0}}};
inline constexpr QualificationRules qualification_rules{.thickness = qualification_thickness,
                                                        .throat = qualification_throat,
                                                        .heat_input_share = 0.25,
                                                        .thickness_without_impact_max_mm = 12};

}  // namespace seamwright::tables
