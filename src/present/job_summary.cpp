#include "present/job_summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "present/joint_words.hpp"
#include "text/text_grid.hpp"
#include "text/text_layout.hpp"

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
  if (!plan.resolved.own.empty()) return add_by_pass(plan, all);
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

// Each wire its own passes; the joint and its welds are counted with every wire they take.
void JobSummary::add_by_pass(const Plan& plan, bool all) {
  std::map<std::pair<std::string_view, double>, Needs> wires;
  for (const PassResult& pass : plan.passes) {
    const Case& c = case_of(plan, pass);
    Needs& needs = wires[{c.wire->id, c.diameter_mm}];
    needs.joints = 1;
    needs.welds = all ? whole(plan.total(F::quantity).value) : 1;
    needs.wire_ug += whole(1e6 * pass[all ? F::wire_mass_all : F::wire_mass].value);
    needs.gas_ml += whole(1e3 * pass[all ? F::gas_volume_all : F::gas_volume].value);
    needs.arc_ms += whole(1e3 * pass[all ? F::arc_time_all : F::arc_time].value);
  }
  for (const auto& [wire, needs] : wires) {
    by_wire_[wire].add(needs);
    if (wire != wires.begin()->first) told_again_.add({needs.joints, needs.welds, 0, 0, 0});
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
  told_again_.add(other.told_again_);
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
  all.joints -= told_again_.joints;
  all.welds -= told_again_.welds;
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
      lines.push_back({fmt::format("joints without a {}", field(cost_sums[i].field).label),
                       {{static_cast<double>(costs_.without[i]), 0}}});
  return lines;
}

std::string JobSummary::text(Units units, std::size_t width) const {
  constexpr std::size_t label_width = 32, cost_width = 44, narrow_column = 10, wide_column = 12;
  std::string out;
  const auto paragraph = [&](std::string_view text, std::size_t indent) {
    out.append(indent, ' ');
    append_wrapped(out, text, width, indent, indent);
  };
  const auto all_joints = windows_ + no_windows_ + errors_;
  paragraph(fmt::format("{} joint{}: {} with a window, {} without, {} refused", all_joints, all_joints == 1 ? "" : "s",
                        windows_, no_windows_, errors_),
            0);
  const auto single = [&](const SummaryLine& line, std::size_t label, std::size_t column) {
    const std::string number = fmt::format("{:.{}f}", line.cells.front().value, line.cells.front().decimals);
    if (width < 2 + label + column) return append_stacked(out, line.label, {{"", number, ""}}, 2, width);
    out += fmt::format("  {:<{}}{:>{}}\n", line.label, label, number, column);
  };
  if (!reasons_.empty()) paragraph("no window because of", 0);
  for (const SummaryLine& line : reasons()) single(line, label_width, narrow_column);
  if (by_wire_.empty()) return out;
  const std::size_t counts = counted_ ? 2 : 1;  // columns of whole numbers
  const std::vector<std::string> columns = needs_columns(units);
  std::size_t label_room = label_width;
  for (const SummaryLine& line : needs(units)) label_room = std::max(label_room, letters(line.label));
  std::size_t count_column = narrow_column, sum_column = wide_column;
  const auto whole_width = [&] {
    return 2 + label_room + counts * count_column + (columns.size() - counts) * sum_column;
  };
  if (whole_width() > width) {
    count_column = 8;
    sum_column = 9;
  }
  const auto column_width = [&](std::size_t i) { return i < counts ? count_column : sum_column; };
  const bool in_columns = width >= whole_width();
  if (in_columns)
    out += fmt::format("  {:<{}}", "needed for those with a window", label_room);
  else
    paragraph("needed for those with a window", 2);
  for (std::size_t i = 0; in_columns && i < columns.size(); ++i)
    out += fmt::format("{:>{}}", columns[i], column_width(i));
  if (in_columns) out += '\n';
  for (const SummaryLine& line : needs(units)) {
    if (in_columns) out += fmt::format("  {:<{}}", line.label, label_room);
    std::vector<GridFact> facts;
    for (std::size_t i = 0; i < line.cells.size(); ++i) {
      const std::string number = fmt::format("{:.{}f}", line.cells[i].value, line.cells[i].decimals);
      if (in_columns) out += fmt::format("{:>{}}", number, column_width(i));
      // "wire kg" is the title of a column, "wire 0.07 kg" a fact.
      const std::string_view title = columns[i], label = title.substr(0, title.find(' '));
      facts.push_back({label, number, title.substr(std::min(label.size() + 1, title.size()))});
    }
    if (in_columns)
      out += '\n';
    else
      append_stacked(out, line.label, facts, 4, width);
  }
  if (costs_.any) paragraph("time and cost of those with a window", 0);
  for (const SummaryLine& line : costs()) single(line, cost_width, wide_column);
  return out;
}

}  // namespace seamwright
