#include "seamwright/procedure.hpp"

#include <algorithm>
#include <cmath>

#include "input/pass_tables.hpp"

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

const Given<std::vector<std::string>>& stated_words(const Procedure& procedure, ProcedureWord id, int pass) {
  for (const ProcedurePassWords& own : procedure.pass_words)
    if (own.pass == pass && own.id == id) return own.words;
  return procedure[id];
}
const Given<Interval>& stated_number(const Procedure& procedure, ProcedureNumber id, int pass) {
  for (const ProcedurePassNumber& own : procedure.pass_numbers)
    if (own.pass == pass && own.id == id) return own.range;
  return procedure[id];
}

bool fixes_weave(const ProcedureRange& r) {
  return (r.field == F::weave_width || r.field == F::weave_dwell) && r.range.low == r.range.high;
}

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

namespace {

PassTableKind table_of(PassRole role) {
  switch (role) {
    case PassRole::root:
      return PassTableKind::root;
    case PassRole::fill:
      return PassTableKind::fill;
    case PassRole::cap:
      return PassTableKind::cap;
    case PassRole::single:
      break;
  }
  return PassTableKind::number;
}

// Said of all passes at once, or of each the same: then it is said of the joint.
bool every_pass_weaves_so(const Procedure& procedure, const ProcedureRange& weave) {
  if (weave.pass == 0) return !weave.role || *weave.role == PassRole::single;
  const auto same = [&](int pass) {
    return std::ranges::any_of(procedure.ranges, [&](const ProcedureRange& r) {
      return r.pass == pass && r.field == weave.field && r.range == weave.range;
    });
  };
  return std::ranges::all_of(procedure.ranges, [&](const ProcedureRange& r) { return r.pass == 0 || same(r.pass); });
}

// What single passes are to be welded with, where the joint does not say it.
void settle_passes(const Joint& given, const Procedure& procedure, Joint& joint) {
  const auto settle_in = [&]<class T>(PassTableKind kind, int pass, const Place& place, Given<T> ProcessInput::*member,
                                      const auto& value) {
    const auto says = [member](const PassTable& table) { return static_cast<bool>(table.says.*member); };
    if (given.*member || std::ranges::any_of(given.passes, says)) return;
    const bool known = std::ranges::any_of(
        joint.passes, [&](const PassTable& table) { return table.kind == kind && table.number == pass; });
    PassTable& table = pass_table(joint, kind, pass, place);
    if (!known) table.required = false;
    (table.says.*member).value = value;
    (table.says.*member).place = place;
  };
  const auto settle = [&](int pass, const Place& place, auto member, const auto& value) {
    settle_in(PassTableKind::number, pass, place, member, value);
  };
  const bool gas_by_parts =
      !given.gas_composition.empty() ||
      std::ranges::any_of(given.passes, [](const PassTable& table) { return !table.says.gas_composition.empty(); });
  for (const ProcedurePassWords& own : procedure.pass_words) {
    if (own.words.value->size() != 1 || own.pass > most_pass_number) continue;
    const std::string& word = own.words.value->front();
    if (own.id == ProcedureWord::mode) settle(own.pass, own.words.place, &Joint::mode, mode_by_key(word));
    if (own.id == ProcedureWord::wire) settle(own.pass, own.words.place, &Joint::wire, word);
    if (own.id == ProcedureWord::gas && !gas_by_parts) settle(own.pass, own.words.place, &Joint::gas, word);
    if (own.id == ProcedureWord::position) settle(own.pass, own.words.place, &Joint::position, word);
  }
  for (const ProcedurePassNumber& own : procedure.pass_numbers) {
    const Interval range = *own.range;
    if (range.low != range.high || own.pass > most_pass_number) continue;
    if (own.id == ProcedureNumber::wire_diameter)
      settle(own.pass, own.range.place, &Joint::wire_diameter_mm, range.low);
    if (own.id == ProcedureNumber::extension) settle(own.pass, own.range.place, &Joint::extension_mm, range.low);
  }
  for (const ProcedureRange& own : procedure.ranges) {
    if (!fixes_weave(own) || own.pass > most_pass_number || every_pass_weaves_so(procedure, own)) continue;
    const auto member = own.field == F::weave_width ? &ProcessInput::weave_width_mm : &ProcessInput::weave_dwell_s;
    if (own.pass > 0)
      settle(own.pass, own.place, member, own.range.low);
    else if (own.role && *own.role != PassRole::single)
      settle_in(table_of(*own.role), 0, own.place, member, own.range.low);
  }
  sort_passes(joint);
}

}  // namespace

Joint with_procedure(Joint joint, const Procedure& procedure) {
  const auto of_weave = [](const ProcedureRange& r) { return fixes_weave(r); };
  if (!procedure.pass_words.empty() || !procedure.pass_numbers.empty() ||
      std::ranges::any_of(procedure.ranges, of_weave)) {
    const Joint given = joint;
    settle_passes(given, procedure, joint);
    for (const auto& [id, member] : {std::pair(F::weave_width, &ProcessInput::weave_width_mm),
                                     std::pair(F::weave_dwell, &ProcessInput::weave_dwell_s)}) {
      const auto says = [member = member](const PassTable& table) { return static_cast<bool>(table.says.*member); };
      for (const ProcedureRange& r : procedure.ranges)
        if (r.field == id && fixes_weave(r) && every_pass_weaves_so(procedure, r) && !(joint.*member) &&
            std::ranges::none_of(given.passes, says))
          joint.*member = {r.range.low, r.place};
    }
  }
  const auto of_passes = [&](ProcedureWord id) {
    return std::ranges::any_of(procedure.pass_words, [id](const ProcedurePassWords& own) { return own.id == id; });
  };
  const auto only = [&](ProcedureWord id, Given<std::string>& target) {
    if (target || !procedure[id] || (procedure[id].value->size() > 1 && of_passes(id))) return;
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
