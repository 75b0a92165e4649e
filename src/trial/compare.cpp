#include "seamwright/compare.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "input/pass_tables.hpp"
#include "quantity/quantity_text.hpp"
#include "seamwright/lock_file.hpp"
#include "trial/compare_parts.hpp"

namespace seamwright {
namespace {

constexpr F set_fields[] = {F::wire_feed,
                            F::voltage,
                            F::travel,
                            F::peak_current,
                            F::base_current,
                            F::pulse_frequency,
                            F::modulation_frequency,
                            F::modulation_amplitude};

std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, ", ")); }

std::string end_key(C id) { return id == C::none ? std::string() : std::string(constraint(id).key); }

// What a procedure says of the joint, and its ranges.
void add_procedure(const Procedure& p, std::vector<ComparedItem>& items) {
  for (std::size_t i = 0; i < procedure_word_count; ++i) {
    const ProcedureVariableInfo& info = procedure_word(static_cast<ProcedureWord>(i));
    if (!p.words[i]) continue;
    ComparedItem item{.key = std::string(info.key), .label = std::string(info.label)};
    item.text = joined(*p.words[i]);
    if (!item.text.empty()) items.push_back(std::move(item));
  }
  for (std::size_t i = 0; i < procedure_number_count; ++i) {
    const ProcedureVariableInfo& info = procedure_number(static_cast<ProcedureNumber>(i));
    if (!p.numbers[i]) continue;
    items.push_back(joint_number(info.key, info.label, info.unit, p.numbers[i].value->low, p.numbers[i].value->high));
  }
  for (const ProcedureRange& r : p.ranges) {
    const std::string where = r.pass > 0 ? fmt::format("pass.{}.lock", r.pass)
                              : r.role   ? std::string(pass_role_key(*r.role))
                                         : "every";
    const std::string passes = r.pass > 0 ? fmt::format(", pass {}", r.pass)
                               : r.role   ? fmt::format(", {}", pass_role_key(*r.role))
                                          : std::string();
    ComparedItem item{.key = fmt::format("{}.{}", where, field(r.field).key),
                      .label = std::string(field(r.field).label) + passes,
                      .group = ComparedGroup::lock,
                      .like = r.field};
    item.low = r.range.low;
    item.high = r.range.high;
    items.push_back(std::move(item));
  }
}

// What a procedure says of single passes besides ranges.
void add_passes(const Procedure& p, std::vector<ComparedItem>& items) {
  for (const ProcedurePassWords& own : p.pass_words)
    items.push_back(word_of_pass(own.pass, own.id, joined(*own.words)));
  for (const ProcedurePassNumber& own : p.pass_numbers)
    items.push_back(number_of_pass(own.pass, own.id, own.range.value->low, own.range.value->high));
}

void add_estimates(const PassResult& pass, std::vector<ComparedItem>& items) {
  for (const FieldInfo& info : fields()) {
    const Estimate& e = pass[info.id];
    if (!e.present || !std::isfinite(e.value)) continue;
    ComparedItem item = pass_quantity(pass.pass.number, info.id);
    item.value = e.value;
    if (info.range == Range::setting) {
      item.low = e.low;
      item.high = e.high;
      item.low_end = end_key(e.low_end);
      item.high_end = end_key(e.high_end);
    }
    items.push_back(std::move(item));
  }
}

bool as_printed_differ(const ComparedItem& like, double a, double b) {
  if (std::isnan(a) || std::isnan(b)) return false;
  if (a == b) return false;
  if (!std::isfinite(a) || !std::isfinite(b)) return true;
  constexpr double last_of_six = 1.5e-5;
  if (std::abs(a - b) <= last_of_six * std::max(std::abs(a), std::abs(b))) return false;
  if (like.like == F::count) return true;
  return quantity_text(field(like.like), a, Units::metric) != quantity_text(field(like.like), b, Units::metric);
}

std::string versions_sentence(const ComparedSide& a, const ComparedSide& b, bool differ) {
  const bool known = !a.made.inputs.empty() && !b.made.inputs.empty();
  const bool same_inputs = known && a.made.inputs == b.made.inputs;
  if (a.made.data.empty() || b.made.data.empty()) return "Which data was behind one of them is not known.";
  if (a.made.data == b.made.data) {
    if (!same_inputs) return fmt::format("Both were made with data {}.", a.made.data);
    std::string text = fmt::format("Both were made from the same inputs with data {}", a.made.data);
    if (differ && a.made.program != b.made.program)
      text += fmt::format(", by {} and {}: what moved is drift of the program", a.made.program, b.made.program);
    return text + '.';
  }
  const std::string versions =
      fmt::format("The first was made with data {}, the second with data {}", a.made.data, b.made.data);
  if (!known) return versions + "; whether from the same inputs is not known.";
  return versions +
         (same_inputs ? ", from the same inputs: what moved is drift of the data." : "; the inputs are others too.");
}

// Which trial welds stand behind one side and not behind the other; empty where they are the same.
std::string trials_sentence(const ComparedSide& a, const ComparedSide& b) {
  if (a.made.trials == b.made.trials) return {};
  const auto named = [](const ComparedSide& side) {
    return side.made.trials.empty() ? std::string("no trial welds")
                                    : fmt::format("\"{}\"", fmt::join(side.made.trials, "\", \""));
  };
  return fmt::format(" The first rests on {}, the second on {}.", named(a), named(b));
}

}  // namespace

std::string_view compared_group_key(ComparedGroup group) {
  constexpr std::string_view keys[] = {"joint", "setting", "lock", "expected"};
  return keys[static_cast<std::size_t>(group)];
}

ComparedItem joint_number(std::string_view key, std::string_view label, std::string_view unit, double low,
                          double high) {
  ComparedItem item{.key = std::string(key), .label = std::string(label), .unit = unit};
  (low == high ? item.value : item.low) = low;
  if (low != high) item.high = high;
  return item;
}

ComparedItem pass_quantity(int pass, F id) {
  const bool set = std::find(std::begin(set_fields), std::end(set_fields), id) != std::end(set_fields);
  return {.key = fmt::format("pass.{}.{}", pass, field(id).key),
          .label = fmt::format("{}, pass {}", field(id).label, pass),
          .group = set ? ComparedGroup::setting : ComparedGroup::expected,
          .like = id};
}

ComparedItem word_of_pass(int pass, ProcedureWord id, std::string_view text) {
  const ProcedureVariableInfo& info = procedure_word(id);
  return word_item(fmt::format("pass.{}.{}", pass, pass_key_of(info.key)), fmt::format("{}, pass {}", info.label, pass),
                   text);
}

ComparedItem number_of_pass(int pass, ProcedureNumber id, double low, double high) {
  const ProcedureVariableInfo& info = procedure_number(id);
  return joint_number(fmt::format("pass.{}.{}", pass, pass_key_of(info.key)),
                      fmt::format("{}, pass {}", info.label, pass), info.unit, low, high);
}

ComparedItem word_item(std::string_view key, std::string_view label, std::string_view text) {
  ComparedItem item{.key = std::string(key), .label = std::string(label)};
  item.text = text;
  return item;
}

ComparedItem pass_word(std::string_view key, std::string_view label, std::string_view text) {
  ComparedItem item = word_item(key, label, text);
  item.group = ComparedGroup::expected;
  return item;
}

ComparedSide compared_plan(const Plan& plan, const std::string& name, const ProcedureOrigin& made) {
  ComparedSide side{.name = name, .kind = "joint"};
  if (plan.resolved.joint.title) side.title = *plan.resolved.joint.title;
  const Expected<Procedure> locked = locked_procedure(plan, made);
  const Procedure procedure = locked ? *locked : described_procedure(plan, made);
  side.made = procedure.made;
  add_procedure(procedure, side.items);
  add_passes(procedure, side.items);
  side.items.push_back(joint_number("passes", "passes", "", static_cast<double>(plan.passes.size()),
                                    static_cast<double>(plan.passes.size())));
  side.items.push_back(word_item("window", "window", plan.feasible ? "yes" : "none"));
  for (const PassResult& pass : plan.passes) {
    add_estimates(pass, side.items);
    if (!pass.grade) continue;
    side.items.push_back(pass_word(fmt::format("pass.{}.grade", pass.pass.number),
                                   fmt::format("grade, pass {}", pass.pass.number), grade_key(pass.grade->grade)));
    side.items.push_back(pass_word(fmt::format("pass.{}.weakest", pass.pass.number),
                                   fmt::format("gives out first, pass {}", pass.pass.number),
                                   constraint(pass.grade->weakest.id).key));
  }
  return side;
}

ComparedSide compared_procedure(const Procedure& p, const std::string& name) {
  ComparedSide side{.name = name, .kind = "lock"};
  side.title = p.title;
  side.made = p.made;
  add_procedure(p, side.items);
  add_passes(p, side.items);
  int passes = 0;
  for (const ProcedureRange& r : p.ranges) passes = std::max(passes, r.pass);
  if (passes > 0) side.items.push_back(joint_number("passes", "passes", "", passes, passes));
  return side;
}

Comparison compare(ComparedSide a, ComparedSide b) {
  Comparison out;
  for (const ComparedItem& one : a.items) {
    const auto other =
        std::find_if(b.items.begin(), b.items.end(), [&](const ComparedItem& i) { return i.key == one.key; });
    if (other == b.items.end()) continue;
    ++out.compared;
    ComparedDifference d{.a = one, .b = *other};
    d.numbers_differ = one.text != other->text || as_printed_differ(one, one.value, other->value) ||
                       as_printed_differ(one, one.low, other->low) || as_printed_differ(one, one.high, other->high);
    d.ends_differ = one.low_end != other->low_end || one.high_end != other->high_end;
    if (d.numbers_differ || d.ends_differ) out.differences.push_back(std::move(d));
  }
  std::stable_sort(out.differences.begin(), out.differences.end(),
                   [](const auto& x, const auto& y) { return x.a.group < y.a.group; });
  out.other_data = a.made.data != b.made.data || a.made.trials != b.made.trials;
  out.data_sentence = versions_sentence(a, b, !out.differences.empty()) + trials_sentence(a, b);
  out.a = std::move(a);
  out.b = std::move(b);
  return out;
}

}  // namespace seamwright
