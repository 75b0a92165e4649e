#include "text/toml_document.hpp"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <memory>
#include <stdexcept>

namespace seamwright::toml_guard {
// Thrown by the parser's own checks in place of an abort.
struct BrokenParser : std::exception {};
[[noreturn]] inline void fail() { throw BrokenParser{}; }
}  // namespace seamwright::toml_guard

// Header only, whatever the build says; its checks must stay on in release builds, where it would otherwise tell the
// compiler to assume them.
#undef TOML_HEADER_ONLY
#undef TOML_SHARED_LIB
#define TOML_HEADER_ONLY 1
#define TOML_EXCEPTIONS 1
#define TOML_ENABLE_FORMATTERS 0
#define TOML_MAX_NESTED_VALUES 32
#define TOML_ASSERT(expr) ((expr) ? static_cast<void>(0) : ::seamwright::toml_guard::fail())
#pragma push_macro("NDEBUG")
#undef NDEBUG
#include <toml++/toml.h>
#pragma pop_macro("NDEBUG")

namespace seamwright {
namespace {

constexpr int max_key_depth = 32;
constexpr std::string_view not_a_value = "not a value";

// A stretch of the text handed to the parser that is `extra` columns longer than what it stands for.
struct Patch {
  int line = 0, column = 0, extra = 0;
  int before = 0;  // columns that those before it on its line are longer
};

// The text made safe for the parser, with what is needed to find places in the original again.
struct SafeText {
  std::string text;
  std::vector<Patch> patches;       // in order of place
  std::vector<std::size_t> starts;  // of the lines of `text`

  [[nodiscard]] Place place(const std::string& name, toml::source_position at) const {
    Place p{name, static_cast<int>(at.line), static_cast<int>(at.column)};
    // The last one that begins before the place tells of all before it.
    const auto after = std::lower_bound(
        patches.begin(), patches.end(), std::pair(p.line, p.column),
        [](const Patch& a, const std::pair<int, int>& place) { return std::pair(a.line, a.column) < place; });
    if (after == patches.begin() || std::prev(after)->line != p.line) return p;
    const Patch& last = *std::prev(after);
    p.column -= last.before + std::min(last.extra, p.column - last.column);
    return p;
  }
  [[nodiscard]] bool signed_at(toml::source_position at) const {
    const std::string_view rest = at.column > 1 ? rest_of_line({at.line, at.column - 1}) : std::string_view{};
    return !rest.empty() && (rest.front() == '-' || rest.front() == '+');
  }
  [[nodiscard]] std::string_view rest_of_line(toml::source_position at) const {
    if (at.line == 0 || at.line > starts.size() || at.column == 0) return {};
    const std::size_t begin = starts[at.line - 1] + at.column - 1;
    if (begin >= text.size()) return {};
    // By the table of lines: looking for the line end takes a time that grows with the line.
    const std::size_t end = at.line < starts.size() ? starts[at.line] - 1 : text.size();
    return begin < end ? std::string_view(text).substr(begin, end - begin) : std::string_view{};
  }
};

// Where the value begins that `at` stands in: after the last '=', '[', '{' or ',' before it on its line.
toml::source_position value_start(const SafeText& safe, toml::source_position at) {
  const std::string_view line = safe.rest_of_line({at.line, 1});
  const std::size_t before = std::min<std::size_t>(at.column > 0 ? at.column - 1 : 0, line.size());
  const std::size_t opener = line.substr(0, before).find_last_of("=[{,");
  if (opener == std::string_view::npos) return at;
  const std::size_t start = line.find_first_not_of(" \t", opener + 1);
  if (start == std::string_view::npos || start >= before) return at;
  at.column = static_cast<toml::source_index>(start + 1);
  return at;
}

char32_t decode(std::string_view letter) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(letter[i]); };
  static constexpr unsigned lead_mask[] = {0, 0x7f, 0x1f, 0x0f, 0x07};
  char32_t code = byte(0) & lead_mask[letter.size()];
  for (std::size_t i = 1; i < letter.size(); ++i) code = (code << 6) | (byte(i) & 0x3fu);
  return code;
}

// Walks the text once: checks the bytes, cuts comments, rewrites strings in ASCII.
class Scanner {
 public:
  Scanner(std::string_view text, const std::string& name) : in_(text), name_(name) {}

  Expected<SafeText> run() {
    if (in_.substr(0, 3) == "\xef\xbb\xbf") at_ = 3;
    out_.starts.push_back(0);
    while (at_ < in_.size() && errors_.empty()) {
      const char c = in_[at_];
      if (c == '#')
        skip_comment();
      else if (c == '"' || c == '\'')
        string(c);
      else
        plain(c);
    }
    if (!errors_.empty()) return errors_;
    return std::move(out_);
  }

 private:
  void fail(std::string message, std::string help = {}) {
    fail_at(line_, column_, std::move(message), std::move(help));
  }
  void fail_at(int line, int column, std::string message, std::string help = {}) {
    errors_.push_back({{name_, line, column}, std::move(message), std::move(help)});
  }

  // Bytes of the letter at the cursor; 0 after an error. Control characters other than tab and line end are errors.
  std::size_t letter() {
    const auto c = static_cast<unsigned char>(in_[at_]);
    if ((c < 0x20 && c != '\t' && c != '\n' && !(c == '\r' && in_.substr(at_, 2) == "\r\n")) || c == 0x7f) {
      fail(fmt::format("control character (byte 0x{:02x}) in the text", c),
           "remove it; the file may not be a text file");
      return 0;
    }
    const std::size_t bytes = utf8_letter_bytes(in_.substr(at_));
    if (bytes == 0) fail(fmt::format("byte 0x{:02x} is not valid UTF-8", c), "save the file as UTF-8");
    return bytes;
  }

  void emit(std::string_view ascii, int columns_in) {
    const int extra = static_cast<int>(ascii.size()) - columns_in;
    if (extra > 0) {
      const bool first = out_.patches.empty() || out_.patches.back().line != line_;
      const int before = first ? 0 : out_.patches.back().before + out_.patches.back().extra;
      out_.patches.push_back({line_, column_out_, extra, before});
    }
    out_.text += ascii;
    column_ += columns_in;
    column_out_ += static_cast<int>(ascii.size());
  }
  void newline() {
    at_ += in_[at_] == '\r' ? 2 : 1;
    out_.text += '\n';
    out_.starts.push_back(out_.text.size());
    ++line_;
    column_ = column_out_ = 1;
  }

  void skip_comment() {
    while (at_ < in_.size() && in_[at_] != '\n') {
      const std::size_t bytes = letter();
      if (bytes == 0) return;
      if (in_[at_] == '\r') return;
      at_ += bytes;
      ++column_;
    }
  }

  void plain(char c) {
    const std::size_t bytes = letter();
    if (bytes == 0) return;
    if (bytes > 1) {
      fail(fmt::format("'{}' outside a string", in_.substr(at_, bytes)),
           "letters outside ASCII stand in double quotes or in a comment");
      return;
    }
    if (c == '\n' || c == '\r') {
      depth_ = 0;
      newline();
      return;
    }
    if (c == '.' && ++depth_ >= max_key_depth) {
      fail("key nested too deep", fmt::format("at most {} parts", max_key_depth));
      return;
    }
    if (c == ',' || c == '=' || c == '[' || c == ']' || c == '{' || c == '}') depth_ = 0;
    emit({&c, 1}, 1);
    ++at_;
  }

  // Every string becomes a basic (double-quoted) one.
  void string(char quote) {
    const int line = line_, column = column_;
    const std::string triple(3, quote);
    const bool multi = in_.substr(at_, 3) == triple;
    const std::string_view delimiter = multi ? "\"\"\"" : "\"";
    const auto width = static_cast<int>(delimiter.size());
    emit(delimiter, width);
    at_ += delimiter.size();
    while (at_ < in_.size()) {
      const char c = in_[at_];
      if (c == quote && (!multi || in_.substr(at_, 3) == triple)) {
        // Up to two quotes before the closing three belong to the content.
        for (int more = 0; multi && more < 2 && at_ + 3 < in_.size() && in_[at_ + 3] == quote; ++more) {
          content(quote, quote);
          ++at_;
        }
        emit(delimiter, width);
        at_ += delimiter.size();
        return;
      }
      const std::size_t bytes = letter();
      if (bytes == 0) return;
      if (c == '\n' || c == '\r') {
        if (!multi) break;
        newline();
      } else if (bytes > 1) {
        emit(fmt::format("\\U{:08X}", static_cast<std::uint32_t>(decode(in_.substr(at_, bytes)))), 1);
        at_ += bytes;
      } else if (quote == '"' && c == '\\' && at_ + 1 < in_.size() && (in_[at_ + 1] == '"' || in_[at_ + 1] == '\\')) {
        emit(in_.substr(at_, 2), 2);
        at_ += 2;
      } else {
        content(c, quote);
        ++at_;
      }
    }
    fail_at(line, column, multi ? "string not closed before the end of the text" : "string not closed on its line",
            fmt::format("close it with {}", multi ? triple : std::string(1, quote)));
  }

  void content(char c, char quote) {
    const bool escape = quote == '\'' && (c == '\\' || c == '"');
    const char both[] = {'\\', c};
    emit(escape ? std::string_view(both, 2) : std::string_view(&c, 1), 1);
  }

  std::string_view in_;
  const std::string& name_;
  SafeText out_;
  Diagnostics errors_;
  std::size_t at_ = 0;
  int line_ = 1, column_ = 1, column_out_ = 1;
  int depth_ = 0;
};

// What a syntax error means, in our words, from the kind of complaint and the text at its place.
Diagnostic syntax_error(std::string_view complaint, std::string_view rest) {
  const auto says = [&](std::string_view part) { return complaint.find(part) != std::string_view::npos; };
  Diagnostic d;
  if (says("redefine") || says("cannot insert")) {
    d.message = "this key or table is already defined above";
    d.help = "keep one of the two";
  } else if (says("end-of-file")) {
    d.message = "the text ends in the middle of a key or value";
  } else if (says("maximum nested")) {
    d.message = fmt::format("values nested too deep (limit {})", TOML_MAX_NESTED_VALUES);
  } else if (says("escape") || says("hex digit") || says("surrogates") || says("U+10FFFF")) {
    d.message = "unknown escape after '\\' in a string";
    d.help = "write '\\\\' for a backslash";
  } else if (says("expected '='")) {
    d.message = "expected '=' between key and value";
  } else if (says("expected ']'")) {
    d.message = "expected ']' after the table name";
  } else if (says("parsing inline table")) {
    d.message = "an inline table is written { key = value, key = value } on one line";
  } else if (says("parsing array")) {
    d.message = "an array is written [value, value]";
  } else if (!rest.empty() && rest.front() == ',') {
    d.message = "unexpected ',' after a value";
    d.help = "numbers have a decimal point: 0.25";
  } else if (says("comment or whitespace")) {
    d.message = "unexpected text after a value";
    d.help = "one key = value to a line; a value with a unit stands in double quotes";
  } else if (says("key") && !says("key-value")) {
    d.message = "not a key";
    d.help = "keys are letters, digits, '_' and '-'";
  } else {
    d.message = not_a_value;
    d.help = "words and values with a unit stand in double quotes: \"6 mm\"; numbers have a decimal point";
  }
  return d;
}

class Converter {
 public:
  Converter(const SafeText& safe, const std::string& name) : safe_(safe), name_(name) {}

  TomlValue convert(const toml::node& node) {
    TomlValue v;
    toml::source_position begin = node.source().begin;
    if (node.is_number() && safe_.signed_at(begin)) --begin.column;  // the parser leaves out the sign
    const Place at = safe_.place(name_, begin);
    v.line = at.line;
    v.column = at.column;
    if (const auto* table = node.as_table()) {
      v.kind = TomlValue::Kind::table;
      for (const auto& [key, child] : *table) {
        TomlMember& member = v.members.add();
        member = {std::string(key.str()), convert(child)};
        const Place key_at = safe_.place(name_, key.source().begin);
        member.value.key_line = key_at.line;
        member.value.key_column = key_at.column;
        check_content(member.key, key_at);
      }
      std::stable_sort(v.members.begin(), v.members.end(), [](const TomlMember& a, const TomlMember& b) {
        return std::pair(a.value.key_line, a.value.key_column) < std::pair(b.value.key_line, b.value.key_column);
      });
    } else if (const auto* array = node.as_array()) {
      v.kind = TomlValue::Kind::array;
      for (const auto& item : *array) v.items.add() = convert(item);
    } else if (const auto* string = node.as_string()) {
      v.kind = TomlValue::Kind::string;
      v.text = string->get();
      check_content(v.text, at);
    } else {
      scalar(node, safe_.rest_of_line(begin), v);
    }
    return v;
  }
  Diagnostics errors;

 private:
  static void scalar(const toml::node& node, std::string_view rest, TomlValue& v) {
    std::string_view text = rest.substr(0, rest.find_first_of(",]}"));
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    v.text = text;
    if (const auto* integer = node.as_integer()) {
      v.kind = TomlValue::Kind::integer;
      v.number = static_cast<double>(integer->get());
    } else if (const auto* floating = node.as_floating_point()) {
      v.kind = TomlValue::Kind::floating;
      v.number = floating->get();
    } else if (const auto* boolean = node.as_boolean()) {
      v.kind = TomlValue::Kind::boolean;
      v.boolean = boolean->get();
    } else {
      v.kind = TomlValue::Kind::datetime;
    }
  }
  // Escapes can put control characters into a string; none of our texts has a use for them.
  void check_content(std::string_view text, const Place& at) {
    const bool bad = std::any_of(text.begin(), text.end(), is_control);
    if (bad) errors.push_back({at, "control character in a string", "remove the escape that makes it"});
  }
  const SafeText& safe_;
  const std::string& name_;
};

// Whether the parser's own checks fail on the text.
bool breaks_parser(std::string_view text) {
  try {
    static_cast<void>(toml::parse(text));
  } catch (const toml_guard::BrokenParser&) {
    return true;
  } catch (const std::exception&) {
    return false;
  }
  return false;
}

// First line with which the parser's checks fail. It reads front to back, so once they fail they fail for every longer
// piece: halving finds the line.
int breaking_line(const SafeText& safe) {
  std::size_t good = 0, bad = safe.starts.size();
  while (bad - good > 1) {
    const std::size_t middle = (good + bad) / 2;
    (breaks_parser(std::string_view(safe.text).substr(0, safe.starts[middle])) ? bad : good) = middle;
  }
  return static_cast<int>(bad);
}

std::string reason(int error) {
  switch (error) {
    case ENOENT:
      return "no such file";
    case EACCES:
    case EPERM:
      return "no permission to read it";
    case EISDIR:
      return "is a directory, not a file";
    case ENOTDIR:
      return "a part of the path is not a directory";
    case ENAMETOOLONG:
      return "the name is too long";
    default:
      return fmt::format("cannot be read ({})", std::strerror(error));
  }
}

}  // namespace

void TomlValue::restart() {
  kind = Kind::table;
  line = column = key_line = key_column = 0;
  text.clear();
  number = 0;
  boolean = false;
  items.clear();
  members.clear();
}

const TomlValue* TomlValue::find(std::string_view key) const {
  for (const auto& [name, value] : members)
    if (name == key) return value.kind == Kind::null ? nullptr : &value;
  return nullptr;
}

std::string_view toml_kind_label(TomlValue::Kind kind) {
  switch (kind) {
    case TomlValue::Kind::string:
      return "a string";
    case TomlValue::Kind::integer:
    case TomlValue::Kind::floating:
      return "a number";
    case TomlValue::Kind::boolean:
      return "true or false";
    case TomlValue::Kind::array:
      return "a list";
    case TomlValue::Kind::table:
      return "a table";
    case TomlValue::Kind::datetime:
      return "a date or time";
    case TomlValue::Kind::null:
      return "null";
  }
  return "a value";
}

std::size_t utf8_letter_bytes(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned lead = byte(0);
  if (lead < 0x80) return 1;
  const std::size_t bytes = lead >= 0xc2 && lead < 0xe0   ? 2
                            : lead >= 0xe0 && lead < 0xf0 ? 3
                            : lead >= 0xf0 && lead < 0xf5 ? 4
                                                          : 0;
  if (bytes == 0 || text.size() < bytes) return 0;
  for (std::size_t i = 1; i < bytes; ++i)
    if ((byte(i) & 0xc0u) != 0x80u) return 0;
  const char32_t code = decode(text.substr(0, bytes));
  static constexpr char32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = code >= 0xd800 && code <= 0xdfff;
  return code < least[bytes] || code > 0x10ffff || surrogate ? 0 : bytes;
}

std::string_view text_start(std::string_view text, std::size_t bytes) {
  if (text.size() <= bytes) return text;
  while (bytes > 0 && (static_cast<unsigned char>(text[bytes]) & 0xc0u) == 0x80u) --bytes;
  return text.substr(0, bytes);
}

Expected<TomlValue> parse_toml(std::string_view text, const std::string& name) {
  const Expected<SafeText> safe = Scanner(text, name).run();
  if (!safe) return safe.errors();
  try {
    const toml::table document = toml::parse(std::string_view(safe->text));
    Converter converter(*safe, name);
    TomlValue value = converter.convert(document);
    value.line = value.column = 1;
    if (!converter.errors.empty()) return converter.errors;
    return value;
  } catch (const toml::parse_error& e) {
    toml::source_position at = e.source().begin;
    Diagnostic d = syntax_error(e.description(), safe->rest_of_line(at));
    if (d.message == not_a_value) at = value_start(*safe, at);
    d.place = safe->place(name, at);
    return d;
  } catch (const std::exception&) {
    return Diagnostic{{name, breaking_line(*safe), 1},
                      "this line is not valid TOML",
                      "write a [table], or key = value with words in double quotes"};
  }
}

Expected<std::string> read_text_file(const std::string& path, std::size_t max_bytes) {
  const Place place{path, 0, 0};
  errno = 0;
  // Standard input by its descriptor: its name leads nowhere where /proc is not mounted.
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(
      path == "/dev/stdin" ? ::fdopen(::dup(STDIN_FILENO), "rb") : std::fopen(path.c_str(), "rb"), &std::fclose);
  if (!file) return Diagnostic{place, reason(errno), errno == ENOENT ? "check the name and the folder" : ""};
  struct stat info {};
  if (fstat(fileno(file.get()), &info) == 0 && S_ISDIR(info.st_mode))
    return Diagnostic{place, reason(EISDIR), "name a file inside it"};
  std::string text;
  std::string block(std::min<std::size_t>(max_bytes + 1, 65536), '\0');
  while (text.size() <= max_bytes) {
    const std::size_t got =
        std::fread(block.data(), 1, std::min(block.size(), max_bytes + 1 - text.size()), file.get());
    text.append(block, 0, got);
    if (got == 0) break;
  }
  if (std::ferror(file.get())) return Diagnostic{place, reason(errno), ""};
  if (text.size() > max_bytes)
    return Diagnostic{place, fmt::format("larger than {} bytes, the limit for this kind of file", max_bytes),
                      "check that it is the right file"};
  if (text.empty()) return Diagnostic{place, "the file is empty", "'seamwright new' prints one to start from"};
  return text;
}

}  // namespace seamwright
