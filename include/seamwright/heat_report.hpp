// What a plan means for the metal: composition, preheat, cooling, hardness, ferrite, softening, temperature between
// passes, shrinkage. Numbers with where they come from, refusals with their reason, and findings; made once a plan is
// solved. Presenters print it as it stands.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "seamwright/constant.hpp"
#include "seamwright/field.hpp"

namespace seamwright {

struct HeatItem {
  std::string key;    // "preheat_cet"
  std::string label;  // "preheat by CET"
  int pass = 0;       // 0: the joint as a whole
  // `not_applicable`: there is no number, the note says why. low and high: spread, or a range to keep.
  double value = not_applicable, low = not_applicable, high = not_applicable;
  F like = F::count;      // the number has the unit and decimals of this field ...
  std::string_view unit;  // ... or these
  int decimals = 2;
  std::string note;  // formula, basis, or why there is no number
  SourceIndex source = 0;
};

struct HeatFinding {
  std::string_view id;  // a literal
  std::string text;
  SourceIndex source = 0;
  bool beyond = false;  // beyond a limit, or a damage to be expected: it is among the plan's warnings too
};

struct HeatSection {
  std::string_view key;    // "preheat"
  std::string_view title;  // "Preheat"
  std::vector<HeatItem> items;
  std::vector<HeatFinding> findings;
};

// The key of the section that tells how a weld is begun, ended and tacked.
inline constexpr std::string_view start_end_section = "start_end";

using HeatReport = std::vector<HeatSection>;

struct Plan;
[[nodiscard]] HeatReport heat_report(const Plan& plan);
// Adds the findings beyond a limit to the plan's warnings.
void warn_of_findings(Plan& plan);

}  // namespace seamwright
