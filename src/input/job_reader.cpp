#include "input/job_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <type_traits>
#include <utility>

#include "input/job_parts.hpp"
#include "text/json_value.hpp"
#include "text/table_text.hpp"

namespace seamwright {
namespace {

constexpr std::size_t most_source_bytes = 400;  // of the line shown with a mistake

// A number alone, as JSON and TOML would have it; everything else is left to the readers of quantities.
bool read_plain_number(std::string_view text, double& value) {
  if (text.empty() || text.find_first_not_of("0123456789.-eE") != std::string_view::npos) return false;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc() && end == text.data() + text.size();
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

// A number as JSON writes it too. TOML has more ways.
bool is_bare(JobFormat format, const TomlValue& value) {
  if (value.kind == TomlValue::Kind::boolean) return true;
  return value.is_number() &&
         (format == JobFormat::ndjson ||
          (value.text.find_first_not_of("0123456789.-+eE") == std::string::npos && value.text.front() != '+'));
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

JobReader::JobReader(const JobLayout& layout, bool placed)
    : layout_(layout), column_entries_(layout.columns.size()), column_values_(layout.columns.size()), placed_(placed) {
  job_.passed.resize(layout.passed.size());
  job_.bare.resize(layout.passed.size());
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    const std::string& key = layout.columns[i].key;
    column_entries_[i] = {key, &column_values_[i], {}, {}};
    if (placed) column_entries_[i].place = column_entries_[i].key_place = {key, 0, 0};
  }
}

bool JobReader::refuse(std::string message) {
  if (placed_) faults_.push_back(list_error(message, ""));
  job_.message = std::move(message);
  return false;
}

// Of a cell that is not its key's fault.
bool JobReader::refuse_cell(std::size_t column, std::string_view why) {
  const std::string& key = layout_.columns[column].key;
  refuse(fmt::format("cell {} ({}) {}", column + 1,
                     text_start(key.empty() ? layout_.passed[layout_.columns[column].passed] : key), why));
  if (placed_) faults_.back().place.file = key;
  return false;
}

bool JobReader::take_csv(std::string_view row) {
  if (!split_csv_row(row, layout_.separator, cells_, scratch_))
    return refuse("text after a closing quote (put quotes around the whole cell, and double those inside it)");
  const std::size_t columns = layout_.columns.size();
  const bool plain = is_plain(row);
  std::optional<std::size_t> faulty;
  for (std::size_t i = 0; i < std::min(columns, cells_.size()); ++i) {
    const JobLayout::Column& column = layout_.columns[i];
    if (!plain) {
      const TextFault why = text_fault(cells_[i], column.shown);
      if (why && !faulty) faulty = i;
      if (why) continue;
    }
    if (column.key.empty())
      job_.passed[column.passed] = cells_[i];
    else if (column.key == "id")
      job_.id = cells_[i];
  }
  if (faulty) return refuse_cell(*faulty, text_fault(cells_[*faulty], layout_.columns[*faulty].shown).in_one_line());
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
  return take_cells();
}

bool JobReader::take_cells() {
  const std::optional<DecimalSign> sign = decimal_sign_of_row();
  if (!sign) return false;
  for (std::size_t i = 0; i < layout_.columns.size(); ++i) {
    if (layout_.columns[i].key.empty() || cells_[i].empty()) continue;
    set_cell(i, *sign);
    entries_.push_back(&column_entries_[i]);
  }
  return true;
}

// Where commas part cells a decimal comma is what is told alone; elsewhere the numbers of the row show it. Nothing: the
// row is refused.
std::optional<DecimalSign> JobReader::decimal_sign_of_row() {
  const bool detected = layout_.decimal == DecimalSign::detect;
  if (layout_.decimal == DecimalSign::point || (detected && layout_.separator == ',')) return DecimalSign::point;
  DecimalMarks marks;
  for (std::size_t i = 0; i < layout_.columns.size(); ++i) {
    const JobLayout::Column& column = layout_.columns[i];
    if (column.key.empty() || column.text || cells_[i].empty() || cells_[i].front() == '[' || cells_[i].front() == '{')
      continue;
    if (detected) {
      marks.look(cells_[i]);
    } else if (has_decimal_point(cells_[i])) {
      refuse_cell(i, fmt::format("has a point in '{}', in a list with decimal commas (write a comma, and no marks "
                                 "between thousands)",
                                 text_start(cells_[i])));
      return {};
    }
  }
  if (!detected) return DecimalSign::comma;
  if (std::string why = marks.why(); !why.empty()) {
    refuse(std::move(why));
    return {};
  }
  return marks.sign();
}

// The value of a cell of a key, with the unit of its heading where it is a number alone.
void JobReader::set_cell(std::size_t index, DecimalSign sign) {
  const JobLayout::Column& column = layout_.columns[index];
  std::string_view cell = cells_[index];
  const bool number = !column.text && cell.front() != '[' && cell.front() != '{';
  if (number && sign == DecimalSign::comma && cell.find(',') != std::string_view::npos) {
    commas_to_points(cell, decimal_);
    cell = decimal_;
  }
  set_cell_value(column_values_[index], cell, column.text);
  if (number && !column.unit.empty() && cell.find_first_not_of("0123456789.+-eE ") == std::string_view::npos) {
    column_values_[index].text += ' ';
    column_values_[index].text += column.unit;
    column_values_[index].kind = TomlValue::Kind::string;
  }
}

bool JobReader::take_document(std::string_view row) {
  if (layout_.format == JobFormat::ndjson) {
    if (!json_.read_object(row, document_, layout_.passed)) {
      refuse(one_line({json_.error()}));
      if (placed_) faults_ = {json_.error()};
      return false;
    }
  } else {
    Expected<TomlValue> document = parse_job_table(row);
    if (!document) {
      const int line = document.errors().front().place.line;
      refuse((line > 0 ? fmt::format("line {} of the row: ", line) : "") + one_line(document.errors()));
      if (placed_) faults_ = document.errors();
      return false;
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

// Takes what is passed through out of the document.
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
Diagnostics JobReader::reasons() const {
  constexpr std::string_view of_defaults = " of the defaults";
  std::vector<Entry> entries;
  std::vector<const Entry*> pointers;
  for (const Entry* entry : entries_) entries.push_back(*entry);
  for (std::size_t i = 0; i < entries.size(); ++i) {
    Entry& entry = entries[i];
    entry.place = entry.key_place = {entry.path, 0, 0};
    if (i >= given_) entry.place.file += of_defaults;
    pointers.push_back(&entry);
  }
  Joint joint;
  Diagnostics errors = joint_from_entries("", pointers, *layout_.catalog, joint);
  // "joint.leg of the defaults does not go with ...": the row does not show it.
  for (Diagnostic& error : errors) {
    const std::string& place = error.place.file;
    if (place.size() <= of_defaults.size() || place.substr(place.size() - of_defaults.size()) != of_defaults) continue;
    const std::size_t key = place.size() - of_defaults.size();
    if (error.message.compare(0, key, place, 0, key) == 0) error.message.insert(key, of_defaults);
  }
  return errors;
}

// Line and column, from 1, inside the row; 0: the row does not have the key.
Place JobReader::place_of(std::string_view key) const {
  if (key.empty()) return {};
  if (layout_.format != JobFormat::csv) {
    for (const Entry& entry : document_entries_)
      if (entry.path == key) return {{}, entry.value->line, entry.value->column};
    return {};
  }
  for (std::size_t i = 0; i < layout_.columns.size(); ++i) {
    if (layout_.columns[i].key != key) continue;
    const std::string_view before = row_.substr(0, csv_cell_begin(row_, layout_.separator, i));
    const std::size_t line_begin = before.rfind('\n') + 1;  // npos + 1 is 0
    return {{},
            1 + static_cast<int>(std::count(before.begin(), before.end(), '\n')),
            1 + static_cast<int>(before.size() - line_begin)};
  }
  return {};
}

Diagnostics JobReader::in_place(Diagnostics faults, const std::string& name, std::uint64_t line) const {
  for (Diagnostic& fault : faults) {
    const Place inside = fault.place.line > 0 ? fault.place : place_of(fault.place.file);
    fault.place = {name, static_cast<int>(line) + std::max(inside.line, 1) - 1, inside.column};
    std::string_view source = row_;
    for (int skip = 1; skip < inside.line; ++skip)
      source.remove_prefix(std::min(source.find('\n'), source.size() - 1) + 1);
    fault.source_line = source.substr(0, std::min(source.find('\n'), most_source_bytes));
  }
  return faults;
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
  faults_.clear();
  row_ = row;
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
    if (placed_)
      for (Entry& entry : document_entries_) entry.place = entry.key_place = {entry.path, 0, 0};
    job_.good = joint_from_entries("", entries_, *layout_.catalog, job_.joint).empty();
    if (!job_.good) {
      Diagnostics errors = reasons();
      job_.message = one_line(errors);
      if (placed_) faults_ = std::move(errors);
    } else if (layout_.counted && !job_.joint.quantity) {
      job_.joint.quantity.value = 1;
    }
  }
  // Refused rows of CSV have the shape of the header like all others.
  outgrown_ = outgrown_ || (!job_.good && layout_.format != JobFormat::csv);
  return job_;
}

bool JobReader::append_plan_key(std::string& out) const {
  constexpr std::array<std::string_view, 4> others{"id", "title", "joint.length", "quantity"};
  for (const Entry* entry : entries_) {
    if (entry->value->kind == TomlValue::Kind::array || entry->value->kind == TomlValue::Kind::table) return false;
    if (std::find(others.begin(), others.end(), entry->path) != others.end()) continue;
    // Sizes in front, so that no two lists of entries run together to one text.
    out += static_cast<char>(entry->value->kind);
    for (const std::string_view part : {std::string_view(entry->path), std::string_view(entry->value->text)})
      fmt::format_to(std::back_inserter(out), "{}:{}", part.size(), part);
    if (entry->value->kind == TomlValue::Kind::boolean) out += entry->value->boolean ? '+' : '-';
  }
  return true;
}

}  // namespace seamwright
