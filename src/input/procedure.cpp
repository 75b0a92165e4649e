#include "seamwright/procedure.hpp"

#include <algorithm>
#include <cmath>

namespace seamwright {
namespace {

constexpr std::array<ProcedureVariableInfo, procedure_word_count> word_table{{
    {"joint.type", "joint type", ""},
    {"joint.preparation", "preparation", ""},
    {"joint.position", "position", ""},
    {"joint.backing", "backing", ""},
    {"material.alloy", "parent metal", ""},
    {"material.group", "group of ISO/TR 15608", ""},
    {"wire.designation", "filler", ""},
    {"gas.designation", "shielding gas", ""},
    {"gas.backing", "backing gas", ""},
    {"process.mode", "transfer mode", ""},
}};
constexpr std::array<ProcedureVariableInfo, procedure_number_count> number_table{{
    {"joint.thickness", "thickness", "mm", 0.5, 500},
    {"joint.diameter", "outside diameter", "mm", 5, 20000},
    {"joint.gap", "gap", "mm", 0, 20},
    {"joint.root_face", "root face", "mm", 0, 20},
    {"joint.angle", "included angle", "deg", 5, 150},
    {"joint.leg", "fillet leg", "mm", 1, 50},
    {"wire.diameter", "wire diameter", "mm", 0.6, 2.4},
    {"wire.extension", "electrode extension", "mm", 3, 50},
    {"gas.flow", "gas flow", "l/min", 1, 60},
}};

}  // namespace

const ProcedureVariableInfo& procedure_word(ProcedureWord id) { return word_table[static_cast<std::size_t>(id)]; }
const ProcedureVariableInfo& procedure_number(ProcedureNumber id) { return number_table[static_cast<std::size_t>(id)]; }

bool same_ranges(const Procedure& procedure, int a, int b) {
  const auto binds_otherwise = [&](const ProcedureRange& r, int pass, int other) {
    if (r.pass != pass) return false;
    return std::none_of(procedure.ranges.begin(), procedure.ranges.end(), [&](const ProcedureRange& same) {
      return same.pass == other && same.field == r.field && same.range.low == r.range.low &&
             same.range.high == r.range.high;
    });
  };
  return std::none_of(procedure.ranges.begin(), procedure.ranges.end(), [&](const ProcedureRange& r) {
    return r.pass > 0 && (binds_otherwise(r, a, b) || binds_otherwise(r, b, a));
  });
}

std::optional<Interval> procedure_range(const Procedure& procedure, F id, PassRole role, int pass) {
  std::optional<Interval> out, widest;  // what binds together, and what single passes span
  const auto narrow = [&out](const Interval& range) {
    if (!out) out = Interval{-unbounded, unbounded};
    out->low = std::max(out->low, range.low);
    out->high = std::min(out->high, range.high);
  };
  for (const ProcedureRange& r : procedure.ranges) {
    if (r.field != id) continue;
    if (pass == 0 && r.pass > 0) {
      if (r.role && *r.role != role) continue;
      widest = widest ? Interval{std::min(widest->low, r.range.low), std::max(widest->high, r.range.high)} : r.range;
    } else if (r.binds(role, pass)) {
      narrow(r.range);
    }
  }
  if (widest) narrow(*widest);
  return out;
}

Joint with_procedure(Joint joint, const Procedure& procedure) {
  const auto only = [&](ProcedureWord id, Given<std::string>& target) {
    if (target || !procedure[id]) return;
    target.value = procedure[id].value->front();
    target.place = procedure[id].place;
  };
  only(ProcedureWord::position, joint.position);
  only(ProcedureWord::wire, joint.wire);
  if (joint.gas_composition.empty()) only(ProcedureWord::gas, joint.gas);
  // Among several modes the planner keeps its choice, and the check tells whether it is one of them.
  if (const auto& modes = procedure[ProcedureWord::mode]; !joint.mode && modes && modes.value->size() == 1)
    joint.mode = {mode_by_key(modes.value->front()), modes.place};
  if (const auto& diameter = procedure[ProcedureNumber::wire_diameter];
      !joint.wire_diameter_mm && diameter && diameter.value->low == diameter.value->high)
    joint.wire_diameter_mm = {diameter.value->low, diameter.place};
  const auto temperature = [&](F id, Given<double>& target, double Interval::*end) {
    const auto range = procedure_range(procedure, id, PassRole::single);
    if (!target && range && std::isfinite((*range).*end)) target.value = (*range).*end;
  };
  temperature(F::preheat, joint.preheat_C, &Interval::low);
  temperature(F::interpass, joint.interpass_C, &Interval::high);
  return joint;
}

}  // namespace seamwright
