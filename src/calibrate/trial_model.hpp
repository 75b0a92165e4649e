// One trial weld as the program computes it: what its constants would make it read.
#pragma once

#include <Eigen/Dense>
#include <array>
#include <optional>
#include <vector>

#include "seamwright/calibrate.hpp"
#include "seamwright/case.hpp"
#include "seamwright/window.hpp"
#include "window/trial_constants.hpp"

namespace seamwright {

// The unknowns of a group: its constants in standard deviations from the catalog's values, then the logarithms of its
// limits' factors in those of the data.
inline constexpr std::size_t trial_limit_count = 2;
[[nodiscard]] std::size_t trial_unknowns();

struct TrialLimit {
  C id = C::none;
  std::string_view column;
  double deviation = 0;  // of the factor's logarithm, beforehand
};
[[nodiscard]] std::array<TrialLimit, trial_limit_count> trial_limits(const Catalog& catalog);

// What differs from weld to weld, in standard deviations: stick-out, feed as set, arc length.
inline constexpr std::size_t trial_nuisances = 3;

// A verdict on one limit: +1 it held, -1 it did not.
struct TrialSide {
  C limit = C::none;
  int sign = 1;
  double deviation = 0;  // of the distance at which both are said
};

class TrialModel {
 public:
  // What the weld cannot be: refused with the reason.
  [[nodiscard]] static Expected<TrialModel> make(const TrialWeld& weld, const Catalog& catalog);

  // Readings as the logarithm of themselves, or as they are where they are near to nothing; then the distances of the
  // verdicts' limits, in the logarithm of the net power, each above 0 where the verdict is right.
  [[nodiscard]] Eigen::VectorXd predict(const Eigen::VectorXd& unknowns, const Eigen::VectorXd& nuisances) const;
  [[nodiscard]] const Eigen::VectorXd& measured() const { return measured_; }    // of the readings, in that form
  [[nodiscard]] const Eigen::VectorXd& deviation() const { return deviation_; }  // standard, reading and weld together
  [[nodiscard]] std::size_t index_of(std::size_t reading) const { return index_[reading]; }  // in the weld's list
  [[nodiscard]] const std::vector<TrialSide>& sides() const { return sides_; }
  [[nodiscard]] double in_unit(std::size_t reading, double formed) const;  // back from that form
  // A difference in that form as a half-width in the unit, about `formed`.
  [[nodiscard]] double width_in_unit(std::size_t reading, double formed, double width) const;

  // Of the unknowns before any trial: 1 but for constants whose catalog spread counts that of welds at one setting in,
  // which no trial takes away: that part of the variance is the rest.
  [[nodiscard]] const Eigen::VectorXd& prior_variance() const { return prior_variance_; }
  [[nodiscard]] const PassContext& context() const { return context_; }
  [[nodiscard]] const Setting& setting() const { return setting_; }
  [[nodiscard]] std::string_view wire_family() const { return wire_family_; }
  [[nodiscard]] std::string_view metal() const { return metal_; }
  // How far the last end of a limit lies at these unknowns; nothing where the pass has no such limit.
  [[nodiscard]] std::optional<double> room(C limit, const Eigen::VectorXd& unknowns) const;
  [[nodiscard]] const std::vector<C>& missing_limits() const { return missing_; }

 private:
  PassContext context_;
  Setting setting_;
  std::vector<TrialReading> readings_;
  std::vector<std::size_t> index_;
  std::vector<TrialSide> sides_;
  std::vector<C> missing_;
  std::vector<bool> logarithm_;
  Eigen::VectorXd measured_, deviation_, prior_variance_;
  std::array<TrialLimit, trial_limit_count> limits_{};
  double convexity_share_ = 0, extension_deviation_ = 0, feed_deviation_ = 0, trim_deviation_V_ = 0, trim_V_ = 0;
  std::string_view wire_family_, metal_;

  void take_prior(const Catalog& catalog);
  void take_readings(const TrialWeld& weld);
  void take_verdicts(const TrialWeld& weld, const Catalog& catalog);
  [[nodiscard]] double formed(std::size_t reading, double value) const;
  [[nodiscard]] ConstantValues constants(const Eigen::VectorXd& unknowns) const;
  [[nodiscard]] PassContext limited(const Eigen::VectorXd& unknowns) const;
};

}  // namespace seamwright
