// What the headings of a planner's list mean: "Type", "Thickness (mm)", "Qty".
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

// What --map gives: the column of that heading holds the key.
struct HeadingMap {
  std::string heading, key;
};

struct HeadingReading {
  std::vector<std::string_view> keys;  // one: that is meant; several: any of them may be; none: it is not known
  std::string_view unit;               // that stands beside it, of the key's kind; empty: none
};
[[nodiscard]] HeadingReading read_heading(std::string_view heading);

// The unit beside a heading whose key is known already; empty: none of the key's kind.
[[nodiscard]] std::string_view heading_unit(std::string_view heading, std::string_view key);

}  // namespace seamwright
