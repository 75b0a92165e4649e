#include "text/table_text.hpp"

#include <utility>

namespace seamwright {
std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

std::string letters_only(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c >= 'A' && c <= 'Z') out += static_cast<char>(c - 'A' + 'a');
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) out += c;
  }
  return out;
}

std::vector<NamedUnit> unit_splits(std::string_view heading) {
  std::vector<NamedUnit> splits;
  for (const auto& [open, close] : {std::pair{'[', ']'}, std::pair{'(', ')'}}) {
    const std::size_t from = heading.find(open), to = heading.rfind(close);
    if (from != std::string_view::npos && to != std::string_view::npos && to > from)
      splits.push_back({trimmed(heading.substr(0, from)), trimmed(heading.substr(from + 1, to - from - 1))});
  }
  for (const char mark : {',', '/', '_', ' '})
    if (const std::size_t at = heading.find(mark); at != std::string_view::npos) {
      splits.push_back({trimmed(heading.substr(0, at)), trimmed(heading.substr(at + 1))});
      if (const std::size_t last = heading.rfind(mark); last != at)
        splits.push_back({trimmed(heading.substr(0, last)), trimmed(heading.substr(last + 1))});
    }
  return splits;
}

bool is_called(std::string_view names, std::string_view name) {
  const std::string plain = letters_only(name);
  for (std::size_t bar = 0; bar != std::string_view::npos;) {
    bar = names.find('|');
    if (!plain.empty() && names.substr(0, bar) == plain) return true;
    names = bar == std::string_view::npos ? names : names.substr(bar + 1);
  }
  return false;
}

}  // namespace seamwright
