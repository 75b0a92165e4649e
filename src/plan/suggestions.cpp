#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "plan/plan_parts.hpp"
#include "seamwright/planner.hpp"
#include "settle/resolve.hpp"

namespace seamwright {
namespace {

struct Change {
  std::string key;
  std::string value;
  std::string words;
  Joint joint;
};

std::string plain(double value) { return fmt::format("{:.4g}", value); }

template <class T>
Given<T> as_if_given(T value) {
  Given<T> given;
  given.value = std::move(value);
  return given;
}

// The steps to try, nearest first: what a welder can change at the bench before what changes the drawing.
std::vector<Change> steps(const Plan& plan) {
  const Case& c = plan.resolved;
  const Joint& j = c.joint;
  const double t = *j.thickness_mm;
  const bool fillet = *j.type == JointType::fillet || *j.type == JointType::lap;
  const bool butt = *j.type == JointType::butt || *j.type == JointType::pipe_butt;
  std::vector<Change> changes;
  const auto add = [&](std::string key, std::string value, std::string words, const std::function<void(Joint&)>& edit) {
    Change change{std::move(key), std::move(value), std::move(words), j};
    edit(change.joint);
    changes.push_back(std::move(change));
  };
  const auto violated = [&](C id) {
    for (const PassResult& pass : plan.passes)
      for (const Margin& m : pass.conflicts)
        if (m.id == id) return true;
    return false;
  };

  if (j.wire_feed_m_per_min)
    add("process.wire_feed", "", "leaving the wire feed to be computed", [](Joint& x) { x.wire_feed_m_per_min = {}; });
  if (j.travel_mm_per_s)
    add("process.travel", "", "leaving the travel to be computed", [](Joint& x) { x.travel_mm_per_s = {}; });
  if (violated(C::user_limit))
    for (std::size_t i = 0; i < j.limits.size(); ++i)
      add(fmt::format("limits.{}", field(j.limits[i].field).key), "left out",
          fmt::format("without the limit on {}", field(j.limits[i].field).label),
          [i](Joint& x) { x.limits.erase(x.limits.begin() + static_cast<std::ptrdiff_t>(i)); });
  if (!j.mechanised && !j.travel_mm_per_s)
    add("process.mechanised", "true", "mechanised travel", [](Joint& x) { x.mechanised = as_if_given(true); });
  if (butt && c.section.preparation == PreparationType::square)
    for (const double share : {0.25, 0.5, 0.75, 1.0})
      if (std::abs(share * t - c.section.gap_mm) > 0.1)
        add("joint.gap", plain(share * t) + " mm", fmt::format("a gap of {} mm", plain(share * t)),
            [&](Joint& x) { x.gap_mm = as_if_given(share * t); });
  if (butt && c.section.root_face_mm > 0.5)
    add("joint.root_face", "0.5 mm", "a root face of 0.5 mm", [](Joint& x) { x.root_face_mm = as_if_given(0.5); });
  if (j.mode)
    for (const Mode mode : {Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse})
      if (mode != *j.mode)
        add("process.mode", std::string(mode_key(mode)), fmt::format("mode {}", mode_key(mode)), [&](Joint& x) {
          x.mode = as_if_given(mode);
          x.peak_current_A = {};
          x.peak_time_ms = {};
          x.modulation_frequency_Hz = {};
          x.modulation_amplitude_m_per_min = {};
          x.modulation_share = {};
        });
  if (j.wire_diameter_mm) {
    Case free = c;
    free.joint.wire_diameter_mm = {};
    for (const double d : diameter_candidates(free))
      if (std::abs(d - *j.wire_diameter_mm) > 0.01)
        add("wire.diameter", plain(d) + " mm", fmt::format("wire of {} mm", plain(d)),
            [&](Joint& x) { x.wire_diameter_mm = as_if_given(d); });
  }
  if (j.extension_mm) add("wire.extension", "", "the usual extension", [](Joint& x) { x.extension_mm = {}; });
  if (j.gas || !j.gas_composition.empty())
    add("gas.designation", "", "the usual gas for the wire", [](Joint& x) {
      x.gas = {};
      x.gas_composition.clear();
    });
  if (fillet)
    for (const double factor : {1.25, 0.8, 1.5}) {
      if (j.throat_mm) {
        const double throat = std::round(10 * factor * *j.throat_mm) / 10;
        if (fillet_leg_mm(throat) <= c.position->fillet_leg_max_mm.value)
          add("joint.throat", plain(throat) + " mm",
              fmt::format("a throat of {} mm, if the drawing allows it", plain(throat)),
              [throat](Joint& x) { x.throat_mm = as_if_given(throat); });
        continue;
      }
      const double leg = std::round(10 * factor * c.section.leg_mm) / 10;
      if (leg <= c.position->fillet_leg_max_mm.value)
        add("joint.leg", plain(leg) + " mm", fmt::format("a leg of {} mm, if the drawing allows it", plain(leg)),
            [leg](Joint& x) {
              x.leg_mm = as_if_given(leg);
              x.leg2_mm = {};
            });
    }
  if (butt && !c.backed && c.sides == 1)
    add("joint.backing", "ceramic", "a ceramic backing", [](Joint& x) { x.backing = as_if_given(Backing::ceramic); });
  if (c.position->id != "PA" && c.position->id != "PB")
    add("joint.position", fillet ? "PB" : "PA", "turning the joint flat",
        [&](Joint& x) { x.position = as_if_given(std::string(fillet ? "PB" : "PA")); });
  if (!j.preheat_C)
    add("material.preheat", "100 degC", "a preheat of 100 degC where the alloy allows it",
        [](Joint& x) { x.preheat_C = as_if_given(100.0); });
  if (c.quality->id == "B")
    add("quality", "C", "quality level C, if the drawing allows it",
        [](Joint& x) { x.quality = as_if_given(std::string("C")); });
  return changes;
}

}  // namespace

std::vector<Suggestion> tried_changes(const Plan& plan, const Equipment* equipment) {
  constexpr std::size_t enough = 4;
  const PlanOptions quick{.detail = WindowDetail::band,
                          .uncertainties = false,
                          .suggestions = false,
                          .heat_report = false,
                          .procedure = plan.resolved.procedure ? &*plan.resolved.procedure : nullptr,
                          .box = false,
                          .confident = false,
                          .detail_tables = false};
  std::vector<Suggestion> found;
  const auto consider = [&](const std::string& key, const std::string& value, const std::string& words,
                            const Joint& joint, const Equipment* machine, const PlanOptions& options) {
    const Expected<Plan> tried = make_plan(joint, machine, *plan.resolved.catalog, options);
    if (!tried || !tried->feasible) return;
    const Estimate& feed = tried->passes.front()[F::wire_feed];
    found.push_back({key, value,
                     fmt::format("{} opens a window: {:.1f} to {:.1f} m/min wire feed{}", words, feed.low, feed.high,
                                 tried->passes.size() > 1 ? " in the first pass" : "")});
  };
  for (const Change& change : steps(plan)) {
    if (found.size() >= enough) break;
    consider(change.key, change.value, change.words, change.joint, equipment, quick);
  }
  if (equipment != nullptr && found.size() < enough)
    consider("--equipment", "another", "equipment without these limits", plan.resolved.joint, nullptr, quick);
  if (plan.resolved.procedure && found.size() < enough) {
    PlanOptions free = quick;
    free.procedure = nullptr;
    consider("--procedure", "", "a procedure without these ranges", plan.resolved.joint, equipment, free);
  }
  return found;
}

}  // namespace seamwright
