// What accumulates over a weld: means, running means against ranges, heat input along the seam; and the trace of a log.
#pragma once

#include <array>
#include <deque>
#include <vector>

#include "review/reading.hpp"
#include "seamwright/review.hpp"

namespace seamwright {

// Time-weighted sums of the quantities, each over the time it was recorded.
struct Sums {
  double weight_s = 0, current = 0, current_square = 0, voltage = 0, energy_J = 0;
  double feed = 0, feed_s = 0, travel = 0, travel_s = 0;
  void add(const Reading& r);
  void add(const Sums& other, double sign);
};

// The least and most of a stretch of readings, in at most so many steps: when they run out, two become one.
class TraceMeter {
 public:
  explicit TraceMeter(double step_s) : step_s_(step_s) {}
  void take(double time_s, const std::array<double, traced_count>& readings);
  [[nodiscard]] const std::vector<TraceStep>& steps() const { return steps_; }

 private:
  void fold();
  double step_s_;
  std::vector<TraceStep> steps_;
};

// Heat input in steps along the seam, likewise.
class SeamMeter {
 public:
  explicit SeamMeter(double step_mm) : step_mm_(step_mm) {}
  void take(double length_mm, double energy_J);  // laid down since the last time
  [[nodiscard]] std::vector<SeamStep> steps(double efficiency) const;

 private:
  double step_mm_, at_mm_ = 0;
  std::vector<double> energy_J_, length_mm_;
};

// One range, and the running mean against it.
class RangeMeter {
 public:
  RangeMeter(F field, const Interval& range) : field_(field), range_(range) {}
  // `value` stands for `step_s` up to `to_s`.
  void take(double value, double to_s, double step_s);
  [[nodiscard]] F field() const { return field_; }
  [[nodiscard]] RangeReview result(double excursion_s);

 private:
  void end();
  F field_;
  Interval range_;
  RangeReview out_;
  bool outside_ = false;
  Excursion now_;
};

// A weld, from its first reading to its last.
class WeldMeter {
 public:
  WeldMeter(const ReviewOptions& options, double usual_s, bool positions);
  void take(const Reading& r);
  // Closes the last block.
  void finish();
  [[nodiscard]] const Sums& sums() const { return sums_; }
  [[nodiscard]] double length_mm() const;  // not applicable where neither position nor travel is known
  [[nodiscard]] std::vector<SeamStep> seam() const { return seam_.steps(options_.efficiency); }
  // The ranges of a role, of quantities that have a running mean.
  [[nodiscard]] std::vector<RangeReview> ranges(PassRole role);

 private:
  struct Block {
    Sums sums;
    double end_s = 0, length_mm = 0;
  };
  void end_block();
  void judge();
  [[nodiscard]] double block_length(const Sums& block);

  const ReviewOptions& options_;
  double block_s_;
  bool positions_;
  Sums sums_, block_, window_;
  double window_length_mm_ = 0;
  double block_end_s_ = 0, last_s_ = 0;
  bool any_ = false;
  std::deque<Block> blocks_;
  SeamMeter seam_;
  double length_mm_ = 0;
  bool length_known_ = true;
  std::array<double, 3> position_{}, position_before_{};  // sums of the block, mean of the block before
  double position_s_ = 0;
  std::size_t positions_seen_ = 0;                 // blocks with a position
  std::array<std::vector<RangeMeter>, 4> ranges_;  // by role
};

}  // namespace seamwright
