#include "review/weld_meters.hpp"

#include <algorithm>
#include <cmath>

namespace seamwright {
namespace {

constexpr std::size_t most_trace_steps = 1200;
constexpr std::size_t most_seam_steps = 200;
constexpr std::size_t listed_excursions = 50;
constexpr double blocks_a_mean = 10;

double least(double a, double b) { return std::isnan(a) ? b : std::isnan(b) ? a : std::min(a, b); }
double most(double a, double b) { return std::isnan(a) ? b : std::isnan(b) ? a : std::max(a, b); }

// What a running mean tells of a field; not applicable where it needs what is not recorded.
double mean_of(F field, const Sums& s, double length_mm, double efficiency) {
  const double current = s.current / s.weight_s, voltage = s.voltage / s.weight_s;
  const double travel = length_mm / s.weight_s;
  switch (field) {
    case F::current:
      return current;
    case F::current_rms:
      return std::sqrt(s.current_square / s.weight_s);
    case F::voltage:
      return voltage;
    case F::wire_feed:
      return s.feed_s > 0 ? s.feed / s.feed_s : not_applicable;
    case F::travel:
      return travel;
    case F::power:
      return s.energy_J / s.weight_s;
    case F::arc_energy:
      return length_mm > 0 ? 0.001 * s.energy_J / length_mm : not_applicable;
    case F::heat_input:
      return length_mm > 0 ? efficiency * 0.001 * s.energy_J / length_mm : not_applicable;
    case F::arc_energy_ui:
      return length_mm > 0 ? 0.001 * current * voltage / travel : not_applicable;
    default:
      return not_applicable;
  }
}

bool has_running_mean(F field) {
  for (const F f : {F::current, F::current_rms, F::voltage, F::wire_feed, F::travel, F::power, F::arc_energy,
                    F::heat_input, F::arc_energy_ui})
    if (f == field) return true;
  return false;
}

}  // namespace

void Sums::add(const Reading& r) {
  const double w = r.weight_s;
  weight_s += w;
  current += w * r.current_A;
  current_square += w * r.current_A * r.current_A;
  voltage += w * r.voltage_V;
  energy_J += w * r.current_A * r.voltage_V;
  if (!std::isnan(r.feed_m_per_min)) {
    feed += w * r.feed_m_per_min;
    feed_s += w;
  }
  if (!std::isnan(r.travel_mm_per_s)) {
    travel += w * r.travel_mm_per_s;
    travel_s += w;
  }
}

void Sums::add(const Sums& o, double sign) {
  weight_s += sign * o.weight_s;
  current += sign * o.current;
  current_square += sign * o.current_square;
  voltage += sign * o.voltage;
  energy_J += sign * o.energy_J;
  feed += sign * o.feed;
  feed_s += sign * o.feed_s;
  travel += sign * o.travel;
  travel_s += sign * o.travel_s;
}

// --- Trace

void TraceMeter::fold() {
  std::vector<TraceStep> half;
  for (std::size_t i = 0; i < steps_.size(); i += 2) {
    TraceStep two = steps_[i];
    if (i + 1 < steps_.size()) {
      const TraceStep& next = steps_[i + 1];
      two.to_s = next.to_s;
      for (std::size_t q = 0; q < traced_count; ++q)
        two.range[q] = {least(two.range[q].low, next.range[q].low), most(two.range[q].high, next.range[q].high)};
    }
    half.push_back(two);
  }
  steps_ = std::move(half);
  step_s_ *= 2;
}

void TraceMeter::take(double time_s, const std::array<double, traced_count>& readings) {
  while (steps_.empty() || time_s >= steps_.back().to_s) {
    if (steps_.size() >= most_trace_steps) {
      fold();
      continue;
    }
    const double from = steps_.empty() ? time_s : steps_.back().to_s;
    // Steps without a reading are not kept.
    const double skipped = std::max(0.0, std::floor((time_s - from) / step_s_)) * step_s_;
    TraceStep& step = steps_.emplace_back();
    step.from_s = from + skipped;
    step.to_s = step.from_s + step_s_;
    step.range.fill({not_applicable, not_applicable});
  }
  TraceStep& step = steps_.back();
  for (std::size_t q = 0; q < traced_count; ++q) {
    if (!(readings[q] >= step.range[q].low)) step.range[q].low = least(step.range[q].low, readings[q]);
    if (!(readings[q] <= step.range[q].high)) step.range[q].high = most(step.range[q].high, readings[q]);
  }
}

// --- Seam

void SeamMeter::take(double length_mm, double energy_J) {
  if (!(length_mm > 0)) return;
  at_mm_ += length_mm;
  auto step = static_cast<std::size_t>((at_mm_ - 0.5 * length_mm) / step_mm_);
  while (step >= most_seam_steps) {
    for (std::size_t i = 0; i < energy_J_.size(); ++i) {
      const std::size_t to = i / 2;
      const double e = energy_J_[i], l = length_mm_[i];
      if (i % 2 == 0) energy_J_[to] = length_mm_[to] = 0;
      energy_J_[to] += e;
      length_mm_[to] += l;
    }
    energy_J_.resize((energy_J_.size() + 1) / 2);
    length_mm_.resize(energy_J_.size());
    step_mm_ *= 2;
    step = static_cast<std::size_t>((at_mm_ - 0.5 * length_mm) / step_mm_);
  }
  if (step >= energy_J_.size()) {
    energy_J_.resize(step + 1);
    length_mm_.resize(step + 1);
  }
  energy_J_[step] += energy_J;
  length_mm_[step] += length_mm;
}

std::vector<SeamStep> SeamMeter::steps(double efficiency) const {
  std::vector<SeamStep> out;
  for (std::size_t i = 0; i < energy_J_.size(); ++i) {
    if (!(length_mm_[i] > 0)) continue;
    const double from = static_cast<double>(i) * step_mm_;
    out.push_back({from, std::min(from + step_mm_, at_mm_), efficiency * 0.001 * energy_J_[i] / length_mm_[i]});
  }
  return out;
}

// --- Ranges

void RangeMeter::take(double value, double to_s, double step_s) {
  if (!std::isfinite(value)) return;
  out_.judged_s += step_s;
  const double outside_by = std::max(range_.low - value, value - range_.high);
  if (outside_by <= 0) {
    out_.inside_s += step_s;
    if (outside_) end();
    return;
  }
  if (!outside_) {
    outside_ = true;
    now_ = {to_s - step_s, 0, value};
  }
  now_.length_s += step_s;
  if (outside_by > std::max(range_.low - now_.worst, now_.worst - range_.high)) now_.worst = value;
}

void RangeMeter::end() {
  outside_ = false;
  ++out_.excursions;
  out_.longest_s = std::max(out_.longest_s, now_.length_s);
  if (out_.listed.size() < listed_excursions) out_.listed.push_back(now_);
}

RangeReview RangeMeter::result(double excursion_s) {
  if (outside_) end();
  out_.field = field_;
  out_.range = range_;
  out_.recorded = out_.over_time = out_.judged_s > 0;
  constexpr double rounding_s = 1e-6;
  out_.outside = out_.longest_s >= excursion_s - rounding_s;
  return out_;
}

// --- Weld

WeldMeter::WeldMeter(const ReviewOptions& options, double usual_s, bool positions)
    : options_(options),
      block_s_(std::max(options.rules->mean_s.value / blocks_a_mean, usual_s)),
      positions_(positions),
      seam_(options.rules->seam_step_mm.value) {
  if (options.procedure == nullptr) return;
  for (std::size_t role = 0; role < ranges_.size(); ++role)
    for (std::size_t f = 0; f < field_count; ++f)
      if (const auto range = procedure_range(*options.procedure, static_cast<F>(f), static_cast<PassRole>(role)))
        ranges_[role].emplace_back(static_cast<F>(f), *range);
}

void WeldMeter::take(const Reading& r) {
  if (!any_) {
    any_ = true;
    block_end_s_ = r.time_s + block_s_;
  } else if (r.time_s >= block_end_s_ - 1e-9) {
    end_block();
    block_end_s_ = std::max(block_end_s_ + block_s_, r.time_s + 0.5 * block_s_);
  }
  last_s_ = r.time_s + 0.5 * r.weight_s;
  block_.add(r);
  if (positions_ && !std::isnan(r.x_mm + r.y_mm + r.z_mm)) {
    position_[0] += r.weight_s * r.x_mm;
    position_[1] += r.weight_s * r.y_mm;
    position_[2] += r.weight_s * r.z_mm;
    position_s_ += r.weight_s;
  }
}

// Length of the seam laid in a block. Positions are compared as means of blocks, so that their noise does not add up.
double WeldMeter::block_length(const Sums& block) {
  if (positions_) {
    if (!(position_s_ > 0)) return not_applicable;
    std::array<double, 3> mean{};
    double square = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      mean[i] = position_[i] / position_s_;
      if (positions_seen_ > 0) square += (mean[i] - position_before_[i]) * (mean[i] - position_before_[i]);
    }
    ++positions_seen_;
    position_before_ = mean;
    position_ = {};
    position_s_ = 0;
    return positions_seen_ == 1 ? 0 : std::sqrt(square);
  }
  if (block.travel_s > 0) return block.travel / block.travel_s * block.weight_s;
  if (options_.travel_mm_per_s > 0) return options_.travel_mm_per_s * block.weight_s;
  return not_applicable;
}

void WeldMeter::end_block() {
  if (!(block_.weight_s > 0)) return;
  const double length = block_length(block_);
  if (std::isnan(length))
    length_known_ = false;
  else
    length_mm_ += length;
  sums_.add(block_, 1);
  if (positions_ && positions_seen_ == 2 && blocks_.size() == 1) {  // the first block went as far as the second
    length_mm_ += length;
    blocks_.front().length_mm = length;
    window_length_mm_ += length;
    seam_.take(length, blocks_.front().sums.energy_J);
  }
  if (length > 0) seam_.take(length, block_.energy_J);
  blocks_.push_back({block_, last_s_, std::isnan(length) ? 0 : length});
  window_.add(block_, 1);
  window_length_mm_ += blocks_.back().length_mm;
  const double mean_s = options_.rules->mean_s.value;
  while (blocks_.size() > 1 && window_.weight_s - blocks_.front().sums.weight_s >= mean_s - 1e-6) {
    window_.add(blocks_.front().sums, -1);
    window_length_mm_ -= blocks_.front().length_mm;
    blocks_.pop_front();
  }
  block_ = {};
  constexpr double nearly = 0.98;  // blocks are cut at readings
  if (window_.weight_s >= nearly * mean_s) judge();
}

void WeldMeter::judge() {
  const double step = blocks_.back().sums.weight_s, to = blocks_.back().end_s - 0.5 * (window_.weight_s - step);
  const double length = length_known_ ? window_length_mm_ : not_applicable;
  for (std::vector<RangeMeter>& meters : ranges_)
    for (RangeMeter& meter : meters)
      if (has_running_mean(meter.field()))
        meter.take(mean_of(meter.field(), window_, length, options_.efficiency), to, step);
}

void WeldMeter::finish() { end_block(); }

double WeldMeter::length_mm() const {
  if (!length_known_ || !(sums_.weight_s > 0)) return not_applicable;
  return length_mm_;
}

std::vector<RangeReview> WeldMeter::ranges(PassRole role) {
  std::vector<RangeReview> out;
  for (RangeMeter& meter : ranges_[static_cast<std::size_t>(role)])
    out.push_back(meter.result(options_.rules->excursion_s.value));
  return out;
}

}  // namespace seamwright
