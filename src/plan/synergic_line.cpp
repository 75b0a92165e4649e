#include "seamwright/synergic_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "plan/plan_parts.hpp"
#include "settle/resolve.hpp"
#include "window/operating_point.hpp"
#include "window/pass_context.hpp"

namespace seamwright {
namespace {

constexpr double any_travel_mm_per_s = 8;  // what the line gives does not hang on it
constexpr std::array plates_mm{1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0};

// What the arc and the feeder ask for by themselves.
std::uint64_t all_but_the_arc() {
  std::uint64_t ignored = ~std::uint64_t{0};
  for (const ConstraintInfo& limit : constraints())
    if (limit.topic == ConstraintInfo::Topic::arc || limit.topic == ConstraintInfo::Topic::feeder)
      ignored &= ~(std::uint64_t{1} << static_cast<unsigned>(limit.id));
  return ignored;
}

Diagnostic no_line(const Joint& joint, std::string message, std::string help) {
  Diagnostic d;
  d.place = joint.wire.place;
  d.message = std::move(message);
  d.help = std::move(help);
  return d;
}

// Settles mode and diameter, the trade's first that is possible; what was wrong with the last one tried if none is.
std::optional<std::string> settle(Case& c) {
  std::vector<Mode> modes;
  if (c.joint.mode) {
    modes = {*c.joint.mode};
  } else if (c.alloy->family == Family::carbon_steel) {
    modes = {Mode::spray, Mode::pulse, Mode::short_arc};
  } else {
    modes = {Mode::pulse, Mode::spray, Mode::short_arc};
  }
  std::optional<std::string> reason = "no diameter of it is known";
  for (const Mode mode : modes)
    for (const double diameter : diameter_candidates(c)) {
      Case settled = c;
      reason = settle_mode(settled, mode, diameter);
      if (reason) continue;
      if (!c.joint.mode)
        settled.choices.push_back({"process.mode", std::string(mode_key(mode)), "usual first choice for this wire", 0});
      for (Choice& choice : settled.choices)  // the plate under the bead stands for any
        if (choice.key == "wire.diameter" && !c.joint.wire_diameter_mm)
          choice.reason = "usual first choice for this wire";
      c = std::move(settled);
      return std::nullopt;
    }
  return reason;
}

double round_step(double range) {
  constexpr int rows = 12;
  const double rough = range / rows, decade = std::pow(10.0, std::floor(std::log10(rough)));
  for (const double nice : {1.0, 2.0, 5.0})
    if (nice * decade >= rough) return nice * decade;
  return 10 * decade;
}

LineRow row_at(const PassContext& context, const ConstantValues& constants, double feed) {
  const Setting setting = on_line(context, constants, {0, any_travel_mm_per_s}, feed);
  LineRow row;
  row.value = evaluate(context, constants, setting);
  row.plus_minus = uncertainty(influences(context, setting));
  const double half = trim_half_V(context, constants);
  row.voltage_low_V = row.value[F::voltage] - half;
  row.voltage_high_V = row.value[F::voltage] + half;
  return row;
}

// The root or only pass of a joint of this thickness with the line's wire, gas and mode.
std::optional<Interval> feeds_for(const Case& line, JointType type, double thickness_mm, const Catalog& catalog) {
  Joint joint = line.joint;
  joint.type.value = type;
  joint.thickness_mm.value = thickness_mm;
  Expected<Case> c = resolve_joint(joint, nullptr, catalog);
  if (!c || settle_mode(*c, line.mode, line.diameter_mm)) return std::nullopt;
  const KeptList<PassContext> contexts = pass_contexts(*c);
  const Window window = solve_window(contexts.front(), 0, WindowDetail::band);
  if (!window.band.feasible) return std::nullopt;
  return Interval{window.band.low.wire_feed_m_per_min, window.band.high.wire_feed_m_per_min};
}

}  // namespace

Expected<SynergicLine> synergic_line(const Joint& joint, const Catalog& catalog, double step_m_per_min) {
  if (!joint.passes.empty())
    return Diagnostic{joint.passes.front().place,
                      fmt::format("a line is of one process: {} has no place in it", pass_table_name(joint.passes[0])),
                      "give process.mode, wire and gas instead"};
  Expected<Case> resolved = resolve_joint(joint, nullptr, catalog);
  if (!resolved) return resolved.errors();
  SynergicLine line;
  line.resolved = std::move(*resolved);
  if (const auto reason = settle(line.resolved))
    return no_line(joint, fmt::format("there is no line: {}", *reason), "choose another mode, diameter or gas");
  // The plate under the bead stands for any: what is warned about its thickness is not said.
  auto& warnings = line.resolved.warnings;
  warnings.erase(std::remove_if(warnings.begin(), warnings.end(),
                                [](const Warning& w) { return w.id == "short-arc-thick-plate"; }),
                 warnings.end());
  line.context = pass_contexts(line.resolved).front();
  line.context.ignored_constraints = all_but_the_arc();
  const ConstantValues constants = nominal_values(line.context.constants);
  const Band band = solve_band(line.context, constants, {0, any_travel_mm_per_s});
  if (!band.feasible)
    return no_line(
        joint,
        fmt::format(
            "there is no stable range: {}",
            constraint(margins(line.context, constants, evaluate(line.context, constants, band.best)).worst().id)
                .label),
        "choose another mode, diameter or gas");
  line.low = band.low;
  line.high = band.high;
  const double from = band.low.wire_feed_m_per_min, to = band.high.wire_feed_m_per_min;
  const double step = step_m_per_min > 0 ? step_m_per_min : round_step(to - from);
  line.rows.push_back(row_at(line.context, constants, from));
  for (double k = std::floor(from / step) + 1; k * step < to * (1 - 1e-9); ++k)
    line.rows.push_back(row_at(line.context, constants, k * step));
  line.rows.push_back(row_at(line.context, constants, to));
  line.current_rise_A_per_ms = {line.context.arc.rise_min, line.context.arc.rise_max};
  if (is_pulsed(line.context.mode)) {
    const TrimWindow trim =
        peak_trim_window(line.context.pulse.criterion_window, line.context.pulse.criterion_exponent);
    line.peak_trim_percent = {100 * trim.low, 100 * trim.high};
  }
  line.cautions = cautions_for(line.resolved, line.rows.back().value[F::current]);
  for (const JointType type : {JointType::fillet, JointType::butt})
    for (const double plate : plates_mm)
      if (auto feeds = feeds_for(line.resolved, type, plate, catalog)) {
        // An end that the arc sets is the line's own, found once more by a search.
        constexpr double rounding = 1e-8;
        if (std::abs(feeds->low - from) <= rounding * from) feeds->low = from;
        if (std::abs(feeds->high - to) <= rounding * to) feeds->high = to;
        line.suits.push_back({type, plate, *feeds});
      }
  return line;
}

}  // namespace seamwright
