// The command line: names the commands and their options, hands their arguments on. The only file with CLI11, whose own
// messages and exit codes do not leave it.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <array>
#include <csignal>
#include <exception>
#include <functional>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "io/text_layout.hpp"
#include "io/write_json.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"

namespace seamwright {
namespace {

constexpr std::string_view overview =
    R"(seamwright works out MIG/MAG welding settings from a joint: bands of wire feed, travel, voltage, pulse and
double pulse, with what ends each band, and the heat input.

  seamwright new fillet -o joint.toml       a joint file to start from, with every key explained
  seamwright plan joint.toml                its settings
  seamwright plan --set joint.type=fillet --set joint.thickness=6 --set material.alloy=5083
                                            the same without a file

Commands: plan, new, catalog, help.  'seamwright COMMAND --help' tells more, 'seamwright help' lists the topics.
The settings are starting values: the qualified procedure and the responsible coordinator decide.
)";

struct Command {
  CLI::App* app = nullptr;
  std::string_view usage;
  std::string_view examples;
  std::function<int()> run;
};

// Everything the parser fills.
struct Arguments {
  PlanArguments plan;
  CatalogArguments catalog;
  NewArguments start;
  std::string topic;
  bool help = false, version = false;
};

void add_file_options(CLI::App* app, OutputArguments& out) {
  app->add_option("-o,--output", out.file, "Write to FILE instead of standard output; it is replaced once it is whole.")
      ->option_text("FILE");
  app->add_flag("-q,--quiet", out.quiet, "Only errors on standard error.");
}

void add_output_options(CLI::App* app, OutputArguments& out, const std::string& formats) {
  app->add_option("--format", out.format, formats)->option_text("FORMAT");
  app->add_option("--units", out.units,
                  "metric (the default) or us: units of the output. Input always may say its own.")
      ->option_text("UNITS");
  app->add_option("--color", out.color, "auto (the default), always or never. NO_COLOR is honoured.")
      ->option_text("WHEN");
  add_file_options(app, out);
}

class Parser {
 public:
  Parser() : root_("seamwright") {
    root_.set_help_flag();
    root_.add_flag("-h,--help", arguments_.help);
    root_.add_flag("--version", arguments_.version);
    root_.require_subcommand(0, 1);
    root_.allow_extras();

    CLI::App* plan =
        add("plan", "The settings for one joint, or for a grid of joints.", "seamwright plan [JOINT.toml] [options]",
            R"(  seamwright plan joint.toml
  seamwright plan joint.toml --equipment machine.toml --units us
  seamwright plan joint.toml --set joint.gap=1.5 --set wire.diameter=1.0
  seamwright plan joint.toml --vary joint.thickness=3:8:0.5 -o grid.csv
)",
            [this] { return run_plan(arguments_.plan); });
    plan->add_option("JOINT", arguments_.plan.joint,
                     "The joint file; - reads standard input. Without it --set gives all.");
    add_repeated(plan, "--set", arguments_.plan.assignments, "KEY=VALUE",
                 "Set one key over what the file says; may be repeated. 'seamwright help keys' lists them.");
    add_repeated(plan, "--vary", arguments_.plan.variations, "KEY=FROM:TO:STEP",
                 "One plan for every value; repeated, for every combination. Gives CSV or NDJSON.");
    plan->add_option("--equipment", arguments_.plan.equipment, "What your machine can do, and its dials.")
        ->option_text("FILE");
    add_output_options(plan, arguments_.plan.output, "table (the default), json, csv or ndjson (one line a plan).");

    CLI::App* start =
        add("new", "A commented file to start from, that runs as it is.", "seamwright new [KIND] [options]",
            R"(  seamwright new fillet -o joint.toml
  seamwright new equipment -o machine.toml
)",
            [this] { return run_new(arguments_.start); });
    start->add_option("KIND", arguments_.start.kind, "fillet (the default), butt, lap, pipe or equipment.");
    add_file_options(start, arguments_.start.output);

    CLI::App* catalog = add("catalog", "What alloys, wires, gases, positions and limits are known, and from where.",
                            "seamwright catalog [KIND [NAME]] [options]",
                            R"(  seamwright catalog
  seamwright catalog wire
  seamwright catalog alloy 5083
)",
                            [this] { return run_catalog(arguments_.catalog); });
    catalog->add_option("KIND", arguments_.catalog.kind, "A table; without it they are listed.");
    catalog->add_option("NAME", arguments_.catalog.name, "A row of it, by any of its names.");
    add_file_options(catalog, arguments_.catalog.output);

    CLI::App* help = add("help", "This text, or that of a command or topic.", "seamwright help [TOPIC]",
                         "  seamwright help keys\n", [this] { return run_help(); });
    help->add_option("TOPIC", arguments_.topic, "A command, or one of the topics below.");
  }

  int run(int argc, char** argv) {
    if (argc < 2) return deliver({}, overview, exit_answered);
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
    if (arguments_.help)
      return deliver({}, command == nullptr ? general_help() : command_help(*command), exit_answered);
    if (const std::vector<std::string> extras = level.remaining(); !extras.empty())
      return unknown(level, command, extras);
    return command == nullptr ? usage_error("no command", "see 'seamwright help'") : command->run();
  }

 private:
  CLI::App root_;
  Arguments arguments_;
  std::vector<Command> commands_;

  CLI::App* add(const char* name, const char* purpose, std::string_view usage, std::string_view examples,
                std::function<int()> run) {
    CLI::App* app = root_.add_subcommand(name, purpose);
    app->set_help_flag();
    app->allow_extras();
    app->add_flag("-h,--help", arguments_.help, "This text.");
    app->option_defaults()->multi_option_policy(CLI::MultiOptionPolicy::TakeLast);
    commands_.push_back({app, usage, examples, std::move(run)});
    return app;
  }

  // One value each time, so that what follows stays an argument of its own.
  static void add_repeated(CLI::App* app, const char* name, std::vector<std::string>& values, const char* form,
                           const char* text) {
    app->add_option(name, values, text)
        ->option_text(form)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
        ->allow_extra_args(false);
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
      const bool none = equals != std::string::npos || i + 1 == argc || argv[i + 1][0] == '\0' ||
                        (argv[i + 1][0] == '-' && argv[i + 1][1] != '\0');
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
                         fmt::format("usage: {}", command->usage));
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

  [[nodiscard]] std::string command_help(const Command& command) const {
    constexpr std::size_t indent = 30, width = 100;
    std::string text = fmt::format("{}\n\nusage: {}\n\n", command.app->get_description(), command.usage);
    for (const CLI::Option* option : command.app->get_options()) {
      const bool positional = option->get_positional();
      std::string term = positional ? option->get_name() : option->get_name(false, true);
      if (const std::size_t comma = term.find(','); comma != std::string::npos) term.insert(comma + 1, " ");
      if (!positional && !option->get_option_text().empty()) term += " " + option->get_option_text();
      append_entry(text, term, option->get_description(), indent, width);
    }
    return text + fmt::format("\nexamples:\n{}", command.examples) +
           "\nexit codes: 0 answered, 1 answered but no window, 2 bad input or usage, 3 the system failed\n";
  }

  [[nodiscard]] std::string general_help() const {
    std::string text(overview);
    text += "\ncommands:\n";
    for (const Command& c : commands_) append_entry(text, c.app->get_name(), c.app->get_description(), 14, 100);
    text += fmt::format("\ntopics of 'seamwright help TOPIC': {}\n", fmt::join(help_topics(), ", "));
    text += "\nexit codes: 0 answered, 1 answered but no window, 2 bad input or usage, 3 the system failed\n";
    return text;
  }

  int run_help() {
    if (arguments_.topic.empty()) return deliver({}, general_help(), exit_answered);
    for (const Command& c : commands_)
      if (c.app->get_name() == arguments_.topic) return deliver({}, command_help(c), exit_answered);
    if (const std::string text = help_topic_text(arguments_.topic); !text.empty())
      return deliver({}, text, exit_answered);
    std::vector<std::string> names;
    for (const Command& c : commands_) names.push_back(c.app->get_name());
    std::vector<std::string_view> words(names.begin(), names.end());
    for (const std::string_view topic : help_topics()) words.push_back(topic);
    return nearest("there is no help on '" + arguments_.topic + "'", arguments_.topic, words,
                   fmt::format("topics: {}", fmt::join(words, ", ")));
  }
};

}  // namespace

std::string_view program_version() { return SEAMWRIGHT_VERSION; }

}  // namespace seamwright

int main(int argc, char** argv) {
  std::signal(SIGPIPE, SIG_IGN);  // a reader that has gone shows as a failed write
  try {
    return seamwright::Parser().run(argc, argv);
  } catch (const std::exception&) {
    seamwright::message("error: out of memory, or a fault of the program itself");
    return seamwright::exit_system;
  }
}
