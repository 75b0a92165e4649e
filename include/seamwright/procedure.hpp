// A welding procedure as the user's file states it, with the variables of ISO 15609-1, and a plan checked against it.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "seamwright/field.hpp"
#include "seamwright/joint.hpp"
#include "seamwright/qualification.hpp"
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

// A range for an output quantity, in every pass or in those of one role.
struct ProcedureRange {
  F field{};
  std::optional<PassRole> role;
  Interval range;
  Place place;
};

struct Procedure {
  std::string file, number, title;
  std::array<Given<std::vector<std::string>>, procedure_word_count> words;  // as written, known to the catalog
  std::array<Given<Interval>, procedure_number_count> numbers;
  std::vector<ProcedureRange> ranges;
  [[nodiscard]] const Given<std::vector<std::string>>& operator[](ProcedureWord id) const {
    return words[static_cast<std::size_t>(id)];
  }
  [[nodiscard]] const Given<Interval>& operator[](ProcedureNumber id) const {
    return numbers[static_cast<std::size_t>(id)];
  }
};

// The narrowest range the procedure states for a quantity in a pass; empty when it states none.
[[nodiscard]] std::optional<Interval> procedure_range(const Procedure& procedure, F field, PassRole role);

// What the joint leaves open and the procedure settles: mode, position, wire, wire diameter, gas, preheat.
[[nodiscard]] Joint with_procedure(Joint joint, const Procedure& procedure);

enum class CheckStatus : unsigned char { inside, outside, not_stated };
[[nodiscard]] std::string_view check_status_key(CheckStatus status);

struct CheckRow {
  std::string key;  // "joint.thickness", "heat_input"
  std::string label;
  std::string passes;  // "pass 1", "passes 2-4"; empty: the joint as a whole
  CheckStatus status = CheckStatus::not_stated;
  std::string planned;  // a word
  // A number, with the unit of the field or its own; `not_applicable` for words.
  double value = not_applicable;
  F like = F::count;
  std::string_view unit;
  int decimals = 1;
  std::string allowed;  // words
  Interval range{-unbounded, unbounded};
  double beyond = 0;                // by how much outside
  double nearest = not_applicable;  // nearest setting inside that satisfies everything else too
  std::string remark;
  SourceIndex source = 0;  // of the range, where the file does not state it itself
};

struct ProcedureCheck {
  std::vector<CheckRow> rows;
  bool outside = false;  // some row is
  bool solvable = true;  // every pass has a setting inside that satisfies everything else
  std::string summary;   // of the settings inside the procedure: where they are, or that there are none
};

struct Plan;
[[nodiscard]] ProcedureCheck check_procedure(const Plan& plan, const Procedure& procedure);

// Adds what the joint planned anew with the procedure binding comes to, where no setting of the plan as it stands does.
void add_replanned(ProcedureCheck& check, const Plan& bound);

// What a test piece would qualify, and, with a plan, whether the plan lies inside.
[[nodiscard]] Expected<ProcedureCheck> check_test_piece(const TestPiece& piece, const Catalog& catalog,
                                                        const Plan* plan);

}  // namespace seamwright
