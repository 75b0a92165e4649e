#include "calibrate/trial_columns.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "input/joint_entries.hpp"
#include "text/nearest_word.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

using Kind = TrialColumn::Kind;

// "m_per_min" and "m_min" are m/min; nothing for what is no unit.
std::string unit_of_suffix(std::string_view suffix) {
  std::string text(suffix);
  if (text == "percent") return "%";
  if (const auto per = text.find("_per_"); per != std::string::npos)
    text.replace(per, 5, "/");
  else
    std::replace(text.begin(), text.end(), '_', '/');
  return find_unit(text) == nullptr ? std::string() : text;
}

bool ends_with(std::string_view text, std::string_view end) {
  return text.size() > end.size() && text.substr(text.size() - end.size()) == end;
}

// A name that is known, by itself or before a unit: "current", "current_A".
bool match_name(std::string_view name, const Catalog& catalog, TrialColumn& column) {
  const auto known = [&](std::string_view stem) {
    if (same_name(stem, "wire_feed") || same_name(stem, "feed") || stem == "process.wire_feed") {
      column.kind = Kind::wire_feed;
      column.unit = "m/min";
    } else if (same_name(stem, "travel") || stem == "process.travel") {
      column.kind = Kind::travel;
      column.unit = "mm/s";
    } else if (const ReadingRow* reading = find_reading(catalog, stem)) {
      column.kind = Kind::reading;
      column.reading = reading;
      column.unit = reading->unit;
    } else {
      return false;
    }
    return true;
  };
  if (known(name)) return true;
  for (std::size_t at = name.find('_'); at != std::string_view::npos; at = name.find('_', at + 1)) {
    const std::string unit = unit_of_suffix(name.substr(at + 1));
    if (unit.empty() || !known(name.substr(0, at))) continue;
    if (!parse_quantity("1 " + unit, column.unit)) return false;  // a unit of something else
    column.unit = unit;
    return true;
  }
  return false;
}

std::string nearest_heading(std::string_view name, const Catalog& catalog) {
  std::vector<std::string_view> words{"wire_feed", "travel", "pass", "verdict"};
  for (const ReadingRow& reading : catalog.readings) words.push_back(reading.id);
  // Also without the unit behind it.
  for (const std::string_view stem : {name, name.substr(0, name.rfind('_'))})
    if (const std::string_view near = nearest_word(stem, words); !near.empty()) return std::string(near);
  return std::string(nearest_joint_key(name));
}

bool match_column(std::string_view name, const Catalog& catalog, TrialColumn& column) {
  if (name.substr(0, 2) == "x-") return true;
  if (name == "pass" || name == "verdict") {
    column.kind = name == "pass" ? Kind::pass : Kind::verdict;
    return true;
  }
  constexpr std::string_view dial = "dial.";
  if (name.starts_with(dial) && name.size() > dial.size()) {
    column.kind = Kind::dial;
    column.name = name.substr(dial.size());
    return true;
  }
  for (const std::string_view end : {" +-", "_+-", "+-", "_plus_minus"}) {
    if (!ends_with(name, end)) continue;
    if (!match_name(name.substr(0, name.size() - end.size()), catalog, column) || column.kind != Kind::reading)
      return false;
    column.kind = Kind::spread;
    return true;
  }
  if (match_name(name, catalog, column)) return true;
  if (!is_joint_key(name) || is_table_key(name)) return false;
  column.kind = Kind::joint_key;
  return true;
}

}  // namespace

Diagnostics read_trial_header(const std::vector<std::string_view>& names, const std::vector<Place>& places,
                              const Catalog& catalog, std::vector<TrialColumn>& columns) {
  Diagnostics errors;
  for (std::size_t i = 0; i < names.size(); ++i) {
    TrialColumn column;
    column.name = names[i];
    if (names[i].empty()) {
      errors.push_back({places[i], "a column of the header has no name", "an x- in front makes it a note"});
    } else if (!match_column(names[i], catalog, column)) {
      const std::string near = nearest_heading(names[i], catalog);
      errors.push_back({places[i], fmt::format("unknown column '{}'", names[i]),
                        near.empty() ? "'seamwright help trials' lists the columns; an x- in front makes it a note"
                                     : fmt::format("did you mean '{}'? an x- in front makes it a note", near)});
    } else if (column.kind != Kind::passed) {
      const auto same = [&](const TrialColumn& other) {
        return other.kind == column.kind && other.reading == column.reading &&
               ((column.kind != Kind::joint_key && column.kind != Kind::dial) || other.name == column.name);
      };
      if (std::any_of(columns.begin(), columns.end(), same))
        errors.push_back({places[i], fmt::format("column '{}' is there twice", names[i]), "leave one of the two out"});
    }
    columns.push_back(std::move(column));
  }
  const auto has = [&](Kind kind, std::string_view key = {}) {
    return std::any_of(columns.begin(), columns.end(),
                       [&](const TrialColumn& c) { return c.kind == kind && (key.empty() || c.name == key); });
  };
  const auto need = [&](bool there, std::string_view name, std::string_view why) {
    if (!there)
      errors.push_back({places.front(), fmt::format("no column '{}'", name), fmt::format("every trial needs {}", why)});
  };
  if (!errors.empty()) return errors;
  need(has(Kind::joint_key, "wire.designation"), "wire.designation", "its wire");
  need(has(Kind::joint_key, "wire.diameter"), "wire.diameter", "its wire diameter");
  need(has(Kind::joint_key, "process.mode"), "process.mode", "its mode of transfer");
  // A dial may stand for it: which does, the machine knows.
  need(has(Kind::wire_feed) || has(Kind::dial), "wire_feed", "the feed that was set");
  need(has(Kind::travel) || has(Kind::dial), "travel", "the travel speed");
  if (errors.empty() && !has(Kind::reading) && !has(Kind::verdict) && !has(Kind::dial))
    errors.push_back({places.front(), "no column with a reading or a verdict",
                      "add what was read, for example current_A, voltage_V, bead_width_mm, or 'verdict'"});
  return errors;
}

}  // namespace seamwright
