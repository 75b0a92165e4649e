// The plan as a card: what to set, what may be locked, how good it is and what to watch for, on one screen where the
// joint has one pass. What it leaves out the long table has (plan_table); warnings, conflicts and what lies outside a
// procedure stand here in full.
#pragma once

#include <string>
#include <string_view>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

struct CardOptions {
  Units units = Units::metric;
  std::size_t width = 80;  // letters a line; at least 40
  bool color = false;
  std::string_view program_version;
};

[[nodiscard]] std::string plan_card(const Plan& plan, const CardOptions& options);

}  // namespace seamwright
