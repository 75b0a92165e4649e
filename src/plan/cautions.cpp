#include <algorithm>

#include "plan/plan_parts.hpp"

namespace seamwright {

std::vector<Caution> cautions_for(const Plan& plan) {
  double most_current_A = 0;
  for (const PassResult& pass : plan.passes) most_current_A = std::max(most_current_A, pass[F::current].high);
  return cautions_for(plan.resolved, most_current_A);
}

std::vector<Caution> cautions_for(const Case& c, double most_current_A) {
  const Catalog& catalog = *c.catalog;
  const auto chromium = [](const Composition& k) { return k[Element::Cr] > 5.0; };
  const bool aluminium = c.alloy->family == Family::aluminium;
  const auto applies_here = [&](std::string_view id) {
    if (id == "cr-vi") return chromium(c.wire->typical) || chromium(c.alloy->typical);
    if (id == "nickel-fume") return c.wire->typical[Element::Ni] > 5.0;
    if (id == "ozone") return aluminium || is_stainless(c.alloy->family);
    if (id == "copper-fume") return c.wire->typical[Element::Cu] > 5.0;
    if (id == "hot-service") return c.wire->typical[Element::Mg] > 3.0;
    if (id == "zinc") return c.alloy->id == "DX51D";
    if (id == "aluminium-fume") return aluminium;
    if (id == "short-arc-not-prequalified") return c.mode == Mode::short_arc && !aluminium;
    if (id == "filter-shade-low") return most_current_A > 0 && most_current_A < 60.0;
    if (id == "filter-shade") return most_current_A >= 60.0;
    return true;
  };
  std::vector<Caution> result;
  for (const Caution& caution : catalog.cautions)
    if (applies_here(caution.id)) result.push_back(caution);
  return result;
}

}  // namespace seamwright
