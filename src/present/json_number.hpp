// JSON as every output writes it: members keep their order, numbers have six digits, and what is none is null.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>

#include "text/rounded_text.hpp"

namespace seamwright {

using Json = nlohmann::ordered_json;

[[nodiscard]] inline Json json_number(double value) {
  return std::isfinite(value) ? Json(six_digits(value)) : Json(nullptr);
}

}  // namespace seamwright
