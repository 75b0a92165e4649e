// Quantities on their way out, in the units asked for, for every presenter.
#pragma once

#include <string>
#include <string_view>

#include "seamwright/field.hpp"
#include "text/rounded_text.hpp"

namespace seamwright {

enum class Units : unsigned char { metric, us };

[[nodiscard]] double in_units(const FieldInfo& info, double metric, Units units);
// A difference (a half-width, a shortfall): scaled, not shifted.
[[nodiscard]] double difference_in_units(const FieldInfo& info, double metric, Units units);
[[nodiscard]] std::string_view unit_of(const FieldInfo& info, Units units);
// The same; of a cost the currency.
[[nodiscard]] std::string_view unit_of(const FieldInfo& info, Units units, std::string_view currency);

// At the field's decimals, without its unit.
[[nodiscard]] std::string quantity_text(const FieldInfo& info, double metric, Units units);
// With its unit, if it has one: "7.20 m/min".
[[nodiscard]] std::string quantity_with_unit(const FieldInfo& info, double metric, Units units);
[[nodiscard]] std::string difference_text(const FieldInfo& info, double metric, Units units);

// A gas flow given in l/min: l/min, ft3/h.
[[nodiscard]] double flow_in_units(double l_per_min, Units units);
[[nodiscard]] std::string_view flow_unit(Units units);
[[nodiscard]] std::string flow_text(double l_per_min, Units units);

// Of what joint totals are told where its length is not given: a metre, a foot.
[[nodiscard]] double unit_length_mm(Units units);
[[nodiscard]] double length_in_units(double mm, Units units);
[[nodiscard]] std::string_view length_unit(Units units);
// A length given in mm with its unit: "6 mm", "0.236 in", and "1/4 in" or "1 1/2 in" where it is a fraction that ends
// at sixty-fourths.
[[nodiscard]] std::string length_text(double mm, Units units);
// The fraction alone, "1 1/2"; empty where there is none.
[[nodiscard]] std::string inch_fraction(double mm);

}  // namespace seamwright
