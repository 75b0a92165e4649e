// seamwright line: the one-knob line of a wire, gas and mode.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "input/pass_tables.hpp"
#include "present/write_json.hpp"
#include "present/write_line.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

// The joint as if all of it were welded as the pass asked for: a line is of one process.
Expected<Joint> joint_of_asked_pass(const Joint& joint, std::string_view pass) {
  if (joint.passes.empty() && pass.empty()) return joint;
  std::vector<std::string> names;
  for (const PassTable& table : joint.passes)
    names.push_back(pass_table_name(table).substr(std::string_view("pass.").size()));
  PassTableSet tables = 0;
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i] == pass || (pass.empty() && names.size() == 1)) tables |= PassTableSet{1} << i;
  if (tables == 0 && pass.empty())
    return Diagnostic{joint.passes.front().place, "a line is of one process, and the passes differ",
                      fmt::format("say which: --pass {}", fmt::join(names, ", --pass "))};
  if (tables == 0)
    return option_error("--pass", pass, "no such pass has a table of its own",
                        names.empty() ? "give its keys: --set pass.root.mode=short-arc"
                                      : fmt::format("those that have: {}", fmt::join(names, ", ")));
  Joint out;
  joint_of_pass(joint, tables, out);
  return out;
}

}  // namespace

int run_line(const LineArguments& arguments, const Catalog& catalog) {
  if (!check_output_arguments(arguments.output, "line")) return exit_bad_input;
  Diagnostics errors;
  std::vector<Assignment> assignments;
  const auto value_of = [&](std::string_view key) -> const std::string* {
    for (const Assignment& a : assignments)
      if (a.key == key && !a.value.empty()) return &a.value;
    return nullptr;
  };
  for (const std::string& text : arguments.assignments) {
    const Expected<Assignment> a = split_assignment("--set", text, "KEY=VALUE", "--set wire.designation=5356");
    if (a)
      assignments.push_back(*a);
    else
      errors.insert(errors.end(), a.errors().begin(), a.errors().end());
  }
  double step = 0;
  if (!arguments.step.empty()) {
    const Expected<double> value = parse_quantity(arguments.step, "m/min");
    constexpr double least = 0.05;
    if (!value || *value < least)
      errors.push_back(option_error("--step", arguments.step, "the step must be a wire feed of 0.05 m/min or more",
                                    "for example --step 0.5, or --step '20 ipm'"));
    else
      step = *value;
  }
  if (!errors.empty()) return report(errors);
  const std::string* wire_name = value_of("wire.designation");
  if (wire_name == nullptr && !arguments.pass.empty())
    wire_name = value_of(fmt::format("pass.{}.wire", arguments.pass));
  if (wire_name == nullptr)
    return usage_error("line needs a wire", "give --set wire.designation=NAME; 'seamwright catalog wire' lists them");

  // A bead on plate: the least a joint can be.
  std::vector<Assignment> all{{"joint.type", "overlay"}, {"joint.thickness", "10"}, {"joint.position", "PA"}};
  std::string bare = *wire_name;
  bare.erase(std::remove(bare.begin(), bare.end(), '"'), bare.end());
  const Wire* wire = find_wire(catalog, bare);
  // What the bead on plate lies on, as far as anything hangs on it.
  const Alloy* alloy = wire == nullptr ? nullptr : first_alloy_for(catalog, *wire);
  all.push_back({"material.alloy", std::string(alloy == nullptr ? "S355" : alloy->id)});
  for (Assignment& a : assignments) {
    const auto same = std::find_if(all.begin(), all.end(), [&](const Assignment& x) { return x.key == a.key; });
    if (same != all.end())
      same->value = a.value;
    else
      all.push_back(a);
  }
  const Expected<Joint> joint = read_joint("", all, catalog);
  if (!joint) return report(joint.errors());
  const Expected<Joint> asked = joint_of_asked_pass(*joint, arguments.pass);
  if (!asked) return report(asked.errors());
  const Expected<SynergicLine> line = synergic_line(*asked, catalog, step);
  if (!line) return report(line.errors());

  const OutputArguments& output = arguments.output;
  const Units units = units_of(output);
  std::string text;
  if (output.format == "csv") {
    text = line_csv(*line, units);
  } else if (output.format == "json") {
    text = line_json(*line, {units, program_version(), false});
  } else {
    text = line_table(*line, {units, line_width(output), color_wanted(output), program_version()});
  }
  const bool table = output.format != "csv" && output.format != "json";
  if (plot_wanted(arguments.plot, table, output)) text += '\n' + line_plot(*line, line_width(output), units);
  return deliver(output, text, exit_answered);
}

}  // namespace seamwright
