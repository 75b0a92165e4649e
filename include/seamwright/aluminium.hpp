// Aluminium: filler choice, preheat and interpass limits, hot cracking of the mixed metal, softened zone.
//
// Error: temperatures are the table's, all 18 cells read on a secondary page (tests/published/aluminium.csv). Fillers
// and cracking ranges are handbook rules without an error of their own: they rank and warn. The softened width is the
// pool's table at another temperature: within half of what that allows (1 %, or 0.02 mm of the full width) of the
// integral on 3,000 plates of 1 to 25 mm; against real plates the field's own 20 % and how long 250 degC has to last
// stand over it.
//
// References:
//   EN 1011-4, preheat and interpass temperatures [aluminium-interpass]
//   Mathers, G. (2002) The Welding of Aluminium and its Alloys, Woodhead Publishing [mathers-2002]; crack-sensitive
//     ranges, softening, fillers for a pair [recalled-aluminium-weld]; their rank by aim [practice-filler-rank]
//   ISO/TR 15608, groups [recalled-iso-15608]; EN 573-3 and EN 1706, compositions [recalled-aluminium]
//
// Example:
//
//     #include "seamwright/heat_rules.hpp"
//     const Catalog& catalog = builtin_catalog();
//     const FillerQuestion hull{.kind = AluminiumKind::magnesium,
//                               .kind2 = AluminiumKind::magnesium,
//                               .magnesium_percent = 4.5,
//                               .magnesium2_percent = 4.5};
//     const auto fillers = choose_filler(hull, catalog.filler_pairs, catalog.filler_traits, filler_limits(catalog));
//     std::printf("%s\n", std::string(fillers.front().filler).c_str());  // 5356
//     const auto limits = aluminium_temperatures(catalog.aluminium_temperatures, hull.kind, AluminiumKind::zinc);
//     std::printf("%.0f degC\n", limits->interpass_max_C);  // 80 degC
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "seamwright/catalog.hpp"
#include "seamwright/checked.hpp"
#include "seamwright/pool.hpp"

namespace seamwright {

// Kinds of base metal the rules tell apart (series of EN 573; castings by their main elements).
enum class AluminiumKind : unsigned char {
  pure,       // 1xxx
  copper,     // 2xxx
  manganese,  // 3xxx
  magnesium,  // 5xxx
  mg_si,      // 6xxx
  zinc,       // 7xxx
  cast_al_si,
  cast_al_mg,
  cast_al_si_mg,
  cast_al_si_cu
};
inline constexpr std::size_t aluminium_kind_count = 10;
// Its word in the tables of data/.
[[nodiscard]] std::string_view aluminium_kind_key(AluminiumKind kind);
// Of an ISO/TR 15608 group ("22.4"); empty when it is no aluminium group.
[[nodiscard]] std::optional<AluminiumKind> aluminium_kind_of_group(std::string_view group);

// --- Filler ---

struct FillerLimits {
  double silicon_from_percent = 0;           // fillers from here count as silicon fillers
  double base_magnesium_doubt_percent = 0;   // silicon filler on base metal above this: brittle Mg2Si begins
  double base_magnesium_max_percent = 0;     // ... above this: never chosen
  double service_magnesium_max_percent = 0;  // filler Mg in service above the temperature below: stress corrosion
  double service_C = 0;
};

enum class FillerAim : unsigned char { usual, strength, crack_resistance, colour_match };

struct FillerQuestion {
  AluminiumKind kind{}, kind2{};
  double magnesium_percent = 0, magnesium2_percent = 0;  // of the base metals
  double service_C = 20;
  FillerAim aim = FillerAim::usual;
};

enum class FillerReason : unsigned char {
  usual_choice,  // first of the pair's list
  strongest,     // best of the usable ones for the aim
  least_cracking,
  best_colour,
  brittle_silicide,      // barred: silicon filler on high-magnesium base, Mg2Si
  silicide_begins,       // doubt: silicon filler near that limit
  stress_corrosion,      // barred: magnesium filler in warm service
  dark_after_anodising,  // doubt: silicon filler where colour counts
  not_listed             // the pair's list does not name it
};

struct FillerChoice {
  std::string_view filler;
  bool usable = true;
  std::vector<FillerReason> reasons;
};

// Every filler of the pair's list, usable ones first, ranked by the aim and then by the list. Empty when the table has
// no such pair.
[[nodiscard]] std::vector<FillerChoice> choose_filler(const FillerQuestion& question, std::span<const FillerPair> pairs,
                                                      std::span<const FillerTraits> traits, const FillerLimits& limits);
// The same judgement of one filler the user asks for. Not in the table: traits unknown.
[[nodiscard]] Checked<FillerChoice> judge_filler(std::string_view filler, const FillerQuestion& question,
                                                 std::span<const FillerPair> pairs,
                                                 std::span<const FillerTraits> traits, const FillerLimits& limits);

// --- Preheat and interpass ---

struct TemperatureLimits {
  double preheat_max_C = 0, interpass_max_C = 0;
};
// The lower of the two metals' limits, degC. Preheat is optional; its time is kept short. Not in the table: 2xxx.
[[nodiscard]] Checked<TemperatureLimits> aluminium_temperatures(std::span<const AluminiumTemperatureRow> table,
                                                                AluminiumKind kind, AluminiumKind kind2);

// --- Hot cracking of the mixed metal ---

struct CrackingRanges {
  Interval silicon_percent, magnesium_percent, magnesium_silicide_percent, copper_percent;
  double silicon_safe_percent = 0, magnesium_safe_percent = 0;  // from here the metal heals its cracks
};
enum class CrackingFinding : unsigned char { silicon, magnesium, magnesium_silicide, copper };
// The ranges the mixed composition, % by mass, falls into; none when silicon or magnesium is in the safe range. Mg2Si
// is counted stoichiometrically (1.73 Mg to 1 Si by mass) from the scarcer of the two.
[[nodiscard]] std::vector<CrackingFinding> cracking_findings(const Composition& weld_metal,
                                                             const CrackingRanges& ranges);

// --- Softened zone ---

// Distance, mm, from the weld's centreline at the face within which the peak temperature passes `softening_C`
// (about 250 degC for 6xxx and 7xxx, and for strain-hardened 5xxx). 0 when the plate nowhere gets there;
// refused for a plate already at the softening temperature. To 1 % or 0.02 mm of the field's, as pool_by_table.
[[nodiscard]] Checked<double> softened_half_width_mm(const PoolInput& in, double plate_C, double softening_C);

}  // namespace seamwright
