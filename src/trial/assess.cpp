#include "seamwright/assess.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "seamwright/confidence.hpp"
#include "seamwright/planner.hpp"
#include "trial/assess_parts.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

using Topic = ConstraintInfo::Topic;

struct TransferWords {
  std::string_view key, label;
};
constexpr std::array<TransferWords, 11> transfer_words{{
    {"dip", "short circuits that clear"},
    {"cold-dip", "short circuits at less current than this mode has: the wire stubs"},
    {"globular", "globular: large drops, too hot to dip and too cold to spray"},
    {"spray", "spray"},
    {"short-spray", "spray on an arc so short that it also dips"},
    {"rotating", "spray beyond its greatest current: it rotates"},
    {"one-drop", "pulse, one drop each"},
    {"not-one-drop", "pulse whose peak is out of the range of one drop each"},
    {"steady", "no pulse left: the peaks fill the period"},
    {"broken-arc", "pulse whose base current does not keep the arc"},
    {"no-arc", "no arc: the voltage leaves it no length, the wire runs into the pool"},
}};

Diagnostic error_at(const Place& place, std::string message, std::string help) {
  Diagnostic d;
  d.place = place;
  d.message = std::move(message);
  d.help = std::move(help);
  return d;
}

PlanOptions quick_plan(const Procedure* procedure) {
  PlanOptions quick;
  quick.detail = WindowDetail::band;
  quick.uncertainties = quick.pool_ranges = quick.suggestions = quick.heat_report = false;
  quick.box = quick.confident = quick.detail_tables = quick.grade = false;
  quick.procedure = procedure;
  return quick;
}

// The joint without what the setting says better.
Joint freed(Joint joint) {
  if (joint.setting_feed_m_per_min || joint.setting_current_A) joint.wire_feed_m_per_min = joint.current_A = {};
  if (joint.setting_voltage_V) joint.voltage_V = joint.arc_length_mm = {};
  if (joint.setting_travel_mm_per_s && joint.travel_mm_per_s &&
      joint.travel_mm_per_s.value->low == joint.travel_mm_per_s.value->high)
    joint.travel_mm_per_s = {};
  if (joint.setting_amplitude_m_per_min) joint.modulation_amplitude_m_per_min = {};
  if (joint.setting_modulation_Hz) joint.modulation_frequency_Hz = {};
  return joint;
}

Transfer transfer_at(const PassContext& c, const FieldValues& f, const std::vector<AssessedLimit>& limits) {
  const auto broken = [&](C id, bool upper) {
    return std::any_of(limits.begin(), limits.end(), [&](const AssessedLimit& l) {
      return l.broken && l.margin.id == id && l.margin.upper == upper;
    });
  };
  if (is_dip(c.mode)) {
    if (broken(c.mode_min, false)) return Transfer::cold_dip;
    return broken(c.mode_max, true) ? Transfer::globular : Transfer::dip;
  }
  if (!(f[F::arc_length] > 0)) return Transfer::no_arc;
  if (broken(C::transition, false)) return Transfer::globular;
  if (!is_pulsed(c.mode)) {
    if (broken(C::spray_max, true)) return Transfer::rotating;
    return broken(C::arc_length_range, false) ? Transfer::short_spray : Transfer::spray;
  }
  if (broken(C::pulse_duty, true) || broken(C::pulse_base_time, false)) return Transfer::steady;
  if (broken(C::pulse_base_current, false)) return Transfer::broken_arc;
  return broken(C::drop_criterion, false) || broken(C::drop_criterion, true) ? Transfer::not_one_drop
                                                                             : Transfer::one_drop;
}

class Assessor {
 public:
  Assessor(const Joint& joint, const Catalog& catalog, const AssessOptions& options, const DialTrims& trims)
      : joint_(freed(joint)), catalog_(catalog), options_(options), trims_(trims) {}

  Expected<Assessment> run() {
    if (Diagnostics errors = settle_mode(); !errors.empty()) return errors;
    finish();
    return std::move(best_);
  }

 private:
  Joint joint_;
  const Catalog& catalog_;
  const AssessOptions& options_;
  const DialTrims& trims_;
  Assessment best_;

  [[nodiscard]] const PassContext& context() const { return best_.plan.contexts[best_.pass]; }

  // The mode given, or the one that the given pulse stands for; else the plan's own, or where the setting does not run
  // in that the one it runs in best.
  Diagnostics settle_mode() {
    const Joint& j = joint_;
    const bool modulated = j.setting_amplitude_m_per_min || j.setting_modulation_Hz;
    const bool pulsed = j.setting_frequency_Hz || j.setting_peak_A || j.setting_base_A || trims_.peak_share;
    if (!j.mode && modulated) joint_.mode = {Mode::double_pulse, {}};
    if (!j.mode && pulsed) joint_.mode = {Mode::pulse, {}};
    const auto plan = make_plan(joint_, options_.equipment, catalog_, quick_plan(options_.procedure));
    if (!plan) return plan.errors();
    if (Diagnostics errors = take(*plan, best_); !errors.empty()) return errors;
    if (j.mode || case_of(best_.plan.resolved, best_.pass).joint.mode) return {};
    best_.mode_chosen = true;
    double fits = fit(best_);
    for (const Mode mode : {Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse}) {
      if (fits >= 0) break;
      if (mode == case_of(best_.plan.resolved, best_.pass).mode) continue;
      Joint other = joint_;
      other.mode = {mode, {}};
      const auto in_mode = make_plan(other, options_.equipment, catalog_, quick_plan(options_.procedure));
      if (!in_mode || in_mode->contexts.empty()) continue;
      Assessment tried;
      if (!take(*in_mode, tried).empty()) continue;
      tried.mode_chosen = true;
      if (const double here = fit(tried); here > fits) {
        fits = here;
        best_ = std::move(tried);
      }
    }
    return {};
  }

  // The least score of the limits that are about the transfer.
  static double fit(const Assessment& a) {
    double least = 0;
    for (const AssessedLimit& l : a.limits)
      if (is_about(l.margin.id, Topic::arc) || is_about(l.margin.id, Topic::arc_setting))
        least = std::min(least, l.margin.score);
    return least;
  }

  // The setting in a plan's mode, and its limits.
  Diagnostics take(const Plan& plan, Assessment& a) const {
    a.plan = plan;
    a.passes = plan.contexts.size();
    if (plan.contexts.empty()) {
      const std::string& reason = plan.trials.empty() ? std::string() : plan.trials[0].remark;
      return {error_at(joint_.mode.place,
                       fmt::format("{} cannot be run: {}", mode_key(plan.resolved.mode),
                                   reason.empty() ? "this wire and gas do not allow it" : reason),
                       "another mode, wire or gas")};
    }
    if (options_.pass >= a.passes)
      return {error_at({}, fmt::format("there is no pass {}: this joint has {}", options_.pass + 1, a.passes),
                       "give a pass that it has")};
    a.pass = options_.pass;
    if (Diagnostics errors = build(a); !errors.empty()) return errors;
    a.limits = assessed_limits(plan.contexts[a.pass], a.setting);
    return {};
  }

  Diagnostics build(Assessment& a) const {
    const PassContext& c = a.plan.contexts[a.pass];
    const ConstantValues x = nominal_values(c.constants);
    const PassResult& own = a.plan.passes[a.pass];
    const Setting& point = own.window.band.best;
    Setting& s = a.setting;
    s = {};
    set_peak(c, x, s);
    if (joint_.setting_amplitude_m_per_min) s.modulation_amplitude_m_per_min = *joint_.setting_amplitude_m_per_min;
    if (joint_.setting_feed_m_per_min) {
      s.wire_feed_m_per_min = *joint_.setting_feed_m_per_min;
    } else if (joint_.setting_current_A) {
      const auto feed = feed_at_m_per_min(c, x, s, F::current, *joint_.setting_current_A);
      if (!feed)
        return {error_at(joint_.setting_current_A.place,
                         fmt::format("no feed of this wire is melted by {:.4g} A", *joint_.setting_current_A),
                         "check the current")};
      s.wire_feed_m_per_min = *feed;
    } else {
      s.wire_feed_m_per_min = point.wire_feed_m_per_min;
      a.taken.push_back(F::wire_feed);
    }
    if (joint_.setting_travel_mm_per_s) {
      s.travel_mm_per_s = *joint_.setting_travel_mm_per_s;
    } else {
      // The plan's own travel at its own feed, to the last digit.
      s.travel_mm_per_s = s.wire_feed_m_per_min == point.wire_feed_m_per_min
                              ? point.travel_mm_per_s
                              : on_line(c, x, own.window.line, s.wire_feed_m_per_min).travel_mm_per_s;
      a.taken.push_back(F::travel);
    }
    settle_modulation_of(c, x, a);
    if (joint_.setting_voltage_V)
      s.arc_trim_V = *joint_.setting_voltage_V - evaluate_supply(c, x, s)[F::voltage];
    else if (trims_.arc_V)
      s.arc_trim_V = *trims_.arc_V;
    else
      a.taken.push_back(F::voltage);
    return {};
  }
  void set_peak(const PassContext& c, const ConstantValues& x, Setting& s) const {
    if (!is_pulsed(c.mode)) return;
    if (trims_.peak_share) s.peak_trim = *trims_.peak_share;
    if (!joint_.setting_peak_A) return;
    const double usual_A = x[static_cast<std::size_t>(K::peak_current)];
    if (usual_A > 0) s.peak_trim = *joint_.setting_peak_A / usual_A - 1.0;
  }
  void settle_modulation_of(const PassContext& c, const ConstantValues& x, Assessment& a) const {
    if (c.mode != Mode::double_pulse) return;
    Setting& s = a.setting;
    Setting recommended = s;
    recommended.modulation_amplitude_m_per_min = 0;
    settle_modulation(c, x, recommended);
    s.modulation_frequency_Hz =
        joint_.setting_modulation_Hz ? *joint_.setting_modulation_Hz : recommended.modulation_frequency_Hz;
    if (!joint_.setting_modulation_Hz) a.taken.push_back(F::modulation_frequency);
    if (joint_.setting_amplitude_m_per_min) return;
    s.modulation_amplitude_m_per_min = recommended.modulation_amplitude_m_per_min;
    a.taken.push_back(F::modulation_amplitude);
  }

  void finish() {
    Assessment& a = best_;
    const PassContext& c = context();
    const ConstantValues x = nominal_values(c.constants);
    a.values = evaluate(c, x, a.setting);
    a.plus_minus = uncertainty(influences(c, a.setting));
    a.transfer = transfer_at(c, a.values, a.limits);
    a.broken = static_cast<std::size_t>(
        std::count_if(a.limits.begin(), a.limits.end(), [](const AssessedLimit& l) { return l.broken; }));
    a.grade = grade_of(c, a.setting);
    read(F::current, joint_.setting_feed_m_per_min ? joint_.setting_current_A : Given<double>{});
    read(F::pulse_frequency, joint_.setting_frequency_Hz);
    read(F::base_current, joint_.setting_base_A);
    if (joint_.setting_voltage_V) read_voltage(*joint_.setting_voltage_V);
    const bool sound = a.broken == 0 && a.grade.grade == Grade::sound;
    if (options_.nearest && !sound)
      a.nearest = nearest_setting(a.plan, a.pass, a.setting,
                                  a.broken > 0 ? std::optional<Grade>() : std::optional(a.grade.grade));
  }

  void read(F id, const Given<double>& given) {
    if (!given || !applies(best_.values[id])) return;
    SettingReading r{.field = id, .given = *given, .computed = best_.values[id], .plus_minus = best_.plus_minus[id]};
    hold(r, best_.setting);
  }
  // A voltage contradicts the feed where no arc of usual length, however the constants are off, has it.
  void read_voltage(double given_V) {
    const PassContext& c = context();
    const ConstantValues x = nominal_values(c.constants);
    const double half_V = trim_half_V(c, x), trim_V = std::clamp(best_.setting.arc_trim_V, -half_V, half_V);
    if (trim_V == best_.setting.arc_trim_V) return;
    Setting usual = best_.setting;
    usual.arc_trim_V = trim_V;
    SettingReading r{.field = F::voltage,
                     .given = given_V,
                     .computed = evaluate_supply(c, x, usual)[F::voltage],
                     .plus_minus = best_.plus_minus[F::voltage]};
    hold(r, usual);
  }
  void hold(SettingReading& r, const Setting& at) {
    r.spreads = r.plus_minus > 0 ? (r.given - r.computed) / r.plus_minus : 0.0;
    r.contradicts = std::abs(r.spreads) > 1;
    if (r.contradicts) explain_reading(best_.plan, best_.pass, at, r);
    best_.readings.push_back(std::move(r));
  }
};

}  // namespace

std::string_view transfer_key(Transfer t) { return transfer_words[static_cast<std::size_t>(t)].key; }
std::string_view transfer_label(Transfer t) { return transfer_words[static_cast<std::size_t>(t)].label; }

bool is_set_exactly(C id) { return is_about(id, Topic::arc_setting); }

std::vector<AssessedLimit> assessed_limits(const PassContext& context, const Setting& s) {
  PassContext c = context;
  work_out_spreads(c, s, c.aim.feed_setting_share);
  std::vector<AssessedLimit> limits;
  const ConstantValues x = nominal_values(c.constants);
  const MarginList list = setting_margins(c, x, s);
  // The same limits in the same order, with the sizes of the pool that the score does not need.
  const MarginList sized = margins(c, x, evaluate(c, x, s), s.modulation_frequency_Hz > 0);
  for (std::size_t i = 0; i < list.size; ++i) {
    AssessedLimit limit{.margin = list.items[i], .broken = list.items[i].score < -same_score};
    Margin& m = limit.margin;
    if (i < sized.size && same_slot(sized.items[i], m)) m.value = sized.items[i].value;
    if (!is_set_exactly(m.id)) limit.probability = probability_of(m.surety);
    limit.last = is_set_exactly(m.id) ? m.limit : last_end(c, m);
    limits.push_back(limit);
  }
  std::stable_sort(limits.begin(), limits.end(), [](const AssessedLimit& a, const AssessedLimit& b) {
    if (a.broken != b.broken) return a.broken;
    return a.broken ? a.margin.score < b.margin.score : a.margin.surety < b.margin.surety;
  });
  return limits;
}

bool has_setting(const Joint& j) {
  for (const auto* given : {&j.setting_feed_m_per_min, &j.setting_current_A, &j.setting_voltage_V,
                            &j.setting_travel_mm_per_s, &j.setting_frequency_Hz, &j.setting_peak_A, &j.setting_base_A,
                            &j.setting_amplitude_m_per_min, &j.setting_modulation_Hz})
    if (*given) return true;
  return !j.setting_dials.empty();
}

Expected<Assessment> assess(const Joint& joint, const Catalog& catalog, const AssessOptions& options) {
  Joint with_dials = joint;
  DialTrims trims;
  if (Diagnostics errors = take_dials(options, with_dials, trims); !errors.empty()) return errors;
  with_dials.setting_dials.clear();  // they stand in the keys now
  if (!has_setting(with_dials) && !trims.arc_V && !trims.peak_share)
    return error_at({joint.name, 0, 0}, "there is no setting to assess",
                    "give one: --feed 9 --voltage 28 --travel 6.5, or keys under [setting]");
  Expected<Assessment> assessed = Assessor(with_dials, catalog, options, trims).run();
  if (assessed) assessed->dials_unused = trims.unused;
  return assessed;
}

}  // namespace seamwright
