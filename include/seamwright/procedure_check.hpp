// A plan checked against a welding procedure, and against what a test piece qualifies.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "seamwright/procedure.hpp"
#include "seamwright/qualification.hpp"

namespace seamwright {

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
