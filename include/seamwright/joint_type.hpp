// The kinds of joint and of edge preparation.
#pragma once

#include <cstdint>

namespace seamwright {

enum class JointType : std::uint8_t { fillet, butt, lap, corner, edge, pipe_butt, overlay };
enum class PreparationType : std::uint8_t { square, single_v, double_v, single_bevel, double_bevel, u, j };

}  // namespace seamwright
