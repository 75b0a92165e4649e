#include "present/write_calibration.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "present/text_plot.hpp"
#include "text/drawing.hpp"
#include "text/foreign_text.hpp"
#include "text/rounded_text.hpp"
#include "text/text_grid.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

const TrialReading& reading_of(const TrialList& trials, const CalibratedReading& r) {
  return trials.welds[r.weld].readings[r.reading];
}

std::string row_text(const TrialWeld& weld) {
  return weld.id.empty() ? fmt::format("{}", weld.row) : fmt::format("{} {}", weld.row, printable(weld.id));
}

// In the units of the reader, as far as the reading is a quantity of the output.
struct Shown {
  std::string_view unit;
  double value = 0, half = 0;
  std::string value_text, half_text;
};
Shown shown(const TrialReading& reading, double value, double half, Units units) {
  if (!reading.field) return {reading.kind->unit, value, half, fixed_text(value, 1), fixed_text(half, 1)};
  const FieldInfo& info = field(*reading.field);
  return {unit_of(info, units), in_units(info, value, units), difference_in_units(info, half, units),
          quantity_text(info, value, units), difference_text(info, half, units)};
}

std::string reading_label(const TrialReading& reading) {
  if (reading.field) return std::string(field(*reading.field).label);
  std::string words(reading.kind->id);
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

// Numbers with their unit in columns as wide as the screen allows; stacked where it allows none.
class Cells {
 public:
  Cells(std::string& out, std::size_t width, std::string_view term, std::vector<std::string_view> titles)
      : out_(out), width_(width), titles_(std::move(titles)) {
    constexpr std::size_t widest_term = 36, few = 4;
    number_width_ = titles_.size() <= few ? 10 : 8;
    const std::size_t numbers = titles_.size() * number_width_ + widest_unit;
    term_width_ = std::clamp(width > numbers ? width - numbers : 0, narrowest_term, widest_term);
    stacked_ = width < narrow_screen && width < narrowest_term + numbers;
    if (stacked_)
      out_ += fmt::format("  {}\n", term);
    else
      row(term, {titles_.begin(), titles_.end()}, "");
  }
  void row(std::string_view term, const std::vector<std::string>& cells, std::string_view unit) {
    if (stacked_) {
      std::vector<GridFact> facts;
      for (std::size_t i = 0; i < cells.size(); ++i) facts.push_back({titles_[i], cells[i], unit});
      return append_stacked(out_, term, facts, 4, width_);
    }
    std::string head = fmt::format("  {}", term);
    if (head.size() >= term_width_) {  // a line of its own
      out_ += head + '\n';
      head.clear();
    }
    append_left(out_, head, term_width_);
    for (const std::string_view cell : cells) append_right(out_, cell, number_width_);
    if (!unit.empty()) out_ += fmt::format("  {}", unit);
    out_ += '\n';
  }

 private:
  static constexpr std::size_t narrowest_term = 22, widest_unit = 12;
  std::string& out_;
  std::size_t width_, number_width_ = 0, term_width_ = 0;
  std::vector<std::string_view> titles_;
  bool stacked_ = false;
};

std::string significant(double value) { return short_text(std::stod(fmt::format("{:.3g}", value))); }

void append_group(std::string& out, const CalibrationGroup& group, const TableOptions& options) {
  out += '\n';
  append_wrapped(out,
                 fmt::format("{} wire, {}, on {}: {} trial{}", group.wire_family, mode_key(group.mode), group.metal,
                             group.welds.size(), group.welds.size() == 1 ? "" : "s"),
                 options.width, 0, 2);
  Cells constants(out, options.width, "Constants", {"before", "+-", "after", "+-"});
  for (const CalibratedConstant& c : group.constants)
    if (c.written)
      constants.row(c.label,
                    {significant(c.before.value), significant(c.before.half_width_90), significant(c.after.value),
                     significant(c.after.half_width_90)},
                    c.unit);
  for (const CalibratedLimit& limit : group.limits)
    constants.row(fmt::format("limit of {}, factor", limit.label),
                  {"1", "", significant(limit.factor), significant(limit.half_width_90)}, "");
  Cells bands(out, options.width, "At the setting of the first trial", {"before", "+-", "after", "+-"});
  for (const CalibratedBand& band : group.bands) {
    const FieldInfo& info = field(band.field);
    bands.row(info.label,
              {quantity_text(info, band.before, options.units), difference_text(info, band.before_half, options.units),
               quantity_text(info, band.after, options.units), difference_text(info, band.after_half, options.units)},
              unit_of(info, options.units));
  }
}

void append_readings(std::string& out, const Calibration& calibration, const TrialList& trials,
                     const TableOptions& options) {
  if (calibration.readings.empty()) return;
  const bool left_out = std::any_of(calibration.readings.begin(), calibration.readings.end(),
                                    [](const CalibratedReading& r) { return r.left_out.has_value(); });
  out += '\n';
  append_wrapped(out, "Every reading (+-: of the reading itself and from weld to weld)", options.width, 0, 2);
  std::vector<std::string_view> titles{"measured", "+-", "before", "after"};
  if (left_out) titles.insert(titles.end(), {"left out", "+-"});
  Cells readings(out, options.width, "row, reading", titles);
  for (const CalibratedReading& r : calibration.readings) {
    const TrialReading& reading = reading_of(trials, r);
    const Shown measured = shown(reading, r.measured, r.noise_half, options.units);
    const std::string before = shown(reading, r.before, 0, options.units).value_text,
                      after = shown(reading, r.after, 0, options.units).value_text;
    const std::string term = fmt::format("{}, {}", row_text(trials.welds[r.weld]), reading_label(reading));
    std::vector<std::string> cells{measured.value_text, measured.half_text, before, after};
    if (left_out && r.left_out) {
      const Shown without = shown(reading, *r.left_out, *r.left_out_half, options.units);
      cells.insert(cells.end(), {without.value_text, without.half_text});
    } else if (left_out) {
      cells.insert(cells.end(), {"-", "-"});
    }
    readings.row(term, cells, measured.unit);
  }
  if (!left_out) return;
  out += "  ";
  append_wrapped(out, "left out: predicted by the other trials of the group; +- with the reading's own.", options.width,
                 2, 2);
}

// Measured over predicted less 1, %.
double off_percent(const CalibratedReading& r, double predicted) {
  if (!(std::abs(predicted) > 0)) return 0;
  return std::clamp(100 * (r.measured / predicted - 1), -100.0, 200.0);
}

// Half-range of the vertical axis, %: all points, rounded up to tens.
double plot_range(const Calibration& calibration) {
  double range = 10;
  for (const CalibratedReading& r : calibration.readings)
    range = std::max({range, std::abs(off_percent(r, r.before)), std::abs(off_percent(r, r.after))});
  return 10 * std::ceil(range / 10);
}

nlohmann::ordered_json constant_json(const Constant& c) {
  return {{"value", six_digits(c.value)}, {"plus_minus", six_digits(c.half_width_90)}};
}

nlohmann::ordered_json group_json(const CalibrationGroup& group, Units units) {
  nlohmann::ordered_json out{{"id", group.id},
                             {"wire_family", group.wire_family},
                             {"mode", mode_key(group.mode)},
                             {"metal", group.metal},
                             {"trials", group.welds.size()}};
  out["constants"] = nlohmann::ordered_json::array();
  for (const CalibratedConstant& c : group.constants)
    out["constants"].push_back({{"key", c.column},
                                {"label", c.label},
                                {"unit", c.unit},
                                {"before", constant_json(c.before)},
                                {"after", constant_json(c.after)},
                                {"written", c.written}});
  out["limits"] = nlohmann::ordered_json::array();
  for (const CalibratedLimit& limit : group.limits)
    out["limits"].push_back(
        {{"key", limit.column}, {"label", limit.label}, {"factor", limit.factor}, {"plus_minus", limit.half_width_90}});
  out["correlations"] = nlohmann::ordered_json::array();
  for (const Correlation& c : group.correlations)
    out["correlations"].push_back({{"first", c.first}, {"second", c.second}, {"value", c.value}});
  out["bands"] = nlohmann::ordered_json::array();
  for (const CalibratedBand& band : group.bands) {
    const FieldInfo& info = field(band.field);
    const auto pair = [&](double value, double half) {
      return nlohmann::ordered_json{{"value", six_digits(in_units(info, value, units))},
                                    {"plus_minus", six_digits(difference_in_units(info, half, units))}};
    };
    out["bands"].push_back({{"key", info.key},
                            {"unit", unit_of(info, units)},
                            {"before", pair(band.before, band.before_half)},
                            {"after", pair(band.after, band.after_half)}});
  }
  return out;
}

}  // namespace

std::string calibration_table(const Calibration& calibration, const TrialList& trials, const TableOptions& options) {
  std::string out;
  append_wrapped(out,
                 fmt::format("Calibrated from {}, {} trial{}. +-: half-width, 9 times in 10.",
                             printable(calibration.file), calibration.rows, calibration.rows == 1 ? "" : "s"),
                 options.width, 0, 0);
  append_wrapped(out,
                 "Each group of wire family, mode and metal has constants of its own; its joints, positions, gases and "
                 "wire diameters share them.",
                 options.width, 0, 0);
  for (const CalibrationGroup& group : calibration.groups) append_group(out, group, options);
  append_readings(out, calibration, trials, options);
  if (!calibration.remarks.empty()) out += "\nRemarks\n";
  for (const std::string& remark : calibration.remarks) append_entry(out, "-", printable(remark), 4, options.width);
  out += '\n';
  append_wrapped(out,
                 "The settings stay starting values: the qualified procedure and the responsible coordinator decide.",
                 options.width, 0, 0);
  return out;
}

std::string calibration_json(const Calibration& calibration, const TrialList& trials, const JsonOptions& options) {
  nlohmann::ordered_json out{{"schema", calibrate_schema_number},
                             {"program", options.program_version},
                             {"units", options.units == Units::us ? "us" : "metric"},
                             {"file", calibration.file},
                             {"rows", calibration.rows}};
  out["groups"] = nlohmann::ordered_json::array();
  for (const CalibrationGroup& group : calibration.groups) out["groups"].push_back(group_json(group, options.units));
  out["readings"] = nlohmann::ordered_json::array();
  for (const CalibratedReading& r : calibration.readings) {
    const TrialReading& reading = reading_of(trials, r);
    const auto number = [&](double value) { return six_digits(shown(reading, value, 0, options.units).value); };
    const auto width = [&](double half) { return six_digits(shown(reading, 0, half, options.units).half); };
    nlohmann::ordered_json row{{"row", trials.welds[r.weld].row},
                               {"id", trials.welds[r.weld].id},
                               {"group", calibration.groups[r.group].id},
                               {"key", reading.kind->id},
                               {"unit", shown(reading, 0, 0, options.units).unit},
                               {"measured", number(r.measured)},
                               {"plus_minus", width(r.noise_half)},
                               {"before", number(r.before)},
                               {"before_plus_minus", width(r.before_half)},
                               {"after", number(r.after)},
                               {"deviations", six_digits(r.spreads_off)},
                               {"weight", six_digits(r.weight)}};
    row["left_out"] = r.left_out ? nlohmann::ordered_json(number(*r.left_out)) : nlohmann::ordered_json(nullptr);
    row["left_out_plus_minus"] =
        r.left_out_half ? nlohmann::ordered_json(width(*r.left_out_half)) : nlohmann::ordered_json(nullptr);
    out["readings"].push_back(std::move(row));
  }
  out["remarks"] = calibration.remarks;
  std::string text;
  append_harmless_json(text, out.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace));
  return text + '\n';
}

std::string calibration_csv(const Calibration& calibration, const TrialList& trials) {
  std::string out =
      "row,group,reading,unit,measured,plus_minus,before,before_plus_minus,after,deviations,weight,left_out,"
      "left_out_plus_minus\n";
  for (const CalibratedReading& r : calibration.readings) {
    const TrialReading& reading = reading_of(trials, r);
    out += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{}\n", trials.welds[r.weld].row,
                       calibration.groups[r.group].id, reading.kind->id, reading.kind->unit, short_text(r.measured),
                       short_text(r.noise_half), short_text(r.before), short_text(r.before_half), short_text(r.after),
                       short_text(r.spreads_off), short_text(r.weight), r.left_out ? short_text(*r.left_out) : "",
                       r.left_out_half ? short_text(*r.left_out_half) : "");
  }
  return out;
}

std::string residual_plot(const Calibration& calibration, const TrialList& trials, std::size_t width) {
  if (calibration.readings.empty()) return "No reading to draw.\n";
  const double range = plot_range(calibration), last = static_cast<double>(trials.welds.size()) + 0.5;
  TextPlot plot(static_cast<int>(std::min<std::size_t>(width, 100)) - 22, 16, 0.5, last, -range, range);
  plot.join(0.5, 0, last, 0, '-');
  for (const CalibratedReading& r : calibration.readings)
    plot.mark(static_cast<double>(r.weld + 1), off_percent(r, r.before), '.');
  for (const CalibratedReading& r : calibration.readings)
    plot.mark(static_cast<double>(r.weld + 1), off_percent(r, r.after), r.weight < 1 ? '!' : 'o');
  std::string out;
  append_wrapped(out, "What is left over: measured over predicted, less 1", width, 0, 2);
  return out + plot.text("row", "%") + "  . before   o after   ! counts less\n";
}

Drawing draw_residuals(const Calibration& calibration, const TrialList& trials) {
  constexpr double width = 640, height = 320;
  const double range = plot_range(calibration);
  Drawing drawing(width, height, "Measured over predicted, before and after the calibration, by row of the trials");
  const Chart chart{60,     20,   width - 80, height - 70, 0.5, static_cast<double>(trials.welds.size()) + 0.5,
                    -range, range};
  chart.axes(drawing, "row of the trials", "measured over predicted, less 1, %");
  drawing.line(Look::axis, chart.at(chart.x_low, 0), chart.at(chart.x_high, 0));
  for (const CalibratedReading& r : calibration.readings) {
    const double row = static_cast<double>(r.weld + 1);
    drawing.circle(Look::before, chart.at(row, off_percent(r, r.before)), 3);
    const DrawPoint at = chart.at(row, off_percent(r, r.after));
    // A square after, so that the two are not told apart by colour alone.
    drawing.rectangle(r.weight < 1 ? Look::misfit : Look::after, {at.x - 3, at.y - 3}, 6, 6);
  }
  drawing.text(Look::small, {60, height - 8}, "circles: before; squares: after; open squares count less");
  return drawing;
}

}  // namespace seamwright
