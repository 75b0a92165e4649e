#include "io/json_value.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <limits>

namespace seamwright {
namespace {

void append_utf8(std::string& out, unsigned code) {
  const auto byte = [&out](unsigned value) { out += static_cast<char>(value); };
  if (code < 0x80) {
    byte(code);
  } else if (code < 0x800) {
    byte(0xC0 | code >> 6);
    byte(0x80 | (code & 0x3F));
  } else if (code < 0x10000) {
    byte(0xE0 | code >> 12);
    byte(0x80 | (code >> 6 & 0x3F));
    byte(0x80 | (code & 0x3F));
  } else {
    byte(0xF0 | code >> 18);
    byte(0x80 | (code >> 12 & 0x3F));
    byte(0x80 | (code >> 6 & 0x3F));
    byte(0x80 | (code & 0x3F));
  }
}

}  // namespace

bool JsonReader::read_object(std::string_view text, TomlValue& root) {
  text_ = text;
  at_ = 0;
  error_.message.clear();
  skip_blanks();
  if (!at('{')) {
    fail("expected an object: { \"joint.type\": \"fillet\", ... }");
  } else if (read_value(root, 0)) {
    skip_blanks();
    if (at_ < text_.size()) fail("text after the object");
  }
  return error_.message.empty();
}

void JsonReader::skip_blanks() {
  while (at(' ') || at('\t') || at('\r') || at('\n')) ++at_;
}

bool JsonReader::take(char c) {
  skip_blanks();
  if (!at(c)) return false;
  ++at_;
  return true;
}

bool JsonReader::fail(std::string_view what) {
  if (error_.message.empty()) {
    error_.message = fmt::format("not JSON at column {}: {}", at_ + 1, what);
    error_.place.line = 1;
    error_.place.column = static_cast<int>(at_ + 1);
  }
  return false;
}

bool JsonReader::read_value(TomlValue& value, int depth) {
  is_null_ = false;
  skip_blanks();
  value.restart();
  value.line = 1;
  value.column = static_cast<int>(at_ + 1);
  if (depth > deepest) return fail("nested too deeply");
  if (at('{')) return read_members(value, depth);
  if (at('[')) return read_array(value, depth);
  if (at('"')) {
    value.kind = TomlValue::Kind::string;
    return read_string(value.text);
  }
  for (const std::string_view word : {"true", "false", "null"}) {
    if (text_.substr(at_, word.size()) != word) continue;
    at_ += word.size();
    is_null_ = word == "null";
    value.kind = TomlValue::Kind::boolean;
    value.boolean = word == "true";
    value.text = word;
    return true;
  }
  return read_number(value);
}

bool JsonReader::read_number(TomlValue& value) {
  const auto digit = [&] { return at_ < text_.size() && text_[at_] >= '0' && text_[at_] <= '9'; };
  const std::size_t start = at_;
  if (at('-')) ++at_;
  if (!digit()) return fail("expected a value");
  const bool zero = at('0');
  ++at_;
  if (zero && digit()) return fail("a number does not start with 0");
  while (digit()) ++at_;
  if (at('.')) {
    ++at_;
    if (!digit()) return fail("digits must follow the decimal point");
    while (digit()) ++at_;
  }
  if (at('e') || at('E')) {
    ++at_;
    if (at('+') || at('-')) ++at_;
    if (!digit()) return fail("digits must follow the exponent sign");
    while (digit()) ++at_;
  }
  value.kind = TomlValue::Kind::floating;
  value.text = text_.substr(start, at_ - start);
  const auto result = std::from_chars(value.text.data(), value.text.data() + value.text.size(), value.number);
  if (result.ec != std::errc()) value.number = std::numeric_limits<double>::infinity();  // beyond a double
  return true;
}

bool JsonReader::read_hex(unsigned& code) {
  if (at_ + 4 > text_.size()) return fail("four hexadecimal digits must follow \\u");
  const char* first = text_.data() + at_;
  if (std::from_chars(first, first + 4, code, 16).ptr != first + 4)
    return fail("four hexadecimal digits must follow \\u");
  at_ += 4;
  return true;
}

bool JsonReader::read_escape(std::string& out) {
  if (at_ >= text_.size()) return fail("the string is not closed");
  const char c = text_[at_++];
  constexpr std::string_view letters = "\"\\/bfnrt", meanings = "\"\\/\b\f\n\r\t";
  if (const std::size_t i = letters.find(c); i != std::string_view::npos) {
    out += meanings[i];
    return true;
  }
  unsigned code = 0;
  if (c != 'u') return fail("unknown escape in a string");
  if (!read_hex(code)) return false;
  if (code >= 0xD800 && code < 0xDC00) {  // the first half of a pair
    unsigned low = 0;
    if (text_.substr(at_, 2) != "\\u") return fail("half of a surrogate pair");
    at_ += 2;
    if (!read_hex(low)) return false;
    if (low < 0xDC00 || low > 0xDFFF) return fail("half of a surrogate pair");
    code = 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00);
  } else if (code >= 0xDC00 && code <= 0xDFFF) {
    return fail("half of a surrogate pair");
  }
  append_utf8(out, code);
  return true;
}

bool JsonReader::read_string(std::string& out) {
  ++at_;
  while (at_ < text_.size()) {
    const char c = text_[at_];
    if (c == '"') {
      ++at_;
      return true;
    }
    if (static_cast<unsigned char>(c) < 0x20) return fail("control character in a string");
    if (c == '\\') {
      ++at_;
      if (!read_escape(out)) return false;
      continue;
    }
    const std::size_t bytes = static_cast<unsigned char>(c) < 0x80 ? 1 : utf8_letter_bytes(text_.substr(at_));
    if (bytes == 0) return fail("text that is not UTF-8");
    out += text_.substr(at_, bytes);
    at_ += bytes;
  }
  return fail("the string is not closed");
}

bool JsonReader::read_array(TomlValue& value, int depth) {
  value.kind = TomlValue::Kind::array;
  ++at_;
  if (take(']')) return true;
  do {
    if (!read_value(value.items.add(), depth + 1)) return false;
    if (is_null_) return fail("null in a list");
  } while (take(','));
  return take(']') || fail("expected ',' or ']'");
}

bool JsonReader::read_members(TomlValue& value, int depth) {
  value.kind = TomlValue::Kind::table;
  ++at_;
  if (take('}')) return true;
  do {
    skip_blanks();
    const std::size_t key_column = at_ + 1;
    std::string& key = keys_[static_cast<std::size_t>(depth)];
    key.clear();
    if (!at('"')) return fail("expected a key in double quotes");
    if (!read_string(key)) return false;
    if (!take(':')) return fail("expected ':' after the key");
    if (!read_member(value, key, static_cast<int>(key_column), depth)) return false;
  } while (take(','));
  is_null_ = false;
  return take('}') || fail("expected ',' or '}'");
}

// A value into its place in the table, where the key's dots open tables. Null leaves nothing behind.
bool JsonReader::read_member(TomlValue& table, std::string_view key, int key_column, int depth) {
  const std::size_t dot = key.find('.');
  const std::string_view first = key.substr(0, dot);
  const auto known =
      std::find_if(table.members.begin(), table.members.end(), [&](const TomlMember& m) { return m.key == first; });
  const bool is_new = known == table.members.end();
  TomlMember& member = is_new ? table.members.add() : *known;
  if (is_new) {
    member.key = first;
    member.value.restart();
  } else if (member.value.kind != TomlValue::Kind::table) {
    return given_twice(first);
  }
  bool read = false;
  if (dot != std::string_view::npos) {
    read = read_member(member.value, key.substr(dot + 1), key_column, depth);
  } else if (is_new) {
    read = read_value(member.value, depth + 1);
    member.value.key_line = 1;
    member.value.key_column = key_column;
  } else {  // {"joint.type": ..., "joint": {...}}: both may speak of one table
    TomlValue more;
    read = read_value(more, depth + 1) && (is_null_ || merge(member, more));
  }
  if (is_new && is_null_) table.members.resize(table.members.size() - 1);
  return read;
}

bool JsonReader::merge(TomlMember& table, TomlValue& more) {
  if (table.value.kind != TomlValue::Kind::table || more.kind != TomlValue::Kind::table) return given_twice(table.key);
  for (TomlMember& member : more.members) {
    TomlMember* const known = std::find_if(table.value.members.begin(), table.value.members.end(),
                                           [&](const TomlMember& m) { return m.key == member.key; });
    if (known == table.value.members.end())
      std::swap(table.value.members.add(), member);
    else if (!merge(*known, member.value))
      return false;
  }
  return true;
}

bool JsonReader::given_twice(std::string_view key) { return fail(fmt::format("'{}' is given twice", key)); }

Expected<TomlValue> parse_json_object(std::string_view text) {
  JsonReader reader;
  TomlValue root;
  if (!reader.read_object(text, root)) return reader.error();
  return root;
}

void append_json_string(std::string& out, std::string_view text) {
  out += '"';
  while (!text.empty()) {
    const char c = text.front();
    const std::size_t bytes = static_cast<unsigned char>(c) < 0x80 ? 1 : utf8_letter_bytes(text);
    if (bytes == 0)
      out += "\xEF\xBF\xBD";
    else if (c == '"' || c == '\\')
      (out += '\\') += c;
    else if (static_cast<unsigned char>(c) < 0x20)
      out += fmt::format("\\u{:04x}", static_cast<unsigned char>(c));
    else
      out += text.substr(0, bytes);
    text.remove_prefix(std::max<std::size_t>(bytes, 1));
  }
  out += '"';
}

}  // namespace seamwright
