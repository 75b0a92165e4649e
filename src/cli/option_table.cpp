#include "cli/option_table.hpp"

#include <fmt/format.h>

#include <array>
#include <initializer_list>

namespace seamwright {
namespace {

constexpr OptionRow joint_file{"JOINT", "", "The joint file; - reads standard input. Without it --set gives all.",
                               Takes::file};
constexpr OptionRow set_key{
    "--set",
    "KEY=VALUE",
    "Set one key over what the file says, KEY= leaves it out; may be repeated. 'seamwright help keys' "
    "lists them.",
    Takes::assignment,
    {},
    true};
constexpr OptionRow equipment_file{"--equipment", "FILE", "What your machine can do, and its dials.", Takes::file};
constexpr OptionRow shop_file{"--shop", "FILE",
                              "What all machines of your shop share: rack, carriage, prices, preference. What the "
                              "machine's own file says goes before.",
                              Takes::file};
constexpr OptionRow prefer_option{
    "--prefer", "WHAT",
    "What modes, wire diameters and sizes of passes are chosen by: metal (the default), time or margin. Goes before "
    "process.prefer and the equipment file.",
    Takes::words, "metal|time|margin"};
constexpr OptionRow procedure_file{"--procedure", "FILE",
                                   "A welding procedure: its ranges bind, and it settles what the joint leaves open.",
                                   Takes::file};
constexpr OptionRow data_file{"--data", "FILE",
                              "Your own rows over the built-in catalog: alloys, wires, gases, limits.", Takes::file};
constexpr OptionRow plot_flag{"--plot", "", "Also the picture, in plain characters."};
constexpr OptionRow pass_number{"--pass", "NUMBER", "Which pass; the first when left out.", Takes::text};
constexpr OptionRow units_option{"--units", "UNITS",
                                 "metric (the default) or us: units of the output. Input may state its own units.",
                                 Takes::words, "metric|us"};
constexpr OptionRow color_option{"--color", "WHEN", "auto (the default), always or never. NO_COLOR is honoured.",
                                 Takes::words, "auto|always|never"};
// A file the command writes, with what its name may end in.
constexpr OptionRow written(std::string_view flags, std::string_view text, std::string_view endings) {
  return {flags, "FILE", text, Takes::file, {}, false, endings};
}
constexpr OptionRow output_file_of(std::string_view endings) {
  return written("-o,--output",
                 "Write to FILE instead of standard output; it is replaced once it is whole. A link is followed.",
                 endings);
}
constexpr OptionRow output_by_name =
    written("-o,--output",
            "Write to FILE instead of standard output; the ending of its name says the format where --format does "
            "not. It is replaced once it is whole. A link is followed.",
            endings_of_format);
constexpr OptionRow quiet_flag{"-q,--quiet", "", "Only errors on standard error."};
constexpr OptionRow help_flag{"-h,--help", "", "This text."};

using Rows = std::initializer_list<OptionRow>;

std::vector<OptionRow> rows(Rows own) {
  std::vector<OptionRow> all(own);
  all.push_back(help_flag);
  return all;
}
// Of commands whose result can take several forms.
std::vector<OptionRow> rows_with_format(Rows own, std::string_view words, std::string_view text,
                                        const OptionRow& output = output_by_name) {
  std::vector<OptionRow> all(own);
  all.insert(all.end(),
             {{"--format", "FORMAT", text, Takes::words, words}, units_option, color_option, output, quiet_flag});
  all.push_back(help_flag);
  return all;
}

std::vector<CommandRow> make_table() {
  return {
      {"plan", "The settings for one joint, or for a grid of joints.", "seamwright plan [JOINT.toml] [options]",
       R"(  seamwright plan joint.toml
  seamwright plan joint.toml --all
  seamwright plan joint.toml --equipment machine.toml --units us
  seamwright plan joint.toml --set joint.gap=1.5 --set wire.diameter=1.0
  seamwright plan joint.toml --vary joint.thickness=3:8:0.5 -o grid.csv
  seamwright plan joint.toml -o joint.svg
  seamwright plan joint.toml --picture window --pass 1 -o window.png
)",
       rows_with_format(
           {joint_file,
            set_key,
            {"--vary",
             "KEY=FROM:TO:STEP",
             "One plan for every value; repeated, for every combination. Gives CSV or NDJSON.",
             Takes::assignment,
             {},
             true},
            {"--all", "",
             "In place of the card, everything: every quantity with its range and what ends it, the "
             "defaults and their reasons, heat and metal, all cautions."},
            {"--sensitivity", "",
             "Everything, and what a change of extension, gap, feed, travel or voltage does, and each trim. "
             "JSON has them always."},
            equipment_file,
            shop_file,
            prefer_option,
            procedure_file,
            written("--write-lock",
                    "Also write the ranges to lock of every pass to FILE: a procedure file, for --procedure of "
                    "check, assess and plan, and for compare.",
                    "toml"),
            data_file,
            plot_flag,
            {"--picture", "WORD",
             "What an SVG or PNG file shows: all (the default), section, window or pulse (also the double pulse).",
             Takes::words, "all|section|window|pulse"},
            {"--pass", "NUMBER", "The pictures of one pass; of all that differ when left out.", Takes::text}},
           "table|json|csv|ndjson|svg|png",
           "table (the default), json, csv, ndjson (one line a plan), svg or png (pictures).")},

      {"batch", "The settings for every joint of a job list, row for row.", "seamwright batch JOBS [options]",
       R"(  seamwright batch jobs.csv -o settings.csv --summary
  seamwright batch jobs.csv --defaults joint.toml --columns id,status,wire_feed,voltage,message
  seamwright batch jobs.ndjson | head
  seamwright batch jobs.csv -o settings.xlsx
  seamwright batch jobs.csv --check
  seamwright batch planner.csv --map 'Kind=joint.type' --separator ';' --decimal-comma --bom -o settings.csv
  seamwright batch jobs.csv --resume settings.csv
'seamwright help jobs' tells how a job list looks, and what batch promises.
)",
       rows_with_format(
           {{"JOBS", "", "The job list: CSV, NDJSON or TOML; - reads standard input.", Takes::file},
            {"--defaults", "FILE", "A joint file with the keys that rows leave out.", Takes::file},
            data_file,
            equipment_file,
            shop_file,
            prefer_option,
            {"--columns", "LIST",
             "Columns of the answer, with commas between, in this order. default and all stand for whole lists; "
             "default,-line leaves one out.",
             Takes::text},
            {"--per-pass", "", "One row a pass instead of one a joint."},
            {"--keep",
             "NAME",
             "Hand a column through that is no key; may be repeated. Names with x- in front always are.",
             Takes::text,
             {},
             true},
            {"--map",
             "HEADING=KEY",
             "Which key a column of the list holds, by its heading: 'Type=joint.type'; may be repeated. Headings such "
             "as Type, Thickness (mm) or Qty are recognised, and told.",
             Takes::text,
             {},
             true},
            {"--list-separator", "WORD", "comma, semicolon or tab between the cells of the list; detected if omitted.",
             Takes::words, "comma|semicolon|tab"},
            {"--list-decimal", "WORD",
             "point or comma in the numbers of the list; detected in lists with semicolons or tabs.", Takes::words,
             "point|comma"},
            {"--check", "",
             "Only read the list: what is wrong with which cell, or how many rows can be read. Nothing is solved."},
            {"--on-error", "WORD",
             "row (the default): a joint that is refused has a row that says why; stop: end there.", Takes::words,
             "row|stop"},
            {"--summary", "", "At the end, on standard error: joints, windows, reasons, wire, gas and arc time."},
            {"--threads", "NUMBER", "Threads; all cores when left out. The answer is the same to the byte.",
             Takes::text},
            written("--resume",
                    "Go on with an interrupted run's FILE (or FILE.part), or begin it. -o never writes over a "
                    "FILE.part.",
                    endings_of_format),
            {"--shard", "I/N", "The I-th of N parts of the list; the parts make up the whole when put together.",
             Takes::text},
            {"--no-header", "", "Leave the header row of CSV out."},
            {"--separator", "WORD", "comma, semicolon or tab between the cells of the answer; also ',' and ';'.",
             Takes::words, "comma|semicolon|tab"},
            {"--decimal-comma", "", "Numbers of the answer with a decimal comma; the separator is then a semicolon."},
            {"--bom", "", "A byte order mark before the answer, by which spreadsheets know UTF-8."}},
           "csv|ndjson|xlsx",
           "csv, ndjson or xlsx; left out, by the name of -o, ndjson for an NDJSON list, else csv.")},

      {"explain", "How one number of a plan came about, and what would move it.",
       "seamwright explain JOINT.toml [KEY] [options]",
       R"(  seamwright explain joint.toml
  seamwright explain joint.toml penetration
  seamwright explain joint.toml heat_input --pass 2 --format json
)",
       rows_with_format({joint_file,
                         {"KEY", "", "A quantity of the output; without it they are listed.", Takes::output_keys},
                         set_key,
                         equipment_file,
                         shop_file,
                         prefer_option,
                         procedure_file,
                         data_file,
                         pass_number},
                        "table|json", "table (the default) or json.")},

      {"assess", "What a setting gives, inside a window or not, and the nearest one that holds.",
       "seamwright assess [JOINT.toml] --feed FEED [options]",
       R"(  seamwright assess joint.toml --feed 9 --voltage 28 --travel 6.5
  seamwright assess joint.toml --feed "350 ipm" --current 180 --equipment machine.toml
  seamwright assess joint.toml --pass 2 --feed 9 --travel 6.5 --procedure lock.toml
  seamwright assess joint.toml --equipment machine.toml --dial Feed=12.7 --dial Arc=-2
  seamwright assess joint.toml --list settings.csv -o assessed.csv
Exit code 1: a limit is broken. 'seamwright help setting' tells what each number is taken for.
)",
       rows_with_format(
           {joint_file,
            {"--feed", "FEED", "Wire feed, m/min.", Takes::text},
            {"--current", "CURRENT",
             "Mean current, A. With --feed a reading that is held against the one that follows.", Takes::text},
            {"--voltage", "VOLTAGE", "Mean voltage, V: it fixes the arc length.", Takes::text},
            {"--travel", "SPEED", "Travel, mm/s.", Takes::text},
            {"--frequency", "FREQUENCY", "Pulse frequency as read, Hz.", Takes::text},
            {"--peak", "CURRENT", "Peak current of the pulse, A.", Takes::text},
            {"--base", "CURRENT", "Base current of the pulse as read, A.", Takes::text},
            {"--amplitude", "FEED", "Double pulse: deviation of the feed, up and down, m/min.", Takes::text},
            {"--modulation", "FREQUENCY", "Double pulse: frequency of the slow modulation, Hz.", Takes::text},
            {"--dial",
             "NAME=NUMBER",
             "What a dial of the machine in --equipment stands at; may be repeated.",
             Takes::text,
             {},
             true},
            pass_number,
            {"--list", "FILE", "A CSV file with a setting a row: feed,voltage,travel,...", Takes::file},
            set_key,
            equipment_file,
            shop_file,
            procedure_file,
            data_file},
           "table|json|csv|ndjson", "table (the default), json, csv (the default of a list) or ndjson.")},

      {"compare", "Two of joints, lock files and saved plans: what differs, and what data drift moved.",
       "seamwright compare A B [options]",
       R"(  seamwright compare lock.toml joint.toml
  seamwright compare plan.json joint.toml --format json
  seamwright compare joint.toml other-joint.toml --equipment machine.toml
Exit code 1: something differs. A saved plan is what 'plan -o plan.json' writes.
)",
       rows_with_format({{"A", "", "A joint file, lock file (or procedure) or saved plan.", Takes::file},
                         {"B", "", "The other.", Takes::file},
                         equipment_file,
                         shop_file,
                         data_file},
                        "table|json", "table (the default) or json.")},

      {"sheet",
       "A page to print: a card to set, lock and sign; behind it ranges, window map, pulse, cautions, sources.",
       "seamwright sheet JOINT.toml -o FILE.html [options]",
       R"(  seamwright sheet joint.toml -o joint.html
  seamwright sheet joint.toml --equipment machine.toml --units us -o joint.html
  seamwright sheet joint.toml --equipment left.toml --equipment right.toml -o joint.html
)",
       rows({joint_file,
             set_key,
             {"--equipment",
              "FILE",
              "What your machine can do, and its dials; repeated, a card for each machine.",
              Takes::file,
              {},
              true},
             shop_file,
             prefer_option,
             procedure_file,
             data_file,
             units_option,
             output_file_of("html"),
             quiet_flag})},

      {"check", "A plan against a welding procedure, or what a test piece would qualify.",
       "seamwright check [JOINT.toml] --procedure WPS.toml | --test-piece PIECE.toml [options]",
       R"(  seamwright check joint.toml --procedure wps.toml
  seamwright check joint.toml --test-piece piece.toml
  seamwright check --test-piece piece.toml
Exit code 1: something is outside. 'seamwright help procedures' tells how the files look.
)",
       rows_with_format(
           {joint_file,
            set_key,
            {"--procedure", "FILE", "The welding procedure, with the variables of ISO 15609-1.", Takes::file},
            {"--test-piece", "FILE",
             "A procedure test piece: what it would qualify by ISO 15614-1 level 2 or ISO 15614-2.", Takes::file},
            equipment_file,
            shop_file,
            data_file},
           "table|json", "table (the default) or json.")},

      {"review", "A weld as it was recorded: its facts, or how it stands against a procedure.",
       "seamwright review LOG.csv [--procedure FILE] [options]",
       R"(  seamwright review weld.csv
  seamwright review weld.csv --map time=t_ms,current=ch1,voltage=ch2 --travel 6.5
  seamwright review weld.csv --procedure lock.toml -o weld.html
  seamwright review trial.csv --as-trial --set wire.designation=5356 --set wire.diameter=1.2
Exit code 1: a weld is outside, or there is none. 'seamwright help logs' tells how a log may look.
)",
       rows_with_format(
           {{"LOG", "", "The log: CSV of time and any of current, voltage, feed, travel; - reads standard input.",
             Takes::file},
            {"--procedure", "FILE",
             "A procedure or lock file, or a saved plan in JSON: the ranges the weld is held against.", Takes::file},
            {"--roles", "LIST",
             "single, root, fill, cap of the welds in the log, in their order; the last holds for all further ones.",
             Takes::text},
            {"--map",
             "QUANTITY=COLUMN",
             "Which column holds a quantity, by name or number; may be repeated. Other columns are recognised by name.",
             Takes::text,
             {},
             true},
            {"--log", "FILE", "How the log is laid out: columns, units, scale, separator.", Takes::file},
            {"--rate", "RATE", "Readings per second, in place of the time column: 50kHz.", Takes::text},
            {"--travel", "SPEED", "Travel, mm/s, where the log has none.", Takes::text},
            {"--length", "LENGTH", "Length of the seam of each weld, mm.", Takes::text},
            {"--as-trial", "", "Print the facts as rows of a trial list, for calibration."},
            {"--set",
             "KEY=VALUE",
             "With --as-trial: wire.designation, wire.diameter, gas.designation, process.mode, wire.extension.",
             Takes::text,
             {},
             true},
            data_file,
            plot_flag},
           "table|json|csv|html",
           "table (the default), json, csv (a row a weld, metric) or html (a page with the trace).")},

      {"line", "The one-knob line of a wire, gas and mode: wire feed against everything else.",
       "seamwright line --set wire.designation=NAME [options]",
       R"(  seamwright line --set wire.designation=5356 --set process.mode=pulse
  seamwright line --set wire.designation=G3Si1 --set wire.diameter=1.0 --set gas.designation=M21 --format csv
)",
       rows_with_format({set_key,
                         {"--step", "FEED", "Step of the wire feed, m/min; by the range when left out.", Takes::text},
                         {"--pass", "PASS", "The pass whose table counts: root, fill, ... or its number.", Takes::text},
                         data_file,
                         plot_flag},
                        "table|json|csv", "table (the default), json or csv.")},

      {"calibrate", "Your own constants from trial welds, as a file for --data.",
       "seamwright calibrate TRIALS.csv -o OWN.toml [options]",
       R"(  seamwright calibrate trials.csv -o own.toml
  seamwright calibrate trials.csv --leave-one-out --plot
  seamwright plan joint.toml --data own.toml
The report goes to standard output, the rows for --data to the file of -o. 'seamwright help trials' tells how a list of
trial welds looks.
)",
       rows_with_format(
           {{"TRIALS", "", "The list of trial welds, CSV with a header.", Takes::file},
            {"--equipment", "FILE", "The machine whose dials the list has columns of: dial.NAME.", Takes::file},
            {"--leave-one-out", "", "Also what the other trials say of each one, beside what was read."},
            written("--svg", "Also a picture of what is left over, before and after.", "svg"),
            data_file,
            plot_flag},
           "table|json|csv", "Of the report: table (the default), json or csv (a row a reading).",
           written("-o,--output",
                   "Write the rows for --data to FILE; it is replaced once it is whole. A link is followed.", "toml"))},

      {"new", "A commented file to start from, that runs as it is.", "seamwright new [KIND] [options]",
       R"(  seamwright new fillet -o joint.toml
  seamwright new equipment -o machine.toml
  seamwright new jobs -o jobs.csv
)",
       rows({{"KIND", "", "fillet (the default), butt, lap, pipe, equipment, procedure, test-piece, jobs.",
              Takes::words, "fillet|butt|lap|pipe|equipment|procedure|test-piece|jobs"},
             {"--force", "", "With -o: replace FILE where it is there already; without it nothing is replaced."},
             output_file_of("toml|csv"),
             quiet_flag})},

      {"catalog", "What alloys, wires, gases, positions and limits are known, and from where.",
       "seamwright catalog [KIND [NAME]] [options]",
       R"(  seamwright catalog
  seamwright catalog wire
  seamwright catalog alloy 5083
  seamwright catalog sources
  seamwright catalog check own.toml
)",
       rows({{"KIND", "", "A table; without it they are listed.", Takes::text},
             {"NAME", "", "A row of it, by any of its names; after check, a file of your own rows.", Takes::file},
             data_file,
             output_file_of("table"),
             quiet_flag})},

      {"completion", "Files that tell the shell, or 'man', what the commands and options are.",
       "seamwright completion SHELL [options]",
       R"(  seamwright completion bash -o ~/.local/share/bash-completion/completions/seamwright
  seamwright completion fish -o ~/.config/fish/completions/seamwright.fish
)",
       rows({{"SHELL", "", "bash, zsh or fish; man for the manual page.", Takes::words, "bash|zsh|fish|man"},
             output_file_of({}),
             quiet_flag})},

      {"help", "This text, or that of a command or topic.", "seamwright help [TOPIC]", "  seamwright help keys\n",
       rows({{"TOPIC", "", "A command, or one of the topics below.", Takes::commands}})},
  };
}

}  // namespace

std::span<const CommandRow> command_rows() {
  static const std::vector<CommandRow> table = make_table();
  return table;
}

const CommandRow* command_row(std::string_view name) {
  for (const CommandRow& row : command_rows())
    if (row.name == name) return &row;
  return nullptr;
}

std::string overview_text() {
  std::string commands;
  for (const CommandRow& row : command_rows()) commands += fmt::format("{}{}", commands.empty() ? "" : ", ", row.name);
  return fmt::format(R"(seamwright works out MIG/MAG welding settings from a joint: bands of wire feed, travel, voltage,
pulse and double pulse, with what ends each band, and the heat input.

  seamwright new fillet -o joint.toml    a joint file to start from, with comments
  seamwright plan joint.toml             its settings, on one screen
  seamwright plan joint.toml --all       all that is worked out for it

Without a file: seamwright plan --set joint.type=fillet --set joint.thickness=6 --set material.alloy=5083

Commands: {}.
'seamwright COMMAND --help' tells more of one, 'seamwright help' of all.
The settings are starting values: the qualified procedure and the responsible coordinator decide.
)",
                     commands);
}

std::string_view exit_code_line() {
  return "exit codes: 0 answered, 1 answered but no window, 2 bad input or usage, 3 the system failed\n";
}

}  // namespace seamwright
