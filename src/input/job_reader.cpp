#include "input/job_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <span>
#include <type_traits>
#include <utility>

#include "text/json_value.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 3> required_keys{"joint.type", "joint.thickness", "material.alloy"};
constexpr std::string_view array_help = "write one object a line, without [ ] around the list";

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

// Whether all of a text is printable ASCII: nothing more to look for in it.
bool is_plain(std::string_view text) {
  unsigned odd = 0;
  for (const char c : text) odd |= static_cast<unsigned>(static_cast<unsigned char>(c - ' ') > '~' - ' ');
  return odd == 0;
}

// Why a text cannot come out again as it went in, with the next step; nothing where it can.
struct TextFault {
  std::string why;
  std::string_view help;
  [[nodiscard]] explicit operator bool() const { return !why.empty(); }
  [[nodiscard]] std::string in_one_line() const { return fmt::format("{} ({})", why, help); }
};
// `shown`: it does come out.
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

// The value of a cell. Reuses the text's memory.
void set_cell_value(TomlValue& value, std::string_view cell, bool text) {
  if (text) {
    value.kind = TomlValue::Kind::string;
    value.text = cell;
    return;
  }
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

Expected<TomlValue> parse_document(JobFormat format, std::string_view row, std::span<const std::string> whole) {
  if (format == JobFormat::toml) return parse_job_table(row);
  JsonReader reader;
  TomlValue root;
  if (!reader.read_object(row, root, whole)) return reader.error();
  return root;
}

// A number as JSON writes it too. TOML has more ways.
bool is_bare(JobFormat format, const TomlValue& value) {
  if (value.kind == TomlValue::Kind::boolean) return true;
  return value.is_number() &&
         (format == JobFormat::ndjson ||
          (value.text.find_first_not_of("0123456789.-+eE") == std::string::npos && value.text.front() != '+'));
}

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
    errors.push_back(column_error(fmt::format("the header is longer than {} bytes", longest_job_bytes),
                                  "row 1 holds the keys, such as joint.type,joint.thickness,material.alloy"));
  } else if (mark != std::string_view::npos && mark + 1 < first.size() && first[mark + 1] != '\n') {
    errors.push_back(column_error("lines end in CR alone", "save the list with LF or CR LF line ends"));
  } else if (format == JobFormat::ndjson && trimmed(first) == "{") {
    errors.push_back(column_error("row 1 is not a whole object", std::string(array_help)));
  } else if (format == JobFormat::toml && !first.empty() && !starts_job(first.substr(0, first.find('\n')))) {
    const std::string_view text = trimmed(first);
    const std::string_view inside = trimmed(text.substr(1));
    if (text.front() == '[' && !inside.empty() && (inside.front() == '{' || inside.front() == ']')) {
      errors.push_back(column_error("the list is a JSON array", std::string(array_help)));
    } else {
      errors.push_back(column_error(
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
    errors.push_back(column_error(fmt::format("no column {}", key),
                                  "every joint needs it: add the column, or give "
                                  "the key in --defaults JOINT.toml"));
  }
}

// A first row without any key is no header: one error says it for all cells.
void check_is_header(std::string_view header, const std::vector<std::string_view>& names,
                     const JobLayoutOptions& options, Diagnostics& errors) {
  const bool any = std::any_of(names.begin(), names.end(), [&](std::string_view name) {
    return is_handed_through(name, options.keep) || is_joint_key(name);
  });
  if (any) return;
  if (is_assignment(header.substr(0, header.find('\n')))) {
    errors.push_back(column_error(
        fmt::format("taken for CSV, as it begins with neither '{{', '[' nor '#', but its first row is '{}'",
                    text_start(header.substr(0, header.find('\n')))),
        "a TOML list begins with [[job]]; in a CSV list row 1 holds the keys"));
  } else if (names.size() == 1 && header.find_first_of("|:\\/&~^ ") != std::string_view::npos) {
    errors.push_back(column_error(fmt::format("the header is one column, '{}'", text_start(names.front())),
                                  "columns are separated by comma, semicolon or tab"));
  } else if (std::all_of(names.begin(), names.end(),
                         [](std::string_view name) { return nearest_joint_key(name).empty(); })) {
    std::string cells;
    constexpr std::size_t few = 3;
    for (std::size_t i = 0; i < std::min(names.size(), few); ++i)
      cells += fmt::format("{}'{}'", i == 0 ? "" : ", ", text_start(names[i], 24));
    errors.push_back(column_error(
        fmt::format("row 1 holds no key of a joint: {}{}", cells, names.size() > few ? ", ..." : ""),
        "row 1 must be a header of keys, such as joint.type,joint.thickness,material.alloy ('seamwright help keys')"));
  }
}

Diagnostic table_column_error(std::string_view name) {
  const std::string_view examples = name == "limits"            ? "limits.heat_input, limits.current"
                                    : name == "gas.composition" ? "gas.composition.Ar, gas.composition.CO2"
                                                                : "material.composition.C, material.composition.Mn";
  return column_error(fmt::format("column '{}' is a table of keys, not one value", name),
                      fmt::format("give each its own column: {}, ...", examples));
}

void read_header(std::string_view header, const JobLayoutOptions& options, JobLayout& layout, Diagnostics& errors) {
  std::vector<std::string_view> names;
  std::string scratch;
  const bool whole = split_csv_row(header, layout.separator, names, scratch);
  if (has_open_quote(header, layout.separator)) {
    errors.push_back(column_error(fmt::format("the quote before column {} of the header is not closed", names.size()),
                                  "close it after the name, or take it away"));
  } else if (!whole) {
    errors.push_back(column_error("the header has text after a closing quote", "put quotes around whole names"));
  } else if (names.size() > most_job_columns) {
    errors.push_back(
        column_error(fmt::format("the header has {} columns, more than {}", names.size(), most_job_columns),
                     "leave out those that nobody needs"));
  }
  for (std::size_t i = 0; i < names.size() && errors.empty(); ++i)
    if (const TextFault fault = text_fault(names[i], true))
      errors.push_back(
          column_error(fmt::format("column {} of the header {}", i + 1, fault.why), std::string(fault.help)));
  if (errors.empty()) check_is_header(header, names, options, errors);
  if (!errors.empty()) return;
  for (std::size_t i = 0; i < names.size(); ++i) {
    const std::string name(names[i]);
    if (name.empty()) {
      errors.push_back(column_error(fmt::format("column {} of the header has no name", i + 1),
                                    "name it with x- in front to hand it through"));
    } else if (std::find(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(i), names[i]) !=
               names.begin() + static_cast<std::ptrdiff_t>(i)) {
      errors.push_back(
          column_error(fmt::format("column '{}' is there twice", text_start(name)), "leave one of the two out"));
    } else if (is_handed_through(name, options.keep)) {
      layout.columns.push_back({{}, layout.passed.size(), false, true});
      layout.passed.push_back(name);
    } else if (is_table_key(name)) {
      errors.push_back(table_column_error(name));
    } else if (is_joint_key(name)) {
      layout.columns.push_back({name, 0, is_text_key(name), is_free_text_key(name)});
    } else {
      const std::string_view near = nearest_joint_key(name), start = text_start(name);
      const std::string keep = options.is_answer(name) ? std::string() : fmt::format("--keep '{}' or ", start);
      errors.push_back(
          column_error(fmt::format("unknown column '{}'", start),
                       fmt::format("{}{}an x- in front hands it through",
                                   near.empty() ? std::string() : fmt::format("did you mean '{}'? ", near), keep)));
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

// Names handed through by NDJSON and TOML lists: those asked for, and those of the first row.
void read_first_row(std::string_view first, const JobLayoutOptions& options, JobLayout& layout, Diagnostics& errors) {
  const auto add = [&](const std::string& name) {
    if (std::find(layout.passed.begin(), layout.passed.end(), name) == layout.passed.end())
      layout.passed.push_back(name);
  };
  for (const std::string& name : options.keep) add(name);
  const Expected<TomlValue> row = parse_document(layout.format, first, options.keep);
  if (!row || row->members.size() > most_job_columns) return;  // the row itself is refused
  for (const TomlMember& member : row->members) {
    if (!is_handed_through(member.key, {})) continue;
    if (const TextFault fault = text_fault(member.key, true))
      errors.push_back(
          column_error(fmt::format("the name of a column passed through {}", fault.why), std::string(fault.help)));
    add(member.key);
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
                                                     const JobLayoutOptions& options, const Catalog& catalog) {
  auto layout = std::make_unique<JobLayout>();
  Diagnostics errors;
  layout->catalog = &catalog;
  layout->format = format;
  layout->separator = separator;
  if (!options.defaults_text.empty()) read_defaults(options, *layout, errors);
  check_keep(options, errors);
  check_form(format, first, errors);
  if (!errors.empty()) return errors;
  if (format == JobFormat::csv) {
    read_header(first, options, *layout, errors);
    if (errors.empty()) check_required(*layout, errors);
  } else {
    read_first_row(first, options, *layout, errors);
  }
  if (!errors.empty()) return errors;
  return layout;
}

JobReader::JobReader(const JobLayout& layout)
    : layout_(layout), column_entries_(layout.columns.size()), column_values_(layout.columns.size()) {
  job_.passed.resize(layout.passed.size());
  job_.bare.resize(layout.passed.size());
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
  const bool plain = is_plain(row);
  std::string fault;
  for (std::size_t i = 0; i < std::min(columns, cells_.size()); ++i) {
    const JobLayout::Column& column = layout_.columns[i];
    if (!plain) {
      const TextFault why = text_fault(cells_[i], column.shown);
      if (why && fault.empty())
        fault =
            fmt::format("cell {} ({}) {}", i + 1,
                        text_start(column.key.empty() ? layout_.passed[column.passed] : column.key), why.in_one_line());
      if (why) continue;
    }
    if (column.key.empty())
      job_.passed[column.passed] = cells_[i];
    else if (column.key == "id")
      job_.id = cells_[i];
  }
  if (!fault.empty()) return refuse(std::move(fault));
  if (cells_.size() != columns) {
    std::string_view hint;
    if (cells_.size() > columns) {
      const bool empty = std::all_of(cells_.begin() + static_cast<std::ptrdiff_t>(columns), cells_.end(),
                                     [](std::string_view cell) { return cell.empty(); });
      if (empty)
        hint = " (take the separators off the end of the row)";
      else if (layout_.separator == ',')
        hint = " (a decimal comma splits a cell: write a point, or put quotes around text with commas)";
    }
    return refuse(
        fmt::format("{} cell{}, the header has {}{}", cells_.size(), cells_.size() == 1 ? "" : "s", columns, hint));
  }
  for (std::size_t i = 0; i < columns; ++i) {
    if (layout_.columns[i].key.empty() || cells_[i].empty()) continue;
    set_cell_value(column_values_[i], cells_[i], layout_.columns[i].text);
    entries_.push_back(&column_entries_[i]);
  }
  return true;
}

bool JobReader::take_document(std::string_view row) {
  if (layout_.format == JobFormat::ndjson) {
    if (!json_.read_object(row, document_, layout_.passed)) return refuse(one_line({json_.error()}));
  } else {
    Expected<TomlValue> document = parse_job_table(row);
    if (!document) {
      const int line = document.errors().front().place.line;
      return refuse((line > 0 ? fmt::format("line {} of the row: ", line) : "") + one_line(document.errors()));
    }
    document_ = std::move(*document);
  }
  if (document_.members.size() > most_job_columns)
    return refuse(fmt::format("{} keys in one table, more than {}", document_.members.size(), most_job_columns));
  for (const std::string_view key : {"id", "title"}) {
    const TomlValue* value = document_.find(key);
    if (value == nullptr) continue;
    if (const TextFault fault = text_fault(value->text, true))
      return refuse(fmt::format("{} {}", key, fault.in_one_line()));
    if (key == "id") job_.id = value->text;
  }
  if (!take_passed()) return false;
  joint_entries(document_, "", document_entries_);
  for (Entry& entry : document_entries_) entries_.push_back(&entry);
  return true;
}

// Takes what is handed through out of the document.
bool JobReader::take_passed() {
  for (TomlMember& member : document_.members) {
    TomlValue& value = member.value;
    if (value.kind == TomlValue::Kind::null) continue;
    const auto name = std::find(layout_.passed.begin(), layout_.passed.end(), member.key);
    if (name == layout_.passed.end()) {
      if (is_handed_through(member.key, {}))
        return refuse(fmt::format("'{}' is not in the first row (name it with --keep)", text_start(member.key)));
      continue;
    }
    if (value.kind == TomlValue::Kind::table || value.kind == TomlValue::Kind::array)
      return refuse(fmt::format("'{}' is {}: only words and numbers are passed through", text_start(member.key),
                                toml_kind_label(value.kind)));
    if (const TextFault fault = text_fault(value.text, true))
      return refuse(fmt::format("'{}' {}", text_start(member.key), fault.in_one_line()));
    const auto index = static_cast<std::size_t>(name - layout_.passed.begin());
    job_.passed[index] = value.text;
    job_.bare[index] = is_bare(layout_.format, value) ? 1 : 0;
    value.kind = TomlValue::Kind::null;  // taken out where it stands: the others keep their memory
  }
  return true;
}

void JobReader::add_defaults() {
  given_ = entries_.size();
  for (const Entry& entry : layout_.default_entries) {
    const auto end = entries_.begin() + static_cast<std::ptrdiff_t>(given_);
    if (std::none_of(entries_.begin(), end, [&](const Entry* e) { return stands_for(e->path, entry.path); }))
      entries_.push_back(&entry);
  }
}

// The places are needed for messages alone, which name one key by another: good rows go without.
std::string JobReader::reasons() const {
  constexpr std::string_view of_defaults = " of the defaults";
  std::vector<Entry> placed;
  std::vector<const Entry*> pointers;
  for (const Entry* entry : entries_) placed.push_back(*entry);
  for (std::size_t i = 0; i < placed.size(); ++i) {
    Entry& entry = placed[i];
    entry.place = entry.key_place = {entry.path, 0, 0};
    if (i >= given_) entry.place.file += of_defaults;
    pointers.push_back(&entry);
  }
  Joint joint;
  Diagnostics errors = joint_from_entries("", pointers, *layout_.catalog, joint);
  // "joint.leg of the defaults does not go with ...": the row does not show it.
  Diagnostic& first = errors.front();
  const std::string& place = first.place.file;
  if (place.size() > of_defaults.size() && place.substr(place.size() - of_defaults.size()) == of_defaults) {
    const std::size_t key = place.size() - of_defaults.size();
    if (first.message.compare(0, key, place, 0, key) == 0) first.message.insert(key, of_defaults);
  }
  return one_line(errors);
}

// What one odd row grew is not kept for all that follow: the memory of a list would be that of the largest value at
// every place.
void JobReader::let_go() {
  const auto free = [](auto& kept) {
    std::remove_reference_t<decltype(kept)> fresh{};
    std::swap(kept, fresh);
  };
  free(document_);
  free(document_entries_);
  free(json_);
  free(cells_);
  free(scratch_);
  free(entries_);
  free(job_.id);
  free(job_.message);
  for (std::string& cell : job_.passed) free(cell);
  for (TomlValue& value : column_values_) free(value);
}

Job& JobReader::read(std::string_view row, JobFlaw flaw) {
  constexpr std::size_t kept_row_bytes = std::size_t{32} << 10;
  if (outgrown_) let_go();
  outgrown_ = row.size() > kept_row_bytes;
  job_.good = false;
  job_.message.clear();
  job_.id.clear();
  for (std::string& cell : job_.passed) cell.clear();
  std::fill(job_.bare.begin(), job_.bare.end(), static_cast<unsigned char>(0));
  entries_.clear();
  if (flaw == JobFlaw::too_long) {
    refuse(fmt::format("the row is longer than {} bytes{}", longest_job_bytes,
                       layout_.format == JobFormat::toml
                           ? fmt::format(" (it ends at the next [[job]]; JSON: {})", array_help)
                           : std::string()));
    return job_;
  }
  if (flaw == JobFlaw::open_quote) {
    refuse("a quote is not closed (double the quotes inside a quoted cell)");
    return job_;
  }
  if (layout_.format == JobFormat::csv ? take_csv(row) : take_document(row)) {
    add_defaults();
    job_.good = joint_from_entries("", entries_, *layout_.catalog, job_.joint).empty();
    if (!job_.good) refuse(reasons());
  }
  // Refused rows of CSV have the shape of the header like all others.
  outgrown_ = outgrown_ || (!job_.good && layout_.format != JobFormat::csv);
  return job_;
}

}  // namespace seamwright
