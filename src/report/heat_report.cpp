#include "report/report_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "settle/resolve.hpp"

namespace seamwright {

std::string refusal_words(const Refusal& r) {
  // "CET, %": the name, and its unit behind the comma.
  const std::size_t comma = r.quantity.find(", ");
  const std::string_view name = r.quantity.substr(0, comma);
  const std::string unit = comma == std::string_view::npos ? "" : fmt::format(" {}", r.quantity.substr(comma + 2));
  const auto bound = [&](double value) { return fmt::format("{:.4g}{}", value, unit); };
  std::string range;
  if (std::isfinite(r.range.low) && std::isfinite(r.range.high))
    range = fmt::format("{:.4g} to {}", r.range.low, bound(r.range.high));
  else if (std::isfinite(r.range.high))
    range = fmt::format("at most {}", bound(r.range.high));
  else if (std::isfinite(r.range.low))
    range = fmt::format("at least {}", bound(r.range.low));
  switch (r.reason) {
    case RefusalReason::outside:
      return fmt::format("not computed: {} is {}; the formula holds for {} and is not extrapolated", name,
                         bound(r.value), range);
    case RefusalReason::not_in_table:
      return fmt::format("not computed: {} is {}; the table covers {}", name, bound(r.value), range);
    case RefusalReason::no_solution:
      break;
  }
  return fmt::format("not reached: {} of {} is wanted, {} is possible", name, bound(r.value), range);
}

SourceIndex SectionBuilder::source_of_range(HeatRangeId id) const { return heat_range_source(catalog_, id); }

void warn_of_findings(Plan& plan) {
  for (const HeatSection& section : plan.heat)
    for (const HeatFinding& f : section.findings)
      if (f.beyond) plan.resolved.warnings.push_back({f.id, f.text, f.source});
}

HeatReport heat_report(const Plan& plan) {
  HeatReport report;
  ReportPasses passes;
  for (std::size_t i = 0; i < plan.passes.size(); ++i) {
    const PassResult& pass = plan.passes[i];
    const Setting& s = pass.window.band.best;
    const Case& welded = case_of(plan.resolved, i);
    const bool like_last = !passes.empty() && passes.back().welded == &welded &&
                           passes.back().result->pass.role == pass.pass.role &&
                           passes.back().result->window.band.best.wire_feed_m_per_min == s.wire_feed_m_per_min &&
                           passes.back().result->window.band.best.travel_mm_per_s == s.travel_mm_per_s;
    if (like_last) {
      passes.back().last = pass.pass.number;
      continue;
    }
    const PassContext& context = plan.contexts[i];
    passes.push_back(
        {&pass, &context, &welded, evaluate(context, nominal_values(context.constants), s), pass.pass.number});
  }
  if (passes.empty() || !plan.feasible) passes.clear();
  report_steel(plan, passes, report);
  report_stainless(plan, passes, report);
  report_overlay(plan, passes, report);
  report_aluminium(plan, passes, report);
  report_plate(plan, passes, report);
  report_start_end(plan, passes, report);
  return report;
}

}  // namespace seamwright
