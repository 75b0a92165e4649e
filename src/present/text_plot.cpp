#include "present/text_plot.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "present/draw_charts.hpp"
#include "text/drawing.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::size_t label_column = 9;

int cell_of(double value, double low, double high, int cells) {
  return static_cast<int>(std::lround((value - low) / (high - low) * (cells - 1)));
}

int plot_columns(std::size_t width) { return std::clamp(static_cast<int>(width) - 14, 26, 72); }

}  // namespace

TextPlot::TextPlot(int columns, int rows, double x_low, double x_high, double y_low, double y_high)
    : columns_(columns),
      rows_(rows),
      x_low_(x_low),
      x_high_(x_high > x_low ? x_high : x_low + 1),
      y_low_(y_low),
      y_high_(y_high > y_low ? y_high : y_low + 1),
      cells_(static_cast<std::size_t>(rows), std::string(static_cast<std::size_t>(columns), ' ')) {}

void TextPlot::mark(double x, double y, char c) {
  const int i = cell_of(x, x_low_, x_high_, columns_), j = cell_of(y, y_low_, y_high_, rows_);
  if (i < 0 || j < 0 || i >= columns_ || j >= rows_) return;
  cells_[static_cast<std::size_t>(rows_ - 1 - j)][static_cast<std::size_t>(i)] = c;
}

void TextPlot::join(double x0, double y0, double x1, double y1, char c) {
  const int across = std::abs(cell_of(x1, x_low_, x_high_, columns_) - cell_of(x0, x_low_, x_high_, columns_));
  const int up = std::abs(cell_of(y1, y_low_, y_high_, rows_) - cell_of(y0, y_low_, y_high_, rows_));
  const int steps = std::max({across, up, 1});
  for (int k = 0; k <= steps; ++k) {
    const double u = static_cast<double>(k) / steps;
    mark(x0 + u * (x1 - x0), y0 + u * (y1 - y0), c);
  }
}

std::string TextPlot::text(std::string_view x_label, std::string_view y_label) const {
  std::string out = fmt::format("  {}\n", y_label);
  const std::vector<double> ys = axis_ticks(y_low_, y_high_, std::max(2, rows_ / 4)),
                            xs = axis_ticks(x_low_, x_high_, 6);
  const auto step = [](const std::vector<double>& ticks) { return ticks.size() > 1 ? ticks[1] - ticks[0] : 1.0; };
  for (int r = 0; r < rows_; ++r) {
    std::string label;
    for (const double y : ys)
      if (cell_of(y, y_low_, y_high_, rows_) == rows_ - 1 - r) label = tick_text(y, step(ys));
    append_right(out, label, label_column - 2);
    out += label.empty() ? " |" : " +";
    out += cells_[static_cast<std::size_t>(r)];
    while (out.back() == ' ') out.pop_back();
    out += '\n';
  }
  std::string axis(static_cast<std::size_t>(columns_), '-'), names(static_cast<std::size_t>(columns_) + 8, ' ');
  for (const double x : xs) {
    const auto i = static_cast<std::size_t>(cell_of(x, x_low_, x_high_, columns_));
    axis[i] = '+';
    const std::string label = tick_text(x, step(xs));
    const std::size_t from = i >= label.size() / 2 ? i - label.size() / 2 : 0;
    names.replace(from, label.size(), label);
  }
  while (!names.empty() && names.back() == ' ') names.pop_back();
  out += std::string(label_column - 1, ' ') + "+" + axis + '\n' + std::string(label_column, ' ') + names + '\n';
  return out + std::string(label_column, ' ') + std::string(x_label) + '\n';
}

std::string window_map_plot(const WindowMap& map, const PassResult& pass, std::size_t width, Units units) {
  const FieldInfo &feed = field(F::wire_feed), &travel = field(F::travel);
  const auto x = [&](double metric) { return in_units(feed, metric, units); };
  const auto y = [&](double metric) { return in_units(travel, metric, units); };
  constexpr int rows = 22;
  const int columns = plot_columns(width);
  TextPlot plot(columns, rows, x(map.wire_feed_m_per_min.low), x(map.wire_feed_m_per_min.high),
                y(map.travel_mm_per_s.low), y(map.travel_mm_per_s.high));
  // The outline's upper half runs forwards, its lower half back.
  const std::size_t half = map.region.size() / 2;
  for (std::size_t k = 0; k < half; ++k) {
    const MapPoint &top = map.region[k], &bottom = map.region[map.region.size() - 1 - k];
    plot.join(x(top.wire_feed_m_per_min), y(bottom.travel_mm_per_s), x(top.wire_feed_m_per_min), y(top.travel_mm_per_s),
              '.');
  }
  const auto curve = [&](const std::vector<MapPoint>& points, char c) {
    for (std::size_t k = 1; k < points.size(); ++k)
      plot.join(x(points[k - 1].wire_feed_m_per_min), y(points[k - 1].travel_mm_per_s),
                x(points[k].wire_feed_m_per_min), y(points[k].travel_mm_per_s), c);
  };
  curve(map.band, '-');
  const std::vector<MapLetter> letters = map_letters(map);
  for (const MapLine& line : map.lines)
    for (const MapLetter& l : letters)
      if (l.id == line.id && (line.bounds || map.region.empty())) curve(line.points, l.letter);
  if (pass.box && pass.box->exists) {
    for (const BoxPlan& corner : box_plan(*pass.box))
      plot.mark(x(corner.wire_feed_m_per_min), y(corner.travel_mm_per_s), '#');
  }
  plot.mark(x(map.best.wire_feed_m_per_min), y(map.best.travel_mm_per_s), '@');
  std::string out = plot.text(fmt::format("{}, {}", feed.label, unit_of(feed, units)),
                              fmt::format("{}, {}", travel.label, unit_of(travel, units)));
  std::vector<std::string> marks{". window", "- band at this deposit", "@ recommended"}, names;
  if (pass.box && pass.box->exists) marks.emplace_back("# corners of the ranges to lock");
  for (const MapLetter& l : letters) names.push_back(fmt::format("{} {}", l.letter, constraint(l.id).label));
  for (const std::vector<std::string>& legend : {marks, names}) {
    out += "  ";
    if (width < narrow_screen)
      append_unbroken(out, legend, ",", width, 2, 2, 4);
    else
      append_wrapped(out, fmt::format("{}", fmt::join(legend, ", ")), width, 2, 2);
  }
  return out;
}

std::string waveform_plot(const PassResult& pass, double share, std::size_t width, Units units) {
  constexpr int rows = 10, periods = 3;
  const int columns = plot_columns(width);
  const auto wave = [&](double high, double low, double period, double part, std::string_view x_label,
                        std::string_view y_label) {
    TextPlot plot(columns, rows, 0, periods * period, 0, 1.1 * high);
    for (int i = 0; i < periods; ++i) {
      const double t = i * period, turn = t + part * period;
      plot.join(t, low, t, high, '|');
      plot.join(turn, low, turn, high, '|');
      plot.join(t, high, turn, high, '_');
      plot.join(turn, low, t + period, low, '_');
    }
    return plot.text(x_label, y_label);
  };
  if (!(pass[F::pulse_frequency].value > 0) || !pass[F::base_current].present) return {};
  std::string out =
      wave(pass[F::peak_current].value, pass[F::base_current].value, 1000 / pass[F::pulse_frequency].value,
           std::min(1.0, 0.01 * pass[F::pulse_duty].value), "time, ms", "current, A");
  if (pass[F::modulation_frequency].value > 0 && pass[F::wire_feed_high].present) {
    const FieldInfo& feed = field(F::wire_feed);
    out += '\n' + wave(in_units(feed, pass[F::wire_feed_high].value, units),
                       in_units(feed, pass[F::wire_feed_low].value, units), 1 / pass[F::modulation_frequency].value,
                       share, "time, s", fmt::format("wire feed, {}", unit_of(feed, units)));
  }
  return out;
}

}  // namespace seamwright
