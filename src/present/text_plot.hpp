// Pictures in plain characters for a terminal.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/synergic_line.hpp"
#include "seamwright/window_map.hpp"

namespace seamwright {

class TextPlot {
 public:
  TextPlot(int columns, int rows, double x_low, double x_high, double y_low, double y_high);
  void mark(double x, double y, char c);
  // A line of marks without gaps in x or y, over what is there.
  void join(double x0, double y0, double x1, double y1, char c);
  [[nodiscard]] std::string text(std::string_view x_label, std::string_view y_label) const;

 private:
  int columns_, rows_;
  double x_low_, x_high_, y_low_, y_high_;
  std::vector<std::string> cells_;
};

[[nodiscard]] std::string window_map_plot(const WindowMap& map, const PassResult& pass, std::size_t width, Units units);
// Empty without a pulse; feed against time too in double pulse.
[[nodiscard]] std::string waveform_plot(const PassResult& pass, double share, std::size_t width, Units units);

}  // namespace seamwright
