// The times of a log put right: repeated, missing, out of order, stray, started again. Rows go in as they come and come
// out with times that rise; those of a few rows are held back until what follows them is known.
#pragma once

#include <cstdint>
#include <vector>

#include "review/log_rows.hpp"

namespace seamwright {

struct ClockFaults {
  std::uint64_t missing = 0;   // took the usual interval after the row before
  std::uint64_t sorted = 0;    // out of order by a few rows: put in order
  std::uint64_t stray = 0;     // far off alone: put between its neighbours
  std::uint64_t restarts = 0;  // the clock starts again: time goes on
  std::uint64_t stamps = 0;    // stamps that several rows share: spread evenly
  std::uint64_t stuck = 0;     // rows of a stamp that never moves on
};

class LogClock {
 public:
  // `rate_Hz` above 0: rows come at this rate and bring no time of their own.
  LogClock(double rate_Hz, double gap_factor);
  // Times count from the first row: of dates and hours only differences say something.
  void count_from_first() { from_first_ = true; }
  // Appends to `out` the rows whose times are known.
  void put(const std::vector<LogRow>& rows, std::vector<LogRow>& out);
  void finish(std::vector<LogRow>& out);
  [[nodiscard]] double usual_s() const { return usual_s_; }  // interval between rows
  [[nodiscard]] double gap_s() const { return gap_factor_ * usual_s_; }
  [[nodiscard]] const ClockFaults& faults() const { return faults_; }
  [[nodiscard]] bool stuck() const { return faults_.stuck > 0; }

 private:
  void learn(std::vector<LogRow>& out);
  bool pass_rising(const std::vector<LogRow>& rows, std::vector<LogRow>& out);
  void take(LogRow row, std::vector<LogRow>& out);
  void settle(const LogRow& suspect, const LogRow& next, std::vector<LogRow>& out);
  void insert(const LogRow& row);
  void append(const LogRow& row, std::vector<LogRow>& out);
  void emit(const LogRow& row, std::vector<LogRow>& out);
  void spread(double next_s, bool known, std::vector<LogRow>& out);

  double rate_Hz_, gap_factor_;
  double usual_s_ = 0;  // between rows
  double stamp_s_ = 0;  // between different stamps
  double shift_s_ = 0;  // of restarts
  std::uint64_t counted_ = 0;
  bool learnt_ = false;
  bool from_first_ = false;
  bool any_out_ = false;
  double last_out_s_ = 0;
  std::vector<LogRow> first_;     // until the intervals are known
  std::vector<LogRow> held_;      // in order; the newest last
  std::vector<LogRow> suspects_;  // at most one
  std::vector<LogRow> group_;     // rows of one stamp
  ClockFaults faults_;
};

}  // namespace seamwright
