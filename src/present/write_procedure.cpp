#include "present/write_procedure.hpp"

#include <fmt/format.h>

#include <cmath>

#include "input/pass_tables.hpp"
#include "text/foreign_text.hpp"
#include "text/json_value.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

// A TOML basic string takes the escapes of a JSON string.
std::string quoted(std::string_view text) {
  std::string out;
  append_json_string(out, printable(text));
  return out;
}

std::string list_text(const std::vector<std::string>& words) {
  std::string list;
  for (const std::string& word : words) list += fmt::format("{}{}", list.empty() ? "" : ", ", quoted(word));
  return fmt::format("[{}]", list);
}

std::string range_text(const Interval& range, std::string_view unit) {
  if (range.low == range.high) return quoted(with_unit(range.low, unit));
  if (!std::isfinite(range.high)) return quoted(with_unit(range.low, unit) + "..");
  const std::string high = with_unit(range.high, unit);
  return quoted(std::isfinite(range.low) ? fmt::format("{}..{}", number_text(range.low), high) : ".." + high);
}

class Writer {
 public:
  explicit Writer(const Procedure& p) : p_(p) {}

  std::string write() {
    out_ =
        "# Ranges to lock, for --procedure of check, assess and plan. Starting values: the qualified procedure and\n"
        "# the responsible coordinator decide.\n";
    if (!p_.number.empty()) line("number", quoted(p_.number));
    if (!p_.title.empty()) line("title", quoted(p_.title));
    for (std::size_t i = 0; i < procedure_word_count; ++i) {
      const auto& words = p_.words[i];
      if (!words || words.value->empty()) continue;
      in_table(procedure_word(static_cast<ProcedureWord>(i)).key, list_text(*words.value));
    }
    for (std::size_t i = 0; i < procedure_number_count; ++i) {
      const ProcedureVariableInfo& info = procedure_number(static_cast<ProcedureNumber>(i));
      if (p_.numbers[i]) in_table(info.key, range_text(*p_.numbers[i], info.unit));
    }
    for (const ProcedureRange& r : p_.ranges) {
      const bool of_material = !r.role && r.pass == 0 && (r.field == F::preheat || r.field == F::interpass);
      const std::string table = r.pass > 0    ? fmt::format("pass.{}", r.pass)
                                : r.role      ? std::string(pass_role_key(*r.role))
                                : of_material ? "material"
                                              : "every";
      const FieldInfo& info = field(r.field);
      if (r.pass > 0 && r.role && !has_table(table))
        in_table(fmt::format("{}.role", table), quoted(pass_role_key(*r.role)));
      in_table(fmt::format("{}.{}", table, info.key), range_text(r.range, info.unit));
    }
    for (const ProcedurePassWords& own : p_.pass_words)
      in_table(fmt::format("pass.{}.{}", own.pass, pass_key_of(procedure_word(own.id).key)),
               quoted(own.words.value->front()));
    for (const ProcedurePassNumber& own : p_.pass_numbers)
      in_table(fmt::format("pass.{}.{}", own.pass, pass_key_of(procedure_number(own.id).key)),
               range_text(*own.range, procedure_number(own.id).unit));
    if (!p_.made.program.empty()) in_table("made.program", quoted(p_.made.program));
    if (!p_.made.data.empty()) in_table("made.data", quoted(p_.made.data));
    if (!p_.made.inputs.empty()) in_table("made.inputs", quoted(p_.made.inputs));
    if (!p_.made.trials.empty()) in_table("made.trials", list_text(p_.made.trials));
    for (const auto& [name, body] : tables_) out_ += fmt::format("\n[{}]\n{}", name, body);
    return std::move(out_);
  }

 private:
  const Procedure& p_;
  std::string out_;
  std::vector<std::pair<std::string, std::string>> tables_;  // in the order they came up

  void line(std::string_view key, std::string_view value) { out_ += fmt::format("{} = {}\n", key, value); }
  [[nodiscard]] bool has_table(std::string_view name) const {
    for (const auto& [table, body] : tables_)
      if (table == name) return true;
    return false;
  }
  void in_table(std::string_view path, std::string_view value) {
    const std::size_t dot = path.rfind('.');
    const std::string_view name = path.substr(0, dot);
    for (auto& [table, body] : tables_)
      if (table == name) return static_cast<void>(body += fmt::format("{} = {}\n", path.substr(dot + 1), value));
    tables_.emplace_back(name, fmt::format("{} = {}\n", path.substr(dot + 1), value));
  }
};

}  // namespace

std::string procedure_toml(const Procedure& procedure) { return Writer(procedure).write(); }

}  // namespace seamwright
