// A weld as it was recorded: what the readings say of it, and whether it stayed inside a procedure's ranges.
//
// The log is read once, front to back, in memory that does not grow with its length. Times are seconds of the log's own
// clock; of dates and hours, since its first row. Means are time means over the time the arc burns: mean = sum(x w) /
// sum(w), w half the interval to the reading before and half that to the next; gaps weigh as one usual interval.
// Current and voltage count by their magnitude.
//
// Arc energy by ISO/TR 18491 (recalled), with v the travel and L the length of the seam:
//   method A   mean voltage times mean current over v
//   method B   energy over L; energy = sum(u i w)
//   method C   mean of u i over v
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/diagnostic.hpp"
#include "seamwright/field.hpp"
#include "seamwright/log_format.hpp"
#include "seamwright/procedure.hpp"
#include "seamwright/review_rules.hpp"

namespace seamwright {

// Mean and standard deviation of what was counted.
struct Tally {
  std::uint64_t count = 0;
  double mean = 0;
  double squares = 0;   // sum of squared differences from the mean
  void add(double x) {  // Welford
    ++count;
    const double before = x - mean;
    mean += before / static_cast<double>(count);
    squares += before * (x - mean);
  }
  [[nodiscard]] double deviation() const;  // 0 of fewer than two
};

enum class Finding : unsigned char { found, none, rate_too_low, not_recorded };
[[nodiscard]] std::string_view finding_key(Finding finding);  // "found", "none", ...

struct ShortCircuits {
  Finding finding = Finding::not_recorded;
  std::string remark;  // why not
  std::uint64_t count = 0;
  double rate_Hz = 0;  // a second of arc time
  Tally duration_ms;
  Tally rise_A_per_ms;  // from its start to its greatest current
};

struct Pulses {
  Finding finding = Finding::not_recorded;
  std::string remark;
  bool shape_known = true;  // false: the rate gives the frequency only
  bool ramps_known = true;
  Tally frequency_Hz, peak_A, base_A, peak_time_ms, base_time_ms, ramp_up_A_per_ms, ramp_down_A_per_ms;
  [[nodiscard]] double duty_percent() const;
};

struct SlowModulation {
  Finding finding = Finding::not_recorded;
  std::string remark;
  double frequency_Hz = 0;
  double current_amplitude_A = 0;  // of its first harmonic
};

enum class TransferSeen : unsigned char { dip, pulse, double_pulse, neither, not_told };
[[nodiscard]] std::string_view transfer_seen_key(TransferSeen transfer);  // "dip", ...
[[nodiscard]] std::string_view transfer_seen_text(TransferSeen transfer);

// A stay outside a range, of the running mean.
struct Excursion {
  double start_s = 0, length_s = 0, worst = 0;
};

// One range of the procedure and what the weld did.
struct RangeReview {
  F field{};
  Interval range;
  bool recorded = false;          // the log tells this quantity
  bool over_time = false;         // judged by its running mean; else by the weld's value alone
  double value = not_applicable;  // of the whole weld
  double judged_s = 0, inside_s = 0;
  std::uint64_t excursions = 0;
  std::vector<Excursion> listed;  // the first of them
  double longest_s = 0;
  bool outside = false;
};

// Heat input of a step along the seam.
struct SeamStep {
  double from_mm = 0, to_mm = 0, heat_input_kJ_per_mm = 0;
};

struct WeldReview {
  double start_s = 0, end_s = 0;
  double arc_s = 0;  // time the arc burns
  std::uint64_t readings = 0;
  std::uint64_t interruptions = 0;
  double interrupted_s = 0;
  bool set_values = false;         // current and voltage never change: not measured
  bool waveform_followed = false;  // readings often enough for the power of a pulsed arc: methods B and C
  // Not applicable where not recorded.
  double current_A = not_applicable, current_rms_A = not_applicable, voltage_V = not_applicable;
  double power_W = not_applicable, energy_J = not_applicable;
  double feed_m_per_min = not_applicable, travel_mm_per_s = not_applicable, length_mm = not_applicable;
  double arc_energy_a = not_applicable, arc_energy_b = not_applicable, arc_energy_c = not_applicable;  // kJ/mm
  double heat_input_kJ_per_mm = not_applicable;  // method C, or B, times the procedure's efficiency
  std::vector<SeamStep> seam;
  ShortCircuits shorts;
  Pulses pulses;
  SlowModulation modulation;
  TransferSeen transfer = TransferSeen::not_told;
  std::optional<PassRole> role;  // against a procedure
  std::vector<RangeReview> ranges;
  bool outside = false;
};

// What was found odd in the log and what was done about it.
struct LogRemark {
  std::string id;  // "gap", "spike", ...
  std::string text;
  std::uint64_t count = 0;
};

// Lowest and highest reading of a stretch of time; not applicable where there is none.
enum class Traced : std::size_t { current, voltage, feed, travel, count };
inline constexpr std::size_t traced_count = static_cast<std::size_t>(Traced::count);
struct TraceStep {
  double from_s = 0, to_s = 0;
  std::array<Interval, traced_count> range{};  // in A, V, m/min, mm/s
  [[nodiscard]] const Interval& operator[](Traced t) const { return range[static_cast<std::size_t>(t)]; }
};

struct Review {
  std::string file;
  std::array<std::string, log_quantity_count> columns;  // the log's name for each quantity; empty: not there
  std::uint64_t rows = 0;
  double rate_Hz = 0;  // usual, of the readings
  double start_s = 0, end_s = 0;
  double gaps_s = 0;
  std::uint64_t strikes = 0;  // burned for less than a weld does
  double strikes_s = 0;
  std::vector<LogRemark> remarks;
  std::vector<WeldReview> welds;
  std::uint64_t more_welds = 0;  // beyond the most that are kept
  std::vector<TraceStep> trace;
  bool outside = false;
};

struct ReviewOptions {
  const ReviewRules* rules = nullptr;
  double efficiency = 1;  // k of the procedure, for the heat input
  const Procedure* procedure = nullptr;
  std::vector<PassRole> roles;  // of the welds, in their order; the last stands for all further ones
  double travel_mm_per_s = 0;   // where the log has none; 0: not given
  double length_mm = 0;         // of the seam of each weld; 0: not given
};

// Reads the log from a descriptor to its end. `name` stands for it in messages. Errors: not a log, no arc quantity, no
// time, too many bad rows, a read that fails.
[[nodiscard]] Expected<Review> review_log(int descriptor, const std::string& name, const LogFormat& format,
                                          const ReviewOptions& options);

}  // namespace seamwright
