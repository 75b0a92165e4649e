// A plan with its heat report, and what stands in them, for the tests of both.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"

namespace seamwright {

// What a joint is given, and more.
using Keys = std::vector<Assignment>;
inline Keys with(Keys keys, const Keys& more) {
  keys.insert(keys.end(), more.begin(), more.end());
  return keys;
}

inline Plan plan_of(const std::string& example, const std::vector<Assignment>& set = {}) {
  const auto joint =
      read_joint(example.empty() ? "" : SEAMWRIGHT_EXAMPLE_DIR "/" + example + ".toml", set, builtin_catalog());
  REQUIRE(static_cast<bool>(joint));
  PlanOptions options;
  options.detail = WindowDetail::band;
  options.suggestions = options.uncertainties = false;
  const auto plan = make_plan(*joint, nullptr, builtin_catalog(), options);
  REQUIRE(static_cast<bool>(plan));
  return *plan;
}

inline const HeatSection* section(const Plan& plan, std::string_view key) {
  for (const HeatSection& s : plan.heat)
    if (s.key == key) return &s;
  return nullptr;
}

inline const HeatItem& item(const Plan& plan, std::string_view section_key, std::string_view key, int pass = 0) {
  const HeatSection* s = section(plan, section_key);
  REQUIRE(s != nullptr);
  for (const HeatItem& i : s->items)
    if (i.key == key && (pass == 0 || i.pass == pass)) return i;
  FAIL("no item ", std::string(key));
  return s->items.front();
}

inline bool found(const Plan& plan, std::string_view section_key, std::string_view id) {
  const HeatSection* s = section(plan, section_key);
  return s != nullptr &&
         std::any_of(s->findings.begin(), s->findings.end(), [&](const HeatFinding& f) { return f.id == id; });
}

inline bool warned(const Plan& plan, std::string_view id) {
  return std::any_of(plan.resolved.warnings.begin(), plan.resolved.warnings.end(),
                     [&](const Warning& w) { return w.id == id; });
}

inline bool cautioned(const Plan& plan, std::string_view words) {
  return std::any_of(plan.cautions.begin(), plan.cautions.end(),
                     [&](const Warning& c) { return c.text.find(words) != std::string::npos; });
}

}  // namespace seamwright
