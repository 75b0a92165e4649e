// What the sections of the heat report share.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "seamwright/checked.hpp"
#include "seamwright/plan.hpp"
#include "settle/metal_parts.hpp"

namespace seamwright {

// "CET is 0.52 %, outside 0.2 to 0.5 %: not extrapolated"
[[nodiscard]] std::string refusal_words(const Refusal& refusal);

// A pass that differs from the one before it, with its setting evaluated; the passes alike that follow it share it.
struct ReportPass {
  const PassResult* result = nullptr;
  const PassContext* context = nullptr;
  const Case* welded = nullptr;  // by which process
  FieldValues at{};
  int last = 0;  // number of the last pass like it
};

class SectionBuilder {
 public:
  SectionBuilder(const Catalog& catalog, std::string_view key, std::string_view title) : catalog_(catalog) {
    section_.key = key;
    section_.title = title;
  }
  // The item is returned to be completed (note, pass, range) before the next one is added.
  HeatItem& words(std::string key, std::string label, std::string note) {
    HeatItem& out = section_.items.emplace_back();
    out.key = std::move(key);
    out.label = std::move(label);
    out.note = std::move(note);
    return out;
  }
  HeatItem& number(std::string key, std::string label, double value, F like) {
    HeatItem& out = words(std::move(key), std::move(label), {});
    out.value = value;
    out.like = like;
    return out;
  }
  HeatItem& number(std::string key, std::string label, double value, std::string_view unit, int decimals) {
    HeatItem& out = number(std::move(key), std::move(label), value, F::count);
    out.unit = unit;
    out.decimals = decimals;
    return out;
  }
  // The number, or why there is none.
  HeatItem& checked(std::string key, std::string label, const Checked<double>& result, F like, std::string note) {
    HeatItem& out = number(std::move(key), std::move(label), result ? *result : not_applicable, like);
    out.note = result ? std::move(note) : refusal_words(result.refusal());
    return out;
  }
  void finding(std::string_view id, std::string text, SourceIndex source = 0) {
    add({id, std::move(text), source, false}, {});
  }
  void warning(std::string_view id, std::string text, SourceIndex source = 0) {
    add({id, std::move(text), source, true}, {});
  }
  // Of a pass, whose number comes before the text; said once for all passes of which it is true.
  void pass_finding(const ReportPass& pass, HeatFinding finding) {
    add(std::move(finding), {{pass.result->pass.number, pass.last}});
  }
  // Source of a range of the catalog.
  [[nodiscard]] SourceIndex source_of_range(HeatRangeId id) const;
  // What concerns the whole joint first, then pass by pass.
  [[nodiscard]] HeatSection take() {
    std::stable_sort(section_.items.begin(), section_.items.end(),
                     [](const HeatItem& a, const HeatItem& b) { return a.pass < b.pass; });
    for (std::size_t i = 0; i < section_.findings.size(); ++i)
      if (!passes_[i].empty()) section_.findings[i].text = passes_words(passes_[i]) + ": " + section_.findings[i].text;
    return std::move(section_);
  }

 private:
  struct Span {
    int first = 0, last = 0;
  };
  const Catalog& catalog_;
  HeatSection section_;
  std::vector<std::vector<Span>> passes_;  // of each finding

  void add(HeatFinding finding, const std::vector<Span>& passes) {
    for (std::size_t i = 0; i < section_.findings.size(); ++i)
      if (section_.findings[i].id == finding.id && section_.findings[i].text == finding.text) {
        passes_[i].insert(passes_[i].end(), passes.begin(), passes.end());
        return;
      }
    section_.findings.push_back(std::move(finding));
    passes_.push_back(passes);
  }
  // "Pass 1", "Passes 1, 3-5"
  static std::string passes_words(const std::vector<Span>& passes) {
    std::string list;
    for (std::size_t i = 0; i < passes.size();) {
      const int first = passes[i].first;
      int last = passes[i].last;
      for (++i; i < passes.size() && passes[i].first == last + 1; ++i) last = passes[i].last;
      list += list.empty() ? "" : ", ";
      list += first == last ? fmt::format("{}", first) : fmt::format("{}-{}", first, last);
    }
    return (passes.size() == 1 && passes.front().first == passes.front().last ? "Pass " : "Passes ") + list;
  }
};

// The preheat that the rules ask for in carbon and low-alloy steel at the minimum heat input of the passes, degC, and
// the rule that asks for most; not above any temperature where nothing asks (another metal, no hydrogen known).
struct PreheatNeed {
  double temperature_C = -unbounded;
  std::string_view by;
  SourceIndex source = 0;
};
[[nodiscard]] PreheatNeed preheat_need(const Case& resolved, double least_heat_input_kJ_per_mm);

using ReportPasses = std::vector<ReportPass>;
void report_steel(const Plan& plan, const ReportPasses& passes, HeatReport& report);
void report_stainless(const Plan& plan, const ReportPasses& passes, HeatReport& report);
void report_overlay(const Plan& plan, const ReportPasses& passes, HeatReport& report);
void report_aluminium(const Plan& plan, const ReportPasses& passes, HeatReport& report);
// The usual range of a setting at start or end, for an alloy and the thinner thickness; null: none is known.
[[nodiscard]] const StartEndRow* start_end_row(const Catalog& catalog, std::string_view setting, const Alloy& alloy,
                                               double thickness_mm);
void report_start_end(const Plan& plan, const ReportPasses& passes, HeatReport& report);
void report_plate(const Plan& plan, const ReportPasses& passes, HeatReport& report);

}  // namespace seamwright
