// Writes a JSON Schema with the program's own lists in it:
//   write-schema IN.json OUT.json
// Where an object of IN has "$comment": "from the program: LIST", its "enum" becomes the keys of that list, or its
// "properties", all alike, one for each key. All else stays. LIST: quantities, limits, modes.
#include <fmt/format.h>

#include <exception>
#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/constraint.hpp"
#include "seamwright/field.hpp"
#include "seamwright/mode.hpp"

namespace {

using Json = nlohmann::ordered_json;

std::vector<std::string> keys_of(std::string_view list) {
  std::vector<std::string> keys;
  if (list == "quantities") {
    for (const seamwright::FieldInfo& info : seamwright::fields()) keys.emplace_back(info.key);
  } else if (list == "limits") {
    for (const seamwright::ConstraintInfo& info : seamwright::constraints())
      if (info.id != seamwright::C::none) keys.emplace_back(info.key);
  } else if (list == "modes") {
    for (std::size_t i = 0; i < seamwright::mode_count; ++i)
      keys.emplace_back(seamwright::mode_key(static_cast<seamwright::Mode>(i)));
  } else {
    throw std::runtime_error(fmt::format("no list '{}'", list));
  }
  return keys;
}

void fill(Json& schema) {
  constexpr std::string_view mark = "from the program: ";
  if (const auto comment = schema.is_object() ? schema.find("$comment") : schema.end();
      schema.is_object() && comment != schema.end() && comment->get<std::string>().starts_with(mark)) {
    const std::vector<std::string> keys = keys_of(comment->get<std::string>().substr(mark.size()));
    if (schema.contains("properties")) {
      const Json each = *schema["properties"].begin();
      schema["properties"] = Json::object();
      for (const std::string& key : keys) schema["properties"][key] = each;
    } else {
      schema["enum"] = keys;
    }
  }
  if (schema.is_structured())
    for (Json& part : schema) fill(part);
}

// On one line where there is room, for people who read the file.
std::string on_one_line(const Json& value) {
  if (!value.is_structured()) return value.dump();
  std::string text(1, value.is_object() ? '{' : '[');
  for (const auto& [key, part] : value.items()) {
    if (text.size() > 1) text += ", ";
    if (value.is_object()) text += Json(key).dump() + ": ";
    text += on_one_line(part);
  }
  return text + (value.is_object() ? '}' : ']');
}

void write(std::string& out, const Json& value, std::size_t indent, std::size_t before) {
  constexpr std::size_t width = 120;
  const std::string line = on_one_line(value);
  if (!value.is_structured() || value.empty() || (indent > 0 && before + line.size() + 1 <= width)) {
    out += line;
    return;
  }
  out += value.is_object() ? "{\n" : "[\n";
  std::size_t left = value.size();
  for (const auto& [key, part] : value.items()) {
    const std::string name = value.is_object() ? Json(key).dump() + ": " : "";
    out += std::string(indent + 2, ' ') + name;
    write(out, part, indent + 2, indent + 2 + name.size());
    out += --left > 0 ? ",\n" : "\n";
  }
  out += std::string(indent, ' ') + (value.is_object() ? '}' : ']');
}

}  // namespace

int main(int count, char** arguments) {
  try {
    if (count != 3) throw std::runtime_error("usage: write-schema IN.json OUT.json");
    std::ifstream in(arguments[1]);
    Json schema = Json::parse(in);
    fill(schema);
    std::string text;
    write(text, schema, 0, 0);
    std::ofstream out(arguments[2]);
    if (!(out << text << '\n')) throw std::runtime_error(fmt::format("{} cannot be written", arguments[2]));
  } catch (const std::exception& e) {
    fmt::print(stderr, "{}\n", e.what());
    return 1;
  }
}
