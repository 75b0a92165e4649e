// What the shape of current and voltage tells: short circuits, pulses, slow modulation. Each takes one reading after
// the other and keeps no more than a fraction of a second of them (the modulation: ten seconds of a slow mean).
#pragma once

#include <vector>

#include "review/reading.hpp"
#include "seamwright/review.hpp"

namespace seamwright {

// A short circuit lasts from the voltage falling below `short_below_V` until it is above `short_above_V`, between
// readings by the straight line. Rise: from the current at its start to the greatest in it.
class ShortMeter {
 public:
  ShortMeter(const ReviewRules& rules, double rate_Hz);
  void take(const Reading& r);
  [[nodiscard]] ShortCircuits result(double arc_s, bool voltage, bool current) const;

 private:
  const ReviewRules& rules_;
  double rate_Hz_;
  bool inside_ = false, any_before_ = false;
  double start_s_ = 0, start_A_ = 0, top_A_ = 0, top_s_ = 0;
  std::size_t readings_ = 0;
  double before_s_ = 0, before_V_ = 0, before_A_ = 0;
  Tally duration_ms_, rise_;
};

// Pulses: the current goes up and down between two levels with a steady period. Windows of a few periods; in each the
// levels are near the ends of the readings below and above the middle, an edge is where the current crosses the middle
// between them after it was well on the other side, a window is pulsed where successive periods agree and the
// autocorrelation after one period is high.
class PulseMeter {
 public:
  PulseMeter(const ReviewRules& rules, double rate_Hz);
  void take(const Reading& r);
  [[nodiscard]] Pulses result(const ShortCircuits& shorts, double arc_s, bool current);

 private:
  struct Sample {
    double time_s, current_A;
  };
  struct Cycle {
    double up_s, down_s, next_s;
    double peak_A, base_A;
    double ramp_up, ramp_down;  // A/ms; 0: not seen
  };
  void work(bool last);
  void find_levels();
  void find_cycles();
  [[nodiscard]] bool steady() const;
  [[nodiscard]] double autocorrelation(double from_s, double to_s, double period_s) const;
  void count_cycles();

  const ReviewRules& rules_;
  double rate_Hz_, window_s_;
  std::vector<Sample> samples_;
  std::vector<Cycle> cycles_;
  double low_A_ = 0, high_A_ = 0;
  double carried_s_ = 0;  // of the window before, from its last edge on
  double seen_s_ = 0, pulsed_s_ = 0;
  Pulses pulses_;
};

// Slow modulation of the current: spectrum of smoothed means.
class ModulationMeter {
 public:
  ModulationMeter(const ReviewRules& rules, double rate_Hz);
  void take(const Reading& r);
  [[nodiscard]] SlowModulation result(bool current);

 private:
  void end_block();
  void work();
  const ReviewRules& rules_;
  double rate_Hz_, block_s_, step_s_;
  double block_end_s_ = 0, sum_ = 0, weight_ = 0, last_mean_ = 0;
  bool any_ = false;
  std::vector<double> recent_;  // block means, for the smoothing
  std::size_t blocks_ = 0;
  std::vector<double> slow_;
  std::vector<double> power_;  // added up over segments
  double mean_ = 0;
  std::size_t segments_ = 0, longest_ = 0;
};

}  // namespace seamwright
