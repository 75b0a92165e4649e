
#include "seamwright/planner.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "plan/plan_parts.hpp"
#include "report/report_parts.hpp"
#include "seamwright/arc.hpp"
#include "settle/metal_parts.hpp"
#include "settle/resolve.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"
#include "window/pass_context.hpp"

namespace seamwright {
namespace {

constexpr int band_samples = 9;

void set_estimate(PassResult& r, F id, double value, double low, double high, C low_end, C high_end) {
  if (!applies(value)) return;
  Estimate& e = r[id];
  e.present = true;
  e.value = value;
  e.low = std::min(low, value);
  e.high = std::max(high, value);
  e.low_end = low_end;
  e.high_end = high_end;
}

// Ranges of the settings that have limits of their own rather than following the feed.
void settings_with_own_ends(const PassContext& c, const ConstantValues& x, const Setting& s, const FieldValues& f,
                            PassResult& r) {
  const double half_trim = trim_half_V(c, x);
  const C trim_end = c.arc.fixed_V > 0 ? C::none : is_dip(c.mode) ? C::dip_voltage_range : C::arc_length_range;
  set_estimate(r, F::arc_length_trim, 0.0, -half_trim, half_trim, trim_end, trim_end);
  set_estimate(r, F::voltage, f[F::voltage], f[F::voltage] - half_trim, f[F::voltage] + half_trim, trim_end, trim_end);
  if (c.arc.fixed_V <= 0)
    set_estimate(r, F::arc_length, f[F::arc_length], c.arc.length_min_mm, c.arc.length_max_mm, C::arc_length_range,
                 C::arc_length_range);
  set_estimate(r, F::current_rise, c.arc.rise_nominal, c.arc.rise_min, c.arc.rise_max, C::dynamics_range,
               C::dynamics_range);
  // The inductance is inverse to the rise.
  const double product = f[F::inductance] * c.arc.rise_nominal;
  set_estimate(r, F::inductance, f[F::inductance], product / c.arc.rise_max, product / c.arc.rise_min,
               C::dynamics_range, C::dynamics_range);
  if (!is_pulsed(c.mode)) return;
  const TrimWindow trim = peak_trim_window(c.pulse.criterion_window, c.pulse.criterion_exponent);
  set_estimate(r, F::peak_current_trim, 0.0, 100.0 * trim.low, 100.0 * trim.high, C::drop_criterion, C::drop_criterion);
  set_estimate(r, F::peak_current, f[F::peak_current], f[F::peak_current] * (1 + trim.low),
               f[F::peak_current] * (1 + trim.high), C::drop_criterion, C::drop_criterion);
  if (c.mode != Mode::double_pulse) return;
  const double burn = burn_through_feed_m_per_min(c, x, s.travel_mm_per_s, s.wire_feed_m_per_min);
  const Modulation m = modulation_at(c, x, f, burn);
  set_estimate(r, F::modulation_frequency, f[F::modulation_frequency], m.frequency_low_Hz, m.frequency_high_Hz,
               m.frequency_low_end, m.frequency_high_end);
  const C low_end = m.amplitude_low_end, high_end = m.amplitude_high_end;
  const double w = s.wire_feed_m_per_min;
  const double down = c.modulation.share / (1.0 - c.modulation.share);
  set_estimate(r, F::modulation_amplitude, f[F::modulation_amplitude], m.amplitude_low_m_per_min,
               m.amplitude_high_m_per_min, low_end, high_end);
  set_estimate(r, F::wire_feed_high, f[F::wire_feed_high], w + m.amplitude_low_m_per_min,
               w + m.amplitude_high_m_per_min, low_end, high_end);
  set_estimate(r, F::wire_feed_low, f[F::wire_feed_low], w - down * m.amplitude_high_m_per_min,
               w - down * m.amplitude_low_m_per_min, high_end, low_end);
  set_estimate(r, F::ripple_pitch, f[F::ripple_pitch], s.travel_mm_per_s / m.frequency_high_Hz,
               s.travel_mm_per_s / m.frequency_low_Hz, C::none, C::none);
}

}  // namespace

Interval own_range(const PassContext& c, const ConstantValues& x, const Setting& s, F id) {
  PassResult r;
  settings_with_own_ends(c, x, s, evaluate(c, x, s), r);
  return r[id].present ? Interval{r[id].low, r[id].high} : Interval{not_applicable, not_applicable};
}

namespace {

void uncertainties(const Catalog& catalog, const PassContext& c, const Setting& s, PassResult& r) {
  const Influences influence = influences(c, s);
  const FieldValues half = uncertainty(influence);
  for (std::size_t i = 0; i < field_count; ++i) {
    Estimate& e = r.estimates[i];
    if (!e.present) continue;
    e.plus_minus = half.value[i];
    for (std::size_t k = 0; k < model_constant_count; ++k)
      if (influence.depends[k][i]) e.weakest = std::max(e.weakest, source_of(catalog, c.constants[k].source).kind);
  }
}

// What holds together, and what holds surely.
void lockable(const Case& resolved, const PassContext& c, const PlanOptions& options, PassResult& r) {
  constexpr double usual_confidence = 0.9;
  const auto& given = resolved.joint.confidence;
  if (options.grade) r.grade = grade_of(c, r.window.band.best);
  if (options.confident) r.confident = confident_band(c, r.window, given ? *given : usual_confidence);
  if (options.box) r.box = solve_box(c, r.window, box_wish(resolved, r));
  if (!options.detail_tables) return;
  r.trims = trim_effects(c, r.window.band.best);
  if (c.mode == Mode::double_pulse) r.modulation = modulation_detail(c, r.window.band.best);
}

// An empty result; the list of conflicts keeps its memory.
void restart(PassResult& r) {
  std::vector<Margin> conflicts = std::move(r.conflicts);
  conflicts.clear();
  r = PassResult{};
  r.conflicts = std::move(conflicts);
}

// `solved` is the window without its extent, as the trial of modes left it.
void pass_result(const Case& resolved, const PassPlan& pass, const PassContext& c, const Window& solved,
                 const PlanOptions& options, PassResult& r) {
  restart(r);
  r.pass = pass;
  const ConstantValues x = nominal_values(c.constants);
  r.window = solved;
  if (options.detail == WindowDetail::full) add_extent(c, fixed_travel_mm_per_s(resolved.joint), r.window);
  r.feasible = r.window.band.feasible;
  r.deposit_moved = r.window.line_moved;
  Setting s = r.window.band.best;
  settle_modulation(c, x, s);
  r.window.band.best = s;
  const FieldValues f = evaluate(c, x, s);
  for (const Margin& m : margins(c, x, f, c.mode == Mode::double_pulse)) {
    if (m.score >= 0) continue;
    r.feasible = false;
    r.conflicts.push_back(m);
    r.conflicts.back().limit = last_end(c, m);  // as a refusal states it
    if (m.id == C::modulation_burn_through)
      r.conflicts.back().value = back_width_mm(c, x, f[F::wire_feed_high], f[F::travel]);
  }
  std::sort(r.conflicts.begin(), r.conflicts.end(), [](const Margin& a, const Margin& b) { return a.score < b.score; });

  // Everything that follows the feed, over the band.
  const Band& band = r.window.band;
  FieldValues low = f, high = f;
  if (band.feasible) {
    const double from = band.low.wire_feed_m_per_min, to = band.high.wire_feed_m_per_min;
    for (int i = 0; i < band_samples; ++i) {
      Setting at = on_line(c, x, r.window.line, from + (to - from) * i / (band_samples - 1));
      at.modulation_frequency_Hz = s.modulation_frequency_Hz;
      const FieldValues g = options.pool_ranges ? evaluate(c, x, at) : evaluate_supply(c, x, at);
      for (std::size_t k = 0; k < field_count; ++k) {
        if (!applies(g.value[k])) continue;
        low.value[k] = std::min(low.value[k], g.value[k]);
        high.value[k] = std::max(high.value[k], g.value[k]);
      }
    }
  }
  for (std::size_t k = 0; k < field_count; ++k) {
    const F id = static_cast<F>(k);
    const bool follows = id == F::wire_feed || id == F::travel || id == F::current || id == F::current_rms;
    const C low_end = follows && band.feasible ? band.low.constraint.id : C::none;
    const C high_end = follows && band.feasible ? band.high.constraint.id : C::none;
    set_estimate(r, id, f.value[k], low.value[k], high.value[k], low_end, high_end);
  }
  settings_with_own_ends(c, x, s, f, r);
  if (options.uncertainties) {
    uncertainties(*resolved.catalog, c, s, r);
    // What the metals are made of is no constant of the model, but these rest on it.
    for (const F id : {F::hardness, F::carbon_equivalent, F::cet, F::ferrite_number, F::pren})
      r[id].weakest = std::max(r[id].weakest, source_of(*resolved.catalog, composition_source(resolved)).kind);
  }
  if (r.feasible) lockable(resolved, c, options, r);
}

// The score of what was not tried, below any real one.
constexpr double nothing = -1e9;

// A mode, a diameter and a size of passes, and the windows they have.
struct Trial {
  double deposit_share = 1;
  KeptList<PassContext> contexts;  // of passes that differ
  std::vector<Window> windows;     // of the contexts
  std::vector<std::size_t> of;     // which of them each pass has, as far as it was tried
  ModeTrial outcome;
};

// The trade's order of modes for a joint, first choice first.
using ModeOrder = std::array<Mode, 4>;

// What trials are weighed by.
struct Weighing {
  Preference preference = Preference::metal;
  ModeOrder order{};
  double enough = 0;       // surety from which a trial is likely to hold
  double metal_ratio = 0;  // so much more metal counts, where metal is preferred
};

// The next pass and its window, those of an earlier one where the two are alike; whether they are not.
bool add_pass(const Case& c, Trial& t) {
  const std::size_t i = t.of.size();
  if (const std::size_t like = earlier_alike(c, i); like != i) {
    t.of.push_back(t.of[like]);
    return false;
  }
  t.of.push_back(t.contexts.size());
  PassContext& context = t.contexts.add();
  fill_context(c, i, context);
  t.windows.push_back(solve_window(context, fixed_travel_mm_per_s(case_of(c, i).joint), WindowDetail::band));
  return true;
}

// The first pass whose mode is the one that is tried; the first of all where none is.
std::size_t first_in_mode(const Case& c) {
  for (std::size_t i = 0; i < c.pass_plans.size(); ++i)
    if (case_of(c, i).mode == c.mode && !(i == 0 && c.root_mode)) return i;
  return 0;
}

// Solves the bands of every pass in one mode, where there are more passes than `more_than`; passes alike are solved
// once. The case is left settled in that mode. A trial that has no window is given up when its score is not above
// `to_beat`, which the passes not yet solved can only lower, or when several passes have shown how far off it is.
void try_passes(Case& c, Mode mode, double diameter_mm, double deposit_share, std::size_t more_than, double to_beat,
                Trial& t) {
  t.deposit_share = deposit_share;
  t.contexts.clear();
  t.windows.clear();
  t.of.clear();
  ModeTrial& outcome = t.outcome;
  outcome.mode = mode;
  outcome.root_mode = c.root_mode;
  outcome.diameter_mm = diameter_mm;
  outcome.unusual = unusual_mode(c, mode);
  outcome.feasible = outcome.chosen = false;
  outcome.score = nothing;
  outcome.passes = 0;
  if (!settle_mode(c, mode, diameter_mm, deposit_share, outcome.remark) || c.pass_plans.size() <= more_than) return;
  outcome.feasible = true;
  outcome.score = outcome.surety = 1e9;
  outcome.passes = c.pass_plans.size();
  double metal_mm2 = 0, nominal_mm2 = 0;
  outcome.arc_s_per_m = 0;
  int misses = 0;
  const std::size_t told = first_in_mode(c);
  for (std::size_t i = 0; i < outcome.passes; ++i) {
    const bool repeated = !add_pass(c, t);
    const PassContext& context = t.contexts[t.of.back()];
    const Window& window = t.windows[t.of.back()];
    const ConstantValues x = nominal_values(context.constants);
    const Setting& s = window.band.best;
    metal_mm2 += travel_for_deposit(context, x, s.wire_feed_m_per_min, 1.0) / s.travel_mm_per_s;
    nominal_mm2 += context.deposit.nominal_mm2;
    constexpr double mm_per_m = 1000;
    outcome.arc_s_per_m += mm_per_m / s.travel_mm_per_s;
    if (repeated) continue;
    if (i == told) {
      const FieldValues f = evaluate_supply(context, x, s);
      outcome.wire_feed_m_per_min = f[F::wire_feed];
      outcome.voltage_V = f[F::voltage];
      outcome.current_A = f[F::current];
      outcome.travel_mm_per_s = f[F::travel];
    }
    outcome.feasible = outcome.feasible && window.band.feasible;
    outcome.surety = std::min(outcome.surety, window.band.best_surety);
    if (window.band.best_score < outcome.score) {
      outcome.score = window.band.best_score;
      if (!window.band.feasible && c.with_reasons)
        outcome.remark =
            fmt::format("no window: {}", constraint(margins(context, x, evaluate(context, x, s)).worst().id).label);
    }
    constexpr int enough_misses = 3;
    misses += window.band.feasible ? 0 : 1;
    if (!outcome.feasible && (outcome.score <= to_beat || misses >= enough_misses)) return;
  }
  outcome.metal = nominal_mm2 > 0 ? metal_mm2 / nominal_mm2 : 1.0;
}

ModeOrder preferred_order(const Case& c) {
  const bool steel = c.alloy->family == Family::carbon_steel;
  if (steel && *c.joint.thickness_mm <= c.catalog->limits->short_arc_preferred_max_mm.value)
    return {Mode::short_arc, Mode::pulse, Mode::controlled_dip, Mode::spray};
  // Whatever lies on steel, a wire of another metal is laid as that metal is.
  if (!steel || wire_metal(*c.wire) != WireMetal::steel)
    return {Mode::pulse, Mode::spray, Mode::short_arc, Mode::controlled_dip};
  return {Mode::spray, Mode::pulse, Mode::short_arc, Mode::controlled_dip};
}

constexpr double much_surer = 0.25;

Weighing weighing_of(const Case& c) {
  return {c.preference, preferred_order(c),
          surety_of(c.catalog->limits->probability_enough.value - probability_rounding),
          c.catalog->limits->mode_metal_ratio.value};
}

// Feasible before infeasible; what is usual before what is not. Then, as is preferred:
//   metal   less metal before a fifth more of it; then, where both are likely to hold, the trade's order, else the
//   surer time    what is likely to hold before what is not; then the less arc time, else the surer margin  the surer
// Among infeasible ones the one that misses by least.
bool better(const ModeTrial& x, const ModeTrial& y, const Weighing& by) {
  if (x.feasible != y.feasible) return x.feasible;
  if (!x.feasible) return x.score > y.score;
  if (x.unusual != y.unusual) return y.unusual;
  if (by.preference == Preference::margin && x.surety != y.surety) return x.surety > y.surety;
  if (by.preference == Preference::metal && (x.metal > by.metal_ratio * y.metal || y.metal > by.metal_ratio * x.metal))
    return x.metal < y.metal;
  const bool a_enough = x.surety >= by.enough, b_enough = y.surety >= by.enough;
  if (a_enough != b_enough) return a_enough;
  if (by.preference == Preference::time && a_enough && x.arc_s_per_m != y.arc_s_per_m)
    return x.arc_s_per_m < y.arc_s_per_m;
  if (!a_enough && std::abs(x.surety - y.surety) > much_surer) return x.surety > y.surety;
  const auto rank = [&](Mode m) { return std::find(by.order.begin(), by.order.end(), m) - by.order.begin(); };
  return rank(x.mode) < rank(y.mode);
}

// Smaller passes are tried where the usual ones have no window, and always where something else than metal is
// preferred, as long as there are more of them to make. `smaller` is room to work in.
void try_mode(Case& c, Mode mode, double diameter_mm, const Weighing& by, Trial& best, Trial& smaller) {
  try_passes(c, mode, diameter_mm, 1.0, 0, nothing, best);
  std::size_t most_passes = best.outcome.passes;
  for (const double share : {0.7, 0.5, 0.35}) {
    const bool found = best.outcome.feasible;
    if ((found && by.preference == Preference::metal) || best.outcome.passes == 0) break;
    const double to_beat = found ? std::numeric_limits<double>::infinity() : best.outcome.score;
    try_passes(c, mode, diameter_mm, share, most_passes, to_beat, smaller);
    if (smaller.outcome.passes <= most_passes) continue;
    most_passes = found ? smaller.outcome.passes : most_passes;
    if (!found ? smaller.outcome.feasible || smaller.outcome.score > best.outcome.score
               : better(smaller.outcome, best.outcome, by)) {
      std::swap(best, smaller);
      most_passes = best.outcome.passes;
    }
  }
}

std::string_view chosen_words(Preference preference, bool likely) {
  if (preference == Preference::margin) return "the surest of the usual ones, as margin is preferred";
  if (preference == Preference::time && likely)
    return "the least arc time of the usual ones that are likely to hold, as time is preferred";
  if (preference == Preference::time)
    return "the surest of those tried; none is likely to hold, or time would be preferred";
  return likely ? "usual first choice that is likely to hold" : "the surest of those tried";
}

// Whether a choice was weighed among trials: its reason is then what is preferred.
void tell_preference(Case& c, std::string_view words) {
  for (Choice& choice : c.choices)
    if (choice.key == "wire.diameter" || choice.key == "passes") choice.reason = words;
}

// Whether the root of an open groove may be welded in a mode of its own: in steel the trade's habit is an arc that
// dips, with the wire and gas of the rest [practice].
bool may_have_root_apart(const Case& c, const Trial& best) {
  const Family family = c.alloy->family;
  const bool steel = family == Family::carbon_steel || family == Family::austenitic || family == Family::ferritic;
  return steel && !c.joint.mode && open_root(c) && c.sides == 1 && best.outcome.passes > 1 &&
         !is_dip(best.outcome.mode) && std::ranges::none_of(c.joint.passes, [](const PassTable& table) {
           return table.says.mode || table.kind == PassTableKind::root;
         });
}

// A procedure that states modes has the root in one of them.
bool procedure_allows(const Case& c, Mode mode) {
  if (!c.procedure) return true;
  const auto& stated = stated_words(*c.procedure, ProcedureWord::mode, 1);
  return !stated || std::ranges::find(*stated.value, mode_key(mode)) != stated.value->end();
}

// A root apart is one more thing to set: worth it where it opens a window, spares the root a mode that is not usual
// there, or holds where one mode throughout is not likely to.
bool worth_a_root_apart(const Trial& apart, const Trial& throughout, double enough, double metal_ratio) {
  const ModeTrial &x = apart.outcome, &y = throughout.outcome;
  if (!x.feasible || x.unusual) return false;
  if (!y.feasible || y.unusual) return true;
  if (x.metal > metal_ratio * y.metal) return false;
  return (x.surety >= enough && y.surety < enough) || x.surety > y.surety + much_surer;
}

// Tries every mode with the preferred diameter, then other diameters, until something is feasible. The case is left
// settled as the best trial has it. `trial` and `smaller` are room to work in.
void choose_mode(Case& c, const DiameterList& diameters, KeptList<ModeTrial>& outcomes, Trial& best, Trial& trial,
                 Trial& smaller) {
  std::vector<ModeRefusal> refusals;
  const ModeList modes = mode_candidates(c, refusals);
  const Weighing by = weighing_of(c);
  const bool by_metal = by.preference == Preference::metal;
  std::size_t best_index = 0;
  for (const double diameter : diameters) {
    for (const Mode mode : modes) {
      Trial& room = outcomes.empty() ? best : trial;
      try_mode(c, mode, diameter, by, room, smaller);
      outcomes.add() = room.outcome;
      if (&room == &best || !better(trial.outcome, best.outcome, by)) continue;
      std::swap(best, trial);
      best_index = outcomes.size() - 1;
    }
    if (best.outcome.feasible && by_metal) break;
  }
  const bool good = best.outcome.feasible && best.outcome.surety >= by.enough && !best.outcome.unusual;
  if (!good && may_have_root_apart(c, best))
    for (const Mode root : {Mode::short_arc, Mode::controlled_dip})
      for (const Mode mode : modes) {
        if (is_dip(mode) || !procedure_allows(c, root)) continue;
        c.root_mode = root;
        try_mode(c, mode, best.outcome.diameter_mm, by, trial, smaller);
        outcomes.add() = trial.outcome;
        const bool taken = best.outcome.root_mode || !by_metal
                               ? better(trial.outcome, best.outcome, by)
                               : worth_a_root_apart(trial, best, by.enough, by.metal_ratio);
        if (!taken) continue;
        std::swap(best, trial);
        best_index = outcomes.size() - 1;
      }
  c.root_mode = best.outcome.root_mode;
  if (outcomes.size() > 1 || !best.outcome.feasible || !by_metal)  // else it was the last one tried
    static_cast<void>(
        settle_mode(c, best.outcome.mode, best.outcome.diameter_mm, best.deposit_share, trial.outcome.remark));
  while (best.of.size() < best.outcome.passes) add_pass(c, best);  // of one given up
  outcomes[best_index].chosen = true;
  if (best.outcome.feasible && c.with_reasons && (by_metal ? modes.size() > 1 : outcomes.size() > 1)) {
    const std::string_view words = chosen_words(by.preference, best.outcome.surety >= by.enough);
    outcomes[best_index].remark = words;
    if (!by_metal) tell_preference(c, words);
  }
  for (ModeRefusal& refusal : refusals)
    outcomes.add() = {.mode = refusal.mode, .root_mode = {}, .score = nothing, .remark = std::move(refusal.reason)};
}

ModeTrial chosen_trial(const KeptList<ModeTrial>& trials) {
  for (const ModeTrial& trial : trials)
    if (trial.chosen) return trial;
  return {};
}

// The mode that was taken is told with the grade of its passes, worked out where they stand.
void grade_chosen(Plan& plan) {
  double surety = std::numeric_limits<double>::infinity();
  for (const PassResult& pass : plan.passes)
    if (pass.grade) surety = std::min(surety, pass.grade->weakest.surety);
  for (ModeTrial& trial : plan.trials)
    if (trial.chosen && std::isfinite(surety)) trial.surety = surety;
}

// Whether a quantity of all passes is the sum of theirs.
bool is_summed(F id) {
  return field(id).priced != Priced::never || id == F::wire_mass || id == F::gas_volume || id == F::arc_time ||
         id == F::wire_mass_all || id == F::gas_volume_all || id == F::arc_time_all;
}

void add_totals(Plan& plan) {
  for (const FieldInfo& info : fields()) {
    const F id = info.id;
    if (!is_summed(id)) continue;
    Estimate sum;
    for (const PassResult& pass : plan.passes) {
      const Estimate& e = pass[id];
      if (!e.present) continue;
      sum.present = true;
      sum.value += e.value;
      sum.low += e.low;
      sum.high += e.high;
      sum.plus_minus += e.plus_minus;  // the passes share their constants
      sum.weakest = std::max(sum.weakest, e.weakest);
    }
    plan.totals[static_cast<std::size_t>(id)] = sum;
  }
  // The number of welds is the same in every pass.
  plan.totals[static_cast<std::size_t>(F::quantity)] =
      plan.passes.empty() ? Estimate{} : plan.passes.front()[F::quantity];
}

// A limit on a quantity that no pass has binds nothing: say so.
void warn_of_unchecked_limits(Plan& plan) {
  if (plan.passes.empty()) return;
  const auto has = [](F id) { return [id](const PassResult& pass) { return pass[id].present; }; };
  const auto warn = [&](F id, std::string_view whose) {
    plan.resolved.warnings.push_back(
        {"limit-unchecked",
         fmt::format("{} on {} is not checked: the quantity does not exist here, or its formula does not hold.", whose,
                     field(id).label),
         0});
  };
  for (const UserLimit& limit : plan.resolved.joint.limits)
    if (std::none_of(plan.passes.begin(), plan.passes.end(), has(limit.field))) warn(limit.field, "The limit given");
  for (const PassTable& table : plan.resolved.joint.passes)
    for (const UserLimit& limit : table.says.limits)
      if (std::none_of(plan.passes.begin(), plan.passes.end(), has(limit.field))) warn(limit.field, "The limit given");
  if (plan.resolved.procedure)
    for (const ProcedureRange& r : plan.resolved.procedure->ranges)
      if (std::none_of(plan.passes.begin(), plan.passes.end(), has(r.field))) warn(r.field, "The procedure's range");
}

// Below a share of its greatest current a machine of standard grade is no longer as exact in per cent.
void warn_of_coarse_current(Plan& plan) {
  const Case& c = plan.resolved;
  if (!c.equipment || !c.equipment->current_A) return;
  const Constant& usual = c.catalog->limits->setting_accuracy_standard;
  const PassResult* worst = nullptr;
  double share = usual.value;
  for (const PassResult& pass : plan.passes) {
    const double here = setting_accuracy(c, pass[F::current].value, c.equipment->current_A);
    if (here <= share * (1 + 1e-9)) continue;
    share = here;
    worst = &pass;
  }
  if (worst == nullptr) return;
  const double current_A = (*worst)[F::current].value;
  plan.resolved.warnings.push_back(
      {"setting-accuracy",
       fmt::format(
           "Pass {}: {:.0f} A is low for this machine: standard grade may be off by {:.0f} A there ({:.0f} %), since "
           "below {:.0f} A it is only held to {:.1f} % of the maximum current. Check it with a calibrated meter.",
           worst->pass.number, current_A, share * current_A, 100 * share,
           c.catalog->limits->setting_accuracy_from.value * c.equipment->current_A->high,
           100 * usual.value * c.catalog->limits->setting_accuracy_from.value),
       usual.source});
}

}  // namespace

struct Planner::State {
  const Equipment* equipment = nullptr;
  const Catalog* catalog = nullptr;
  PlanOptions options;
  Plan plan;
  Diagnostics errors;
  DiameterList diameters;  // of the joint, to try
  Trial best, other, smaller;
};

Planner::Planner(const Equipment* equipment, const Catalog& catalog, const PlanOptions& options)
    : state_(std::make_unique<State>()) {
  state_->equipment = equipment;
  state_->catalog = &catalog;
  state_->options = options;
  state_->plan.resolved.with_reasons = options.reasons;
}
Planner::~Planner() = default;

const Diagnostics& Planner::errors() const { return state_->errors; }

namespace {

// The preheat a plan should have had, degC, in steps of 10; 0: as it is. `need` is what asks for it.
double preheat_to_choose(const Case& c, const KeptList<PassContext>& contexts, const Trial& chosen, const Joint& joint,
                         PreheatNeed& need) {
  if (joint.preheat_C || contexts.empty()) return 0;
  need = {};
  for (std::size_t own = 0; own <= c.own.size(); ++own) {  // each wire brings hydrogen of its own
    double least_heat = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < contexts.size(); ++i) {
      if (own != (c.own_of.empty() ? 0 : c.own_of[i]) || like_the_one_before(c, i)) continue;
      const ConstantValues x = nominal_values(contexts[i].constants);
      Setting at = chosen.windows[chosen.of[i]].band.best;
      settle_modulation(contexts[i], x, at);
      least_heat = std::min(least_heat, evaluate_supply(contexts[i], x, at)[F::heat_input]);
    }
    if (!std::isfinite(least_heat)) continue;
    const PreheatNeed asked = preheat_need(own == 0 ? c : c.own[own - 1], least_heat);
    if (asked.temperature_C > need.temperature_C) need = asked;
  }
  const Constant& ambient = c.catalog->limits->ambient_C;
  if (need.temperature_C <= ambient.value + ambient.half_width_90) return 0;
  constexpr double step_C = 10;
  return step_C * std::ceil(need.temperature_C / step_C);
}

}  // namespace

namespace {

// Where no pass is welded by the joint's own process, it is told by that of the passes that lay most metal; one whose
// mode the joint leaves open before others.
void tell_by_most_metal(Case& c) {
  if (is_used(c) || c.own.empty()) return;
  const Case* most = &c.own.front();
  std::pair<bool, double> best;
  for (std::size_t k = 0; k < c.own.size(); ++k) {
    double metal_mm2 = 0;
    for (std::size_t i = 0; i < c.own_of.size(); ++i)
      if (c.own_of[i] == k + 1) metal_mm2 += c.pass_plans[i].nominal_mm2;
    const std::pair rank{!c.own[k].joint.mode, metal_mm2};
    if (k == 0 || rank > best) {
      most = &c.own[k];
      best = rank;
    }
  }
  c.wire = most->wire;
  c.wire_family = most->wire_family;
  c.wire_size = most->wire_size;
  c.gas = most->gas;
  c.gas_name = most->gas_name;
  c.mode = most->mode;
  c.diameter_mm = most->diameter_mm;
  c.extension_mm = most->extension_mm;
  c.gas_flow_l_per_min = most->gas_flow_l_per_min;
}

}  // namespace

const Diagnostics& Planner::contradictions(const Joint& joint) {
  State& s = *state_;
  Case& c = s.plan.resolved;
  s.errors = resolve_joint(joint, s.equipment, *s.catalog, c);
  if (!s.errors.empty()) return s.errors;
  s.diameters = diameter_candidates(c);
  if (s.diameters.empty())
    s.errors.push_back(
        {joint.wire.place, fmt::format("no diameter is known for {}", c.wire->id), "give wire.diameter"});
  return s.errors;
}

bool Planner::choose_setting(const Joint& joint, double preheat_C, const PreheatNeed& need) {
  if (!choose_in_wire(joint, preheat_C, need)) return false;
  State& s = *state_;
  Case& c = s.plan.resolved;
  if (joint.wire || c.preference == Preference::metal) return true;
  const std::vector<std::string_view> wires = fillers_on_rack(c);
  if (wires.size() < 2) return true;
  const Weighing by = weighing_of(c);
  const std::string_view usual = c.wire->id;
  std::string_view best_wire = usual;
  ModeTrial best = chosen_trial(s.plan.trials);
  Joint other = joint;
  for (const std::string_view wire : wires) {
    other.wire.value = wire;
    if (wire == usual || !choose_in_wire(other, preheat_C, need)) continue;
    if (ModeTrial trial = chosen_trial(s.plan.trials); better(trial, best, by)) {
      best = std::move(trial);
      best_wire = wire;
    }
  }
  if (best_wire == usual) return choose_in_wire(joint, preheat_C, need);
  other.wire.value = best_wire;
  if (!choose_in_wire(other, preheat_C, need)) return false;
  if (s.options.reasons) {
    c.choices.insert(c.choices.begin(),
                     {"wire.designation", std::string(best_wire),
                      fmt::format("of the fillers for {} on the rack the one to take, as {} is preferred", c.alloy->id,
                                  preference_key(c.preference)),
                      0});
    ++c.choices_of_joint;
  }
  return true;
}

bool Planner::choose_in_wire(const Joint& joint, double preheat_C, const PreheatNeed& need) {
  State& s = *state_;
  const PlanOptions& options = s.options;
  Plan& plan = s.plan;
  Case& c = plan.resolved;
  plan.trials.clear();
  if (!contradictions(joint).empty()) return false;
  if (options.procedure != nullptr) c.procedure = *options.procedure;  // a new case has none
  if (preheat_C > 0) {
    c.preheat_C = preheat_C;
    c.interpass_C = std::max(c.interpass_C, preheat_C);
    if (options.reasons) {
      c.choices.push_back({"material.preheat", fmt::format("{:.0f} degC", preheat_C),
                           fmt::format("{} asks for {:.0f} degC", need.by, need.temperature_C), need.source});
      c.choices_of_joint = c.choices.size();
    }
  }
  choose_mode(c, s.diameters, plan.trials, s.best, s.other, s.smaller);
  plan.contexts.resize(s.best.of.size());
  for (std::size_t i = 0; i < plan.contexts.size(); ++i) plan.contexts[i] = s.best.contexts[s.best.of[i]];
  if (!plan.contexts.empty() && !joint.passes.empty()) {
    s.errors = tables_without_pass(c);
    if (!s.errors.empty()) return false;
  }
  s.errors = weaves_too_wide(c);
  if (!s.errors.empty()) return false;
  if (!c.own.empty()) add_words_of_passes(c);
  tell_by_most_metal(c);
  const bool mode_chosen =
      !joint.mode && (is_used(c) || std::ranges::any_of(c.own, [](const Case& own) { return !own.joint.mode; }));
  if (mode_chosen && s.best.outcome.feasible && options.reasons)
    c.choices.push_back(
        {"process.mode", std::string(mode_key(s.best.outcome.mode)), chosen_trial(plan.trials).remark, 0});
  if (c.root_mode && options.reasons)
    c.choices.push_back({"pass.root.mode", std::string(mode_key(*c.root_mode)),
                         "an open root is usually welded with an arc that dips; no one mode is better throughout",
                         c.catalog->limits->root_current_share.source});
  return true;
}

void Planner::work_out_passes() {
  State& s = *state_;
  Plan& plan = s.plan;
  const Case& c = plan.resolved;
  plan.feasible = !plan.contexts.empty();
  plan.passes.resize(plan.contexts.size());
  for (std::size_t i = 0; i < plan.contexts.size(); ++i) {
    const PassPlan& pass = c.pass_plans[i];
    if (const std::size_t like = earlier_alike(c, i); like != i) {
      plan.passes[i] = plan.passes[like];
      plan.passes[i].pass = pass;
    } else {
      pass_result(case_of(c, i), pass, plan.contexts[i], s.best.windows[s.best.of[i]], s.options, plan.passes[i]);
    }
    plan.feasible = plan.feasible && plan.passes[i].feasible;
  }
}

Plan* Planner::solve(const Joint& joint) {
  State& s = *state_;
  const PlanOptions& options = s.options;
  Plan& plan = s.plan;
  Case& c = plan.resolved;
  plan.suggestions.clear();
  plan.cautions.clear();
  // A preheat that a rule asks for is chosen, and changes what the rule asks: once or twice more, only upwards.
  PreheatNeed need;
  double chosen_C = 0;
  for (int round = 0; round < 3; ++round) {
    if (!choose_setting(joint, chosen_C, need)) return nullptr;
    const double wanted_C = preheat_to_choose(c, plan.contexts, s.best, joint, need);
    if (wanted_C <= chosen_C) break;
    chosen_C = wanted_C;
  }
  work_out_passes();
  grade_chosen(plan);
  add_totals(plan);
  plan.sectors = options.detail_tables ? sector_plan(c) : SectorPlan{};
  if (options.sensitivity)
    for (std::size_t i = 0; i < plan.passes.size(); ++i)
      if (plan.passes[i].feasible)
        plan.passes[i].sensitivity = sensitivity(c, plan.contexts[i], i, plan.passes[i].window.band.best);
  if (options.reasons) plan.cautions = cautions_for(plan);
  warn_of_unchecked_limits(plan);
  if (options.reasons) warn_of_coarse_current(plan);
  plan.heat = options.heat_report ? heat_report(plan) : HeatReport{};
  warn_of_findings(plan);
  if (!plan.feasible && options.suggestions) plan.suggestions = tried_changes(plan, s.equipment);
  return &plan;
}

Expected<Plan> make_plan(const Joint& joint, const Equipment* equipment, const Catalog& catalog,
                         const PlanOptions& options) {
  Planner planner(equipment, catalog, options);
  if (Plan* plan = planner.solve(joint)) return std::move(*plan);
  return planner.errors();
}

}  // namespace seamwright
