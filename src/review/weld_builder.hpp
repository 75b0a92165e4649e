// Finds the welds in a log: when the arc burns, what is counted, where a frozen reading begins.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "review/log_clock.hpp"
#include "review/waveform_meters.hpp"
#include "review/weld_meters.hpp"

namespace seamwright {

class WeldBuilder {
 public:
  WeldBuilder(const LogLayout& layout, const ReviewOptions& options, double usual_s, Review& review);
  void take(const std::vector<LogRow>& rows);
  void finish();
  // What each weld did in the ranges of each role: which role it has is known once all welds are.
  using RoleRanges = std::array<std::vector<RangeReview>, 4>;
  [[nodiscard]] std::vector<RoleRanges>& role_ranges() { return role_ranges_; }

 private:
  struct Weld {
    WeldReview out;
    WeldMeter meter;
    ShortMeter shorts;
    PulseMeter pulses;
    ModulationMeter modulation;
    bool is_out = false;
    double out_from_s = 0, last_end_s = 0;
    std::uint64_t changes = 0;
  };
  [[nodiscard]] bool usable(LogRow& row);
  void work(bool last);
  [[nodiscard]] std::size_t frozen_run(std::size_t from) const;
  void drop_frozen(std::size_t from, std::size_t to);
  void process(std::size_t i);
  void trace(const LogRow& row);
  [[nodiscard]] bool burning(const LogRow& row) const;
  void light(double time_s);
  void end_weld(double time_s);
  void finish_facts(Weld& weld);

  const ReviewOptions& options_;
  const ReviewRules& rules_;
  Review& review_;
  double usual_s_, gap_s_, rate_Hz_;
  bool current_, voltage_, flag_, positions_;
  std::vector<LogRow> rows_;  // not worked off yet, the first one worked off already
  std::size_t next_ = 0;      // the first that is not
  LogRow held_;               // last feed, travel and position
  bool burning_ = false;
  bool frozen_ = false, standing_ = false;  // in a frozen run; in one that is taken as it is
  std::optional<Weld> weld_;
  std::vector<RoleRanges> role_ranges_;
  TraceMeter trace_;
  std::uint64_t spikes_ = 0, incomplete_ = 0, gaps_ = 0, reversed_ = 0, frozen_runs_ = 0, frozen_rows_ = 0;
  double longest_gap_s_ = 0, longest_gap_at_s_ = 0, frozen_s_ = 0, first_spike_s_ = 0, first_frozen_s_ = 0;
  void remark(std::string id, std::string text, std::uint64_t count);
};

}  // namespace seamwright
