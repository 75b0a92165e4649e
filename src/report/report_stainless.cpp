// Stainless and duplex weld metal: equivalents, ferrite, solidification, pitting resistance, cooling, gas.
#include <algorithm>
#include <cmath>

#include "report/report_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

constexpr double least_shown_percent = 0.005;

struct FindingText {
  DuplexFinding finding;
  std::string_view id, text;
};
constexpr FindingText duplex_texts[] = {
    {DuplexFinding::heat_input_low, "duplex-heat-low",
     "heat input below the window: the weld cools so fast that it stays too ferritic and chromium nitrides form"},
    {DuplexFinding::heat_input_high, "duplex-heat-high",
     "heat input above the window: sigma and other intermetallic phases form"},
    {DuplexFinding::second_run_hot, "duplex-second-run",
     "the run over the root is hot: keep it to about three quarters of the root's heat input, or the root is reheated "
     "into the range of intermetallic phases"},
    {DuplexFinding::interpass_high, "duplex-interpass",
     "interpass temperature above the limit: intermetallic phases form"},
    {DuplexFinding::preheated, "duplex-preheat", "preheated: duplex steel is only warmed to dry it"},
    {DuplexFinding::ferrite_low, "duplex-ferrite-low",
     "too little ferrite: less strength and less resistance to stress corrosion"},
    {DuplexFinding::ferrite_high, "duplex-ferrite-high", "too much ferrite: less toughness and pitting resistance"},
    {DuplexFinding::ferrite_unknown, "duplex-ferrite-unknown",
     "the ferrite number cannot be computed: read it off the WRC-1992 diagram or measure it"},
    {DuplexFinding::weld_pitting_low, "duplex-pitting",
     "pitting resistance of the weld metal is below what this grade is chosen for"},
    {DuplexFinding::base_nitrogen_low, "duplex-base-nitrogen",
     "little nitrogen in the base metal: its heat-affected zone turns too ferritic"},
};

// " (1.62 kJ/mm, limit 1.5 kJ/mm)": what a finding was held against.
std::string measured(DuplexFinding finding, const DuplexWeld& weld, const DuplexLimits& limits) {
  const double Q = weld.heat_input_kJ_per_mm;
  switch (finding) {
    case DuplexFinding::heat_input_low:
      return fmt::format(" ({:.3g} kJ/mm, at least {:.3g} kJ/mm)", Q, limits.heat_input_kJ_per_mm.low);
    case DuplexFinding::heat_input_high:
      return fmt::format(" ({:.3g} kJ/mm, at most {:.3g} kJ/mm)", Q, limits.heat_input_kJ_per_mm.high);
    case DuplexFinding::second_run_hot:
      return fmt::format(" ({:.0f} % of the root's {:.3g} kJ/mm)", 100 * Q / weld.root_heat_input_kJ_per_mm,
                         weld.root_heat_input_kJ_per_mm);
    case DuplexFinding::interpass_high:
      return fmt::format(" ({:.0f} degC, at most {:.0f} degC)", weld.interpass_C, limits.interpass_max_C);
    case DuplexFinding::preheated:
      return fmt::format(" ({:.0f} degC, at most {:.0f} degC)", weld.preheat_C, limits.preheat_max_C);
    case DuplexFinding::weld_pitting_low:
      return fmt::format(" ({:.1f}, at least {:.1f})", pitting_resistance(weld.weld_metal),
                         limits.pitting_resistance_min);
    case DuplexFinding::base_nitrogen_low:
      return fmt::format(" ({:.2f} %, at least {:.2f} %)", weld.base[Element::N], limits.base_nitrogen_min_percent);
    case DuplexFinding::ferrite_low:
    case DuplexFinding::ferrite_high:
      return fmt::format(" (required: {:.0f} to {:.0f} FN)", limits.ferrite_number.low, limits.ferrite_number.high);
    case DuplexFinding::ferrite_unknown:
      break;
  }
  return {};
}

// Why there is no ferrite number, and where to find it.
std::string no_ferrite_words(const Catalog& catalog, const Refusal& refusal, const Equivalents& wrc) {
  std::string why = refusal_words(refusal);
  if (refusal.quantity == "FN")
    why = fmt::format("not computed: the formula comes to {:.0f} FN, and its points end at {:.0f} and {:.0f} FN",
                      refusal.value, refusal.range.low, refusal.range.high);
  const Interval chromium = heat_range(catalog, "wrc-1992-chromium"), nickel = heat_range(catalog, "wrc-1992-nickel");
  const bool inside = chromium.contains(wrc.chromium_percent) && nickel.contains(wrc.nickel_percent);
  return fmt::format(
      "{}. Creq {:.1f} and Nieq {:.1f} lie {} the WRC-1992 diagram (Creq {:.0f} to {:.0f}, Nieq {:.0f} to "
      "{:.0f}){}",
      why, wrc.chromium_percent, wrc.nickel_percent, inside ? "inside" : "outside", chromium.low, chromium.high,
      nickel.low, nickel.high, inside ? ": read it off there" : ": measure it");
}

// FN by the rule of the filler's kind.
Checked<FerriteEstimate> ferrite_number(const StainlessWeld& weld, const Composition& metal) {
  if (weld.rule == FerriteRule::duplex) return ferrite_estimate_duplex(equivalents_wrc1992(metal), weld.limits);
  const auto number = ferrite_number_austenitic(equivalents_hammar_svensson(metal), weld.limits);
  if (!number) return number.refusal();
  return FerriteEstimate{*number, false};
}

// Half-width of a ferrite number, FN.
double ferrite_spread(const Catalog& catalog, const StainlessWeld& weld, const FerriteEstimate& ferrite) {
  const bool duplex = weld.rule == FerriteRule::duplex;
  return heat_range(catalog, duplex ? HeatRangeId("ferrite-duplex-spread") : HeatRangeId("ferrite-austenitic-spread"))
             .high *
         (ferrite.extrapolated ? weld.extrapolated_factor : 1.0);
}

// What the filler alone would give: the other end of the range between no dilution and the planned one.
// `pass`: the first with that filler; 0: the joint's first.
void filler_alone(const Case& c, const StainlessWeld& weld, int pass, SectionBuilder& b) {
  if (weld.rule == FerriteRule::none) return;
  const auto ferrite = ferrite_number(weld, c.wire->typical);
  HeatItem& item = b.number("ferrite_number_filler", "ferrite number of the filler alone",
                            ferrite ? ferrite->number : not_applicable, F::ferrite_number);
  if (ferrite && ferrite->extrapolated) {
    const double spread = ferrite_spread(*c.catalog, weld, *ferrite);
    item.low = std::max(0.0, ferrite->number - spread);
    item.high = ferrite->number + spread;
  }
  item.note = ferrite
                  ? fmt::format("{}, undiluted, typical{}", c.wire->id, ferrite->extrapolated ? "; extrapolated" : "")
                  : no_ferrite_words(*c.catalog, ferrite.refusal(), equivalents_wrc1992(c.wire->typical));
  item.source = c.wire->typical.source;
  item.pass = pass;
}

void weld_metal(const Case& c, const ReportPass& pass, SectionBuilder& b) {
  const Catalog& catalog = *c.catalog;
  const int number = pass.result->pass.number;
  const double dilution = 0.01 * pass.at[F::dilution];
  const Composition metal = mix(c.wire->typical, base_mixture(c), dilution, {}, 0);
  const auto add = [&](std::string key, std::string label, double value, std::string_view unit, int decimals,
                       std::string note, SourceIndex source) {
    HeatItem& item = b.number(std::move(key), std::move(label), value, unit, decimals);
    item.pass = number;
    item.note = std::move(note);
    item.source = source;
  };
  std::string analysis;
  for (const Element e : {Element::C, Element::Mn, Element::Cr, Element::Ni, Element::Mo, Element::N, Element::Nb,
                          Element::Cu, Element::W})
    if (metal[e] >= least_shown_percent)
      analysis +=
          fmt::format("{}{} {:.{}f}", analysis.empty() ? "" : ", ", element_symbol(e), metal[e], metal[e] < 1 ? 3 : 1);
  HeatItem& mixture = b.words("weld_metal", "weld metal, mixed", analysis + " %");
  mixture.pass = number;
  mixture.source = composition_source(c);
  const Equivalents wrc = equivalents_wrc1992(metal);
  const SourceIndex points = b.source_of_range("ferrite-duplex-chromium");
  add("chromium_equivalent", "Creq (WRC-1992)", wrc.chromium_percent, "%", 2,
      fmt::format(
          "{:.0f} % dilution{}", 100 * dilution,
          alloys_of(c).size() > 1 ? ", half from each plate" : fmt::format(" of {} by {}", c.wire->id, c.alloy->id)),
      points);
  add("nickel_equivalent", "Nieq (WRC-1992)", wrc.nickel_percent, "%", 2, "", points);
  const double ratio = heat_range(catalog, "ferrite-first-ratio").low;
  const bool ferrite_first = solidification(wrc, ratio) == Solidification::ferrite_first;
  add("solidification", "Creq/Nieq", wrc.chromium_percent / wrc.nickel_percent, "", 2,
      fmt::format("solidifies {} first{}; the line is near {:.1f}", ferrite_first ? "ferrite" : "austenite",
                  ferrite_first ? ", which resists hot cracking" : ": sensitive to hot cracking", ratio),
      b.source_of_range("ferrite-first-ratio"));

  const StainlessWeld& weld = pass.context->metallurgy.stainless;
  if (weld.rule == FerriteRule::none) {
    b.words("ferrite_number", "ferrite number",
            fmt::format("not computed: {} {}", c.wire->id,
                        is_ferritic(catalog, *c.wire) ? "is ferritic throughout" : "makes no ferrite"))
        .pass = number;
  } else {
    const bool duplex = weld.rule == FerriteRule::duplex;
    const auto ferrite = ferrite_number(weld, metal);
    const double spread = ferrite ? ferrite_spread(catalog, weld, *ferrite) : 0.0;
    HeatItem& item =
        b.number("ferrite_number", "ferrite number", ferrite ? ferrite->number : not_applicable, F::ferrite_number);
    item.note = !ferrite ? no_ferrite_words(catalog, ferrite.refusal(), wrc)
                : ferrite->extrapolated
                    ? fmt::format(
                          "extrapolated by a plane beyond the points of Kotecki and Siewert 1992 (Creq {:.1f}, "
                          "Nieq {:.1f}), +-{:.2g} FN: measure it where it matters",
                          wrc.chromium_percent, wrc.nickel_percent, spread)
                : duplex ? fmt::format("fitted to points of Kotecki and Siewert 1992, +-{:.2g} FN",
                                       heat_range(catalog, "ferrite-duplex-spread").high)
                         : fmt::format("Valiente Bermejo 2012, for cooling at 10 to 1000 K/s, +-{:.2g} FN",
                                       heat_range(catalog, "ferrite-austenitic-spread").high);
    item.pass = number;
    item.source =
        b.source_of_range(duplex ? HeatRangeId("ferrite-duplex-number") : HeatRangeId("ferrite-austenitic-ratio"));
    if (ferrite) {
      item.low = std::max(0.0, ferrite->number - spread);
      item.high = ferrite->number + spread;
      const double least = heat_range(catalog, "austenitic-ferrite-number").low;
      if (!duplex && ferrite->number < least)
        b.pass_finding(pass, {"ferrite-low",
                              fmt::format("{:.0f} FN expected; at least {:.0f} is wanted against hot cracking.",
                                          ferrite->number, least),
                              b.source_of_range("austenitic-ferrite-number"), true});
    }
  }
  // Steels of group 8.2 have no ferrite, and their fillers are made without it.
  const bool by_its_grade = std::ranges::any_of(alloys_of(c), [](const Alloy* alloy) { return alloy->group == "8.2"; });
  if (!ferrite_first && weld.rule == FerriteRule::austenitic)
    b.pass_finding(pass, {"austenite-first",
                          fmt::format("the weld metal solidifies as austenite and is prone to hot cracking: keep heat "
                                      "input and restraint low{}.",
                                      by_its_grade ? ", lay narrow beads and fill the craters"
                                                   : ", or take a filler with more ferrite"),
                          b.source_of_range("ferrite-first-ratio"), true});
  add("pren", "PREN of the weld metal", pitting_resistance(metal), "", 1, "Cr + 3.3 (Mo + 0.5 W) + 16 N",
      composition_source(c));
}

void duplex(const Case& c, const Alloy& alloy, const ReportPass& pass, double root_heat, SectionBuilder& b) {
  const Catalog& catalog = *c.catalog;
  const int number = pass.result->pass.number;
  const Composition base = composition_of(c, alloy);
  const Composition metal = mix(c.wire->typical, base_mixture(c), 0.01 * pass.at[F::dilution], {}, 0);
  DuplexLimits limits = duplex_limits(catalog, alloy);
  limits.heat_input_kJ_per_mm.low *= least_heat_share(catalog, *c.joint.thickness_mm);
  DuplexWeld weld{.base = base,
                  .weld_metal = metal,
                  .heat_input_kJ_per_mm = pass.at[F::heat_input],
                  .preheat_C = c.preheat_C,
                  .interpass_C = c.interpass_C,
                  .root_heat_input_kJ_per_mm = root_heat};
  FerriteLimits ferrite = ferrite_duplex_limits(catalog);
  for (const DuplexFinding finding : duplex_findings(weld, limits, ferrite)) {
    ReportPass whose = pass;
    if (finding == DuplexFinding::second_run_hot) whose.last = number;  // those like it lie further from the root
    for (const FindingText& text : duplex_texts)
      if (text.finding == finding)
        b.pass_finding(whose, {text.id, fmt::format("{}{}.", text.text, measured(finding, weld, limits)),
                               b.source_of_range("duplex-ferrite-number"), finding != DuplexFinding::ferrite_unknown});
  }

  const Interval span = heat_range(catalog, "duplex-cooling");
  const ConstantValues x = nominal_values(pass.context->constants);
  const double time = cooling_time_s(heat_field(*pass.context, x, pass.at, plate_thickness_mm(c)),
                                     span.high - c.preheat_C, span.low - c.preheat_C);
  HeatItem& item = b.number("cooling_1200_800", "cooling from 1200 to 800 degC", time, F::t8_5);
  item.pass = number;
  item.note = fmt::format(
      "on the weld's axis, conduction field (point source with images), from {:.0f} degC; about +-30 %", c.preheat_C);
  item.source = c.metal->conductivity_W_per_mmK.source;
}

void gas_nitrogen(const Case& c, int pass, SectionBuilder& b) {
  const Interval wanted = heat_range(*c.catalog, "duplex-gas-nitrogen");
  HeatItem& item = b.number("gas_nitrogen", "nitrogen in the shielding gas", c.gas.nitrogen_percent, "%", 1);
  item.low = wanted.low;
  item.high = wanted.high;
  item.pass = pass;
  item.source = b.source_of_range("duplex-gas-nitrogen");
  item.note = c.gas.nitrogen_percent >= wanted.low
                  ? "makes up for the nitrogen the arc drives off"
                  : "none or little: the weld loses nitrogen, and with it austenite and pitting resistance at the "
                    "surface; 1 to 3 % in the gas makes up for it";
}

void gas(const Case& c, const ReportPasses& passes, SectionBuilder& b) {
  std::vector<std::string_view> gases;
  for (const ReportPass& pass : passes) {
    if (std::ranges::find(gases, pass.welded->gas_name) != gases.end()) continue;
    gas_nitrogen(*pass.welded, gases.empty() ? 0 : pass.result->pass.number, b);
    gases.push_back(pass.welded->gas_name);
  }
  const bool open_root =
      c.sides == 1 && !c.backed && (c.section.type == JointType::butt || c.section.type == JointType::pipe_butt);
  if (open_root)
    b.words(
         "backing_gas", "backing gas",
         c.joint.backing_gas
             ? fmt::format("{}", *c.joint.backing_gas)
             : "not stated: the root needs a purge; nitrogen, or argon with nitrogen, keeps nitrogen in the root bead")
        .source = b.source_of_range("duplex-gas-nitrogen");
}

}  // namespace

void report_stainless(const Plan& plan, const ReportPasses& passes, HeatReport& report) {
  const Case& c = plan.resolved;
  const auto is_stainless_weld = [](const ReportPass& pass) { return pass.context->metallurgy.stainless.present; };
  if (std::ranges::none_of(passes, is_stainless_weld)) return;
  SectionBuilder b(*c.catalog, "stainless", "Stainless weld metal");
  for (const Alloy* alloy : alloys_of(c)) {
    if (!is_stainless(alloy->family)) continue;
    const Composition metal = composition_of(c, *alloy);
    HeatItem& item = b.number("pren_base", "PREN of the base metal", pitting_resistance(metal), "", 1);
    item.note = fmt::format("{}, {}", alloy->id, composition_words(c, *alloy));
    item.source = metal.source;
  }
  std::vector<const Wire*> wires;
  for (const ReportPass& pass : passes) {
    if (!is_stainless_weld(pass) || std::ranges::find(wires, pass.welded->wire) != wires.end()) continue;
    filler_alone(*pass.welded, pass.context->metallurgy.stainless, wires.empty() ? 0 : pass.result->pass.number, b);
    wires.push_back(pass.welded->wire);
  }
  const Alloy* duplex_base = nullptr;
  for (const Alloy* alloy : alloys_of(c))
    if (is_duplex(alloy->family) && (duplex_base == nullptr || alloy->family == Family::super_duplex))
      duplex_base = alloy;  // beside duplex, super duplex has the narrower limits
  // The root of a butt joint meets what flows inside; that of a fillet lies between the plates.
  const bool bare_root = c.section.type == JointType::butt || c.section.type == JointType::pipe_butt;
  for (std::size_t i = 0; i < passes.size(); ++i) {
    if (is_stainless_weld(passes[i])) weld_metal(*passes[i].welded, passes[i], b);
    if (duplex_base)
      duplex(*passes[i].welded, *duplex_base, passes[i], i == 1 && bare_root ? passes.front().at[F::heat_input] : 0.0,
             b);
  }
  if (plan.passes.size() > 1)
    b.finding(
        "dilution-of-fill",
        "Fill and cap passes are mixed with base metal by their own dilution; much of what they melt is earlier weld "
        "metal, so their true composition lies nearer to the filler.");
  for (const Alloy* alloy : alloys_of(c)) {
    if (!(alloy->heat_input_max_kJ_per_mm.value > 0)) continue;
    HeatItem& item = b.number("heat_input_window", "heat input window", not_applicable, F::heat_input);
    item.low = alloy->heat_input_min_kJ_per_mm.value;
    item.high = alloy->heat_input_max_kJ_per_mm.value;
    item.note = fmt::format("of {}; it binds in this plan", alloy->id);
    item.source = alloy->heat_input_max_kJ_per_mm.source;
  }
  const Alloy& strictest = interpass_alloy(c);
  if (strictest.interpass_max_C.value > 0 && is_stainless(strictest.family)) {
    HeatItem& item = b.number("interpass_max", "interpass limit", strictest.interpass_max_C.value, F::interpass);
    const double navy_C = heat_range(*c.catalog, "navy-interpass-austenitic").high;
    const bool austenitic = strictest.family == Family::austenitic;
    item.note = austenitic ? fmt::format("of {}; a navy fabrication standard allows {:.0f} degC", strictest.id, navy_C)
                           : fmt::format("of {}", strictest.id);
    item.source = strictest.interpass_max_C.source;
    if (c.interpass_C > strictest.interpass_max_C.value && !duplex_base)
      b.warning(
          "interpass-high",
          fmt::format("Interpass temperature of {:.0f} degC is above the {:.0f} degC usual for {}{}.", c.interpass_C,
                      strictest.interpass_max_C.value, strictest.id,
                      !austenitic ? ""
                      : c.interpass_C > navy_C
                          ? fmt::format(", and above the {:.0f} degC of a navy fabrication "
                                        "standard",
                                        navy_C)
                          : fmt::format("; a navy fabrication standard allows {:.0f} degC", navy_C)),
          c.interpass_C > navy_C ? b.source_of_range("navy-interpass-austenitic") : strictest.interpass_max_C.source);
  }
  if (duplex_base) gas(c, passes, b);
  report.push_back(b.take());
}

}  // namespace seamwright
