#include "text/text_layout.hpp"

#include <algorithm>
#include <vector>

namespace seamwright {
namespace {

bool starts_letter(char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// "6", "0.25", "+-0.4", "1/4", "9-12".
bool is_number(std::string_view word) {
  return !word.empty() && is_digit(word.back()) && std::all_of(word.begin(), word.end(), [](char c) {
    return is_digit(c) || c == '.' || c == '-' || c == '+' || c == '/';
  });
}

// Where the first piece of `text` ends: a word, with what must not be cut from it. "0.62 +- 0.08 kJ/mm" is one piece of
// a narrow screen.
std::size_t piece_end(std::string_view text, std::size_t width) {
  std::size_t gap = std::min(text.find(' '), text.size());
  if (text.substr(gap).rfind(" %", 0) == 0) return std::min(text.find(' ', gap + 1), text.size());
  for (std::size_t from = 0; width < narrow_screen && gap + 1 < text.size() && text[gap + 1] != ' ';) {
    const std::string_view word = text.substr(from, gap - from);
    if (word != "+-" && !(is_number(word) && !is_digit(text[gap + 1]))) break;
    from = gap + 1;
    gap = std::min(text.find(' ', from), text.size());
  }
  return gap;
}

std::size_t leading_blanks(std::string_view line) { return std::min(line.find_first_not_of(' '), line.size()); }

// A term, and its text under it; beside it where a narrow screen has room for both.
void append_below(std::string& out, std::string_view term, std::string_view text, std::size_t at, std::size_t width) {
  term = term.substr(0, term.find_last_not_of(' ') + 1);
  text.remove_prefix(leading_blanks(text));
  if (width < narrow_screen && !term.empty() && at + letters(term) + 2 + letters(text) <= width) {
    out.append(at, ' ');
    ((out += term) += "  ") += text;
    out += '\n';
    return;
  }
  if (!term.empty()) {
    out.append(at, ' ');
    append_wrapped(out, term, width, at, at + 2);
  }
  out.append(at + 4, ' ');
  append_wrapped(out, text, width, at + 4, at + 4);
}

}  // namespace

std::size_t letters(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), starts_letter));
}

void append_wrapped(std::string& out, std::string_view text, std::size_t width, std::size_t first, std::size_t indent) {
  std::size_t column = first;
  bool line_has_word = false;
  while (!text.empty()) {
    const std::size_t gap = piece_end(text, width);
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

void append_unbroken(std::string& out, const std::vector<std::string>& facts, std::string_view mark, std::size_t width,
                     std::size_t first, std::size_t indent, std::size_t hanging) {
  std::size_t column = first;
  for (const std::string& fact : facts) {
    const bool begins = &fact == &facts.front();
    const std::string text = fact + std::string(&fact == &facts.back() ? "" : mark);
    const bool goes_on = !begins && column + 1 + letters(text) <= width;
    if (goes_on) {
      out += ' ';
    } else if (!begins) {
      out += '\n';
      out.append(indent, ' ');
    }
    const std::size_t from = begins ? first : goes_on ? column + 1 : indent;
    append_wrapped(out, text, width, from, hanging);
    out.pop_back();
    column = from + letters(text);  // one that is longer than a line has its last line to itself
  }
  out += '\n';
}

namespace {

// Where the second column of a line begins; 0: it has none.
std::size_t second_column(std::string_view line) {
  const std::size_t gap = line.find("  ", leading_blanks(line));
  return gap == std::string_view::npos ? 0 : std::min(line.find_first_not_of(' ', gap), line.size());
}

// Where the text of an entry stands, whose first lines these are: beside its term, or in the lines below a term that is
// longer than its column. 0: it is no entry.
std::size_t text_column(std::string_view first, std::string_view second) {
  constexpr std::size_t nearest_column = 12;
  if (leading_blanks(first) == 0) return 0;
  const std::size_t beside = second_column(first), below = leading_blanks(second);
  return beside > 0 ? beside : below >= nearest_column ? below : 0;
}

// A paragraph, or an entry with its further lines.
void append_fitted(std::string& out, const std::vector<std::string_view>& lines, std::size_t width) {
  const bool fits =
      std::all_of(lines.begin(), lines.end(), [width](std::string_view line) { return letters(line) <= width; });
  const std::string_view head = lines.front();
  const bool command = second_column(head) == 0 && head.rfind("  seamwright ", 0) == 0;
  if (fits || command) {  // a command is there to be copied
    for (const std::string_view line : lines) (out += line) += '\n';
    return;
  }
  const std::size_t blanks = leading_blanks(head), column = text_column(head, lines.size() > 1 ? lines[1] : "");
  const std::size_t beside = second_column(head), term_end = column == 0 ? blanks : beside > 0 ? beside : head.size();
  std::string text(head.substr(term_end));
  for (std::size_t i = 1; i < lines.size(); ++i) (text += ' ') += lines[i].substr(leading_blanks(lines[i]));
  const std::string_view term = head.substr(blanks, term_end - blanks);
  if (column > 0 && (2 * column > width || beside == 0)) return append_below(out, term, text, blanks, width);
  out.append(blanks, ' ');
  if (column == 0) return append_wrapped(out, text, width, blanks, blanks == 0 ? 0 : blanks + 2);
  append_left(out, term, column - blanks);
  append_wrapped(out, text, width, column, column);
}

}  // namespace

std::string fitted(std::string_view text, std::size_t width) {
  std::string out;
  std::vector<std::string_view> block;
  const auto flush = [&] {
    if (!block.empty()) append_fitted(out, block, width);
    block.clear();
  };
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    const std::size_t blanks = leading_blanks(line);
    // An entry goes on in lines that begin where its text does.
    const bool goes_on =
        !block.empty() && (blanks == 0 ? leading_blanks(block.front()) == 0
                                       : blanks == text_column(block.front(), block.size() > 1 ? block[1] : line));
    if (!goes_on || line.empty()) flush();
    if (line.empty())
      out += '\n';
    else
      block.push_back(line);
  }
  flush();
  return out;
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
  constexpr std::size_t least_room = 24;
  if (width < narrow_screen && width < indent + least_room) {
    const std::size_t blanks = leading_blanks(term);
    if (!text.empty()) return append_below(out, term.substr(blanks), text, 2 + blanks, width);
  }
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
