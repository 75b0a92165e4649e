// A sheet for the shop: one HTML page that needs nothing but itself, made to be printed on one A4 or Letter page.
#pragma once

#include <string>
#include <string_view>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"
#include "seamwright/sheet_content.hpp"

namespace seamwright {

struct SheetOptions {
  Units units = Units::metric;
  std::string_view program_version;
};

// `content` null: the plan has no pass.
[[nodiscard]] std::string sheet_html(const Plan& plan, const SheetContent* content, const SheetOptions& options);

}  // namespace seamwright
