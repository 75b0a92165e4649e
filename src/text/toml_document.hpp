// TOML text as a plain tree with the place of every key and value.
//
// The parser of Debian 12 (toml++ 3.3.0) is undefined on text outside ASCII and aborts on some malformed text, so it is
// included in toml_document.cpp only and sees nothing but ASCII: comments are cut off and letters outside ASCII inside
// strings are handed over as escapes. Outside comments and strings such letters are an error.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "seamwright/diagnostic.hpp"
#include "seamwright/kept_list.hpp"

namespace seamwright {

struct TomlMember;

struct TomlValue {
  enum class Kind : unsigned char { string, integer, floating, boolean, array, table, datetime, null };
  Kind kind = Kind::table;           // null: of JSON only; as good as not there
  int line = 0, column = 0;          // of the value; from 1, columns count letters
  int key_line = 0, key_column = 0;  // of its key; 0 for array items and the document itself
  std::string text;                  // content of a string; source text of any other scalar
  double number = 0;                 // integer, floating: may be inf or nan when the text says so
  bool boolean = false;
  KeptList<TomlValue> items;     // array
  KeptList<TomlMember> members;  // table, in the order of the file

  void restart();  // an empty table; its memory is used again
  [[nodiscard]] bool is_number() const { return kind == Kind::integer || kind == Kind::floating; }
  [[nodiscard]] const TomlValue* find(std::string_view key) const;  // member of a table; nullptr: it has none, or null
};

struct TomlMember {
  std::string key;
  TomlValue value;
};

// "a string", "a number", ... for messages.
[[nodiscard]] std::string_view toml_kind_label(TomlValue::Kind kind);

// Parses a whole document. `name` stands for the file in messages. Nesting is limited to 32 levels.
[[nodiscard]] Expected<TomlValue> parse_toml(std::string_view text, const std::string& name);

// The whole file, at most `max_bytes`. A directory, a missing, unreadable, empty or too large file is an error; a file
// that is too large is not read to its end.
[[nodiscard]] Expected<std::string> read_text_file(const std::string& path, std::size_t max_bytes);
inline constexpr std::size_t max_input_bytes = 1u << 20;  // of a file that a user writes by hand

// Bytes of the first letter of `text` (not empty), 0 when it is not well-formed UTF-8 (RFC 3629: no surrogates, no
// overlong forms).
[[nodiscard]] std::size_t utf8_letter_bytes(std::string_view text);

// The start of a text for a message: at most so many bytes, and no letter in two.
[[nodiscard]] std::string_view text_start(std::string_view text, std::size_t bytes = 64);
// A control character that no text of ours has a use for: all but tab and line ends.
[[nodiscard]] constexpr bool is_control(char c) {
  const auto u = static_cast<unsigned char>(c);
  return (u < 0x20 && c != '\t' && c != '\n' && c != '\r') || u == 0x7f;
}

}  // namespace seamwright
