#include "text/text_layout.hpp"

#include <algorithm>
#include <vector>

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

namespace {

std::size_t leading_blanks(std::string_view line) { return std::min(line.find_first_not_of(' '), line.size()); }

// Where the second column of an entry begins; 0: it has none.
std::size_t second_column(std::string_view line) {
  const std::size_t gap = line.find("  ", leading_blanks(line));
  return gap == std::string_view::npos ? 0 : std::min(line.find_first_not_of(' ', gap), line.size());
}

// A paragraph, or an entry with its further lines.
void append_fitted(std::string& out, const std::vector<std::string_view>& lines, std::size_t width) {
  const bool fits =
      std::all_of(lines.begin(), lines.end(), [width](std::string_view line) { return letters(line) <= width; });
  const bool command = second_column(lines.front()) == 0 && lines.front().rfind("  seamwright ", 0) == 0;
  if (fits || command) {  // a command is there to be copied
    for (const std::string_view line : lines) (out += line) += '\n';
    return;
  }
  const std::size_t blanks = leading_blanks(lines.front()), column = blanks == 0 ? 0 : second_column(lines.front());
  std::string text(lines.front().substr(column == 0 ? blanks : column));
  for (std::size_t i = 1; i < lines.size(); ++i) (text += ' ') += lines[i].substr(leading_blanks(lines[i]));
  out.append(blanks, ' ');
  if (column == 0) return append_wrapped(out, text, width, blanks, blanks == 0 ? 0 : blanks + 2);
  std::string_view term = lines.front().substr(blanks, column - blanks);
  const bool beside = 2 * column <= width;
  if (!beside) term = term.substr(0, term.find_last_not_of(' ') + 1);
  append_wrapped(out, term, width, blanks, blanks + 2);
  if (beside)
    out.replace(out.size() - 1, 1, column - blanks - letters(term.substr(0, term.find_last_not_of(' ') + 1)), ' ');
  const std::size_t at = beside ? column : blanks + 4;
  if (!beside) out.append(at, ' ');
  append_wrapped(out, text, width, at, at);
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
    // An entry goes on in lines that begin at its second column.
    const bool goes_on =
        !block.empty() && (blanks == 0 ? leading_blanks(block.front()) == 0
                                       : blanks == second_column(block.front()) && leading_blanks(block.front()) > 0);
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
