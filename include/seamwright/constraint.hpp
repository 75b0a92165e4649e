// What ends a band. Each constraint is declared here once: key, label, and the sentence that tells why it exists.
#pragma once

#include <span>
#include <string_view>

#include "seamwright/constraint_id.hpp"

namespace seamwright {

struct ConstraintInfo {
  C id;
  std::string_view key;           // "root-fusion": in JSON and CSV
  std::string_view label;         // "root fusion": in tables
  std::string_view why;           // one sentence: what goes wrong beyond it
  std::string_view remedy;        // one sentence: what moves it
  std::string_view symptom = {};  // what is seen at the weld when it gives out: "it laps cold"
};
[[nodiscard]] std::span<const ConstraintInfo, constraint_count> constraints();
[[nodiscard]] const ConstraintInfo& constraint(C id);

}  // namespace seamwright
