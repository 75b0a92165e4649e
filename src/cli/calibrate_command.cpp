// seamwright calibrate: the user's own constants from trial welds.
#include <fmt/format.h>

#include <array>
#include <optional>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "input/file_kind.hpp"
#include "present/write_calibration.hpp"
#include "seamwright/input.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr std::size_t most_bytes = std::size_t{8} << 20;

OutputArguments to_file(const OutputArguments& output, const std::string& file) {
  OutputArguments out = output;
  out.file = file;
  return out;
}

bool names_clash(const CalibrateArguments& a) {
  const std::array<const std::string*, 4> files{&a.trials, &a.equipment, &a.output.file, &a.svg};
  for (std::size_t i = 0; i < files.size(); ++i)
    for (std::size_t j = i + 1; j < files.size(); ++j)
      if (!files[i]->empty() && (*files[i] == *files[j] || same_file(*files[i], *files[j]))) return true;
  return false;
}

}  // namespace

int run_calibrate(const CalibrateArguments& arguments, const Catalog& catalog) {
  const OutputArguments& output = arguments.output;
  if (!check_output_arguments(output, "calibrate")) return exit_bad_input;
  if (arguments.trials.empty())
    return usage_error("calibrate needs a list of trial welds", "usage: seamwright calibrate TRIALS.csv -o own.toml");
  if (names_clash(arguments))
    return usage_error("two of the files named are the same",
                       "give trials, --equipment, -o and --svg names of their own");
  const Expected<std::string> text = read_text_file(arguments.trials, most_bytes);
  if (!text) return report(text.errors());
  std::optional<Equipment> equipment;
  if (!arguments.equipment.empty()) {
    Expected<Equipment> read = read_equipment(arguments.equipment);
    if (!read) return report(read.errors());
    equipment = std::move(*read);
  }
  const Expected<TrialList> trials = read_trials(*text, arguments.trials, catalog, equipment ? &*equipment : nullptr);
  if (!trials) return report(told_apart(trials.errors(), *text, arguments.trials, FileKind::trials));
  const Expected<Calibration> result = calibrate(*trials, catalog, {arguments.leave_one_out});
  if (!result) {
    Diagnostics errors = result.errors();
    attach_source_lines(errors, *text, arguments.trials);
    return report(errors);
  }
  const OutputArguments screen = to_file(output, "");
  const Units units = units_of(output);
  std::string told;
  if (output.format == "json")
    told = calibration_json(*result, *trials, {units, program_version(), false});
  else if (output.format == "csv")
    told = calibration_csv(*result, *trials);
  else
    told = calibration_table(*result, *trials, {units, line_width(screen), color_wanted(screen), program_version()});
  if (plot_wanted(arguments.plot, output.format != "json" && output.format != "csv", screen))
    told += '\n' + residual_plot(*result, *trials, line_width(screen));
  if (!output.file.empty() && output.file != "-")
    if (const int code = deliver(output, trial_overlay(*result, catalog), exit_answered); code != exit_answered)
      return code;
  if (!arguments.svg.empty())
    if (const int code =
            deliver(to_file(output, arguments.svg), svg_file(draw_residuals(*result, *trials)), exit_answered);
        code != exit_answered)
      return code;
  return deliver(screen, told, exit_answered);
}

}  // namespace seamwright
