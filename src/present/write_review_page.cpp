// A page with the trace of the log: lowest and highest reading of each stretch, ranges shaded, excursions marked.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "present/review_lines.hpp"
#include "text/drawing.hpp"

namespace seamwright {
namespace {

constexpr std::string_view style = R"(
html { background: var(--paper); color: var(--ink); }
body { margin: 0 auto; max-width: 980px; padding: 12px;
  font: 12.5px/1.35 "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
h1 { font-size: 1.5em; margin: 0; }
h2 { font-size: 1.1em; margin: 1em 0 0.2em; border-bottom: 1px solid var(--edge); }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: 1px 8px 1px 0; border-bottom: 1px solid var(--rule);
  font-weight: normal; }
th { color: var(--soft); }
.outside { color: var(--alarm); font-weight: bold; }
svg { display: block; width: 100%; height: auto; }
@page { margin: 10mm; }
)";

constexpr double width = 940, height = 210, margin_left = 46, margin_bottom = 34, margin_top = 10, margin_right = 8;

Drawing chart(const Review& review, F id, Traced q, Units units) {
  double top = 0;
  for (const TraceStep& s : review.trace)
    if (std::isfinite(s[q].high)) top = std::max(top, s[q].high);
  if (!(top > 0)) return {};
  const FieldInfo& info = field(id);
  const auto y = [&](double metric) { return in_units(info, metric, units); };
  Drawing drawing(width, height, fmt::format("{} over time", info.label));
  const Chart frame{margin_left,
                    margin_top,
                    width - margin_left - margin_right,
                    height - margin_top - margin_bottom,
                    review.start_s,
                    std::max(review.end_s, review.start_s + 1e-3),
                    0,
                    1.05 * y(top)};
  for (const WeldReview& w : review.welds)
    for (const RangeReview& r : w.ranges) {
      if (r.field != id) continue;
      const DrawPoint upper = frame.at(w.start_s, std::min(y(r.range.high), frame.y_high));
      const DrawPoint lower = frame.at(w.end_s, std::clamp(y(r.range.low), 0.0, frame.y_high));
      drawing.rectangle(Look::range, upper, lower.x - upper.x, lower.y - upper.y);
    }
  for (std::size_t i = 0; i < review.trace.size();) {  // stretches that hang together
    std::vector<DrawPoint> outline, back;
    do {
      const TraceStep& s = review.trace[i];
      if (std::isfinite(s[q].low)) {
        const double x = 0.5 * (s.from_s + s.to_s);
        outline.push_back(frame.at(x, y(s[q].high)));
        back.push_back(frame.at(x, y(s[q].low)));
      }
      ++i;
    } while (i < review.trace.size() && review.trace[i].from_s <= review.trace[i - 1].to_s + 1e-9);
    outline.insert(outline.end(), back.rbegin(), back.rend());
    drawing.path(Look::trace, outline, true);
  }
  for (const WeldReview& w : review.welds)
    for (const RangeReview& r : w.ranges)
      if (r.field == id)
        for (const Excursion& e : r.listed)
          drawing.line(Look::away, frame.at(e.start_s, frame.y_high), frame.at(e.start_s + e.length_s, frame.y_high));
  frame.axes(drawing, "time, s", fmt::format("{}, {}", info.label, unit_of(info, units)));
  return drawing;
}

void append_rows(std::string& out, const std::vector<FactLine>& lines) {
  out += "<table>\n";
  for (const FactLine& line : lines)
    out +=
        fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td></tr>\n", markup_text(line.label), markup_text(line.text));
  out += "</table>\n";
}

void append_ranges(std::string& out, const WeldReview& weld, Units units) {
  if (weld.ranges.empty()) return;
  out +=
      "<table>\n<tr><th scope=\"col\">Range</th><th scope=\"col\">Stated</th><th scope=\"col\">The weld</th><th "
      "scope=\"col\">Time inside</th><th scope=\"col\">Verdict</th><th scope=\"col\">Excursions</th></tr>\n";
  for (const RangeReview& r : weld.ranges) {
    const RangeLine line = range_line(r, units);
    std::string excursions;
    for (const std::string& text : line.excursions) excursions += (excursions.empty() ? "" : "; ") + text;
    out += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td{}>{}</td><td>{}</td></tr>\n",
                       markup_text(line.label), markup_text(line.range), markup_text(line.value), line.inside,
                       r.outside ? " class=\"outside\"" : "", line.verdict, markup_text(excursions));
  }
  out += "</table>\n";
}

}  // namespace

std::string review_page(const Review& review, const ReviewText& o) {
  std::string out = fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
      "content=\"width=device-width, initial-scale=1\">\n<title>{0}</title>\n<style>{1}{2}</style>\n</head>\n<body>\n"
      "<h1>{0}</h1>\n",
      markup_text(review.file), style, drawing_style());
  if (!o.procedure.empty())
    out += fmt::format("<p{}>Against procedure {}: {}</p>\n", review.outside ? " class=\"outside\"" : "",
                       markup_text(o.procedure), markup_text(review_summary(review)));
  for (const auto& [id, traced] : {std::pair(F::current, Traced::current), std::pair(F::voltage, Traced::voltage),
                                   std::pair(F::wire_feed, Traced::feed), std::pair(F::travel, Traced::travel)})
    out += svg_text(chart(review, id, traced, o.units));
  out +=
      "<p>Lowest and highest reading of each stretch. Shaded: the stated range of the mean. Marked at the top: the "
      "running mean is outside.</p>\n<h2>The log</h2>\n";
  append_rows(out, log_lines(review));
  if (review.welds.empty()) out += "<p>No weld found.</p>\n";
  for (std::size_t i = 0; i < review.welds.size(); ++i) {
    out += fmt::format("<h2>{}</h2>\n", markup_text(weld_heading(review, i)));
    append_rows(out, weld_lines(review.welds[i], o.units));
    append_ranges(out, review.welds[i], o.units);
  }
  return out + fmt::format(
                   "<p>seamwright {}, data {}. The qualified procedure and the responsible coordinator decide.</p>\n"
                   "</body>\n</html>\n",
                   markup_text(o.program_version), markup_text(o.data_version));
}

}  // namespace seamwright
