// The window map, the one-knob line, axes and drawings: what the sheet and the plots are made of.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "present/draw_charts.hpp"
#include "present/draw_joint.hpp"
#include "present/text_plot.hpp"
#include "present/write_json.hpp"
#include "present/write_line.hpp"
#include "present/write_sheet.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"
#include "seamwright/sheet_content.hpp"
#include "seamwright/synergic_line.hpp"
#include "text/drawing.hpp"

using namespace seamwright;

namespace {

Plan plan_of(const std::vector<Assignment>& assignments) {
  const Expected<Joint> joint = read_joint("", assignments, builtin_catalog());
  REQUIRE(joint);
  Expected<Plan> plan = make_plan(*joint, nullptr, builtin_catalog(), {});
  REQUIRE(plan);
  return std::move(*plan);
}

double worst_at(const PassContext& context, const MapPoint& p, C only = C::none) {
  const ConstantValues x = nominal_values(context.constants);
  Setting s;
  s.wire_feed_m_per_min = p.wire_feed_m_per_min;
  s.travel_mm_per_s = p.travel_mm_per_s;
  double worst = 1e9;
  for (const Margin& m : margins(context, x, evaluate(context, x, s)))
    if (only == C::none || m.id == only) worst = std::min(worst, m.score);
  return worst;
}

// Distance to the last end of one constraint, in logarithms.
double room_at(const PassContext& context, const MapPoint& p, C id) {
  const ConstantValues x = nominal_values(context.constants);
  Setting s;
  s.wire_feed_m_per_min = p.wire_feed_m_per_min;
  s.travel_mm_per_s = p.travel_mm_per_s;
  double least = 1e9;
  for (const Margin& m : margins(context, x, evaluate(context, x, s)))
    if (m.id == id) least = std::min(least, m.room);
  return least;
}

const std::vector<Assignment> fillet{{"joint.type", "fillet"},
                                     {"joint.thickness", "6"},
                                     {"joint.leg", "5"},
                                     {"material.alloy", "5083"},
                                     {"process.mode", "pulse"}};

}  // namespace

TEST_CASE("window map: the region holds, its edges are where a constraint ends") {
  const Plan plan = plan_of(fillet);
  REQUIRE(plan.feasible);
  const PassContext& context = plan.contexts[0];
  const WindowMap map = window_map(context, plan.passes[0], 48, 36);
  REQUIRE(map.region.size() > 10);
  for (const MapPoint& p : map.region) CHECK(worst_at(context, p) > -1e-3);
  CHECK(worst_at(context, map.best) >= 0);
  CHECK(map.wire_feed_m_per_min.contains(map.best.wire_feed_m_per_min));
  CHECK(map.travel_mm_per_s.contains(map.best.travel_mm_per_s));
  int edges = 0;
  for (const MapLine& line : map.lines) {
    if (line.bounds) ++edges;
    for (const MapPoint& p : line.points) CHECK(std::abs(room_at(context, p, line.id)) < 0.02);
  }
  CHECK(edges >= 3);
  // The constraints that end the band are among the edges.
  for (const C id : {plan.passes[0].window.band.low.constraint.id, plan.passes[0].window.band.high.constraint.id})
    CHECK(std::any_of(map.lines.begin(), map.lines.end(),
                      [&](const MapLine& line) { return line.id == id && line.bounds; }));
}

TEST_CASE("window map without a window: no region, the conflicts have lines") {
  std::vector<Assignment> impossible = fillet;
  impossible.push_back({"limits.heat_input", "..0.05 kJ/mm"});
  const Plan plan = plan_of(impossible);
  REQUIRE(!plan.feasible);
  CHECK(window_map(plan.contexts[0], plan.passes[0], 32, 24).region.empty());
  const SheetContent content = sheet_content(plan);
  const std::string html = sheet_html(std::array{SheetPlan{&plan, &content}}, {});
  CHECK(html.find("No window") != std::string::npos);
}

TEST_CASE("window map without a window is wide enough for every conflict that hangs on feed or travel") {
  const Plan plan = plan_of({{"joint.type", "butt"},
                             {"joint.thickness", "1"},
                             {"joint.preparation", "square"},
                             {"joint.gap", "2"},
                             {"material.alloy", "5083"},
                             {"process.mode", "spray"}});
  REQUIRE(!plan.feasible);
  const WindowMap map = window_map(plan.contexts[0], plan.passes[0], 64, 48);
  REQUIRE(!plan.passes[0].conflicts.empty());
  for (const Margin& conflict : plan.passes[0].conflicts) {
    CAPTURE(constraint(conflict.id).key);
    CHECK(std::any_of(map.lines.begin(), map.lines.end(), [&](const MapLine& line) { return line.id == conflict.id; }));
  }
}

TEST_CASE("window map: the region reaches the feed at which the window ends, and stays inside the map") {
  for (const char* thickness : {"6", "10"}) {
    std::vector<Assignment> joint = fillet;
    joint[1].value = thickness;
    const Plan plan = plan_of(joint);
    REQUIRE(plan.feasible);
    const WindowMap map = window_map(plan.contexts[0], plan.passes[0], 32, 24);
    double most = 0;
    for (const MapPoint& p : map.region) {
      most = std::max(most, p.wire_feed_m_per_min);
      CHECK(map.wire_feed_m_per_min.contains(p.wire_feed_m_per_min));
      CHECK(map.travel_mm_per_s.contains(p.travel_mm_per_s));
    }
    // The maximum pulse duty ends it, whatever the travel.
    const Band& band = plan.passes[0].window.band;
    REQUIRE(band.high.constraint.id == C::pulse_duty);
    CHECK(most == doctest::Approx(band.high.wire_feed_m_per_min).epsilon(0.005));
  }
}

TEST_CASE("one-knob line: more feed, more current; the ends are those of the arc") {
  for (const char* mode : {"pulse", "spray", "short-arc", "double-pulse"}) {
    CAPTURE(mode);
    const Expected<Joint> joint = read_joint("",
                                             {{"joint.type", "overlay"},
                                              {"joint.thickness", "10"},
                                              {"material.alloy", "S355"},
                                              {"wire.designation", "G 3Si1"},
                                              {"wire.diameter", "1.2"},
                                              {"process.mode", mode}},
                                             builtin_catalog());
    REQUIRE(joint);
    const Expected<SynergicLine> line = synergic_line(*joint, builtin_catalog(), 0);
    REQUIRE(line);
    REQUIRE(line->rows.size() >= 4);
    CHECK(line->rows.front().value[F::wire_feed] == doctest::Approx(line->low.wire_feed_m_per_min));
    CHECK(line->rows.back().value[F::wire_feed] == doctest::Approx(line->high.wire_feed_m_per_min));
    CHECK(line->low.constraint.id != C::none);
    CHECK(line->high.constraint.id != C::none);
    for (std::size_t i = 1; i < line->rows.size(); ++i) {
      CHECK(line->rows[i].value[F::wire_feed] > line->rows[i - 1].value[F::wire_feed]);
      CHECK(line->rows[i].value[F::current] > line->rows[i - 1].value[F::current]);
    }
    const PassContext& context = line->context;
    const double trim_V = is_dip(context.mode) ? context.arc.dip_trim_V
                                               : 0.5 * (context.arc.length_max_mm - context.arc.length_min_mm) *
                                                     context.constants[static_cast<std::size_t>(K::arc_field)].value;
    // The least step of 1, 2 or 5 times a power of ten that gives at most twelve.
    const double range = line->high.wire_feed_m_per_min - line->low.wire_feed_m_per_min,
                 step = line->rows[2].value[F::wire_feed] - line->rows[1].value[F::wire_feed];
    CHECK(range / step <= 12);
    CHECK(2.5 * range / step > 12);
    const double next_smaller = std::abs(std::remainder(std::log10(step / 5), 1)) < 1e-6 ? step / 2.5 : step / 2;
    CHECK(range / next_smaller > 12);
    for (const LineRow& row : line->rows) {
      CHECK(row.value[F::voltage] - row.voltage_low_V == doctest::Approx(trim_V));
      CHECK(row.voltage_high_V - row.value[F::voltage] == doctest::Approx(trim_V));
      // Plates of the list that suit, neighbours joined: what is named is what has a window there.
      for (const JointType type : {JointType::fillet, JointType::butt}) {
        const std::string plates = plates_text(*line, type, row.value[F::wire_feed], Units::metric);
        std::size_t suit = 0;
        std::string alone;
        for (const LineSuit& s : line->suits)
          if (s.type == type && s.wire_feed_m_per_min.contains(row.value[F::wire_feed])) {
            ++suit;
            alone = fmt::format("{:g}", s.thickness_mm);
          }
        if (suit == 0) CHECK(plates == "-");
        if (suit == 1) CHECK(plates == alone);
        if (suit > 1) CHECK(plates.ends_with(alone));
        if (suit > 1) CHECK(plates.find_first_of("-,") != std::string::npos);
      }
      CHECK(row.plus_minus[F::current] > 0);
    }
    CHECK(!line->suits.empty());
    CHECK(!line->cautions.empty());
    for (const Warning& w : line->resolved.warnings) CHECK(w.id != "short-arc-thick-plate");  // there is no plate
    const auto json = nlohmann::json::parse(line_json(*line, {}));
    CHECK(json["rows"].size() == line->rows.size());
    for (const auto& row : json["rows"])
      for (const auto& item : row.items()) {
        const std::string key = item.key();
        const auto& entry = item.value();
        CAPTURE(key);
        CHECK(entry["plus_minus"].get<double>() >= 0);
        if (!entry.contains("low")) continue;
        CHECK(entry["low"].get<double>() <= entry["value"].get<double>());
        CHECK(entry["high"].get<double>() >= entry["value"].get<double>());
      }
    for (const auto& choice : json["chosen"])
      CHECK(choice["reason"].get<std::string>().find("mm of") == std::string::npos);
    CHECK(json["cautions"].size() == line->cautions.size());
    for (const Units units : {Units::metric, Units::us}) {
      TableOptions options;
      options.units = units;
      CHECK(line_table(*line, options).find("nan") == std::string::npos);
      const std::string csv = line_csv(*line, units);
      CHECK(std::count(csv.begin(), csv.end(), '\n') == static_cast<long>(line->rows.size()) + 1);
    }
  }
}

TEST_CASE("one-knob line: the trade's first mode for the wire, and the peak kept to one drop a pulse") {
  for (const auto& [alloy, wire, mode] :
       {std::tuple{"S355", "G 3Si1", Mode::spray}, std::tuple{"5083", "5183", Mode::pulse}}) {
    const Expected<Joint> joint = read_joint(
        "",
        {{"joint.type", "overlay"}, {"joint.thickness", "10"}, {"material.alloy", alloy}, {"wire.designation", wire}},
        builtin_catalog());
    REQUIRE(joint);
    const Expected<SynergicLine> line = synergic_line(*joint, builtin_catalog(), 0);
    REQUIRE(line);
    CHECK(line->resolved.mode == mode);
    if (mode != Mode::pulse) continue;
    const double window = builtin_catalog().limits->peak_criterion_window.value;
    // The volume melted in the peak within its window of one drop
    const double n = line->context.pulse.criterion_exponent, least = std::pow(1 - window, 1 / n),
                 most = std::pow(1 + window, 1 / n);
    CHECK(line->peak_trim_percent.low == doctest::Approx(100 * (least - 1)));
    CHECK(line->peak_trim_percent.high == doctest::Approx(100 * (most - 1)));
    const auto peak = line_range(*line, line->rows.front(), F::peak_current);
    REQUIRE(peak);
    CHECK(peak->low == doctest::Approx(line->rows.front().value[F::peak_current] * least));
    CHECK(peak->high == doctest::Approx(line->rows.front().value[F::peak_current] * most));
  }
}

TEST_CASE("a step of one's own gives its multiples between the ends") {
  const Expected<Joint> joint = read_joint("",
                                           {{"joint.type", "overlay"},
                                            {"joint.thickness", "10"},
                                            {"material.alloy", "5083"},
                                            {"wire.designation", "5183"},
                                            {"process.mode", "pulse"}},
                                           builtin_catalog());
  REQUIRE(joint);
  const Expected<SynergicLine> line = synergic_line(*joint, builtin_catalog(), 0.5);
  REQUIRE(line);
  for (std::size_t i = 1; i + 1 < line->rows.size(); ++i) {
    const double steps = line->rows[i].value[F::wire_feed] / 0.5;
    CHECK(steps == doctest::Approx(std::round(steps)));
  }
}

TEST_CASE("every kind of joint has a drawing that stays inside its frame") {
  for (const char* type : {"fillet", "lap", "corner", "edge", "overlay", "butt", "pipe-butt"})
    for (const char* thickness : {"2", "6", "20"}) {
      CAPTURE(type);
      CAPTURE(thickness);
      std::vector<Assignment> keys{{"joint.type", type}, {"joint.thickness", thickness}, {"material.alloy", "S355"}};
      if (std::string_view(type) == "pipe-butt") keys.push_back({"joint.diameter", "168.3"});
      const Plan plan = plan_of(keys);
      const std::string svg = svg_text(draw_joint(plan, 345, 124, Units::metric));
      CHECK(svg.find("class=\"plate\"") != std::string::npos);
      CHECK(svg.find("class=\"weld") != std::string::npos);
      CHECK(svg.find("nan") == std::string::npos);
      // Coordinates of paths: "Mx yLx y...".
      for (std::size_t at = svg.find(" d=\""); at != std::string::npos; at = svg.find(" d=\"", at + 1)) {
        const std::size_t end = svg.find('"', at + 4);
        std::string numbers = svg.substr(at + 4, end - at - 4);
        std::replace_if(
            numbers.begin(), numbers.end(), [](char c) { return c == 'M' || c == 'L' || c == 'Z'; }, ' ');
        const char* p = numbers.c_str();
        for (bool is_x = true;; is_x = !is_x) {
          char* after = nullptr;
          const double v = std::strtod(p, &after);
          if (after == p) break;
          p = after;
          CHECK(v >= -0.01);
          CHECK(v <= (is_x ? 345.01 : 124.01));
        }
      }
    }
}

TEST_CASE("axis ticks are round, inside, and few") {
  for (const auto& [low, high] : {std::pair{0.0, 10.0}, {3.2, 3.9}, {0.001, 0.0042}, {-5.0, 5.0}, {90.0, 480.0}}) {
    const std::vector<double> ticks = axis_ticks(low, high, 6);
    CHECK(ticks.size() >= 2);
    CHECK(ticks.size() <= 7);
    for (const double t : ticks) {
      CHECK(t >= low - 1e-9);
      CHECK(t <= high + 1e-9);
    }
  }
  CHECK(axis_ticks(1, 1, 5).empty());
  CHECK(tick_text(0.2, 0.1) == "0.2");
  CHECK(tick_text(5, 5) == "5");
}

TEST_CASE("markup is harmless") { CHECK(markup_text("<a&\"b\">\x1b") == "&lt;a&amp;&quot;b&quot;&gt;?"); }

TEST_CASE("text plot marks and joins stay inside") {
  TextPlot plot(20, 5, 0, 10, 0, 1);
  plot.join(-5, -5, 15, 5, '*');
  plot.mark(100, 100, 'X');
  const std::string text = plot.text("x", "y");
  CHECK(text.find('*') != std::string::npos);
  CHECK(text.find('X') == std::string::npos);
}
