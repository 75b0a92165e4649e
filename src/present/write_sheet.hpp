// A sheet for the shop: one HTML page that needs nothing but itself, made to be printed on A4 or Letter. First a card
// of what is set, locked and signed, half a page for a joint of one pass; then, on pages of their own, the details. Of
// several plans (the same joint on several machines) all cards come first.
#pragma once

#include <span>
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

struct SheetPlan {
  const Plan* plan = nullptr;
  const SheetContent* content = nullptr;  // null: the plan has no pass
};

[[nodiscard]] std::string sheet_html(std::span<const SheetPlan> plans, const SheetOptions& options);

}  // namespace seamwright
