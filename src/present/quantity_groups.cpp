#include "present/quantity_groups.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string_view>

namespace seamwright {
namespace {

constexpr std::size_t group_count = static_cast<std::size_t>(QuantityGroup::count);
constexpr std::array<std::string_view, group_count> labels{
    "Set on the machine", "Move the torch", "Expect", "Heat", "Metal", "Use", "Time and cost"};

}  // namespace

std::span<const LabelledGroup> quantity_groups() {
  static const std::array<LabelledGroup, group_count> groups = [] {
    std::array<LabelledGroup, group_count> sorted;
    for (std::size_t i = 0; i < group_count; ++i) sorted[i].label = labels[i];
    for (const bool set : {true, false})
      for (const FieldInfo& info : fields())
        if ((info.range == Range::setting) == set)
          sorted[static_cast<std::size_t>(info.group)].fields.push_back(info.id);
    return sorted;
  }();
  return groups;
}

std::string dial_words(const Case& resolved, F id, const Estimate& estimate) {
  std::string words;
  if (!resolved.equipment || !estimate.present) return words;
  for (const Dial& dial : resolved.equipment->dials) {
    if (dial.field != id) continue;
    const double reading = dial_reading(dial, estimate.value);
    const bool beyond = reading < std::min(dial.low, dial.high) || reading > std::max(dial.low, dial.high);
    words = fmt::format("{} {:.{}f}{}", dial.name, reading + 0.0, dial.decimals, beyond ? " (beyond its scale)" : "");
  }
  return words;
}

std::string pass_dials(const Case& resolved, const PassResult& pass) {
  std::string dials;
  for (const FieldInfo& info : fields())
    if (const std::string words = dial_words(resolved, info.id, pass[info.id]); !words.empty())
      dials += fmt::format("{}{}", dials.empty() ? "" : ", ", words);
  return dials;
}

bool was_solved(const ModeTrial& trial) {
  constexpr double no_margin = -1e6;  // far below any real margin
  return std::isfinite(trial.score) && trial.score > no_margin;
}

std::string shortfall_words(const Margin& margin, Units units) {
  std::string words;
  append_shortfall(words, margin, units);
  return words;
}

void append_shortfall(std::string& out, const Margin& m, Units units) {
  const FieldInfo& info = field(m.field);
  const auto to_out = std::back_inserter(out);
  if (!std::isfinite(m.value)) {
    fmt::format_to(to_out, "{} is outside the range in which it can be computed", info.label);
    return;
  }
  const double gap = std::abs(m.value - m.limit);
  const std::string_view unit = unit_of(info, units);
  fmt::format_to(to_out, "{} {}, needs at {} {}: {}{}{} too {}", info.label, quantity_with_unit(info, m.value, units),
                 m.upper ? "most" : "least", quantity_with_unit(info, m.limit, units),
                 difference_text(info, gap, units), unit.empty() ? "" : " ", unit, m.upper ? "much" : "little");
  // A share of the limit says something only near it, and nothing on a scale with a zero of its own.
  if (m.limit != 0 && gap <= 2 * std::abs(m.limit) && info.us_offset == 0)
    fmt::format_to(to_out, " ({} %)", fixed_text(100 * gap / std::abs(m.limit), 0));
}

}  // namespace seamwright
