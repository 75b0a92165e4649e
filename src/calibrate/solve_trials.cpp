#include "calibrate/solve_trials.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace seamwright {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double probe = 0.25;     // standard deviations, of differences
constexpr double misfit_from = 3;  // standard deviations from which a reading weighs less
constexpr int weighings = 6, most_steps = 40;
constexpr double small_step = 1e-6;

// Of -log Phi(a): its slope and curvature.
struct OneSided {
  double value = 0, slope = 0, curvature = 0;
};
OneSided one_sided(double a) {
  constexpr double far = -12;  // beyond, the tail's own expansion
  if (a < far) return {0.5 * a * a + std::log(-a) + 0.5 * std::log(2 * std::numbers::pi), a - 1 / a, 1};
  const double share = 0.5 * std::erfc(-a / std::numbers::sqrt2);
  const double ratio = std::exp(-0.5 * a * a) / (std::sqrt(2 * std::numbers::pi) * share);
  return {-std::log(share), -ratio, ratio * (ratio + a)};
}

// A weld near some unknowns.
struct Linear {
  VectorXd value;
  MatrixXd slopes, nuisance_slopes;
};
Linear linear_at(const TrialModel& weld, const VectorXd& u) {
  const VectorXd none = VectorXd::Zero(trial_nuisances);
  Linear out;
  out.value = weld.predict(u, none);
  out.slopes = MatrixXd::Zero(out.value.size(), u.size());
  out.nuisance_slopes = MatrixXd::Zero(out.value.size(), trial_nuisances);
  const PassContext& c = weld.context();
  const auto constants = static_cast<Index>(trial_constants().size());
  for (Index k = 0; k < u.size(); ++k) {
    if (k < constants &&
        !(c.constants[static_cast<std::size_t>(trial_constants()[static_cast<std::size_t>(k)].id)].half_width_90 > 0))
      continue;
    if (k >= constants && weld.sides().empty()) continue;
    VectorXd up = u, down = u;
    up[k] += probe;
    down[k] -= probe;
    out.slopes.col(k) = (weld.predict(up, none) - weld.predict(down, none)) / (2 * probe);
  }
  for (Index k = 0; k < static_cast<Index>(trial_nuisances); ++k) {
    VectorXd up = none, down = none;
    up[k] = probe;
    down[k] = -probe;
    out.nuisance_slopes.col(k) = (weld.predict(u, up) - weld.predict(u, down)) / (2 * probe);
  }
  return out;
}

// Covariance of a weld's readings about what the unknowns say.
MatrixXd scatter(const TrialModel& weld, const Linear& l, const VectorXd& weights) {
  const Index n = weld.measured().size();
  const MatrixXd slopes = l.nuisance_slopes.topRows(n);
  MatrixXd s = slopes * slopes.transpose();
  for (Index i = 0; i < n; ++i) s(i, i) += weld.deviation()[i] * weld.deviation()[i] / weights[i];
  return s;
}

double side_deviation(const TrialModel& weld, const Linear& l, Index side) {
  const Index row = weld.measured().size() + side;
  return std::hypot(weld.sides()[static_cast<std::size_t>(side)].deviation, l.nuisance_slopes.row(row).norm());
}

class Solver {
 public:
  Solver(const std::vector<const TrialModel*>& welds, std::ptrdiff_t left_out) : welds_(welds), left_out_(left_out) {
    for (const TrialModel* weld : welds) out_.weights.push_back(VectorXd::Ones(weld->measured().size()));
    out_.spreads_off = out_.weights;
    out_.mode = VectorXd::Zero(static_cast<Index>(trial_unknowns()));
    certainty_ = welds.front()->prior_variance().cwiseInverse();
  }

  TrialSolution run() {
    for (int i = 0; i < weighings; ++i) {
      climb();
      if (!weigh()) break;
    }
    return std::move(out_);
  }

 private:
  const std::vector<const TrialModel*>& welds_;
  std::ptrdiff_t left_out_;
  TrialSolution out_;
  VectorXd certainty_;  // of the unknowns before any trial
  std::vector<Linear> linear_;

  [[nodiscard]] bool counts(std::size_t i) const { return static_cast<std::ptrdiff_t>(i) != left_out_; }

  void linearise() {
    linear_.clear();
    for (const TrialModel* weld : welds_) linear_.push_back(linear_at(*weld, out_.mode));
  }

  // Minus the logarithm of the probability, with the scatter of the last linear form.
  [[nodiscard]] double cost(const VectorXd& u) const {
    double sum = 0.5 * u.dot(certainty_.cwiseProduct(u));
    const VectorXd none = VectorXd::Zero(trial_nuisances);
    for (std::size_t i = 0; i < welds_.size(); ++i) {
      if (!counts(i)) continue;
      const TrialModel& weld = *welds_[i];
      const VectorXd value = weld.predict(u, none);
      const Index n = weld.measured().size();
      const VectorXd off = weld.measured() - value.head(n);
      if (n > 0) sum += 0.5 * off.dot(scatter(weld, linear_[i], out_.weights[i]).ldlt().solve(off));
      for (Index k = 0; k < value.size() - n; ++k)
        sum += one_sided(value[n + k] / side_deviation(weld, linear_[i], k)).value;
    }
    return sum;
  }

  void normal_equations(MatrixXd& curvature, VectorXd& slope) const {
    curvature = certainty_.asDiagonal();
    slope = certainty_.cwiseProduct(out_.mode);
    for (std::size_t i = 0; i < welds_.size(); ++i) {
      if (!counts(i)) continue;
      const TrialModel& weld = *welds_[i];
      const Linear& l = linear_[i];
      const Index n = weld.measured().size();
      if (n > 0) {
        const MatrixXd slopes = l.slopes.topRows(n);
        const Eigen::LDLT<MatrixXd> inverse = scatter(weld, l, out_.weights[i]).ldlt();
        curvature += slopes.transpose() * inverse.solve(slopes);
        slope -= slopes.transpose() * inverse.solve(weld.measured() - l.value.head(n));
      }
      for (Index k = 0; k < l.value.size() - n; ++k) {
        const double deviation = side_deviation(weld, l, k);
        const OneSided side = one_sided(l.value[n + k] / deviation);
        const VectorXd direction = l.slopes.row(n + k).transpose() / deviation;
        curvature += side.curvature * direction * direction.transpose();
        slope += side.slope * direction;
      }
    }
  }

  void climb() {
    double damping = 1e-3;
    MatrixXd curvature;
    VectorXd slope;
    for (int step = 0; step < most_steps; ++step) {
      linearise();
      normal_equations(curvature, slope);
      const double here = cost(out_.mode);
      bool moved = false;
      double length = 0;
      for (int attempt = 0; attempt < 12 && !moved; ++attempt) {
        const MatrixXd damped = curvature + damping * MatrixXd::Identity(curvature.rows(), curvature.cols());
        const VectorXd change = -damped.ldlt().solve(slope);
        if (cost(out_.mode + change) <= here) {
          out_.mode += change;
          length = change.norm();
          damping = std::max(damping / 10, 1e-9);
          moved = true;
        } else {
          damping *= 10;
        }
      }
      if (!moved || length < small_step) break;
    }
    linearise();
    normal_equations(curvature, slope);
    out_.covariance = curvature.ldlt().solve(MatrixXd::Identity(curvature.rows(), curvature.cols()));
  }

  // Every reading against what all others say; those far off weigh less. Whether any weight changed.
  bool weigh() {
    bool changed = false;
    for (std::size_t i = 0; i < welds_.size(); ++i) {
      const TrialModel& weld = *welds_[i];
      const Index n = weld.measured().size();
      if (n == 0 || !counts(i)) continue;
      const MatrixXd slopes = linear_[i].slopes.topRows(n);
      const MatrixXd told = slopes * out_.covariance * slopes.transpose();
      const MatrixXd noisy = scatter(weld, linear_[i], out_.weights[i]);
      const MatrixXd plain = scatter(weld, linear_[i], VectorXd::Ones(n));
      for (Index k = 0; k < n; ++k) {
        const double rest = std::max(1 - told(k, k) / noisy(k, k), 1e-6);
        const double off = (weld.measured()[k] - linear_[i].value[k]) / rest;
        const double spread = std::sqrt(plain(k, k) + told(k, k) / rest);
        const double t = off / spread;
        out_.spreads_off[i][k] = t;
        const double weight = std::abs(t) <= misfit_from ? 1.0 : misfit_from * misfit_from / (t * t);
        changed = changed || std::abs(weight - out_.weights[i][k]) > 0.02 * out_.weights[i][k];
        out_.weights[i][k] = weight;
      }
    }
    return changed;
  }
};

}  // namespace

TrialSolution solve_trials(const std::vector<const TrialModel*>& welds, std::ptrdiff_t left_out) {
  return Solver(welds, left_out).run();
}

TrialSolution no_trials(const TrialModel& weld) {
  return {VectorXd::Zero(static_cast<Index>(trial_unknowns())), weld.prior_variance().asDiagonal(), {}, {}};
}

TrialPrediction predict_trial(const TrialModel& weld, const TrialSolution& solution) {
  const Linear l = linear_at(weld, solution.mode);
  const Index n = weld.measured().size();
  const MatrixXd slopes = l.slopes.topRows(n), nuisances = l.nuisance_slopes.topRows(n);
  TrialPrediction out;
  out.value = l.value.head(n);
  out.deviation = (slopes * solution.covariance * slopes.transpose() + nuisances * nuisances.transpose())
                      .diagonal()
                      .cwiseMax(0)
                      .cwiseSqrt();
  return out;
}

}  // namespace seamwright
