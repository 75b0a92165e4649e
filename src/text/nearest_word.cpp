#include "text/nearest_word.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace seamwright {
namespace {

char fold(char c) { return c == '_' ? '-' : static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

constexpr std::size_t longest_word = 64, farthest = 2;

// Edits (insert, delete, replace, swap of neighbours) from `a` to `b`, whose lengths differ by `farthest` at most.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::array<std::size_t, longest_word + farthest + 1> before{}, last{}, now{};
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const bool same = fold(a[i - 1]) == fold(b[j - 1]);
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + (same ? 0 : 1)});
      if (i > 1 && j > 1 && fold(a[i - 1]) == fold(b[j - 2]) && fold(a[i - 2]) == fold(b[j - 1]))
        now[j] = std::min(now[j], before[j - 2] + 1);
    }
    std::swap(before, last);
    std::swap(last, now);
  }
  return last[b.size()];
}

}  // namespace

std::string_view nearest_word(std::string_view word, std::span<const std::string_view> words) {
  if (word.empty() || word.size() > longest_word) return {};
  std::string_view best;
  std::size_t best_distance = farthest + 1;
  for (const std::string_view candidate : words) {
    const std::size_t longer = std::max(word.size(), candidate.size());
    if (longer - std::min(word.size(), candidate.size()) >= best_distance) continue;
    const std::size_t distance = edit_distance(word, candidate);
    if (distance >= best_distance || distance > longer / 3) continue;
    best = candidate;
    best_distance = distance;
  }
  return best;
}

}  // namespace seamwright
