#include "seamwright/qualification.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace seamwright {
namespace {

struct RowRange {
  Interval range;
  SourceIndex source = 0;
};

bool about(const QualificationRow& row, const TestPiece& piece, std::string_view quantity) {
  return row.quantity == quantity && row.standard == qualification_standard_key(piece.standard) &&
         row.weld == qualified_weld_key(piece.weld) && row.runs == runs_key(piece.runs);
}

bool covers(std::span<const QualificationRow> table, const TestPiece& piece, std::string_view quantity) {
  return std::ranges::any_of(table, [&](const QualificationRow& row) { return about(row, piece, quantity); });
}

Checked<RowRange> range_by_table(std::span<const QualificationRow> table, const TestPiece& piece, double x,
                                 std::string_view quantity, std::string_view label) {
  double covered = 0;
  for (const auto& row : table) {
    if (!about(row, piece, quantity)) continue;
    covered = std::max(covered, row.to);
    if (x > row.over && x <= row.to) {
      return RowRange{
          {std::max(row.low_share * x, row.low_at_least), row.high_share > 0 ? row.high_share * x : unbounded},
          row.source};
    }
  }
  return Refusal{RefusalReason::not_in_table, label, x, {0, covered}};
}

bool downwards(std::string_view position) {
  constexpr std::array down{"PG", "PJ", "J-L045"};
  return std::ranges::find(down, position) != down.end();
}

// Dip transfer qualifies dip transfer only; spray and pulse qualify each other.
std::vector<Mode> qualified_modes(Mode tested) {
  if (is_dip(tested)) return {Mode::short_arc, Mode::controlled_dip};
  return {Mode::spray, Mode::pulse, Mode::double_pulse};
}

}  // namespace

std::string_view qualification_standard_key(QualificationStandard standard) {
  return standard == QualificationStandard::iso_15614_2 ? "iso-15614-2" : "iso-15614-1";
}
std::string_view qualified_weld_key(QualifiedWeld weld) { return weld == QualifiedWeld::butt ? "butt" : "fillet"; }
std::string_view runs_key(Runs runs) { return runs == Runs::single ? "single" : "multi"; }

GroupCover group_cover(std::string_view tested, std::string_view planned, QualificationStandard standard,
                       std::span<const QualifiedGroupRow> rules) {
  const auto split = [](std::string_view group) {
    const auto dot = group.find('.');
    const bool has_sub = dot != std::string_view::npos;
    return std::pair{group.substr(0, dot), has_sub ? group.substr(dot + 1) : std::string_view()};
  };
  const auto [main, sub] = split(tested);
  const auto [planned_main, planned_sub] = split(planned);
  GroupCover out;
  for (const QualifiedGroupRow& rule : rules)
    if (rule.standard == qualification_standard_key(standard) && rule.group == main) out.rule = &rule;
  if (out.rule == nullptr || planned_main != main) return out;
  // Sub-groups are single digits, in the order of their strength.
  out.covered = out.rule->covers == "lower" ? planned_sub <= sub : planned_sub == sub;
  return out;
}

std::string_view gas_group(const Gas& gas) { return gas.id.substr(0, gas.id.find('-')); }

bool gas_covered(const Gas& tested, const Gas& planned, double share) {
  return gas_group(tested) == gas_group(planned) &&
         std::abs(planned.co2_percent - tested.co2_percent) <= share * tested.co2_percent;
}

Checked<Qualification> qualify(const TestPiece& piece, const QualificationRules& rules) {
  Qualification out;
  const auto add = [&](QualifiedVariable variable, Interval range, SourceIndex source) {
    out.ranges.push_back({variable, range, source});
  };

  if (covers(rules.rows, piece, "thickness")) {
    const auto thickness = range_by_table(rules.rows, piece, piece.thickness_mm, "thickness", "thickness, mm");
    if (!thickness) return thickness.refusal();
    RowRange plate = *thickness;
    const double cap = rules.thickness_without_impact_max_mm;
    if (piece.impact_required && !piece.impact_tested && plate.range.high > cap) {
      if (plate.range.low > cap) {
        return Refusal{RefusalReason::no_solution, "thickness, mm", piece.thickness_mm, {0, cap}};
      }
      plate = {{plate.range.low, cap}, rules.source};
    }
    add(QualifiedVariable::thickness_mm, plate.range, plate.source);
  }
  if (piece.weld == QualifiedWeld::fillet && applies(piece.throat_mm)) {
    const auto throat = range_by_table(rules.rows, piece, piece.throat_mm, "throat", "throat, mm");
    if (!throat) return throat.refusal();
    add(QualifiedVariable::throat_mm, throat->range, throat->source);
  }
  if (applies(piece.heat_input_kJ_per_mm)) {
    const double Q = piece.heat_input_kJ_per_mm, share = rules.heat_input_share;
    add(QualifiedVariable::heat_input_kJ_per_mm,
        {piece.hardness_required ? Q * (1 - share) : 0, piece.impact_required ? Q * (1 + share) : unbounded},
        rules.source);
  }
  if (applies(piece.preheat_C)) {
    add(QualifiedVariable::preheat_C, {piece.preheat_C, unbounded}, rules.source);
  }
  if (applies(piece.interpass_C)) {
    add(QualifiedVariable::interpass_C, {-unbounded, piece.interpass_C}, rules.source);
  }

  if (downwards(piece.position)) {
    out.positions = QualifiedPositions::tested_only;
  } else {
    out.positions =
        piece.impact_required || piece.hardness_required ? QualifiedPositions::by_heat_input : QualifiedPositions::all;
  }
  out.modes = qualified_modes(piece.mode);
  out.source = rules.source;
  return out;
}

}  // namespace seamwright
