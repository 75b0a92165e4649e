// What the name of a file that is written says: its ending is the format, and one that the command does not write is
// a mistake.
#pragma once

#include <string>
#include <string_view>

#include "cli/option_table.hpp"

namespace seamwright {

// Letters and digits behind the last dot of a file's name, in small letters; empty where there are none, or no letter
// among them: "settings.2", "/dev/null", ".profile".
[[nodiscard]] std::string file_ending(std::string_view file);

// The format that `file`, given to `option` of `command`, asks for by its ending: a word of the command's --format.
// Empty in `format` where the ending leaves it open. False, with the error printed: the command writes no such file.
[[nodiscard]] bool format_of_ending(const CommandRow& command, const OptionRow& option, std::string_view file,
                                    std::string& format);

}  // namespace seamwright
