#include "seamwright/calibrate.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "calibrate/solve_trials.hpp"
#include "calibrate/trial_row.hpp"
#include "seamwright/constraint.hpp"
#include "text/rounded_text.hpp"

namespace seamwright {
namespace {

using Eigen::Index;

// A constant that moves and narrows by less than this, in standard deviations, stays as it was.
constexpr double untold = 0.02;
constexpr double barely_told = 0.1;  // narrowed by less: named as not told apart
constexpr double correlated_from = 0.005;
constexpr double surprising = 3;  // standard deviations that a constant had to move

constexpr std::array band_fields{F::current,      F::current_rms,     F::voltage,      F::peak_current,
                                 F::base_current, F::pulse_frequency, F::deposit_area, F::reinforcement,
                                 F::bead_width,   F::penetration,     F::back_width,   F::dilution,
                                 F::heat_input};

class Calibrator {
 public:
  Calibrator(const TrialList& trials, const Catalog& catalog, const CalibrateOptions& options)
      : trials_(trials), catalog_(catalog), options_(options) {}

  Expected<Calibration> run() {
    Diagnostics errors;
    models_.reserve(trials_.welds.size());
    for (const TrialWeld& weld : trials_.welds) {
      Expected<TrialModel> model = TrialModel::make(weld, catalog_);
      if (model)
        models_.push_back(std::move(*model));
      else
        errors.insert(errors.end(), model.errors().begin(), model.errors().end());
    }
    if (!errors.empty()) return errors;
    out_.file = trials_.file;
    out_.rows = trials_.welds.size();
    group_welds();
    for (std::size_t g = 0; g < out_.groups.size(); ++g) solve_group(g);
    return std::move(out_);
  }

 private:
  const TrialList& trials_;
  const Catalog& catalog_;
  const CalibrateOptions& options_;
  std::vector<TrialModel> models_;
  Calibration out_;

  void remark(std::string text) { out_.remarks.push_back(std::move(text)); }
  [[nodiscard]] std::string row_name(std::size_t weld) const {
    const TrialWeld& w = trials_.welds[weld];
    return w.id.empty() ? fmt::format("row {}", w.row) : fmt::format("row {} ({})", w.row, w.id);
  }

  void group_welds() {
    for (std::size_t i = 0; i < models_.size(); ++i) {
      const TrialModel& m = models_[i];
      const std::string id = fmt::format("{} {} {}", m.wire_family(), mode_key(m.context().mode), m.metal());
      auto group =
          std::find_if(out_.groups.begin(), out_.groups.end(), [&](const CalibrationGroup& g) { return g.id == id; });
      if (group == out_.groups.end()) {
        CalibrationGroup fresh;
        fresh.id = id;
        fresh.wire_family = m.wire_family();
        fresh.metal = m.metal();
        fresh.mode = m.context().mode;
        group = out_.groups.insert(group, std::move(fresh));
      }
      group->welds.push_back(i);
    }
  }

  void solve_group(std::size_t g) {
    CalibrationGroup& group = out_.groups[g];
    std::vector<const TrialModel*> welds;
    for (const std::size_t i : group.welds) welds.push_back(&models_[i]);
    TrialSolution solution = solve_trials(welds);
    keep_good(group, welds, solution);
    // What is written stands for the next weld, so what differs from weld to weld counts again.
    TrialSolution next = solution;
    next.covariance.diagonal() += (1 - welds.front()->prior_variance().array()).matrix();
    take_constants(group, *welds.front(), next);
    take_limits(group, welds, solution);
    take_bands(group, *welds.front());
    take_readings(g, welds, solution);
    for (std::size_t i = 0; i < welds.size(); ++i)
      for (const C limit : welds[i]->missing_limits())
        remark(limit == C::none ? fmt::format("{}: undercut moves nothing: the program has no limit for it",
                                              row_name(group.welds[i]))
                                : fmt::format("{}: the verdict on {} moves nothing: this weld has no such limit",
                                              row_name(group.welds[i]), constraint(limit).label));
  }

  // What was good must not be refused: a limit that would still do so is moved until it does not.
  void keep_good(CalibrationGroup& group, const std::vector<const TrialModel*>& welds, TrialSolution& solution) {
    const auto limits = trial_limits(catalog_);
    for (std::size_t k = 0; k < limits.size(); ++k) {
      if (!(limits[k].deviation > 0)) continue;
      const Index at = static_cast<Index>(trial_constants().size() + k);
      const double way = limits[k].id == C::cold_lap ? -1 : 1;
      for (std::size_t i = 0; i < welds.size(); ++i) {
        if (!trials_.welds[group.welds[i]].good) continue;
        constexpr int most = 400;
        constexpr double step = 0.01;  // of the factor's logarithm
        int moved = 0;
        for (; moved < most; ++moved) {
          const auto room = welds[i]->room(limits[k].id, solution.mode);
          if (!room || *room >= 0) break;
          solution.mode[at] += way * step / limits[k].deviation;
        }
        if (moved > 0)
          remark(fmt::format("{} was good and would be refused: the limit of {} is moved so that it is not",
                             row_name(group.welds[i]), constraint(limits[k].id).label));
      }
    }
  }

  void take_constants(CalibrationGroup& group, const TrialModel& first, const TrialSolution& solution) {
    const std::span<const TrialConstant> table = trial_constants();
    std::vector<std::string_view> apart, silent;
    std::vector<Index> written;
    for (std::size_t i = 0; i < table.size(); ++i) {
      const Constant& before = first.context().constants[static_cast<std::size_t>(table[i].id)];
      if (!(before.half_width_90 > 0)) continue;
      const auto k = static_cast<Index>(i);
      const double moved = solution.mode[k], left = std::sqrt(solution.covariance(k, k));
      const ModelConstantInfo& info = model_constant(table[i].id);
      CalibratedConstant c;
      c.column = table[i].column;
      c.label = info.label;
      c.unit = info.unit;
      c.before = before;
      c.narrowed = 1 - left;
      c.written = std::abs(moved) > untold || c.narrowed > untold;
      c.after = c.written ? Constant{before.value + before.half_width_90 / deviations_90 * moved,
                                     before.half_width_90 * left, 0}
                          : Constant{before.value, before.half_width_90, 0};
      if (table[i].offset)
        c.relative = {six_digits(c.after.value - before.value), six_digits(c.after.half_width_90), 0};
      else
        c.relative = {six_digits(c.after.value / before.value),
                      six_digits(c.after.half_width_90 / std::abs(before.value)), 0};
      if (!c.written)
        silent.push_back(c.label);
      else if (c.narrowed < barely_told)
        apart.push_back(c.label);
      if (c.written) written.push_back(k);
      if (std::abs(moved) > surprising)
        remark(
            fmt::format("{}: {} had to move by {:.1f} standard deviations: check the readings, the wire diameter and "
                        "the gas",
                        group.id, c.label, std::abs(moved)));
      group.constants.push_back(c);
    }
    for (std::size_t a = 0; a < written.size(); ++a)
      for (std::size_t b = a + 1; b < written.size(); ++b) {
        const double r =
            solution.covariance(written[a], written[b]) /
            std::sqrt(solution.covariance(written[a], written[a]) * solution.covariance(written[b], written[b]));
        if (std::abs(r) < correlated_from) continue;
        group.correlations.push_back({table[static_cast<std::size_t>(written[a])].column,
                                      table[static_cast<std::size_t>(written[b])].column, std::round(r * 1e4) / 1e4});
      }
    if (!silent.empty())
      remark(fmt::format("{}: nothing told of {}: as in the catalog", group.id, fmt::join(silent, ", ")));
    if (!apart.empty())
      remark(
          fmt::format("{}: not told apart by these trials, so near to the catalog: {}; what is told of them together "
                      "stands in the correlation",
                      group.id, fmt::join(apart, ", ")));
  }

  void take_limits(CalibrationGroup& group, const std::vector<const TrialModel*>& welds,
                   const TrialSolution& solution) {
    const auto limits = trial_limits(catalog_);
    for (std::size_t k = 0; k < limits.size(); ++k) {
      const bool judged = std::any_of(welds.begin(), welds.end(), [&](const TrialModel* weld) {
        return std::any_of(weld->sides().begin(), weld->sides().end(),
                           [&](const TrialSide& side) { return side.limit == limits[k].id; });
      });
      if (!judged) continue;
      const Index at = static_cast<Index>(trial_constants().size() + k);
      if (std::abs(solution.mode[at]) < untold && 1 - std::sqrt(solution.covariance(at, at)) < untold) continue;
      const double factor = std::exp(limits[k].deviation * solution.mode[at]);
      const double half = factor * limits[k].deviation * std::sqrt(solution.covariance(at, at)) * deviations_90;
      group.limits.push_back({limits[k].column, constraint(limits[k].id).label,
                              six_digits(std::clamp(factor, 0.1, 5.0)), six_digits(half)});
    }
  }

  void take_bands(CalibrationGroup& group, const TrialModel& first) {
    PassContext after = first.context();
    const TrialText row(group, 1);
    apply_trial(row.row(), after);
    const Setting& s = first.setting();
    const FieldValues was = evaluate(first.context(), nominal_values(first.context().constants), s);
    const FieldValues was_half = uncertainty(influences(first.context(), s));
    const FieldValues is = evaluate(after, nominal_values(after.constants), s);
    const FieldValues is_half = uncertainty(influences(after, s));
    for (const F id : band_fields)
      if (applies(was[id])) group.bands.push_back({id, was[id], was_half[id], is[id], is_half[id]});
  }

  void take_readings(std::size_t g, const std::vector<const TrialModel*>& welds, const TrialSolution& solution) {
    const CalibrationGroup& group = out_.groups[g];
    const TrialSolution blank = no_trials(*welds.front());
    for (std::size_t i = 0; i < welds.size(); ++i) {
      const TrialModel& m = *welds[i];
      const TrialPrediction before = predict_trial(m, blank), after = predict_trial(m, solution);
      std::optional<TrialPrediction> without;
      if (options_.leave_one_out && welds.size() > 1)
        without = predict_trial(m, solve_trials(welds, static_cast<std::ptrdiff_t>(i)));
      for (Index k = 0; k < m.measured().size(); ++k) {
        const auto reading = static_cast<std::size_t>(k);
        CalibratedReading r;
        r.weld = group.welds[i];
        r.reading = m.index_of(reading);
        r.group = g;
        r.measured = m.in_unit(reading, m.measured()[k]);
        r.noise_half = m.width_in_unit(reading, m.measured()[k], m.deviation()[k] * deviations_90);
        r.before = m.in_unit(reading, before.value[k]);
        r.before_half = m.width_in_unit(reading, before.value[k], before.deviation[k] * deviations_90);
        r.after = m.in_unit(reading, after.value[k]);
        r.spreads_off = solution.spreads_off[i][k];
        r.weight = solution.weights[i][k];
        if (without) {
          r.left_out = m.in_unit(reading, without->value[k]);
          r.left_out_half = m.width_in_unit(reading, without->value[k],
                                            std::hypot(without->deviation[k], m.deviation()[k]) * deviations_90);
        }
        if (r.weight < 1) misfit(r);
        out_.readings.push_back(r);
      }
    }
  }

  void misfit(const CalibratedReading& r) {
    const TrialReading& reading = trials_.welds[r.weld].readings[r.reading];
    remark(
        fmt::format("{}: {} {} {} lies {:.1f} standard deviations off what the catalog and the other readings say, "
                    "and counts {:.0f} %",
                    row_name(r.weld), reading.kind->id, short_text(reading.value), reading.kind->unit,
                    std::abs(r.spreads_off), 100 * r.weight));
  }
};

}  // namespace

Expected<Calibration> calibrate(const TrialList& trials, const Catalog& catalog, const CalibrateOptions& options) {
  return Calibrator(trials, catalog, options).run();
}

}  // namespace seamwright
