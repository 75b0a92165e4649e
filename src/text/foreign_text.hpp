// The one door for text that came from outside (names, files, arguments, cells) on its way out: no letter passes that
// steers a terminal, turns the direction of what follows or is not seen. Every writer takes it: tables, CSV, JSON,
// pages, drawings and messages.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace seamwright {

// The letter a text that is not empty begins with.
struct ForeignLetter {
  char32_t code = 0;
  std::size_t bytes = 1;
  bool well_formed = true;  // false: the first byte begins no letter of UTF-8
  bool harmless = true;     // false: a control, bidirectional, zero-width or tag character, or not well formed
};
[[nodiscard]] ForeignLetter foreign_letter(std::string_view text);

enum class LineBreaks { to_spaces, kept };  // tabs likewise

// Appends `text`; every letter that is not harmless becomes '?'. Allocates nothing but what `out` grows by.
void append_printable(std::string& out, std::string_view text, LineBreaks breaks = LineBreaks::to_spaces);
[[nodiscard]] std::string printable(std::string_view text);

// Appends JSON that may hold such letters in its strings: they become \u escapes, so that nothing is lost. Bytes that
// are no letter become U+FFFD. Line ends between its values stay.
void append_harmless_json(std::string& out, std::string_view json);

}  // namespace seamwright
