// What every command needs of the outside: messages to standard error, results to standard output or a file.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "cli/commands.hpp"
#include "quantity/quantity_text.hpp"
#include "seamwright/diagnostic.hpp"

namespace seamwright {

// Prints the messages; returns exit_bad_input.
int report(const Diagnostics& errors);
// The same for one message about the command line.
int usage_error(std::string message, std::string help);
// A value of `words`, or a usage error (printed) that names the nearest. `what` is "--format" or "a catalog kind".
[[nodiscard]] bool one_of(std::string_view what, std::string_view value, std::span<const std::string_view> words);

// Whether the values of --format, --units and --color are among those that the command's row has; else a usage error.
[[nodiscard]] bool check_output_arguments(const OutputArguments& arguments, std::string_view command);
[[nodiscard]] Units units_of(const OutputArguments& arguments);
[[nodiscard]] bool color_wanted(const OutputArguments& arguments);
// Whether --plot is to draw below what is printed; a message says so where it was asked for and there is no table.
[[nodiscard]] bool plot_wanted(bool asked, bool table, const OutputArguments& arguments);
// Whether a file's name ends in `ending` (in small letters), in capitals or not: ".xlsx".
[[nodiscard]] bool named_as(std::string_view file, std::string_view ending);
// Letters a line of tables, and of what is read on any screen (the card of a plan, help): those of the terminal, or
// COLUMNS of the environment, within what each can be read at; elsewhere 100, and `usual`.
[[nodiscard]] std::size_t line_width(const OutputArguments& arguments);
[[nodiscard]] std::size_t screen_width(const OutputArguments& arguments, std::size_t usual);
// Of tables on standard error.
[[nodiscard]] std::size_t message_width();

// Whether both name one existing file.
[[nodiscard]] bool same_file(const std::string& a, const std::string& b);
// Whether an Output that is kept and goes to `output` would destroy `input`: FILE and FILE.part are its own.
[[nodiscard]] bool would_overwrite(const std::string& output, const std::string& input);

// Where a result goes. A file is written beside its place and put there by finish(), so that it is whole or not there;
// a device or a pipe is written directly. Nothing is opened before the first write.
class Output {
 public:
  // `kept`: what was written of a file stays in FILE.part when the program ends before finish(), and only one program
  // may write there.
  explicit Output(const OutputArguments& arguments, bool kept = false);
  ~Output();
  Output(const Output&) = delete;
  Output& operator=(const Output&) = delete;

  // False when it cannot be written: the reason is kept for failure().
  [[nodiscard]] bool write(std::string_view text);
  // False likewise.
  [[nodiscard]] bool finish();
  // Of a kept output: takes up FILE.part, or else FILE itself, as far as it goes, and leaves it as it is. -1 with no
  // failure: there is neither, or this is no file. Else a descriptor that reads it.
  [[nodiscard]] int take_up();
  // Cuts what was taken up to its first `bytes`; writing goes on there, in FILE.part.
  [[nodiscard]] bool cut(std::uint64_t bytes);
  [[nodiscard]] bool failed() const { return error_ != 0; }
  // Prints why (a reader that has gone is no news) and returns exit_system; exit_bad_input where the user has to say
  // what becomes of a FILE.part that is there.
  int failure();

 private:
  std::string path_;  // empty: standard output
  std::string beside_;
  int descriptor_ = -1;
  int error_ = 0;
  bool kept_ = false;
  bool part_in_the_way_ = false;  // FILE.part was there before
  bool open();
  bool open_alone(const std::string& file, int further_flags);
};

// Writes one text and returns `code`, or what failure() returns.
[[nodiscard]] int deliver(const OutputArguments& arguments, std::string_view text, int code);

void message(std::string_view text);  // a line on standard error

}  // namespace seamwright
