// seamwright new: a commented file to start from.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/starter_files.hpp"

namespace seamwright {

int run_new(const NewArguments& arguments) {
  if (!one_of("the kind of file", arguments.kind, starter_kinds)) return exit_bad_input;
  return deliver(arguments.output, starter_text(arguments.kind), exit_answered);
}

}  // namespace seamwright
