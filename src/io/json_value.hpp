// One JSON text (RFC 8259) as the same plain tree that TOML gives, for the rows of NDJSON job lists.
#pragma once

#include <string>
#include <string_view>

#include "io/toml_document.hpp"

namespace seamwright {

// An object. Keys with dots open tables: {"joint.type": "fillet"} is {"joint": {"type": "fillet"}}. Members that are
// null count as left out. Refused: anything but one object, a key given twice, nesting beyond 32 levels, text that is
// not UTF-8. Places are columns of line 1, counted in bytes.
[[nodiscard]] Expected<TomlValue> parse_json_object(std::string_view text);

// A JSON string with its quotes; bytes outside UTF-8 become the replacement character.
void append_json_string(std::string& out, std::string_view text);

}  // namespace seamwright
