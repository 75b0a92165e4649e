// What a whole job list comes to: how many joints have a window, why the others have none, and what to buy.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

struct SummaryCell {
  double value = 0;
  int decimals = 0;
};
struct SummaryLine {
  std::string label;
  std::vector<SummaryCell> cells;
};

class JobSummary {
 public:
  // A joint with a `quantity` counts as so many welds.
  void add(const Plan& plan);
  void add_error() { ++errors_; }
  void merge(const JobSummary& other);
  void clear() { *this = {}; }
  // In lines of at most `width` letters.
  [[nodiscard]] std::string text(Units units, std::size_t width) const;

  // The same as lines of a table: how many joints; why some have no window, the commonest reason first; by wire, and
  // in all, what those with a window need.
  [[nodiscard]] std::vector<SummaryLine> counts() const;
  [[nodiscard]] std::vector<SummaryLine> reasons() const;
  [[nodiscard]] std::vector<std::string> needs_columns(Units units) const;
  [[nodiscard]] std::vector<SummaryLine> needs(Units units) const;
  // Time and cost of those with a window, where prices are given; then how many joints lack a price.
  [[nodiscard]] std::vector<SummaryLine> costs() const;

 private:
  // Whole micrograms, millilitres and milliseconds: sums that do not hang on the order of the rows.
  struct Needs {
    std::int64_t joints = 0, welds = 0, wire_ug = 0, gas_ml = 0, arc_ms = 0;
    void add(const Needs& more);
  };
  std::int64_t windows_ = 0, no_windows_ = 0, errors_ = 0;
  // Where prices are given: milliseconds, milliwatt-hours and millionths of the currency, of all welds.
  struct Costs {
    std::array<std::int64_t, 7> sums{};     // of the fields in `cost_fields`
    std::array<std::int64_t, 7> without{};  // joints that lack it
    bool any = false;
    std::string currency;
  };
  Costs costs_;
  void add_costs(const Plan& plan);
  const Catalog* catalog_ = nullptr;                              // of the plans
  bool counted_ = false;                                          // some joint has a quantity
  std::map<std::string_view, std::int64_t> reasons_;              // labels of constraints
  std::map<std::pair<std::string_view, double>, Needs> by_wire_;  // catalog id, diameter in mm
  Needs told_again_;                                              // joints and welds that stand with a further wire
  void add_by_pass(const Plan& plan, bool all);
};

}  // namespace seamwright
