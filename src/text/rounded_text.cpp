#include "text/rounded_text.hpp"

#include <fmt/format.h>

#include <charconv>

namespace seamwright {

std::string fixed_text(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.front() == '-' && text.find_first_of("123456789") == std::string::npos) text.erase(0, 1);
  return text;
}

std::string short_text(double value) { return fmt::format("{:.6g}", value == 0 ? 0.0 : value); }

double six_digits(double value) {
  const std::string text = short_text(value);
  double rounded = value;
  std::from_chars(text.data(), text.data() + text.size(), rounded);
  return rounded;
}

}  // namespace seamwright
