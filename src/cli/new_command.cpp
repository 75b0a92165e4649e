// seamwright new: a commented file to start from.
#include <sys/stat.h>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/starter_files.hpp"

namespace seamwright {

int run_new(const NewArguments& arguments) {
  if (!one_of("the kind of file", arguments.kind, starter_kinds)) return exit_bad_input;
  // A file to start from is soon a file with work in it.
  struct stat status {};
  const std::string& file = arguments.output.file;
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
