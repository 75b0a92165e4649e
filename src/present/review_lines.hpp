// The facts of a weld as labelled lines: the table and the page print the same ones.
#pragma once

#include <string>
#include <vector>

#include "present/write_review.hpp"

namespace seamwright {

struct FactLine {
  std::string label, text;
};
[[nodiscard]] std::vector<FactLine> log_lines(const Review& review);
[[nodiscard]] std::vector<FactLine> weld_lines(const WeldReview& weld, Units units);
[[nodiscard]] std::string weld_heading(const Review& review, std::size_t weld);

struct RangeLine {
  std::string label, range, value, inside, verdict;
  std::vector<std::string> excursions;
};
[[nodiscard]] RangeLine range_line(const RangeReview& range, Units units);
// One sentence: how it stands against the procedure.
[[nodiscard]] std::string review_summary(const Review& review);

[[nodiscard]] std::string seconds_text(double seconds);

}  // namespace seamwright
