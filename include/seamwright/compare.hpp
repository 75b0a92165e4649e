// Two of joints, lock files and saved plans beside each other: what differs, which settings move and by how much, which
// limit took over, and whether the data the plans were made with is another.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "seamwright/plan.hpp"
#include "seamwright/procedure.hpp"

namespace seamwright {

enum class ComparedGroup : unsigned char { joint, setting, lock, expected };
[[nodiscard]] std::string_view compared_group_key(ComparedGroup group);

// One thing that is told of a side: a word, a number, or a range with what ends it.
struct ComparedItem {
  std::string key = {};  // "joint.position", "pass.1.wire_feed", "pass.1.lock.wire_feed"
  std::string label = {};
  ComparedGroup group{};
  std::string text = {};          // words; empty for numbers
  F like = F::count;              // the field of a number; F::count: a number of the joint, in `unit`
  std::string_view unit = {};     // of numbers that are no field
  double value = not_applicable;  // metric
  double low = not_applicable, high = not_applicable;
  std::string low_end = {}, high_end = {};  // keys of constraints
};

struct ComparedSide {
  std::string name;       // as the user gave it
  std::string_view kind;  // "joint", "lock", "plan"
  std::string title = {};
  ProcedureOrigin made = {};  // inputs empty: not known
  std::vector<ComparedItem> items = {};
};

struct ComparedDifference {
  ComparedItem a, b;
  bool numbers_differ = false, ends_differ = false;
};

struct Comparison {
  ComparedSide a, b;
  std::vector<ComparedDifference> differences;  // of what both sides tell, in the order of the first
  std::size_t compared = 0;                     // things that both tell
  bool other_data = false;                      // data or trial welds behind them
  std::string data_sentence;
};

// A joint planned now; `made.inputs` is the digest of what it was planned from.
[[nodiscard]] ComparedSide compared_plan(const Plan& plan, const std::string& name, const ProcedureOrigin& made);
// A lock file, or any procedure.
[[nodiscard]] ComparedSide compared_procedure(const Procedure& procedure, const std::string& name);
// What 'plan --format json' wrote, in either system of units. Errors: not that, with line and column.
[[nodiscard]] Expected<ComparedSide> compared_saved_plan(std::string_view text, const std::string& name);

// Numbers differ where they differ as they are printed, and by more than the last of six digits.
[[nodiscard]] Comparison compare(ComparedSide a, ComparedSide b);

}  // namespace seamwright
