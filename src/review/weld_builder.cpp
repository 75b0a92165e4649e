#include "review/weld_builder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace seamwright {
namespace {

constexpr std::size_t most_welds = 500;
constexpr double trace_step_s = 0.001;

bool same_reading(const LogRow& a, const LogRow& b) {
  const auto same = [](double x, double y) { return x == y || (std::isnan(x) && std::isnan(y)); };
  return same(a.current_A, b.current_A) && same(a.voltage_V, b.voltage_V);
}

double ratio(double a, double b) { return b > 0 ? a / b : not_applicable; }

}  // namespace

WeldBuilder::WeldBuilder(const LogLayout& layout, const ReviewOptions& options, double usual_s, Review& review)
    : options_(options),
      rules_(*options.rules),
      review_(review),
      usual_s_(usual_s),
      gap_s_(rules_.gap_factor.value * usual_s),
      rate_Hz_(1 / usual_s),
      current_(layout.has(LogQuantity::current)),
      voltage_(layout.has(LogQuantity::voltage)),
      flag_(layout.has(LogQuantity::arc)),
      positions_(layout.has(LogQuantity::x) || layout.has(LogQuantity::y) || layout.has(LogQuantity::z)),
      trace_(std::max(trace_step_s, usual_s)) {
  held_.feed_m_per_min = held_.travel_mm_per_s = held_.arc = not_applicable;
  held_.x_mm = layout.has(LogQuantity::x) ? not_applicable : 0;
  held_.y_mm = layout.has(LogQuantity::y) ? not_applicable : 0;
  held_.z_mm = layout.has(LogQuantity::z) ? not_applicable : 0;
}

// Magnitudes; what is written less often than current and voltage stands until the next. False: not counted.
bool WeldBuilder::usable(LogRow& row) {
  if ((current_ && std::isnan(row.current_A)) || (voltage_ && std::isnan(row.voltage_V))) {
    ++incomplete_;
    return false;
  }
  if (row.current_A < -rules_.arc_on_A.value) ++reversed_;
  row.current_A = std::abs(row.current_A);
  row.voltage_V = std::abs(row.voltage_V);
  if (row.current_A > rules_.current_most_A.value || row.voltage_V > rules_.voltage_most_V.value) {
    if (spikes_++ == 0) first_spike_s_ = row.time_s;
    return false;
  }
  const auto stand = [](double& now, double& held) {
    if (std::isnan(now))
      now = held;
    else
      held = now;
  };
  stand(row.feed_m_per_min, held_.feed_m_per_min);
  stand(row.travel_mm_per_s, held_.travel_mm_per_s);
  stand(row.x_mm, held_.x_mm);
  stand(row.y_mm, held_.y_mm);
  stand(row.z_mm, held_.z_mm);
  stand(row.arc, held_.arc);
  return true;
}

void WeldBuilder::take(const std::vector<LogRow>& rows) {
  for (LogRow row : rows) {
    if (review_.rows++ == 0) review_.start_s = row.time_s;
    review_.end_s = row.time_s;
    if (usable(row)) rows_.push_back(row);
  }
  work(false);
}

// Works off what has a reading after it. The last one worked off stays, as the neighbour of the next.
void WeldBuilder::work(bool last) {
  if (rows_.size() < 2 && !last) return;
  std::size_t i = next_;
  const std::size_t end = last ? rows_.size() : rows_.size() - 1;
  while (i < end) {
    const bool repeats = i + 1 < rows_.size() && same_reading(rows_[i], rows_[i + 1]);
    if (frozen_) {  // until something changes
      std::size_t to = i;
      while (to < rows_.size() && same_reading(rows_[to], rows_[i > 0 ? i - 1 : i])) ++to;
      if (to > i) {
        drop_frozen(i, to);
        i = to;
        continue;
      }
      frozen_ = false;
    }
    if (!repeats) {
      standing_ = false;
    } else if (!standing_ && weld_ && !weld_->is_out) {
      const std::size_t run = frozen_run(i);
      const bool goes_on = i + run == rows_.size() && !last;
      const bool frozen = static_cast<double>(run) >= rules_.frozen_samples.value &&
                          rows_[i + run - 1].time_s - rows_[i].time_s >= rules_.frozen_s.value;
      const bool changed = static_cast<double>(weld_->changes) >= rules_.frozen_samples.value;
      if (frozen && changed && !flag_) {
        process(i++);  // the first of them was read
        frozen_ = true;
        if (frozen_runs_++ == 0) first_frozen_s_ = rows_[i].time_s;
        continue;
      }
      if (goes_on && !frozen) break;  // what follows decides
      standing_ = true;
    }
    process(i++);
  }
  if (i > 0) {
    rows_.erase(rows_.begin(), rows_.begin() + static_cast<std::ptrdiff_t>(i - 1));
    next_ = 1;
  }
}

std::size_t WeldBuilder::frozen_run(std::size_t from) const {
  std::size_t to = from + 1;
  while (to < rows_.size() && same_reading(rows_[to], rows_[from])) ++to;
  return to - from;
}

// The arc has gone out and the logger repeats its last reading.
void WeldBuilder::drop_frozen(std::size_t from, std::size_t to) {
  if (weld_ && !weld_->is_out) {
    weld_->is_out = true;
    weld_->out_from_s = weld_->last_end_s;
  }
  frozen_rows_ += to - from;
  for (std::size_t i = from; i < to; ++i) {
    trace(rows_[i]);
    frozen_s_ += i > 0 ? rows_[i].time_s - rows_[i - 1].time_s : 0;
  }
  if (weld_ && rows_[to - 1].time_s - weld_->out_from_s >= rules_.arc_out_s.value) end_weld(weld_->out_from_s);
}

void WeldBuilder::trace(const LogRow& row) {
  trace_.take(row.time_s, {row.current_A, row.voltage_V, row.feed_m_per_min, row.travel_mm_per_s});
}

bool WeldBuilder::burning(const LogRow& row) const {
  if (flag_) return row.arc > 0.5;
  if (current_) return row.current_A >= (burning_ ? rules_.arc_off_A.value : rules_.arc_on_A.value);
  if (voltage_)
    return row.voltage_V >= rules_.arc_voltage_min_V.value && row.voltage_V <= rules_.arc_voltage_max_V.value;
  return row.feed_m_per_min >= rules_.arc_feed_m_per_min.value;
}

void WeldBuilder::process(std::size_t i) {
  const LogRow& row = rows_[i];
  double before = i > 0 ? row.time_s - rows_[i - 1].time_s : usual_s_;
  double after = i + 1 < rows_.size() ? rows_[i + 1].time_s - row.time_s : usual_s_;
  const bool after_gap = before > gap_s_;
  if (after_gap) {
    ++gaps_;
    review_.gaps_s += before;
    if (before > longest_gap_s_) {
      longest_gap_s_ = before;
      longest_gap_at_s_ = rows_[i - 1].time_s;
    }
    if (weld_ && before > rules_.gap_ends_s.value) end_weld(weld_->is_out ? weld_->out_from_s : weld_->last_end_s);
    before = usual_s_;
  }
  if (after > gap_s_) after = usual_s_;
  trace(row);
  burning_ = burning(row);
  if (!burning_) {
    if (!weld_) return;
    if (!weld_->is_out) {
      weld_->is_out = true;
      weld_->out_from_s = weld_->last_end_s;
    }
    if (row.time_s - weld_->out_from_s >= rules_.arc_out_s.value) end_weld(weld_->out_from_s);
    return;
  }
  if (!weld_) light(row.time_s - 0.5 * before);
  Weld& weld = *weld_;
  const bool again = weld.is_out;
  if (again) {
    weld.is_out = false;
    ++weld.out.interruptions;
    weld.out.interrupted_s += std::max(0.0, row.time_s - 0.5 * before - weld.out_from_s);
  }
  const Reading reading{row.time_s,         0.5 * (before + after), row.current_A, row.voltage_V,
                        row.feed_m_per_min, row.travel_mm_per_s,    row.x_mm,      row.y_mm,
                        row.z_mm,           after_gap || again};
  if (i > 0 && !same_reading(row, rows_[i - 1])) ++weld.changes;
  ++weld.out.readings;
  weld.last_end_s = row.time_s + 0.5 * after;
  weld.meter.take(reading);
  if (voltage_) weld.shorts.take(reading);
  if (current_) {
    weld.pulses.take(reading);
    weld.modulation.take(reading);
  }
}

void WeldBuilder::light(double time_s) {
  weld_.emplace(Weld{{},
                     WeldMeter(options_, usual_s_, positions_),
                     ShortMeter(rules_, rate_Hz_),
                     PulseMeter(rules_, rate_Hz_),
                     ModulationMeter(rules_, rate_Hz_)});
  weld_->out.start_s = time_s;
}

void WeldBuilder::end_weld(double time_s) {
  Weld& weld = *weld_;
  weld.out.end_s = time_s;
  weld.meter.finish();
  const double arc_s = weld.meter.sums().weight_s;
  if (arc_s < rules_.weld_least_s.value) {
    ++review_.strikes;
    review_.strikes_s += arc_s;
  } else if (review_.welds.size() >= most_welds) {
    ++review_.more_welds;
  } else {
    finish_facts(weld);
    review_.welds.push_back(std::move(weld.out));
  }
  weld_.reset();
}

void WeldBuilder::finish_facts(Weld& weld) {
  WeldReview& out = weld.out;
  const Sums& s = weld.meter.sums();
  out.arc_s = s.weight_s;
  out.set_values = current_ && weld.changes == 0 && static_cast<double>(out.readings) >= rules_.frozen_samples.value;
  out.waveform_followed = rate_Hz_ >= rules_.pulse_samples.value * rules_.waveform_Hz.value;
  if (current_) {
    out.current_A = s.current / s.weight_s;
    out.current_rms_A = std::sqrt(s.current_square / s.weight_s);
  }
  if (voltage_) out.voltage_V = s.voltage / s.weight_s;
  if (current_ && voltage_) {
    out.energy_J = s.energy_J;
    out.power_W = s.energy_J / s.weight_s;
  }
  out.feed_m_per_min = ratio(s.feed, s.feed_s);
  out.length_mm = options_.length_mm > 0 ? options_.length_mm : weld.meter.length_mm();
  // The travel as it was set or recorded; else what the length and the time give.
  out.travel_mm_per_s = s.travel_s > 0                                ? s.travel / s.travel_s
                        : options_.travel_mm_per_s > 0 && !positions_ ? options_.travel_mm_per_s
                        : applies(out.length_mm)                      ? out.length_mm / out.arc_s
                                                                      : not_applicable;
  if (out.travel_mm_per_s > 0) {
    out.arc_energy_a = 0.001 * out.current_A * out.voltage_V / out.travel_mm_per_s;
    out.arc_energy_c = 0.001 * out.power_W / out.travel_mm_per_s;
  }
  if (out.length_mm > 0) out.arc_energy_b = 0.001 * out.energy_J / out.length_mm;
  out.heat_input_kJ_per_mm = options_.efficiency * (applies(out.arc_energy_c) ? out.arc_energy_c : out.arc_energy_b);
  if (current_ && voltage_) out.seam = weld.meter.seam();
  out.shorts = weld.shorts.result(out.arc_s, voltage_, current_);
  out.pulses = weld.pulses.result(out.shorts, out.arc_s, current_);
  out.modulation = weld.modulation.result(current_);
  const bool pulsed = out.pulses.finding == Finding::found;
  if (pulsed)
    out.transfer = out.modulation.finding == Finding::found ? TransferSeen::double_pulse : TransferSeen::pulse;
  else if (out.shorts.finding == Finding::found && out.shorts.rate_Hz >= rules_.short_rate_least_Hz.value)
    out.transfer = TransferSeen::dip;
  else if (out.pulses.finding == Finding::none &&
           (out.shorts.finding == Finding::none || out.shorts.finding == Finding::found) && out.pulses.remark.empty())
    out.transfer = TransferSeen::neither;
  RoleRanges& ranges = role_ranges_.emplace_back();
  for (std::size_t role = 0; role < ranges.size(); ++role)
    ranges[role] = weld.meter.ranges(static_cast<PassRole>(role));
}

void WeldBuilder::finish() {
  work(true);
  if (weld_) end_weld(weld_->is_out ? weld_->out_from_s : weld_->last_end_s);
  review_.trace = trace_.steps();
  if (gaps_ > 0)
    remark("gap",
           fmt::format("{} gap{} in the readings, {:.3g} s in total, the longest {:.3g} s from {:.3f} s: excluded",
                       gaps_, gaps_ > 1 ? "s" : "", review_.gaps_s, longest_gap_s_, longest_gap_at_s_),
           gaps_);
  if (spikes_ > 0)
    remark(
        "spike",
        fmt::format("{} reading{} beyond {:.0f} A or {:.0f} V, the first at {:.3f} s: excluded", spikes_,
                    spikes_ > 1 ? "s" : "", rules_.current_most_A.value, rules_.voltage_most_V.value, first_spike_s_),
        spikes_);
  if (incomplete_ > 0)
    remark("incomplete",
           fmt::format("{} row{} without current or voltage: excluded", incomplete_, incomplete_ > 1 ? "s" : ""),
           incomplete_);
  if (reversed_ > 0)
    remark("reversed",
           fmt::format("{} negative current reading{}: magnitude used", reversed_, reversed_ > 1 ? "s" : ""),
           reversed_);
  if (frozen_runs_ > 0)
    remark("frozen",
           fmt::format("readings frozen {} time{}, {:.3g} s in total, first at {:.3f} s: not counted as arc time",
                       frozen_runs_, frozen_runs_ > 1 ? "s" : "", frozen_s_, first_frozen_s_),
           frozen_rows_);
}

void WeldBuilder::remark(std::string id, std::string text, std::uint64_t count) {
  review_.remarks.push_back({std::move(id), std::move(text), count});
}

}  // namespace seamwright
