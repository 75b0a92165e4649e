// The nearest of some words, for messages about a slip of the pen.
#pragma once

#include <span>
#include <string_view>

namespace seamwright {

// The word of `words` nearest to `word` by edit distance; empty when none is near (distance over 2 and over a third of
// the length).
[[nodiscard]] std::string_view nearest_word(std::string_view word, std::span<const std::string_view> words);

}  // namespace seamwright
