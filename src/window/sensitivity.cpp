#include "seamwright/sensitivity.hpp"

#include <algorithm>
#include <cmath>

#include "seamwright/confidence.hpp"
#include "settle/resolve.hpp"
#include "window/operating_point.hpp"
#include "window/pass_context.hpp"

namespace seamwright {
namespace {

constexpr double extension_mm = 5, gap_mm = 1, share = 0.1, trim_V = 2;

// The pulse as it is set on the machine: it does not follow a change at the torch.
void hold_pulse(PassContext& c, const FieldValues& point) {
  if (!is_pulsed(c.mode)) return;
  c.pulse.peak_time_ms = point[F::peak_time];
  c.constants[static_cast<std::size_t>(K::drop_ratio)].value = point[F::drop_diameter] / c.wire.diameter_mm;
}

// The pass of the joint with a wider gap; the context itself where that joint has other passes.
PassContext wider_gap(const Case& resolved, const PassContext& c, std::size_t pass) {
  Joint joint = resolved.joint;
  joint.gap_mm.value = resolved.section.gap_mm + gap_mm;
  if (auto wider = context_of(resolved, joint, pass)) return std::move(*wider);
  PassContext wider = c;
  wider.plate.gap_mm += gap_mm;
  return wider;
}

// For the steel's sake, from what the heat report asks: it is none of the joint's or the catalog's own.
bool preheat_was_chosen(const Case& c) {
  return std::any_of(c.choices.begin(), c.choices.end(),
                     [](const Choice& choice) { return choice.key == "material.preheat"; });
}

}  // namespace

std::optional<PassContext> context_of(const Case& resolved, const Joint& changed, std::size_t pass) {
  return context_of(resolved, changed, pass, *resolved.catalog);
}

std::optional<PassContext> context_of(const Case& resolved, const Joint& changed, std::size_t pass,
                                      const Catalog& catalog) {
  Expected<Case> other = resolve_joint(changed, resolved.equipment ? &*resolved.equipment : nullptr, catalog);
  if (!other) return std::nullopt;
  (*other).procedure = resolved.procedure;
  (*other).root_mode = resolved.root_mode;
  if (!changed.preheat_C && preheat_was_chosen(resolved)) {
    (*other).preheat_C = resolved.preheat_C;
    (*other).interpass_C = std::max((*other).interpass_C, resolved.preheat_C);
  }
  for (const double deposit_share : {1.0, 0.7, 0.5, 0.35}) {
    Case settled = *other;
    if (settle_mode(settled, resolved.mode, resolved.diameter_mm, deposit_share)) return std::nullopt;
    if (settled.pass_plans.size() != resolved.pass_plans.size()) continue;
    return std::move(pass_contexts(settled)[pass]);
  }
  return std::nullopt;
}

std::vector<SensitivityRow> sensitivity(const Case& resolved, const PassContext& c, std::size_t pass,
                                        const Setting& s) {
  const FieldValues before = evaluate(c, nominal_values(c.constants), s);
  std::vector<SensitivityRow> rows;
  const auto add = [&](std::string_view key, std::string_view label, const PassContext& context,
                       const Setting& setting) {
    const ConstantValues x = nominal_values(context.constants);
    const FieldValues after = evaluate(context, x, setting);
    const auto change = [&](F id) { return after[id] - before[id]; };
    Margin worst = setting_margins(context, x, setting).worst();
    if (std::abs(worst.score) < same_score) worst.score = 0;  // a limit that is just met holds
    rows.push_back({key, label, change(F::current), change(F::penetration), change(F::heat_input), worst});
  };
  const auto with = [&](double Setting::*member, double value) {
    Setting changed = s;
    changed.*member = value;
    return changed;
  };
  PassContext held = c;
  hold_pulse(held, before);

  PassContext longer = held;
  longer.wire.extension_mm += extension_mm;
  add("extension", "5 mm more extension", longer, s);
  PassContext wider = wider_gap(resolved, c, pass);
  hold_pulse(wider, before);
  add("gap", "1 mm more gap", wider, s);
  add("wire_feed", "10 % more wire feed", held,
      with(&Setting::wire_feed_m_per_min, (1 + share) * s.wire_feed_m_per_min));
  add("travel", "10 % faster travel", held, with(&Setting::travel_mm_per_s, (1 + share) * s.travel_mm_per_s));
  add("voltage", "2 V more", held, with(&Setting::arc_trim_V, s.arc_trim_V + trim_V));
  return rows;
}

}  // namespace seamwright
