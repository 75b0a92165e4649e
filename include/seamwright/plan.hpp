// The plan: the answer to a joint.
#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "seamwright/box.hpp"
#include "seamwright/case.hpp"
#include "seamwright/grade.hpp"
#include "seamwright/heat_report.hpp"
#include "seamwright/kept_list.hpp"
#include "seamwright/modulation_detail.hpp"
#include "seamwright/sectors.hpp"
#include "seamwright/sensitivity.hpp"
#include "seamwright/trims.hpp"
#include "seamwright/window.hpp"

namespace seamwright {

// One quantity of one pass. low <= value <= high always; ends name what ends the range (C::none: nothing).
struct Estimate {
  bool present = false;
  double value = 0, low = 0, high = 0;
  double plus_minus = 0;  // 90 % half-width from the model constants; 0: exact or not computed
  C low_end = C::none, high_end = C::none;
  SourceKind weakest = SourceKind::standard;  // the weakest kind of source the value rests on
};

struct PassResult {
  PassPlan pass;
  bool feasible = false;
  bool deposit_moved = false;
  std::array<Estimate, field_count> estimates{};
  Window window;
  std::vector<Margin> conflicts;  // when not feasible: at the point where they are smallest, the worst first
  std::optional<PassGrade> grade;
  std::optional<ConfidentBand> confident;
  std::optional<LockBox> box;
  std::optional<ModulationDetail> modulation;  // double pulse
  TrimEffects trims;
  std::vector<SensitivityRow> sensitivity;
  [[nodiscard]] const Estimate& operator[](F id) const { return estimates[static_cast<std::size_t>(id)]; }
  [[nodiscard]] Estimate& operator[](F id) { return estimates[static_cast<std::size_t>(id)]; }
};

struct ModeTrial {
  Mode mode{};
  double diameter_mm = 0;
  bool feasible = false;
  bool chosen = false;
  double score = 0;      // the smallest distance to a last end over its passes; below 0: no window
  double surety = 0;     // the smallest over its passes: 1 holds nine times in ten
  double metal = 0;      // deposit of all passes over what the joint needs with its allowance
  bool unusual = false;  // usual only elsewhere: short arc on plate, spray out of position
  // Of its first pass.
  double wire_feed_m_per_min = 0, voltage_V = 0, current_A = 0, travel_mm_per_s = 0;
  std::size_t passes = 0;
  double arc_s_per_m = 0;  // arc time of all passes of a metre
  std::string remark;      // why it was not possible or not taken
};

// A key of the joint and what it becomes: the text of a value, yes or no, or nothing where it is left out.
struct KeyChange {
  std::string key;  // "joint.leg"; a whole table too: "gas.composition"
  std::variant<std::monostate, bool, std::string> value;
};

// A change that opens a window; each was tried by the solver, as it is written here, before it is named.
struct Suggestion {
  std::vector<KeyChange> settings;  // all of them together
  std::string_view without;         // "--equipment" or "--procedure": what the joint is planned without; else empty
  std::string sentence;             // "a 5 mm leg opens a window: 5.9 to 7.4 m/min"
};

struct Plan {
  Case resolved;
  KeptList<PassResult> passes;     // welding order
  KeptList<PassContext> contexts;  // same order
  KeptList<ModeTrial> trials;
  std::vector<Suggestion> suggestions;
  std::vector<Warning> cautions;
  HeatReport heat;
  SectorPlan sectors;  // fixed pipes; empty elsewhere
  bool feasible = false;
  std::array<Estimate, field_count> totals{};  // wire, gas and arc time over all passes; the number of welds
  [[nodiscard]] const Estimate& total(F id) const { return totals[static_cast<std::size_t>(id)]; }
};

}  // namespace seamwright
