// A list of trial welds from CSV text.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "calibrate/trial_columns.hpp"
#include "input/job_records.hpp"
#include "input/joint_entries.hpp"
#include "text/nearest_word.hpp"
#include "text/table_text.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

using Kind = TrialColumn::Kind;

constexpr std::size_t most_welds = 2000;
constexpr double most_reading = 1e5;

class TrialReader {
 public:
  TrialReader(std::string_view text, const std::string& name, const Catalog& catalog, const Equipment* equipment)
      : text_(text), name_(name), catalog_(catalog), equipment_(equipment) {}

  Expected<TrialList> read() {
    TrialList list;
    list.file = std::filesystem::path(name_).filename().string();
    const std::size_t mark = text_.substr(0, 3) == "\xEF\xBB\xBF" ? 3 : 0;
    std::string_view rest = text_.substr(mark);
    separator_ = sniff_separator(rest);
    RecordScanner scanner(JobFormat::csv, separator_);
    while (!rest.empty()) {
      const RecordScanner::Step step = scanner.next(rest, true);
      if (step.used == 0) break;
      if (step.found) take(rest.substr(step.record.offset, step.record.size), step.record, list);
      rest.remove_prefix(step.used);
      if (columns_.empty() && !errors_.empty()) break;  // without a header the rows mean nothing
    }
    if (errors_.empty() && columns_.empty())
      fail({name_, 1, 1}, "the list is empty", "row 1 holds the headings; 'seamwright help trials' lists them");
    else if (errors_.empty() && list.welds.empty())
      fail({name_, 1, 1}, "the list has a header and no trial", "a row a trial weld");
    if (errors_.empty()) return list;
    attach_source_lines(errors_, text_, name_);
    return errors_;
  }

 private:
  std::string_view text_;
  std::string name_;
  const Catalog& catalog_;
  const Equipment* equipment_;
  char separator_ = ',';
  std::vector<TrialColumn> columns_;
  Diagnostics errors_;
  std::string scratch_;

  void fail(Place place, std::string message, std::string help) {
    errors_.push_back({std::move(place), std::move(message), std::move(help)});
  }

  void take(std::string_view row, const JobRecord& record, TrialList& list) {
    const Place start{name_, static_cast<int>(record.line), 1};
    if (record.flaw != JobFlaw::none)
      return fail(start,
                  record.flaw == JobFlaw::open_quote ? "a quote of this row is not closed" : "the row is too long",
                  "put quotes around whole cells, or none");
    std::vector<std::string_view> cells;
    if (!split_csv_row(row, separator_, cells, scratch_))
      return fail(start, "text follows a closing quote", "put quotes around whole cells, or none");
    std::vector<Place> places;
    for (const std::string_view cell : cells) {
      const bool inside = cell.data() >= row.data() && cell.data() <= row.data() + row.size();
      places.push_back({name_, start.line, inside ? static_cast<int>(cell.data() - row.data()) + 1 : 1});
    }
    if (columns_.empty()) {
      std::vector<TrialColumn> columns;
      errors_ = read_trial_header(cells, places, catalog_, columns);
      if (errors_.empty()) columns_ = std::move(columns);
      return;
    }
    if (list.welds.size() >= most_welds)
      return fail(start, fmt::format("more than {} trials", most_welds), "calibrate from fewer");
    if (cells.size() != columns_.size())
      return fail(start, fmt::format("the row has {} cells, the header {}", cells.size(), columns_.size()),
                  "an empty cell is a value left out, but its separator must stand");
    const std::size_t before = errors_.size();
    TrialWeld weld;
    weld.row = list.welds.size() + 1;
    weld.place = start;
    read_cells(cells, places, weld);
    if (errors_.size() == before)
      list.welds.push_back(std::move(weld));
    else if (list.welds.size() < most_welds)
      list.welds.emplace_back();  // rows go on being counted
  }

  std::optional<double> number(std::string_view cell, const Place& place, const TrialColumn& column,
                               std::string_view unit) {
    std::string text(cell);
    const bool bare = text.find_first_not_of("0123456789.+-eE ") == std::string::npos;
    if (bare && column.unit != unit) text += " " + column.unit;
    const Expected<double> value = parse_quantity(text, unit);
    if (!value) {
      const Diagnostic& d = value.errors().front();
      fail(place, fmt::format("{}: {}", column.name, d.message), d.help);
      return std::nullopt;
    }
    return *value;
  }

  std::optional<double> setting(std::string_view cell, const Place& place, const TrialColumn& column,
                                std::string_view unit, double low, double high) {
    const auto value = number(cell, place, column, unit);
    if (value && (*value < low || *value > high)) {
      fail(place,
           fmt::format("{}: {} is not between {} and {}", column.name, with_unit(*value, unit), low,
                       with_unit(high, unit)),
           "check the unit and the decimal point");
      return std::nullopt;
    }
    return value;
  }

  void read_cells(const std::vector<std::string_view>& cells, const std::vector<Place>& places, TrialWeld& weld) {
    KeptList<TomlValue> values;
    values.resize(cells.size() + 4);
    std::vector<Entry> entries;
    entries.reserve(cells.size() + 4);
    std::string wire;
    const auto has_key = [&](std::string_view key) {
      return std::any_of(entries.begin(), entries.end(), [&](const Entry& e) { return e.path == key; });
    };
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (cells[i].empty()) continue;
      const TrialColumn& column = columns_[i];
      switch (column.kind) {
        case Kind::passed:
          break;
        case Kind::joint_key: {
          if (is_text_key(column.name)) {
            values[i].kind = TomlValue::Kind::string;
            values[i].text = cells[i];
          } else {
            values[i] = value_from_text(std::string(cells[i]));
          }
          entries.push_back({column.name, &values[i], places[i], places[i]});
          if (column.name == "wire.designation") wire = cells[i];
          if (column.name == "id") weld.id = cells[i];
          break;
        }
        case Kind::wire_feed:
          weld.wire_feed_m_per_min = setting(cells[i], places[i], column, "m/min", 0.5, 40).value_or(-1);
          break;
        case Kind::travel:
          weld.travel_mm_per_s = setting(cells[i], places[i], column, "mm/s", 0.5, 100).value_or(-1);
          break;
        case Kind::pass: {
          const double pass = setting(cells[i], places[i], column, "", 1, 1000).value_or(1);
          if (pass != std::floor(pass)) fail(places[i], "pass: not a whole number", "1 is the first");
          weld.pass = static_cast<std::size_t>(pass) - 1;
          break;
        }
        case Kind::verdict:
          read_verdicts(cells[i], places[i], weld);
          break;
        case Kind::reading:
          read_reading(cells[i], places[i], column, weld);
          break;
        case Kind::spread:
        case Kind::dial:
          break;  // once all readings are there
      }
    }
    const std::size_t before_dials = errors_.size();
    read_dials(cells, places, weld);
    const bool dials_known = errors_.size() == before_dials;
    read_spreads(cells, places, weld);
    need(weld.wire_feed_m_per_min != 0 || !dials_known, weld, "wire_feed");
    need(weld.travel_mm_per_s != 0 || !dials_known, weld, "travel");
    for (const std::string_view key : {"wire.designation", "wire.diameter", "process.mode"})
      need(has_key(key), weld, key);
    if (weld.readings.empty() && weld.verdicts.empty() && !weld.good)
      fail(weld.place, "the trial has neither a reading nor a verdict", "fill in what was read, or take the row out");
    // What is left out is a bead on plate.
    const Wire* known = find_wire(catalog_, wire);
    const Alloy* alloy = known == nullptr ? nullptr : first_alloy_for(catalog_, *known);
    std::size_t at = cells.size();
    const auto by_default = [&](std::string_view key, std::string_view text) {
      if (has_key(key)) return;
      values[at] = value_from_text(std::string(text));
      entries.push_back({std::string(key), &values[at], weld.place, weld.place});
      ++at;
    };
    by_default("joint.type", "overlay");
    by_default("joint.thickness", "10");
    by_default("joint.position", "PA");
    by_default("material.alloy", alloy == nullptr ? std::string("S355") : fmt::format("\"{}\"", alloy->id));
    std::vector<const Entry*> list;
    for (const Entry& entry : entries) list.push_back(&entry);
    const Diagnostics faults = joint_from_entries(name_, list, catalog_, weld.joint);
    errors_.insert(errors_.end(), faults.begin(), faults.end());
  }

  void need(bool there, const TrialWeld& weld, std::string_view what) {
    if (!there) fail(weld.place, fmt::format("the trial has no {}", what), "every trial needs it");
  }

  void read_reading(std::string_view cell, const Place& place, const TrialColumn& column, TrialWeld& weld) {
    const auto value = number(cell, place, column, column.reading->unit);
    if (!value) return;
    const bool may_be_zero = column.reading->id == "back_width" || column.reading->id == "penetration" ||
                             column.reading->id == "dilution" || column.reading->id == "fused_section";
    if (*value < 0 || (*value == 0 && !may_be_zero) || *value > most_reading)
      return fail(place, fmt::format("{}: {} is no reading", column.name, with_unit(*value, column.reading->unit)),
                  *value == 0 ? "leave the cell empty where nothing was read" : "check the sign and the unit");
    weld.readings.push_back({column.reading, field_by_key(column.reading->id), *value, 0});
  }

  // What the dials stood at: the feed and the travel, or what else the machine set, as read off it.
  void read_dials(const std::vector<std::string_view>& cells, const std::vector<Place>& places, TrialWeld& weld) {
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const TrialColumn& column = columns_[i];
      if (column.kind != Kind::dial || cells[i].empty()) continue;
      const auto reading = number(cells[i], places[i], column, "");
      if (!reading) continue;
      const Expected<const Dial*> dial = dial_of(equipment_, {column.name, *reading, places[i]});
      if (!dial) {
        errors_.insert(errors_.end(), dial.errors().begin(), dial.errors().end());
        continue;
      }
      take_dial(**dial, value_at_dial(**dial, *reading), places[i], weld);
    }
  }
  void take_dial(const Dial& dial, double value, const Place& place, TrialWeld& weld) {
    const FieldInfo& info = field(dial.field);
    const auto once = [&](bool free) {
      if (!free) fail(place, fmt::format("{} is given twice", info.label), "give the dial or the quantity");
      return free;
    };
    if (dial.field == F::arc_length_trim) {
      if (once(!weld.arc_trim_V)) weld.arc_trim_V = value;
      return;
    }
    if (dial.field == F::peak_current_trim) {
      if (once(!weld.peak_trim)) weld.peak_trim = 0.01 * value;
      return;
    }
    if (!(value > 0))
      return fail(place, fmt::format("the dial sets no {} there", info.label),
                  "check its number, and the dial in the equipment file");
    const ReadingRow* kind = find_reading(catalog_, info.key);
    if (dial.field == F::wire_feed) {
      if (once(weld.wire_feed_m_per_min == 0)) weld.wire_feed_m_per_min = value;
    } else if (dial.field == F::travel) {
      if (once(weld.travel_mm_per_s == 0)) weld.travel_mm_per_s = value;
    } else if (kind != nullptr) {
      const bool free = std::none_of(weld.readings.begin(), weld.readings.end(),
                                     [&](const TrialReading& r) { return r.kind == kind; });
      // As exactly as such a machine shows what it sets.
      const Limits& limits = *catalog_.limits;
      const double share = equipment_->accuracy == AccuracyGrade::precision ? limits.setting_accuracy_precision.value
                                                                            : limits.setting_accuracy_standard.value;
      if (once(free)) weld.readings.push_back({kind, dial.field, value, share * value});
    } else {
      fail(place, fmt::format("a trial says nothing by the dial of {}", info.label),
           "leave its column out, and read what it changes: the voltage, the current");
    }
  }

  void read_spreads(const std::vector<std::string_view>& cells, const std::vector<Place>& places, TrialWeld& weld) {
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const TrialColumn& column = columns_[i];
      if (column.kind != Kind::spread || cells[i].empty()) continue;
      const auto value = number(cells[i], places[i], column, column.reading->unit);
      if (!value) continue;
      const auto reading = std::find_if(weld.readings.begin(), weld.readings.end(),
                                        [&](const TrialReading& r) { return r.kind == column.reading; });
      if (!(*value > 0))
        fail(places[i], fmt::format("{}: the half-width must be above 0", column.name), "");
      else if (reading == weld.readings.end())
        fail(places[i], fmt::format("{}: there is no reading it belongs to", column.name),
             fmt::format("fill in '{}', or leave this cell empty", column.reading->id));
      else
        reading->half_width_90 = *value;
    }
  }

  void read_verdicts(std::string_view cell, const Place& place, TrialWeld& weld) {
    while (!cell.empty()) {
      const auto end = cell.find_first_of(";|");
      const std::string_view word = trimmed(cell.substr(0, end));
      cell.remove_prefix(end == std::string_view::npos ? cell.size() : end + 1);
      if (word.empty()) continue;
      if (same_name(word, "good")) {
        weld.good = true;
      } else if (const VerdictRow* verdict = find_verdict(catalog_, word)) {
        weld.verdicts.push_back(verdict);
      } else {
        std::vector<std::string_view> known{"good"};
        for (const VerdictRow& v : catalog_.verdicts) known.push_back(v.id);
        const std::string_view near = nearest_word(word, known);
        fail(place, fmt::format("unknown verdict '{}'", word),
             near.empty() ? fmt::format("it is one of: {}", fmt::join(known, ", "))
                          : fmt::format("did you mean '{}'?", near));
      }
    }
    if (weld.good && !weld.verdicts.empty())
      fail(place, "a weld that is good has no other verdict", "leave 'good' or the others out");
  }
};

}  // namespace

Expected<TrialList> read_trials(std::string_view text, const std::string& name, const Catalog& catalog,
                                const Equipment* equipment) {
  return TrialReader(text, name, catalog, equipment).read();
}

}  // namespace seamwright
