// The key table: every input key of a joint once, with the member it fills.
#pragma once

#include <span>
#include <variant>

#include "input/value_reader.hpp"
#include "seamwright/joint.hpp"

namespace seamwright {

// Lists of the catalog a name is checked against.
enum class NameList : unsigned char { none, alloy, wire, gas, position, quality };
[[nodiscard]] std::string_view catalog_table(NameList list);  // of the catalog command: "alloy"
[[nodiscard]] bool catalog_knows(const Catalog& catalog, NameList list, std::string_view name);
// Ids and every other spelling.
[[nodiscard]] std::vector<std::string_view> catalog_names(const Catalog& catalog, NameList list);

using KeyTarget = std::variant<std::monostate, Given<double> Joint::*, Given<int> Joint::*, Given<bool> Joint::*,
                               Given<std::string> Joint::*, Given<Interval> Joint::*, Given<JointType> Joint::*,
                               Given<PreparationType> Joint::*, Given<Backing> Joint::*, Given<Mode> Joint::*,
                               Given<Preference> Joint::*>;

struct KeyRow {
  std::string_view path;
  KeyTarget target;  // monostate: read by its own code (tables, schema)
  NumberRule rule;   // numbers and ranges
  NameList names = NameList::none;
  std::string_view accepts;  // only where it cannot be made from the rest
  std::string_view meaning;
};
[[nodiscard]] std::span<const KeyRow> key_rows();

}  // namespace seamwright
