#include "calibrate/trial_model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "settle/resolve.hpp"
#include "window/operating_point.hpp"
#include "window/pass_context.hpp"

namespace seamwright {
namespace {

constexpr std::size_t extension = 0, feed = 1, trim = 2;
constexpr double near_nothing = 3;  // a reading of fewer half-widths is compared as it is

}  // namespace

std::size_t trial_unknowns() { return trial_constants().size() + trial_limit_count; }

std::array<TrialLimit, trial_limit_count> trial_limits(const Catalog& catalog) {
  std::array<TrialLimit, trial_limit_count> out{
      {{C::cold_lap, "cold_lap_limit", 0}, {C::burn_through, "burn_through_limit", 0}}};
  for (TrialLimit& limit : out)
    for (const VerdictRow& verdict : catalog.verdicts)
      if (verdict.limit == limit.id) limit.deviation = verdict.limit_rel / deviations_90;
  return out;
}

Expected<TrialModel> TrialModel::make(const TrialWeld& weld, const Catalog& catalog) {
  const auto refused = [&](std::string why) { return Diagnostic{weld.place, std::move(why), "", ""}; };
  Expected<Case> resolved = resolve_joint(weld.joint, nullptr, catalog);
  if (!resolved) {
    Diagnostics errors = resolved.errors();
    for (Diagnostic& error : errors)
      if (error.place.line == 0) error.place = weld.place;
    return errors;
  }
  if (const auto why = settle_mode(*resolved, *weld.joint.mode, *weld.joint.wire_diameter_mm))
    return refused(fmt::format("this trial cannot be: {}", *why));
  const KeptList<PassContext> passes = pass_contexts(*resolved);
  if (weld.pass >= passes.size())
    return refused(fmt::format("there is no pass {}: the joint is welded in {}", weld.pass + 1, passes.size()));
  TrialModel model;
  model.wire_family_ = resolved->wire_family->id;
  model.metal_ = resolved->metal->id;
  if (find_trial(catalog, model.wire_family_, resolved->mode, model.metal_) != nullptr)
    return Diagnostic{weld.place,
                      fmt::format("the rows of --data already have trial constants of {} {} on {}", model.wire_family_,
                                  mode_key(resolved->mode), model.metal_),
                      "calibrate from all trials at once, without that file: trials counted twice would be trusted "
                      "twice",
                      ""};
  model.context_ = passes[weld.pass];
  model.limits_ = trial_limits(catalog);
  model.convexity_share_ = catalog.limits->convexity_share.value;
  const PassContext& c = model.context_;
  const Constant& stick = c.constants[static_cast<std::size_t>(K::extension)];
  model.extension_deviation_ = stick.half_width_90 / deviations_90;
  model.feed_deviation_ = c.aim.feed_setting_share / deviations_90;
  const double field = c.constants[static_cast<std::size_t>(K::arc_field)].value;
  model.trim_deviation_V_ =
      (is_dip(c.mode) ? c.arc.dip_trim_V : 0.5 * (c.arc.length_max_mm - c.arc.length_min_mm) * field) / deviations_90;
  model.setting_.wire_feed_m_per_min = weld.wire_feed_m_per_min;
  model.setting_.travel_mm_per_s = weld.travel_mm_per_s;
  if (weld.arc_trim_V) model.trim_V_ = *weld.arc_trim_V;
  if (weld.peak_trim && is_pulsed(c.mode)) model.setting_.peak_trim = *weld.peak_trim;
  // An arc length that was seen takes the place of the usual ones.
  for (const TrialReading& r : weld.readings) {
    if (r.field != F::arc_length || is_dip(c.mode)) continue;
    const double half = r.half_width_90 > 0 ? r.half_width_90 : r.kind->u90;
    model.trim_V_ = (r.value - 0.5 * (c.arc.length_min_mm + c.arc.length_max_mm)) * field;
    model.trim_deviation_V_ = half * field / deviations_90;
  }
  model.take_prior(catalog);
  model.take_readings(weld);
  model.take_verdicts(weld, catalog);
  return model;
}

void TrialModel::take_prior(const Catalog& catalog) {
  constexpr std::array<std::pair<K, std::string_view>, 3> scattered{
      {{K::width, "bead_width"}, {K::penetration, "penetration"}, {K::bead_height, "reinforcement"}}};
  constexpr double most_of_it = 0.75;  // a shop of its own always remains
  prior_variance_ = Eigen::VectorXd::Ones(static_cast<Eigen::Index>(trial_unknowns()));
  const std::span<const TrialConstant> table = trial_constants();
  for (std::size_t i = 0; i < table.size(); ++i)
    for (const auto& [id, key] : scattered) {
      const Constant& constant = context_.constants[static_cast<std::size_t>(id)];
      const ReadingRow* reading = find_reading(catalog, key);
      if (table[i].id != id || reading == nullptr || !(constant.half_width_90 > 0)) continue;
      const double share = reading->weld_rel * constant.value / constant.half_width_90;
      prior_variance_[static_cast<Eigen::Index>(i)] = 1 - std::min(share * share, most_of_it);
    }
}

void TrialModel::take_readings(const TrialWeld& weld) {
  const FieldValues here = evaluate(context_, nominal_values(context_.constants), setting_);
  for (const TrialReading& r : weld.readings) {
    if (r.field == F::arc_length) continue;
    const bool known = r.field ? applies(here[*r.field]) : context_.joint != JointType::overlay || r.kind->id != "leg";
    if (!known) continue;
    readings_.push_back(r);
    index_.push_back(static_cast<std::size_t>(&r - weld.readings.data()));
  }
  const auto n = static_cast<Eigen::Index>(readings_.size());
  measured_.resize(n);
  deviation_.resize(n);
  for (std::size_t i = 0; i < readings_.size(); ++i) {
    const TrialReading& r = readings_[i];
    const double own = r.half_width_90 > 0 ? r.half_width_90 : std::hypot(r.kind->u90, r.kind->u90_rel * r.value);
    const double half = std::hypot(own, r.kind->weld_rel * r.value);
    logarithm_.push_back(r.value > near_nothing * r.kind->u90 && r.value > 0);
    const auto k = static_cast<Eigen::Index>(i);
    measured_[k] = logarithm_[i] ? std::log(r.value) : r.value;
    deviation_[k] = (logarithm_[i] ? half / r.value : std::max(half, r.kind->u90)) / deviations_90;
  }
}

void TrialModel::take_verdicts(const TrialWeld& weld, const Catalog& catalog) {
  const FieldValues here = evaluate(context_, nominal_values(context_.constants), setting_);
  const MarginList list = margins(context_, nominal_values(context_.constants), here);
  const auto add = [&](const VerdictRow& verdict, int sign) {
    const bool there = std::any_of(list.begin(), list.end(), [&](const Margin& m) { return m.id == verdict.limit; });
    if (there)
      sides_.push_back({verdict.limit, sign, verdict.doubt / deviations_90});
    else if (!weld.good)
      missing_.push_back(verdict.limit);
  };
  for (const VerdictRow* verdict : weld.verdicts) add(*verdict, -1);
  if (!weld.good) return;
  for (const VerdictRow& verdict : catalog.verdicts)
    if (verdict.limit != C::none) add(verdict, 1);
}

double TrialModel::formed(std::size_t reading, double value) const {
  if (!logarithm_[reading]) return value;
  // Straight on below a twentieth of what was read: still falling, never without a slope.
  const double turn = 0.05 * readings_[reading].value;
  return value >= turn ? std::log(value) : std::log(turn) + (value - turn) / turn;
}

double TrialModel::in_unit(std::size_t reading, double value) const {
  return logarithm_[reading] ? std::exp(value) : value;
}
double TrialModel::width_in_unit(std::size_t reading, double value, double width) const {
  return logarithm_[reading] ? width * std::exp(value) : width;
}

ConstantValues TrialModel::constants(const Eigen::VectorXd& u) const {
  ConstantValues x = nominal_values(context_.constants);
  const std::span<const TrialConstant> table = trial_constants();
  for (std::size_t i = 0; i < table.size(); ++i) {
    const auto k = static_cast<std::size_t>(table[i].id);
    x[k] += context_.constants[k].half_width_90 / deviations_90 * u[static_cast<Eigen::Index>(i)];
  }
  return x;
}

PassContext TrialModel::limited(const Eigen::VectorXd& u) const {
  PassContext c = context_;
  const auto factor = [&](std::size_t limit) {
    return std::exp(limits_[limit].deviation * u[static_cast<Eigen::Index>(trial_constants().size() + limit)]);
  };
  c.deposit.melted_width_min_mm *= factor(0);
  c.plate.back_width_max_mm *= factor(1);
  c.plate.back_width_last_mm *= factor(1);
  return c;
}

Eigen::VectorXd TrialModel::predict(const Eigen::VectorXd& u, const Eigen::VectorXd& nuisances) const {
  ConstantValues x = constants(u);
  x[static_cast<std::size_t>(K::extension)] += extension_deviation_ * nuisances[extension];
  Setting s = setting_;
  s.wire_feed_m_per_min *= 1 + feed_deviation_ * nuisances[feed];
  s.arc_trim_V = trim_V_ + trim_deviation_V_ * nuisances[trim];
  Eigen::VectorXd out(static_cast<Eigen::Index>(readings_.size() + sides_.size()));
  const FieldValues f = evaluate(context_, x, s);
  Eigen::Index at = 0;
  for (std::size_t i = 0; i < readings_.size(); ++i) {
    double value = 0;
    if (readings_[i].field)
      value = f[*readings_[i].field];
    else if (readings_[i].kind->id == "leg")
      value = std::sqrt(2 * f[F::deposit_area] / (1 + convexity_share_));
    else
      value = x[static_cast<std::size_t>(K::melted_share)] * f[F::bead_width] * f[F::penetration];
    out[at++] = formed(i, applies(value) ? value : 0.0);
  }
  if (sides_.empty()) return out;
  const MarginList list = margins(limited(u), x, f);
  for (const TrialSide& side : sides_)
    for (const Margin& m : list)
      if (m.id == side.limit) {
        out[at++] = side.sign * m.distance;
        break;
      }
  return out;
}

std::optional<double> TrialModel::room(C limit, const Eigen::VectorXd& u) const {
  const ConstantValues x = constants(u);
  Setting s = setting_;
  s.arc_trim_V = trim_V_;
  const MarginList list = margins(limited(u), x, evaluate(context_, x, s));
  for (const Margin& m : list)
    if (m.id == limit) return m.room;
  return std::nullopt;
}

}  // namespace seamwright
