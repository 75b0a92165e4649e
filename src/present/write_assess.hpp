// An assessed setting as text and CSV. Its JSON is written in write_trial_json.cpp.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/assess.hpp"

namespace seamwright {

struct AssessTextOptions {
  Units units = Units::metric;
  std::size_t width = 100;
  bool color = false;
  std::string_view program_version;
};

// "sound", "likely", "try-on-scrap", or "broken" where a limit is.
[[nodiscard]] std::string_view verdict_key(const Assessment& assessment);

[[nodiscard]] std::string assess_table(const Assessment& assessment, const AssessTextOptions& options);

// CSV: `leading` are columns of the caller's own. A row for each assessment; the message stands for one that failed.
void append_assess_csv_header(std::string& out, const std::vector<std::string>& leading, Units units);
void append_assess_csv(std::string& out, const std::vector<std::string>& leading, const Assessment& assessment,
                       Units units);
void append_assess_csv_error(std::string& out, const std::vector<std::string>& leading, std::string_view message);

// data/assess.schema.json describes it. `one_line`: for NDJSON.
[[nodiscard]] std::string assess_json(const Assessment& assessment, Units units, std::string_view program_version,
                                      bool one_line);

}  // namespace seamwright
