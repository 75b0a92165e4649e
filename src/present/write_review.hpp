// A reviewed log as table, JSON, CSV, page, picture for a terminal, and rows of trials.
#pragma once

#include <string>
#include <string_view>

#include "quantity/quantity_text.hpp"
#include "seamwright/review.hpp"

namespace seamwright {

struct ReviewText {
  Units units = Units::metric;
  std::size_t width = 100;
  bool color = false;
  std::string_view program_version, data_version;
  std::string procedure;  // its number and title; empty: facts only
};

[[nodiscard]] std::string review_table(const Review& review, const ReviewText& options);
// data/review.schema.json describes it.
[[nodiscard]] std::string review_json(const Review& review, const ReviewText& options);
// RFC 4180, a row a weld.
[[nodiscard]] std::string review_csv(const Review& review, const ReviewText& options);
[[nodiscard]] std::string review_page(const Review& review, const ReviewText& options);
[[nodiscard]] std::string review_plot(const Review& review, const ReviewText& options);

// What the weld was made with, as the user or the procedure says; empty where nobody does.
struct TrialSetup {
  std::string wire, diameter, gas, mode, extension;
};
// CSV, a row a weld: what `calibrate` reads.
[[nodiscard]] std::string trial_rows(const Review& review, const TrialSetup& setup);

// "inside", "outside", "not recorded"
[[nodiscard]] std::string_view range_verdict(const RangeReview& range);

}  // namespace seamwright
