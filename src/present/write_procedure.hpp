// A procedure as the TOML file that read_procedure reads: the lock file.
#pragma once

#include <string>

#include "seamwright/procedure.hpp"

namespace seamwright {

// Numbers are written so that they read back the same.
[[nodiscard]] std::string procedure_toml(const Procedure& procedure);

}  // namespace seamwright
