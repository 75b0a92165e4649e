#include "seamwright/log_format.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "input/value_reader.hpp"
#include "seamwright/input.hpp"
#include "text/nearest_word.hpp"

namespace seamwright {
namespace {

struct QuantityRow {
  std::string_view key, unit;
};
constexpr std::array<QuantityRow, log_quantity_count> quantities{{{"time", "s"},
                                                                  {"current", "A"},
                                                                  {"voltage", "V"},
                                                                  {"feed", "m/min"},
                                                                  {"travel", "mm/s"},
                                                                  {"x", "mm"},
                                                                  {"y", "mm"},
                                                                  {"z", "mm"},
                                                                  {"arc", ""}}};

std::vector<std::string_view> quantity_keys() {
  std::vector<std::string_view> keys;
  for (const QuantityRow& row : quantities) keys.push_back(row.key);
  return keys;
}

std::optional<LogQuantity> quantity_by_key(std::string_view key) {
  for (std::size_t i = 0; i < log_quantity_count; ++i)
    if (quantities[i].key == key) return static_cast<LogQuantity>(i);
  return std::nullopt;
}

constexpr std::string_view containers[] = {"log"};
constexpr double largest_scale = 1e9;

class LogFormatReader {
 public:
  explicit LogFormatReader(const std::string& name) : name_(name) {}

  Expected<LogFormat> read(const TomlValue& document) {
    for (const Entry& entry : flatten(document, name_, containers)) take(entry);
    if (!reader_.errors.empty()) return std::move(reader_.errors);
    return std::move(format_);
  }

 private:
  void take(const Entry& entry) {
    const std::string_view key =
        entry.path.starts_with("log.") ? std::string_view(entry.path).substr(4) : std::string_view();
    if (key == "separator") return take_separator(entry);
    if (key == "decimal") return take_decimal(entry);
    if (key == "rate") {
      format_.rate_Hz = reader_.number(entry, {"Hz", 0.01, 1e6}).value_or(0);
    } else if (const auto quantity = quantity_by_key(key)) {
      take_column(entry, *quantity);
    } else {
      std::vector<std::string> paths{"log.separator", "log.decimal", "log.rate"};
      for (const QuantityRow& row : quantities) paths.push_back(fmt::format("log.{}", row.key));
      reader_.unknown_key(entry, std::vector<std::string_view>(paths.begin(), paths.end()), "help logs");
    }
  }

  void take_separator(const Entry& entry) {
    constexpr std::array<std::pair<std::string_view, char>, 4> words{
        {{"comma", ','}, {"semicolon", ';'}, {"tab", '\t'}, {"blank", ' '}}};
    const auto text = reader_.text(entry);
    if (!text) return;
    std::vector<std::string_view> known;
    for (const auto& [word, c] : words) {
      if (word == *text) return static_cast<void>(format_.separator = c);
      known.push_back(word);
    }
    reader_.unknown_word(entry, *text, known);
  }

  void take_decimal(const Entry& entry) {
    const auto text = reader_.text(entry);
    if (!text) return;
    constexpr std::array<std::string_view, 2> known{"point", "comma"};
    if (*text != known[0] && *text != known[1]) return reader_.unknown_word(entry, *text, known);
    format_.decimal_comma = *text == "comma";
  }

  void take_column(const Entry& entry, LogQuantity quantity) {
    LogColumn column;
    column.place = entry.place;
    if (entry.value->kind != TomlValue::Kind::table) {
      if (const auto text = reader_.text(entry))
        format_[quantity] = LogColumn{std::string(*text), "", 1, 0, entry.place};
      return;
    }
    for (const auto& [name, value] : entry.value->members) {
      const Entry item{fmt::format("{}.{}", entry.path, name),
                       &value,
                       {name_, value.line, value.column},
                       {name_, value.key_line, value.key_column}};
      if (name == "column")
        column.column = reader_.text(item).value_or("");
      else if (name == "unit")
        column.unit = reader_.text(item).value_or("");
      else if (name == "scale")
        column.scale = reader_.number(item, {"", -largest_scale, largest_scale}).value_or(1);
      else if (name == "offset")
        column.offset = reader_.number(item, {"", -largest_scale, largest_scale}).value_or(0);
      else
        reader_.unknown_key(item, std::vector<std::string_view>{"column", "unit", "scale", "offset"}, "help logs");
    }
    if (column.column.empty() && reader_.errors.empty())
      reader_.fail(entry.place, fmt::format("{} names no column", entry.path),
                   "write { column = \"I\", scale = 0.25 }; the column is a name of the header or a number from 1");
    if (column.scale == 0) reader_.fail(entry.place, fmt::format("{}.scale cannot be 0", entry.path), "");
    format_[quantity] = std::move(column);
  }

  const std::string& name_;
  LogFormat format_;
  ValueReader reader_;
};

}  // namespace

std::string_view log_quantity_key(LogQuantity q) { return quantities[static_cast<std::size_t>(q)].key; }
std::string_view log_quantity_unit(LogQuantity q) { return quantities[static_cast<std::size_t>(q)].unit; }

Expected<LogFormat> read_log_format_text(std::string_view text, const std::string& name) {
  return read_text_with<LogFormatReader, LogFormat>(text, name);
}
Expected<LogFormat> read_log_format(const std::string& path) {
  const auto text = read_text_file(path, max_input_bytes);
  if (!text) return text.errors();
  return read_log_format_text(*text, path);
}

Diagnostics map_column(LogFormat& format, std::string_view text) {
  // Several may stand in one, with commas between.
  while (!text.empty()) {
    const std::size_t comma = text.find(',');
    const std::string_view item = text.substr(0, comma);
    text = comma == std::string_view::npos ? std::string_view() : text.substr(comma + 1);
    const Place place{fmt::format("--map {}", item), 0, 0};
    const std::size_t equals = item.find('=');
    if (equals == std::string_view::npos || equals == 0 || equals + 1 == item.size())
      return {{place, "--map takes QUANTITY=COLUMN", "for example --map time=t_s,current=I"}};
    const std::string_view key = item.substr(0, equals);
    const auto quantity = quantity_by_key(key);
    if (!quantity) {
      const std::vector<std::string_view> keys = quantity_keys();
      const std::string_view near = nearest_word(key, keys);
      return {{place, fmt::format("a log has no quantity '{}'", text_start(key)),
               near.empty() ? fmt::format("it is one of: {}", fmt::join(keys, ", "))
                            : fmt::format("did you mean '{}'?", near)}};
    }
    format[*quantity] = LogColumn{std::string(item.substr(equals + 1)), "", 1, 0, place};
  }
  return {};
}

}  // namespace seamwright
