#include "review/waveform_meters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "review/spectrum.hpp"

namespace seamwright {
namespace {

constexpr double window_periods = 4;    // of the slowest pulse, that a window holds
constexpr double end_quantile = 0.01;   // nearer to the ends lie single readings
constexpr double level_quantile = 0.1;  // of the readings below the middle, and from the top of those above
constexpr double plateau = 0.1;         // of the way between the levels: what counts as base, and from the top as peak
constexpr std::size_t fewest_cycles = 3;  // of a window
constexpr double slow_step_s = 0.01, slow_mean_s = 0.04, fine_step_s = 0.002;
constexpr std::size_t slow_values = 1024;

// Where the straight line from a to b crosses `level`.
double crossing(double ta, double a, double tb, double b, double level) {
  return a == b ? tb : ta + (tb - ta) * std::clamp((level - a) / (b - a), 0.0, 1.0);
}

std::string rate_text(double rate_Hz) {
  return rate_Hz >= 1000 ? fmt::format("{:.3g} kHz", rate_Hz / 1000) : fmt::format("{:.3g} Hz", rate_Hz);
}

}  // namespace

// --- Short circuits

ShortMeter::ShortMeter(const ReviewRules& rules, double rate_Hz) : rules_(rules), rate_Hz_(rate_Hz) {}

void ShortMeter::take(const Reading& r) {
  const double below = rules_.short_below_V.value;
  if (r.after_gap) inside_ = any_before_ = false;
  if (!inside_) {
    if (r.voltage_V < below) {
      inside_ = any_before_;  // one that the log or the arc begins with has no start
      start_s_ = any_before_ ? crossing(before_s_, before_V_, r.time_s, r.voltage_V, below) : r.time_s;
      start_A_ = top_A_ = any_before_ ? before_A_ : r.current_A;
      top_s_ = any_before_ ? before_s_ : r.time_s;
      readings_ = 0;
    }
  }
  if (inside_) {
    ++readings_;
    if (r.current_A > top_A_) {
      top_A_ = r.current_A;
      top_s_ = r.time_s;
    }
    if (r.voltage_V > rules_.short_above_V.value) {
      inside_ = false;
      const double end = crossing(before_s_, before_V_, r.time_s, r.voltage_V, below);
      const double length_ms = 1000 * (end - start_s_);
      if (length_ms >= rules_.short_least_ms.value) {
        duration_ms_.add(length_ms);
        constexpr std::size_t enough_readings = 3;
        if (readings_ >= enough_readings && top_s_ > start_s_)
          rise_.add((top_A_ - start_A_) / (1000 * (top_s_ - start_s_)));
      }
    }
  }
  before_s_ = r.time_s;
  before_V_ = r.voltage_V;
  before_A_ = r.current_A;
  any_before_ = any_before_ || r.voltage_V >= below;
}

ShortCircuits ShortMeter::result(double arc_s, bool voltage, bool current) const {
  ShortCircuits out;
  if (!voltage) {
    out.remark = "no voltage recorded";
    return out;
  }
  const double needed_Hz = rules_.short_samples.value / (0.001 * rules_.short_least_ms.value);
  if (rate_Hz_ < (1 - 1e-3) * needed_Hz) {
    out.finding = Finding::rate_too_low;
    out.remark = fmt::format("{} shows none shorter than {:.3g} ms; {} needed", rate_text(rate_Hz_),
                             1000 * rules_.short_samples.value / rate_Hz_, rate_text(needed_Hz));
    return out;
  }
  out.count = duration_ms_.count;
  out.rate_Hz = arc_s > 0 ? static_cast<double>(out.count) / arc_s : 0;
  out.duration_ms = duration_ms_;
  if (current) out.rise_A_per_ms = rise_;
  out.finding = out.count > 0 ? Finding::found : Finding::none;
  return out;
}

// --- Pulses

PulseMeter::PulseMeter(const ReviewRules& rules, double rate_Hz)
    : rules_(rules), rate_Hz_(rate_Hz), window_s_(window_periods / rules.pulse_min_Hz.value) {}

void PulseMeter::take(const Reading& r) {
  if (!samples_.empty() && (r.after_gap || !(r.time_s > samples_.back().time_s))) work(true);
  samples_.push_back({r.time_s, r.current_A});
  if (r.time_s - samples_.front().time_s >= window_s_) work(false);
}

void PulseMeter::work(bool last) {
  constexpr std::size_t fewest_samples = 16;
  const double span = samples_.back().time_s - samples_.front().time_s;
  cycles_.clear();
  bool pulsed = false;
  if (samples_.size() >= fewest_samples) {
    find_levels();
    if (high_A_ >= rules_.pulse_contrast.value * std::max(1.0, low_A_)) find_cycles();
    pulsed = steady();
  }
  const double fresh = std::max(0.0, span - carried_s_);
  seen_s_ += fresh;
  if (pulsed) {
    pulsed_s_ += fresh;
    count_cycles();
  }
  // The cycle that the window cut in two begins the next window, from the base before it on.
  const double from =
      last || cycles_.empty() ? samples_.back().time_s : 0.5 * (cycles_.back().down_s + cycles_.back().next_s);
  const auto keep =
      std::lower_bound(samples_.begin(), samples_.end(), from, [](const Sample& s, double t) { return s.time_s < t; });
  carried_s_ = last ? 0 : samples_.back().time_s - keep->time_s;
  if (last)
    samples_.clear();
  else
    samples_.erase(samples_.begin(), keep);
}

void PulseMeter::find_levels() {
  double least = samples_[0].current_A, most = least;
  for (const Sample& s : samples_) {
    least = std::min(least, s.current_A);
    most = std::max(most, s.current_A);
  }
  low_A_ = high_A_ = least;
  if (!(most > least)) return;
  constexpr std::size_t bins = 256;
  std::array<std::uint32_t, bins> counts{};
  const double scale = (bins - 1e-6) / (most - least);
  for (const Sample& s : samples_) ++counts[static_cast<std::size_t>((s.current_A - least) * scale)];
  // The level that `wanted` of the readings from bin `from` on are below.
  const auto level = [&](std::size_t from, double wanted) {
    double below = 0;
    for (std::size_t b = from; b < bins; ++b)
      if ((below += counts[b]) >= wanted) return b;
    return bins - 1;
  };
  const auto n = static_cast<double>(samples_.size());
  const std::size_t middle = (level(0, end_quantile * n) + level(0, (1 - end_quantile) * n)) / 2;
  double below = 0;
  for (std::size_t b = 0; b < middle; ++b) below += counts[b];
  const auto current_of = [&](std::size_t b) { return least + (static_cast<double>(b) + 0.5) / scale; };
  low_A_ = current_of(level(0, level_quantile * below));
  high_A_ = current_of(level(middle, (1 - level_quantile) * (n - below)));
}

void PulseMeter::find_cycles() {
  const double span = high_A_ - low_A_, middle = low_A_ + 0.5 * span;
  const double base_to = low_A_ + plateau * span, peak_from = high_A_ - plateau * span;
  double up = -1, down = -1, left_base = 0, left_peak = 0;
  double sum_high = 0, sum_low = 0, ramp_up = 0, ramp_down = 0, next_ramp_up = 0;
  std::size_t high = 0, low = 0;
  bool armed_up = samples_[0].current_A < base_to, armed_down = false, in_base = armed_up, in_peak = false;
  double candidate_up = -1, candidate_down = -1;
  const auto close = [&](double next_up) {
    if (up >= 0 && down > up && high > 0 && low > 0)
      cycles_.push_back({up, down, next_up, sum_high / static_cast<double>(high), sum_low / static_cast<double>(low),
                         ramp_up, ramp_down});
    up = next_up;
    down = -1;
    sum_high = sum_low = 0;
    high = low = 0;
    ramp_up = ramp_down = 0;
  };
  for (std::size_t i = 1; i < samples_.size(); ++i) {
    const Sample &a = samples_[i - 1], &b = samples_[i];
    if (in_base && b.current_A > base_to) left_base = crossing(a.time_s, a.current_A, b.time_s, b.current_A, base_to);
    if (in_peak && b.current_A < peak_from)
      left_peak = crossing(a.time_s, a.current_A, b.time_s, b.current_A, peak_from);
    if (armed_up && a.current_A < middle && b.current_A >= middle)
      candidate_up = crossing(a.time_s, a.current_A, b.time_s, b.current_A, middle);
    if (armed_down && a.current_A > middle && b.current_A <= middle)
      candidate_down = crossing(a.time_s, a.current_A, b.time_s, b.current_A, middle);
    in_base = b.current_A <= base_to;
    in_peak = b.current_A >= peak_from;
    if (in_peak) {
      if (armed_up && candidate_up >= 0) {  // an edge counts once the peak is reached
        const double reached = crossing(a.time_s, a.current_A, b.time_s, b.current_A, peak_from);
        next_ramp_up = reached > left_base ? (peak_from - base_to) / (1000 * (reached - left_base)) : 0;
        close(candidate_up);
        ramp_up = next_ramp_up;
      }
      armed_up = false;
      armed_down = true;
      sum_high += b.current_A;
      ++high;
    } else if (in_base) {
      if (armed_down && candidate_down >= 0) {
        const double reached = crossing(a.time_s, a.current_A, b.time_s, b.current_A, base_to);
        ramp_down = reached > left_peak ? (peak_from - base_to) / (1000 * (reached - left_peak)) : 0;
        down = candidate_down;
      }
      armed_down = false;
      armed_up = true;
      candidate_up = candidate_down = -1;
      sum_low += b.current_A;
      ++low;
    }
  }
}

bool PulseMeter::steady() const {
  if (cycles_.size() < fewest_cycles) return false;
  const auto period = [&](std::size_t i) { return cycles_[i].next_s - cycles_[i].up_s; };
  const auto n = static_cast<double>(cycles_.size());
  double sum = 0;
  std::vector<double> changes;
  for (std::size_t i = 0; i < cycles_.size(); ++i) {
    sum += period(i);
    if (i > 0) changes.push_back(std::abs(period(i) - period(i - 1)));
  }
  const double mean = sum / n;
  if (1 / mean < rules_.pulse_min_Hz.value || 1 / mean > rules_.pulse_max_Hz.value) return false;
  // The longest stretch of periods that agree: a slow modulation changes them now and then.
  const double most = rules_.pulse_irregularity.value * mean;
  std::size_t from = 0, best_from = 0, best = 1;
  for (std::size_t i = 1; i < cycles_.size(); ++i) {
    if (changes[i - 1] > 2 * most) from = i;
    if (i - from + 1 > best) {
      best = i - from + 1;
      best_from = from;
    }
  }
  // Of normal errors the median change is 0.954 standard deviations.
  constexpr double median_of_change = 0.954;
  const auto middle = changes.begin() + static_cast<std::ptrdiff_t>(changes.size() / 2);
  std::nth_element(changes.begin(), middle, changes.end());
  if (*middle > median_of_change * most || best < fewest_cycles) return false;
  return autocorrelation(cycles_[best_from].up_s, cycles_[best_from + best - 1].next_s, period(best_from + best / 2)) >=
         rules_.pulse_autocorrelation.value;
}

// After about one period, of the readings between two times brought to a thousand values.
double PulseMeter::autocorrelation(double from_s, double to_s, double period_s) const {
  constexpr std::size_t most_values = 1024;
  const auto after = [](const Sample& s, double t) { return s.time_s < t; };
  const auto first = std::lower_bound(samples_.begin(), samples_.end(), from_s, after);
  const auto last = std::lower_bound(first, samples_.end(), to_s, after);
  const std::size_t size = std::min(most_values, static_cast<std::size_t>(last - first));
  if (size < 2) return 0;
  std::vector<double> sums(size), counts(size), values;
  const double scale = static_cast<double>(size) / (to_s - from_s) * (1 - 1e-9);
  for (auto s = first; s != last; ++s) {
    const auto i = static_cast<std::size_t>((s->time_s - from_s) * scale);
    sums[i] += s->current_A;
    ++counts[i];
  }
  for (std::size_t i = 0; i < size; ++i)
    values.push_back(counts[i] > 0 ? sums[i] / counts[i] : values.empty() ? first->current_A : values.back());
  const std::vector<double> r = autocorrelation_of(values);
  constexpr double about = 0.3;
  double best = 0;
  const double lag = period_s * scale;
  for (auto k = static_cast<std::size_t>(std::max(1.0, (1 - about) * lag));
       k < r.size() && static_cast<double>(k) <= (1 + about) * lag + 1; ++k)
    best = std::max(best, r[k]);
  return best;
}

void PulseMeter::count_cycles() {
  for (const Cycle& c : cycles_) {
    pulses_.frequency_Hz.add(1 / (c.next_s - c.up_s));
    pulses_.peak_A.add(c.peak_A);
    pulses_.base_A.add(c.base_A);
    pulses_.peak_time_ms.add(1000 * (c.down_s - c.up_s));
    pulses_.base_time_ms.add(1000 * (c.next_s - c.down_s));
    if (c.ramp_up > 0) pulses_.ramp_up_A_per_ms.add(c.ramp_up);
    if (c.ramp_down > 0) pulses_.ramp_down_A_per_ms.add(c.ramp_down);
  }
}

Pulses PulseMeter::result(const ShortCircuits& shorts, double arc_s, bool current) {
  Pulses out;
  if (!current) {
    out.remark = "no current recorded";
    return out;
  }
  if (!samples_.empty()) work(true);
  const double fastest_Hz = rate_Hz_ / rules_.pulse_samples.value;
  if (fastest_Hz < rules_.pulse_min_Hz.value) {
    out.finding = Finding::rate_too_low;
    out.remark =
        fmt::format("{} recorded, {} needed for pulses of {:.3g} Hz", rate_text(rate_Hz_),
                    rate_text(rules_.waveform_Hz.value * rules_.pulse_samples.value), rules_.waveform_Hz.value);
    return out;
  }
  const bool pulsed = seen_s_ > 0 && pulsed_s_ >= rules_.pulse_share.value * seen_s_;
  const double pulses_s = seen_s_ > 0 ? static_cast<double>(pulses_.frequency_Hz.count) / seen_s_ : 0;
  const bool of_shorts =
      shorts.finding == Finding::found &&
      static_cast<double>(shorts.count) / std::max(1e-9, arc_s) >= rules_.pulse_shorts_share.value * pulses_s;
  if (!pulsed || of_shorts) {
    out.finding = Finding::none;
    if (pulsed)
      out.remark = "the current follows the short circuits";
    else if (fastest_Hz < rules_.pulse_max_Hz.value)
      out.remark = fmt::format("{} shows none above {:.3g} Hz", rate_text(rate_Hz_), fastest_Hz);
    return out;
  }
  out = pulses_;
  out.finding = Finding::found;
  if (shorts.finding == Finding::not_recorded || shorts.finding == Finding::rate_too_low)
    out.remark = "without short circuits recorded it could also be regular dip transfer";
  out.shape_known = out.frequency_Hz.mean <= fastest_Hz;
  const double ramp_ms =
      std::max(1e-9, (out.peak_A.mean - out.base_A.mean) / std::max(1e-9, out.ramp_up_A_per_ms.mean));
  out.ramps_known =
      out.shape_known && out.ramp_up_A_per_ms.count > 0 && rate_Hz_ * 0.001 * ramp_ms >= rules_.ramp_samples.value;
  if (!out.shape_known)
    out.remark += fmt::format("{}{} gives fewer than {:.3g} readings per pulse: frequency only",
                              out.remark.empty() ? "" : "; ", rate_text(rate_Hz_), rules_.pulse_samples.value);
  else if (!out.ramps_known)
    out.remark += fmt::format("{}ramps too steep for {}", out.remark.empty() ? "" : "; ", rate_text(rate_Hz_));
  return out;
}

// --- Slow modulation

ModulationMeter::ModulationMeter(const ReviewRules& rules, double rate_Hz)
    : rules_(rules), rate_Hz_(rate_Hz), block_s_(std::max(fine_step_s, 1 / rate_Hz)), step_s_(slow_step_s) {
  step_s_ = std::max(1.0, std::round(slow_step_s / block_s_)) * block_s_;
}

void ModulationMeter::take(const Reading& r) {
  if (!any_) {
    any_ = true;
    block_end_s_ = r.time_s + block_s_;
    last_mean_ = r.current_A;
  }
  const double tolerance = 1e-6 * block_s_;
  if (r.time_s >= block_end_s_ - tolerance) {
    end_block();
    block_end_s_ += block_s_;
    // Blocks without a reading stand at the last one; a long gap begins anew.
    constexpr double most_empty = 50;
    if (r.time_s > block_end_s_ + most_empty * block_s_) block_end_s_ = r.time_s + block_s_;
    while (r.time_s >= block_end_s_ - tolerance) {
      end_block();
      block_end_s_ += block_s_;
    }
  }
  sum_ += r.current_A * r.weight_s;
  weight_ += r.weight_s;
}

void ModulationMeter::end_block() {
  if (weight_ > 0) last_mean_ = sum_ / weight_;
  sum_ = weight_ = 0;
  const auto step = static_cast<std::size_t>(std::lround(step_s_ / block_s_));
  const auto width = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(slow_mean_s / block_s_)));
  recent_.push_back(last_mean_);
  ++blocks_;
  if (recent_.size() > width) recent_.erase(recent_.begin());
  if (blocks_ % step != 0 || recent_.size() < width) return;
  // A Hann window: nothing of a pulse's frequency is left to be taken for a slow one.
  double sum = 0, weights = 0;
  for (std::size_t i = 0; i < width; ++i) {
    const double w = std::sin(std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(width));
    sum += w * w * recent_[i];
    weights += w * w;
  }
  slow_.push_back(sum / weights);
  if (slow_.size() == slow_values) work();
}

void ModulationMeter::work() {
  const std::vector<double> power = power_spectrum(slow_, slow_values);
  if (power_.empty()) power_.resize(power.size());
  double sum = 0;
  for (const double v : slow_) sum += v;
  mean_ += sum / static_cast<double>(slow_.size());
  for (std::size_t k = 0; k < power.size(); ++k) power_[k] += power[k];
  longest_ = std::max(longest_, slow_.size());
  ++segments_;
  slow_.clear();
}

SlowModulation ModulationMeter::result(bool current) {
  SlowModulation out;
  if (!current) {
    out.remark = "no current recorded";
    return out;
  }
  constexpr double nyquist_share = 0.4, least_reach = 5;
  const double fastest_Hz = nyquist_share / step_s_;
  if (fastest_Hz < least_reach * rules_.modulation_min_Hz.value) {
    out.finding = Finding::rate_too_low;
    out.remark = fmt::format("{} recorded, {} needed", rate_text(rate_Hz_),
                             rate_text(rules_.modulation_max_Hz.value / nyquist_share));
    return out;
  }
  constexpr std::size_t fewest = 16;
  if (segments_ == 0 && slow_.size() >= fewest) work();
  out.finding = Finding::none;
  if (segments_ == 0) {
    out.remark = "the weld is too short";
    return out;
  }
  const double bin_Hz = 1 / (static_cast<double>(slow_values) * step_s_);
  const double width_Hz = 2 / (static_cast<double>(longest_) * step_s_);  // of a line under the Hann window
  const double from_Hz = std::max(rules_.modulation_min_Hz.value,
                                  rules_.modulation_periods.value / (static_cast<double>(longest_) * step_s_));
  const double to_Hz = std::min(rules_.modulation_max_Hz.value, fastest_Hz);
  const auto bin = [&](double f) {
    return std::min(power_.size() - 1, static_cast<std::size_t>(std::max(0.0, std::round(f / bin_Hz))));
  };
  std::size_t top = bin(from_Hz);
  for (std::size_t k = bin(from_Hz); k <= bin(to_Hz); ++k)
    if (power_[k] > power_[top]) top = k;
  const auto line = [&](double f) {
    double sum = 0;
    for (std::size_t k = bin(f - width_Hz); k <= bin(f + width_Hz); ++k) sum += power_[k];
    return sum;
  };
  double whole = 0;
  for (std::size_t k = bin(rules_.modulation_min_Hz.value / 2); k <= bin(to_Hz + width_Hz); ++k) whole += power_[k];
  double f = static_cast<double>(top) * bin_Hz;
  if (top > 0 && top + 1 < power_.size()) {  // the top of the parabola through three logarithms
    const double a = std::log(power_[top - 1] + 1e-300), b = std::log(power_[top] + 1e-300),
                 c = std::log(power_[top + 1] + 1e-300);
    if (const double bend = a - 2 * b + c; bend < 0) f += 0.5 * (a - c) / bend * bin_Hz;
  }
  const double fundamental = line(f);
  double harmonics = fundamental;
  for (int h = 2; h <= 5 && h * f <= to_Hz; ++h) harmonics += line(h * f);
  const auto n = static_cast<double>(segments_);
  out.current_amplitude_A = std::sqrt(2 * fundamental / n);
  if (whole > 0 && harmonics >= rules_.modulation_share.value * whole &&
      out.current_amplitude_A >= rules_.modulation_depth.value * mean_ / n) {
    out.finding = Finding::found;
    out.frequency_Hz = f;
  } else {
    out.current_amplitude_A = 0;
    if (to_Hz < rules_.modulation_max_Hz.value)
      out.remark = fmt::format("{} shows none above {:.3g} Hz", rate_text(rate_Hz_), to_Hz);
  }
  return out;
}

}  // namespace seamwright
