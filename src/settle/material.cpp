// Which base metal a joint is planned with: a grade, the alloy that stands for a group, or the one nearest to an
// analysis.
#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "seamwright/heat_rules.hpp"
#include "settle/metal_parts.hpp"
#include "settle/settle_parts.hpp"

namespace seamwright {
namespace {

using Analysis = std::vector<std::pair<Element, double>>;

// The element that an alloy of the family consists of, which its analysis seldom states.
Element base_element(Family family) {
  switch (family) {
    case Family::aluminium:
      return Element::Al;
    case Family::nickel:
      return Element::Ni;
    case Family::copper:
      return Element::Cu;
    case Family::carbon_steel:
    case Family::austenitic:
    case Family::duplex:
    case Family::super_duplex:
    case Family::ferritic:
      break;
  }
  return Element::Fe;
}

// Half-width of an element about a typical heat, %: by element, else a share of what the grade has, never below what
// heats pick up from scrap.
double half_width(const Catalog& catalog, Element e, double percent) {
  const std::string own = "heat-spread-" + std::string(element_symbol(e));
  if (const HeatRange* row = find_heat_range(catalog, HeatRangeId::made_of(own))) return row->high;
  return std::max(heat_range(catalog, "analysis-share").high * percent, heat_range(catalog, "analysis-trace").high);
}

// How far an analysis lies from a typical heat: root mean square over the elements that tell them apart, in
// half-widths of a heat about its grade. An element of the grade that the analysis does not state counts as one
// half-width off.
double distance(const Catalog& catalog, const Analysis& analysis, const Alloy& alloy) {
  std::array<double, element_count> given{};
  std::array<bool, element_count> stated{};
  for (const auto& [element, percent] : analysis) {
    given[static_cast<std::size_t>(element)] = percent;
    stated[static_cast<std::size_t>(element)] = true;
  }
  const Element base = base_element(alloy.family);
  const double main_from = heat_range(catalog, "analysis-main-element").low;
  double sum = 0, count = 0;
  for (std::size_t i = 0; i < element_count; ++i) {
    const auto e = static_cast<Element>(i);
    if (e == base || e == Element::P || e == Element::S) continue;
    const double typical = alloy.typical[e];
    if (!stated[i] && typical < main_from) continue;
    const double off = stated[i] ? (given[i] - typical) / half_width(catalog, e, std::max(given[i], typical)) : 1;
    sum += off * off;
    ++count;
  }
  return count > 0 ? std::sqrt(sum / count) : 0;
}

void nearest_alloy(Case& c, Diagnostics& errors) {
  const Catalog& catalog = *c.catalog;
  double least = unbounded;
  for (const Alloy& alloy : catalog.alloys) {
    const double off = distance(catalog, c.joint.composition, alloy);
    if (off >= least) continue;
    least = off;
    c.alloy = &alloy;
  }
  const double far = heat_range(catalog, "analysis-far").high;
  if (c.alloy == nullptr || least > far) {
    errors.push_back(wrong(c.joint.alloy, "no alloy of the catalog is near the analysis in material.composition",
                           "give material.alloy, or its ISO/TR 15608 group: \"group 1.2\""));
    return;
  }
  choose(c, [&]() -> Choice {
    return {"material.alloy", std::string(c.alloy->id),
            fmt::format("the grade nearest to the analysis; planned with {}", composition_words(c, *c.alloy)),
            heat_range_source(catalog, "analysis-far")};
  });
}

// Says which alloy stands for a group.
void group_choice(Case& c, std::string_view key, const std::string& name, const Alloy& alloy) {
  const MaterialGroup* group = find_material_group(*c.catalog, name);
  if (group == nullptr) return;
  choose(c, [&]() -> Choice {
    return {std::string(key), std::string(alloy.id),
            fmt::format("stands for {} of ISO/TR 15608, {}", group->id, group->text), group->source};
  });
}

}  // namespace

void resolve_material(Case& c, Diagnostics& errors) {
  const Joint& j = c.joint;
  c.alloy = j.alloy ? find_alloy(*c.catalog, *j.alloy) : nullptr;
  c.alloy2 = j.alloy2 ? find_alloy(*c.catalog, *j.alloy2) : nullptr;
  if (j.alloy)
    group_choice(c, "material.alloy", *j.alloy, *c.alloy);
  else
    nearest_alloy(c, errors);
  if (!errors.empty()) return;
  if (j.alloy2) group_choice(c, "material.alloy2", *j.alloy2, *c.alloy2);
  c.metal = find_metal(*c.catalog, c.alloy->metal);
  if (c.alloy2 == nullptr || (c.alloy->family == Family::aluminium) == (c.alloy2->family == Family::aluminium)) return;
  errors.push_back(wrong(j.alloy2,
                         fmt::format("{} and {} cannot be welded to each other: aluminium forms brittle compounds with "
                                     "every other metal",
                                     c.alloy->id, c.alloy2->id),
                         "join them by bolts, rivets or adhesive, or through an explosion-bonded transition piece"));
}

}  // namespace seamwright
