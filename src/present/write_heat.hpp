// The heat report as text.
#pragma once

#include <string>

#include "quantity/quantity_text.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/heat_report.hpp"

namespace seamwright {

[[nodiscard]] double heat_in_units(const HeatItem& item, double metric, Units units);
[[nodiscard]] std::string_view heat_unit(const HeatItem& item, Units units);
// "5.1 s (4.1 to 6.2)", "20 to 54 degC"; empty when there is no number.
[[nodiscard]] std::string heat_value_text(const HeatItem& item, Units units);
// The items of a section, a line or more each, then its findings.
[[nodiscard]] std::string heat_section_text(const HeatSection& section, const Catalog& catalog, Units units,
                                            std::size_t width);

}  // namespace seamwright
