// A welding procedure as the user's file states it, with the variables of ISO 15609-1.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "seamwright/field.hpp"
#include "seamwright/joint.hpp"
#include "seamwright/section.hpp"

namespace seamwright {

// Variables that are words: one of a list.
enum class ProcedureWord : std::size_t {
  joint_type,
  preparation,
  position,
  backing,
  alloy,
  group,  // ISO/TR 15608; "1" covers 1.1, 1.2, ...
  wire,
  gas,
  backing_gas,
  mode,
  count
};
inline constexpr std::size_t procedure_word_count = static_cast<std::size_t>(ProcedureWord::count);
// Variables that are numbers but no output quantity.
enum class ProcedureNumber : std::size_t {
  thickness,
  diameter,
  gap,
  root_face,
  angle,
  leg,
  wire_diameter,
  extension,
  gas_flow,
  count
};
inline constexpr std::size_t procedure_number_count = static_cast<std::size_t>(ProcedureNumber::count);

struct ProcedureVariableInfo {
  std::string_view key;    // "joint.thickness"
  std::string_view label;  // "thickness"
  std::string_view unit;   // of numbers
  double least = 0, most = 0;
};
[[nodiscard]] const ProcedureVariableInfo& procedure_word(ProcedureWord id);
[[nodiscard]] const ProcedureVariableInfo& procedure_number(ProcedureNumber id);

// A range for an output quantity: in every pass, in those of one role, or in one pass.
struct ProcedureRange {
  F field{};
  std::optional<PassRole> role;
  Interval range;
  Place place;
  int pass = 0;  // in welding order from 1; 0: not of one pass
  [[nodiscard]] bool binds(PassRole in_role, int in_pass) const {
    return (!role || *role == in_role) && (pass == 0 || pass == in_pass);
  }
};

// A variable that a procedure states for one pass apart: of the words mode, wire, gas, position; of the numbers wire
// diameter, extension, gas flow.
struct ProcedurePassWords {
  int pass = 0;
  ProcedureWord id{};
  Given<std::vector<std::string>> words;
};
struct ProcedurePassNumber {
  int pass = 0;
  ProcedureNumber id{};
  Given<Interval> range;
};

// What a lock file was made with; empty in a procedure that somebody wrote.
struct ProcedureOrigin {
  std::string program, data;             // "seamwright 0.1.0", "2026.11"
  std::string inputs;                    // digest of the joint and what was given with it
  std::vector<std::string> trials = {};  // titles of the trial welds that the numbers rest on, each once
};

struct Procedure {
  std::string file, number, title;
  ProcedureOrigin made;
  std::array<Given<std::vector<std::string>>, procedure_word_count> words;  // as written, known to the catalog
  std::array<Given<Interval>, procedure_number_count> numbers;
  std::vector<ProcedureRange> ranges;
  std::vector<ProcedurePassWords> pass_words;
  std::vector<ProcedurePassNumber> pass_numbers;
  [[nodiscard]] const Given<std::vector<std::string>>& operator[](ProcedureWord id) const {
    return words[static_cast<std::size_t>(id)];
  }
  [[nodiscard]] const Given<Interval>& operator[](ProcedureNumber id) const {
    return numbers[static_cast<std::size_t>(id)];
  }
};

// The narrowest range the procedure states for a quantity in a pass; empty when it states none. Without a number: what
// holds in every pass of that role, as wide as its passes of that role (or of none told) reach.
[[nodiscard]] std::optional<Interval> procedure_range(const Procedure& procedure, F field, PassRole role, int pass = 0);

// What it states for a pass: what it says of that pass alone, else of the whole joint.
[[nodiscard]] const Given<std::vector<std::string>>& stated_words(const Procedure& procedure, ProcedureWord id,
                                                                  int pass);
[[nodiscard]] const Given<Interval>& stated_number(const Procedure& procedure, ProcedureNumber id, int pass);

// A weave that a procedure fixes, its width or its stop at each side: no limit, but how the torch is to be swung.
[[nodiscard]] bool fixes_weave(const ProcedureRange& range);

// Whether two passes of one role are bound by the same ranges.
[[nodiscard]] bool same_ranges(const Procedure& procedure, int a, int b);

// What the joint leaves open and the procedure settles: mode, position, wire, wire diameter, gas, preheat, a weave that
// it fixes; of passes apart, where neither the joint nor a table of its passes says it: mode, position, wire, wire
// diameter, gas, extension, weave.
[[nodiscard]] Joint with_procedure(Joint joint, const Procedure& procedure);

}  // namespace seamwright
