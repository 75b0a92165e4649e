#include "present/plan_words.hpp"

#include <fmt/format.h>

#include "present/joint_words.hpp"
#include "present/quantity_groups.hpp"

namespace seamwright {

std::string styled(std::string_view text, TextStyle style, bool color) {
  if (!color || style == TextStyle::plain) return std::string(text);
  const std::string_view code = style == TextStyle::bold ? "1" : style == TextStyle::caution ? "1;33" : "1;31";
  return fmt::format("\x1b[{}m{}\x1b[0m", code, text);
}

std::string source_mark(const Catalog& catalog, SourceIndex source) {
  return source == 0 ? std::string() : fmt::format(" [{}]", source_kind_key(source_of(catalog, source).kind));
}

std::string gas_words(const Case& c, Units units) {
  if (c.gas_name.empty() || !(c.gas_flow_l_per_min > 0)) return c.gas_name;
  return fmt::format("{}, {}", c.gas_name, flow_text(c.gas_flow_l_per_min, units));
}

std::string machine_words(const Case& c) {
  if (!c.equipment) return "not described: not limited by it, no dial values";
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
