#include "review/log_clock.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace seamwright {
namespace {

constexpr std::size_t rows_to_learn = 4096;
constexpr std::size_t rows_held = 64;             // how far out of order a row may be
constexpr std::size_t most_of_a_stamp = 200'000;  // two seconds at 100 kHz

double median(std::vector<double>& values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

LogClock::LogClock(double rate_Hz, double gap_factor) : rate_Hz_(rate_Hz), gap_factor_(gap_factor) {
  if (rate_Hz_ > 0) {
    usual_s_ = stamp_s_ = 1 / rate_Hz_;
    learnt_ = true;
  }
}

void LogClock::put(const std::vector<LogRow>& rows, std::vector<LogRow>& out) {
  if (rate_Hz_ > 0) {
    for (const LogRow& row : rows) {
      out.push_back(row);
      out.back().time_s = static_cast<double>(counted_++) / rate_Hz_;
    }
    return;
  }
  if (!learnt_) {
    first_.insert(first_.end(), rows.begin(), rows.end());
    if (first_.size() >= rows_to_learn) learn(out);
    return;
  }
  if (pass_rising(rows, out)) return;
  for (const LogRow& row : rows) take(row, out);
}

// The quick way, for times that rise by less than a gap each: they go through as they are.
bool LogClock::pass_rising(const std::vector<LogRow>& rows, std::vector<LogRow>& out) {
  if (!suspects_.empty() || group_.size() > 1 || rows.size() <= rows_held) return false;
  const double most = gap_factor_ * std::max(stamp_s_, usual_s_);
  double before = group_.empty() ? -std::numeric_limits<double>::infinity() : group_.front().time_s;
  for (const LogRow& row : held_) {
    if (!(row.time_s > before)) return false;
    before = row.time_s;
  }
  if (held_.empty()) return false;
  for (const LogRow& row : rows) {
    const double t = row.time_s + shift_s_;
    if (!(t > before && t - before <= most)) return false;
    before = t;
  }
  out.insert(out.end(), group_.begin(), group_.end());
  out.insert(out.end(), held_.begin(), held_.end());
  const std::size_t passed = rows.size() - rows_held;
  const std::size_t first = out.size();
  out.insert(out.end(), rows.begin(), rows.begin() + static_cast<std::ptrdiff_t>(passed));
  group_.clear();
  held_.assign(rows.begin() + static_cast<std::ptrdiff_t>(passed), rows.end());
  if (shift_s_ != 0) {
    for (std::size_t i = first; i < out.size(); ++i) out[i].time_s += shift_s_;
    for (LogRow& row : held_) row.time_s += shift_s_;
  }
  any_out_ = true;
  last_out_s_ = out.back().time_s;
  return true;
}

// The usual intervals, from the first rows.
void LogClock::learn(std::vector<LogRow>& out) {
  learnt_ = true;
  std::vector<double> steps, groups;
  double before = std::numeric_limits<double>::quiet_NaN();
  std::size_t alike = 1;
  for (const LogRow& row : first_) {
    if (std::isnan(row.time_s)) continue;
    if (row.time_s > before) {
      steps.push_back(row.time_s - before);
      groups.push_back(static_cast<double>(alike));
      alike = 1;
    } else if (row.time_s == before) {
      ++alike;
    }
    before = row.time_s;
  }
  stamp_s_ = median(steps);
  if (!groups.empty()) groups.erase(groups.begin());  // the first stamp may have begun before the log
  usual_s_ = stamp_s_ / std::max(1.0, median(groups));
  constexpr double longest_log_s = 1e7;  // a number beyond counts from an epoch
  const auto timed = std::find_if(first_.begin(), first_.end(), [](const LogRow& r) { return !std::isnan(r.time_s); });
  if (timed != first_.end() && (from_first_ || std::abs(timed->time_s) > longest_log_s)) shift_s_ = -timed->time_s;
  const std::vector<LogRow> rows = std::move(first_);
  first_.clear();
  for (const LogRow& row : rows) take(row, out);
}

void LogClock::take(LogRow row, std::vector<LogRow>& out) {
  row.time_s += shift_s_;
  constexpr double latest_s = 1e9;  // three decades: no reading comes later
  if (!(std::abs(row.time_s) < latest_s)) row.time_s = std::numeric_limits<double>::quiet_NaN();
  if (std::isnan(row.time_s)) {
    ++faults_.missing;
    row.time_s = held_.empty() ? 0 : held_.back().time_s + usual_s_;
    return append(row, out);
  }
  if (!suspects_.empty()) {
    const LogRow suspect = suspects_.front();
    suspects_.clear();
    return settle(suspect, row, out);
  }
  const double before = held_.empty() ? row.time_s : held_.back().time_s;
  if (row.time_s >= before && row.time_s - before <= gap_factor_ * std::max(stamp_s_, usual_s_))
    return append(row, out);
  suspects_.push_back(row);
}

// A row whose time is off, seen with the one after it.
void LogClock::settle(const LogRow& suspect, const LogRow& next, std::vector<LogRow>& out) {
  const double before = held_.back().time_s, most = gap_factor_ * std::max(stamp_s_, usual_s_);
  const bool next_follows_before = next.time_s >= before && next.time_s - before <= 2 * most;
  const bool next_follows_suspect = next.time_s >= suspect.time_s && next.time_s - suspect.time_s <= most;
  const bool within_held = suspect.time_s < before && (!any_out_ || suspect.time_s > last_out_s_) &&
                           (group_.empty() || suspect.time_s >= group_.front().time_s);
  LogRow placed = suspect;
  if (within_held && held_.front().time_s <= suspect.time_s) {
    insert(suspect);
  } else if (next_follows_before && !(next_follows_suspect && suspect.time_s > before)) {
    ++faults_.stray;
    placed.time_s = (before + next.time_s) / 2;
    append(placed, out);
  } else if (suspect.time_s > before) {
    append(suspect, out);  // a gap
  } else {
    ++faults_.restarts;
    const double on = before + usual_s_ - suspect.time_s;
    shift_s_ += on;
    placed.time_s += on;
    append(placed, out);
    LogRow moved = next;
    moved.time_s += on - shift_s_;  // take() adds the whole shift
    return take(moved, out);
  }
  LogRow again = next;
  again.time_s -= shift_s_;
  take(again, out);
}

void LogClock::insert(const LogRow& row) {
  ++faults_.sorted;
  const auto at = std::upper_bound(held_.begin(), held_.end(), row,
                                   [](const LogRow& a, const LogRow& b) { return a.time_s < b.time_s; });
  held_.insert(at, row);
}

void LogClock::append(const LogRow& row, std::vector<LogRow>& out) {
  held_.push_back(row);
  if (held_.size() < 2 * rows_held) return;
  for (std::size_t i = 0; i < rows_held; ++i) emit(held_[i], out);
  held_.erase(held_.begin(), held_.begin() + rows_held);
}

// In order; rows of one stamp wait for the next stamp.
void LogClock::emit(const LogRow& row, std::vector<LogRow>& out) {
  if (!group_.empty() && row.time_s > group_.front().time_s) spread(row.time_s, true, out);
  if (group_.size() >= most_of_a_stamp) {
    ++faults_.stuck;
    return;
  }
  group_.push_back(row);
}

// Rows of one stamp lie evenly between it and the next; those of the first and the last by the usual interval.
void LogClock::spread(double next_s, bool known, std::vector<LogRow>& out) {
  const auto rows = static_cast<double>(group_.size());
  const double stamp = group_.front().time_s;
  if (group_.size() > 1) {
    ++faults_.stamps;
    const double step = known ? std::min(next_s - stamp, gap_s() + stamp_s_) / rows : usual_s_;
    const bool first = !any_out_ && known;
    for (std::size_t i = 0; i < group_.size(); ++i) {
      const auto k = static_cast<double>(i);
      group_[i].time_s = first ? next_s - std::min(usual_s_, step) * (rows - k) : stamp + k * step;
    }
  }
  any_out_ = true;
  last_out_s_ = stamp;
  out.insert(out.end(), group_.begin(), group_.end());
  group_.clear();
}

void LogClock::finish(std::vector<LogRow>& out) {
  if (rate_Hz_ > 0) return;
  if (!learnt_) learn(out);
  if (!suspects_.empty()) {  // nothing after it: it may be a gap, or stray
    LogRow row = suspects_.front();
    suspects_.clear();
    if (held_.empty() || row.time_s < held_.back().time_s) {
      ++faults_.stray;
      row.time_s = held_.empty() ? 0 : held_.back().time_s + usual_s_;
    }
    held_.push_back(row);
  }
  for (const LogRow& row : held_) emit(row, out);
  held_.clear();
  if (!group_.empty()) spread(0, false, out);
}

}  // namespace seamwright
