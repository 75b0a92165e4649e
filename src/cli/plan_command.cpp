// seamwright plan: the settings of one joint, or of a grid of joints.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "present/cost_words.hpp"
#include "present/draw_plan.hpp"
#include "present/sentence_units.hpp"
#include "present/text_plot.hpp"
#include "present/write_card.hpp"
#include "present/write_csv.hpp"
#include "present/write_json.hpp"
#include "present/write_procedure.hpp"
#include "present/write_table.hpp"
#include "seamwright/input.hpp"
#include "seamwright/lock_file.hpp"
#include "seamwright/planner.hpp"
#include "text/nearest_word.hpp"
#include "text/units_text.hpp"
#include "text/write_png.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 4> picture_words{"all", "section", "window",
                                                        "pulse"};  // in the order of Picture
constexpr std::size_t card_columns = 80;
constexpr double most_points = 100'000;

bool is_picture(std::string_view format) { return format == "svg" || format == "png"; }

struct Variation {
  std::string key;
  std::vector<std::string> values;
};

std::optional<double> plain_number(const std::string& text) {
  const Expected<double> value = parse_quantity(text, "");
  return value ? std::optional(*value) : std::nullopt;
}

Expected<Variation> read_variation(const std::string& text) {
  constexpr std::string_view option = "--vary", form = "KEY=FROM:TO:STEP", example = "--vary joint.thickness=3:10:0.5";
  const Expected<Assignment> assignment = split_assignment(option, text, form, example);
  if (!assignment) return assignment.errors();
  const std::string& range = assignment->value;
  const std::size_t first = range.find(':'), second = range.find(':', first + 1);
  const auto wrong = [&](std::string message) {
    return option_error(option, text, std::move(message), fmt::format("for example {}", example));
  };
  if (first == std::string::npos || second == std::string::npos || range.find(':', second + 1) != std::string::npos)
    return wrong(fmt::format("{} takes {}", option, form));
  const auto from = plain_number(range.substr(0, first));
  const auto to = plain_number(range.substr(first + 1, second - first - 1));
  const auto step = plain_number(range.substr(second + 1));
  if (!from || !to || !step) return wrong("FROM, TO and STEP must be plain numbers in the key's own unit");
  if (*step == 0 || (*to - *from) / *step < 0) return wrong("STEP must lead from FROM to TO and not be 0");
  const double steps = std::floor((*to - *from) / *step + 1e-9);
  if (!(steps < most_points)) return wrong(fmt::format("that is more than {} points", most_points));
  std::vector<std::string_view> keys;
  for (const InputKeyInfo& info : input_keys()) keys.push_back(info.path);
  if (std::find(keys.begin(), keys.end(), assignment->key) == keys.end()) {
    const std::string_view near = nearest_word(assignment->key, keys);
    return option_error(option, text, fmt::format("there is no key '{}'", assignment->key),
                        near.empty() ? "'seamwright help keys' lists them" : fmt::format("did you mean '{}'?", near));
  }
  Variation variation{assignment->key, {}};
  for (double i = 0; i <= steps; ++i) variation.values.push_back(fmt::format("{:.10g}", *from + i * *step));
  return variation;
}

struct PlanRequest {
  const PlanArguments& arguments;
  JointRequest joint;
  std::vector<Variation> variations;
  std::string format;
};

struct WantedPasses {
  std::size_t first = 0, last = 0;  // half-open
};
// Those whose pictures are wanted; none where there is no such pass, with the error printed.
std::optional<WantedPasses> wanted_passes(const PlanRequest& request, const Plan& plan) {
  if (request.arguments.pass.empty()) return WantedPasses{0, plan.passes.size()};
  const std::optional<std::size_t> pass = pass_index(request.arguments.pass, plan);
  return pass ? std::optional(WantedPasses{*pass, *pass + 1}) : std::nullopt;
}

// The map and the waveform of every wanted pass that differs from the one before, in plain characters.
void append_plots(std::string& text, const Plan& plan, WantedPasses wanted, std::size_t width, Units units) {
  constexpr int columns = 72, rows = 44;
  std::string last;
  for (std::size_t i = wanted.first; i < wanted.last; ++i) {
    const PassResult& pass = plan.passes[i];
    const std::string drawn = window_map_plot(window_map(plan.contexts[i], pass, columns, rows), pass, width, units) +
                              waveform_plot(pass, plan.contexts[i].modulation.share, width, units);
    if (drawn != last) text += fmt::format("\nPass {}\n{}", pass.pass.number, drawn);
    last = drawn;
  }
}

// A file with pictures.
int plan_picture(const PlanRequest& request, const Plan& plan, WantedPasses wanted) {
  constexpr int columns = 96, rows = 72;  // as on the sheet
  constexpr double pixels = 3;            // for one of the drawing's: sharp on paper too
  const OutputArguments& output = request.arguments.output;
  const Units units = units_of(output);
  const auto word = std::find(picture_words.begin(), picture_words.end(), request.arguments.picture);
  const Picture what =
      request.arguments.picture.empty() ? Picture::all : static_cast<Picture>(word - picture_words.begin());
  std::vector<PassMap> maps;
  for (std::size_t i = wanted.first; i < wanted.last && what != Picture::section; ++i)
    maps.push_back({i, window_map(plan.contexts[i], plan.passes[i], columns, rows)});
  const Drawing drawing = draw_plan(plan, maps, what, units);
  if (drawing.empty())
    return usage_error(fmt::format("there is no {} to draw", what == Picture::pulse ? "pulse" : "picture"),
                       plan.passes.empty() ? "'seamwright plan' says why, mode by mode"
                                           : fmt::format("{} has none", mode_key(plan.resolved.mode)));
  const std::string bytes = request.format == "svg" ? svg_file(drawing) : png_file(drawing, pixels);
  if (bytes.empty())
    return usage_error("that many passes are too large for one PNG file", "give --pass, or write FILE.svg");
  return deliver(output, bytes, plan.feasible ? exit_answered : exit_no_window);
}

// The ranges to lock, beside the plan; what a plan without any comes to is told and not written.
int write_lock(const PlanRequest& request, const Plan& plan, int code) {
  const ProcedureOrigin made{fmt::format("seamwright {}", program_version()),
                             std::string(plan.resolved.catalog->version), request.joint.digest()};
  const Expected<Procedure> locked = locked_procedure(plan, made);
  if (!locked) {
    message(fmt::format("no lock file is written: {}", locked.errors().front().message));
    return exit_no_window;
  }
  OutputArguments output;
  output.file = request.arguments.lock;
  return deliver(output, procedure_toml(*locked), code);
}

int plan_one(const PlanRequest& request) {
  const OutputArguments& output = request.arguments.output;
  PlanOptions options;
  options.suggestions = request.format != "csv";
  // How far the window reaches is told by the long table, by JSON and by the map alone.
  const bool card = request.format == "table" && !request.arguments.all && !request.arguments.sensitivity;
  options.detail =
      request.format == "csv" || (card && !request.arguments.plot) ? WindowDetail::band : WindowDetail::full;
  options.sensitivity = request.arguments.sensitivity || request.format == "json" || request.format == "ndjson";
  const Expected<Plan> plan = request.joint.solve({}, options);
  if (!plan) return report(plan.errors());
  const std::optional<WantedPasses> wanted = wanted_passes(request, *plan);
  if (!wanted) return exit_bad_input;
  const auto with_lock = [&](int code) {
    return request.arguments.lock.empty() || code == exit_system || code == exit_bad_input
               ? code
               : write_lock(request, *plan, code);
  };
  if (is_picture(request.format)) return with_lock(plan_picture(request, *plan, *wanted));
  std::string text;
  const bool table = request.format == "table";
  if (table) {
    if (!card)
      text = plan_table(*plan, {units_of(output), line_width(output), color_wanted(output), program_version(),
                                request.arguments.sensitivity});
    else
      text = plan_card(*plan,
                       {units_of(output), screen_width(output, card_columns), color_wanted(output), program_version()});
  } else if (request.format == "csv") {
    const auto columns = plan_columns(units_of(output), currency_of(plan->resolved.equipment));
    append_csv_header(text, {}, columns);
    append_csv_plan(text, {}, *plan, units_of(output), columns);
    if (!output.quiet)
      for (const Warning& w : plan->resolved.warnings)
        message("warning: " + sentence_in_units(w.text, units_of(output)));
  } else {
    text = plan_json(*plan, {units_of(output), program_version(), request.format == "ndjson"});
  }
  if (plot_wanted(request.arguments.plot, table, output))
    append_plots(text, *plan, *wanted, screen_width(output, card_columns), units_of(output));
  return with_lock(deliver(output, text, plan->feasible ? exit_answered : exit_no_window));
}

// One line for a cell: the first error, and how many more there are.
std::string short_message(const Diagnostics& errors) {
  std::string text = errors.front().message;
  if (errors.size() > 1) text += fmt::format(" (and {} more)", errors.size() - 1);
  return text;
}

// The grid, the last key running fastest. Output starts with the first point that has an answer, so that a mistake that
// spoils them all writes nothing.
int plan_grid(const PlanRequest& request) {
  const OutputArguments& output_arguments = request.arguments.output;
  const Units units = units_of(output_arguments);
  const bool csv = request.format == "csv";
  PlanOptions options;
  options.suggestions = false;
  options.detail = csv ? WindowDetail::band : WindowDetail::full;
  options.detail_tables = !csv;
  options.sensitivity = !csv;

  std::vector<std::string> cells;
  for (const Variation& v : request.variations) cells.push_back(v.key);
  std::string text;
  const auto columns = plan_columns(units, currency_of(request.joint.equipment()));
  if (csv) append_csv_header(text, cells, columns);

  Output output(output_arguments);
  Diagnostics first_errors;
  bool any_answer = false, all_feasible = true;
  std::vector<std::size_t> at(request.variations.size(), 0);
  for (bool more = true; more;) {
    std::vector<Assignment> here;
    std::vector<std::pair<std::string, std::string>> varied;
    for (std::size_t k = 0; k < at.size(); ++k) {
      cells[k] = request.variations[k].values[at[k]];
      here.push_back({request.variations[k].key, cells[k]});
      varied.emplace_back(request.variations[k].key, cells[k]);
    }
    const JsonOptions json{units, program_version(), true};
    const Expected<Plan> plan = request.joint.solve(here, options);
    if (plan) {
      if (csv)
        append_csv_plan(text, cells, *plan, units, columns);
      else
        text += plan_json(*plan, json, varied);
    } else {
      if (csv)
        append_csv_error(text, cells, short_message(plan.errors()), columns);
      else
        text += errors_json(plan.errors(), json, varied);
      if (first_errors.empty()) first_errors = plan.errors();
    }
    any_answer = any_answer || plan;
    all_feasible = all_feasible && plan && plan->feasible;
    if (any_answer) {
      if (!output.write(text)) return output.failure();
      text.clear();
    }
    more = false;
    for (std::size_t k = at.size(); k-- > 0 && !more;) {
      at[k] = (at[k] + 1) % request.variations[k].values.size();
      more = at[k] != 0;
    }
  }
  if (!any_answer) return report(first_errors);
  if (!output.finish()) return output.failure();
  return all_feasible ? exit_answered : exit_no_window;
}

}  // namespace

int run_plan(const PlanArguments& arguments, const Catalog& catalog) {
  if (!check_output_arguments(arguments.output, "plan")) return exit_bad_input;
  const bool grid = !arguments.variations.empty();
  std::string format = arguments.output.format;
  if (format.empty()) format = grid ? "csv" : "table";
  if (grid && format != "csv" && format != "ndjson")
    return usage_error(fmt::format("--vary gives many plans, which the format {} cannot hold", format),
                       "use csv or ndjson: --format csv, or -o FILE.csv");
  if (!arguments.picture.empty()) {
    if (!one_of("--picture", arguments.picture, picture_words)) return exit_bad_input;
    if (!is_picture(format))
      return usage_error("--picture is of SVG and PNG files", "give -o FILE.svg or FILE.png; --plot draws in text");
  }
  if (!arguments.pass.empty() && !is_picture(format) && !arguments.plot)
    return usage_error("--pass is of pictures; the card and the tables have all passes",
                       "give --plot, or -o FILE.svg or FILE.png");
  if (format == "png" && (arguments.output.file.empty() || arguments.output.file == "-") &&
      ::isatty(STDOUT_FILENO) == 1)
    return usage_error("a PNG file cannot be shown on a terminal", "give -o FILE.png, or --plot");
  if (!joint_given("plan", arguments.input)) return exit_bad_input;
  if (!arguments.lock.empty()) {
    if (grid) return usage_error("--vary gives many plans, which --write-lock cannot hold", "lock one of them");
    if (arguments.lock == "-") return usage_error("--write-lock needs a file of its own", "for example lock.toml");
    for (const std::string& other :
         {arguments.input.joint, arguments.input.equipment, arguments.input.procedure, arguments.output.file})
      if (arguments.lock == other || same_file(arguments.lock, other))
        return usage_error(fmt::format("--write-lock {} would overwrite a file of this plan", arguments.lock),
                           "choose another name for the lock file");
  }

  Expected<JointRequest> joint = JointRequest::read(arguments.input, arguments.output, catalog);
  Diagnostics errors = joint ? Diagnostics{} : joint.errors();
  std::vector<Variation> variations;
  double points = 1;
  for (const std::string& text : arguments.variations) {
    Expected<Variation> v = read_variation(text);
    if (!v) {
      errors.insert(errors.end(), v.errors().begin(), v.errors().end());
      continue;
    }
    points *= static_cast<double>(v->values.size());
    const auto same_key = [&](const auto& other) { return other.key == v->key; };
    if (std::any_of(variations.begin(), variations.end(), same_key) ||
        (joint && std::any_of(joint->assignments().begin(), joint->assignments().end(), same_key)))
      errors.push_back(option_error("--vary", text, fmt::format("'{}' is given twice", v->key), "give it once"));
    variations.push_back(std::move(*v));
  }
  if (points > most_points)
    errors.push_back(option_error("--vary", "", fmt::format("{} points together, more than {}", points, most_points),
                                  "make the steps larger"));
  if (!errors.empty()) return report(errors);
  const PlanRequest request{arguments, std::move(*joint), std::move(variations), std::move(format)};
  return grid ? plan_grid(request) : plan_one(request);
}

}  // namespace seamwright
