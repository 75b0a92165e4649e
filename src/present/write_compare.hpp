// A comparison as text. Its JSON is written in write_trial_json.cpp.
#pragma once

#include <string>
#include <string_view>

#include "quantity/quantity_text.hpp"
#include "seamwright/compare.hpp"

namespace seamwright {

struct CompareTextOptions {
  Units units = Units::metric;
  std::size_t width = 100;
  bool color = false;
};
[[nodiscard]] std::string compare_table(const Comparison& comparison, const CompareTextOptions& options);

// data/compare.schema.json describes it.
[[nodiscard]] std::string compare_json(const Comparison& comparison, Units units, std::string_view program_version,
                                       const Catalog& catalog);

}  // namespace seamwright
