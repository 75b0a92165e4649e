// Plain text for terminals: wrapping and padding. Widths count letters (UTF-8), not bytes.
#pragma once

#include <string>
#include <string_view>

#include "text/foreign_text.hpp"

namespace seamwright {

[[nodiscard]] std::size_t letters(std::string_view text);

// Appends `text` in lines of at most `width` letters, broken at spaces, but not before a per cent sign. The first line
// goes on where `out` stands, after `first` letters of it; the others are indented by `indent`. Ends with a line feed.
void append_wrapped(std::string& out, std::string_view text, std::size_t width, std::size_t first, std::size_t indent);

// Prose and lists of help for a narrower screen: paragraphs with a line that is too long are wrapped anew, and so are
// the entries of two-column lists, whose text goes below the term where there is little room beside it. All else stays,
// and so does a command.
[[nodiscard]] std::string fitted(std::string_view text, std::size_t width);

void append_left(std::string& out, std::string_view text, std::size_t width);   // text, then spaces
void append_right(std::string& out, std::string_view text, std::size_t width);  // spaces, then text

// A two-column list: `term`, and `text` wrapped beside it from column `indent` on.
void append_entry(std::string& out, std::string_view term, std::string_view text, std::size_t indent,
                  std::size_t width);

}  // namespace seamwright
