// Quantities inside sentences. Reasons, remarks and findings are composed in metric units; this puts a sentence into
// US units for the presenters, in every format. A difference of temperatures is written in K.
#pragma once

#include <string>
#include <string_view>

#include "quantity/quantity_text.hpp"

namespace seamwright {

// "3 to 12 mm/s" becomes "7.09 to 28.3 in/min" in US units, three significant digits or whole numbers; everything else
// stays as it is. A number counts as a quantity where a known unit follows it, alone or as the upper end of "a to b" or
// "a-b".
[[nodiscard]] std::string sentence_in_units(std::string_view sentence, Units units);
void append_in_units(std::string& out, std::string_view sentence, Units units);

}  // namespace seamwright
