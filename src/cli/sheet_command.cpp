// seamwright sheet: the settings of a joint as a page to print.
#include <deque>
#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "present/write_sheet.hpp"

namespace seamwright {

int run_sheet(const SheetArguments& arguments, const Catalog& catalog) {
  if (!check_output_arguments(arguments.output, "sheet")) return exit_bad_input;
  if (!joint_given("sheet", arguments.input)) return exit_bad_input;
  std::vector<std::string> machines = arguments.machines;
  if (machines.empty()) machines.emplace_back();
  std::deque<Plan> plans;
  std::deque<SheetContent> contents;
  std::vector<SheetPlan> sheets;
  bool feasible = true;
  for (const std::string& machine : machines) {
    JointArguments input = arguments.input;
    input.equipment = machine;
    const Expected<JointRequest> request = JointRequest::read(input, arguments.output, catalog);
    if (!request) return report(request.errors());
    Expected<Plan> plan = request->solve({}, {});
    if (!plan) return report(plan.errors());
    plans.push_back(std::move(*plan));
    feasible = feasible && plans.back().feasible;
    sheets.push_back({&plans.back(), nullptr});
    if (plans.back().passes.empty()) continue;
    contents.push_back(sheet_content(plans.back()));
    sheets.back().content = &contents.back();
  }
  return deliver(arguments.output, sheet_html(sheets, {units_of(arguments.output), program_version()}),
                 feasible ? exit_answered : exit_no_window);
}

}  // namespace seamwright
