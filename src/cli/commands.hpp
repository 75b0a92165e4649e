// The commands of the program. Each is a function from its arguments, as written, and the catalog in use to an exit
// code.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

struct Catalog;

enum ExitCode : int {
  exit_answered = 0,
  exit_no_window = 1,  // answered, and the answer is no
  exit_bad_input = 2,  // nothing was written
  exit_system = 3      // cannot write, disk full, reader gone
};

struct OutputArguments {
  std::string format;  // empty: the command's own default
  std::string units = "metric";
  std::string color = "auto";
  std::string file;  // empty or "-": standard output
  bool quiet = false;
};

// What every command about a joint takes.
struct JointArguments {
  std::string joint;                     // empty: from assignments alone; "-": standard input
  std::vector<std::string> assignments;  // KEY=VALUE
  std::string equipment, shop, procedure;
  std::string prefer;  // empty: as the joint or the equipment file has it
};

struct PlanArguments {
  JointArguments input;
  std::vector<std::string> variations;  // KEY=FROM:TO:STEP
  bool all = false;                     // the long table in place of the card
  bool sensitivity = false;             // in the long table
  bool plot = false;                    // the window map and the waveform, in plain characters
  std::string picture;                  // which of the pictures an SVG or PNG file holds; empty: all
  std::string pass;                     // of the pictures; empty: all that differ
  std::string lock;                     // a file for the ranges to lock
  OutputArguments output;
};
[[nodiscard]] int run_plan(const PlanArguments& arguments, const Catalog& catalog);

struct BatchArguments {
  std::string jobs;  // "-": standard input
  std::string defaults, equipment, shop;
  std::string prefer;                        // empty: as rows or the equipment file have it
  std::string list_separator, list_decimal;  // of the list; empty: detected
  std::vector<std::string> maps;             // HEADING=KEY
  std::vector<std::string> keep;             // columns passed through
  std::string separator;                     // of the answer; empty: a comma, or ';' with decimal_comma
  std::string columns;                       // empty: the default ones
  std::string on_error = "row";
  std::string threads;  // empty: all cores
  std::string resume;   // a file
  std::string shard;    // I/N
  bool per_pass = false, no_header = false, summary = false, check = false;
  bool decimal_comma = false, byte_order_mark = false;  // of the answer
  OutputArguments output;
};
[[nodiscard]] int run_batch(const BatchArguments& arguments, const Catalog& catalog);

struct CatalogArguments {
  std::string kind, name;
  OutputArguments output;
};
[[nodiscard]] int run_catalog(const CatalogArguments& arguments, const Catalog& catalog);

struct NewArguments {
  std::string kind = "fillet";
  bool force = false;  // replaces a file that is there
  OutputArguments output;
};
[[nodiscard]] int run_new(const NewArguments& arguments);

struct ExplainArguments {
  JointArguments input;
  std::string key;
  std::string pass;  // a number; empty: the first
  OutputArguments output;
};
[[nodiscard]] int run_explain(const ExplainArguments& arguments, const Catalog& catalog);

struct AssessArguments {
  JointArguments input;
  // As written; empty: not given.
  std::string feed, current, voltage, travel, frequency, peak, base, amplitude, modulation;
  std::vector<std::string> dials;  // NAME=NUMBER
  std::string pass;                // a number; empty: the first
  std::string list;                // a CSV file of settings
  OutputArguments output;
};
[[nodiscard]] int run_assess(const AssessArguments& arguments, const Catalog& catalog);

struct CompareArguments {
  std::string a, b;             // joint files, lock files or saved plans
  std::string equipment, shop;  // of the joints
  OutputArguments output;
};
[[nodiscard]] int run_compare(const CompareArguments& arguments, const Catalog& catalog);

struct CheckArguments {
  JointArguments input;
  std::string test_piece;
  OutputArguments output;
};
[[nodiscard]] int run_check(const CheckArguments& arguments, const Catalog& catalog);

struct ReviewArguments {
  std::string log;  // "-": standard input
  std::string procedure, log_format;
  std::vector<std::string> maps;         // QUANTITY=COLUMN
  std::vector<std::string> assignments;  // KEY=VALUE, of the trial
  std::string rate, travel, length, roles;
  bool as_trial = false, plot = false;
  OutputArguments output;
};
[[nodiscard]] int run_review(const ReviewArguments& arguments, const Catalog& catalog);

struct SheetArguments {
  JointArguments input;
  std::vector<std::string> machines;  // files, a card for each; input.equipment is not read
  OutputArguments output;
};
[[nodiscard]] int run_sheet(const SheetArguments& arguments, const Catalog& catalog);

struct LineArguments {
  std::vector<std::string> assignments;
  std::string step;  // of the wire feed; empty: a twelfth of the range or so
  std::string pass;  // the table of a pass whose line is asked for; empty: the only one, or none
  bool plot = false;
  OutputArguments output;
};
[[nodiscard]] int run_line(const LineArguments& arguments, const Catalog& catalog);

struct CalibrateArguments {
  std::string trials;
  std::string equipment;  // the machine whose dials the list names; empty: none
  std::string svg;        // a file for the picture of what is left over; empty: none
  bool leave_one_out = false, plot = false;
  OutputArguments output;  // its file gets the rows for --data, the report goes to standard output
};
[[nodiscard]] int run_calibrate(const CalibrateArguments& arguments, const Catalog& catalog);

struct CompletionArguments {
  std::string shell;
  OutputArguments output;
};
[[nodiscard]] int run_completion(const CompletionArguments& arguments, const Catalog& catalog);

// A topic of `help`: its text, or empty when there is no such topic.
[[nodiscard]] std::string help_topic_text(std::string_view topic, const Catalog& catalog);
[[nodiscard]] std::vector<std::string_view> help_topics();

[[nodiscard]] std::string_view program_version();

}  // namespace seamwright
