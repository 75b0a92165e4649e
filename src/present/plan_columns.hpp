// The flat form of a plan: every column once, for CSV and for flat NDJSON. The columns are the same for every joint,
// mode and metal; a cell is empty where a quantity has no meaning.
//
// A quantity `x` has the columns x_UNIT, x_from_UNIT, x_to_UNIT (its range), x_plus_minus_UNIT, x_from_end and x_to_end
// (what ends the range), as far as it can have them. The lockable box has box_x_from_UNIT and box_x_to_UNIT for each
// setting, box_share, box_stop (the constraint that stopped it, or why there is none) and box_corner (where).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

// The end of a column's name: "_m_per_min" of "m/min".
[[nodiscard]] std::string column_unit(std::string_view unit);

enum class ColumnKind : unsigned char {
  status,
  message,
  warnings,  // their ids
  id,
  joint,
  alloy,
  wire,
  gas,
  mode,
  position,
  thickness,
  wire_diameter,
  pass,
  pass_count,
  role,
  layer,
  side,
  value,
  from,
  to,
  plus_minus,
  from_end,
  to_end,
  // The lockable box; the first two once for each of its sides.
  box_from,
  box_to,
  box_share,
  box_stop,
  box_corner
};
[[nodiscard]] constexpr bool is_box_column(ColumnKind kind) { return kind >= ColumnKind::box_from; }

struct PlanColumn {
  std::string key;   // without the unit: "wire_feed_from"
  std::string name;  // as in the header: "wire_feed_from_m_per_min"
  ColumnKind kind{};
  F field = F::count;  // of the kinds from `value` on
};
// The currency of the prices, empty where they do not say it; nothing: no prices are given, and what they make is left
// out.
using Currency = std::optional<std::string_view>;
[[nodiscard]] std::vector<PlanColumn> plan_columns(Units units, Currency currency = std::nullopt);
// Whether a table of answers may have a column of that name, in any units.
[[nodiscard]] bool is_answer_column(std::string_view name);

// What one row speaks of: a pass, or the joint as a whole when it stands for all its passes.
struct PlanRow {
  const Plan& plan;
  const PassResult* pass = nullptr;  // null: there is none. With `whole` the first.
  bool whole = false;                // totals and messages of all passes
  Units units = Units::metric;
};

struct Cell {
  enum class Kind : unsigned char { empty, text, number } kind = Kind::empty;
  std::string_view text;
  double number = 0;
};
// `scratch` holds a text that had to be made; it must live as long as the cell.
[[nodiscard]] Cell plan_cell(const PlanColumn& column, const PlanRow& row, std::string& scratch);

// What a total of a metre of one weld is multiplied with for a weld of `metres` and for `count` of them; nothing where
// a quantity hangs on neither.
[[nodiscard]] std::optional<double> length_factor(F id, double metres, double count);
// The cell of a quantity whose estimate is not the plan's own.
[[nodiscard]] Cell estimate_cell(const PlanColumn& column, const Estimate& estimate, Units units);

// "ok" or "no-window".
[[nodiscard]] bool row_is_feasible(const PlanRow& row);

// Six significant digits, as short_text.
void append_number(std::string& out, double value);

}  // namespace seamwright
