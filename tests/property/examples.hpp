// Every example that is a joint, in the order of their names.
#pragma once

#include <vector>

#include "seamwright/joint.hpp"

namespace seamwright::test {

[[nodiscard]] std::vector<Joint> example_joints();

}  // namespace seamwright::test
