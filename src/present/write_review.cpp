#include "present/write_review.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "present/plan_words.hpp"
#include "present/review_lines.hpp"
#include "present/text_plot.hpp"
#include "present/write_csv.hpp"
#include "text/foreign_text.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::size_t label_width = 28;

struct Column {
  std::string_view name;
  double value;
};

// Cells of a row that are numbers; one that is not applicable stays empty.
void append_numbers(std::string& out, const std::vector<Column>& columns) {
  for (const Column& c : columns) {
    out += ',';
    if (std::isfinite(c.value)) append_number(out, c.value);
  }
}
void append_names(std::string& out, const std::vector<Column>& columns) {
  for (const Column& c : columns) out += fmt::format(",{}", c.name);
}

double mean_if(bool known, const Tally& tally) { return known && tally.count > 0 ? tally.mean : not_applicable; }

std::vector<Column> numbers_of(const WeldReview& w) {
  const bool shorts = w.shorts.finding == Finding::found || w.shorts.finding == Finding::none;
  const bool pulsed = w.pulses.finding == Finding::found, shape = pulsed && w.pulses.shape_known;
  const bool slow = w.modulation.finding == Finding::found;
  return {{"start_s", w.start_s},
          {"end_s", w.end_s},
          {"arc_time_s", w.arc_s},
          {"interruptions", static_cast<double>(w.interruptions)},
          {"current_A", w.current_A},
          {"current_rms_A", w.current_rms_A},
          {"voltage_V", w.voltage_V},
          {"power_W", w.power_W},
          {"feed_m_min", w.feed_m_per_min},
          {"travel_mm_s", w.travel_mm_per_s},
          {"length_mm", w.length_mm},
          {"arc_energy_a_kJ_mm", w.arc_energy_a},
          {"arc_energy_b_kJ_mm", w.arc_energy_b},
          {"arc_energy_c_kJ_mm", w.arc_energy_c},
          {"heat_input_kJ_mm", w.heat_input_kJ_per_mm},
          {"short_circuits", shorts ? static_cast<double>(w.shorts.count) : not_applicable},
          {"short_rate_Hz", shorts ? w.shorts.rate_Hz : not_applicable},
          {"short_duration_ms", mean_if(shorts, w.shorts.duration_ms)},
          {"short_rise_A_ms", mean_if(shorts, w.shorts.rise_A_per_ms)},
          {"frequency_Hz", mean_if(pulsed, w.pulses.frequency_Hz)},
          {"peak_A", mean_if(shape, w.pulses.peak_A)},
          {"base_A", mean_if(shape, w.pulses.base_A)},
          {"peak_time_ms", mean_if(shape, w.pulses.peak_time_ms)},
          {"modulation_Hz", slow ? w.modulation.frequency_Hz : not_applicable}};
}

std::string outside_words(const WeldReview& w) {
  std::string words;
  for (const RangeReview& r : w.ranges)
    if (r.outside) words += fmt::format("{}{}", words.empty() ? "" : " ", field(r.field).key);
  return words;
}

}  // namespace

std::string review_table(const Review& review, const ReviewText& o) {
  std::string out;
  const auto heading = [&](std::string_view text) { append_heading(out, text, TextStyle::bold, o.color, o.width); };
  const auto entry = [&](std::string_view label, std::string_view text) {
    append_entry(out, label, printable(text), label_width, o.width);
  };
  heading(printable(review.file));
  for (const FactLine& line : log_lines(review)) entry(line.label, line.text);
  if (review.welds.empty()) {
    out += '\n';
    append_wrapped(out, "No weld found: the arc does not burn long enough anywhere in this log.", o.width, 0, 0);
  }
  for (std::size_t i = 0; i < review.welds.size(); ++i) {
    out += '\n';
    heading(weld_heading(review, i));
    for (const FactLine& line : weld_lines(review.welds[i], o.units)) entry(line.label, line.text);
    for (const RangeReview& r : review.welds[i].ranges) {
      const RangeLine line = range_line(r, o.units);
      std::string text = fmt::format("{}: stated {}", line.verdict, line.range);
      if (!line.value.empty()) text += fmt::format("; the weld {}", line.value);
      if (!line.inside.empty()) text += fmt::format(", {} of the time inside", line.inside);
      entry(fmt::format("> {}", line.label), text);
      for (const std::string& excursion : line.excursions) entry("", excursion);
    }
  }
  if (!o.procedure.empty()) {
    out += '\n';
    append_wrapped(out, fmt::format("Against procedure {}: {}", printable(o.procedure), review_summary(review)),
                   o.width, 0, 0);
  }
  out += '\n';
  append_wrapped(out, printable(fmt::format("seamwright {}, data {}", o.program_version, o.data_version)), o.width, 0,
                 0);
  return out;
}

std::string review_csv(const Review& review, const ReviewText&) {
  std::string out = "weld";
  append_names(out, numbers_of(WeldReview{}));
  out += ",transfer,role,verdict,outside\r\n";
  for (std::size_t i = 0; i < review.welds.size(); ++i) {
    const WeldReview& w = review.welds[i];
    out += fmt::format("{}", i + 1);
    append_numbers(out, numbers_of(w));
    out += ',';
    out += transfer_seen_key(w.transfer);
    out += fmt::format(",{},{},", w.role ? pass_role_key(*w.role) : "",
                       !w.role     ? ""
                       : w.outside ? "outside"
                                   : "inside");
    append_csv_text(out, outside_words(w));
    out += "\r\n";
  }
  return out;
}

std::string trial_rows(const Review& review, const TrialSetup& setup) {
  std::string out = "wire.designation,wire.diameter,gas.designation,process.mode,wire.extension";
  const auto readings = [](const WeldReview& w) {
    const bool pulsed = w.pulses.finding == Finding::found, shape = pulsed && w.pulses.shape_known;
    return std::vector<Column>{{"feed_m_min", w.feed_m_per_min},
                               {"travel_mm_s", w.travel_mm_per_s},
                               {"current_A", w.current_A},
                               {"current_rms_A", w.current_rms_A},
                               {"voltage_V", w.voltage_V},
                               {"peak_A", mean_if(shape, w.pulses.peak_A)},
                               {"base_A", mean_if(shape, w.pulses.base_A)},
                               {"frequency_Hz", mean_if(pulsed, w.pulses.frequency_Hz)},
                               {"peak_time_ms", mean_if(shape, w.pulses.peak_time_ms)}};
  };
  append_names(out, readings(WeldReview{}));
  out += "\r\n";
  for (const WeldReview& w : review.welds) {
    append_csv_text(out, setup.wire);
    for (const std::string* cell : {&setup.diameter, &setup.gas, &setup.mode, &setup.extension}) {
      out += ',';
      append_csv_text(out, *cell);
    }
    append_numbers(out, readings(w));
    out += "\r\n";
  }
  return out;
}

std::string review_plot(const Review& review, const ReviewText& o) {
  constexpr int rows = 14;
  const int columns = std::clamp(static_cast<int>(o.width) - 14, 26, 100);
  std::string out;
  const auto draw = [&](std::string_view label, Traced q) {
    double top = 0;
    for (const TraceStep& s : review.trace)
      if (std::isfinite(s[q].high)) top = std::max(top, s[q].high);
    if (!(top > 0)) return;
    TextPlot plot(columns, rows, review.start_s, review.end_s, 0, 1.05 * top);
    for (const TraceStep& s : review.trace)
      if (std::isfinite(s[q].low))
        plot.join(0.5 * (s.from_s + s.to_s), s[q].low, 0.5 * (s.from_s + s.to_s), s[q].high, '|');
    out += '\n' + plot.text("time, s", label);
  };
  draw("current, A", Traced::current);
  draw("voltage, V", Traced::voltage);
  return out;
}

}  // namespace seamwright
