// seamwright sheet: the settings of a joint as a page to print.
#include <optional>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "present/write_sheet.hpp"

namespace seamwright {

int run_sheet(const SheetArguments& arguments, const Catalog& catalog) {
  if (!check_output_arguments(arguments.output, {})) return exit_bad_input;
  if (!joint_given("sheet", arguments.input)) return exit_bad_input;
  const Expected<JointRequest> request = JointRequest::read(arguments.input, arguments.output, catalog);
  if (!request) return report(request.errors());
  const Expected<Plan> plan = request->solve({}, {});
  if (!plan) return report(plan.errors());
  std::optional<SheetContent> content;
  if (!plan->passes.empty()) content = sheet_content(*plan);
  const std::string html =
      sheet_html(*plan, content ? &*content : nullptr, {units_of(arguments.output), program_version()});
  return deliver(arguments.output, html, plan->feasible ? exit_answered : exit_no_window);
}

}  // namespace seamwright
