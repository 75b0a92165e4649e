#include "input/job_layout.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <utility>

#include "input/job_parts.hpp"
#include "text/nearest_word.hpp"
#include "text/table_text.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 3> required_keys{"joint.type", "joint.thickness", "material.alloy"};

// Whether a line sets a key of a TOML file.
bool is_assignment(std::string_view line) {
  const std::size_t equals = line.find('=');
  if (equals == std::string_view::npos) return false;
  const std::string_view key = trimmed(line.substr(0, equals));
  return !key.empty() && std::all_of(key.begin(), key.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           std::string_view("_-.\"").find(c) != std::string_view::npos;
  });
}

// What is wrong with the list as a whole, before its first row is looked into.
void check_form(JobFormat format, std::string_view first, Diagnostics& errors) {
  const std::size_t mark = first.find('\r');
  if (format == JobFormat::csv && first.empty()) {
    errors.push_back(list_error(fmt::format("the header is longer than {} bytes", longest_job_bytes),
                                "row 1 holds the keys, such as joint.type,joint.thickness,material.alloy"));
  } else if (mark != std::string_view::npos && mark + 1 < first.size() && first[mark + 1] != '\n') {
    errors.push_back(list_error("lines end in CR alone", "save the list with LF or CR LF line ends"));
  } else if (format == JobFormat::ndjson && trimmed(first) == "{") {
    errors.push_back(list_error("row 1 is not a whole object", std::string(array_help)));
  } else if (format == JobFormat::toml && !first.empty() && !starts_job(first.substr(0, first.find('\n')))) {
    const std::string_view text = trimmed(first);
    const std::string_view inside = trimmed(text.substr(1));
    if (text.front() == '[' && !inside.empty() && (inside.front() == '{' || inside.front() == ']')) {
      errors.push_back(list_error("the list is a JSON array", std::string(array_help)));
    } else {
      errors.push_back(list_error(
          fmt::format("taken for TOML, as it begins with '#' or '[', but its first row is '{}', not [[job]]",
                      text_start(trimmed(text.substr(0, text.find('\n'))))),
          "a TOML list has [[job]] before each joint; a CSV list has no comments: take the lines with '#' out"));
    }
  }
}

// Keys that are no joint's, whatever the rows say.
void check_required(const JobLayout& layout, Diagnostics& errors) {
  for (const std::string_view key : required_keys) {
    const auto has = [&](const auto& list, auto member) {
      return std::any_of(list.begin(), list.end(), [&](const auto& item) { return item.*member == key; });
    };
    if (has(layout.columns, &JobLayout::Column::key) || has(layout.default_entries, &Entry::path)) continue;
    errors.push_back(list_error(fmt::format("no column {}", key),
                                "every joint needs it: add the column, or give "
                                "the key in --defaults JOINT.toml"));
  }
}

const HeadingMap* find_map(const JobLayoutOptions& options, std::string_view heading) {
  for (const HeadingMap& map : options.maps)
    if (map.heading == heading) return &map;
  return nullptr;
}

// A first row without any key is no header: one error says it for all cells.
void check_is_header(std::string_view header, const std::vector<std::string_view>& names,
                     const JobLayoutOptions& options, Diagnostics& errors) {
  const bool any = std::any_of(names.begin(), names.end(), [&](std::string_view name) {
    return is_handed_through(name, options.keep) || is_joint_key(name) || find_map(options, name) != nullptr ||
           !read_heading(name).keys.empty();
  });
  if (any) return;
  if (is_assignment(header.substr(0, header.find('\n')))) {
    errors.push_back(
        list_error(fmt::format("taken for CSV, as it begins with neither '{{', '[' nor '#', but its first row is '{}'",
                               text_start(header.substr(0, header.find('\n')))),
                   "a TOML list begins with [[job]]; in a CSV list row 1 holds the keys"));
  } else if (names.size() == 1 && header.find_first_of("|:\\/&~^ ") != std::string_view::npos) {
    errors.push_back(list_error(fmt::format("the header is one column, '{}'", text_start(names.front())),
                                "columns are separated by comma, semicolon or tab"));
  } else if (std::all_of(names.begin(), names.end(),
                         [](std::string_view name) { return nearest_joint_key(name).empty(); })) {
    std::string cells;
    constexpr std::size_t few = 3;
    for (std::size_t i = 0; i < std::min(names.size(), few); ++i)
      cells += fmt::format("{}'{}'", i == 0 ? "" : ", ", text_start(names[i], 24));
    errors.push_back(list_error(
        fmt::format("row 1 holds no key of a joint: {}{}", cells, names.size() > few ? ", ..." : ""),
        "row 1 must be a header of keys, such as joint.type,joint.thickness,material.alloy ('seamwright help keys')"));
  }
}

Diagnostic table_column_error(std::string_view name) {
  const std::string_view examples = name == "limits"            ? "limits.heat_input, limits.current"
                                    : name == "pass"            ? "pass.root.mode, pass.fill.wire"
                                    : name == "setting.dial"    ? "setting.dial.Feed"
                                    : name == "gas.composition" ? "gas.composition.Ar, gas.composition.CO2"
                                    : name.ends_with(".gas_composition")
                                        ? "pass.root.gas_composition.Ar, pass.root.gas_composition.CO2"
                                        : "material.composition.C, material.composition.Mn";
  return list_error(fmt::format("column '{}' is a table of keys, not one value", name),
                    fmt::format("give each its own column: {}, ...", examples));
}

// The cells of the header, where they are one.
std::vector<std::string> header_names(std::string_view header, const JobLayoutOptions& options, char separator,
                                      Diagnostics& errors) {
  std::vector<std::string_view> names;
  std::string scratch;
  const bool whole = split_csv_row(header, separator, names, scratch);
  if (has_open_quote(header, separator)) {
    errors.push_back(list_error(fmt::format("the quote before column {} of the header is not closed", names.size()),
                                "close it after the name, or take it away"));
  } else if (!whole) {
    errors.push_back(list_error("the header has text after a closing quote", "put quotes around whole names"));
  } else if (names.size() > most_job_columns) {
    errors.push_back(list_error(fmt::format("the header has {} columns, more than {}", names.size(), most_job_columns),
                                "leave out those that nobody needs"));
  }
  for (std::size_t i = 0; i < names.size() && errors.empty(); ++i)
    if (const TextFault fault = text_fault(names[i], true))
      errors.push_back(
          list_error(fmt::format("column {} of the header {}", i + 1, fault.why), std::string(fault.help)));
  if (errors.empty()) check_is_header(header, names, options, errors);
  return {names.begin(), names.end()};
}

// Which key a heading stands for that is none itself; empty: none, and `errors` says so.
std::string key_of_heading(const std::string& name, const JobLayoutOptions& options, std::string& unit,
                           Diagnostics& errors) {
  const std::string_view start = text_start(name);
  if (const HeadingMap* map = find_map(options, name)) {
    unit = heading_unit(name, map->key);
    return map->key;
  }
  const HeadingReading reading = read_heading(name);
  if (reading.keys.size() == 1) {
    unit = reading.unit;
    return std::string(reading.keys.front());
  }
  if (!reading.keys.empty()) {
    errors.push_back(list_error(fmt::format("column '{}' may be {}", start, fmt::join(reading.keys, " or ")),
                                fmt::format("say which: --map '{}={}'", start, reading.keys.front())));
    return {};
  }
  const std::string_view near = nearest_joint_key(name);
  const std::string keep = options.is_answer(name) ? std::string() : fmt::format("--keep '{}' or ", start);
  errors.push_back(
      list_error(fmt::format("unknown column '{}'", start),
                 fmt::format("{}{}an x- in front passes it through",
                             near.empty() ? std::string() : fmt::format("did you mean '{}'? ", near), keep)));
  return {};
}

void read_header(std::string_view header, const JobLayoutOptions& options, JobLayout& layout, Diagnostics& errors) {
  const std::vector<std::string> names = header_names(header, options, layout.separator, errors);
  if (!errors.empty()) return;
  for (std::size_t i = 0; i < names.size(); ++i) {
    const std::string& name = names[i];
    if (name.empty()) {
      errors.push_back(list_error(fmt::format("column {} of the header has no name", i + 1),
                                  "name it with x- in front to pass it through"));
      continue;
    }
    if (std::find(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(i), name) !=
        names.begin() + static_cast<std::ptrdiff_t>(i)) {
      errors.push_back(
          list_error(fmt::format("column '{}' is there twice", text_start(name)), "leave one of the two out"));
      continue;
    }
    if (is_handed_through(name, options.keep)) {
      layout.columns.push_back({{}, layout.passed.size(), false, true, {}});
      layout.passed.push_back(name);
      continue;
    }
    if (is_table_key(name)) {
      errors.push_back(table_column_error(name));
      continue;
    }
    std::string unit;
    const bool is_key = is_joint_key(name) && find_map(options, name) == nullptr;
    const std::string key = is_key ? name : key_of_heading(name, options, unit, errors);
    if (key.empty()) continue;
    const auto before = std::find_if(layout.columns.begin(), layout.columns.end(),
                                     [&](const JobLayout::Column& column) { return column.key == key; });
    if (before != layout.columns.end()) {
      const auto other = static_cast<std::size_t>(before - layout.columns.begin());
      errors.push_back(
          list_error(fmt::format("columns '{}' and '{}' are both {}", text_start(names[other]), text_start(name), key),
                     "leave one of the two out, or pass it through with --keep"));
      continue;
    }
    if (!is_key && find_map(options, name) == nullptr)
      layout.remark += fmt::format("{}'{}' as {}{}", layout.remark.empty() ? "" : ", ", text_start(name), key,
                                   unit.empty() ? "" : fmt::format(", its numbers in {}", unit));
    layout.columns.push_back({key, 0, is_text_key(key), is_free_text_key(key), std::move(unit)});
  }
}

// --map names headings of this list, and keys.
void check_maps(std::string_view header, const JobLayoutOptions& options, const JobLayout& layout,
                Diagnostics& errors) {
  std::vector<std::string_view> names;
  std::string scratch;
  if (layout.format == JobFormat::csv) static_cast<void>(split_csv_row(header, layout.separator, names, scratch));
  for (const HeadingMap& map : options.maps) {
    const Place place{fmt::format("--map {}={}", map.heading, map.key), 0, 0};
    if (layout.format != JobFormat::csv) {
      errors.push_back({place, "a list of NDJSON or TOML has no headings", "its keys are those of 'help keys'"});
    } else if (std::find(names.begin(), names.end(), map.heading) == names.end()) {
      const std::string_view near = nearest_word(map.heading, names);
      errors.push_back(
          {place, fmt::format("the list has no column '{}'", text_start(map.heading)),
           near.empty() ? "write the heading as it stands in the list" : fmt::format("did you mean '{}'?", near)});
    } else if (is_table_key(map.key) || !is_joint_key(map.key)) {
      const std::string_view near = nearest_joint_key(map.key);
      errors.push_back(
          {place, fmt::format("'{}' is no key of a joint", text_start(map.key)),
           near.empty() ? "'seamwright help keys' lists the keys" : fmt::format("did you mean '{}'?", near)});
    }
  }
}

// What single keys of the defaults have wrong would be wrong in every row.
void read_defaults(const JobLayoutOptions& options, JobLayout& layout, Diagnostics& errors) {
  Expected<TomlValue> defaults = parse_toml(options.defaults_text, options.defaults_name);
  if (defaults) {
    layout.defaults = std::move(*defaults);
    joint_entries(layout.defaults, options.defaults_name, layout.default_entries);
    std::vector<const Entry*> entries;
    for (const Entry& entry : layout.default_entries) entries.push_back(&entry);
    errors = faults_of_entries(entries, *layout.catalog);
  } else {
    errors = defaults.errors();
  }
  attach_source_lines(errors, options.defaults_text, options.defaults_name);
  // Rows are spoken of by key: in the defaults' file a line would be taken for the list's.
  for (Entry& entry : layout.default_entries) entry.place = entry.key_place = {};
}

void check_keep(const JobLayoutOptions& options, Diagnostics& errors) {
  for (const std::string& name : options.keep)
    if (options.is_answer(name))
      errors.push_back({{fmt::format("--keep {}", name), 0, 0},
                        fmt::format("'{}' is a column of the answer", name),
                        fmt::format("name it x-{} in the list: that is passed through by itself", name)});
}

// Names passed through by NDJSON and TOML lists: those asked for, and those of the first row.
void read_first_row(std::string_view first, const JobLayoutOptions& options, JobLayout& layout, Diagnostics& errors) {
  const auto add = [&](const std::string& name) {
    if (std::find(layout.passed.begin(), layout.passed.end(), name) == layout.passed.end())
      layout.passed.push_back(name);
  };
  for (const std::string& name : options.keep) add(name);
  const Expected<TomlValue> row = parse_document(layout.format, first, options.keep);
  if (!row || row->members.size() > most_job_columns) return;  // the row itself is refused
  layout.counted = row->find("quantity") != nullptr;
  for (const TomlMember& member : row->members) {
    if (!is_handed_through(member.key, {})) continue;
    if (const TextFault fault = text_fault(member.key, true))
      errors.push_back(
          list_error(fmt::format("the name of a column passed through {}", fault.why), std::string(fault.help)));
    add(member.key);
  }
}

}  // namespace

Expected<std::unique_ptr<JobLayout>> read_job_layout(JobFormat format, char separator, std::string_view first,
                                                     const JobLayoutOptions& options, const Catalog& catalog) {
  auto layout = std::make_unique<JobLayout>();
  Diagnostics errors;
  layout->catalog = &catalog;
  layout->format = format;
  layout->separator = separator;
  layout->decimal = options.decimal;
  if (!options.defaults_text.empty()) read_defaults(options, *layout, errors);
  check_keep(options, errors);
  check_form(format, first, errors);
  if (!errors.empty()) return errors;
  check_maps(first, options, *layout, errors);
  if (!errors.empty()) return errors;
  if (format == JobFormat::csv) {
    read_header(first, options, *layout, errors);
    if (errors.empty()) check_required(*layout, errors);
  } else {
    read_first_row(first, options, *layout, errors);
  }
  if (!errors.empty()) return errors;
  const auto counts = [](const auto& list, auto member) {
    return std::any_of(list.begin(), list.end(), [&](const auto& item) { return item.*member == "quantity"; });
  };
  layout->counted = layout->counted || counts(layout->columns, &JobLayout::Column::key) ||
                    counts(layout->default_entries, &Entry::path);
  return layout;
}

}  // namespace seamwright
