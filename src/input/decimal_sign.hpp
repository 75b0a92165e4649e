// The decimal sign of the numbers in a list of cells. "1,5" has one reading; "1,500" has two, and is not guessed.
#pragma once

#include <string>
#include <string_view>

namespace seamwright {

enum class DecimalSign : unsigned char { detect, point, comma };

// What the numbers of a row show.
class DecimalMarks {
 public:
  void look(std::string_view cell);
  // The sign that all numbers looked at can have. `detect`: they do not say, or not all the same, and why() tells so.
  [[nodiscard]] DecimalSign sign() const;
  // Empty: the sign does not matter, or is known. Else what is in the way, as the end of a sentence with its next step.
  [[nodiscard]] std::string why() const;

 private:
  bool point_ = false, comma_ = false;
  std::string_view unclear_comma_, unclear_point_, thousands_;  // cells
};

// Commas between digits made points.
void commas_to_points(std::string_view cell, std::string& out);
// Whether a number of the cell has a decimal point.
[[nodiscard]] bool has_decimal_point(std::string_view cell);

}  // namespace seamwright
