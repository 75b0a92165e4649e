// Rows of the heat and metallurgy tables in data/heat_*.toml. Words stand for the enumerations of the solvers
// (`..._key` gives them). Every row has an id of its own and a source.
#pragma once

#include <limits>
#include <string_view>

#include "seamwright/constant.hpp"

namespace seamwright {

inline constexpr double unbounded = std::numeric_limits<double>::infinity();

// A range in which a formula holds or a weld is sound; an end left out does not bind.
struct HeatRange {
  std::string_view id;    // "cet-preheat-hydrogen"
  std::string_view unit;  // empty for a pure number
  double low = -unbounded, high = unbounded;
  SourceIndex source = 0;
};

// Least shade of the eye filter for an arc current from ... to ... .
struct FilterShadeRow {
  std::string_view id;
  double from_A = 0, to_A = unbounded;
  double shade = 0;
  SourceIndex source = 0;
};

// Joint factors of t8/5, EN 1011-2 table D.1.
struct CoolingJointRow {
  std::string_view id;  // "plate", "butt", "corner", "tee"
  double f2_min = 0, f2_max = 0, f3 = 0;
  SourceIndex source = 0;
};

// Range of one element, %, in which a rule ("cet", "ce", "hardness") holds.
struct CompositionLimit {
  std::string_view id;
  std::string_view rule, element;
  double low = 0, high = 0;
  SourceIndex source = 0;
};

// EN 1011-2 table C.1: greatest combined thickness weldable without preheat, for hydrogen over ... up to ... .
struct NoPreheatRow {
  std::string_view id;
  double hydrogen_over_ml_per_100g = 0, hydrogen_to_ml_per_100g = unbounded;
  double ce_percent = 0;
  double heat_input_kJ_per_mm = 0;
  double combined_thickness_mm = 0;
  SourceIndex source = 0;
};

// AWS D1.1 prequalified preheat for thicknesses over ... up to ...; the thinnest row includes its lower end.
struct MinimumPreheatRow {
  std::string_view id;
  std::string_view category;
  double over_mm = 0, to_mm = unbounded;
  double preheat_C = 0;  // 0: none, but below 0 degC warm to 20 degC
  SourceIndex source = 0;
};

// Preheat that a grade or a group of ISO/TR 15608 asks for by its kind, whatever the carbon equivalent: creep-resisting
// and cold-service steels, copper. Thicknesses over ... up to ... .
struct GradePreheatRow {
  std::string_view id;
  std::string_view applies_to;  // id of an alloy, or a group; an alloy with rows of its own takes none of its group's
  double over_mm = 0, to_mm = unbounded;
  double preheat_C = 0;
  std::string_view rule;  // who asks: "The piping code's table"
  SourceIndex source = 0;
};

// How a weld is begun, ended and tacked: the usual range of one setting, by metal and thickness over ... up to ... . Of
// the rows of one setting the first that fits is taken.
struct StartEndRow {
  std::string_view id;
  std::string_view setting;     // key of the setting: "hot_start_current"
  std::string_view label;       // "hot start, of the welding current"
  std::string_view applies_to;  // families or main groups of ISO/TR 15608 ("group 3") with '|' between, or "any"
  double over_mm = 0, to_mm = unbounded;
  double low = 0, high = 0;
  std::string_view unit;  // "%", "s" or "mm"
  SourceIndex source = 0;
};

// AWS D1.1 alternative preheat: groups by index, and preheat by group.
struct SusceptibilityGroup {
  std::string_view id;  // "A" ... "G"
  double index_to = 0;
  SourceIndex source = 0;
};
struct SusceptibilityRow {
  std::string_view id;
  std::string_view restraint;
  double thickness_to_mm = unbounded;
  double A_C = 0, B_C = 0, C_C = 0, D_C = 0, E_C = 0, F_C = 0, G_C = 0;  // 0: none
  SourceIndex source = 0;
};

// Aluminium fillers for a pair of kinds, either way round, the usual first choice first; AA numbers with '|' between.
struct FillerPair {
  std::string_view id;
  std::string_view kind, kind2;
  std::string_view fillers;
  SourceIndex source = 0;
};
// What a filler brings. Ranks compare fillers with each other only: higher is better.
struct FillerTraits {
  std::string_view id;  // AA number
  double magnesium_percent = 0, silicon_percent = 0;
  double strength_rank = 0;          // of the weld as welded
  double crack_resistance_rank = 0;  // hot cracking during welding
  double colour_match_rank = 0;      // after anodising
  SourceIndex source = 0;
};
struct AluminiumTemperatureRow {
  std::string_view id;  // the kind
  double preheat_max_C = 0, interpass_max_C = 0;
  SourceIndex source = 0;
};

// Which groups of ISO/TR 15608 a test in one of a main group covers: "lower" that sub-group and those of lower
// strength, "same" that sub-group only.
struct QualifiedGroupRow {
  std::string_view id;  // "iso-15614-1-8": standard and main group
  std::string_view standard, group, covers;
  SourceIndex source = 0;
};

// For a test value over ... up to ... the qualified range is max(low_share x, low_at_least) ... high_share x;
// high_share 0: no upper end.
struct QualificationRow {
  std::string_view id;
  std::string_view quantity;  // "thickness" of the parent metal, "throat" of fillets; mm
  std::string_view standard, weld, runs;
  double over = 0, to = unbounded;
  double low_share = 0, low_at_least = 0, high_share = 0;
  SourceIndex source = 0;
};

// Largest imperfection: min(fixed + share * size, max).
struct ImperfectionRow {
  std::string_view id;
  std::string_view imperfection, level;
  double fixed_mm = 0, share = 0, max_mm = unbounded;
  SourceIndex source = 0;
};

}  // namespace seamwright
