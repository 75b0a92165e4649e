// What one procedure test piece would qualify: ISO 15614-1 level 2 (steel) and ISO 15614-2 (aluminium).
// The rules come in as rows, each with its source; nearly all of them are recalled from the standards and must be
// checked against the purchased text before they are relied on.
//
// Error: ranges come out as the rows have them (tests/published/qualification.csv: 40 ranges, groups and gases); none
// of the rows of ranges was read in the standard itself, and the groups only as a training page sums them up.
//
// References:
//   ISO 15614-1:2017, clause 8.3.1, groups [iso-15614-1-groups]; ranges of table 5 of 2004, carried into level 2
//     [recalled-iso-15614-1]
//   ISO 15614-2, clause 8 [recalled-iso-15614-2]
//   ISO/TR 15608, groups of materials [recalled-iso-15608]; ISO 14175, groups of gases [iso-14175]; ISO 6947, positions
//     (memory)
//
// Example:
//
//     #include "seamwright/heat_rules.hpp"
//     TestPiece piece;
//     piece.runs = Runs::multi;
//     piece.thickness_mm = 10;
//     piece.position = "PA";
//     const auto found = qualify(piece, qualification_rules(builtin_catalog()));
//     const Interval thickness = found->ranges.front().range;
//     std::printf("%.0f to %.0f mm\n", thickness.low, thickness.high);  // 3 to 20 mm
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/catalog.hpp"
#include "seamwright/checked.hpp"

namespace seamwright {

enum class QualificationStandard : unsigned char { iso_15614_1_level_2, iso_15614_2 };
enum class QualifiedWeld : unsigned char { butt, fillet };
enum class Runs : unsigned char { single, multi };

// Their words in the tables of data/.
[[nodiscard]] std::string_view qualification_standard_key(QualificationStandard standard);
[[nodiscard]] std::string_view qualified_weld_key(QualifiedWeld weld);
[[nodiscard]] std::string_view runs_key(Runs runs);

struct QualificationRules {
  std::span<const QualificationRow> rows;
  std::span<const QualifiedGroupRow> groups;
  double gas_co2_share = 0;                    // 0.2
  double heat_input_share = 0;                 // 0.25
  double thickness_without_impact_max_mm = 0;  // 12: where impact is required but was not tested
  SourceIndex source = 0;                      // of all that is no row
};

struct TestPiece {
  QualificationStandard standard{};
  QualifiedWeld weld{};
  Runs runs{};
  double thickness_mm = 0;
  double throat_mm = not_applicable;
  double heat_input_kJ_per_mm = not_applicable;
  double preheat_C = not_applicable;
  double interpass_C = not_applicable;  // highest reached
  Mode mode = Mode::spray;
  std::string_view position;  // ISO 6947
  std::string group;          // ISO/TR 15608: "1.2"; empty: not stated
  const Gas* gas = nullptr;   // of the catalog; null: not stated
  bool impact_required = false, impact_tested = false;
  bool hardness_required = false;
};

enum class QualifiedVariable : unsigned char { thickness_mm, throat_mm, heat_input_kJ_per_mm, preheat_C, interpass_C };
struct QualifiedRange {
  QualifiedVariable variable{};
  Interval range;  // infinite where the standard sets no end
  SourceIndex source = 0;
};

enum class QualifiedPositions : unsigned char {
  all,           // every position, welding downwards excepted
  tested_only,   // vertical-down qualifies itself only
  by_heat_input  // all, if impact was tested in the position of the highest heat input (usually PF) and hardness in
                 // that of the lowest (usually PC; fillets PB)
};

struct Qualification {
  std::vector<QualifiedRange> ranges;  // in the order of the enum; only what the test piece states
  QualifiedPositions positions{};
  std::vector<Mode> modes;
  SourceIndex source = 0;  // of positions and modes
};

// Whether a group of ISO/TR 15608 ("1.2") is covered by a test in another, and the rule it rests on; null rule: the
// standard has none for the tested group here.
struct GroupCover {
  bool covered = false;
  const QualifiedGroupRow* rule = nullptr;
};
[[nodiscard]] GroupCover group_cover(std::string_view tested, std::string_view planned, QualificationStandard standard,
                                     std::span<const QualifiedGroupRow> rules);
// ISO 14175 group of a gas of the catalog: "M21" of "M21-ArC-18".
[[nodiscard]] std::string_view gas_group(const Gas& gas);
// The same group of ISO 14175, the CO2 within `share` (0..1) of that in the test.
[[nodiscard]] bool gas_covered(const Gas& tested, const Gas& planned, double share);

// Refuses a thickness or throat, mm, outside the tables, and a thickness that the tables would only qualify beyond what
// is allowed without the impact test that is required. Where a table says nothing at all of this kind of weld, the
// variable is left out of the ranges.
[[nodiscard]] Checked<Qualification> qualify(const TestPiece& piece, const QualificationRules& rules);

}  // namespace seamwright
