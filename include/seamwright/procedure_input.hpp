// Reading a welding procedure and a test piece, as the user's own TOML files describe them.
#pragma once

#include <string>
#include <string_view>

#include "seamwright/procedure.hpp"

namespace seamwright {

[[nodiscard]] Expected<Procedure> read_procedure(const std::string& path);
[[nodiscard]] Expected<Procedure> read_procedure_text(std::string_view text, const std::string& name);

[[nodiscard]] Expected<TestPiece> read_test_piece(const std::string& path);
[[nodiscard]] Expected<TestPiece> read_test_piece_text(std::string_view text, const std::string& name);

}  // namespace seamwright
