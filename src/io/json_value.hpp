// One JSON text (RFC 8259) as the same plain tree that TOML gives, for the rows of NDJSON job lists.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "io/toml_document.hpp"

namespace seamwright {

// An object into `root`, whose memory is used again; false where error() says why not. Keys with dots open tables:
// {"joint.type": "fillet"} is {"joint": {"type": "fillet"}}. Members that are null count as left out. Refused: anything
// but one object, a key given twice, nesting beyond 32 levels, text that is not UTF-8. Places are columns of line 1,
// counted in bytes.
class JsonReader {
 public:
  [[nodiscard]] bool read_object(std::string_view text, TomlValue& root);
  [[nodiscard]] const Diagnostic& error() const { return error_; }

 private:
  static constexpr int deepest = 32;
  std::string_view text_;
  std::size_t at_ = 0;
  Diagnostic error_;
  std::array<std::string, deepest + 1> keys_;  // the one being read at each depth
  bool is_null_ = false;                       // the value read last was null: left out

  [[nodiscard]] bool at(char c) const { return at_ < text_.size() && text_[at_] == c; }
  void skip_blanks();
  bool take(char c);
  bool fail(std::string_view what);
  bool read_value(TomlValue& value, int depth);
  bool read_number(TomlValue& value);
  bool read_hex(unsigned& code);
  bool read_escape(std::string& out);
  bool read_string(std::string& out);
  bool read_array(TomlValue& value, int depth);
  bool read_members(TomlValue& value, int depth);
  bool read_member(TomlValue& table, std::string_view key, int key_column, int depth);
  bool merge(TomlMember& table, TomlValue& more);
  bool given_twice(std::string_view key);
};
[[nodiscard]] Expected<TomlValue> parse_json_object(std::string_view text);

// A JSON string with its quotes; bytes outside UTF-8 become the replacement character.
void append_json_string(std::string& out, std::string_view text);

}  // namespace seamwright
