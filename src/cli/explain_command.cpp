// seamwright explain: how one number of a plan came about.
#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "present/write_explanation.hpp"
#include "present/write_json.hpp"
#include "seamwright/planner.hpp"
#include "text/nearest_word.hpp"

namespace seamwright {
namespace {

// An output key, or an error that names the nearest.
bool output_key(const std::string& key, std::optional<F>& id) {
  id = field_by_key(key);
  if (id) return true;
  std::vector<std::string_view> keys;
  for (const FieldInfo& info : fields()) keys.push_back(info.key);
  const std::string_view near = nearest_word(key, keys);
  usage_error(fmt::format("there is no quantity '{}'", key),
              near.empty() ? "'seamwright help outputs' lists them" : fmt::format("did you mean '{}'?", near));
  return false;
}

// A quantity whose formula does not hold is refused with its reason in the heat report.
std::string why_not(const Plan& plan, std::size_t pass, F id) {
  for (const HeatSection& section : plan.heat)
    for (const HeatItem& item : section.items)
      if (item.key == field(id).key && item.pass == plan.passes[pass].pass.number && !item.note.empty())
        return item.note;
  return fmt::format("{} has none, or the joint does not ask for it", mode_key(plan.resolved.mode));
}

}  // namespace

int run_explain(const ExplainArguments& given, const Catalog& catalog) {
  ExplainArguments arguments = given;
  if (!check_output_arguments(arguments.output, "explain")) return exit_bad_input;
  // With --set alone the only argument is the key.
  if (arguments.key.empty() && !arguments.input.assignments.empty() && field_by_key(arguments.input.joint))
    std::swap(arguments.key, arguments.input.joint);
  if (!joint_given("explain", arguments.input)) return exit_bad_input;
  std::optional<F> id;
  if (!arguments.key.empty() && !output_key(arguments.key, id)) return exit_bad_input;

  const Expected<JointRequest> request = JointRequest::read(arguments.input, arguments.output, catalog);
  if (!request) return report(request.errors());
  PlanOptions options;
  options.suggestions = false;
  options.detail = WindowDetail::band;
  const Expected<Plan> plan = request->solve({}, options);
  if (!plan) return report(plan.errors());
  if (plan->passes.empty())
    return usage_error("there is no pass to explain: no mode is possible for this joint",
                       "'seamwright plan' says why, mode by mode");
  const std::optional<std::size_t> pass = pass_index(arguments.pass, *plan);
  if (!pass) return exit_bad_input;

  const int code = plan->feasible ? exit_answered : exit_no_window;
  const bool json = arguments.output.format == "json";
  const TableOptions table{units_of(arguments.output), line_width(arguments.output), color_wanted(arguments.output),
                           program_version()};
  const JsonOptions json_options{units_of(arguments.output), program_version(), false};
  if (!id)
    return deliver(arguments.output,
                   json ? explainable_json(*plan, *pass, json_options) : explainable_text(*plan, *pass, table), code);
  const std::optional<Explanation> explanation = explain(*plan, *pass, *id);
  if (!explanation)
    return usage_error(fmt::format("this pass has no {}: {}", field(*id).label, why_not(*plan, *pass, *id)),
                       "'seamwright explain JOINT.toml' lists what it has");
  return deliver(
      arguments.output,
      json ? explanation_json(*plan, *explanation, json_options) : explanation_text(*plan, *explanation, table), code);
}

}  // namespace seamwright
