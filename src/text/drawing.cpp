#include "text/drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "text/foreign_text.hpp"
#include "text/rounded_text.hpp"

namespace seamwright {
namespace {

// A hundredth of a pixel is finer than any printer.
std::string coordinate(double value) {
  std::string text = fixed_text(value, 2);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

constexpr std::size_t colours = static_cast<std::size_t>(Colour::alarm) + 1;
constexpr std::size_t looks = static_cast<std::size_t>(Look::heading) + 1;

// CSS of every look; `paint` says how a colour is written.
template <typename Paint>
std::string look_rules(const Paint& paint) {
  std::string out = "svg text { font-family: \"DejaVu Sans\", \"Liberation Sans\", Arial, sans-serif; }\n";
  for (std::size_t i = 0; i < looks; ++i) {
    const LookInfo& l = look(static_cast<Look>(i));
    out += fmt::format("svg .{} {{ fill: {};", l.name, paint(l.fill));
    if (l.text_px > 0) out += fmt::format(" font-size: {}px;{}", l.text_px, l.bold ? " font-weight: bold;" : "");
    if (l.stroke != Colour::none) out += fmt::format(" stroke: {}; stroke-width: {};", paint(l.stroke), l.stroke_px);
    if (l.dash_px > 0) out += fmt::format(" stroke-dasharray: {} {};", l.dash_px, l.gap_px);
    out += " }\n";
  }
  return out;
}

void append_shape(std::string& out, const Drawing::Shape& s) {
  using Kind = Drawing::Shape::Kind;
  const std::string_view name = look(s.look).name;
  const std::string x = coordinate(s.points.front().x), y = coordinate(s.points.front().y);
  switch (s.kind) {
    case Kind::line:
    case Kind::outline:
      out += fmt::format("<path class=\"{}\" d=\"", name);
      for (std::size_t i = 0; i < s.points.size(); ++i)
        out += fmt::format("{}{} {}", i == 0 ? "M" : "L", coordinate(s.points[i].x), coordinate(s.points[i].y));
      out += s.kind == Kind::outline ? "Z\"/>\n" : "\"/>\n";
      break;
    case Kind::circle:
      out += fmt::format("<circle class=\"{}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n", name, x, y, coordinate(s.width));
      break;
    case Kind::rectangle:
      out += fmt::format("<rect class=\"{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>\n", name, x, y,
                         coordinate(s.width), coordinate(s.height));
      break;
    case Kind::text:
    case Kind::vertical_text: {
      const std::string_view anchor = s.anchor == Anchor::start    ? "start"
                                      : s.anchor == Anchor::middle ? "middle"
                                                                   : "end";
      out += fmt::format("<text class=\"{}\" x=\"{}\" y=\"{}\" text-anchor=\"{}\"{}>{}</text>\n", name, x, y, anchor,
                         s.kind == Kind::text ? "" : fmt::format(" transform=\"rotate(-90 {} {})\"", x, y),
                         markup_text(s.text));
      break;
    }
  }
}

std::string svg(const Drawing& drawing, std::string_view attributes, std::string_view first) {
  std::string out = fmt::format(
      "<svg{3} viewBox=\"0 0 {0} {1}\" width=\"{0}\" height=\"{1}\" role=\"img\"><title>{2}</title>\n{4}",
      coordinate(drawing.width()), coordinate(drawing.height()), markup_text(drawing.title()), attributes, first);
  for (const Drawing::Shape& shape : drawing.shapes()) append_shape(out, shape);
  return out + "</svg>\n";
}

}  // namespace

std::string markup_text(std::string_view text) {
  std::string out;
  for (const char c : printable(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

const ColourInfo& colour(Colour c) {
  static constexpr std::array<ColourInfo, 12> table{{{"none", "none", "none"},
                                                     {"paper", "#fff", "#14191e"},
                                                     {"ink", "#16202a", "#e8edf1"},
                                                     {"soft", "#55616d", "#a3afba"},
                                                     {"rule", "#c3cad1", "#46525d"},
                                                     {"region", "#cfe0ee", "#24435c"},
                                                     {"plate", "#d5dade", "#46515b"},
                                                     {"weld", "#8fa9bf", "#6d93b3"},
                                                     {"weld-other", "#b9cbda", "#4d7190"},
                                                     {"edge", "#1f4f7a", "#9cc9ee"},
                                                     {"beyond", "#8b98a4", "#75828e"},
                                                     {"alarm", "#8a2a12", "#ffb199"}}};
  return table[static_cast<std::size_t>(c)];
}

const LookInfo& look(Look l) {
  using enum Colour;
  static constexpr std::array<LookInfo, looks> table{{
      {.name = "frame", .stroke = soft, .stroke_px = 0.8},
      {.name = "tick", .stroke = soft, .stroke_px = 0.8},
      {.name = "region", .fill = region},
      {.name = "edge", .stroke = edge, .stroke_px = 2},
      {.name = "beyond", .stroke = beyond, .stroke_px = 0.7, .dash_px = 1.5, .gap_px = 2.5},
      {.name = "band", .stroke = ink, .stroke_px = 1.4, .dash_px = 6, .gap_px = 3},
      {.name = "box", .stroke = ink, .stroke_px = 1.4},
      {.name = "best", .fill = ink},
      {.name = "tag", .fill = paper, .stroke = edge, .stroke_px = 1},
      {.name = "wave", .stroke = edge, .stroke_px = 1.8},
      {.name = "level", .stroke = soft, .stroke_px = 0.7, .dash_px = 3, .gap_px = 3},
      {.name = "plate", .fill = plate, .stroke = ink, .stroke_px = 0.8},
      {.name = "weld", .fill = weld, .stroke = ink, .stroke_px = 0.8},
      {.name = "weld-other", .fill = weld_other, .stroke = ink, .stroke_px = 0.8},
      {.name = "bar", .stroke = ink, .stroke_px = 2.4},
      {.name = "range", .fill = region},
      {.name = "trace", .fill = edge, .stroke = edge, .stroke_px = 0.7},
      {.name = "away", .stroke = alarm, .stroke_px = 3},
      {.name = "axis", .stroke = ink, .stroke_px = 1},
      {.name = "before", .stroke = soft, .stroke_px = 1},
      {.name = "after", .fill = ink},
      {.name = "misfit", .fill = paper, .stroke = ink, .stroke_px = 1},
      {.name = "small", .fill = soft, .text_px = 8.4},
      {.name = "number", .fill = ink, .text_px = 9, .bold = true},
      {.name = "heading", .fill = ink, .text_px = 11, .bold = true},
  }};
  return table[static_cast<std::size_t>(l)];
}

void Drawing::line(Look look, DrawPoint from, DrawPoint to) { path(look, {from, to}, false); }

void Drawing::path(Look look, std::vector<DrawPoint> points, bool closed) {
  if (points.size() < 2) return;
  shapes_.push_back(
      {.kind = closed ? Shape::Kind::outline : Shape::Kind::line, .look = look, .points = std::move(points)});
}

void Drawing::circle(Look look, DrawPoint centre, double radius) {
  shapes_.push_back({.kind = Shape::Kind::circle, .look = look, .points = {centre}, .width = radius});
}

void Drawing::rectangle(Look look, DrawPoint corner, double width, double height) {
  shapes_.push_back({.kind = Shape::Kind::rectangle,
                     .look = look,
                     .points = {corner},
                     .width = std::max(0.0, width),
                     .height = std::max(0.0, height)});
}

void Drawing::text(Look look, DrawPoint at, std::string_view text, Anchor anchor) {
  shapes_.push_back(
      {.kind = Shape::Kind::text, .look = look, .points = {at}, .anchor = anchor, .text = std::string(text)});
}

void Drawing::vertical_text(Look look, DrawPoint at, std::string_view text) {
  shapes_.push_back({.kind = Shape::Kind::vertical_text,
                     .look = look,
                     .points = {at},
                     .anchor = Anchor::middle,
                     .text = std::string(text)});
}

void Drawing::place(const Drawing& other, DrawPoint corner) {
  for (Shape shape : other.shapes()) {
    for (DrawPoint& p : shape.points) p = {p.x + corner.x, p.y + corner.y};
    shapes_.push_back(std::move(shape));
  }
}

std::string svg_text(const Drawing& drawing) { return drawing.empty() ? std::string() : svg(drawing, {}, {}); }

std::string svg_file(const Drawing& drawing) {
  return svg(
      drawing, " xmlns=\"http://www.w3.org/2000/svg\"",
      fmt::format("<style>{}</style>\n<rect width=\"100%\" height=\"100%\" fill=\"{}\"/>\n",
                  look_rules([](Colour c) { return std::string(colour(c).light); }), colour(Colour::paper).light));
}

std::string drawing_style() {
  std::string light, dark;
  for (std::size_t i = 1; i < colours; ++i) {
    const ColourInfo& c = colour(static_cast<Colour>(i));
    light += fmt::format(" --{}: {};", c.name, c.light);
    dark += fmt::format(" --{}: {};", c.name, c.dark);
  }
  return fmt::format(":root {{{} }}\n@media screen and (prefers-color-scheme: dark) {{ :root {{{} }} }}\n{}", light,
                     dark, look_rules([](Colour c) {
                       return c == Colour::none ? std::string("none") : fmt::format("var(--{})", colour(c).name);
                     }));
}

std::vector<double> axis_ticks(double low, double high, int most) {
  std::vector<double> ticks;
  if (!(high > low) || most < 1) return ticks;
  const double rough = (high - low) / most;
  const double decade = std::pow(10.0, std::floor(std::log10(rough)));
  double step = 10 * decade;
  for (const double nice : {1.0, 2.0, 5.0})
    if (nice * decade >= rough) {
      step = nice * decade;
      break;
    }
  for (double k = std::ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; ++k) ticks.push_back(k * step);
  return ticks;
}

std::string tick_text(double value, double step) {
  return fixed_text(value, std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9))));
}

void Chart::axes(Drawing& drawing, std::string_view x_label, std::string_view y_label) const {
  drawing.rectangle(Look::frame, {left, top}, width, height);
  const auto step_of = [](const std::vector<double>& ticks) { return ticks.size() > 1 ? ticks[1] - ticks[0] : 1.0; };
  const std::vector<double> xs = axis_ticks(x_low, x_high, 6), ys = axis_ticks(y_low, y_high, 5);
  for (const double x : xs) {
    const DrawPoint p = at(x, y_low);
    drawing.line(Look::tick, p, {p.x, p.y + 3});
    drawing.text(Look::small, {p.x, p.y + 12}, tick_text(x, step_of(xs)), Anchor::middle);
  }
  for (const double y : ys) {
    const DrawPoint p = at(x_low, y);
    drawing.line(Look::tick, {p.x - 3, p.y}, p);
    drawing.text(Look::small, {p.x - 5, p.y + 3}, tick_text(y, step_of(ys)), Anchor::end);
  }
  drawing.text(Look::small, {left + width / 2, top + height + 24}, x_label, Anchor::middle);
  drawing.vertical_text(Look::small, {left - 27, top + height / 2}, y_label);
}

}  // namespace seamwright
