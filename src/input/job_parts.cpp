#include "input/job_parts.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "text/foreign_text.hpp"
#include "text/json_value.hpp"

namespace seamwright {

bool is_handed_through(std::string_view name, const std::vector<std::string>& keep) {
  return name.substr(0, 2) == "x-" || std::find(keep.begin(), keep.end(), name) != keep.end();
}

Diagnostic list_error(std::string message, std::string help) {
  Diagnostic d;
  d.message = std::move(message);
  d.help = std::move(help);
  return d;
}

bool is_plain(std::string_view text) {
  unsigned odd = 0;
  for (const char c : text) odd |= static_cast<unsigned>(static_cast<unsigned char>(c - ' ') > '~' - ' ');
  return odd == 0;
}

std::string TextFault::in_one_line() const { return fmt::format("{} ({})", why, help); }

TextFault text_fault(std::string_view text, bool shown) {
  if (is_plain(text)) return {};
  while (!text.empty()) {
    const std::size_t bytes = utf8_letter_bytes(text);
    if (bytes == 0) return {"is not UTF-8", "save the list as UTF-8"};
    if (shown && is_control(text.front()))
      return {fmt::format("holds a control character, byte 0x{:02x}", static_cast<unsigned char>(text.front())),
              "take it out"};
    text.remove_prefix(bytes);
  }
  return {};
}

Expected<TomlValue> parse_job_table(std::string_view text) {
  Expected<TomlValue> document = parse_toml(text, "");
  if (!document) return document.errors();
  const TomlValue* jobs = document->find("job");
  if (document->members.size() != 1 || jobs == nullptr || jobs->kind != TomlValue::Kind::array ||
      jobs->items.size() != 1 || jobs->items[0].kind != TomlValue::Kind::table)
    return list_error("a row must be one [[job]] table with the tables of a joint file below it",
                      "write [[job]] and then joint.type = \"fillet\" or [job.joint]");
  return TomlValue(jobs->items[0]);
}

Expected<TomlValue> parse_document(JobFormat format, std::string_view row, std::span<const std::string> whole) {
  if (format == JobFormat::toml) return parse_job_table(row);
  JsonReader reader;
  TomlValue root;
  if (!reader.read_object(row, root, whole)) return reader.error();
  return root;
}

}  // namespace seamwright
