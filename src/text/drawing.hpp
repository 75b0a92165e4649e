// Drawings: shapes with looks, kept as a list, and written as SVG text; write_png.hpp makes pixels of the same list.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

struct DrawPoint {
  double x = 0, y = 0;
};

// '&', '<', '>' and quotes made harmless, control characters replaced; for HTML as well.
[[nodiscard]] std::string markup_text(std::string_view text);

enum class Colour : unsigned char {
  none,
  paper,
  ink,
  soft,
  rule,
  region,
  plate,
  weld,
  weld_other,
  edge,
  beyond,
  alarm
};
struct ColourInfo {
  std::string_view name, light, dark;  // light and dark as #rgb or #rrggbb
};
[[nodiscard]] const ColourInfo& colour(Colour c);

// What a shape is; told apart by lightness, dash and letter, not by hue alone.
enum class Look : unsigned char {
  frame,
  tick,
  region,
  edge,
  beyond,
  band,
  box,
  best,
  tag,
  wave,
  level,
  plate,
  weld,
  weld_other,
  bar,
  range,
  trace,
  away,
  axis,
  before,
  after,
  misfit,
  // of text
  small,
  number,
  heading
};
struct LookInfo {
  std::string_view name;
  Colour fill = Colour::none, stroke = Colour::none;
  double stroke_px = 0;
  double dash_px = 0, gap_px = 0;  // 0: a full line
  double text_px = 0;
  bool bold = false;
};
[[nodiscard]] const LookInfo& look(Look l);

enum class Anchor : unsigned char { start, middle, end };

class Drawing {
 public:
  // Without a size, and without a shape.
  Drawing() = default;
  // Units of the drawing are CSS pixels. `title` is read out in place of the picture.
  Drawing(double width, double height, std::string_view title) : width_(width), height_(height), title_(title) {}
  void line(Look look, DrawPoint from, DrawPoint to);
  void path(Look look, std::vector<DrawPoint> points, bool closed);
  void circle(Look look, DrawPoint centre, double radius);
  void rectangle(Look look, DrawPoint corner, double width, double height);
  void text(Look look, DrawPoint at, std::string_view text, Anchor anchor = Anchor::start);
  void vertical_text(Look look, DrawPoint at, std::string_view text);
  // All shapes of another, its upper left corner at `corner`.
  void place(const Drawing& other, DrawPoint corner);
  void set_height(double height) { height_ = height; }

  struct Shape {
    enum class Kind : unsigned char { line, outline, circle, rectangle, text, vertical_text };
    Kind kind = Kind::line;
    Look look = Look::frame;
    std::vector<DrawPoint> points;  // the centre of a circle, the corner of a rectangle, where a text stands
    double width = 0, height = 0;   // of a rectangle; the radius of a circle is its width
    Anchor anchor = Anchor::start;
    std::string text{};
  };
  [[nodiscard]] const std::vector<Shape>& shapes() const { return shapes_; }
  [[nodiscard]] double width() const { return width_; }
  [[nodiscard]] double height() const { return height_; }
  [[nodiscard]] const std::string& title() const { return title_; }
  [[nodiscard]] bool empty() const { return shapes_.empty(); }

 private:
  double width_ = 0, height_ = 0;
  std::string title_;
  std::vector<Shape> shapes_;
};

// For a page that has drawing_style() in its style. Empty for an empty drawing.
[[nodiscard]] std::string svg_text(const Drawing& drawing);
// A file by itself, light, with its looks.
[[nodiscard]] std::string svg_file(const Drawing& drawing);
// CSS for a page: the colours as variables, light and dark, and the looks of shapes.
[[nodiscard]] std::string drawing_style();

// Round numbers for an axis from low to high: at most `most` of them, rising.
[[nodiscard]] std::vector<double> axis_ticks(double low, double high, int most);
// A tick as text: no more decimals than the step between ticks needs.
[[nodiscard]] std::string tick_text(double value, double step);

// A frame with axes; maps values to the drawing.
struct Chart {
  double left = 0, top = 0, width = 0, height = 0;  // of the frame
  double x_low = 0, x_high = 1, y_low = 0, y_high = 1;
  [[nodiscard]] DrawPoint at(double x, double y) const {
    return {left + width * (x - x_low) / (x_high - x_low), top + height * (1 - (y - y_low) / (y_high - y_low))};
  }
  void axes(Drawing& drawing, std::string_view x_label, std::string_view y_label) const;
};

}  // namespace seamwright
