// What ends a band: the limits, as their rows in limits.def have them.
#pragma once

#include <array>
#include <string_view>

#include "seamwright/constraint_id.hpp"
#include "seamwright/field.hpp"

namespace seamwright {

struct ConstraintInfo {
  // What a limit is about.
  enum class Topic : unsigned char {
    nothing,
    arc,          // how the metal crosses it
    arc_setting,  // likewise, of what is set exactly and so holds or does not
    modulation,
    feeder,
    equipment,
    fusion,
    pool,
    travel,
    deposit,
    heat,
    given  // by the joint or its procedure
  };
  // By what its distance is scored.
  enum class Spread : unsigned char { own, of_quantity };

  C id;
  std::string_view key;    // "root-fusion": in JSON and CSV
  std::string_view label;  // "root fusion": in tables
  Topic topic;
  F quantity;  // that it limits; F::count where that hangs on the pass
  Spread spread;
  int power;                 // +1: more power of the pool helps, -1: it harms, 0: neither
  std::string_view why;      // one sentence: what goes wrong beyond it
  std::string_view remedy;   // one sentence: what moves it
  std::string_view symptom;  // what is seen at the weld when it gives out: "it laps cold"
};
extern const std::array<ConstraintInfo, constraint_count> constraint_table;
[[nodiscard]] inline const std::array<ConstraintInfo, constraint_count>& constraints() { return constraint_table; }
[[nodiscard]] inline const ConstraintInfo& constraint(C id) { return constraint_table[static_cast<std::size_t>(id)]; }
[[nodiscard]] inline bool is_about(C id, ConstraintInfo::Topic topic) { return constraint(id).topic == topic; }

}  // namespace seamwright
