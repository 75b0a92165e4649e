#include "seamwright/aluminium.hpp"

#include <algorithm>
#include <array>

namespace seamwright {
namespace {

using enum Element;

const FillerTraits* find_traits(std::span<const FillerTraits> traits, std::string_view filler) {
  const auto at = std::ranges::find(traits, filler, &FillerTraits::id);
  return at == traits.end() ? nullptr : &*at;
}

const FillerPair* find_pair(std::span<const FillerPair> pairs, AluminiumKind a, AluminiumKind b) {
  const std::string_view key = aluminium_kind_key(a), key2 = aluminium_kind_key(b);
  const auto at = std::ranges::find_if(pairs, [&](const FillerPair& pair) {
    return (pair.kind == key && pair.kind2 == key2) || (pair.kind == key2 && pair.kind2 == key);
  });
  return at == pairs.end() ? nullptr : &*at;
}

FillerChoice judge(const FillerTraits& filler, const FillerQuestion& question, const FillerLimits& limits) {
  FillerChoice out{.filler = filler.id, .usable = true, .reasons = {}};
  const bool silicon_filler = filler.silicon_percent >= limits.silicon_from_percent;
  const double base_magnesium = std::max(question.magnesium_percent, question.magnesium2_percent);
  if (silicon_filler && base_magnesium > limits.base_magnesium_max_percent) {
    out.usable = false;
    out.reasons.push_back(FillerReason::brittle_silicide);
  } else if (silicon_filler && base_magnesium > limits.base_magnesium_doubt_percent) {
    out.reasons.push_back(FillerReason::silicide_begins);
  }
  if (question.service_C > limits.service_C && filler.magnesium_percent > limits.service_magnesium_max_percent) {
    out.usable = false;
    out.reasons.push_back(FillerReason::stress_corrosion);
  }
  if (silicon_filler && question.aim == FillerAim::colour_match) {
    out.reasons.push_back(FillerReason::dark_after_anodising);
  }
  return out;
}

double rank(const FillerTraits& filler, FillerAim aim) {
  switch (aim) {
    case FillerAim::usual:
      return 0;
    case FillerAim::strength:
      return filler.strength_rank;
    case FillerAim::crack_resistance:
      return filler.crack_resistance_rank;
    case FillerAim::colour_match:
      return filler.colour_match_rank;
  }
  return 0;
}

FillerReason reason_of(FillerAim aim) {
  switch (aim) {
    case FillerAim::usual:
      return FillerReason::usual_choice;
    case FillerAim::strength:
      return FillerReason::strongest;
    case FillerAim::crack_resistance:
      return FillerReason::least_cracking;
    case FillerAim::colour_match:
      return FillerReason::best_colour;
  }
  return FillerReason::usual_choice;
}

}  // namespace

std::string_view aluminium_kind_key(AluminiumKind kind) {
  constexpr std::array<std::string_view, aluminium_kind_count> keys{
      "pure", "copper",     "manganese",  "magnesium",     "mg-si",
      "zinc", "cast-al-si", "cast-al-mg", "cast-al-si-mg", "cast-al-si-cu"};
  return keys[static_cast<std::size_t>(kind)];
}

std::optional<AluminiumKind> aluminium_kind_of_group(std::string_view group) {
  struct Group {
    std::string_view number;
    AluminiumKind kind;
  };
  using enum AluminiumKind;
  constexpr std::array<Group, 11> groups{{{"21", pure},
                                          {"22.1", manganese},
                                          {"22.2", magnesium},
                                          {"22.3", magnesium},
                                          {"22.4", magnesium},
                                          {"23.1", mg_si},
                                          {"23.2", zinc},
                                          {"24.1", cast_al_si},
                                          {"24.2", cast_al_si_mg},
                                          {"25", cast_al_si_cu},
                                          {"2xxx", copper}}};
  const auto at = std::ranges::find(groups, group, &Group::number);
  if (at == groups.end()) return std::nullopt;
  return at->kind;
}

std::vector<FillerChoice> choose_filler(const FillerQuestion& question, std::span<const FillerPair> pairs,
                                        std::span<const FillerTraits> traits, const FillerLimits& limits) {
  const FillerPair* pair = find_pair(pairs, question.kind, question.kind2);
  if (pair == nullptr) return {};
  struct Ranked {
    FillerChoice choice;
    double rank;
  };
  std::vector<Ranked> ranked;
  for_each_item(pair->fillers, [&](std::string_view name) {
    if (const FillerTraits* filler = find_traits(traits, name)) {
      ranked.push_back({judge(*filler, question, limits), rank(*filler, question.aim)});
    }
  });
  std::ranges::stable_sort(ranked, [](const Ranked& a, const Ranked& b) {
    return a.choice.usable != b.choice.usable ? a.choice.usable : a.rank > b.rank;
  });
  if (!ranked.empty() && ranked.front().choice.usable) {
    auto& reasons = ranked.front().choice.reasons;
    reasons.insert(reasons.begin(), reason_of(question.aim));
  }
  std::vector<FillerChoice> out;
  for (auto& [choice, unused] : ranked) out.push_back(std::move(choice));
  return out;
}

Checked<FillerChoice> judge_filler(std::string_view filler, const FillerQuestion& question,
                                   std::span<const FillerPair> pairs, std::span<const FillerTraits> traits,
                                   const FillerLimits& limits) {
  const FillerTraits* known = find_traits(traits, filler);
  if (known == nullptr) return Refusal{RefusalReason::not_in_table, "filler", 0, {}};
  FillerChoice out = judge(*known, question, limits);
  bool listed = false;
  if (const FillerPair* pair = find_pair(pairs, question.kind, question.kind2)) {
    for_each_item(pair->fillers, [&](std::string_view name) { listed = listed || name == filler; });
  }
  if (!listed) out.reasons.push_back(FillerReason::not_listed);
  return out;
}

Checked<TemperatureLimits> aluminium_temperatures(std::span<const AluminiumTemperatureRow> table, AluminiumKind kind,
                                                  AluminiumKind kind2) {
  const auto a = std::ranges::find(table, aluminium_kind_key(kind), &AluminiumTemperatureRow::id);
  const auto b = std::ranges::find(table, aluminium_kind_key(kind2), &AluminiumTemperatureRow::id);
  if (a == table.end() || b == table.end()) return Refusal{RefusalReason::not_in_table, "alloy kind", 0, {}};
  return TemperatureLimits{std::min(a->preheat_max_C, b->preheat_max_C),
                           std::min(a->interpass_max_C, b->interpass_max_C)};
}

std::vector<CrackingFinding> cracking_findings(const Composition& x, const CrackingRanges& ranges) {
  std::vector<CrackingFinding> out;
  const auto note = [&](double percent, Interval range, CrackingFinding finding) {
    if (range.contains(percent)) out.push_back(finding);
  };
  note(x[Cu], ranges.copper_percent, CrackingFinding::copper);
  if (x[Si] >= ranges.silicon_safe_percent || x[Mg] >= ranges.magnesium_safe_percent) return out;
  constexpr double magnesium_to_silicon = 1.73;  // Mg2Si by mass
  const double silicide = std::min(x[Mg] * (1 + 1 / magnesium_to_silicon), x[Si] * (1 + magnesium_to_silicon));
  note(x[Si], ranges.silicon_percent, CrackingFinding::silicon);
  note(x[Mg], ranges.magnesium_percent, CrackingFinding::magnesium);
  note(silicide, ranges.magnesium_silicide_percent, CrackingFinding::magnesium_silicide);
  std::ranges::sort(out);
  return out;
}

Checked<double> softened_half_width_mm(const PoolInput& in, double plate_C, double softening_C) {
  constexpr double absolute_zero_C = -273.15, far_limit_mm = 1e4;
  if (!(plate_C < softening_C)) {
    return Refusal{RefusalReason::outside, "plate temperature, degC", plate_C, {absolute_zero_C, softening_C}};
  }
  // The isotherm of the softening, read as if the metal melted there.
  PoolInput softened = in;
  softened.rise_to_melting_K = softening_C - plate_C;
  const double half_mm = 0.5 * pool_by_table(softened, pool_width).width_mm;
  if (!(half_mm <= far_limit_mm))
    return Refusal{RefusalReason::no_solution, "softened width, mm", half_mm, {0, far_limit_mm}};
  return half_mm;
}

}  // namespace seamwright
