// One JSON text (RFC 8259) as the same plain tree that TOML gives, for the rows of NDJSON job lists.
#pragma once

#include <array>
#include <span>
#include <string>
#include <string_view>

#include "text/toml_document.hpp"

namespace seamwright {

// A joint has fewer than a hundred keys; the rest is handed through.
inline constexpr std::size_t most_row_values = 1000;

// An object into `root`, whose memory is used again; false where error() says why not. Keys with dots open tables:
// {"joint.type": "fillet"} is {"joint": {"type": "fillet"}}; not so keys of the object itself that are in `whole` or
// have x- in front. Members that are null count as left out; of the object itself they stay, as Kind::null, since they
// name a column. Refused: anything but one object, a key given twice (null or not), nesting beyond 32 levels, more than
// `most_values`, text that is not UTF-8. Places are columns of line 1, counted in bytes.
class JsonReader {
 public:
  [[nodiscard]] bool read_object(std::string_view text, TomlValue& root, std::span<const std::string> whole = {},
                                 std::size_t most_values = most_row_values);
  [[nodiscard]] const Diagnostic& error() const { return error_; }

 private:
  static constexpr std::size_t deepest = 32;
  std::string_view text_;
  std::size_t at_ = 0;
  std::span<const std::string> whole_;
  Diagnostic error_;
  std::array<std::string, deepest + 1> keys_;  // the one being read of each object around
  std::size_t values_ = 0, most_values_ = 0;
  bool any_null_ = false;

  [[nodiscard]] bool at(char c) const { return at_ < text_.size() && text_[at_] == c; }
  void skip_blanks();
  bool take(char c);
  bool fail(std::string_view what);
  bool refuse(std::string message, std::string_view help);
  // `depth` counts levels, also those that dots open; `objects` those written as objects.
  bool read_value(TomlValue& value, std::size_t depth, std::size_t objects);
  bool read_number(TomlValue& value);
  bool read_hex(unsigned& code);
  bool read_escape(std::string& out);
  bool read_string(std::string& out);
  bool read_array(TomlValue& value, std::size_t depth, std::size_t objects);
  bool read_members(TomlValue& value, std::size_t depth, std::size_t objects);
  bool read_member(TomlValue& object, std::string_view key, int key_column, std::size_t depth, std::size_t objects);
  bool begin_value();
  [[nodiscard]] bool is_whole(std::string_view key) const;
};
// One object by itself, also a row of an answer, which has all its own columns besides those handed through.
[[nodiscard]] Expected<TomlValue> parse_json_object(std::string_view text, std::span<const std::string> whole = {});

// A JSON string with its quotes; bytes outside UTF-8 become the replacement character.
void append_json_string(std::string& out, std::string_view text);

}  // namespace seamwright
