#include "input/value_reader.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>

#include "text/nearest_word.hpp"

namespace seamwright {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr std::size_t longest_text = 200;

std::string_view leaf(std::string_view path) { return path.substr(path.rfind('.') + 1); }

void flatten_table(const TomlValue& table, std::string_view prefix, const std::string& name,
                   std::span<const std::string_view> containers, KeptList<Entry>& out) {
  for (const auto& [key, value] : table.members) {
    if (value.kind == TomlValue::Kind::null) continue;
    Entry& entry = out.add();
    entry.path = prefix;
    if (!prefix.empty()) entry.path += '.';
    // A quoted key with a dot in it is not the same as a key in a table.
    const bool quoted = key.find('.') != std::string::npos;
    if (quoted) entry.path += '"';
    entry.path += key;
    if (quoted) entry.path += '"';
    const auto container = std::find(containers.begin(), containers.end(), entry.path);
    if (container != containers.end() && value.kind == TomlValue::Kind::table) {
      out.resize(out.size() - 1);
      flatten_table(value, *container, name, containers, out);
      continue;
    }
    entry.value = &value;
    entry.place = {name, value.line, value.column};
    entry.key_place = {name, value.key_line, value.key_column};
  }
}

}  // namespace

std::string rule_text(const NumberRule& rule) {
  return fmt::format("{} to {}", number_text(rule.low), with_unit(rule.high, rule.unit));
}

std::vector<Entry> flatten(const TomlValue& document, const std::string& name,
                           std::span<const std::string_view> containers) {
  KeptList<Entry> entries;
  flatten(document, name, containers, entries);
  return {std::make_move_iterator(entries.begin()), std::make_move_iterator(entries.end())};
}

void flatten(const TomlValue& document, const std::string& name, std::span<const std::string_view> containers,
             KeptList<Entry>& entries) {
  entries.clear();
  flatten_table(document, {}, name, containers, entries);
}

std::string where(const Place& place) { return place.line > 0 ? fmt::format("line {}", place.line) : place.file; }

void ValueReader::wrong_kind(const Entry& entry, std::string_view expected, std::string help) {
  fail(entry.place, fmt::format("{} is {}, expected {}", entry.path, toml_kind_label(entry.value->kind), expected),
       std::move(help));
}

bool ValueReader::in_bounds(const Entry& entry, double value, const NumberRule& rule) {
  if (value >= rule.low && value <= rule.high) return true;
  fail(entry.place, fmt::format("{} is {}, expected {}", entry.path, with_unit(value, rule.unit), rule_text(rule)),
       !rule.unit.empty() ? fmt::format("a number without a unit is in {}", rule.unit)
       : rule.high <= 1   ? "write a share: 0.5 or \"50 %\""
                          : "");
  return false;
}

std::optional<double> ValueReader::bare_number(const Entry& entry, const TomlValue& value, const NumberRule& rule) {
  if (value.kind == TomlValue::Kind::string) return take(entry, parse_quantity(value.text, rule.unit));
  if (!value.is_number()) {
    wrong_kind(entry, dimension_label(find_unit(rule.unit)->dimension), fmt::format("expected {}", rule_text(rule)));
    return std::nullopt;
  }
  if (!std::isfinite(value.number)) {
    fail(entry.place, fmt::format("{} is not a finite number", entry.path),
         fmt::format("expected {}", rule_text(rule)));
    return std::nullopt;
  }
  return value.number + 0.0;  // never minus zero
}

std::optional<double> ValueReader::number(const Entry& entry, const NumberRule& rule) {
  const auto value = bare_number(entry, *entry.value, rule);
  return value && in_bounds(entry, *value, rule) ? value : std::nullopt;
}

std::optional<int> ValueReader::integer(const Entry& entry, int low, int high) {
  const auto value = number(entry, {"", static_cast<double>(low), static_cast<double>(high)});
  if (!value) return std::nullopt;
  if (*value != std::floor(*value)) {
    fail(entry.place, fmt::format("{} is {}, expected a whole number", entry.path, number_text(*value)));
    return std::nullopt;
  }
  return static_cast<int>(*value);
}

std::optional<Interval> ValueReader::interval(const Entry& entry, const NumberRule& rule, bool open_ends) {
  const TomlValue& v = *entry.value;
  std::optional<Interval> range;
  const auto both = [&](const TomlValue* low, const TomlValue* high) -> std::optional<Interval> {
    Interval ends{-infinite, infinite};
    for (const auto& [end, value] : {std::pair(&ends.low, low), std::pair(&ends.high, high)}) {
      if (value == nullptr) continue;
      const auto number = bare_number(entry, *value, rule);
      if (!number) return std::nullopt;
      *end = *number;
    }
    if (ends.low <= ends.high) return ends;
    fail(entry.place,
         fmt::format("{} runs from {} down to {}", entry.path, number_text(ends.low), number_text(ends.high)),
         "put the lower end first");
    return std::nullopt;
  };
  if (v.kind == TomlValue::Kind::string) {
    range = take(entry, parse_interval(v.text, rule.unit, open_ends));
  } else if (v.is_number()) {
    range = both(&v, &v);
  } else if (v.kind == TomlValue::Kind::array && v.items.size() == 2) {
    range = both(&v.items[0], &v.items[1]);
  } else if (v.kind == TomlValue::Kind::table && !v.members.empty() &&
             std::all_of(v.members.begin(), v.members.end(),
                         [](const auto& m) { return m.key == "min" || m.key == "max"; }) &&
             (open_ends || v.members.size() == 2)) {
    range = both(v.find("min"), v.find("max"));
  } else {
    wrong_kind(
        entry, "a range",
        fmt::format("write \"6..8{}{}\", [6, 8] or {{ min = 6, max = 8 }}", rule.unit.empty() ? "" : " ", rule.unit));
  }
  if (!range) return std::nullopt;
  if (std::isfinite(range->low) && !in_bounds(entry, range->low, rule)) return std::nullopt;
  if (std::isfinite(range->high) && !in_bounds(entry, range->high, rule)) return std::nullopt;
  return range;
}

std::optional<bool> ValueReader::boolean(const Entry& entry) {
  if (entry.value->kind == TomlValue::Kind::boolean) return entry.value->boolean;
  wrong_kind(entry, "true or false", "write true or false without quotes");
  return std::nullopt;
}

std::optional<std::string_view> ValueReader::text(const Entry& entry) {
  const TomlValue& v = *entry.value;
  if (v.kind != TomlValue::Kind::string && v.kind != TomlValue::Kind::datetime && !v.is_number()) {
    wrong_kind(entry, "a string", "write it in double quotes");
    return std::nullopt;
  }
  if (v.text.empty()) {
    fail(entry.place, fmt::format("{} is empty", entry.path), "leave the key out when there is nothing to say");
    return std::nullopt;
  }
  if (v.text.size() > longest_text) {
    fail(entry.place, fmt::format("{} is longer than {} bytes", entry.path, longest_text));
    return std::nullopt;
  }
  return v.text;
}

void ValueReader::unknown_word(const Entry& entry, std::string_view given, std::span<const std::string_view> known) {
  const std::string_view near = nearest_word(given, known);
  std::string help = near.empty() ? "" : fmt::format("did you mean '{}'? ", near);
  help += "known:";
  for (std::size_t i = 0; i < known.size(); ++i) help += fmt::format("{} {}", i == 0 ? "" : ",", known[i]);
  fail(entry.place, fmt::format("{} '{}' is not known", entry.path, given), std::move(help));
}

std::string_view nearest_key(std::string_view path, std::span<const std::string_view> known) {
  // The right name in the wrong table first, then a misspelt name.
  for (const std::string_view key : known)
    if (leaf(key) == leaf(path)) return key;
  if (const std::string_view near = nearest_word(path, known); !near.empty()) return near;
  std::vector<std::string_view> leaves;
  for (const std::string_view key : known) leaves.push_back(leaf(key));
  const std::string_view word = nearest_word(leaf(path), leaves);
  for (std::size_t i = 0; i < leaves.size() && !word.empty(); ++i)
    if (leaves[i] == word) return known[i];
  return {};
}

void ValueReader::unknown_key(const Entry& entry, std::span<const std::string_view> known, std::string_view listed_by) {
  const std::string_view near = nearest_key(entry.path, known);
  constexpr std::size_t few = 24;
  std::string help;
  if (!near.empty())
    help = fmt::format("did you mean '{}'?", near);
  else if (known.size() <= few)
    help = fmt::format("the keys are: {}", fmt::join(known, ", "));
  else
    help = fmt::format("'seamwright {}' lists the keys", listed_by);
  fail(entry.key_place, fmt::format("unknown key '{}'", text_start(entry.path, longest_text)), std::move(help));
}

}  // namespace seamwright
