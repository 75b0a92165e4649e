#include "seamwright/review.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>

#include "review/log_clock.hpp"
#include "review/log_rows.hpp"
#include "review/weld_builder.hpp"

namespace seamwright {
namespace {

// What the weld as a whole tells of a field; not applicable where it was not recorded.
double whole_value(const WeldReview& w, F field) {
  const auto of = [](bool known, const Tally& tally) { return known && tally.count > 0 ? tally.mean : not_applicable; };
  const bool pulsed = w.pulses.finding == Finding::found, shape = pulsed && w.pulses.shape_known;
  switch (field) {
    case F::current:
      return w.current_A;
    case F::current_rms:
      return w.current_rms_A;
    case F::voltage:
      return w.voltage_V;
    case F::wire_feed:
      return w.feed_m_per_min;
    case F::travel:
      return w.travel_mm_per_s;
    case F::power:
      return w.power_W;
    case F::arc_energy:
      return applies(w.arc_energy_c) ? w.arc_energy_c : w.arc_energy_b;
    case F::arc_energy_ui:
      return w.arc_energy_a;
    case F::heat_input:
      return w.heat_input_kJ_per_mm;
    case F::pulse_frequency:
      return of(pulsed, w.pulses.frequency_Hz);
    case F::peak_current:
      return of(shape, w.pulses.peak_A);
    case F::base_current:
      return of(shape, w.pulses.base_A);
    case F::peak_time:
      return of(shape, w.pulses.peak_time_ms);
    case F::base_time:
      return of(shape, w.pulses.base_time_ms);
    case F::pulse_duty:
      return shape ? w.pulses.duty_percent() : not_applicable;
    case F::modulation_frequency:
      return w.modulation.finding == Finding::found ? w.modulation.frequency_Hz : not_applicable;
    case F::current_rise:
      return of(w.shorts.finding == Finding::found, w.shorts.rise_A_per_ms);
    case F::arc_time:
      return w.arc_s;
    default:
      return not_applicable;
  }
}

PassRole role_of(std::size_t weld, std::size_t welds, const std::vector<PassRole>& given) {
  if (!given.empty()) return given[std::min(weld, given.size() - 1)];
  if (welds == 1) return PassRole::single;
  return weld == 0 ? PassRole::root : weld + 1 == welds ? PassRole::cap : PassRole::fill;
}

void judge(Review& review, std::vector<WeldBuilder::RoleRanges>& role_ranges, const ReviewOptions& options) {
  for (std::size_t i = 0; i < review.welds.size(); ++i) {
    WeldReview& weld = review.welds[i];
    weld.role = role_of(i, review.welds.size(), options.roles);
    weld.ranges = std::move(role_ranges[i][static_cast<std::size_t>(*weld.role)]);
    for (RangeReview& range : weld.ranges) {
      range.value = whole_value(weld, range.field);
      range.recorded = applies(range.value);
      range.outside = range.recorded && (range.outside || !range.range.contains(range.value));
      weld.outside = weld.outside || range.outside;
    }
    review.outside = review.outside || weld.outside;
  }
}

std::string at_line(std::uint64_t line) { return fmt::format("the first in line {}", line); }

void add_remarks(Review& review, const RowFaults& rows, const ClockFaults& clock) {
  std::vector<LogRemark> found;
  const auto add = [&](std::string id, std::uint64_t count, std::string text) {
    if (count > 0) found.push_back({std::move(id), std::move(text), count});
  };
  const auto plural = [](std::uint64_t n, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", n, n == 1 ? one : many);
  };
  add("header-again", rows.headers,
      fmt::format("{} repeated further down: ignored", plural(rows.headers, "header", "headers")));
  add("short-row", rows.short_rows,
      fmt::format("{} with too few cells, {}: skipped", plural(rows.short_rows, "row", "rows"),
                  at_line(rows.first_short_line)));
  add("missing", rows.missing,
      fmt::format("{} empty, {}", plural(rows.missing, "cell is", "cells are"), at_line(rows.first_missing_line)));
  add("unreadable", rows.unreadable,
      fmt::format("{} no number, {}: '{}'", plural(rows.unreadable, "cell is", "cells are"),
                  at_line(rows.first_unreadable_line), rows.first_unreadable));
  add("cut-off", rows.cut_off ? 1 : 0, "the last row is cut off: skipped");
  add("time-missing", clock.missing,
      fmt::format("{} no time: placed at the usual interval", plural(clock.missing, "row has", "rows have")));
  add("time-repeated", clock.stamps,
      fmt::format("{} shared by several rows: rows spread evenly up to the next",
                  plural(clock.stamps, "time is", "times are")));
  add("time-order", clock.sorted, fmt::format("{} out of order: sorted", plural(clock.sorted, "row is", "rows are")));
  add("time-stray", clock.stray,
      fmt::format("{} far off: placed between its neighbours", plural(clock.stray, "time is", "times are")));
  add("clock-restart", clock.restarts,
      fmt::format("the clock restarts {}: time continued", plural(clock.restarts, "time", "times")));
  review.remarks.insert(review.remarks.begin(), found.begin(), found.end());
}

class LogReview {
 public:
  LogReview(int descriptor, const std::string& name, const LogFormat& format, const ReviewOptions& options)
      : rows_(descriptor, name),
        name_(name),
        format_(format),
        options_(options),
        clock_(format.rate_Hz, options.rules->gap_factor.value) {
    review_.file = name;
  }

  Expected<Review> run() {
    if (Diagnostics errors = rows_.begin(format_); !errors.empty()) return errors;
    if (rows_.layout().time_form == TimeForm::clock) clock_.count_from_first();
    std::vector<LogRow> read, timed;
    while (rows_.next(read)) {
      clock_.put(read, timed);
      if (auto wrong = hand_on(timed)) return *wrong;
    }
    if (rows_.error() != 0)
      return Diagnostic{{name_, 0, 0},
                        fmt::format("cannot be read: {}", std::strerror(rows_.error())),
                        ""};  // NOLINT(concurrency-mt-unsafe)
    clock_.finish(timed);
    if (auto wrong = hand_on(timed)) return *wrong;
    if (!builder_) return nothing_to_review();
    builder_->finish();
    if (auto wrong = too_many_bad_rows()) return *wrong;
    review_.columns = rows_.layout().names;
    review_.rate_Hz = 1 / clock_.usual_s();
    std::vector<LogRemark> layout = rows_.layout().remarks;
    add_remarks(review_, rows_.faults(), clock_.faults());
    review_.remarks.insert(review_.remarks.begin(), layout.begin(), layout.end());
    if (options_.procedure != nullptr) judge(review_, builder_->role_ranges(), options_);
    return std::move(review_);
  }

 private:
  std::optional<Diagnostic> hand_on(std::vector<LogRow>& timed) {
    if (clock_.stuck())
      return Diagnostic{
          {name_, 0, 0}, "the time does not advance over very many rows", "give the rate instead, as in --rate 50kHz"};
    if (timed.empty()) return std::nullopt;
    if (!(clock_.usual_s() > 0))
      return Diagnostic{
          {name_, 0, 0}, "the times never rise", "name another time column with --map time=NAME, or give --rate"};
    constexpr double shortest_s = 1e-7;
    if (clock_.usual_s() < shortest_s)
      return Diagnostic{{name_, 0, 0},
                        fmt::format("the readings would come every {:.3g} s", clock_.usual_s()),
                        "say the unit of the time column, as in t_us, or time = { column = \"t\", unit = \"us\" }"};
    if (!builder_) builder_.emplace(rows_.layout(), options_, clock_.usual_s(), review_);
    builder_->take(timed);
    timed.clear();
    return std::nullopt;
  }

  [[nodiscard]] Diagnostic nothing_to_review() const {
    const RowFaults& f = rows_.faults();
    const std::uint64_t line = f.first_short_line > 0 ? f.first_short_line : rows_.layout().first_line;
    return {{name_, static_cast<int>(std::min<std::uint64_t>(line, 1'000'000'000)), 1},
            f.short_rows > 0 ? "no row has all the cells of the header" : "there is a header and no row",
            "a log has a row a reading below its header"};
  }

  [[nodiscard]] std::optional<Diagnostic> too_many_bad_rows() const {
    const RowFaults& f = rows_.faults();
    const double most = options_.rules->bad_rows_share.value * static_cast<double>(f.rows);
    const std::uint64_t bad = f.short_rows + f.unreadable;
    if (static_cast<double>(bad) <= most) return std::nullopt;
    const std::uint64_t line = f.first_unreadable_line > 0 ? f.first_unreadable_line : f.first_short_line;
    return Diagnostic{{name_, static_cast<int>(std::min<std::uint64_t>(line, 1'000'000'000)), 1},
                      f.first_unreadable_line > 0 ? fmt::format("'{}' is no number; {} of {} rows cannot be read",
                                                                f.first_unreadable, bad, f.rows)
                                                  : fmt::format("{} of {} rows have too few cells", bad, f.rows),
                      "check the separator, the decimal sign and --map; 'seamwright help logs'"};
  }

  LogRows rows_;
  const std::string& name_;
  const LogFormat& format_;
  const ReviewOptions& options_;
  LogClock clock_;
  Review review_;
  std::optional<WeldBuilder> builder_;
};

}  // namespace

double Tally::deviation() const {
  return count > 1 ? std::sqrt(std::max(0.0, squares) / static_cast<double>(count - 1)) : 0;
}

double Pulses::duty_percent() const {
  const double period = peak_time_ms.mean + base_time_ms.mean;
  return period > 0 ? 100 * peak_time_ms.mean / period : 0;
}

std::string_view finding_key(Finding finding) {
  switch (finding) {
    case Finding::found:
      return "found";
    case Finding::none:
      return "none";
    case Finding::rate_too_low:
      return "rate-too-low";
    case Finding::not_recorded:
      break;
  }
  return "not-recorded";
}

std::string_view transfer_seen_key(TransferSeen transfer) {
  switch (transfer) {
    case TransferSeen::dip:
      return "dip";
    case TransferSeen::pulse:
      return "pulse";
    case TransferSeen::double_pulse:
      return "double-pulse";
    case TransferSeen::neither:
      return "open-arc";
    case TransferSeen::not_told:
      break;
  }
  return "not-determined";
}

std::string_view transfer_seen_text(TransferSeen transfer) {
  switch (transfer) {
    case TransferSeen::dip:
      return "dip transfer";
    case TransferSeen::pulse:
      return "pulse";
    case TransferSeen::double_pulse:
      return "double pulse";
    case TransferSeen::neither:
      return "open arc without pulse: spray or globular";
    case TransferSeen::not_told:
      break;
  }
  return "not determined from this log";
}

Expected<Review> review_log(int descriptor, const std::string& name, const LogFormat& format,
                            const ReviewOptions& options) {
  return LogReview(descriptor, name, format, options).run();
}

}  // namespace seamwright
