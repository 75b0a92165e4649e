#include "text/foreign_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "text/toml_document.hpp"

namespace seamwright {
namespace {

struct CodeRange {
  char32_t first, last;
};
// General categories Cc, Cf, Zl and Zp of the Unicode Character Database, and letters that take no room.
constexpr CodeRange harmful[] = {{0x00, 0x1F},       {0x7F, 0x9F},       {0xAD, 0xAD},       {0x34F, 0x34F},
                                 {0x600, 0x605},     {0x61C, 0x61C},     {0x6DD, 0x6DD},     {0x70F, 0x70F},
                                 {0x890, 0x891},     {0x8E2, 0x8E2},     {0x115F, 0x1160},   {0x17B4, 0x17B5},
                                 {0x180B, 0x180F},   {0x200B, 0x200F},   {0x2028, 0x202E},   {0x2060, 0x206F},
                                 {0x3164, 0x3164},   {0xFE00, 0xFE0F},   {0xFEFF, 0xFEFF},   {0xFFA0, 0xFFA0},
                                 {0xFFF0, 0xFFFB},   {0x110BD, 0x110BD}, {0x110CD, 0x110CD}, {0x13430, 0x1343F},
                                 {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE0FFF}};

bool plain(char c) { return c >= ' ' && c <= '~'; }

// Length of what needs no look at its letters.
std::size_t plain_bytes(std::string_view text) {
  return static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), plain) - text.begin());
}

}  // namespace

ForeignLetter foreign_letter(std::string_view text) {
  ForeignLetter letter;
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const std::size_t bytes = utf8_letter_bytes(text);
  if (bytes == 0) return {0xFFFD, 1, false, false};
  letter.bytes = bytes;
  letter.code = bytes == 1 ? byte(0) : byte(0) & (0x7Fu >> bytes);
  for (std::size_t i = 1; i < bytes; ++i) letter.code = letter.code << 6u | (byte(i) & 0x3Fu);
  letter.harmless = std::none_of(std::begin(harmful), std::end(harmful), [&](const CodeRange& range) {
    return letter.code >= range.first && letter.code <= range.last;
  });
  return letter;
}

void append_printable(std::string& out, std::string_view text, LineBreaks breaks) {
  while (!text.empty()) {
    const std::size_t run = plain_bytes(text);
    out += text.substr(0, run);
    text.remove_prefix(run);
    if (text.empty()) return;
    const ForeignLetter letter = foreign_letter(text);
    const char c = text.front();
    if (c == '\t' || c == '\n' || c == '\r')
      out += breaks == LineBreaks::kept ? c : ' ';
    else if (letter.harmless)
      out += text.substr(0, letter.bytes);
    else
      out += '?';
    text.remove_prefix(letter.bytes);
  }
}

std::string printable(std::string_view text) {
  std::string out;
  append_printable(out, text);
  return out;
}

void append_harmless_json(std::string& out, std::string_view json) {
  while (!json.empty()) {
    const std::size_t run = plain_bytes(json);
    out += json.substr(0, run);
    json.remove_prefix(run);
    if (json.empty()) return;
    const ForeignLetter letter = foreign_letter(json);
    const char c = json.front();
    if (!letter.well_formed)
      out += "\xEF\xBF\xBD";
    else if (letter.harmless || c == '\n' || c == '\t' || c == '\r')
      out += json.substr(0, letter.bytes);
    else if (letter.code > 0xFFFF)
      fmt::format_to(std::back_inserter(out), "\\u{:04x}\\u{:04x}",
                     0xD800u + ((static_cast<unsigned>(letter.code) - 0x10000u) >> 10u),
                     0xDC00u + (static_cast<unsigned>(letter.code) & 0x3FFu));
    else
      fmt::format_to(std::back_inserter(out), "\\u{:04x}", static_cast<unsigned>(letter.code));
    json.remove_prefix(letter.bytes);
  }
}

}  // namespace seamwright
