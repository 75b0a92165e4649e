#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/plan_parts.hpp"
#include "seamwright/eye_filter.hpp"
#include "seamwright/heat_rules.hpp"
#include "settle/metal_parts.hpp"

namespace seamwright {
namespace {

// The text with every "{word}" replaced by its number.
std::string filled(std::string text, std::string_view word, double value) {
  for (std::size_t at = 0; (at = text.find(word, at)) != std::string::npos;)
    text.replace(at, word.size(), fmt::format("{:.4g}", value));
  return text;
}

}  // namespace

std::vector<Warning> cautions_for(const Plan& plan) {
  double most_current_A = 0;
  for (const PassResult& pass : plan.passes) most_current_A = std::max(most_current_A, pass[F::current].high);
  return cautions_for(plan.resolved, most_current_A);
}

std::vector<Warning> cautions_for(const Case& c, double most_current_A) {
  const Catalog& catalog = *c.catalog;
  // Rounded up, so that the shade named is never that of a smaller current.
  most_current_A = std::ceil(most_current_A);
  const auto shade = least_filter_shade(catalog.filter_shades, most_current_A);
  const double table_end_A = shade ? most_current_A : shade.refusal().range.high;
  const double last_shade = shade ? *shade : *least_filter_shade(catalog.filter_shades, table_end_A);

  const auto more_than = [&](const Composition& k, Element e, HeatRangeId range) {
    return k[e] > heat_range(catalog, range).high;
  };
  const auto chromium = [&](const Composition& k) { return more_than(k, Element::Cr, "caution-chromium"); };
  const std::vector<const Case*> processes = processes_of(c);
  const auto any_wire = [&](const auto& is) {
    return std::ranges::any_of(processes, [&](const Case* process) { return is(process->wire->typical); });
  };
  const bool aluminium = c.alloy->family == Family::aluminium;
  const auto wire_has = [&](Element e, HeatRangeId range) {
    return any_wire([&](const Composition& k) { return more_than(k, e, range); });
  };
  const bool any_short_arc =
      std::ranges::any_of(processes, [](const Case* process) { return process->mode == Mode::short_arc; });
  const auto applies_here = [&](std::string_view id) {
    if (id == "cr-vi")
      return any_wire(chromium) || chromium(c.alloy->typical) || (c.alloy2 && chromium(c.alloy2->typical));
    if (id == "nickel-fume") return wire_has(Element::Ni, "caution-nickel");
    if (id == "ozone")
      return aluminium || is_stainless(c.alloy->family) || (c.alloy2 && is_stainless(c.alloy2->family));
    if (id == "copper-fume") return wire_has(Element::Cu, "caution-copper");
    if (id == "hot-service") return wire_has(Element::Mg, "filler-service-magnesium");
    if (id == "zinc") return is_zinc_coated(*c.alloy) || (c.alloy2 && is_zinc_coated(*c.alloy2));
    if (id == "aluminium-fume") return aluminium;
    if (id == "short-arc-not-prequalified") return any_short_arc && !aluminium;
    if (id == "filter-shade") return most_current_A > 0 && shade;
    if (id == "filter-shade-beyond") return most_current_A > 0 && !shade;
    return true;
  };
  std::vector<Warning> result;
  for (const Caution& caution : catalog.cautions) {
    if (!applies_here(caution.id)) continue;
    std::string text(caution.text);
    text = filled(std::move(text), "{chromium}", heat_range(catalog, "exposure-chromium").high);
    text = filled(std::move(text), "{current}", most_current_A);
    text = filled(std::move(text), "{shade}", last_shade);
    text = filled(std::move(text), "{table_end}", table_end_A);
    result.push_back({caution.id, std::move(text), caution.source});
  }
  return result;
}

}  // namespace seamwright
