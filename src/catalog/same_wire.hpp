// When two diameters are those of one wire.
#pragma once

namespace seamwright {

inline constexpr double same_wire_mm = 0.0127;  // half a thousandth of an inch: what an inch size is rounded to

}  // namespace seamwright
