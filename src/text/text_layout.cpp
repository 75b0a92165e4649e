#include "text/text_layout.hpp"

#include <algorithm>

namespace seamwright {
namespace {

bool starts_letter(char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }

}  // namespace

std::size_t letters(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), starts_letter));
}

void append_wrapped(std::string& out, std::string_view text, std::size_t width, std::size_t first, std::size_t indent) {
  std::size_t column = first;
  bool line_has_word = false;
  while (!text.empty()) {
    std::size_t gap = std::min(text.find(' '), text.size());
    if (text.substr(gap).rfind(" %", 0) == 0)  // a per cent sign stays with its number
      gap = std::min(text.find(' ', gap + 1), text.size());
    const std::string_view word = text.substr(0, gap);
    text.remove_prefix(std::min(gap + 1, text.size()));
    if (word.empty()) continue;
    const std::size_t length = letters(word);
    if (line_has_word && column + 1 + length > width) {
      out += '\n';
      out.append(indent, ' ');
      column = indent;
    } else if (line_has_word) {
      out += ' ';
      ++column;
    }
    out += word;
    column += length;
    line_has_word = true;
  }
  out += '\n';
}

void append_left(std::string& out, std::string_view text, std::size_t width) {
  out += text;
  out.append(width - std::min(width, letters(text)), ' ');
}

void append_right(std::string& out, std::string_view text, std::size_t width) {
  out.append(width - std::min(width, letters(text)), ' ');
  out += text;
}

void append_entry(std::string& out, std::string_view term, std::string_view text, std::size_t indent,
                  std::size_t width) {
  std::size_t column = letters(term) + 2;
  out += "  ";
  out += term;
  if (column + 1 > indent && !text.empty()) {  // too long for its column: the text starts below
    out += '\n';
    column = 0;
  }
  if (!text.empty()) {
    out.append(indent - column, ' ');
    append_wrapped(out, text, width, indent, indent);
  } else {
    out += '\n';
  }
}

}  // namespace seamwright
