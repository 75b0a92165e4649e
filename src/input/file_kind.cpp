#include "input/file_kind.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <vector>

#include "text/toml_document.hpp"

namespace seamwright {
namespace {

struct KindWords {
  FileKind kind;
  std::string_view name;
  std::string_view place;  // where it belongs; {} stands for the file
};
constexpr std::array<KindWords, 15> kinds{
    {{FileKind::joint, "a joint file", "give it first: seamwright plan {}"},
     {FileKind::equipment, "an equipment file", "give it with --equipment {}"},
     {FileKind::procedure, "a procedure or lock file", "give it with --procedure {}"},
     {FileKind::test_piece, "a procedure test piece", "use check: seamwright check --test-piece {}"},
     {FileKind::jobs, "a job list", "use batch: seamwright batch {}"},
     {FileKind::trials, "a list of trial welds", "use calibrate: seamwright calibrate {} -o own.toml"},
     {FileKind::settings, "a list of settings", "use assess: seamwright assess JOINT.toml --list {}"},
     {FileKind::log, "the log of a weld", "use review: seamwright review {}"},
     {FileKind::log_layout, "the layout of a log", "use review: seamwright review LOG.csv --log {}"},
     {FileKind::saved_plan, "a saved plan", "use compare: seamwright compare {} JOINT.toml"},
     {FileKind::answers, "an answer of batch or plan", "give the file it was made from"},
     {FileKind::catalog_rows, "a file of catalog rows", "give it with --data {}"},
     {FileKind::page, "a page to look at", "give the file it was made from"},
     {FileKind::packed, "a workbook, a document or an archive",
      "save what it holds as plain text in UTF-8: lists as CSV"},
     {FileKind::picture, "a picture", "give the file it was made from"}}};

// What files of bytes begin with: ZIP (workbooks and documents are that), gzip, PNG, JPEG, PDF.
struct FirstBytes {
  std::string_view bytes;
  FileKind kind;
};
constexpr std::array<FirstBytes, 5> first_bytes{{{"PK\x03\x04", FileKind::packed},
                                                 {"\x1F\x8B", FileKind::packed},
                                                 {"\x89PNG", FileKind::picture},
                                                 {"\xFF\xD8\xFF", FileKind::picture},
                                                 {"%PDF-", FileKind::picture}}};

const KindWords& words_of(FileKind kind) {
  return *std::find_if(kinds.begin(), kinds.end(), [kind](const KindWords& w) { return w.kind == kind; });
}

FileKind toml_kind(const TomlValue& document) {
  using Kind = TomlValue::Kind;
  const auto has = [&document](std::string_view key, Kind kind) {
    const TomlValue* value = document.find(key);
    return value != nullptr && value->kind == kind;
  };
  const auto any = [&has](std::initializer_list<std::string_view> keys, Kind kind) {
    return std::any_of(keys.begin(), keys.end(), [&](std::string_view key) { return has(key, kind); });
  };
  if (has("job", Kind::array)) return FileKind::jobs;
  if (has("log", Kind::table)) return FileKind::log_layout;
  if (any({"source", "alloy", "wire", "gas", "wire_size", "trial", "metal"}, Kind::array))
    return FileKind::catalog_rows;
  // What a joint must have. Without them it may as well be a procedure that states little.
  const auto has_word = [&document](std::string_view table, std::string_view key) {
    const TomlValue* value = document.find(table);
    value = value != nullptr && value->kind == Kind::table ? value->find(key) : nullptr;
    return value != nullptr && value->kind == Kind::string;
  };
  const bool joint_words = has_word("joint", "type") && has_word("material", "alloy");
  if (any({"made", "every", "single", "root", "fill", "cap"}, Kind::table)) return FileKind::procedure;
  // A procedure has its passes by number, a joint by name too.
  if (has("pass", Kind::table)) {
    const auto numbered = [](const TomlMember& member) {
      return member.key.find_first_not_of("0123456789") == std::string::npos;
    };
    const auto& passes = document.find("pass")->members;
    return joint_words || !std::all_of(passes.begin(), passes.end(), numbered) ? FileKind::joint : FileKind::procedure;
  }
  if (any({"source", "feeder"}, Kind::table) || has("dial", Kind::array)) return FileKind::equipment;
  if (any({"standard", "weld", "runs"}, Kind::string)) return FileKind::test_piece;
  return joint_words ? FileKind::joint : FileKind::unknown;
}

// The names of a header without their units: "current (A)" is "current".
std::vector<std::string> header_names(std::string_view line) {
  std::vector<std::string> names(1);
  bool past_name = false;
  for (const char c : line) {
    if (c == ',' || c == ';' || c == '\t') {
      names.emplace_back();
      past_name = false;
    } else if (c == '[' || c == '(') {
      past_name = true;
    } else if (!past_name && c != '"' && c != ' ' && c != '\r') {
      names.back() += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
  }
  return names;
}

FileKind header_kind(std::string_view line) {
  const std::vector<std::string> names = header_names(line);
  const auto has = [&names](std::string_view name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  const auto starts = [&names](std::string_view start) {
    return std::any_of(names.begin(), names.end(), [start](const std::string& n) { return n.rfind(start, 0) == 0; });
  };
  if (names.size() < 2) return FileKind::unknown;
  if (has("status") && (has("line") || has("pass"))) return FileKind::answers;
  if (has("verdict") || (has("wire.designation") && (starts("wire_feed") || starts("dial.")))) return FileKind::trials;
  if (starts("joint.") || has("material.alloy")) return FileKind::jobs;
  if (starts("time") || (starts("current") && starts("voltage") && !has("feed"))) return FileKind::log;
  return has("feed") || starts("dial.") ? FileKind::settings : FileKind::unknown;
}

// Logs have lines before their header.
FileKind table_kind(std::string_view text) {
  constexpr int lines = 10;
  for (int i = 0; i < lines && !text.empty(); ++i) {
    const std::size_t end = std::min(text.find('\n'), text.size() - 1);
    if (const FileKind kind = header_kind(text.substr(0, end)); kind != FileKind::unknown) return kind;
    text.remove_prefix(end + 1);
  }
  return FileKind::unknown;
}

}  // namespace

FileKind file_kind(std::string_view text) {
  for (const FirstBytes& first : first_bytes)
    if (text.starts_with(first.bytes)) return first.kind;
  constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
  if (text.rfind(byte_order_mark, 0) == 0) text.remove_prefix(byte_order_mark.size());
  text.remove_prefix(std::min(text.find_first_not_of(" \t\r\n"), text.size()));
  if (text.empty()) return FileKind::unknown;
  if (text[0] == '<') return FileKind::page;
  if (text[0] == '{') {
    const std::string_view start = text.substr(0, 512);
    const bool plan =
        start.find("\"program\"") != std::string_view::npos && start.find("\"seamwright\"") != std::string_view::npos;
    return plan ? FileKind::saved_plan : FileKind::jobs;
  }
  if (text.size() <= max_input_bytes)
    if (const Expected<TomlValue> document = parse_toml(text, "")) return toml_kind(*document);
  return table_kind(text);
}

Diagnostics told_apart(Diagnostics errors, std::string_view text, const std::string& name, FileKind wanted) {
  const FileKind kind = file_kind(text);
  if (kind == FileKind::unknown || kind == wanted) return errors;
  Diagnostic d;
  d.place.file = name;
  d.message = fmt::format("this is {}, not {}", words_of(kind).name, words_of(wanted).name);
  d.help = words_of(kind).place;
  if (const std::size_t gap = d.help.find("{}"); gap != std::string::npos) d.help.replace(gap, 2, name);
  return {d};
}

Diagnostics file_told_apart(Diagnostics errors, const std::string& path, FileKind wanted) {
  const Expected<std::string> text = read_text_file(path, max_input_bytes);
  return text ? told_apart(std::move(errors), *text, path, wanted) : errors;
}

}  // namespace seamwright
