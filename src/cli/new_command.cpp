// seamwright new: a commented file to start from.
#include <fmt/format.h>
#include <sys/stat.h>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/file_ending.hpp"
#include "cli/starter_files.hpp"

namespace seamwright {

int run_new(const NewArguments& arguments) {
  if (!one_of("the kind of file", arguments.kind, starter_kinds)) return exit_bad_input;
  const std::string& file = arguments.output.file;
  const bool list = arguments.kind == "jobs";
  if (file_ending(file) == (list ? "toml" : "csv"))
    return usage_error(fmt::format("'{}' is no name for {}", file, list ? "a list in CSV" : "a file in TOML"),
                       fmt::format("call it FILE.{}", list ? "csv" : "toml"));
  // A file to start from is soon a file with work in it.
  struct stat status {};
  if (!arguments.force && !file.empty() && file != "-" && ::stat(file.c_str(), &status) == 0 &&
      S_ISREG(status.st_mode)) {
    Diagnostic d;
    d.place.file = file;
    d.message = "the file is there already";
    d.help = "choose another name, or replace it with --force";
    return report({d});
  }
  return deliver(arguments.output, starter_text(arguments.kind), exit_answered);
}

}  // namespace seamwright
