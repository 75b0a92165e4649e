// Values of TOML files and command-line keys turned into numbers, ranges and words, with the messages for what does not
// fit. Used for joints and equipment alike.
#pragma once

#include <fmt/format.h>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "input/enum_words.hpp"
#include "seamwright/input.hpp"
#include "text/toml_document.hpp"
#include "text/units_text.hpp"

namespace seamwright {

// A value under its full key ("joint.thickness") and where it stands.
struct Entry {
  std::string path;
  const TomlValue* value = nullptr;
  Place place;      // of the value
  Place key_place;  // of the key
};

// No dial has a larger one.
inline constexpr double largest_dial_number = 1e6;

// Unit and bounds of a number. Bounds are included.
struct NumberRule {
  std::string_view unit;
  double low = 0, high = 0;
};
[[nodiscard]] std::string rule_text(const NumberRule& rule);  // "0.5 to 200 mm"

class ValueReader {
 public:
  [[nodiscard]] std::optional<double> number(const Entry& entry, const NumberRule& rule);
  [[nodiscard]] std::optional<int> integer(const Entry& entry, int low, int high);
  // A string range, one number, [low, high], or { min = , max = }. Open ends are infinite and skip the bounds.
  [[nodiscard]] std::optional<Interval> interval(const Entry& entry, const NumberRule& rule, bool open_ends);
  [[nodiscard]] std::optional<bool> boolean(const Entry& entry);
  // Into the entry. A bare number counts as its text: alloy = 5083.
  [[nodiscard]] std::optional<std::string_view> text(const Entry& entry);
  template <class E>
  [[nodiscard]] std::optional<E> word(const Entry& entry) {
    const auto given = text(entry);
    if (!given) return std::nullopt;
    for (const Word<E>& known : words_of<E>())
      if (known.key == *given) return known.value;
    std::vector<std::string_view> keys;
    for (const Word<E>& known : words_of<E>()) keys.push_back(known.key);
    unknown_word(entry, *given, keys);
    return std::nullopt;
  }
  // "did you mean" with the nearest of `known` and the list of all.
  void unknown_word(const Entry& entry, std::string_view given, std::span<const std::string_view> known);
  // A key that is in no table; `known` holds full paths, and the command `listed_by` prints them.
  void unknown_key(const Entry& entry, std::span<const std::string_view> known,
                   std::string_view listed_by = "help keys");
  void fail(const Place& place, std::string message, std::string help = {}) {
    errors.push_back({place, std::move(message), std::move(help)});
  }
  Diagnostics errors;

 private:
  std::optional<double> bare_number(const Entry& entry, const TomlValue& value, const NumberRule& rule);
  bool in_bounds(const Entry& entry, double value, const NumberRule& rule);
  void wrong_kind(const Entry& entry, std::string_view expected, std::string help);
  template <class T>
  std::optional<T> take(const Entry& entry, const Expected<T>& result) {
    if (result) return *result;
    for (const Diagnostic& d : result.errors()) fail(entry.place, fmt::format("{}: {}", entry.path, d.message), d.help);
    return std::nullopt;
  }
};

// The known full key nearest to a wrong one: the right name in the wrong table, or a misspelt name; empty when none is.
[[nodiscard]] std::string_view nearest_key(std::string_view path, std::span<const std::string_view> known);

// Entries of a document: the tables named in `containers` are opened, everything else is a value. A '#' in such a name
// stands for a whole number.
[[nodiscard]] std::vector<Entry> flatten(const TomlValue& document, const std::string& name,
                                         std::span<const std::string_view> containers);
// The same in the place of the entries that were there; their memory is used again.
void flatten(const TomlValue& document, const std::string& name, std::span<const std::string_view> containers,
             KeptList<Entry>& entries);

// What a `Reader(name, further...).read(document)` makes of a TOML text; errors show their source lines.
template <class Reader, class Result, class... Further>
[[nodiscard]] Expected<Result> read_text_with(std::string_view text, const std::string& name,
                                              const Further&... further) {
  const auto document = parse_toml(text, name);
  auto result = document ? Reader(name, further...).read(*document) : Expected<Result>(document.errors());
  if (result) return result;
  Diagnostics errors = result.errors();
  attach_source_lines(errors, text, name);
  return errors;
}

// "line 3", or the command-line key, for naming a second place in a message.
[[nodiscard]] std::string where(const Place& place);

}  // namespace seamwright
