// A procedure check as text. Its JSON is written beside that of the plan (write_json.hpp).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/plan.hpp"
#include "seamwright/procedure.hpp"
#include "seamwright/procedure_check.hpp"

namespace seamwright {

struct CheckOptions {
  Units units = Units::metric;
  std::size_t width = 100;
  bool color = false;
  std::string_view program_version;
  const Catalog* catalog = nullptr;
  std::string title;  // of the procedure; empty: a test piece
};

// A number of a row in the units asked for, and its unit.
[[nodiscard]] double check_in_units(const CheckRow& row, double metric, Units units);
[[nodiscard]] std::string_view check_unit(const CheckRow& row, Units units);

// What of a plan lies outside the procedure it was planned with: "position: PD; stated: PA, PC". Its ranges bind, so
// that these are words as a rule.
[[nodiscard]] std::vector<std::string> outside_words(const Plan& plan, Units units);

[[nodiscard]] std::string check_table(const ProcedureCheck& check, const CheckOptions& options);

}  // namespace seamwright
