// The command line: names the commands and their options, hands their arguments on. The only file with CLI11, whose own
// messages and exit codes do not leave it.
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <csignal>
#include <exception>
#include <functional>
#include <memory>
#include <utility>
#include <variant>

#include "catalog/overlay.hpp"
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/file_ending.hpp"
#include "cli/option_table.hpp"
#include "input/file_kind.hpp"
#include "present/write_json.hpp"
#include "seamwright/catalog.hpp"
#include "text/nearest_word.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

// What an option fills.
using Target = std::variant<std::string*, bool*, std::vector<std::string>*>;
struct Binding {
  std::string_view name;  // "--set", "JOINT"
  Target target;
};

struct Command {
  const CommandRow* row = nullptr;
  CLI::App* app = nullptr;
  OutputArguments* output = nullptr;
  std::function<int()> run;
};

// Everything the parser fills.
struct Arguments {
  PlanArguments plan;
  BatchArguments batch;
  ExplainArguments explain;
  AssessArguments assess;
  CompareArguments compare;
  CatalogArguments catalog;
  NewArguments start;
  SheetArguments sheet;
  CheckArguments check;
  ReviewArguments review;
  LineArguments line;
  CalibrateArguments calibrate;
  CompletionArguments completion;
  std::string data;  // the user's own catalog rows
  std::string topic;
  bool help = false, version = false;
};

class Parser {
 public:
  Parser(int argc, char** argv) : root_("seamwright") {
    // The first word that names a command: the options of the others are not made.
    for (int i = 1; i < argc && called_ == nullptr; ++i) called_ = command_row(argv[i]);
    root_.set_help_flag();
    root_.add_flag("-h,--help", arguments_.help);
    root_.add_flag("--version", arguments_.version);
    root_.require_subcommand(0, 1);
    root_.allow_extras();

    Arguments& a = arguments_;
    add("plan", a.plan.output,
        with_joint(a.plan.input, {{"--vary", &a.plan.variations},
                                  {"--all", &a.plan.all},
                                  {"--sensitivity", &a.plan.sensitivity},
                                  {"--plot", &a.plan.plot},
                                  {"--picture", &a.plan.picture},
                                  {"--pass", &a.plan.pass},
                                  {"--write-lock", &a.plan.lock}}),
        [this] { return run_plan(arguments_.plan, *catalog_); });
    BatchArguments& b = a.batch;
    add("batch", b.output,
        {{"JOBS", &b.jobs},
         {"--defaults", &b.defaults},
         {"--equipment", &b.equipment},
         {"--shop", &b.shop},
         {"--prefer", &b.prefer},
         {"--columns", &b.columns},
         {"--per-pass", &b.per_pass},
         {"--keep", &b.keep},
         {"--list-separator", &b.list_separator},
         {"--list-decimal", &b.list_decimal},
         {"--map", &b.maps},
         {"--check", &b.check},
         {"--separator", &b.separator},
         {"--decimal-comma", &b.decimal_comma},
         {"--bom", &b.byte_order_mark},
         {"--on-error", &b.on_error},
         {"--summary", &b.summary},
         {"--threads", &b.threads},
         {"--resume", &b.resume},
         {"--shard", &b.shard},
         {"--no-header", &b.no_header}},
        [this] { return run_batch(arguments_.batch, *catalog_); });
    add("explain", a.explain.output,
        with_joint(a.explain.input, {{"KEY", &a.explain.key}, {"--pass", &a.explain.pass}}),
        [this] { return run_explain(arguments_.explain, *catalog_); });
    AssessArguments& s = a.assess;
    add("assess", s.output,
        with_joint(s.input, {{"--feed", &s.feed},
                             {"--current", &s.current},
                             {"--voltage", &s.voltage},
                             {"--travel", &s.travel},
                             {"--frequency", &s.frequency},
                             {"--peak", &s.peak},
                             {"--base", &s.base},
                             {"--amplitude", &s.amplitude},
                             {"--modulation", &s.modulation},
                             {"--dial", &s.dials},
                             {"--pass", &s.pass},
                             {"--list", &s.list}}),
        [this] { return run_assess(arguments_.assess, *catalog_); });
    add("compare", a.compare.output,
        {{"A", &a.compare.a}, {"B", &a.compare.b}, {"--equipment", &a.compare.equipment}, {"--shop", &a.compare.shop}},
        [this] { return run_compare(arguments_.compare, *catalog_); });
    add("sheet", a.sheet.output, with_joint(a.sheet.input, {{"--equipment", &a.sheet.machines}}),
        [this] { return run_sheet(arguments_.sheet, *catalog_); });
    add("check", a.check.output, with_joint(a.check.input, {{"--test-piece", &a.check.test_piece}}),
        [this] { return run_check(arguments_.check, *catalog_); });
    ReviewArguments& r = a.review;
    add("review", r.output,
        {{"LOG", &r.log},
         {"--procedure", &r.procedure},
         {"--roles", &r.roles},
         {"--map", &r.maps},
         {"--log", &r.log_format},
         {"--rate", &r.rate},
         {"--travel", &r.travel},
         {"--length", &r.length},
         {"--as-trial", &r.as_trial},
         {"--set", &r.assignments},
         {"--plot", &r.plot}},
        [this] { return run_review(arguments_.review, *catalog_); });
    add("line", a.line.output,
        {{"--set", &a.line.assignments}, {"--step", &a.line.step}, {"--pass", &a.line.pass}, {"--plot", &a.line.plot}},
        [this] { return run_line(arguments_.line, *catalog_); });
    add("calibrate", a.calibrate.output,
        {{"TRIALS", &a.calibrate.trials},
         {"--leave-one-out", &a.calibrate.leave_one_out},
         {"--equipment", &a.calibrate.equipment},
         {"--svg", &a.calibrate.svg},
         {"--plot", &a.calibrate.plot}},
        [this] { return run_calibrate(arguments_.calibrate, *catalog_); });
    add("new", a.start.output, {{"KIND", &a.start.kind}, {"--force", &a.start.force}},
        [&a] { return run_new(a.start); });
    add("catalog", a.catalog.output, {{"KIND", &a.catalog.kind}, {"NAME", &a.catalog.name}},
        [this] { return run_catalog(arguments_.catalog, *catalog_); });
    add("completion", a.completion.output, {{"SHELL", &a.completion.shell}},
        [this] { return run_completion(arguments_.completion, *catalog_); });
    add("help", no_output_, {{"TOPIC", &a.topic}}, [this] { return run_help(); });
  }

  int run(int argc, char** argv) {
    if (argc < 2) return tell(overview_text());
    if (const int code = missing_value(argc, argv); code != exit_answered) return code;
    try {
      root_.parse(argc, argv);
    } catch (const CLI::ParseError&) {
      return usage_error("this command line cannot be read", "see 'seamwright help'");
    }
    if (arguments_.version)
      return deliver({},
                     fmt::format("seamwright {}, data {}, plan schema {}\n", program_version(),
                                 builtin_catalog().version, plan_schema_number),
                     exit_answered);
    const Command* command = nullptr;
    for (const Command& c : commands_)
      if (c.app->parsed()) command = &c;
    CLI::App& level = command == nullptr ? root_ : *command->app;
    if (arguments_.help) return tell(command == nullptr ? general_help() : command_help(*command->row));
    if (const std::vector<std::string> extras = level.remaining(); !extras.empty())
      return unknown(level, command, extras);
    if (command == nullptr) return usage_error("no command", "see 'seamwright help'");
    if (const std::vector<std::string> early = root_.remaining(); !early.empty())
      return usage_error(fmt::format("'{}' stands before the command", early.front()),
                         fmt::format("write it after: {}", command->row->usage));
    if (!settle_endings(*command)) return exit_bad_input;
    if (!arguments_.data.empty()) {
      for (const std::string& output : {command->output->file, arguments_.batch.resume})
        if (would_overwrite(output, arguments_.data))
          return usage_error("the output would overwrite the file of --data", "choose another name for the output");
      Expected<std::unique_ptr<CatalogOverlay>> overlay = lay_over(arguments_.data);
      if (!overlay) return report(file_told_apart(overlay.errors(), arguments_.data, FileKind::catalog_rows));
      overlay_ = std::move(*overlay);
      catalog_ = &overlay_->catalog;
    }
    return command->run();
  }

 private:
  CLI::App root_;
  const CommandRow* called_ = nullptr;
  Arguments arguments_;
  OutputArguments no_output_;
  std::vector<Command> commands_;
  std::unique_ptr<CatalogOverlay> overlay_;
  const Catalog* catalog_ = &builtin_catalog();  // the one in use

  static std::vector<Binding> with_joint(JointArguments& input, std::vector<Binding> own) {
    own.insert(own.end(), {{"JOINT", &input.joint},
                           {"--set", &input.assignments},
                           {"--equipment", &input.equipment},
                           {"--shop", &input.shop},
                           {"--prefer", &input.prefer},
                           {"--procedure", &input.procedure}});
    return own;
  }

  // The format by the names of the files that are written, where --format leaves it open.
  static bool settle_endings(const Command& command) {
    for (const OptionRow& row : command.row->options) {
      const CLI::Option* option = row.endings.empty() ? nullptr : command.app->get_option(std::string(row.name()));
      if (option == nullptr || option->count() == 0) continue;
      const bool of_format = row.endings == endings_of_format;
      if (of_format && !command.output->format.empty()) continue;
      const std::string& file = option->results().back();
      std::string format;
      // Of a file that is an input too the command says that it would be overwritten.
      if (!is_input(command, file, *option) && !format_of_ending(*command.row, row, file, format)) return false;
      if (of_format) command.output->format = format;
    }
    return true;
  }
  static bool is_input(const Command& command, const std::string& file, const CLI::Option& output) {
    const std::vector<const CLI::Option*> options = std::as_const(*command.app).get_options();
    return std::any_of(options.begin(), options.end(), [&](const CLI::Option* option) {
      const auto& given = option->results();
      return option != &output && std::find(given.begin(), given.end(), file) != given.end();
    });
  }

  // A command with the options of its row in the table, each bound to what it fills.
  void add(std::string_view name, OutputArguments& output, std::vector<Binding> bindings, std::function<int()> run) {
    bindings.insert(bindings.end(), {{"--format", &output.format},
                                     {"--units", &output.units},
                                     {"--color", &output.color},
                                     {"--output", &output.file},
                                     {"--quiet", &output.quiet},
                                     {"--data", &arguments_.data},
                                     {"--help", &arguments_.help}});
    const CommandRow* row = command_row(name);
    CLI::App* app = root_.add_subcommand(std::string(row->name), std::string(row->purpose));
    app->set_help_flag();
    app->allow_extras();
    app->option_defaults()->multi_option_policy(CLI::MultiOptionPolicy::TakeLast);
    commands_.push_back({row, app, &output, std::move(run)});
    if (row != called_) return;
    for (const OptionRow& option : row->options) {
      // The first of a name: a command's own, before what it shares with others.
      const auto binding =
          std::find_if(bindings.begin(), bindings.end(), [&](const Binding& b) { return b.name == option.name(); });
      if (binding != bindings.end()) bind(*app, option, binding->target);
    }
  }

  static void bind(CLI::App& app, const OptionRow& row, const Target& target) {
    const std::string flags(row.flags), text(row.text);
    if (bool* const* flag = std::get_if<bool*>(&target)) {
      app.add_flag(flags, **flag, text);
    } else if (std::string* const* word = std::get_if<std::string*>(&target)) {
      app.add_option(flags, **word, text)->option_text(std::string(row.form));
    } else {
      // One value each time, so that what follows stays an argument of its own.
      app.add_option(flags, *std::get<std::vector<std::string>*>(target), text)
          ->option_text(std::string(row.form))
          ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
          ->allow_extra_args(false);
    }
  }

  // "-x", "--x"; a minus alone is standard input, and before a digit it makes a number.
  static bool looks_like_option(std::string_view word) {
    constexpr std::string_view digits = "0123456789.";
    return word.size() > 1 && word[0] == '-' && digits.find(word[1]) == std::string_view::npos;
  }

  // "--set" as the last word, or before another option: told apart here, in our words.
  int missing_value(int argc, char** argv) {
    const CLI::App* app = nullptr;
    for (const Command& c : commands_)
      if (c.app->check_name(argv[1])) app = c.app;
    if (app == nullptr) return exit_answered;
    const auto option_named = [app](const std::string& word) -> const CLI::Option* {
      if (word.size() < 2 || word[0] != '-') return nullptr;
      for (const CLI::Option* option : app->get_options())
        if (!option->get_positional() && option->check_name(word)) return option;
      return nullptr;
    };
    for (int i = 2; i < argc; ++i) {
      const std::string word = argv[i];
      if (word == "--") break;
      const std::size_t equals = word.rfind("--", 0) == 0 ? word.find('=') : std::string::npos;
      const CLI::Option* option = option_named(word.substr(0, equals));
      if (option == nullptr) continue;
      const bool takes_value = option->get_items_expected_min() > 0;
      if (!takes_value && equals != std::string::npos)
        return usage_error(fmt::format("{} takes no value", word.substr(0, equals)),
                           fmt::format("write {}", word.substr(0, equals)));
      if (!takes_value || (equals != std::string::npos && equals + 1 < word.size())) continue;
      const bool none =
          equals != std::string::npos || i + 1 == argc || argv[i + 1][0] == '\0' || looks_like_option(argv[i + 1]);
      if (none)
        return usage_error(fmt::format("{} needs a value", word.substr(0, equals)),
                           fmt::format("write {} {}", word.substr(0, equals), option->get_option_text()));
      ++i;
    }
    return exit_answered;
  }

  int unknown(CLI::App& level, const Command* command, const std::vector<std::string>& extras) {
    for (const std::string& word : extras) {
      if (word.size() < 2 || word[0] != '-') continue;
      const std::string name = word.substr(0, word.find('='));
      std::vector<std::string> names;
      for (const CLI::Option* option : level.get_options())
        for (const std::string& l : option->get_lnames()) names.push_back("--" + l);
      return nearest(
          "there is no option '" + name + "'", name, {names.begin(), names.end()},
          fmt::format("see 'seamwright {}--help'", command == nullptr ? "" : command->app->get_name() + " "));
    }
    if (command != nullptr)
      return usage_error(fmt::format("'{}' is one argument too many", extras.front()),
                         fmt::format("usage: {}", command->row->usage));
    std::vector<std::string> names;
    for (const Command& c : commands_) names.push_back(c.app->get_name());
    return nearest("there is no command '" + extras.front() + "'", extras.front(), {names.begin(), names.end()},
                   "see 'seamwright help'");
  }

  static int nearest(std::string text, std::string_view word, const std::vector<std::string_view>& words,
                     std::string otherwise) {
    const std::string_view near = nearest_word(word, words);
    return usage_error(std::move(text), near.empty() ? std::move(otherwise) : fmt::format("did you mean '{}'?", near));
  }

  [[nodiscard]] static std::string command_help(const CommandRow& row) {
    constexpr std::size_t indent = 30, width = 100;
    std::string text = fmt::format("{}\n\nusage: {}\n\n", row.purpose, row.usage);
    for (const OptionRow& option : row.options) {
      std::string term(option.flags);
      if (const std::size_t comma = term.find(','); comma != std::string::npos) term.insert(comma + 1, " ");
      if (!option.form.empty()) term += fmt::format(" {}", option.form);
      append_entry(text, term, option.text, indent, width);
    }
    return text + fmt::format("\nexamples:\n{}\n{}", row.examples, exit_code_line());
  }

  [[nodiscard]] static std::string general_help() {
    std::string text(overview_text());
    text += "\ncommands:\n";
    for (const CommandRow& row : command_rows()) append_entry(text, row.name, row.purpose, 14, 100);
    text +=
        fmt::format("\ntopics of 'seamwright help TOPIC': {}\n\n{}", fmt::join(help_topics(), ", "), exit_code_line());
    return text;
  }

  // Help, as wide as the screen.
  static int tell(std::string_view text) {
    constexpr std::size_t usual = 100;
    return deliver({}, fitted(text, screen_width({}, usual)), exit_answered);
  }

  int run_help() {
    if (arguments_.topic.empty()) return tell(general_help());
    if (const CommandRow* row = command_row(arguments_.topic)) return tell(command_help(*row));
    if (const std::string text = help_topic_text(arguments_.topic, *catalog_); !text.empty()) return tell(text);
    std::vector<std::string_view> words;
    for (const CommandRow& row : command_rows()) words.push_back(row.name);
    for (const std::string_view topic : help_topics()) words.push_back(topic);
    return nearest("there is no help on '" + arguments_.topic + "'", arguments_.topic, words,
                   fmt::format("topics: {}", fmt::join(words, ", ")));
  }
};

}  // namespace

std::string_view program_version() { return SEAMWRIGHT_VERSION; }

namespace {

// A standard descriptor that is closed would be taken by the next file opened: it is held by one that cannot be used.
void hold_standard_descriptors() {
  for (int standard = STDIN_FILENO; standard <= STDERR_FILENO; ++standard)
    if (::fcntl(standard, F_GETFD) < 0) (void)::open("/dev/null", standard == STDIN_FILENO ? O_WRONLY : O_RDONLY);
}

}  // namespace

}  // namespace seamwright

int main(int argc, char** argv) {
  seamwright::hold_standard_descriptors();
  std::signal(SIGPIPE, SIG_IGN);  // a reader that has gone shows as a failed write
  std::signal(SIGXFSZ, SIG_IGN);  // and so does a file that may not grow
  try {
    return seamwright::Parser(argc, argv).run(argc, argv);
  } catch (const std::exception&) {
    seamwright::message("error: out of memory, or a fault of the program itself");
    return seamwright::exit_system;
  }
}
