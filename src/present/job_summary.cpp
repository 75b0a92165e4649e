#include "present/job_summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace seamwright {
namespace {

std::int64_t whole(double value) { return static_cast<std::int64_t>(std::llround(value)); }

// What stands most in the way: of all passes the constraint that is missed by most.
std::string_view reason_of(const Plan& plan) {
  const Margin* worst = nullptr;
  for (const PassResult& pass : plan.passes)
    for (const Margin& m : pass.conflicts)
      if (worst == nullptr || m.score < worst->score) worst = &m;
  return worst == nullptr ? "no mode is possible" : constraint(worst->id).label;
}

}  // namespace

void JobSummary::add(const Plan& plan) {
  if (!plan.feasible) {
    ++no_windows_;
    ++reasons_[reason_of(plan)];
    return;
  }
  ++windows_;
  Needs& needs = by_wire_[{plan.resolved.wire->id, plan.resolved.diameter_mm}];
  ++needs.joints;
  needs.wire_ug += whole(1e6 * plan.total(F::wire_mass).value);
  needs.gas_ml += whole(1e3 * plan.total(F::gas_volume).value);
  needs.arc_ms += whole(1e3 * plan.total(F::arc_time).value);
}

void JobSummary::merge(const JobSummary& other) {
  windows_ += other.windows_;
  no_windows_ += other.no_windows_;
  errors_ += other.errors_;
  for (const auto& [label, count] : other.reasons_) reasons_[label] += count;
  for (const auto& [wire, more] : other.by_wire_) {
    Needs& needs = by_wire_[wire];
    needs.joints += more.joints;
    needs.wire_ug += more.wire_ug;
    needs.gas_ml += more.gas_ml;
    needs.arc_ms += more.arc_ms;
  }
}

std::string JobSummary::text(Units units) const {
  const auto all_joints = windows_ + no_windows_ + errors_;
  std::string out = fmt::format("{} joint{}: {} with a window, {} without, {} refused\n", all_joints,
                                all_joints == 1 ? "" : "s", windows_, no_windows_, errors_);
  std::vector<std::pair<std::string_view, std::int64_t>> reasons(reasons_.begin(), reasons_.end());
  std::stable_sort(reasons.begin(), reasons.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  if (!reasons.empty()) out += "no window because of\n";
  for (const auto& [label, count] : reasons) out += fmt::format("  {:<32}{:>10}\n", label, count);
  if (by_wire_.empty()) return out;
  const bool us = units == Units::us;
  constexpr double kg_per_lb = 0.45359237, m3_per_ft3 = 0.028316846592;
  const double kg = us ? 1 / kg_per_lb : 1, m3 = us ? 1 / m3_per_ft3 : 1;
  const auto line = [&](std::string_view name, const Needs& n) {
    out += fmt::format("  {:<32}{:>10}{:>12.2f}{:>12.2f}{:>12.2f}\n", name, n.joints,
                       1e-9 * kg * static_cast<double>(n.wire_ug), 1e-6 * m3 * static_cast<double>(n.gas_ml),
                       static_cast<double>(n.arc_ms) / 3.6e6);
  };
  out += fmt::format("  {:<32}{:>10}{:>12}{:>12}{:>12}\n", "needed for those with a window", "joints",
                     us ? "wire lb" : "wire kg", us ? "gas ft3" : "gas m3", "arc h");
  Needs all;
  for (const auto& [wire, n] : by_wire_) {
    line(fmt::format("{} {}", wire.first, length_text(wire.second, units)), n);
    all.joints += n.joints;
    all.wire_ug += n.wire_ug;
    all.gas_ml += n.gas_ml;
    all.arc_ms += n.arc_ms;
  }
  if (by_wire_.size() > 1) line("together", all);
  return out;
}

}  // namespace seamwright
