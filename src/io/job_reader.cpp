#include "io/job_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "io/json_value.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 3> required_keys{"joint.type", "joint.thickness", "material.alloy"};

bool is_handed_through(std::string_view name, const std::vector<std::string>& keep) {
  return name.substr(0, 2) == "x-" || std::find(keep.begin(), keep.end(), name) != keep.end();
}

Diagnostic column_error(std::string message, std::string help) {
  Diagnostic d;
  d.message = std::move(message);
  d.help = std::move(help);
  return d;
}

// A number alone, as JSON and TOML would have it; everything else is left to the readers of quantities.
bool read_plain_number(std::string_view text, double& value) {
  if (text.empty() || text.find_first_not_of("0123456789.-eE") != std::string_view::npos) return false;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc() && end == text.data() + text.size();
}

// The value of a cell. Reuses the text's memory.
void set_cell_value(TomlValue& value, std::string_view cell) {
  if (cell.front() == '[' || cell.front() == '{') {
    value = value_from_text(std::string(cell));
    return;
  }
  value.text = cell;
  if (read_plain_number(cell, value.number)) {
    value.kind = TomlValue::Kind::floating;
  } else if (cell == "true" || cell == "false") {
    value.kind = TomlValue::Kind::boolean;
    value.boolean = cell == "true";
  } else {
    value.kind = TomlValue::Kind::string;
  }
}

// A key of the layout's columns that is the same as, above or below `path`: {gas.composition} stands for all below it.
bool stands_for(std::string_view given, std::string_view path) { return given == path || is_below(path, given); }

// The one table of a [[job]] text.
Expected<TomlValue> parse_job_table(std::string_view text) {
  Expected<TomlValue> document = parse_toml(text, "");
  if (!document) return document.errors();
  const TomlValue* jobs = document->find("job");
  if (document->members.size() != 1 || jobs == nullptr || jobs->kind != TomlValue::Kind::array ||
      jobs->items.size() != 1 || jobs->items[0].kind != TomlValue::Kind::table)
    return column_error("a row must be one [[job]] table with the tables of a joint file below it",
                        "write [[job]] and then joint.type = \"fillet\" or [job.joint]");
  return TomlValue(jobs->items[0]);
}

Expected<TomlValue> parse_document(JobFormat format, std::string_view row) {
  return format == JobFormat::ndjson ? parse_json_object(row) : parse_job_table(row);
}

// Keys that are no joint's, whatever the rows say.
void check_required(const JobLayout& layout, Diagnostics& errors) {
  for (const std::string_view key : required_keys) {
    const auto has = [&](const auto& list, auto member) {
      return std::any_of(list.begin(), list.end(), [&](const auto& item) { return item.*member == key; });
    };
    if (has(layout.columns, &JobLayout::Column::key) || has(layout.default_entries, &Entry::path)) continue;
    errors.push_back(column_error(fmt::format("no column {}", key),
                                  "every joint needs it: add the column, or give "
                                  "the key in --defaults JOINT.toml"));
  }
}

void read_header(std::string_view header, const JobLayoutOptions& options, JobLayout& layout, Diagnostics& errors) {
  std::vector<std::string_view> names;
  std::string scratch;
  if (!split_csv_row(header, layout.separator, names, scratch)) {
    errors.push_back(column_error("the header has text after a closing quote", "put quotes around whole names"));
    return;
  }
  for (std::size_t i = 0; i < names.size(); ++i) {
    const std::string name(names[i]);
    if (name.empty()) {
      errors.push_back(column_error(fmt::format("column {} of the header has no name", i + 1),
                                    "name it with x- in front to hand it through"));
    } else if (std::find(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(i), names[i]) !=
               names.begin() + static_cast<std::ptrdiff_t>(i)) {
      errors.push_back(column_error(fmt::format("column '{}' is there twice", name), "leave one of the two out"));
    } else if (is_handed_through(name, options.keep)) {
      layout.columns.push_back({{}, layout.passed.size()});
      layout.passed.push_back(name);
    } else if (is_joint_key(name)) {
      layout.columns.push_back({name, 0});
    } else {
      const std::string_view near = nearest_joint_key(name);
      errors.push_back(column_error(
          fmt::format("unknown column '{}'", name.substr(0, 64)),
          fmt::format("{}--keep '{}' or an x- in front hands it through",
                      near.empty() ? std::string() : fmt::format("did you mean '{}'? ", near), name.substr(0, 64))));
    }
  }
}

}  // namespace

std::string one_line(const Diagnostics& errors) {
  const Diagnostic& first = errors.front();
  std::string text = first.message;
  if (!first.help.empty()) text += fmt::format(" ({})", first.help);
  if (errors.size() > 1) text += fmt::format("; and {} more", errors.size() - 1);
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

Expected<std::unique_ptr<JobLayout>> read_job_layout(JobFormat format, char separator, std::string_view first,
                                                     const JobLayoutOptions& options) {
  auto layout = std::make_unique<JobLayout>();
  Diagnostics errors;
  layout->format = format;
  layout->separator = separator;
  if (!options.defaults_text.empty()) {
    Expected<TomlValue> defaults = parse_toml(options.defaults_text, options.defaults_name);
    if (!defaults) return defaults.errors();
    layout->defaults = std::move(*defaults);
    joint_entries(layout->defaults, options.defaults_name, layout->default_entries);
    for (Entry& entry : layout->default_entries) {
      if (!is_joint_key(entry.path)) {
        const std::string_view near = nearest_joint_key(entry.path);
        errors.push_back({entry.key_place, fmt::format("unknown key '{}'", entry.path),
                          near.empty() ? "" : fmt::format("did you mean '{}'?", near)});
      }
      // Rows are spoken of by key: in the defaults' file a line would be taken for the list's.
      entry.place = entry.key_place = {fmt::format("{} of the defaults", entry.path), 0, 0};
    }
  }
  if (format == JobFormat::csv) {
    read_header(first, options, *layout, errors);
    if (errors.empty()) check_required(*layout, errors);
  } else {
    for (const std::string& name : options.keep) layout->passed.push_back(name);
    if (const Expected<TomlValue> row = parse_document(format, first))
      for (const TomlMember& member : row->members)
        if (is_handed_through(member.key, {}) &&
            std::find(layout->passed.begin(), layout->passed.end(), member.key) == layout->passed.end())
          layout->passed.push_back(member.key);
  }
  if (!errors.empty()) return errors;
  return layout;
}

JobReader::JobReader(const JobLayout& layout)
    : layout_(layout), column_entries_(layout.columns.size()), column_values_(layout.columns.size()) {
  job_.passed.resize(layout.passed.size());
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    const std::string& key = layout.columns[i].key;
    column_entries_[i] = {key, &column_values_[i], {}, {}};
  }
}

bool JobReader::refuse(std::string message) {
  job_.message = std::move(message);
  return false;
}

bool JobReader::take_csv(std::string_view row) {
  if (!split_csv_row(row, layout_.separator, cells_, scratch_))
    return refuse("text after a closing quote (put quotes around the whole cell, and double those inside it)");
  const std::size_t columns = layout_.columns.size();
  for (std::size_t i = 0; i < std::min(columns, cells_.size()); ++i) {
    const JobLayout::Column& column = layout_.columns[i];
    if (column.key.empty())
      job_.passed[column.passed] = cells_[i];
    else if (column.key == "id")
      job_.id = cells_[i];
  }
  if (cells_.size() != columns) {
    const bool comma = layout_.separator == ',' && cells_.size() > columns;
    return refuse(fmt::format("{} cells, the header has {}{}", cells_.size(), columns,
                              comma ? " (a decimal comma splits a cell: write a point, or put quotes around text with "
                                      "commas)"
                                    : ""));
  }
  for (std::size_t i = 0; i < columns; ++i) {
    if (layout_.columns[i].key.empty() || cells_[i].empty()) continue;
    set_cell_value(column_values_[i], cells_[i]);
    entries_.push_back(&column_entries_[i]);
  }
  return true;
}

bool JobReader::take_document(std::string_view row) {
  if (layout_.format == JobFormat::ndjson) {
    if (!json_.read_object(row, document_)) return refuse(one_line({json_.error()}));
  } else {
    Expected<TomlValue> document = parse_job_table(row);
    if (!document) return refuse(one_line(document.errors()));
    document_ = std::move(*document);
  }
  for (std::size_t i = 0; i < document_.members.size();) {
    const TomlMember& member = document_.members[i];
    const auto name = std::find(layout_.passed.begin(), layout_.passed.end(), member.key);
    if (name == layout_.passed.end()) {
      if (is_handed_through(member.key, {}))
        return refuse(fmt::format("'{}' is not in the first row (name it with --keep)", member.key));
      ++i;
      continue;
    }
    const TomlValue& value = member.value;
    if (value.kind == TomlValue::Kind::table || value.kind == TomlValue::Kind::array)
      return refuse(fmt::format("'{}' is {}: only words and numbers are handed through", member.key,
                                toml_kind_label(value.kind)));
    job_.passed[static_cast<std::size_t>(name - layout_.passed.begin())] = value.text;
    document_.members.remove(i);
  }
  if (const TomlValue* id = document_.find("id")) job_.id = id->text;
  joint_entries(document_, "", document_entries_);
  for (Entry& entry : document_entries_) entries_.push_back(&entry);
  return true;
}

void JobReader::add_defaults() {
  const std::size_t given = entries_.size();
  for (const Entry& entry : layout_.default_entries) {
    const auto end = entries_.begin() + static_cast<std::ptrdiff_t>(given);
    if (std::none_of(entries_.begin(), end, [&](const Entry* e) { return stands_for(e->path, entry.path); }))
      entries_.push_back(&entry);
  }
}

// The places are needed for messages alone, which name one key by another: good rows go without.
std::string JobReader::reasons() const {
  std::vector<Entry> placed;
  std::vector<const Entry*> pointers;
  for (const Entry* entry : entries_) placed.push_back(*entry);
  for (Entry& entry : placed) {
    if (entry.place.file.empty()) entry.place = entry.key_place = {entry.path, 0, 0};
    pointers.push_back(&entry);
  }
  Joint joint;
  return one_line(joint_from_entries("", pointers, joint));
}

Job& JobReader::read(std::string_view row, JobFlaw flaw) {
  job_.good = false;
  job_.message.clear();
  job_.id.clear();
  for (std::string& cell : job_.passed) cell.clear();
  entries_.clear();
  if (flaw == JobFlaw::too_long) {
    refuse(fmt::format("the row is longer than {} bytes", longest_job_bytes));
    return job_;
  }
  if (flaw == JobFlaw::open_quote) {
    refuse("a quote is not closed (double the quotes inside a quoted cell)");
    return job_;
  }
  if (layout_.format == JobFormat::csv ? !take_csv(row) : !take_document(row)) return job_;
  add_defaults();
  job_.good = joint_from_entries("", entries_, job_.joint).empty();
  if (!job_.good) refuse(reasons());
  return job_;
}

}  // namespace seamwright
