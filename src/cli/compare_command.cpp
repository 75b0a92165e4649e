// seamwright compare: two of joints, lock files and saved plans.
#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "input/file_kind.hpp"
#include "present/write_compare.hpp"
#include "seamwright/compare.hpp"
#include "seamwright/procedure_input.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr std::size_t max_side_bytes = std::size_t{64} << 20;

Expected<ComparedSide> planned(const std::string& file, const CompareArguments& arguments, const Catalog& catalog) {
  JointArguments joint;
  joint.joint = file;
  joint.equipment = arguments.equipment;
  joint.shop = arguments.shop;
  const Expected<JointRequest> request = JointRequest::read(joint, arguments.output, catalog);
  if (!request) return request.errors();
  PlanOptions options;
  options.suggestions = options.heat_report = options.confident = options.detail_tables = false;
  const Expected<Plan> plan = request->solve({}, options);
  if (!plan) return plan.errors();
  return compared_plan(
      *plan, file, {fmt::format("seamwright {}", program_version()), std::string(catalog.version), request->digest()});
}

Expected<ComparedSide> side(const std::string& file, const CompareArguments& arguments, const Catalog& catalog) {
  const Expected<std::string> text = read_text_file(file, max_side_bytes);
  if (!text) return text.errors();
  const std::size_t first = text->find_first_not_of(" \t\r\n");
  if (first != std::string::npos && (*text)[first] == '{') return compared_saved_plan(*text, file);
  if (text->size() <= max_input_bytes)
    if (file_kind(*text) == FileKind::procedure) {
      const Expected<Procedure> procedure = read_procedure_text(*text, file, catalog);
      if (!procedure) return procedure.errors();
      return compared_procedure(*procedure, file);
    }
  return planned(file, arguments, catalog);
}

}  // namespace

int run_compare(const CompareArguments& arguments, const Catalog& catalog) {
  if (!check_output_arguments(arguments.output, "compare")) return exit_bad_input;
  if (arguments.a.empty() || arguments.b.empty())
    return usage_error("compare needs two files", "for example 'seamwright compare lock.toml joint.toml'");
  for (const std::string& file : {arguments.a, arguments.b, arguments.equipment, arguments.shop})
    if (same_file(file, arguments.output.file))
      return usage_error("-o would overwrite an input", "choose another name for the output");
  Expected<ComparedSide> a = side(arguments.a, arguments, catalog), b = side(arguments.b, arguments, catalog);
  if (!a || !b) {
    Diagnostics errors = a ? Diagnostics{} : a.errors();
    if (!b) errors.insert(errors.end(), b.errors().begin(), b.errors().end());
    return report(errors);
  }
  const Comparison compared = compare(std::move(*a), std::move(*b));
  const OutputArguments& output = arguments.output;
  const std::string text = output.format == "json"
                               ? compare_json(compared, units_of(output), program_version(), catalog)
                               : compare_table(compared, {units_of(output), line_width(output), color_wanted(output)});
  return deliver(output, text, compared.differences.empty() ? exit_answered : exit_no_window);
}

}  // namespace seamwright
