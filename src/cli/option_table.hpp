// Every command and option once. The parser, --help, shell completion and the man page are all made from it.
// To add a command: a row here, and in main.cpp what its options fill and the function that runs it.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

// What stands after an option or as an argument, for completion.
enum class Takes : unsigned char {
  nothing,
  text,
  file,
  words,        // one of OptionRow::words
  assignment,   // an input key, '=' and a value
  output_keys,  // a key of the output
  commands      // a command or a topic of help
};

// A file that may be called by any word of the command's --format.
inline constexpr std::string_view endings_of_format = "--format";

struct OptionRow {
  std::string_view flags;  // "-o,--output"; an argument has its name alone: "JOINT"
  std::string_view form;   // what follows it: "FILE"; empty for a flag
  std::string_view text;   // one or two sentences
  Takes takes = Takes::nothing;
  std::string_view words = {};  // '|' between them
  bool repeated = false;
  std::string_view endings = {};  // of a file that is written: '|' between them, or endings_of_format
  [[nodiscard]] constexpr bool is_argument() const { return flags.front() != '-'; }
  // "--output" of "-o,--output"; an argument's name.
  [[nodiscard]] constexpr std::string_view name() const {
    const auto comma = flags.find(',');
    return comma == std::string_view::npos ? flags : flags.substr(comma + 1);
  }
};

struct CommandRow {
  std::string_view name;
  std::string_view purpose;
  std::string_view usage;
  std::string_view examples;       // indented lines
  std::vector<OptionRow> options;  // arguments first, in their order
};

[[nodiscard]] std::span<const CommandRow> command_rows();
[[nodiscard]] const CommandRow* command_row(std::string_view name);
// What the program says when it is given nothing to do.
[[nodiscard]] std::string overview_text();
[[nodiscard]] std::string_view exit_code_line();

}  // namespace seamwright
