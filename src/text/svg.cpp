#include "text/svg.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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

Svg::Svg(double width, double height, std::string_view title)
    : out_(fmt::format("<svg viewBox=\"0 0 {0} {1}\" width=\"{0}\" height=\"{1}\" role=\"img\"><title>{2}</title>\n",
                       coordinate(width), coordinate(height), markup_text(title))) {}

void Svg::line(std::string_view css_class, DrawPoint from, DrawPoint to) { path(css_class, {from, to}, false); }

void Svg::path(std::string_view css_class, const std::vector<DrawPoint>& points, bool closed) {
  if (points.size() < 2) return;
  out_ += fmt::format("<path class=\"{}\" d=\"", css_class);
  for (std::size_t i = 0; i < points.size(); ++i)
    out_ += fmt::format("{}{} {}", i == 0 ? "M" : "L", coordinate(points[i].x), coordinate(points[i].y));
  out_ += closed ? "Z\"/>\n" : "\"/>\n";
}

void Svg::circle(std::string_view css_class, DrawPoint c, double radius) {
  out_ += fmt::format("<circle class=\"{}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n", css_class, coordinate(c.x),
                      coordinate(c.y), coordinate(radius));
}

void Svg::rectangle(std::string_view css_class, DrawPoint corner, double width, double height) {
  out_ += fmt::format("<rect class=\"{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>\n", css_class,
                      coordinate(corner.x), coordinate(corner.y), coordinate(std::max(0.0, width)),
                      coordinate(std::max(0.0, height)));
}

void Svg::text(std::string_view css_class, DrawPoint at, std::string_view text, Anchor anchor) {
  const std::string_view word = anchor == Anchor::start ? "start" : anchor == Anchor::middle ? "middle" : "end";
  out_ += fmt::format("<text class=\"{}\" x=\"{}\" y=\"{}\" text-anchor=\"{}\">{}</text>\n", css_class,
                      coordinate(at.x), coordinate(at.y), word, markup_text(text));
}

void Svg::vertical_text(std::string_view css_class, DrawPoint at, std::string_view text) {
  out_ += fmt::format(
      "<text class=\"{0}\" x=\"{1}\" y=\"{2}\" text-anchor=\"middle\" transform=\"rotate(-90 {1} {2})\">"
      "{3}</text>\n",
      css_class, coordinate(at.x), coordinate(at.y), markup_text(text));
}

std::string Svg::finish() { return std::move(out_) + "</svg>\n"; }

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

void Chart::axes(Svg& svg, std::string_view x_label, std::string_view y_label) const {
  svg.rectangle("frame", {left, top}, width, height);
  const auto step_of = [](const std::vector<double>& ticks) { return ticks.size() > 1 ? ticks[1] - ticks[0] : 1.0; };
  const std::vector<double> xs = axis_ticks(x_low, x_high, 6), ys = axis_ticks(y_low, y_high, 5);
  for (const double x : xs) {
    const DrawPoint p = at(x, y_low);
    svg.line("tick", p, {p.x, p.y + 3});
    svg.text("small", {p.x, p.y + 12}, tick_text(x, step_of(xs)), Svg::Anchor::middle);
  }
  for (const double y : ys) {
    const DrawPoint p = at(x_low, y);
    svg.line("tick", {p.x - 3, p.y}, p);
    svg.text("small", {p.x - 5, p.y + 3}, tick_text(y, step_of(ys)), Svg::Anchor::end);
  }
  svg.text("small", {left + width / 2, top + height + 24}, x_label, Svg::Anchor::middle);
  svg.vertical_text("small", {left - 27, top + height / 2}, y_label);
}

}  // namespace seamwright
