// seamwright check: a plan against a welding procedure, or against what a test piece would qualify.

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "input/file_kind.hpp"
#include "present/write_check.hpp"
#include "present/write_json.hpp"
#include "seamwright/planner.hpp"
#include "seamwright/procedure_check.hpp"
#include "seamwright/procedure_input.hpp"

namespace seamwright {
namespace {

int print(const ProcedureCheck& check, const CheckOptions& options, const CheckArguments& arguments) {
  const bool json = arguments.output.format == "json";
  const std::string text = json ? check_json(check, options) : check_table(check, options);
  return deliver(arguments.output, text, check.outside ? exit_no_window : exit_answered);
}

}  // namespace

int run_check(const CheckArguments& arguments, const Catalog& catalog) {
  if (!check_output_arguments(arguments.output, "check")) return exit_bad_input;
  const bool procedure = !arguments.input.procedure.empty(), piece_given = !arguments.test_piece.empty();
  if (procedure == piece_given)
    return usage_error("check needs either --procedure or --test-piece",
                       "for example 'seamwright check joint.toml --procedure wps.toml'");
  const bool with_joint = !arguments.input.joint.empty() || !arguments.input.assignments.empty();
  if (procedure && !joint_given("check", arguments.input)) return exit_bad_input;
  if (same_file(arguments.test_piece, arguments.output.file))
    return usage_error("-o would overwrite the test piece", "choose another name for the output");

  CheckOptions options{.units = units_of(arguments.output),
                       .width = line_width(arguments.output),
                       .color = color_wanted(arguments.output),
                       .program_version = program_version(),
                       .catalog = &catalog,
                       .title = {}};
  PlanOptions quick;
  quick.suggestions = quick.heat_report = quick.box = quick.confident = quick.detail_tables = false;
  std::optional<Plan> plan;
  std::optional<JointRequest> request;
  if (with_joint) {
    Expected<JointRequest> read = JointRequest::read(arguments.input, arguments.output, catalog);
    if (!read) return report(read.errors());
    request = std::move(*read);
    Expected<Plan> solved = request->solve({}, quick, true);
    if (!solved) return report(solved.errors());
    plan = std::move(*solved);
  }
  if (procedure) {
    const Procedure& stated = *request->procedure();
    options.title = stated.number.empty()  ? stated.title
                    : stated.title.empty() ? stated.number
                                           : stated.number + ", " + stated.title;
    ProcedureCheck check = check_procedure(*plan, stated);
    check.outside = check.outside || !plan->feasible;
    if (!check.solvable)
      if (const Expected<Plan> bound = request->solve({}, quick, false)) add_replanned(check, *bound);
    return print(check, options, arguments);
  }
  const Expected<TestPiece> piece = read_test_piece(arguments.test_piece, catalog);
  if (!piece) return report(file_told_apart(piece.errors(), arguments.test_piece, FileKind::test_piece));
  Expected<ProcedureCheck> check = check_test_piece(*piece, catalog, plan ? &*plan : nullptr);
  if (!check) {
    Diagnostics errors = check.errors();
    for (Diagnostic& d : errors) d.place.file = arguments.test_piece;
    return report(errors);
  }
  return print(*check, options, arguments);
}

}  // namespace seamwright
