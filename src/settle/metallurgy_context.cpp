// The metal side of a pass: compositions worked into plain numbers, and the spread of the formulas.
#include <algorithm>
#include <cmath>
#include <numeric>
#include <string_view>
#include <vector>

#include "seamwright/heat_rules.hpp"
#include "settle/metal_parts.hpp"
#include "settle/resolve.hpp"

namespace seamwright {

std::optional<CoolingJoint> cooling_joint(JointType type) {
  switch (type) {
    case JointType::fillet:
    case JointType::lap:
      return CoolingJoint::tee;
    case JointType::corner:
      return CoolingJoint::corner;
    case JointType::butt:
    case JointType::pipe_butt:
      return CoolingJoint::butt;
    case JointType::overlay:
      return CoolingJoint::plate;
    case JointType::edge:
      break;
  }
  return std::nullopt;
}

Composition composition_of(const Case& c, const Alloy& alloy) {
  Composition used = alloy.typical;
  if (&alloy == c.alloy)
    for (const auto& [element, percent] : c.joint.composition) used[element] = percent;
  return used;
}

std::string composition_words(const Case& c, const Alloy& alloy) {
  const auto& given = c.joint.composition;
  if (&alloy != c.alloy || given.empty()) return "typical heat";
  std::vector<std::string_view> left_out;
  for (std::size_t i = 0; i < element_count; ++i)
    if (const auto e = static_cast<Element>(i);
        alloy.typical[e] > 0 && std::none_of(given.begin(), given.end(), [&](const auto& g) { return g.first == e; }))
      left_out.push_back(element_symbol(e));
  if (left_out.empty()) return "the analysis given";
  std::string list(left_out.front());
  for (std::size_t i = 1; i < left_out.size(); ++i) (list += i + 1 < left_out.size() ? ", " : " and ") += left_out[i];
  return "the analysis given, with " + list + " of the typical heat";
}

boost::container::static_vector<const Alloy*, 2> alloys_of(const Case& c) {
  if (c.alloy2 == nullptr || c.alloy2 == c.alloy) return {c.alloy};
  return {c.alloy, c.alloy2};
}

const Alloy* hardening_alloy(const Case& c) {
  const Alloy* found = nullptr;
  for (const Alloy* alloy : alloys_of(c)) {
    if (alloy->family != Family::carbon_steel) continue;
    if (found == nullptr ||
        carbon_equivalent_cet(composition_of(c, *alloy)) > carbon_equivalent_cet(composition_of(c, *found)))
      found = alloy;
  }
  return found;
}

const Alloy& interpass_alloy(const Case& c) {
  const Alloy* strictest = c.alloy;
  for (const Alloy* alloy : alloys_of(c)) {
    const double own = alloy->interpass_max_C.value, least = strictest->interpass_max_C.value;
    if (own > 0 && (least <= 0 || own < least)) strictest = alloy;
  }
  return *strictest;
}

Composition base_mixture(const Case& c) {
  const auto alloys = alloys_of(c);
  return mix(composition_of(c, *alloys.front()), composition_of(c, *alloys.back()), 0.5, {}, 0);
}

void add_overlay_iron(const Case& c, PassContext& pass) {
  // Iron is what an analysis leaves over, in every metal based on it.
  const auto iron = [](const Composition& metal, bool iron_based) {
    return iron_based ? 100 - std::accumulate(metal.percent.begin(), metal.percent.end(), -metal[Element::Fe])
                      : metal[Element::Fe];
  };
  const WireMetal lays = wire_metal(*c.wire);
  if (c.alloy->family == Family::aluminium || c.alloy->family == Family::nickel || c.alloy->family == Family::copper ||
      lays == WireMetal::steel)
    return;
  pass.deposit.iron_wire_percent = iron(c.wire->typical, lays == WireMetal::stainless || lays == WireMetal::duplex);
  pass.deposit.iron_base_percent = iron(base_mixture(c), true);
}

SourceIndex composition_source(const Case& c) {
  SourceIndex weakest = c.wire->typical.source;
  for (const Alloy* alloy : alloys_of(c))
    if (source_of(*c.catalog, alloy->typical.source).kind > source_of(*c.catalog, weakest).kind)
      weakest = alloy->typical.source;
  return weakest;
}

std::optional<FillerQuestion> filler_question(const Case& c) {
  const auto alloys = alloys_of(c);
  const auto kind = aluminium_kind_of_group(alloys.front()->group),
             kind2 = aluminium_kind_of_group(alloys.back()->group);
  if (!kind || !kind2) return std::nullopt;
  FillerQuestion question{.kind = *kind,
                          .kind2 = *kind2,
                          .magnesium_percent = composition_of(c, *alloys.front())[Element::Mg],
                          .magnesium2_percent = composition_of(c, *alloys.back())[Element::Mg]};
  if (c.joint.service_C) question.service_C = *c.joint.service_C;
  if (c.joint.anodised && *c.joint.anodised) question.aim = FillerAim::colour_match;
  return question;
}

SourceIndex heat_range_source(const Catalog& catalog, HeatRangeId id) {
  const HeatRange* range = find_heat_range(catalog, id);
  return range == nullptr ? SourceIndex{0} : range->source;
}

const GradePreheatRow* grade_preheat(const Case& c) {
  const GradePreheatRow* most = nullptr;
  const double t = plate_thickness_mm(c);
  const auto& rows = c.catalog->grade_preheat;
  for (const Alloy* alloy : alloys_of(c)) {
    // Rows of a grade's own stand in place of its group's.
    const bool own = std::ranges::find(rows, alloy->id, &GradePreheatRow::applies_to) != rows.end();
    for (const GradePreheatRow& row : rows) {
      const bool here = row.applies_to == (own ? alloy->id : alloy->group) && t > row.over_mm && t <= row.to_mm;
      if (here && (most == nullptr || row.preheat_C > most->preheat_C)) most = &row;
    }
  }
  return most;
}

double plate_thickness_mm(const Case& c) { return std::max(c.section.thickness_mm, c.thickness2_mm); }

namespace {

Constant spread(const Catalog& catalog, double value, HeatRangeId id) {
  const HeatRange* range = find_heat_range(catalog, id);
  return range == nullptr ? Constant{value, 0, 0} : Constant{value, range->high, range->source};
}

SteelSide steel_side(const Case& c, const Alloy& alloy, const CoolingFactors& factors) {
  const Catalog& catalog = *c.catalog;
  const Composition steel = composition_of(c, alloy);
  const double d = plate_thickness_mm(c);
  SteelSide out;
  out.present = true;
  // Both forms are powers of the heat input: one at 1 kJ/mm carries the rest.
  const bool cold_enough = cooling_limits(catalog).preheat_C.contains(c.preheat_C);
  out.thick_s_mm_per_kJ = cold_enough ? cooling_time_8_5_thick_s(1, c.preheat_C, factors.f3) : not_applicable;
  out.thin_s_mm2_per_kJ2 = cold_enough ? cooling_time_8_5_thin_s(1, c.preheat_C, d, 1) : not_applicable;
  out.carbon_equivalent_percent = carbon_equivalent_iiw(steel);
  out.cet_percent = carbon_equivalent_cet(steel);
  const HardnessLimits limits = hardness_limits(catalog);
  out.hardness_known = cold_enough && !composition_outside(steel, limits.composition, "hardness");
  out.hardness = hardness_curve(steel);
  out.cooling_time_s = limits.cooling_time_s;
  return out;
}

StainlessWeld stainless_weld(const Case& c) {
  const Catalog& catalog = *c.catalog;
  const Composition& filler = c.wire->typical;
  const Composition base = base_mixture(c);
  StainlessWeld out;
  out.present = true;
  out.pitting_filler = pitting_resistance(filler);
  out.pitting_base = pitting_resistance(base);
  const bool duplex = wire_metal(*c.wire) == WireMetal::duplex;
  // Nickel fillers make no ferrite, ferritic ones nothing else.
  if (!duplex && (wire_metal(*c.wire) != WireMetal::stainless || is_ferritic(catalog, *c.wire))) return out;
  out.rule = duplex ? FerriteRule::duplex : FerriteRule::austenitic;
  const auto equivalents = duplex ? equivalents_wrc1992 : equivalents_hammar_svensson;
  out.filler = equivalents(filler);
  out.base = equivalents(base);
  out.limits = duplex ? ferrite_duplex_limits(catalog) : ferrite_austenitic_limits(catalog);
  if (const double diagram = spread(catalog, 0, "ferrite-duplex-spread").half_width_90; duplex && diagram > 0)
    out.extrapolated_factor =
        std::hypot(diagram, spread(catalog, 0, "ferrite-extrapolated-spread").half_width_90) / diagram;
  return out;
}

}  // namespace

void add_metallurgy(const Case& c, PassContext& p) {
  const Catalog& catalog = *c.catalog;
  const auto set = [&](K id, const Constant& value) { p.constants[static_cast<std::size_t>(id)] = value; };
  set(K::cooling_law, spread(catalog, 1, "cooling-spread"));
  set(K::cooling_f2, {1, 0, 0});
  set(K::hardness_law, spread(catalog, 0, "hardness-spread"));
  const bool duplex_filler = wire_metal(*c.wire) == WireMetal::duplex;
  set(K::ferrite_law,
      spread(catalog, 0,
             duplex_filler ? HeatRangeId("ferrite-duplex-spread") : HeatRangeId("ferrite-austenitic-spread")));

  const auto joint = cooling_joint(c.section.type);
  if (const Alloy* steel = hardening_alloy(c); steel != nullptr && joint) {
    const CoolingFactors factors = cooling_factors(catalog, *joint);
    const HeatRange* range = find_heat_range(catalog, "cooling-preheat");
    set(K::cooling_f2, {std::midpoint(factors.f2.low, factors.f2.high), 0.5 * (factors.f2.high - factors.f2.low),
                        range == nullptr ? SourceIndex{0} : range->source});
    p.metallurgy.steel = steel_side(c, *steel, factors);
  }
  const auto alloys = alloys_of(c);
  const bool stainless =
      std::any_of(alloys.begin(), alloys.end(), [](const Alloy* alloy) { return is_stainless(alloy->family); });
  if (stainless || wire_metal(*c.wire) == WireMetal::stainless || is_duplex(c.alloy->family) || duplex_filler)
    p.metallurgy.stainless = stainless_weld(c);
}

}  // namespace seamwright
