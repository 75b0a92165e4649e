#include "text/digest.hpp"

#include <fmt/format.h>

namespace seamwright {

void Digest::byte(unsigned char b) {
  constexpr std::uint64_t prime = 1099511628211ULL;
  state_ = (state_ ^ b) * prime;
}

void Digest::add(std::string_view part) {
  for (const char c : part) byte(static_cast<unsigned char>(c));
  constexpr int bytes = 8, bits = 8;
  for (int i = 0; i < bytes; ++i) byte(static_cast<unsigned char>((std::uint64_t{part.size()} >> (bits * i)) & 0xffU));
}

std::string Digest::text() const { return fmt::format("fnv1a64:{:016x}", state_); }

std::string Digest::brief() const {
  constexpr int half = 32;
  return fmt::format("{:08x}", (state_ ^ (state_ >> half)) & 0xffffffffU);
}

}  // namespace seamwright
