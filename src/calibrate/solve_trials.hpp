// The most probable constants of a group of trial welds, and how well they are then known.
#pragma once

#include <Eigen/Dense>
#include <vector>

#include "calibrate/trial_model.hpp"

namespace seamwright {

struct TrialSolution {
  Eigen::VectorXd mode;                               // standardised unknowns
  Eigen::MatrixXd covariance;                         // of them, without what differs from weld to weld
  std::vector<Eigen::VectorXd> weights, spreads_off;  // of each weld's readings
};

// `left_out`: index of a weld that does not count; -1: none.
[[nodiscard]] TrialSolution solve_trials(const std::vector<const TrialModel*>& welds, std::ptrdiff_t left_out = -1);

// What a weld's readings are expected to be under a solution: value and standard deviation without their own noise, in
// the form of TrialModel::predict.
struct TrialPrediction {
  Eigen::VectorXd value, deviation;
};
[[nodiscard]] TrialPrediction predict_trial(const TrialModel& weld, const TrialSolution& solution);

// Before any trial, for a weld of the group.
[[nodiscard]] TrialSolution no_trials(const TrialModel& weld);

}  // namespace seamwright
