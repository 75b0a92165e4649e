#include "seamwright/equipment.hpp"

namespace seamwright {

double dial_reading(const Dial& dial, double value) { return dial.at_zero + (value - dial.zero_value) / dial.per_step; }

}  // namespace seamwright
