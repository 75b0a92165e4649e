// Cells and headings of the tables that people and loggers write.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

// Without blanks and line ends around it.
[[nodiscard]] std::string_view trimmed(std::string_view text);

// Its letters and digits alone, small: "Wire feed [m/min]" is "wirefeedmmin".
[[nodiscard]] std::string letters_only(std::string_view text);

// The ways a heading may be a name and a unit: "time [ms]", "I (A)", "t/ms", "t_ms", "wire feed, m/min".
struct NamedUnit {
  std::string_view name, unit;
};
[[nodiscard]] std::vector<NamedUnit> unit_splits(std::string_view heading);

// Whether `name` is one of `names`, '|' between them, by its letters alone.
[[nodiscard]] bool is_called(std::string_view names, std::string_view name);

}  // namespace seamwright
