#include "text/json_value.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <utility>

#include "text/foreign_text.hpp"
#include "text/units_text.hpp"

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

constexpr std::string_view one_a_line = "write each object whole on a line of its own, without [ ] around the list";

// Takes out what is null; false where nothing is left for it.
bool drop_nulls(TomlValue& table) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < table.members.size(); ++i) {
    TomlMember& member = table.members[i];
    if (member.value.kind == TomlValue::Kind::table && !member.value.members.empty() && !drop_nulls(member.value))
      member.value.kind = TomlValue::Kind::null;
    if (member.value.kind == TomlValue::Kind::null) continue;
    if (kept != i) std::swap(table.members[kept], member);
    ++kept;
  }
  table.members.resize(kept);
  return kept > 0;
}

}  // namespace

bool JsonReader::read_object(std::string_view text, TomlValue& root, std::span<const std::string> whole,
                             std::size_t most_values) {
  text_ = text;
  at_ = 0;
  whole_ = whole;
  most_values_ = most_values;
  error_.message.clear();
  error_.help.clear();
  values_ = 0;
  any_null_ = false;
  skip_blanks();
  if (!at('{')) {
    fail("expected an object: { \"joint.type\": \"fillet\", ... }");
    error_.help = one_a_line;
  } else if (read_value(root, 0, 0)) {
    skip_blanks();
    if (at_ < text_.size()) fail("text after the object");
  }
  if (any_null_ && error_.message.empty())
    for (TomlMember& member : root.members)
      if (member.value.kind == TomlValue::Kind::table && !member.value.members.empty() && !drop_nulls(member.value))
        member.value.kind = TomlValue::Kind::null;
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
  // What ends too early is most often an object written over several lines.
  return refuse(fmt::format("not JSON at column {}: {}", at_ + 1, what), at_ >= text_.size() ? one_a_line : "");
}

bool JsonReader::refuse(std::string message, std::string_view help) {
  if (!error_.message.empty()) return false;
  error_.message = std::move(message);
  error_.help = help;
  error_.place.line = 1;
  error_.place.column = static_cast<int>(at_ + 1);
  return false;
}

bool JsonReader::begin_value() {
  return ++values_ <= most_values_ ||
         refuse(fmt::format("more than {} values in one row", most_values_), "leave out what is no key of a joint");
}

bool JsonReader::read_value(TomlValue& value, std::size_t depth, std::size_t objects) {
  skip_blanks();
  value.restart();
  value.line = 1;
  value.column = static_cast<int>(at_ + 1);
  if (depth > deepest) return refuse(fmt::format("nested too deeply: more than {} levels", deepest), "");
  if (at('{')) return read_members(value, depth, objects);
  if (at('[')) return read_array(value, depth, objects);
  if (at('"')) {
    value.kind = TomlValue::Kind::string;
    return read_string(value.text);
  }
  for (const std::string_view word : {"true", "false", "null"}) {
    if (text_.substr(at_, word.size()) != word) continue;
    at_ += word.size();
    value.kind = word == "null" ? TomlValue::Kind::null : TomlValue::Kind::boolean;
    any_null_ = any_null_ || word == "null";
    value.boolean = word == "true";
    if (word != "null") value.text = word;
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
  if (result.ec != std::errc()) value.number = beyond_double(value.text);
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

bool JsonReader::read_array(TomlValue& value, std::size_t depth, std::size_t objects) {
  value.kind = TomlValue::Kind::array;
  ++at_;
  if (take(']')) return true;
  do {
    if (!begin_value()) return false;
    TomlValue& item = value.items.add();
    if (!read_value(item, depth + 1, objects + 1)) return false;
    if (item.kind == TomlValue::Kind::null) return refuse("null in a list", "leave the item out");
  } while (take(','));
  return take(']') || fail("expected ',' or ']'");
}

bool JsonReader::read_members(TomlValue& value, std::size_t depth, std::size_t objects) {
  value.kind = TomlValue::Kind::table;
  ++at_;
  if (take('}')) return true;
  do {
    skip_blanks();
    const std::size_t key_column = at_ + 1;
    std::string& key = keys_[objects];
    key.clear();
    if (!begin_value()) return false;
    if (!at('"')) return fail("expected a key in double quotes");
    if (!read_string(key)) return false;
    if (!take(':')) return fail("expected ':' after the key");
    if (!read_member(value, key, static_cast<int>(key_column), depth, objects)) return false;
  } while (take(','));
  return take('}') || fail("expected ',' or '}'");
}

bool JsonReader::is_whole(std::string_view key) const {
  return key.substr(0, 2) == "x-" || std::find(whole_.begin(), whole_.end(), key) != whole_.end();
}

// A value into its place in the object, where the key's dots open tables.
bool JsonReader::read_member(TomlValue& object, std::string_view key, int key_column, std::size_t depth,
                             std::size_t objects) {
  const bool whole = objects == 0 && is_whole(key);
  TomlValue* table = &object;
  for (std::size_t begin = 0;;) {
    const std::size_t dot = whole ? std::string_view::npos : key.find('.', begin);
    const bool last = dot == std::string_view::npos;
    const std::string_view part = last ? key.substr(begin) : key.substr(begin, dot - begin);
    TomlMember* member =
        std::find_if(table->members.begin(), table->members.end(), [&](const TomlMember& m) { return m.key == part; });
    const bool is_new = member == table->members.end();
    const auto given_twice = [&] {
      return refuse(fmt::format("'{}' is given twice", text_start(key.substr(0, dot))), "leave one of the two out");
    };
    if (is_new) {
      member = &table->members.add();
      member->key = part;
      member->value.restart();
      if (!last && !begin_value()) return false;
    } else if (member->value.kind != TomlValue::Kind::table) {
      return given_twice();
    }
    ++depth;
    if (last && is_new) {
      const bool read = read_value(member->value, depth, objects + 1);
      member->value.key_line = 1;
      member->value.key_column = key_column;
      return read;
    }
    if (last) {  // {"joint.type": ..., "joint": {...}}: both speak of one table
      skip_blanks();
      return at('{') ? read_members(member->value, depth, objects + 1) : given_twice();
    }
    // Levels are counted before they are gone down: a key of dots alone is as deep as it is long.
    if (depth >= deepest) return read_value(member->value, deepest + 1, objects + 1);
    table = &member->value;
    begin = dot + 1;
  }
}

Expected<TomlValue> parse_json_object(std::string_view text, std::span<const std::string> whole) {
  JsonReader reader;
  TomlValue root;
  constexpr std::size_t most_answer_values = 4 * most_row_values;
  if (!reader.read_object(text, root, whole, most_answer_values)) return reader.error();
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
    else if (static_cast<unsigned char>(c) < 0x7F)
      out += c;
    else
      append_harmless_json(out, text.substr(0, bytes));
    text.remove_prefix(std::max<std::size_t>(bytes, 1));
  }
  out += '"';
}

}  // namespace seamwright
