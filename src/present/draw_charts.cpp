#include "present/draw_charts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "text/drawing.hpp"

namespace seamwright {
namespace {

// A square wave: `high` for `share` of each period, then `low`.
std::vector<DrawPoint> square_wave(const Chart& chart, double high, double low, double period, double share,
                                   int periods) {
  std::vector<DrawPoint> points;
  for (int i = 0; i < periods; ++i) {
    const double t = i * period;
    points.push_back(chart.at(t, high));
    points.push_back(chart.at(t + share * period, high));
    points.push_back(chart.at(t + share * period, low));
    points.push_back(chart.at(t + period, low));
  }
  return points;
}

Chart frame(double width, double height) { return {.left = 40, .top = 8, .width = width - 48, .height = height - 38}; }

// A frame with room to its right for the names of levels.
Chart waveform_frame(double width, double height) {
  Chart chart = frame(width, height);
  constexpr double names = 96;
  chart.width -= names;
  return chart;
}

struct Level {
  double y = 0;
  std::string name;
};
// Each level as a line, named beside the frame; names keep clear of each other.
void levels(Drawing& drawing, const Chart& chart, std::vector<Level> all) {
  constexpr double apart = 10;
  std::sort(all.begin(), all.end(), [](const Level& a, const Level& b) { return a.y > b.y; });
  std::vector<double> name_y;
  for (const Level& l : all) {
    const double y = chart.at(0, l.y).y + 3;
    name_y.push_back(name_y.empty() ? y : std::max(y, name_y.back() + apart));
  }
  // Pushed out at the bottom: the row moves up as far as it must.
  double lowest = chart.top + chart.height + 3;
  for (std::size_t i = all.size(); i-- > 0; lowest = name_y[i] - apart) name_y[i] = std::min(name_y[i], lowest);
  for (std::size_t i = 0; i < all.size(); ++i) {
    const DrawPoint to = chart.at(chart.x_high, all[i].y);
    drawing.line(Look::level, chart.at(chart.x_low, all[i].y), to);
    drawing.line(Look::level, to, {to.x + 5, name_y[i] - 3});
    drawing.text(Look::small, {to.x + 7, name_y[i]}, all[i].name);
  }
}

}  // namespace

std::vector<MapLetter> map_letters(const WindowMap& map) {
  std::vector<MapLetter> letters;
  for (const MapLine& line : map.lines) {
    const bool known = std::any_of(letters.begin(), letters.end(), [&](const MapLetter& l) { return l.id == line.id; });
    const bool wanted = line.bounds || map.region.empty();
    if (wanted && !known && letters.size() < 26)
      letters.push_back({line.id, static_cast<char>('A' + static_cast<int>(letters.size()))});
  }
  return letters;
}

Drawing draw_window_map(const WindowMap& map, const PassResult& pass, double width, double height, Units units) {
  const FieldInfo &feed = field(F::wire_feed), &travel = field(F::travel);
  Chart chart = frame(width, height);
  chart.x_low = in_units(feed, map.wire_feed_m_per_min.low, units);
  chart.x_high = in_units(feed, map.wire_feed_m_per_min.high, units);
  chart.y_low = in_units(travel, map.travel_mm_per_s.low, units);
  chart.y_high = in_units(travel, map.travel_mm_per_s.high, units);
  const auto at = [&](const MapPoint& p) {
    return chart.at(in_units(feed, p.wire_feed_m_per_min, units), in_units(travel, p.travel_mm_per_s, units));
  };
  const auto all = [&](const std::vector<MapPoint>& points) {
    std::vector<DrawPoint> out;
    for (const MapPoint& p : points) out.push_back(at(p));
    return out;
  };
  Drawing drawing(width, height, "Window map: wire feed against travel, where every constraint holds");
  drawing.path(Look::region, all(map.region), true);
  const std::vector<MapLetter> letters = map_letters(map);
  for (const MapLine& line : map.lines)
    if (std::any_of(letters.begin(), letters.end(), [&](const MapLetter& l) { return l.id == line.id; }))
      drawing.path(line.bounds ? Look::edge : Look::beyond, all(line.points), false);
  if (pass.box && pass.box->exists) {
    std::vector<DrawPoint> corners;
    for (const BoxPlan& corner : box_plan(*pass.box))
      corners.push_back(at({corner.wire_feed_m_per_min, corner.travel_mm_per_s}));
    drawing.path(Look::box, corners, true);
  }
  drawing.path(Look::band, all(map.band), false);
  const DrawPoint best = at(map.best);
  drawing.circle(Look::best, best, 4);
  // Each letter once, in the middle of the longest piece that bounds.
  std::vector<DrawPoint> taken{best};
  for (const MapLetter& l : letters) {
    const MapLine* longest = nullptr;
    for (const MapLine& line : map.lines)
      if (line.id == l.id &&
          (longest == nullptr || (line.bounds == longest->bounds && line.points.size() > longest->points.size())))
        longest = &line;
    if (longest == nullptr) continue;
    constexpr double apart = 15;
    const auto room = [&](const DrawPoint& q) {
      double least = 1e9;
      for (const DrawPoint& other : taken) least = std::min(least, std::hypot(q.x - other.x, q.y - other.y));
      return least;
    };
    // The first free place from the middle on, else the freest of the line, else one beside it.
    DrawPoint p = at(longest->points[longest->points.size() / 2]);
    for (std::size_t k = 0; k < longest->points.size() && room(p) < apart; ++k) {
      const DrawPoint q = at(longest->points[(longest->points.size() / 2 + k) % longest->points.size()]);
      if (room(q) > room(p)) p = q;
    }
    for (const DrawPoint& step : {DrawPoint{0, -apart}, DrawPoint{0, apart}, DrawPoint{apart, 0}, DrawPoint{-apart, 0}})
      if (const DrawPoint q{p.x + step.x, p.y + step.y}; room(p) < apart && room(q) >= apart) p = q;
    taken.push_back(p);
    drawing.circle(Look::tag, p, 6.5);
    drawing.text(Look::number, {p.x, p.y + 3}, std::string(1, l.letter), Anchor::middle);
  }
  chart.axes(drawing, fmt::format("{}, {}", feed.label, unit_of(feed, units)),
             fmt::format("{}, {}", travel.label, unit_of(travel, units)));
  return drawing;
}

std::string window_map_caption(const WindowMap& map, const PassResult& pass) {
  if (map.region.empty())
    return "No window: nothing is shaded. Dot: where the conflict is smallest. Lines: where each limit in the way is "
           "met.";
  return fmt::format("Shaded: all holds. Dot: as set. Dashes: band at this deposit.{}",
                     pass.box && pass.box->exists ? " Box: may be locked." : "");
}

Drawing draw_pulse(const PassResult& pass, double width, double height) {
  const Estimate &peak = pass[F::peak_current], &base = pass[F::base_current], &frequency = pass[F::pulse_frequency];
  if (!peak.present || !base.present || !(frequency.value > 0) || !(pass[F::pulse_duty].value > 0)) return {};
  constexpr int periods = 3;
  const double period_ms = 1000 / frequency.value;
  Chart chart = waveform_frame(width, height);
  chart.x_high = periods * period_ms;
  chart.y_high = 1.1 * peak.value;
  Drawing drawing(width, height, "Pulse: current against time");
  const auto named = [&](std::string_view name, const Estimate& current, F time) {
    return Level{current.value, fmt::format("{} {} A, {} ms", name, fixed_text(current.value, 0),
                                            quantity_text(field(time), pass[time].value, Units::metric))};
  };
  levels(drawing, chart,
         {named("peak", peak, F::peak_time),
          {pass[F::current].value, fmt::format("mean {} A", fixed_text(pass[F::current].value, 0))},
          named("base", base, F::base_time)});
  drawing.path(
      Look::wave,
      square_wave(chart, peak.value, base.value, period_ms, std::min(1.0, 0.01 * pass[F::pulse_duty].value), periods),
      false);
  chart.axes(drawing, "time, ms", "current, A");
  return drawing;
}

Drawing draw_modulation(const PassResult& pass, double share, double width, double height, Units units) {
  const Estimate &high = pass[F::wire_feed_high], &low = pass[F::wire_feed_low],
                 &frequency = pass[F::modulation_frequency];
  if (!high.present || !low.present || !(frequency.value > 0)) return {};
  constexpr int periods = 3;
  const FieldInfo& feed = field(F::wire_feed);
  const auto shown = [&](double metric) { return in_units(feed, metric, units); };
  Chart chart = waveform_frame(width, height);
  chart.x_high = periods / frequency.value;
  chart.y_high = 1.1 * shown(high.value);
  Drawing drawing(width, height, "Double pulse: wire feed against time");
  const auto named = [&](std::string_view name, double metric) {
    return Level{shown(metric), fmt::format("{} {}", name, quantity_with_unit(feed, metric, units))};
  };
  levels(drawing, chart, {named("high", high.value), named("mean", pass[F::wire_feed].value), named("low", low.value)});
  drawing.path(Look::wave, square_wave(chart, shown(high.value), shown(low.value), 1 / frequency.value, share, periods),
               false);
  chart.axes(drawing, "time, s", fmt::format("feed, {}", unit_of(feed, units)));
  return drawing;
}

}  // namespace seamwright
