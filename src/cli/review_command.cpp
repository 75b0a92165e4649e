// seamwright review: a weld as it was recorded, by itself or against a procedure.
#include <fcntl.h>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "input/file_kind.hpp"
#include "present/write_review.hpp"
#include "review/plan_ranges.hpp"
#include "seamwright/input.hpp"
#include "text/nearest_word.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 5> setup_keys{"wire.designation", "wire.diameter", "gas.designation",
                                                     "process.mode", "wire.extension"};

// A quantity of the command line above 0; 0 when it is not given.
Expected<double> quantity(std::string_view option, const std::string& text, std::string_view unit, double most) {
  if (text.empty()) return 0.0;
  const Expected<double> value = parse_quantity(text, unit);
  if (!value) return option_error(option, text, value.errors().front().message, value.errors().front().help);
  if (*value > 0 && *value <= most) return *value;
  return option_error(option, text, fmt::format("{} is outside its range", option),
                      fmt::format("above 0 and at most {}", with_unit(most, unit)));
}

Expected<std::vector<PassRole>> roles(std::string_view text) {
  std::vector<PassRole> out;
  std::vector<std::string_view> keys;
  for (const PassRole r : {PassRole::single, PassRole::root, PassRole::fill, PassRole::cap})
    keys.push_back(pass_role_key(r));
  while (!text.empty()) {
    const std::size_t comma = text.find(',');
    const std::string_view word = text.substr(0, comma);
    const auto found = std::find(keys.begin(), keys.end(), word);
    if (found == keys.end()) {
      const std::string_view near = nearest_word(word, keys);
      return option_error("--roles", word, "there is no such pass",
                          near.empty() ? fmt::format("single, root, fill or cap, with commas between")
                                       : fmt::format("did you mean '{}'?", near));
    }
    out.push_back(static_cast<PassRole>(found - keys.begin()));
    text = comma == std::string_view::npos ? std::string_view() : text.substr(comma + 1);
  }
  return out;
}

// What the trial was welded with: --set before the procedure.
Expected<TrialSetup> trial_setup(const std::vector<std::string>& assignments, const Procedure* procedure,
                                 const Catalog& catalog) {
  TrialSetup setup;
  std::array<std::string*, 5> cells{&setup.wire, &setup.diameter, &setup.gas, &setup.mode, &setup.extension};
  if (procedure != nullptr) {
    const auto word = [&](ProcedureWord id) {
      const auto& given = (*procedure)[id];
      return given && (*given).size() == 1 ? (*given).front() : std::string();
    };
    const auto number = [&](ProcedureNumber id) {
      const auto& given = (*procedure)[id];
      return given && (*given).low == (*given).high ? number_text((*given).low) : std::string();
    };
    setup = {word(ProcedureWord::wire), number(ProcedureNumber::wire_diameter), word(ProcedureWord::gas),
             word(ProcedureWord::mode), number(ProcedureNumber::extension)};
  }
  Diagnostics errors;
  for (const std::string& text : assignments) {
    const Expected<Assignment> a = split_assignment("--set", text, "KEY=VALUE", "--set wire.designation=5356");
    if (!a) return a.errors();
    const auto key = std::find(setup_keys.begin(), setup_keys.end(), a->key);
    if (key == setup_keys.end()) {
      const std::string_view near = nearest_word(a->key, setup_keys);
      return option_error("--set", text, fmt::format("'{}' is no key of a trial", a->key),
                          near.empty() ? fmt::format("it is one of: {}", fmt::join(setup_keys, ", "))
                                       : fmt::format("did you mean '{}'?", near));
    }
    const auto which = static_cast<std::size_t>(key - setup_keys.begin());
    *cells[which] = a->value;
    if (which == 1 || which == 4) {
      const Expected<double> mm = quantity("--set", a->value, "mm", 100);
      if (!mm) return mm.errors();
      *cells[which] = number_text(*mm);
    }
  }
  if (!setup.wire.empty() && find_wire(catalog, setup.wire) == nullptr)
    return option_error("--set", "wire.designation=" + setup.wire, "the catalog has no such wire",
                        "'seamwright catalog wire' lists them");
  if (!setup.gas.empty() && find_gas(catalog, setup.gas) == nullptr)
    return option_error("--set", "gas.designation=" + setup.gas, "the catalog has no such gas",
                        "'seamwright catalog gas' lists them");
  if (!setup.mode.empty() && !mode_by_key(setup.mode))
    return option_error("--set", "process.mode=" + setup.mode, "there is no such mode",
                        "'seamwright help modes' lists them");
  return setup;
}

class LogFile {
 public:
  explicit LogFile(const std::string& path)
      : descriptor_(path == "-" ? STDIN_FILENO : ::open(path.c_str(), O_RDONLY | O_CLOEXEC)) {
    struct stat status {};
    if (descriptor_ >= 0 && ::fstat(descriptor_, &status) == 0 && S_ISDIR(status.st_mode)) {
      error_ = EISDIR;
    } else if (descriptor_ < 0) {
      error_ = errno;
    }
  }
  ~LogFile() {
    if (descriptor_ > STDERR_FILENO) ::close(descriptor_);
  }
  LogFile(const LogFile&) = delete;
  LogFile& operator=(const LogFile&) = delete;
  [[nodiscard]] int descriptor() const { return descriptor_; }
  [[nodiscard]] int error() const { return error_; }

 private:
  int descriptor_;
  int error_ = 0;
};

struct ReviewRequest {
  LogFormat format;
  ReviewOptions options;
  std::optional<Procedure> procedure;
  TrialSetup setup;
};

Expected<ReviewRequest> read_request(const ReviewArguments& a, const Catalog& catalog) {
  ReviewRequest request;
  Diagnostics errors;
  const auto take = [&errors](const auto& from, auto& to) {
    if (from)
      to = *from;
    else
      errors.insert(errors.end(), from.errors().begin(), from.errors().end());
  };
  if (!a.log_format.empty()) take(read_log_format(a.log_format), request.format);
  for (const std::string& map : a.maps) {
    const Diagnostics wrong = map_column(request.format, map);
    errors.insert(errors.end(), wrong.begin(), wrong.end());
  }
  constexpr double most_Hz = 1e6, most_mm_per_s = 200, most_mm = 1e6;
  double rate_Hz = 0;
  take(quantity("--rate", a.rate, "Hz", most_Hz), rate_Hz);
  if (rate_Hz > 0) request.format.rate_Hz = rate_Hz;
  take(quantity("--travel", a.travel, "mm/s", most_mm_per_s), request.options.travel_mm_per_s);
  take(quantity("--length", a.length, "mm", most_mm), request.options.length_mm);
  take(roles(a.roles), request.options.roles);
  if (!a.procedure.empty()) {
    Procedure procedure;
    take(read_ranges(a.procedure, catalog), procedure);
    request.procedure = std::move(procedure);
  }
  if (!a.assignments.empty() && !a.as_trial)
    errors.push_back(option_error("--set", a.assignments.front(), "--set goes with --as-trial",
                                  "it says what the trial was welded with"));
  if (!a.roles.empty() && a.procedure.empty())
    errors.push_back(
        option_error("--roles", a.roles, "--roles goes with --procedure", "it says whose ranges hold for which weld"));
  if (a.as_trial && errors.empty())
    take(trial_setup(a.assignments, request.procedure ? &*request.procedure : nullptr, catalog), request.setup);
  for (const std::string& input : {a.log, a.procedure, a.log_format})
    if (same_file(input, a.output.file))
      errors.push_back(option_error("-o", a.output.file, "would overwrite an input of this review",
                                    "choose another name for the output"));
  if (!errors.empty()) return errors;
  return request;
}

}  // namespace

int run_review(const ReviewArguments& a, const Catalog& catalog) {
  if (!check_output_arguments(a.output, "review")) return exit_bad_input;
  if (a.log.empty())
    return usage_error("review needs a log of the weld",
                       "a CSV file of time, current, voltage; - reads standard input");
  if (a.as_trial && !a.output.format.empty() && a.output.format != "csv")
    return usage_error("--as-trial is CSV of its own", "leave --format out, and call its file FILE.csv");
  Expected<ReviewRequest> read = read_request(a, catalog);
  if (!read) return report(read.errors());
  ReviewRequest& request = *read;
  request.options.rules = catalog.review;
  request.options.efficiency = catalog.limits->procedure_efficiency.value;
  if (request.procedure) request.options.procedure = &*request.procedure;
  const LogFile file(a.log);
  const std::string name = a.log == "-" ? "standard input" : a.log;
  if (file.error() != 0)
    return report({{{name, 0, 0},
                    fmt::format("cannot be read: {}", std::strerror(file.error())),
                    "check the name of the log"}});  // NOLINT(concurrency-mt-unsafe)
  const Expected<Review> review = review_log(file.descriptor(), name, request.format, request.options);
  if (!review) return report(file_told_apart(review.errors(), a.log, FileKind::log));

  ReviewText text{.units = units_of(a.output),
                  .width = line_width(a.output),
                  .color = color_wanted(a.output),
                  .program_version = program_version(),
                  .data_version = catalog.version,
                  .procedure = {}};
  if (request.procedure)
    text.procedure = !request.procedure->number.empty()  ? request.procedure->number
                     : !request.procedure->title.empty() ? request.procedure->title
                                                         : a.procedure;
  std::string out = a.as_trial                  ? trial_rows(*review, request.setup)
                    : a.output.format == "json" ? review_json(*review, text)
                    : a.output.format == "csv"  ? review_csv(*review, text)
                    : a.output.format == "html" ? review_page(*review, text)
                                                : review_table(*review, text);
  const bool table = !a.as_trial && (a.output.format.empty() || a.output.format == "table");
  if (plot_wanted(a.plot, table, a.output)) out += review_plot(*review, text);
  const bool none = review->welds.empty();
  return deliver(a.output, out, none || review->outside ? exit_no_window : exit_answered);
}

}  // namespace seamwright
