// What trial welds said of a user's constants: as a table, JSON, CSV and a plot of what is left over.
#pragma once

#include <string>

#include "present/write_json.hpp"
#include "present/write_table.hpp"
#include "seamwright/calibrate.hpp"
#include "text/drawing.hpp"

namespace seamwright {

inline constexpr int calibrate_schema_number = 1;

[[nodiscard]] std::string calibration_table(const Calibration& calibration, const TrialList& trials,
                                            const TableOptions& options);
// data/calibrate.schema.json describes it.
[[nodiscard]] std::string calibration_json(const Calibration& calibration, const TrialList& trials,
                                           const JsonOptions& options);
// A row a reading.
[[nodiscard]] std::string calibration_csv(const Calibration& calibration, const TrialList& trials);
// Measured over predicted, before and after, by reading: for a terminal, and as an SVG picture.
[[nodiscard]] std::string residual_plot(const Calibration& calibration, const TrialList& trials, std::size_t width);
[[nodiscard]] Drawing draw_residuals(const Calibration& calibration, const TrialList& trials);

}  // namespace seamwright
