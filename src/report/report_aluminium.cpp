// Aluminium: filler, temperatures, softened zone, hot cracking of the mixed metal.
#include <algorithm>
#include <cmath>

#include "report/report_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

std::string_view reason_words(FillerReason reason) {
  switch (reason) {
    case FillerReason::usual_choice:
      return "the usual choice for this pair";
    case FillerReason::strongest:
      return "the strongest of the usable ones";
    case FillerReason::least_cracking:
      return "cracks least";
    case FillerReason::best_colour:
      return "matches best after anodising";
    case FillerReason::brittle_silicide:
      return "barred: silicon filler on this much magnesium makes brittle Mg2Si";
    case FillerReason::silicide_begins:
      return "doubtful: silicon filler near the magnesium at which brittle Mg2Si begins";
    case FillerReason::stress_corrosion:
      return "barred: a filler with this much magnesium cracks by stress corrosion in warm service";
    case FillerReason::dark_after_anodising:
      return "turns dark when anodised";
    case FillerReason::not_listed:
      return "not listed for this pair";
  }
  return {};
}

std::string reasons(const FillerChoice& choice) {
  std::string text;
  for (const FillerReason reason : choice.reasons)
    text += fmt::format("{}{}", text.empty() ? "" : "; ", reason_words(reason));
  return text;
}

// The reasons, and what else speaks for a usable filler among those of its pair: ranks of the catalog, and the service
// it is fit for.
std::string filler_words(const Catalog& catalog, const FillerChoice& choice, const std::vector<FillerChoice>& choices) {
  std::string text = reasons(choice);
  const auto traits = [&](std::string_view name) {
    const auto at = std::ranges::find(catalog.filler_traits, name, &FillerTraits::id);
    return at == catalog.filler_traits.end() ? nullptr : &*at;
  };
  const FillerTraits* own = traits(choice.filler);
  if (own == nullptr || !choice.usable) return text;
  const auto said = [&](FillerReason reason) {
    return std::ranges::find(choice.reasons, reason) != choice.reasons.end();
  };
  const auto add = [&](bool holds, std::string_view words) {
    if (holds) text += fmt::format("{}{}", text.empty() ? "" : "; ", words);
  };
  const auto best = [&](double FillerTraits::*rank) {
    return std::ranges::all_of(choices, [&](const FillerChoice& c) {
      const FillerTraits* other = traits(c.filler);
      return !c.usable || other == nullptr || other->*rank <= own->*rank;
    });
  };
  const FillerLimits limits = filler_limits(catalog);
  const bool silicon = own->silicon_percent >= limits.silicon_from_percent;
  add(best(&FillerTraits::strength_rank) && !said(FillerReason::strongest), "strongest");
  add(best(&FillerTraits::crack_resistance_rank) && !said(FillerReason::least_cracking), "cracks least");
  add(best(&FillerTraits::colour_match_rank) && !silicon && !said(FillerReason::best_colour), "matches when anodised");
  add(silicon && !said(FillerReason::dark_after_anodising), "turns dark when anodised");
  add(own->magnesium_percent <= limits.service_magnesium_max_percent,
      fmt::format("also for service above {:.0f} degC", limits.service_C));
  return text.empty() ? "usable" : text;
}

void fillers(const Case& c, const std::vector<const Wire*>& used, SectionBuilder& b) {
  const Catalog& catalog = *c.catalog;
  const auto question = filler_question(c);
  if (!question) return;
  const auto choices = choose_filler(*question, catalog.filler_pairs, catalog.filler_traits, filler_limits(catalog));
  const auto in_use = [&](const FillerChoice& choice) {
    return std::ranges::any_of(used, [&](const Wire* wire) { return is_named(*wire, choice.filler); });
  };
  for (const FillerChoice& choice : choices) {
    HeatItem& item = b.words(fmt::format("filler_{}", choice.filler), fmt::format("filler {}", choice.filler),
                             filler_words(catalog, choice, choices) + (in_use(choice) ? " (in use)" : ""));
    item.source = b.source_of_range("filler-base-magnesium");
  }
  // Where the pairing is warned about by itself, once is enough.
  const bool warned =
      std::any_of(c.warnings.begin(), c.warnings.end(), [](const Warning& w) { return w.id == "4043-on-high-mg"; });
  for (const FillerChoice& choice : choices)
    if (in_use(choice) && !choice.usable && !warned)
      b.warning("filler-barred", fmt::format("{}: {}.", find_wire(catalog, choice.filler)->id, reasons(choice)),
                b.source_of_range("filler-base-magnesium"));
  if (choices.empty())
    b.words("filler", "filler", "the table of fillers has no such pair of alloys");
  else
    for (const Wire* wire : used)
      if (std::ranges::none_of(choices, [&](const FillerChoice& choice) { return is_named(*wire, choice.filler); }))
        b.finding("filler-not-listed", fmt::format("{} is not listed for this pair of alloys.", wire->id));
}

// Alloys with much magnesium become prone to stress corrosion where they are kept warm.
void avoided_range(const Case& c, SectionBuilder& b) {
  const Catalog& catalog = *c.catalog;
  double magnesium = 0;
  for (const Alloy* alloy : alloys_of(c)) {
    const auto kind = aluminium_kind_of_group(alloy->group);
    if (kind == AluminiumKind::magnesium || kind == AluminiumKind::cast_al_mg)
      magnesium = std::max(magnesium, composition_of(c, *alloy)[Element::Mg]);
  }
  const HeatRange* avoid = find_heat_range(catalog, "navy-aluminium-avoid");
  if (avoid == nullptr || magnesium <= heat_range(catalog, "filler-service-magnesium").high) return;
  HeatItem& item =
      b.number("avoid_range", "range not to be held between, for stress corrosion", not_applicable, F::interpass);
  item.low = avoid->low;
  item.high = avoid->high;
  item.note = fmt::format(
      "a navy fabrication standard for 5086 and 5456; taken for all 5xxx above {:.0f} % Mg: pass through "
      "it quickly",
      heat_range(catalog, "filler-service-magnesium").high);
  item.source = avoid->source;
  const Interval range{avoid->low, avoid->high};
  if (range.contains(c.preheat_C))
    b.warning(
        "preheat-stress-corrosion",
        fmt::format("Preheat of {:.0f} degC keeps the alloy in the range of {:.0f} to {:.0f} degC, in which it becomes "
                    "prone to stress corrosion.",
                    c.preheat_C, range.low, range.high),
        avoid->source);
  else if (c.interpass_C > range.low && c.pass_plans.size() > 1)
    b.finding(
        "interpass-stress-corrosion",
        fmt::format("An interpass temperature of up to {:.0f} degC reaches into the range of {:.0f} to {:.0f} degC: "
                    "where the weld will meet sea water keep it below {:.0f} degC.",
                    c.interpass_C, range.low, range.high, range.low),
        avoid->source);
}

std::string_view cracking_words(CrackingFinding finding) {
  switch (finding) {
    case CrackingFinding::silicon:
      return "silicon";
    case CrackingFinding::magnesium:
      return "magnesium";
    case CrackingFinding::magnesium_silicide:
      return "magnesium silicide";
    case CrackingFinding::copper:
      return "copper";
  }
  return {};
}

}  // namespace

void report_aluminium(const Plan& plan, const ReportPasses& passes, HeatReport& report) {
  const Case& c = plan.resolved;
  if (c.alloy->family != Family::aluminium) return;
  const Catalog& catalog = *c.catalog;
  SectionBuilder b(catalog, "aluminium", "Aluminium");
  std::vector<const Wire*> wires;
  for (const Case* process : processes_of(c))
    if (std::ranges::find(wires, process->wire) == wires.end()) wires.push_back(process->wire);
  fillers(c, wires, b);

  const auto kind = aluminium_kind_of_group(c.alloy->group);
  const auto kind2 = aluminium_kind_of_group(alloys_of(c).back()->group);
  if (kind && kind2) {
    const auto limits = aluminium_temperatures(catalog.aluminium_temperatures, *kind, *kind2);
    if (limits) {
      const SourceIndex source = catalog.aluminium_temperatures.front().source;
      HeatItem& preheat = b.number("preheat_max", "preheat, at most", limits->preheat_max_C, F::preheat);
      preheat.source = source;
      preheat.note = "optional: to dry the plate and to start thick sections; keep its time short";
      HeatItem& interpass = b.number("interpass_max", "interpass, at most", limits->interpass_max_C, F::interpass);
      interpass.source = source;
      if (c.preheat_C > limits->preheat_max_C)
        b.warning("preheat-high",
                  fmt::format("Preheat of {:.0f} degC is above the limit of {:.0f} degC.", c.preheat_C,
                              limits->preheat_max_C),
                  source);
      if (c.interpass_C > limits->interpass_max_C)
        b.warning("interpass-high",
                  fmt::format("Interpass temperature of {:.0f} degC is above the limit of {:.0f} degC.", c.interpass_C,
                              limits->interpass_max_C),
                  source);
    }
  }

  avoided_range(c, b);
  const double softening_C = heat_range(catalog, "softening-temperature").low;
  const SourceIndex recalled = b.source_of_range("softening-temperature");
  for (const ReportPass& pass : passes) {
    const int number = pass.result->pass.number;
    const ConstantValues x = nominal_values(pass.context->constants);
    const PoolInput field = heat_field(*pass.context, x, pass.at, plate_thickness_mm(c));
    for (const auto& [key, label, plate_C] :
         {std::tuple{"softened_half_width", "softened to either side of the weld centreline", c.preheat_C},
          std::tuple{"softened_half_width_interpass", "... at the interpass limit", c.interpass_C}}) {
      if (key != std::string_view("softened_half_width") && !(c.interpass_C > c.preheat_C)) continue;
      HeatItem& item =
          b.checked(key, label, softened_half_width_mm(field, plate_C, softening_C), F::bead_width,
                    fmt::format("where the peak passes {:.0f} degC on the face, conduction field from {:.0f} "
                                "degC; about +-30 %",
                                softening_C, plate_C));
      item.pass = number;
      item.source = recalled;
    }
    const Composition metal = mix(pass.welded->wire->typical, base_mixture(c), 0.01 * pass.at[F::dilution], {}, 0);
    HeatItem& mixture = b.number("weld_magnesium", "magnesium in the weld metal", metal[Element::Mg], "%", 2);
    mixture.pass = number;
    mixture.note = fmt::format("{:.0f} % dilution of {}; silicon {:.2f} %", pass.at[F::dilution], pass.welded->wire->id,
                               metal[Element::Si]);
    mixture.source = composition_source(*pass.welded);
    for (const CrackingFinding finding : cracking_findings(metal, cracking_ranges(catalog)))
      b.pass_finding(pass,
                     {"hot-cracking",
                      fmt::format("the mixed weld metal lies in the {} range that is sensitive to hot cracking: less "
                                  "dilution, or a filler richer in silicon or magnesium.",
                                  cracking_words(finding)),
                      recalled, true});
  }
  const bool hardened = kind == AluminiumKind::mg_si || kind == AluminiumKind::zinc || kind == AluminiumKind::copper;
  if (hardened)
    b.finding("softening",
              "The alloy is age-hardened: the softened zone, not the weld, decides the strength of the joint.",
              recalled);
  report.push_back(b.take());
}

}  // namespace seamwright
