// Drawings as SVG text, by hand: shapes carry class names, the sheet's style gives them their looks.
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

class Svg {
 public:
  // Units of the drawing are CSS pixels. `title` is read out in place of the picture.
  Svg(double width, double height, std::string_view title);
  void line(std::string_view css_class, DrawPoint from, DrawPoint to);
  void path(std::string_view css_class, const std::vector<DrawPoint>& points, bool closed);
  void circle(std::string_view css_class, DrawPoint centre, double radius);
  void rectangle(std::string_view css_class, DrawPoint corner, double width, double height);
  enum class Anchor : unsigned char { start, middle, end };
  void text(std::string_view css_class, DrawPoint at, std::string_view text, Anchor anchor = Anchor::start);
  void vertical_text(std::string_view css_class, DrawPoint at, std::string_view text);
  [[nodiscard]] std::string finish();

 private:
  std::string out_;
};

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
  void axes(Svg& svg, std::string_view x_label, std::string_view y_label) const;
};

}  // namespace seamwright
