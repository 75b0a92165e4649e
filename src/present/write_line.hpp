// The one-knob line as a table, as CSV and as a plot; write_json.cpp has it as JSON.
#pragma once

#include <optional>
#include <string>

#include "present/write_table.hpp"
#include "quantity/quantity_text.hpp"
#include "seamwright/synergic_line.hpp"

namespace seamwright {

// The quantities of a line in its mode, in their order.
[[nodiscard]] std::vector<F> line_fields(Mode mode);
// The range of a quantity at a row, where it has one: the voltage's trim window, the usual current rise, the peak.
[[nodiscard]] std::optional<Interval> line_range(const SynergicLine& line, const LineRow& row, F id);
// Plates a feed suits, as spans: "3-6, 10"; "-" when none.
[[nodiscard]] std::string plates_text(const SynergicLine& line, JointType type, double wire_feed_m_per_min,
                                      Units units);

[[nodiscard]] std::string line_table(const SynergicLine& line, const TableOptions& options);
[[nodiscard]] std::string line_csv(const SynergicLine& line, Units units);
[[nodiscard]] std::string line_plot(const SynergicLine& line, std::size_t width, Units units);

}  // namespace seamwright
