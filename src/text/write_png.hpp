// A drawing as pixels: what svg_file() draws, light, as a PNG file.
#pragma once

#include <string>

#include "text/drawing.hpp"

namespace seamwright {

// The bytes of a PNG file (ISO/IEC 15948), 24-bit colour, `scale` pixels for each of the drawing's. Letters are drawn
// as strokes; those that are no ASCII as '?'. The same drawing gives the same bytes. Empty where the drawing is empty
// or too large to be held.
[[nodiscard]] std::string png_file(const Drawing& drawing, double scale);

}  // namespace seamwright
