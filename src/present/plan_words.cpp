#include "present/plan_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "present/joint_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/sentence_units.hpp"
#include "settle/resolve.hpp"
#include "text/text_layout.hpp"

namespace seamwright {

std::string styled(std::string_view text, TextStyle style, bool color) {
  if (!color || style == TextStyle::plain) return std::string(text);
  const std::string_view code = style == TextStyle::bold ? "1" : style == TextStyle::caution ? "1;33" : "1;31";
  return fmt::format("\x1b[{}m{}\x1b[0m", code, text);
}

void append_heading(std::string& out, std::string_view text, TextStyle style, bool color, std::size_t width,
                    std::size_t indent) {
  std::string lines;
  append_wrapped(lines, text, width, 0, indent);
  lines.pop_back();
  out += styled(lines, style, color);
  out += '\n';
}

std::string source_mark(const Catalog& catalog, SourceIndex source) {
  return source == 0 ? std::string() : fmt::format(" [{}]", source_kind_key(source_of(catalog, source).kind));
}

std::string gas_words(const Case& c, Units units) {
  if (c.gas_name.empty() || !(c.gas_flow_l_per_min > 0)) return c.gas_name;
  return fmt::format("{}, {}", c.gas_name, flow_text(c.gas_flow_l_per_min, units));
}

std::string process_fact(const Case& c, ProcessFact fact, Units units) {
  switch (fact) {
    case ProcessFact::wire:
      return c.wire == nullptr
                 ? std::string()
                 : fmt::format("{}, {}", wire_words(*c.wire, units), wire_size_words(*c.catalog, c.diameter_mm, units));
    case ProcessFact::gas:
      return c.gas_name;
    case ProcessFact::flow:
      return c.gas_flow_l_per_min > 0 ? flow_text(c.gas_flow_l_per_min, units) : std::string();
    case ProcessFact::mode:
      return key_words(mode_key(c.mode));
    case ProcessFact::extension:
      return c.extension_mm > 0 ? length_text(c.extension_mm, units) : std::string();
    case ProcessFact::position:
      return c.position == nullptr ? std::string() : std::string(c.position->id);
    case ProcessFact::count:
      break;
  }
  return {};
}

std::string told_fact(const Case& c, ProcessFact fact, Units units) {
  std::string text = process_fact(c, fact, units);
  if (text.empty()) return text;
  if (fact == ProcessFact::flow) text.insert(0, "gas ");
  if (fact == ProcessFact::extension) text.insert(0, "stick-out ");
  if (fact == ProcessFact::position) text.insert(0, "position ");
  return text;
}

bool differs(const Plan& plan, ProcessFact fact, Units units) {
  const std::vector<const Case*> processes = processes_of(plan.resolved);
  const std::string first = process_fact(*processes.front(), fact, units);
  return std::any_of(processes.begin(), processes.end(),
                     [&](const Case* process) { return process_fact(*process, fact, units) != first; });
}

std::string fact_by_pass(const Plan& plan, ProcessFact fact, Units units) {
  std::string words;
  const auto text = [&](std::size_t i) { return process_fact(case_of(plan.resolved, i), fact, units); };
  for (std::size_t i = 0; i < plan.passes.size();) {
    std::size_t last = i;
    while (last + 1 < plan.passes.size() && text(last + 1) == text(i)) ++last;
    words += fmt::format("{}{}: {}", words.empty() ? "" : "; ",
                         pass_span_words(plan.passes[i].pass.number, plan.passes[last].pass.number), text(i));
    i = last + 1;
  }
  return words;
}

std::string own_process_words(const Plan& plan, const PassResult& pass, Units units) {
  if (plan.resolved.own.empty()) return {};
  std::string words;
  for (const ProcessFact fact : {ProcessFact::mode, ProcessFact::wire, ProcessFact::gas, ProcessFact::flow,
                                 ProcessFact::extension, ProcessFact::position}) {
    if (!differs(plan, fact, units)) continue;
    words += fmt::format("{}{}", words.empty() ? "" : "; ", told_fact(case_of(plan, pass), fact, units));
  }
  return words;
}

std::vector<std::string> change_words(const Plan& plan, Units units) {
  if (plan.resolved.own.empty() || plan.passes.size() < 2) return {};
  std::vector<std::string> words;
  const std::vector<ProcessChange> changes = process_changes(plan.resolved);
  for (const auto& [what, name] :
       {std::pair(ProcessChange::What::wire, "wire"), std::pair(ProcessChange::What::gas, "gas")}) {
    std::size_t count = 0;
    std::string list;
    for (const ProcessChange& change : changes) {
      if (change.what != what) continue;
      list += fmt::format("{} between passes {} and {}, from {} to {}", count++ == 0 ? "" : ";", change.before,
                          change.after, change.from, change.to);
    }
    if (count > 0)
      words.push_back(
          fmt::format("{} {} change{}:{}.", count, name, count == 1 ? "" : "s", sentence_in_units(list, units)));
  }
  if (words.empty()) words.emplace_back("None: every pass takes the same wire and gas.");
  return words;
}

std::string weave_words(const Plan& plan, const PassResult& pass, Units units) {
  if (!pass[F::weave_width].present) return {};
  const auto of = [&](F id) { return quantity_with_unit(field(id), pass[id].value, units); };
  const Catalog& catalog = *plan.resolved.catalog;
  const bool given = static_cast<bool>(case_of(plan, pass).joint.weave_width_mm);
  return fmt::format("{} wide, {} at each side, {} on from weave to weave{}", of(F::weave_width), of(F::weave_dwell),
                     of(F::weave_advance),
                     given ? std::string() : source_mark(catalog, catalog.limits->weave_dwell_s.source));
}

std::string machine_words(const Case& c) {
  if (!is_machine(c.equipment)) return "not described: not limited by it, no dial values";
  return c.equipment->name.empty() ? "as described" : c.equipment->name;
}

std::string procedure_words(const Case& c) {
  if (!c.procedure) return {};
  return fmt::format("{}: its ranges bind", c.procedure->number.empty() ? c.procedure->file : c.procedure->number);
}

std::string least_conflict_words(const PassResult& pass, Units units) {
  const Estimate &feed = pass[F::wire_feed], &travel = pass[F::travel];
  if (!feed.present || !travel.present) return {};
  return fmt::format("The conflict is smallest (this is not a setting to weld with) at {} and {}:",
                     quantity_with_unit(field(F::wire_feed), feed.value, units),
                     quantity_with_unit(field(F::travel), travel.value, units));
}

std::string conflict_words(const Margin& m, const Catalog& catalog, Units units) {
  const ConstraintInfo& info = constraint(m.id);
  std::string text = fmt::format("{}: {}", info.label, shortfall_words(m, units));
  if (!info.why.empty()) text += fmt::format("; {}", info.why);
  if (!info.remedy.empty()) text += fmt::format(". Remedy: {}", info.remedy);
  return text + "." + source_mark(catalog, m.source);
}

std::string way_to(const Suggestion& suggestion) {
  if (!suggestion.without.empty()) return fmt::format("without {}, or with another", suggestion.without);
  std::string options;
  for (const KeyChange& change : suggestion.settings) {
    std::string value;
    if (const auto* text = std::get_if<std::string>(&change.value)) value = *text;
    if (const auto* yes = std::get_if<bool>(&change.value)) value = *yes ? "true" : "false";
    const std::string_view quote = value.find(' ') == std::string::npos ? "" : "'";
    options += fmt::format("{}--set {}{}={}{}", options.empty() ? "" : " ", quote, change.key, value, quote);
  }
  return options;
}

std::string moved_deposit_words(const PassResult& pass, Units units) {
  return fmt::format("More metal than the {} the joint needs with its allowance, for the sake of: {}.",
                     quantity_with_unit(field(F::deposit_area), pass.pass.nominal_mm2, units),
                     constraint(pass.window.moved_by).label);
}

std::vector<PassRun> runs_of_passes(const Plan& plan, const std::function<std::string(const PassResult&)>& body) {
  std::vector<PassRun> runs;
  for (std::size_t i = 0; i < plan.passes.size(); ++i) {
    const PassResult& pass = plan.passes[i];
    if (like_the_one_before(plan.resolved, i)) {
      runs.back().last = i;
      continue;
    }
    std::string text = body(pass);
    if (!runs.empty()) {
      PassRun& run = runs.back();
      const PassPlan& before = plan.passes[run.last].pass;
      if (before.role == pass.pass.role && before.side == pass.pass.side && run.body == text) {
        run.last = i;
        continue;
      }
    }
    runs.push_back({i, i, std::move(text)});
  }
  return runs;
}

std::string run_title(const Plan& plan, const PassRun& run) {
  const PassPlan& first = plan.passes[run.first].pass;
  std::string title = pass_span_words(first.number, plan.passes[run.last].pass.number);
  title[0] = 'P';
  title += fmt::format(" of {}: {}", plan.passes.size(), pass_role_key(first.role));
  if (plan.resolved.sides == 2) title += fmt::format(", side {}", first.side);
  if (run.last > run.first) title += ", each";
  return title;
}

std::string preference_words(Preference preference) {
  const std::string_view what = preference == Preference::time     ? "the least arc time"
                                : preference == Preference::margin ? "the best margin"
                                                                   : "the usual way";
  return fmt::format("{} (prefer {})", what, preference_key(preference));
}

}  // namespace seamwright
