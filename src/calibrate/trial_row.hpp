// A group of calibrated constants as the row of the catalog that it becomes.
#pragma once

#include <string>

#include "seamwright/calibrate.hpp"

namespace seamwright {

class TrialText {
 public:
  TrialText(const CalibrationGroup& group, SourceIndex source);
  [[nodiscard]] const TrialRow& row() const { return row_; }  // its texts are this object's

 private:
  std::string correlation_;
  TrialRow row_;
};

// "feed_law width -0.41|...".
[[nodiscard]] std::string correlation_text(const CalibrationGroup& group);

}  // namespace seamwright
