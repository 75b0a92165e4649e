// seamwright sheet: the settings of a joint as a page to print.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "io/write_sheet.hpp"

namespace seamwright {

int run_sheet(const SheetArguments& arguments) {
  if (!check_output_arguments(arguments.output, {})) return exit_bad_input;
  if (!joint_given("sheet", arguments.input)) return exit_bad_input;
  const Expected<JointRequest> request = JointRequest::read(arguments.input, arguments.output);
  if (!request) return report(request.errors());
  const Expected<Plan> plan = request->solve({}, {});
  if (!plan) return report(plan.errors());
  return deliver(arguments.output, sheet_html(*plan, {units_of(arguments.output), program_version()}),
                 plan->feasible ? exit_answered : exit_no_window);
}

}  // namespace seamwright
