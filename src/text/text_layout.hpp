// Plain text for terminals: wrapping and padding. Widths count letters (UTF-8), not bytes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "text/foreign_text.hpp"

namespace seamwright {

[[nodiscard]] std::size_t letters(std::string_view text);

// Screens with fewer letters a line are narrow: what stands in columns elsewhere is stacked there.
inline constexpr std::size_t narrow_screen = 80, narrowest_screen = 40;

// Appends `text` in lines of at most `width` letters, broken at spaces, but not before a per cent sign and, on a narrow
// screen, not behind a number. The first line goes on where `out` stands, after `first` letters of it; the others are
// indented by `indent`. Ends with a line feed.
void append_wrapped(std::string& out, std::string_view text, std::size_t width, std::size_t first, std::size_t indent);

// `facts` one after the other, `mark` behind each but the last, none of them over two lines that has room in one. The
// first goes on where `out` stands, after `first` letters of its line; further lines are indented by `indent`, those
// within a fact that is longer than a line by `hanging`.
void append_unbroken(std::string& out, const std::vector<std::string>& facts, std::string_view mark, std::size_t width,
                     std::size_t first, std::size_t indent, std::size_t hanging);

// Prose and lists of help for a narrower screen: paragraphs with a line that is too long are wrapped anew, and so are
// the entries of two-column lists, whose text goes below the term where there is little room beside it. All else stays,
// and so does a command.
[[nodiscard]] std::string fitted(std::string_view text, std::size_t width);

void append_left(std::string& out, std::string_view text, std::size_t width);   // text, then spaces
void append_right(std::string& out, std::string_view text, std::size_t width);  // spaces, then text

// A two-column list: `term`, and `text` wrapped beside it from column `indent` on; below it where a narrow screen
// leaves too little room beside.
void append_entry(std::string& out, std::string_view term, std::string_view text, std::size_t indent,
                  std::size_t width);

}  // namespace seamwright
