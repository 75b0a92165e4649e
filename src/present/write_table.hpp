// The plan as plain text for a terminal or a printer: 80 to 120 columns, ASCII of our own, colour only as an extra.
#pragma once

#include <string>
#include <string_view>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

struct TableOptions {
  Units units = Units::metric;
  std::size_t width = 100;  // letters a line; at least 40
  bool color = false;
  std::string_view program_version;
  bool detail = false;  // the effect of each trim, too
};

[[nodiscard]] std::string plan_table(const Plan& plan, const TableOptions& options);

}  // namespace seamwright
