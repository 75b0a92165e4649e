#include "present/sentence_units.hpp"

#include <fmt/format.h>

#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>

#include "seamwright/field.hpp"

namespace seamwright {
namespace {

struct Conversion {
  std::string_view metric, us;
  double factor, offset;
};

// Longest first: "mm" begins "mm/s" and "mm2".
constexpr std::array conversions{
    Conversion{"kJ/mm", "kJ/in", mm_per_in, 0},
    Conversion{"l/min", "ft3/h", 60.0 / 28.316846592, 0},
    Conversion{"m/min", "in/min", 1000.0 / mm_per_in, 0},
    Conversion{"mm/s", "in/min", 60.0 / mm_per_in, 0},
    Conversion{"degC", "degF", 1.8, 32},
    Conversion{"mm2", "in2", 1.0 / (mm_per_in * mm_per_in), 0},
    Conversion{"mm", "in", 1.0 / mm_per_in, 0},
    Conversion{"K", "degF", 1.8, 0},  // a difference of temperatures
};

bool part_of_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '/'; }

// The unit that starts `text`, not running on into a longer word.
const Conversion* unit_at(std::string_view text) {
  for (const Conversion& c : conversions)
    if (text.starts_with(c.metric) && (text.size() == c.metric.size() || !part_of_word(text[c.metric.size()])))
      return &c;
  return nullptr;
}

struct Number {
  double value = 0;
  std::size_t size = 0;
};
std::optional<Number> number_at(std::string_view text) {
  if (text.empty() || (std::isdigit(static_cast<unsigned char>(text[0])) == 0 && text[0] != '-')) return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc{}) return std::nullopt;
  return Number{value, static_cast<std::size_t>(end - text.data())};
}

std::string converted(const Conversion& c, double metric) {
  if (c.us == "in")
    if (std::string fraction = inch_fraction(metric); !fraction.empty()) return fraction;
  const double us = c.factor * metric + c.offset + 0.0;
  return std::abs(us) < 100 ? fmt::format("{:.3g}", us) : fmt::format("{:.0f}", us);
}

// A quantity at the start of `text`: how much of it it takes, and its words in US units.
struct Quantity {
  std::size_t size = 0;
  std::string words;
};
std::optional<Quantity> quantity_at(std::string_view text) {
  const auto first = number_at(text);
  if (!first) return std::nullopt;
  std::string_view rest = text.substr(first->size);
  for (const std::string_view joint : {" to ", "-"}) {
    if (!rest.starts_with(joint)) continue;
    const auto second = number_at(rest.substr(joint.size()));
    if (!second) continue;
    std::string_view after = rest.substr(joint.size() + second->size);
    if (!after.starts_with(' ')) continue;
    if (const Conversion* c = unit_at(after.substr(1)))
      return Quantity{
          text.size() - after.size() + 1 + c->metric.size(),
          fmt::format("{}{}{} {}", converted(*c, first->value), joint, converted(*c, second->value), c->us)};
  }
  if (!rest.starts_with(' ')) return std::nullopt;
  if (const Conversion* c = unit_at(rest.substr(1)))
    return Quantity{first->size + 1 + c->metric.size(), fmt::format("{} {}", converted(*c, first->value), c->us)};
  return std::nullopt;
}

}  // namespace

std::string sentence_in_units(std::string_view sentence, Units units) {
  std::string out;
  append_in_units(out, sentence, units);
  return out;
}

void append_in_units(std::string& out, std::string_view sentence, Units units) {
  if (units == Units::metric) {
    out += sentence;
    return;
  }
  for (std::size_t i = 0; i < sentence.size();) {
    const bool inside_word = i > 0 && (part_of_word(sentence[i - 1]) || sentence[i - 1] == '.');
    if (const auto quantity = inside_word ? std::nullopt : quantity_at(sentence.substr(i))) {
      out += quantity->words;
      i += quantity->size;
    } else {
      out += sentence[i++];
    }
  }
}

}  // namespace seamwright
