#include "present/review_lines.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "present/lock_words.hpp"

namespace seamwright {
namespace {

std::string of_field(F id, double metric, Units units) { return quantity_with_unit(field(id), metric, units); }

// "118.2 Hz, sd 1.3": mean and standard deviation
std::string tally_text(const Tally& tally, std::string_view unit) {
  return fmt::format("{:.4g} {}, sd {:.2g}", tally.mean, unit, tally.deviation());
}

std::string with_remark(std::string text, const std::string& remark) {
  return remark.empty() ? text : fmt::format("{}: {}", text, remark);
}

// What to say of a fact that was not found.
std::string absence(Finding finding, const std::string& remark) {
  return with_remark(finding == Finding::none           ? "none found"
                     : finding == Finding::rate_too_low ? "sampling rate too low"
                                                        : "not recorded",
                     remark);
}

std::string difference_percent(double of, double from) { return fmt::format("{:+.1f} %", 100 * (of / from - 1)); }

void add_energy(std::vector<FactLine>& out, const WeldReview& w, Units units) {
  if (applies(w.power_W)) out.push_back({"arc power", of_field(F::power, w.power_W, units)});
  const auto energy = [&](double value) {
    return applies(value) ? of_field(F::arc_energy, value, units) : std::string("not recorded");
  };
  if (applies(w.arc_energy_a)) {
    std::string text = fmt::format("A {}", energy(w.arc_energy_a));
    if (applies(w.arc_energy_b))
      text +=
          fmt::format("; B {} ({} to A)", energy(w.arc_energy_b), difference_percent(w.arc_energy_b, w.arc_energy_a));
    if (applies(w.arc_energy_c))
      text +=
          fmt::format("; C {} ({} to A)", energy(w.arc_energy_c), difference_percent(w.arc_energy_c, w.arc_energy_a));
    out.push_back({"arc energy, ISO/TR 18491", text});
    if (!w.waveform_followed)
      out.push_back({"", "at this rate the readings do not follow a pulsed arc, whose B and C are above A"});
  } else if (applies(w.energy_J)) {
    out.push_back(
        {"arc energy", fmt::format("{:.1f} kJ in all; per length only with --travel or --length", 0.001 * w.energy_J)});
  }
  if (applies(w.heat_input_kJ_per_mm))
    out.push_back({"heat input", of_field(F::heat_input, w.heat_input_kJ_per_mm, units)});
  if (w.seam.size() > 1) {
    const auto [low, high] = std::minmax_element(
        w.seam.begin(), w.seam.end(),
        [](const SeamStep& a, const SeamStep& b) { return a.heat_input_kJ_per_mm < b.heat_input_kJ_per_mm; });
    const auto place = [&](const SeamStep& s) {
      return fmt::format("{} at {}", of_field(F::heat_input, s.heat_input_kJ_per_mm, units),
                         length_text(std::round(0.5 * (s.from_mm + s.to_mm)), units));
    };
    out.push_back({"along the seam", fmt::format("minimum {}; maximum {}", place(*low), place(*high))});
  }
}

void add_shorts(std::vector<FactLine>& out, const ShortCircuits& s) {
  if (s.finding != Finding::found) {
    out.push_back({"short circuits", absence(s.finding, s.remark)});
    return;
  }
  std::string text = fmt::format("{}, {:.1f} per second; {}", s.count, s.rate_Hz, tally_text(s.duration_ms, "ms"));
  if (s.rise_A_per_ms.count > 0) text += fmt::format("; rise {}", tally_text(s.rise_A_per_ms, "A/ms"));
  out.push_back({"short circuits", text});
}

void add_pulses(std::vector<FactLine>& out, const Pulses& p) {
  if (p.finding != Finding::found) {
    out.push_back({"pulse", absence(p.finding, p.remark)});
    return;
  }
  out.push_back({"pulse frequency", tally_text(p.frequency_Hz, "Hz")});
  if (p.shape_known) {
    out.push_back({"peak", fmt::format("{}; {}", tally_text(p.peak_A, "A"), tally_text(p.peak_time_ms, "ms"))});
    out.push_back({"base", fmt::format("{}; {}", tally_text(p.base_A, "A"), tally_text(p.base_time_ms, "ms"))});
    out.push_back({"pulse duty", fmt::format("{:.0f} %", p.duty_percent())});
  }
  if (p.ramps_known)
    out.push_back({"ramps", fmt::format("up {}; down {}", tally_text(p.ramp_up_A_per_ms, "A/ms"),
                                        tally_text(p.ramp_down_A_per_ms, "A/ms"))});
  if (!p.remark.empty()) out.push_back({"", p.remark});
}

}  // namespace

std::string seconds_text(double seconds) { return fixed_text(seconds, seconds < 100 ? 2 : 1) + " s"; }

std::vector<FactLine> log_lines(const Review& review) {
  std::vector<FactLine> out;
  std::string columns;
  for (std::size_t i = 0; i < log_quantity_count; ++i)
    if (!review.columns[i].empty())
      columns += fmt::format("{}{} = {}", columns.empty() ? "" : ", ", log_quantity_key(static_cast<LogQuantity>(i)),
                             review.columns[i]);
  out.push_back({"columns", columns});
  const std::string rate = review.rate_Hz >= 1000 ? fmt::format("{:.4g} kHz", review.rate_Hz / 1000)
                                                  : fmt::format("{:.4g} Hz", review.rate_Hz);
  out.push_back(
      {"readings", fmt::format("{} at {}, {}", review.rows, rate, seconds_text(review.end_s - review.start_s))});
  for (const LogRemark& remark : review.remarks) out.push_back({"repaired", remark.text});
  if (review.strikes > 0)
    out.push_back({"arc strikes",
                   fmt::format("{} shorter than a weld, {} in total", review.strikes, seconds_text(review.strikes_s))});
  if (review.more_welds > 0) out.push_back({"further welds", fmt::format("{} more, not reviewed", review.more_welds)});
  return out;
}

std::vector<FactLine> weld_lines(const WeldReview& w, Units units) {
  std::vector<FactLine> out;
  std::string time =
      fmt::format("{} from {} to {}", seconds_text(w.arc_s), seconds_text(w.start_s), seconds_text(w.end_s));
  if (w.interruptions > 0)
    time += fmt::format("; interrupted {} time{}, {} in total", w.interruptions, w.interruptions > 1 ? "s" : "",
                        seconds_text(w.interrupted_s));
  out.push_back({"arc time", time});
  if (w.set_values) out.push_back({"", "current and voltage never change: set values, not measurements"});
  out.push_back({"transfer", std::string(transfer_seen_text(w.transfer))});
  if (applies(w.current_A))
    out.push_back({"current", fmt::format("{}, RMS {}", of_field(F::current, w.current_A, units),
                                          of_field(F::current_rms, w.current_rms_A, units))});
  if (applies(w.voltage_V)) out.push_back({"voltage", of_field(F::voltage, w.voltage_V, units)});
  if (applies(w.feed_m_per_min)) out.push_back({"wire feed", of_field(F::wire_feed, w.feed_m_per_min, units)});
  if (applies(w.travel_mm_per_s)) {
    std::string text = of_field(F::travel, w.travel_mm_per_s, units);
    if (applies(w.length_mm)) text += fmt::format(", seam {}", length_text(std::round(w.length_mm), units));
    out.push_back({"travel", text});
  }
  add_energy(out, w, units);
  add_shorts(out, w.shorts);
  add_pulses(out, w.pulses);
  const SlowModulation& m = w.modulation;
  out.push_back({"slow modulation", m.finding == Finding::found ? fmt::format("{:.2f} Hz, current amplitude {:.0f} A",
                                                                              m.frequency_Hz, m.current_amplitude_A)
                                                                : absence(m.finding, m.remark)});
  return out;
}

std::string weld_heading(const Review& review, std::size_t weld) {
  const WeldReview& w = review.welds[weld];
  std::string text = fmt::format("Weld {}", weld + 1);
  if (w.role) text += fmt::format(", {} pass: {}", pass_role_key(*w.role), w.outside ? "OUTSIDE" : "inside");
  return text;
}

std::string_view range_verdict(const RangeReview& range) {
  return !range.recorded ? "not recorded" : range.outside ? "outside" : "inside";
}

RangeLine range_line(const RangeReview& r, Units units) {
  RangeLine out;
  const FieldInfo& info = field(r.field);
  out.label = info.label;
  const std::string_view unit = unit_of(info, units);
  out.range = inward_words(info, r.range, units);
  if (!unit.empty()) out.range += fmt::format(" {}", unit);
  out.verdict = range_verdict(r);
  if (!r.recorded) return out;
  out.value = of_field(r.field, r.value, units);
  if (r.over_time) out.inside = fmt::format("{:.1f} %", 100 * r.inside_s / r.judged_s);
  for (const Excursion& e : r.listed)
    out.excursions.push_back(fmt::format("from {} for {}, worst {}", seconds_text(e.start_s), seconds_text(e.length_s),
                                         of_field(r.field, e.worst, units)));
  if (r.excursions > r.listed.size())
    out.excursions.push_back(fmt::format("and {} more", r.excursions - r.listed.size()));
  return out;
}

std::string review_summary(const Review& review) {
  std::size_t outside = 0;
  std::vector<F> untold;
  for (const WeldReview& w : review.welds) {
    outside += w.outside;
    for (const RangeReview& r : w.ranges)
      if (!r.recorded && std::find(untold.begin(), untold.end(), r.field) == untold.end()) untold.push_back(r.field);
  }
  const std::size_t welds = review.welds.size();
  std::string text = welds == 0                   ? "no weld to hold against it."
                     : welds == 1 && outside == 0 ? "the weld is inside."
                     : welds == 1                 ? "the weld is OUTSIDE."
                     : outside == 0               ? fmt::format("all {} welds are inside.", welds)
                                                  : fmt::format("{} of {} welds are OUTSIDE.", outside, welds);
  std::string names;
  for (const F f : untold) names += fmt::format("{}{}", names.empty() ? "" : ", ", field(f).label);
  if (!names.empty()) text += fmt::format(" Not recorded: {}.", names);
  return text;
}

}  // namespace seamwright
