#include "present/job_summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "present/joint_words.hpp"

namespace seamwright {
namespace {

std::int64_t whole(double value) { return static_cast<std::int64_t>(std::llround(value)); }

// More than 9e18 micrograms nobody welds: such a list stops counting there.
void add_up(std::int64_t& sum, std::int64_t part) {
  sum = part > std::numeric_limits<std::int64_t>::max() - sum ? std::numeric_limits<std::int64_t>::max() : sum + part;
}

// Sums of a priced list: the field, what one of its units has of the whole numbers that are added up, and how many of
// those the unit shown has.
struct CostSum {
  F field;
  double steps, shown;
  std::string_view unit;  // empty: the currency
};
constexpr double millionths = 1e6, ms_per_min = 60e3, min_per_h = 60, mWh_per_kWh = 1e6;
constexpr std::array<CostSum, 7> cost_sums{{{F::total_time, ms_per_min, ms_per_min* min_per_h, "h"},
                                            {F::energy_drawn, mWh_per_kWh, mWh_per_kWh, "kWh"},
                                            {F::cost_wire, millionths, millionths, ""},
                                            {F::cost_gas, millionths, millionths, ""},
                                            {F::cost_power, millionths, millionths, ""},
                                            {F::cost_labour, millionths, millionths, ""},
                                            {F::cost, millionths, millionths, ""}}};

// What stands most in the way: of all passes the constraint that is missed by most.
std::string_view reason_of(const Plan& plan) {
  const Margin* worst = nullptr;
  for (const PassResult& pass : plan.passes)
    for (const Margin& m : pass.conflicts)
      if (worst == nullptr || m.score < worst->score) worst = &m;
  return worst == nullptr ? "no mode is possible" : constraint(worst->id).label;
}

}  // namespace

void JobSummary::Needs::add(const Needs& more) {
  add_up(joints, more.joints);
  add_up(welds, more.welds);
  add_up(wire_ug, more.wire_ug);
  add_up(gas_ml, more.gas_ml);
  add_up(arc_ms, more.arc_ms);
}

void JobSummary::add(const Plan& plan) {
  const Estimate& quantity = plan.total(F::quantity);
  counted_ = counted_ || quantity.present;
  if (!plan.feasible) {
    ++no_windows_;
    ++reasons_[reason_of(plan)];
    return;
  }
  ++windows_;
  if (plan.resolved.prices.present) add_costs(plan);
  catalog_ = plan.resolved.catalog;
  const bool all = quantity.present;
  by_wire_[{plan.resolved.wire->id, plan.resolved.diameter_mm}].add(
      {1, all ? whole(quantity.value) : 1, whole(1e6 * plan.total(all ? F::wire_mass_all : F::wire_mass).value),
       whole(1e3 * plan.total(all ? F::gas_volume_all : F::gas_volume).value),
       whole(1e3 * plan.total(all ? F::arc_time_all : F::arc_time).value)});
}

void JobSummary::add_costs(const Plan& plan) {
  const auto& prices = plan.resolved.equipment->prices;
  costs_.any = true;
  costs_.currency = prices->currency;
  const Estimate& quantity = plan.total(F::quantity);
  for (std::size_t i = 0; i < cost_sums.size(); ++i) {
    const Estimate& e = plan.total(cost_sums[i].field);
    if (e.present)
      add_up(costs_.sums[i], whole(cost_sums[i].steps * e.value * (quantity.present ? quantity.value : 1)));
    else
      ++costs_.without[i];
  }
}

void JobSummary::merge(const JobSummary& other) {
  windows_ += other.windows_;
  no_windows_ += other.no_windows_;
  errors_ += other.errors_;
  counted_ = counted_ || other.counted_;
  for (std::size_t i = 0; i < cost_sums.size(); ++i) {
    add_up(costs_.sums[i], other.costs_.sums[i]);
    costs_.without[i] += other.costs_.without[i];
  }
  if (other.costs_.any) {
    costs_.any = true;
    costs_.currency = other.costs_.currency;
  }
  if (other.catalog_ != nullptr) catalog_ = other.catalog_;
  for (const auto& [label, count] : other.reasons_) reasons_[label] += count;
  for (const auto& [wire, more] : other.by_wire_) by_wire_[wire].add(more);
}

std::vector<SummaryLine> JobSummary::counts() const {
  const auto line = [](std::string label, std::int64_t count) {
    return SummaryLine{std::move(label), {{static_cast<double>(count), 0}}};
  };
  return {line("joints", windows_ + no_windows_ + errors_), line("with a window", windows_),
          line("without a window", no_windows_), line("refused", errors_)};
}

std::vector<SummaryLine> JobSummary::reasons() const {
  std::vector<std::pair<std::string_view, std::int64_t>> sorted(reasons_.begin(), reasons_.end());
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  std::vector<SummaryLine> lines;
  for (const auto& [label, count] : sorted) lines.push_back({std::string(label), {{static_cast<double>(count), 0}}});
  return lines;
}

std::vector<std::string> JobSummary::needs_columns(Units units) const {
  const bool us = units == Units::us;
  std::vector<std::string> columns{"joints"};
  if (counted_) columns.emplace_back("welds");
  columns.insert(columns.end(), {us ? "wire lb" : "wire kg", us ? "gas ft3" : "gas m3", "arc h"});
  return columns;
}

std::vector<SummaryLine> JobSummary::needs(Units units) const {
  const bool us = units == Units::us;
  constexpr double kg_per_lb = 0.45359237, m3_per_ft3 = 0.028316846592;
  const double kg = us ? 1 / kg_per_lb : 1, m3 = us ? 1 / m3_per_ft3 : 1;
  std::vector<SummaryLine> lines;
  const auto add = [&](std::string label, const Needs& n) {
    std::vector<SummaryCell> cells{{static_cast<double>(n.joints), 0}};
    if (counted_) cells.push_back({static_cast<double>(n.welds), 0});
    cells.insert(cells.end(), {{1e-9 * kg * static_cast<double>(n.wire_ug), 2},
                               {1e-6 * m3 * static_cast<double>(n.gas_ml), 2},
                               {static_cast<double>(n.arc_ms) / 3.6e6, 2}});
    lines.push_back({std::move(label), std::move(cells)});
  };
  Needs all;
  for (const auto& [wire, n] : by_wire_) {
    add(fmt::format("{} {}", wire_words(*find_wire(*catalog_, wire.first), units),
                    wire_size_words(*catalog_, wire.second, units)),
        n);
    all.add(n);
  }
  if (by_wire_.size() > 1) add("together", all);
  return lines;
}

std::vector<SummaryLine> JobSummary::costs() const {
  std::vector<SummaryLine> lines;
  if (!costs_.any) return lines;
  for (std::size_t i = 0; i < cost_sums.size(); ++i) {
    const CostSum& sum = cost_sums[i];
    if (costs_.without[i] == windows_) continue;
    const std::string_view unit = sum.unit.empty() ? std::string_view(costs_.currency) : sum.unit;
    lines.push_back({fmt::format("{}{}{}", field(sum.field).label, unit.empty() ? "" : ", ", unit),
                     {{static_cast<double>(costs_.sums[i]) / sum.shown, 2}}});
  }
  for (std::size_t i = 0; i + 1 < cost_sums.size(); ++i)
    if (costs_.without[i] > 0)
      lines.push_back({fmt::format("joints without a price: {}", field(cost_sums[i].field).label),
                       {{static_cast<double>(costs_.without[i]), 0}}});
  return lines;
}

std::string JobSummary::text(Units units) const {
  const auto all_joints = windows_ + no_windows_ + errors_;
  std::string out = fmt::format("{} joint{}: {} with a window, {} without, {} refused\n", all_joints,
                                all_joints == 1 ? "" : "s", windows_, no_windows_, errors_);
  if (!reasons_.empty()) out += "no window because of\n";
  for (const SummaryLine& line : reasons())
    out += fmt::format("  {:<32}{:>10.0f}\n", line.label, line.cells.front().value);
  if (by_wire_.empty()) return out;
  out += fmt::format("  {:<32}", "needed for those with a window");
  const std::size_t counts = counted_ ? 2 : 1;  // columns of whole numbers
  const std::vector<std::string> columns = needs_columns(units);
  for (std::size_t i = 0; i < columns.size(); ++i) out += fmt::format("{:>{}}", columns[i], i < counts ? 10 : 12);
  out += '\n';
  for (const SummaryLine& line : needs(units)) {
    out += fmt::format("  {:<32}", line.label);
    for (std::size_t i = 0; i < line.cells.size(); ++i)
      out += fmt::format("{:>{}.{}f}", line.cells[i].value, i < counts ? 10 : 12, line.cells[i].decimals);
    out += '\n';
  }
  if (costs_.any) out += "time and cost of those with a window\n";
  for (const SummaryLine& line : costs())
    out += fmt::format("  {:<44}{:>12.{}f}\n", line.label, line.cells.front().value, line.cells.front().decimals);
  return out;
}

}  // namespace seamwright
