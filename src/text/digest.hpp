// A short fingerprint of texts, to tell whether two inputs are the same. Not for keeping anything safe.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace seamwright {

// FNV-1a, 64 bit (Fowler, Noll, Vo: offset basis 14695981039346656037, prime 1099511628211). Each part ends with its
// length, so that "ab" + "c" is not "a" + "bc".
class Digest {
 public:
  void add(std::string_view part);
  [[nodiscard]] std::uint64_t value() const { return state_; }
  [[nodiscard]] std::string text() const;   // "fnv1a64:cbf29ce484222325"
  [[nodiscard]] std::string brief() const;  // "4fd0bfc1": both halves folded into one, for a line that is read

 private:
  std::uint64_t state_ = 14695981039346656037ULL;
  void byte(unsigned char b);
};

}  // namespace seamwright
