// Rows of cells for a terminal: in columns where the screen has room for them, stacked below each other where it has
// not.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace seamwright {

struct GridFact {
  std::string_view label;
  std::string value;
  std::string_view unit;
};

// "wire feed: 10.63 m/min +- 0.43 m/min, low 9.61 m/min, high 12.40 m/min": what a row says of `term`, from column `at`
// on, no fact over two lines that has room in one. Facts without a value, or with "-", are left out; "+-" goes with the
// one before.
void append_stacked(std::string& out, std::string_view term, const std::vector<GridFact>& facts, std::size_t at,
                    std::size_t width);

struct GridColumn {
  std::string_view label, unit;
  bool unit_in_title = true;  // false: the unit is that of the column before, and told where the row is stacked
};

// The first column to the left, the others to the right, the last one words that need no title where it is stacked.
class TextGrid {
 public:
  explicit TextGrid(std::vector<GridColumn> columns) : columns_(std::move(columns)) {}
  void add(std::vector<std::string> cells) { rows_.push_back(std::move(cells)); }
  // Each row a line; the words under it where only they are too long for the screen; all stacked where more is.
  [[nodiscard]] std::string text(std::size_t indent, std::size_t width) const;

 private:
  std::vector<GridColumn> columns_;
  std::vector<std::vector<std::string>> rows_;
  void append_row(std::string& out, const std::vector<std::string>& cells, const std::vector<std::size_t>& widths,
                  bool words_beside, std::size_t indent, std::size_t width) const;
};

}  // namespace seamwright
