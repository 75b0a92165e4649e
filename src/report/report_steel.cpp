// Carbon and low-alloy steel: carbon equivalents, preheat, cooling time and hardness.
#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <span>

#include "report/report_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

// Two estimates further apart than this share are both shown.
constexpr double worth_showing = 0.05;

struct Basis {
  std::string key, words;
  Composition steel;
  bool given = false;
};

// The composition the plan uses, and the worst the grade allows where the catalog knows it.
std::vector<Basis> bases(const Case& c, const Alloy& alloy) {
  const bool given = &alloy == c.alloy && !c.joint.composition.empty();
  std::vector<Basis> out;
  out.push_back({"", fmt::format("{}, {}", alloy.id, composition_words(c, alloy)), composition_of(c, alloy), given});
  if (!given && alloy.maximum[Element::C] > 0)
    out.push_back({"_maximum", fmt::format("{}, every element at the grade's maximum", alloy.id), alloy.maximum});
  return out;
}

// An analysis that its own grade would not allow.
void above_maximum(const Case& c, const Alloy& alloy, SectionBuilder& b) {
  const Composition steel = composition_of(c, alloy);
  std::string elements;
  for (std::size_t i = 0; i < element_count; ++i)
    if (const auto e = static_cast<Element>(i); alloy.maximum[e] > 0 && steel[e] > alloy.maximum[e])
      elements += fmt::format("{}{} {:.4g} %, at most {:.4g} %", elements.empty() ? "" : "; ", element_symbol(e),
                              steel[e], alloy.maximum[e]);
  if (!elements.empty())
    b.warning("analysis-above-grade", fmt::format("The analysis given is not {}: {}.", alloy.id, elements),
              alloy.maximum.source);
  const Constant& most = alloy.carbon_equivalent_max_percent;
  const double ce = carbon_equivalent_iiw(steel);
  if (most.value > 0 && ce > most.value)
    b.warning("carbon-equivalent-above-grade",
              fmt::format("CE (IIW) of {:.2f} % is more than the {:.2f} % that {} may have.", ce, most.value, alloy.id),
              most.source);
}

void equivalents(const Case& c, const Alloy& alloy, const std::vector<Basis>& all, SectionBuilder& b) {
  struct Equivalent {
    std::string_view key, label;
    double (*formula)(const Composition&);
  };
  constexpr Equivalent equivalents[] = {{"carbon_equivalent", "CE (IIW)", carbon_equivalent_iiw},
                                        {"cet", "CET", carbon_equivalent_cet},
                                        {"pcm", "Pcm", carbon_equivalent_pcm},
                                        {"cen", "CEN", carbon_equivalent_cen}};
  for (const Basis& basis : all)
    for (const Equivalent& e : equivalents) {
      HeatItem& item =
          b.number(fmt::format("{}{}", e.key, basis.key), std::string(e.label), e.formula(basis.steel), "%", 3);
      item.note = basis.words;
      item.source = basis.given ? SourceIndex{0} : basis.steel.source;
    }
  if (alloy.carbon_equivalent_max_percent.value > 0) {
    const SourceIndex source = alloy.carbon_equivalent_max_percent.source;
    HeatItem& item = b.number("carbon_equivalent_limit", "CE (IIW), maximum allowed for the grade",
                              alloy.carbon_equivalent_max_percent.value, "%", 3);
    item.note = fmt::format("{}; {}", alloy.id, source_of(*c.catalog, source).title);
    item.source = source;
  }
  if (all.size() > 1)
    b.finding("composition-assumed",
              "The steel's analysis is not given. The maxima cannot all be met at once, so the second set is too "
              "severe; take the analysis from the certificate (material.composition).");
  above_maximum(c, alloy, b);
}

// Letter of the hydrogen scale of EN 1011-2: A for the most. The table's own bounds, highest first.
char hydrogen_scale(std::span<const NoPreheatRow> table, double hydrogen) {
  std::set<double> bounds;
  for (const NoPreheatRow& row : table)
    if (row.hydrogen_over_ml_per_100g > 0) bounds.insert(row.hydrogen_over_ml_per_100g);
  return static_cast<char>(
      'A' + std::count_if(bounds.begin(), bounds.end(), [hydrogen](double bound) { return hydrogen <= bound; }));
}

struct PreheatQuestion {
  double thickness_mm = 0, combined_mm = 0, heat_kJ_per_mm = 0, hydrogen = 0;
  int pass = 1;  // the one of the minimum heat input
  bool single_fillet = false;
};

// What asks for the highest temperature so far.
struct Needed {
  double temperature_C = -unbounded;
  std::string_view by;
  SourceIndex source = 0;
  void ask(double wanted_C, std::string_view rule, SourceIndex whose) {
    if (wanted_C > temperature_C) *this = {wanted_C, rule, whose};
  }
  void ask(const GradePreheatRow& row) { ask(row.preheat_C, row.rule, row.source); }
};

double combined_of(const Case& c) {
  const bool tee = c.section.type == JointType::fillet || c.section.type == JointType::lap;
  return combined_thickness_mm(tee ? CombinedJoint::tee : CombinedJoint::butt, c.section.thickness_mm, c.thickness2_mm);
}

// The rules that ask for a temperature in figures: CET of EN 1011-2 for the composition in use, the table of AWS D1.1,
// and the least temperature of a plate.
Needed needed_preheat(const Case& c, const Alloy& alloy, const PreheatQuestion& q) {
  const Catalog& catalog = *c.catalog;
  const Composition steel = composition_of(c, alloy);
  Needed needed;
  const CetPreheatLimits limits = cet_preheat_limits(catalog);
  const double cet = carbon_equivalent_cet(steel);
  const bool steel_filler = wire_metal(*c.wire) == WireMetal::steel;
  const double governing =
      steel_filler ? governing_cet_percent(cet, carbon_equivalent_cet(c.wire->typical), limits) : cet;
  if (!composition_outside(steel, catalog.composition_limits, "cet"))
    if (const auto by_cet = preheat_by_cet_C({governing, q.thickness_mm, q.hydrogen, q.heat_kJ_per_mm}, limits))
      needed.ask(*by_cet, "The CET formula", heat_range_source(catalog, "cet-preheat-cet"));
  if (const auto minimum = minimum_preheat_C(catalog.minimum_preheat, PreheatCategory::b, q.thickness_mm);
      minimum && !catalog.minimum_preheat.empty())
    needed.ask(*minimum, "AWS D1.1", catalog.minimum_preheat.front().source);
  needed.ask(least_temperature_C(steel[Element::C], q.thickness_mm, least_temperature(catalog)),
             "A navy fabrication standard", heat_range_source(catalog, "navy-least-temperature"));
  if (const GradePreheatRow* row = grade_preheat(c)) needed.ask(*row);
  return needed;
}

void grade_item(const GradePreheatRow& row, SectionBuilder& b) {
  HeatItem& item = b.number("preheat_grade", "preheat of the grade", row.preheat_C, F::preheat);
  item.note = fmt::format("{}, {}{}", row.rule, row.applies_to,
                          row.over_mm > 0 ? fmt::format(" over {:.4g} mm", row.over_mm) : "");
  item.source = row.source;
}

PreheatQuestion preheat_question(const Case& c, double heat_kJ_per_mm, int pass, bool one_pass) {
  const double hydrogen =
      c.joint.hydrogen_ml_per_100g ? *c.joint.hydrogen_ml_per_100g : c.wire->hydrogen_ml_per_100g.value;
  const bool fillet = c.section.type == JointType::fillet || c.section.type == JointType::lap;
  return {plate_thickness_mm(c), combined_of(c), heat_kJ_per_mm, hydrogen, pass, fillet && one_pass};
}

// More than the plan has. A few degrees above a shop whose temperature is not known better are no preheat.
void preheat_finding(const Case& c, const Needed& needed, SectionBuilder& b) {
  const Constant& ambient = c.catalog->limits->ambient_C;
  constexpr double rounding_C = 0.5;
  if (needed.temperature_C <= c.preheat_C + rounding_C || needed.temperature_C <= ambient.value) return;
  if (!c.joint.preheat_C && needed.temperature_C <= ambient.value + ambient.half_width_90) {
    b.finding("preheat-warm",
              fmt::format("{} asks for {:.0f} degC, the plan assumes a plate at {:.0f} degC: see that it is dry and at "
                          "least that warm where it is welded.",
                          needed.by, needed.temperature_C, c.preheat_C),
              needed.source);
    return;
  }
  b.warning("preheat-missing",
            fmt::format("{} asks for a preheat of {:.0f} degC, the plan has {:.0f} degC: set material.preheat, which "
                        "also changes the "
                        "pool and t8/5.",
                        needed.by, needed.temperature_C, c.preheat_C),
            needed.source);
}

// The preheats that can be computed; the greatest for the composition in use counts.
void preheats(const Plan& plan, const Alloy& alloy, const std::vector<Basis>& all, const PreheatQuestion& q,
              SectionBuilder& b) {
  const Case& c = plan.resolved;
  const Catalog& catalog = *c.catalog;
  const CetPreheatLimits limits = cet_preheat_limits(catalog);
  const bool steel_filler = wire_metal(*c.wire) == WireMetal::steel;
  b.number("hydrogen", "hydrogen of the weld metal", q.hydrogen, "ml/100g", 1).note = fmt::format(
      "{}; scale {} of EN 1011-2", c.joint.hydrogen_ml_per_100g ? "as given" : fmt::format("usual of {}", c.wire->id),
      hydrogen_scale(catalog.no_preheat, q.hydrogen));
  double needed_by_cet = -unbounded;
  for (const Basis& basis : all) {
    const double cet = carbon_equivalent_cet(basis.steel);
    const double governing =
        steel_filler ? governing_cet_percent(cet, carbon_equivalent_cet(c.wire->typical), limits) : cet;
    const auto outside = composition_outside(basis.steel, catalog.composition_limits, "cet");
    const Checked<double> preheat =
        outside ? Checked<double>(*outside)
                : preheat_by_cet_C({governing, q.thickness_mm, q.hydrogen, q.heat_kJ_per_mm}, limits);
    HeatItem& item = b.checked(
        "preheat_cet" + basis.key, "preheat by CET", preheat, F::preheat,
        fmt::format("{}; CET {:.3f} %{}, {:.4g} mm, {:.2f} kJ/mm (pass {}). EN 1011-2 method B", basis.words, governing,
                    governing > cet ? " (weld metal governs)" : "", q.thickness_mm, q.heat_kJ_per_mm, q.pass));
    item.source = b.source_of_range("cet-preheat-cet");
    if (preheat && *preheat < catalog.limits->ambient_C.value) item.note = "none needed: " + item.note;
    if (preheat && basis.key.empty()) needed_by_cet = *preheat;
  }
  const auto ce_outside = composition_outside(all.front().steel, catalog.composition_limits, "ce");
  const auto by_table = [&](double ce) {
    const auto outside = first_refusal(ce_outside, refuse_outside("CE, %", ce, heat_range(catalog, "ce-preheat-ce")));
    return outside ? Checked<double>(*outside)
                   : no_preheat_thickness_mm(catalog.no_preheat, ce, q.hydrogen, q.heat_kJ_per_mm);
  };
  const auto add_table = [&](std::string key, std::string_view whose, double ce, const Checked<double>& limit) {
    HeatItem& table = b.checked(
        std::move(key), "combined thickness weldable without preheat", limit, F::bead_width,
        fmt::format(
            "CE {:.2f} %, {}; this joint has {:.4g} mm: {}. EN 1011-2 table C.1, next worse row of CE, hydrogen "
            "and heat input",
            ce, whose, q.combined_mm,
            limit && q.combined_mm <= *limit ? "no preheat by this table" : "preheat by this table"));
    if (!catalog.no_preheat.empty()) table.source = catalog.no_preheat.front().source;
  };
  const double ce = carbon_equivalent_iiw(all.front().steel);
  add_table("no_preheat_thickness", all.front().words, ce, by_table(ce));
  const double most = alloy.carbon_equivalent_max_percent.value;
  if (!all.front().given && most > 0)
    if (const auto limit = by_table(most))
      add_table("no_preheat_thickness_maximum", fmt::format("the most {} may have", alloy.id), most, limit);

  const auto minimum = minimum_preheat_C(catalog.minimum_preheat, PreheatCategory::b, q.thickness_mm);
  HeatItem& aws = b.checked("preheat_d1_1", "AWS D1.1 minimum", minimum, F::preheat,
                            "prequalified minimum by thickness, category B; 0 degC means: warm to 20 degC when colder");
  if (!catalog.minimum_preheat.empty()) aws.source = catalog.minimum_preheat.front().source;

  if (const GradePreheatRow* row = grade_preheat(c)) grade_item(*row, b);
  const LeastTemperature rule = least_temperature(catalog);
  const double least = least_temperature_C(all.front().steel[Element::C], q.thickness_mm, rule);
  HeatItem& navy = b.number("least_temperature", "minimum temperature of the plate", least, F::preheat);
  navy.note = fmt::format("a navy fabrication standard, carbon steel; {:.0f} degC above {:.2f} % C and {:.4g} mm",
                          rule.high_carbon_C, rule.carbon_percent, rule.thickness_mm);
  navy.source = b.source_of_range("navy-least-temperature");
  const SourceIndex navy_source = navy.source;  // the item moves when others follow

  const double index = susceptibility_index(carbon_equivalent_pcm(all.front().steel), q.hydrogen);
  const auto group = susceptibility_group(catalog.susceptibility_groups, index);
  for (const Restraint restraint : {Restraint::low, Restraint::medium, Restraint::high}) {
    const Checked<double> preheat =
        group ? susceptibility_preheat_C(catalog.susceptibility_preheat, restraint, *group, q.thickness_mm)
              : Checked<double>(group.refusal());
    HeatItem& item =
        b.checked(fmt::format("preheat_d1_1_annex_{}", restraint_key(restraint)),
                  fmt::format("AWS D1.1 annex, {} restraint", restraint_key(restraint)), preheat, F::preheat,
                  fmt::format("susceptibility index {:.2f}, group {}{}", index, group ? *group : "",
                              preheat && *preheat == 0 ? ": none" : ""));
    if (!catalog.susceptibility_preheat.empty()) item.source = catalog.susceptibility_preheat.front().source;
  }
  preheat_finding(c, needed_preheat(c, alloy, q), b);
  if (c.preheat_C < least)
    b.warning(
        "plate-cold",
        fmt::format("The plate is welded at {:.0f} degC; it should have {:.0f} degC at least.", c.preheat_C, least),
        navy_source);
  if (q.single_fillet && needed_by_cet > catalog.limits->ambient_C.value)
    b.finding("single-run-fillet",
              "EN 1011-2 lets single-run fillets have up to 60 K less than the CET formula gives, by test.",
              b.source_of_range("cet-preheat-cet"));
}

// How sure it is that the zone is no harder than allowed, and what would make it surer.
struct PassProbability {
  double now = 0, hotter = 0, warmer = 0;
  bool analysed = false;
};
constexpr double more_heat = 1.25, more_preheat_K = 50;

std::optional<PassProbability> pass_probability(const Case& c, const Alloy& alloy, const CoolingInput& in,
                                                double limit_HV) {
  const Composition steel = composition_of(c, alloy);
  const HardnessLimits rules = hardness_limits(*c.catalog);
  std::vector<Element> analysed;
  if (&alloy == c.alloy)
    for (const auto& given : c.joint.composition) analysed.push_back(given.first);
  const HardnessSpread spread = hardness_spread(*c.catalog, steel, analysed);
  const auto at = [&](const CoolingInput& pass) -> Checked<double> {
    const auto time = cooling_time_8_5(pass, cooling_limits(*c.catalog));
    if (!time) return time.refusal();
    return hardness_pass_probability(steel, time->value_s, limit_HV, spread, rules);
  };
  CoolingInput hotter = in, warmer = in;
  hotter.heat_input_kJ_per_mm *= more_heat;
  warmer.preheat_C += more_preheat_K;
  const auto now = at(in), hot = at(hotter), warm = at(warmer);
  if (!now) return std::nullopt;
  return PassProbability{*now, hot ? *hot : *now, warm ? *warm : *now, !analysed.empty()};
}

// "34 %"; never certainty.
std::string percent_words(double probability) {
  return fmt::format("{:.0f} %", std::clamp(100 * probability, 1.0, 99.0));
}

// "34 %; 60 % with 25 % more heat input, 55 % with 50 K more preheat"
std::string words_of(const PassProbability& p) {
  return fmt::format("{}; {} with {:.0f} % more heat input, {} with {:.0f} K more preheat", percent_words(p.now),
                     percent_words(p.hotter), 100 * (more_heat - 1), percent_words(p.warmer), more_preheat_K);
}

void cooling(const Plan& plan, const ReportPass& pass, const Alloy& alloy, SectionBuilder& b) {
  const Case& c = plan.resolved;
  const Catalog& catalog = *c.catalog;
  const auto joint = cooling_joint(c.section.type);
  const int number = pass.result->pass.number;
  if (!joint) {
    b.words("t8_5", "t8/5", "not computed: EN 1011-2 has no joint factor for an edge joint").pass = number;
    return;
  }
  const CoolingInput in{pass.at[F::heat_input], c.preheat_C, plate_thickness_mm(c), cooling_factors(catalog, *joint)};
  const CoolingLimits limits = cooling_limits(catalog);
  const auto time = cooling_time_8_5(in, limits);
  const SourceIndex source = b.source_of_range("cooling-preheat");
  if (!time) {
    b.words("t8_5", "t8/5", refusal_words(time.refusal())).pass = number;
    return;
  }
  HeatItem& item = b.number("t8_5", "t8/5 by EN 1011-2", time->value_s, F::t8_5);
  item.pass = number;
  item.low = time->low_s;
  item.high = time->high_s;
  item.source = source;
  const CoolingFactors& f = in.factors;
  const std::string f2 =
      f.f2.low < f.f2.high ? fmt::format("{:.2g} to {:.2g}", f.f2.low, f.f2.high) : fmt::format("{:.2g}", f.f2.low);
  item.note = fmt::format(
      "{}-dimensional heat flow, transition at {:.1f} mm; at {:.0f} degC and {:.3f} kJ/mm, F2 {}, F3 {:.2g}{}; +-20 %",
      time->flow == HeatFlow::two_dimensional ? "two" : "three", time->transition_thickness_mm, in.preheat_C,
      in.heat_input_kJ_per_mm, f2, f.f3, time->low_s < time->high_s ? "; range: that of F2" : "");
  const ConstantValues x = nominal_values(pass.context->constants);
  const double field_s =
      cooling_time_8_5_by_field_s(heat_field(*pass.context, x, pass.at, in.thickness_mm), in.preheat_C);
  const bool own_metal = alloy.metal == c.metal->id;  // beside another metal the pool has that one's constants
  if (own_metal && field_s > 0 && std::abs(field_s - time->value_s) > worth_showing * time->value_s) {
    HeatItem& field_item = b.number("t8_5_field", "t8/5 by the conduction field", field_s, F::t8_5);
    field_item.pass = number;
    field_item.note = "point source with images, constants of the pool; differs from the formula by more than 5 %";
    field_item.source = c.metal->conductivity_W_per_mmK.source;
  }
  CoolingInput hot = in;
  hot.preheat_C = c.interpass_C;
  if (const auto at_interpass = cooling_time_8_5(hot, limits); at_interpass && c.interpass_C > c.preheat_C) {
    HeatItem& longest = b.number("t8_5_interpass", "t8/5 at the interpass limit", at_interpass->value_s, F::t8_5);
    longest.pass = number;
    longest.note = fmt::format("the longest it becomes, at {:.0f} degC", c.interpass_C);
    longest.source = source;
  }
  for (const UserLimit& limit : c.joint.limits) {
    if (limit.field != F::t8_5) continue;
    const Interval wanted{std::max(0.0, limit.range.low), std::min(limit.range.high, 1e6)};
    const auto band = heat_input_for_cooling_time(in, wanted, limits);
    HeatItem& heat =
        b.number("heat_input_for_t8_5", "heat input that keeps the t8/5 limit", not_applicable, F::heat_input);
    heat.pass = number;
    heat.source = source;
    if (band) {
      heat.low = band->low;
      heat.high = band->high;
      heat.note = fmt::format("at {:.0f} degC, over the whole range of F2", in.preheat_C);
    } else {
      heat.note = refusal_words(band.refusal());
    }
    const auto warm = preheat_for_cooling_time(in, wanted, limits);
    HeatItem& temperature =
        b.number("temperature_for_t8_5", "plate temperature that keeps it", not_applicable, F::preheat);
    temperature.pass = number;
    temperature.source = source;
    if (warm) {
      temperature.low = warm->low;
      temperature.high = warm->high;
      temperature.note = fmt::format("preheat and interpass, at {:.3f} kJ/mm", in.heat_input_kJ_per_mm);
    } else {
      temperature.note = refusal_words(warm.refusal());
    }
  }

  // Hardness
  const HardnessLimits rules = hardness_limits(catalog);
  const Composition steel = composition_of(c, alloy);
  const auto add_hardness = [&](HardnessFormula formula, std::string key, std::string label) {
    HeatItem& out = b.checked(std::move(key), std::move(label), hardness_HV(formula, steel, time->value_s, rules),
                              F::hardness, fmt::format("at t8/5 {:.1f} s", time->value_s));
    out.pass = number;
    out.source = b.source_of_range("hardness-cooling-time");
  };
  add_hardness(HardnessFormula::lorenz_dueren, "hardness_lorenz_dueren", "hardness by Lorenz and Dueren");
  add_hardness(HardnessFormula::yurioka_1987, "hardness_yurioka", "hardness by Yurioka 1987");
  const auto mean = hardness(steel, time->value_s, rules);
  if (!mean) return;
  HeatItem& hv = b.number("hardness", "hardness, mean of the two", mean->value_HV, F::hardness);
  hv.pass = number;
  hv.low = mean->low_HV;
  hv.high = mean->high_HV;
  hv.source = b.source_of_range("hardness-cooling-time");
  hv.note =
      "single run, not tempered by later passes; range: twice the standard deviation of the best published method";
  auto limit_HV = hardness_max_HV(catalog, alloy.group);
  bool own = false;
  for (const UserLimit& limit : c.joint.limits)
    if (limit.field == F::hardness && std::isfinite(limit.range.high)) {
      limit_HV = limit.range.high;
      own = true;
    }
  if (!limit_HV) return;
  const std::string whose = own ? "limit given" : fmt::format("ISO 15614-1, group {}", alloy.group);
  const auto preheat = preheat_for_hardness_C(steel, *limit_HV, in, limits, rules);
  HeatItem& warm = b.checked("preheat_for_hardness", fmt::format("preheat that keeps it below {:.0f} HV10", *limit_HV),
                             preheat, F::preheat, whose);
  if (preheat && *preheat <= limits.preheat_C.low + 1e-6) {
    warm.value = not_applicable;
    warm.note = "none needed; " + whose;
  }
  warm.pass = number;
  warm.source = b.source_of_range("hardness-groups-1-2");
  if (const auto shortest = cooling_time_for_hardness_s(steel, *limit_HV, rules)) {
    const auto least = heat_input_for_cooling_time(in, {*shortest, rules.cooling_time_s.high}, limits);
    HeatItem& heat =
        b.checked("heat_input_for_hardness", fmt::format("heat input that keeps it below {:.0f} HV10", *limit_HV),
                  least ? Checked<double>(least->low) : Checked<double>(least.refusal()), F::heat_input, "");
    if (least) {
      heat.value = not_applicable;
      heat.low = least->low;
      heat.note = fmt::format("t8/5 of {:.1f} s or more, at {:.0f} degC; {}", *shortest, in.preheat_C, whose);
    }
    heat.pass = number;
    heat.source = b.source_of_range("hardness-groups-1-2");
  }
  const auto sure = pass_probability(c, alloy, in, *limit_HV);
  if (sure) {
    HeatItem& within = b.number("hardness_pass_probability",
                                fmt::format("probability of {:.0f} HV10 or less", *limit_HV), 100 * sure->now, "%", 0);
    within.pass = number;
    within.source = b.source_of_range("heat-spread-C");
    within.note = fmt::format("{}. From the scatter of the formulas, of t8/5 and of {}", words_of(*sure),
                              sure->analysed ? "the analysis given" : "a heat about the typical one");
  }
  if (mean->high_HV <= *limit_HV) return;
  const auto one = hardness_HV(HardnessFormula::lorenz_dueren, steel, time->value_s, rules);
  const auto other = hardness_HV(HardnessFormula::yurioka_1987, steel, time->value_s, rules);
  const auto [softer, harder] = std::minmax({one ? *one : mean->value_HV, other ? *other : mean->value_HV});
  const bool later = plan.passes.size() > static_cast<std::size_t>(pass.last);
  const bool beyond = mean->value_HV > *limit_HV;
  b.pass_finding(pass, {beyond ? "hardness-high" : "hardness-near",
                        fmt::format("HAZ hardness {:.0f} HV10 ({:.0f} and {:.0f} by the two formulas; scatter {:.0f} "
                                    "to {:.0f}), {:.0f} allowed ({}){}{}{}",
                                    mean->value_HV, softer, harder, mean->low_HV, mean->high_HV, *limit_HV, whose,
                                    beyond ? ": more heat input or preheat." : ".",
                                    sure ? fmt::format(" Probability of staying within it: {}{}.", words_of(*sure),
                                                       sure->analysed ? ""
                                                                      : "; the certificate's analysis "
                                                                        "(material.composition) narrows it")
                                         : "",
                                    beyond && later ? " Later passes temper a part of it." : ""),
                        own ? SourceIndex{0} : b.source_of_range("hardness-groups-1-2"), beyond});
}

// Preheat that keeps a plate no harder than its group allows, where the pass of least heat would leave it harder and
// the preheat is one that shops give; sheet is never warmed for that.
void ask_for_hardness(const Case& c, const Alloy& alloy, double least_heat_input_kJ_per_mm, Needed& needed) {
  const Catalog& catalog = *c.catalog;
  const auto limit_HV = hardness_max_HV(catalog, alloy.group);
  const auto joint = cooling_joint(c.section.type);
  const double thickness_mm = plate_thickness_mm(c);
  if (!limit_HV || !joint || thickness_mm < heat_range(catalog, "hardness-preheat-plate").low) return;
  const CoolingInput in{least_heat_input_kJ_per_mm, c.preheat_C, thickness_mm, cooling_factors(catalog, *joint)};
  const auto preheat = preheat_for_hardness_C(composition_of(c, alloy), *limit_HV, in, cooling_limits(catalog),
                                              hardness_limits(catalog));
  const HeatRange* usual = find_heat_range(catalog, "hardness-preheat");
  if (preheat && usual != nullptr && *preheat <= usual->high)
    needed.ask(*preheat, "HAZ hardness within ISO 15614-1", usual->source);
}

}  // namespace

PreheatNeed preheat_need(const Case& c, double least_heat_input_kJ_per_mm) {
  const Alloy* alloy = hardening_alloy(c);
  const PreheatQuestion q = preheat_question(c, least_heat_input_kJ_per_mm, 1, false);
  Needed needed;
  if (alloy != nullptr && q.hydrogen > 0)
    needed = needed_preheat(c, *alloy, q);
  else if (const GradePreheatRow* row = grade_preheat(c))
    needed.ask(*row);
  if (alloy != nullptr) ask_for_hardness(c, *alloy, least_heat_input_kJ_per_mm, needed);
  return {needed.temperature_C, needed.by, needed.source};
}

// Where no formula speaks of the metal or its hydrogen: what its kind asks for, if anything.
static void preheat_by_grade(const Case& c, const GradePreheatRow& row, SectionBuilder& b) {
  grade_item(row, b);
  Needed needed;
  needed.ask(row);
  preheat_finding(c, needed, b);
}

void report_steel(const Plan& plan, const ReportPasses& passes, HeatReport& report) {
  const Case& c = plan.resolved;
  const Alloy* alloy = hardening_alloy(c);
  const GradePreheatRow* by_grade = grade_preheat(c);
  if (alloy == nullptr) {
    if (by_grade == nullptr) return;
    SectionBuilder b(*c.catalog, "preheat", "Preheat");
    preheat_by_grade(c, *by_grade, b);
    report.push_back(b.take());
    return;
  }
  const std::vector<Basis> all = bases(c, *alloy);
  SectionBuilder composition(*c.catalog, "carbon_equivalents", "Carbon equivalents");
  equivalents(c, *alloy, all, composition);
  report.push_back(composition.take());
  if (passes.empty()) return;

  const ReportPass& coldest = *std::min_element(
      passes.begin(), passes.end(),
      [](const ReportPass& a, const ReportPass& z) { return a.at[F::heat_input] < z.at[F::heat_input]; });
  const PreheatQuestion question =
      preheat_question(c, coldest.at[F::heat_input], coldest.result->pass.number, plan.passes.size() == 1);
  SectionBuilder preheat(*c.catalog, "preheat", "Preheat against hydrogen cracking");
  if (question.hydrogen > 0) {
    preheats(plan, *alloy, all, question, preheat);
  } else {
    preheat.words(
        "preheat_cet", "preheat",
        wire_metal(*c.wire) == WireMetal::steel
            ? fmt::format("not computed: no hydrogen content is known for {}; give material.hydrogen", c.wire->id)
            : fmt::format("not computed: these rules are for ferritic weld metal, {} retains most of its "
                          "hydrogen; with material.hydrogen they are computed all the same",
                          c.wire->id));
    if (by_grade != nullptr) preheat_by_grade(c, *by_grade, preheat);
  }
  report.push_back(preheat.take());

  SectionBuilder cool(*c.catalog, "cooling", "Cooling and hardness of the steel");
  for (const ReportPass& pass : passes) cooling(plan, pass, *alloy, cool);
  report.push_back(cool.take());
}

}  // namespace seamwright
