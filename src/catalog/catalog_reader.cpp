#include "catalog/catalog_reader.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <set>
#include <system_error>
#include <type_traits>
#include <vector>

#include "catalog/catalog_columns.hpp"
#include "seamwright/constraint_id.hpp"
#include "text/nearest_word.hpp"

namespace seamwright {
namespace {

constexpr std::size_t max_catalog_bytes = 1u << 20;

// Rows of one table are the same row when these agree.
std::string identity(const Source& row) { return std::string(row.key); }
std::string identity(const WireSize& row) { return fmt::format("{} {}", row.family, row.diameter_mm); }
std::string identity(const ModeInfo& row) { return std::string(mode_key(row.id)); }
std::string identity(const LimitStrength& row) { return std::string(constraint_key(row.id)); }
std::string identity(const Preparation& row) {
  return fmt::format("{} {} from {} mm{}", row.material, row.id, row.thickness_min_mm,
                     row.both_sides ? ", both sides" : "");
}
template <class Row>
std::string identity(const Row& row) {
  return std::string(row.id);
}

std::string folded(std::string_view name) {
  std::string out;
  for (const char c : name)
    if (c != ' ' && c != '-' && c != '_') out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return out;
}

class Reader {
 public:
  Reader(CatalogData& data, bool overlay) : data_(data), overlay_(overlay) {
    for (std::size_t i = 0; i < data_.sources.size(); ++i) add_source(i);
    if (data_.sources.empty()) {
      data_.sources.push_back(
          {"none", SourceKind::assumed, "no catalog entry: given by the user, or nothing to give", ""});
      add_source(0);
    }
  }

  Diagnostics run(const std::vector<CatalogDocument>& documents) {
    read_top_level(documents);
    visit_tables(data_, [&](std::string_view kind, auto& rows) {
      for (const CatalogDocument& document : documents) read_rows(document, kind, rows);
    });
    for (const CatalogDocument& document : documents) {
      read_single(document, "limits", data_.limits);
      read_single(document, "review", data_.review);
    }
    if (errors_.empty()) check_references();  // a half-read catalog would only give echoes
    if (errors_.empty() && !overlay_) check_whole();
    return std::move(errors_);
  }

 private:
  struct Origin {
    const std::string* file = nullptr;
    const TomlValue* table = nullptr;
  };

  template <class... Args>
  void error(const Place& place, fmt::format_string<Args...> text, Args&&... args) {
    if (!muted_) errors_.push_back({place, fmt::format(text, std::forward<Args>(args)...), ""});
  }
  // The next step, of the error said last.
  void help(std::string text) {
    if (!muted_ && !errors_.empty()) errors_.back().help = std::move(text);
  }
  void help_nearest(std::string_view word, const std::vector<std::string_view>& words, std::string otherwise) {
    const std::string_view near = nearest_word(word, words);
    help(near.empty() ? std::move(otherwise) : fmt::format("did you mean '{}'?", near));
  }
  static std::string constant_form(std::string_view column) {
    return fmt::format(
        "{} = {{ value = ..., u90 = ..., source = \"...\" }}; u90 is the half-width of its 90 % interval, "
        "or exact = true",
        column);
  }
  static Place place_of(const std::string& file, const TomlValue& value) { return {file, value.line, value.column}; }
  static Place key_place(const std::string& file, const TomlValue& value) {
    return value.key_line > 0 ? Place{file, value.key_line, value.key_column} : place_of(file, value);
  }
  // Of a column of a row read earlier; nothing for a row that came with the base catalog.
  template <class Row>
  Place column_place(const Row& row, std::string_view column) const {
    const auto found = origins_.find(&row);
    if (found == origins_.end()) return {};
    const auto& [file, table] = found->second;
    const TomlValue* value = table->find(column);
    return value ? place_of(*file, *value) : place_of(*file, *table);
  }

  std::string_view keep(std::string_view text) {
    if (muted_ || text.empty()) return text;
    return data_.text.emplace_back(text);
  }

  void add_source(std::size_t index) {
    source_index_[std::string(data_.sources[index].key)] = static_cast<SourceIndex>(index);
    source_used_.resize(data_.sources.size());
  }

  // --- values
  // ---------------------------------------------------------------------------------------------------------
  struct Cell {
    const std::string& file;
    const TomlValue& table;  // the row
    const TomlValue& value;
    std::string_view column;
    Rule rule;
    bool partial;
    [[nodiscard]] Place place() const { return place_of(file, value); }
  };

  bool is_kind(const Cell& cell, TomlValue::Kind kind) {
    if (cell.value.kind == kind) return true;
    error(cell.place(), "'{}' is {}, expected {}", cell.column, toml_kind_label(cell.value.kind),
          toml_kind_label(kind));
    if (kind == TomlValue::Kind::string && cell.value.kind == TomlValue::Kind::array)
      help("several are one text with bars between: \"first|second\"");
    else if (kind == TomlValue::Kind::table && cell.column != "typical" && cell.column != "maximum")
      help("write it as " + constant_form(cell.column));
    else if (kind == TomlValue::Kind::table)
      help(fmt::format("write it as {} = {{ C = 0.1, Mn = 1.2, source = \"...\" }}, % by mass", cell.column));
    else
      help("'seamwright catalog' shows how the built-in rows have it");
    return false;
  }

  bool is_sane(const Cell& cell, const TomlValue& value, std::string_view what) {
    if (!value.is_number() || !std::isfinite(value.number)) {
      error(place_of(cell.file, value), "{} of '{}' is not a number", what, cell.column);
      help("a plain number, in the unit that ends the column's name");
    } else if (value.number < cell.rule.low || value.number > cell.rule.high) {
      error(place_of(cell.file, value), "'{}' is {}, outside the sane range {} to {}", cell.column, value.number,
            cell.rule.low, cell.rule.high);
      help("a value inside it; the column's name ends with its unit");
    } else {
      return true;
    }
    return false;
  }

  void read(const Cell& cell, std::string_view& out) {
    if (!is_kind(cell, TomlValue::Kind::string)) return;
    const std::string& text = cell.value.text;
    const auto printable = [](char c) { return c >= ' ' && c <= '~'; };
    if (text.empty() && !cell.rule.optional) error(cell.place(), "'{}' is empty", cell.column);
    if (!std::all_of(text.begin(), text.end(), printable))
      error(cell.place(), "'{}' holds a character outside printable ASCII", cell.column);
    out = keep(text);
  }
  void read(const Cell& cell, bool& out) {
    if (is_kind(cell, TomlValue::Kind::boolean)) out = cell.value.boolean;
  }
  void read(const Cell& cell, double& out) {
    if (is_sane(cell, cell.value, "the value")) out = cell.value.number + 0.0;
  }
  void read(const Cell& cell, SourceIndex& out) { out = source(cell.file, cell.value); }
  void read(const Cell& cell, Family& out) { read_key(cell, out, family_by_key, "family"); }
  void read(const Cell& cell, Mode& out) { read_key(cell, out, mode_by_key, "mode"); }
  void read(const Cell& cell, C& out) { read_key(cell, out, constraint_by_key, "limit"); }
  void read(const Cell& cell, Strength& out) { read_key(cell, out, strength_by_key, "strength"); }
  void read(const Cell& cell, SourceKind& out) { read_key(cell, out, source_kind_by_key, "kind of source"); }
  template <class Enum>
  static std::vector<std::string_view> words_of() {
    std::vector<std::string_view> words;
    if constexpr (std::is_same_v<Enum, Mode>)
      for (std::size_t i = 0; i < mode_count; ++i) words.push_back(mode_key(static_cast<Mode>(i)));
    else if constexpr (std::is_same_v<Enum, C>)
      for (std::size_t i = 0; i < constraint_count; ++i) words.push_back(constraint_key(static_cast<C>(i)));
    else if constexpr (std::is_same_v<Enum, Strength>)
      for (const Strength s : {Strength::rule, Strength::physics, Strength::practice, Strength::assumed})
        words.push_back(strength_key(s));
    else if constexpr (std::is_same_v<Enum, Family>)
      for (std::size_t i = 0; i < family_count; ++i) words.push_back(family_key(static_cast<Family>(i)));
    else
      for (const SourceKind k : {SourceKind::standard, SourceKind::published, SourceKind::open_data, SourceKind::trial,
                                 SourceKind::derived, SourceKind::practice, SourceKind::memory, SourceKind::assumed})
        words.push_back(source_kind_key(k));
    return words;
  }
  template <class Enum>
  void read_key(const Cell& cell, Enum& out, std::optional<Enum> (*by_key)(std::string_view), std::string_view what) {
    if (!is_kind(cell, TomlValue::Kind::string)) return;
    if (const auto found = by_key(cell.value.text))
      out = *found;
    else {
      error(cell.place(), "unknown {} '{}'", what, cell.value.text);
      help_nearest(cell.value.text, words_of<Enum>(),
                   fmt::format("it is one of: {}", fmt::join(words_of<Enum>(), ", ")));
    }
  }

  void read(const Cell& cell, Composition& out) {
    if (!is_kind(cell, TomlValue::Kind::table)) return;
    out = {};
    double sum = 0;
    for (const auto& [key, value] : cell.value.members) {
      if (key == "source") continue;
      const auto element = element_by_symbol(key);
      if (!element) {
        error(key_place(cell.file, value), "unknown element '{}' in '{}'", key, cell.column);
        help("chemical symbols, as in { C = 0.1, Mn = 1.2 }");
      } else if (!value.is_number() || !(value.number > 0) || value.number > 100) {
        error(place_of(cell.file, value), "{} in '{}' is not a percentage above 0", key, cell.column);
        help("% by mass, above 0 and at most 100; leave out what is not in it");
      } else {
        out[*element] = value.number;
        sum += value.number;
      }
    }
    if (sum > 100.5) error(cell.place(), "the elements of '{}' add up to {} %", cell.column, sum);
    out.source = required_source(cell);
  }

  void read(const Cell& cell, Constant& out) {
    if (cell.value.is_number() && cell.value.number == 0 && cell.rule.low <= 0) {
      out = {};
      return;
    }
    if (!is_kind(cell, TomlValue::Kind::table)) return;
    for (const auto& [key, value] : cell.value.members)
      if (key != "value" && key != "source" && key != "u90" && key != "u90_rel" && key != "exact" &&
          key != "carried_by")
        unknown_part(key_place(cell.file, value), key, cell.column);
    const TomlValue* value = cell.value.find("value");
    if (value == nullptr) {
      error(cell.place(), "'{}' has no value", cell.column);
      help("write it as " + constant_form(cell.column));
    } else if (is_sane(cell, *value, "the value")) {
      out.value = value->number + 0.0;
      out.half_width_90 = half_width(cell, out.value);
    }
    out.source = required_source(cell);
  }

  void unknown_part(const Place& place, const std::string& key, std::string_view column) {
    error(place, "unknown key '{}' in '{}'", key, column);
    help("write it as " + constant_form(column));
  }

  double half_width(const Cell& cell, double value) {
    const TomlValue* absolute = cell.value.find("u90");
    const TomlValue* relative = cell.value.find("u90_rel");
    const TomlValue* exact = cell.value.find("exact");
    const TomlValue* carried = cell.value.find("carried_by");
    if ((absolute != nullptr) + (relative != nullptr) + (exact != nullptr) + (carried != nullptr) != 1) {
      error(cell.place(), "'{}' needs one of u90, u90_rel, exact, carried_by", cell.column);
      help("write it as " + constant_form(cell.column));
    } else if (const TomlValue* width = absolute ? absolute : relative) {
      if (width->is_number() && std::isfinite(width->number) && width->number > 0)
        return absolute ? width->number : width->number * std::abs(value);
      error(place_of(cell.file, *width), "the half-width of '{}' is not above 0", cell.column);
    } else if (exact != nullptr && !exact->boolean) {
      error(place_of(cell.file, *exact), "'exact' of '{}' can only be true", cell.column);
    } else if (carried != nullptr && !cell.partial) {
      const TomlValue* carrier = cell.table.find(carried->text);
      if (carrier == nullptr || (carrier->find("u90") == nullptr && carrier->find("u90_rel") == nullptr))
        error(place_of(cell.file, *carried), "'{}' is carried by '{}', which has no half-width of its own", cell.column,
              carried->text);
    }
    return 0;
  }

  SourceIndex required_source(const Cell& cell) {
    if (const TomlValue* key = cell.value.find("source")) return source(cell.file, *key);
    error(cell.place(), "'{}' has no source", cell.column);
    help("source = \"key\": a [[source]] of this file, or one that 'seamwright catalog sources' lists");
    return 0;
  }

  SourceIndex source(const std::string& file, const TomlValue& key) {
    const auto found = source_index_.find(key.text);
    if (key.kind != TomlValue::Kind::string || found == source_index_.end() || found->second == 0) {
      error(place_of(file, key), "unknown source '{}'", key.text);
      std::vector<std::string_view> known;
      for (const Source& s : data_.sources) known.push_back(s.key);
      help_nearest(key.text, known,
                   "add a [[source]] with that key, a kind and a title, or take one that 'seamwright catalog sources' "
                   "lists");
      return 0;
    }
    source_used_[found->second] = true;
    return found->second;
  }

  // --- rows
  // -----------------------------------------------------------------------------------------------------------
  template <class Row>
  void read_columns(const std::string& file, const TomlValue& table, Row& row, bool partial) {
    std::set<std::string_view> known;
    std::vector<std::string> missing;
    visit_columns(row, [&](std::string_view column, auto& member, const Rule& rule) {
      known.insert(column);
      if (const TomlValue* value = table.find(column))
        read(Cell{file, table, *value, column, rule, partial}, member);
      else if (!rule.optional && !partial)
        missing.push_back(fmt::format("'{}'", column));
    });
    if (!missing.empty()) {
      error(place_of(file, table), "a new row must be whole; missing: {}", fmt::join(missing, ", "));
      help("'seamwright catalog KIND NAME' shows a row with all its columns; 0 stands for a value there is none of");
    }
    for (const auto& [key, value] : table.members)
      if (!known.contains(key)) {
        error(key_place(file, value), "unknown column '{}'", key);
        help_nearest(key, {known.begin(), known.end()}, fmt::format("its columns are: {}", fmt::join(known, ", ")));
      }
  }

  template <class Row>
  void read_rows(const CatalogDocument& document, std::string_view kind, std::vector<Row>& rows) {
    const TomlValue* array = document.root.find(kind);
    if (array == nullptr) return;
    if (array->kind != TomlValue::Kind::array) {
      error(key_place(document.name, *array), "'{}' must be written as [[{}]]", kind, kind);
      help("two brackets: a table of that name may have many rows");
      return;
    }
    rows.reserve(rows.size() + array->items.size());
    for (const TomlValue& table : array->items) {
      if (table.kind != TomlValue::Kind::table) {
        error(place_of(document.name, table), "a row of '{}' must be a table", kind);
        continue;
      }
      read_row(document.name, kind, table, rows);
    }
  }

  template <class Row>
  void read_row(const std::string& file, std::string_view kind, const TomlValue& table, std::vector<Row>& rows) {
    Row probe;
    muted_ = true;  // only to learn which row it is
    read_columns(file, table, probe, true);
    muted_ = false;
    const std::string which = identity(probe);
    if (!seen_.emplace(kind, which).second) {
      error(place_of(file, table), "a second {} '{}'", kind, which);
      help("put the columns of both in one row");
      return;
    }
    const auto same = [&](const Row& row) { return identity(row) == which; };
    const auto existing = std::find_if(rows.begin(), rows.end(), same);
    const bool partial = existing != rows.end();
    if (partial && &*existing == static_cast<const void*>(data_.sources.data())) {
      error(place_of(file, table), "the source key '{}' is taken", which);
      help("give it another key");
      return;
    }
    Row& row = partial ? *existing : rows.emplace_back();
    read_columns(file, table, row, partial);
    row_origins_[std::string(kind)].push_back({&file, &table, static_cast<std::size_t>(&row - rows.data())});
    if constexpr (std::is_same_v<Row, Source>) add_source(static_cast<std::size_t>(&row - rows.data()));
  }

  // A table of single numbers, [limits] or [review].
  template <class Row>
  void read_single(const CatalogDocument& document, std::string_view kind, Row& row) {
    const TomlValue* table = document.root.find(kind);
    if (table == nullptr) return;
    if (table->kind != TomlValue::Kind::table) {
      error(key_place(document.name, *table), "'{0}' must be written as [{0}]", kind);
      return;
    }
    if (!singles_read_.insert(kind).second && !overlay_) error(key_place(document.name, *table), "a second [{}]", kind);
    read_columns(document.name, *table, row, overlay_);
  }

  void read_top_level(const std::vector<CatalogDocument>& documents) {
    std::set<std::string_view> kinds = {"version", "limits", "review"};
    visit_tables(data_, [&](std::string_view kind, auto&) { kinds.insert(kind); });
    for (const CatalogDocument& document : documents)
      for (const auto& [key, value] : document.root.members) {
        if (!kinds.contains(key)) {
          error(key_place(document.name, value), "unknown table '{}'", key);
          help_nearest(key, {kinds.begin(), kinds.end()}, "'seamwright catalog' lists the tables");
        } else if (key == "version")
          read(Cell{document.name, document.root, value, key, required, false}, data_.version);
      }
  }

  // --- checks across rows
  // ---------------------------------------------------------------------------------------------
  void check_references() {
    visit_tables(data_, [&](std::string_view kind, auto& rows) {
      for (const RowOrigin& origin : row_origins_[std::string(kind)])
        origins_[&rows[origin.index]] = {origin.file, origin.table};
    });
    check_names(data_.alloys);
    check_names(data_.wires);
    check_names(data_.gases);
    check_names(data_.positions);
    const auto has = [](const auto& rows, std::string_view id) {
      return std::any_of(rows.begin(), rows.end(), [&](const auto& row) { return row.id == id; });
    };
    const auto must_have = [&](const auto& row, std::string_view column, std::string_view list, const auto& rows) {
      for_each_item(list, [&](std::string_view id) {
        if (has(rows, id)) return;
        error(column_place(row, column), "'{}' names '{}', which the catalog lacks", column, id);
        std::vector<std::string_view> known;
        for (const auto& other : rows) known.push_back(other.id);
        help_nearest(id, known, fmt::format("it knows: {}", fmt::join(known, ", ")));
      });
    };
    for (const Alloy& alloy : data_.alloys) {
      must_have(alloy, "metal", alloy.metal, data_.metals);
      must_have(alloy, "fillers", alloy.fillers, data_.wires);
    }
    for (const MaterialGroup& group : data_.material_groups) must_have(group, "alloy", group.alloy, data_.alloys);
    for (const UnlikeFiller& pair : data_.unlike_fillers) must_have(pair, "filler", pair.filler, data_.wires);
    for (const WireSize& size : data_.wire_sizes) must_have(size, "family", size.family, data_.wire_families);
    for (const Wire& wire : data_.wires) {
      must_have(wire, "family", wire.family, data_.wire_families);
      must_have(wire, "gases", wire.gases, data_.gases);
      check_diameters(wire);
    }
    for (const Gas& gas : data_.gases) check_gas(gas);
    for (const TrialRow& trial : data_.trials) {
      must_have(trial, "wire_family", trial.wire_family, data_.wire_families);
      must_have(trial, "metal", trial.metal, data_.metals);
      check_correlation(trial);
    }
    visit_tables(data_, [&](std::string_view, auto& rows) {
      for (const auto& row : rows) check_order(row);
    });
    check_order(data_.limits);
    check_order(data_.review);
  }

  // No two rows of a table may answer to one name. Rows of the base catalog have the older claim.
  template <class Row>
  void check_names(const std::vector<Row>& rows) {
    std::map<std::string, std::string_view> owner;
    const auto claim = [&](const Row& row, std::string_view column, std::string_view name) {
      const std::string key = folded(name);
      if (key.empty()) {
        error(column_place(row, column), "'{}' has an empty name", column);
      } else if (const auto [found, fresh] = owner.emplace(key, row.id); !fresh) {
        error(column_place(row, column), "the name '{}' of '{}' is already taken by '{}'", name, row.id, found->second);
        help("leave that name out, or change the columns of the row that has it");
      }
    };
    for (const bool fresh_rows : {false, true})
      for (const Row& row : rows) {
        if (origins_.contains(&row) != fresh_rows) continue;
        claim(row, "id", row.id);
        for_each_item(row.names, [&](std::string_view name) { claim(row, "names", name); });
      }
  }

  void check_diameters(const Wire& wire) {
    for_each_item(wire.diameters, [&](std::string_view item) {
      const bool known = std::any_of(data_.wire_sizes.begin(), data_.wire_sizes.end(), [&](const WireSize& size) {
        return size.family == wire.family && fmt::format("{:.1f}", size.diameter_mm) == item;
      });
      if (!known)
        error(column_place(wire, "diameters"), "'diameters' names {} mm, a size the family '{}' lacks", item,
              wire.family);
    });
  }

  void check_correlation(const TrialRow& trial) {
    std::vector<std::string_view> known;
    visit_columns(trial, [&](std::string_view column, const auto& member, const Rule&) {
      if constexpr (std::is_same_v<decltype(member), const Constant&>)
        if (member.half_width_90 > 0) known.push_back(column);
    });
    for_each_item(trial.correlation, [&](std::string_view item) {
      const auto pair = read_correlation(item);
      if (!pair) {
        error(column_place(trial, "correlation"), "'{}' in 'correlation' is not two columns and a number from -1 to 1",
              item);
        help("write it as \"feed_law width -0.41|arc_fixed width 0.2\"");
        return;
      }
      for (const std::string_view name : {pair->first, pair->second})
        if (std::find(known.begin(), known.end(), name) == known.end()) {
          error(column_place(trial, "correlation"), "'correlation' names '{}', which has no half-width in this row",
                name);
          help_nearest(name, known, "the columns of this row that have u90");
        }
    });
  }

  void check_gas(const Gas& gas) {
    const double sum = gas.argon_percent + gas.co2_percent + gas.oxygen_percent + gas.helium_percent +
                       gas.nitrogen_percent + gas.hydrogen_percent;
    if (std::abs(sum - 100) > 1e-9) error(column_place(gas, "id"), "the parts of '{}' add up to {} %", gas.id, sum);
  }

  static double number_of(const Constant& constant) { return constant.value; }
  static double number_of(double value) { return value; }

  // x_min_unit may not exceed x_max_unit where both are given.
  template <class Row>
  void check_order(const Row& row) {
    std::map<std::string, double> numbers;
    visit_columns(row, [&](std::string_view column, const auto& member, const Rule&) {
      if constexpr (requires { number_of(member); }) numbers[std::string(column)] = number_of(member);
    });
    for (const auto& [column, low] : numbers) {
      const auto at = column.find("_min");
      if (at == std::string::npos) continue;
      const auto top = numbers.find(std::string(column).replace(at, 4, "_max"));
      if (top != numbers.end() && top->second > 0 && low > top->second)
        error(column_place(row, column), "'{}' {} is above '{}' {}", column, low, top->first, top->second);
    }
  }

  void check_whole() {
    for (std::size_t i = 0; i < mode_count; ++i) {
      const auto mode = static_cast<Mode>(i);
      if (std::none_of(data_.modes.begin(), data_.modes.end(), [&](const ModeInfo& row) { return row.id == mode; }))
        error({}, "no [[mode]] '{}'", mode_key(mode));
    }
    for (const std::string_view kind : {"limits", "review"})
      if (!singles_read_.contains(kind)) error({}, "no [{}]", kind);
    if (data_.version.empty()) error({}, "no version");
    for (std::size_t i = 1; i < data_.sources.size(); ++i)
      if (!source_used_[i])
        error(column_place(data_.sources[i], "key"), "the source '{}' is used nowhere", data_.sources[i].key);
  }

  struct RowOrigin {
    const std::string* file;
    const TomlValue* table;
    std::size_t index;
  };

  CatalogData& data_;
  bool overlay_;
  bool muted_ = false;
  std::set<std::string_view> singles_read_;  // "limits", "review"
  Diagnostics errors_;
  std::map<std::string, SourceIndex, std::less<>> source_index_;
  std::vector<bool> source_used_;
  std::set<std::pair<std::string, std::string>> seen_;
  std::map<std::string, std::vector<RowOrigin>> row_origins_;
  std::map<const void*, Origin> origins_;  // once the vectors stay put
};

Expected<CatalogData> read_into(CatalogData data, const std::vector<CatalogDocument>& documents, bool overlay) {
  Diagnostics errors = Reader(data, overlay).run(documents);
  if (!errors.empty()) return errors;
  return data;
}

}  // namespace

Catalog CatalogData::view() const {
  Catalog catalog;
#define SEAMWRIGHT_TABLE(kind, Row, rows, text) catalog.rows = rows;
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
  catalog.limits = &limits;
  catalog.review = &review;
  catalog.version = version;
  return catalog;
}

Expected<std::vector<CatalogDocument>> read_catalog_folder(const std::string& folder) {
  std::vector<std::string> paths;
  std::error_code failure;
  for (std::filesystem::directory_iterator at(folder, failure), end; !failure && at != end; at.increment(failure))
    if (at->path().extension() == ".toml") paths.push_back(at->path().string());
  if (failure) return Diagnostic{{folder, 0, 0}, "the folder cannot be read", ""};
  std::sort(paths.begin(), paths.end());
  std::vector<CatalogDocument> documents;
  Diagnostics errors;
  for (const std::string& path : paths) {
    const auto text = read_text_file(path, max_catalog_bytes);
    if (!text) {
      errors.insert(errors.end(), text.errors().begin(), text.errors().end());
      continue;
    }
    auto root = parse_toml(*text, path);
    if (root)
      documents.push_back({path, std::move(*root)});
    else
      errors.insert(errors.end(), root.errors().begin(), root.errors().end());
  }
  if (!errors.empty()) return errors;
  return documents;
}

Expected<CatalogData> read_catalog(const std::vector<CatalogDocument>& documents) {
  return read_into({}, documents, false);
}

Expected<CatalogData> overlay_catalog(const Catalog& base, const std::vector<CatalogDocument>& documents) {
  CatalogData data;
#define SEAMWRIGHT_TABLE(kind, Row, rows, text) data.rows.assign(base.rows.begin(), base.rows.end());
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
  data.limits = *base.limits;
  data.review = *base.review;
  data.version = base.version;
  return read_into(std::move(data), documents, true);
}

}  // namespace seamwright
