// Reading a welding procedure and a test piece, as the user's own TOML files describe them. Names are those of the
// catalog, which must outlive what is read.
#pragma once

#include <string>
#include <string_view>

#include "seamwright/diagnostic.hpp"
#include "seamwright/procedure.hpp"
#include "seamwright/qualification.hpp"

namespace seamwright {

[[nodiscard]] Expected<Procedure> read_procedure(const std::string& path, const Catalog& catalog);
[[nodiscard]] Expected<Procedure> read_procedure_text(std::string_view text, const std::string& name,
                                                      const Catalog& catalog);

[[nodiscard]] Expected<TestPiece> read_test_piece(const std::string& path, const Catalog& catalog);
[[nodiscard]] Expected<TestPiece> read_test_piece_text(std::string_view text, const std::string& name,
                                                       const Catalog& catalog);

}  // namespace seamwright
