// seamwright catalog: what the program knows, and how well, made from the tables' own column lists.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <utility>

#include "catalog/catalog_columns.hpp"
#include "catalog/overlay.hpp"
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "input/file_kind.hpp"
#include "quantity/quantity_text.hpp"
#include "text/nearest_word.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::size_t width = 100, indent = 34;

// As wide as the screen.
int tell(const OutputArguments& output, std::string_view text) {
  return deliver(output, fitted(text, screen_width(output, width)), exit_answered);
}

std::string listed(std::string_view list) {
  std::string text(list);
  for (std::size_t at = 0; (at = text.find('|', at)) != std::string::npos; ++at) text.replace(at, 1, ", ");
  return text;
}

std::string source_text(const Catalog& catalog, SourceIndex index) {
  if (index == 0) return {};
  const Source& s = source_of(catalog, index);
  return fmt::format(" [{}: {}]", source_kind_key(s.kind), s.key);
}

// One column of a row as text.
struct ValueText {
  const Catalog& catalog;
  [[nodiscard]] std::string operator()(std::string_view text) const { return listed(text); }
  // An end that does not bind is left out.
  [[nodiscard]] std::string operator()(double value) const { return std::isinf(value) ? "" : short_text(value); }
  [[nodiscard]] std::string operator()(bool value) const { return value ? "yes" : "no"; }
  [[nodiscard]] std::string operator()(SourceIndex index) const {
    const Source& s = source_of(catalog, index);
    return fmt::format("{}: {} ({})", source_kind_key(s.kind), s.title, s.key);
  }
  [[nodiscard]] std::string operator()(const Constant& c) const {
    if (c.source == 0 && c.value == 0) return "none";
    const std::string spread = c.half_width_90 > 0 ? fmt::format(" +- {}", short_text(c.half_width_90)) : "";
    return short_text(c.value) + spread + source_text(catalog, c.source);
  }
  [[nodiscard]] std::string operator()(const Composition& composition) const {
    std::string text;
    for (std::size_t i = 0; i < element_count; ++i)
      if (const auto e = static_cast<Element>(i); composition[e] > 0)
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", element_symbol(e), short_text(composition[e]));
    return text.empty() ? "none" : text + " %" + source_text(catalog, composition.source);
  }
  [[nodiscard]] std::string operator()(Family family) const { return std::string(family_label(family)); }
  [[nodiscard]] std::string operator()(Mode mode) const { return std::string(mode_key(mode)); }
  [[nodiscard]] std::string operator()(C id) const { return std::string(constraint_key(id)); }
  [[nodiscard]] std::string operator()(Strength strength) const { return std::string(strength_key(strength)); }
  [[nodiscard]] std::string operator()(SourceKind kind) const { return std::string(source_kind_key(kind)); }
};

template <class Row>
std::string row_name(const Row& row) {
  if constexpr (requires { row.id; })
    if constexpr (std::is_same_v<decltype(row.id), Mode>)
      return std::string(mode_key(row.id));
    else if constexpr (std::is_same_v<decltype(row.id), C>)
      return std::string(constraint_key(row.id));
    else
      return std::string(row.id);
  else if constexpr (requires { row.key; })
    return std::string(row.key);
  else if constexpr (requires { row.family; })
    return fmt::format("{} {}", row.family, short_text(row.diameter_mm));
  else
    return {};  // a single row
}

// What tells a row from others at a glance.
template <class Row>
std::string row_summary(const Row& row) {
  if constexpr (requires { row.names; }) return listed(row.names);
  if constexpr (requires { row.title; }) return fmt::format("{}: {}", source_kind_key(row.kind), row.title);
  if constexpr (requires { row.label; }) return std::string(row.label);
  if constexpr (requires { row.text; }) return std::string(row.text);
  if constexpr (requires {
                  row.material;
                  row.thickness_min_mm;
                })
    return fmt::format("{}, {} to {} mm{}", row.material, short_text(row.thickness_min_mm),
                       short_text(row.thickness_max_mm), row.both_sides ? ", from both sides" : "");
  return {};
}

std::string folded(std::string_view name) {
  std::string text;
  for (const char c : name)
    if (c != ' ' && c != '-' && c != '_') text += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

template <class Row>
bool is_called(const Row& row, std::string_view name) {
  bool called = folded(row_name(row)) == folded(name);
  if constexpr (requires { row.names; })
    for_each_item(row.names, [&](std::string_view n) { called = called || folded(n) == folded(name); });
  return called;
}

template <class Row>
void append_row(std::string& out, const Catalog& catalog, const Row& row) {
  visit_columns(row, [&](std::string_view column, const auto& value, const auto&) {
    if (const std::string text = ValueText{catalog}(value); !text.empty())
      append_entry(out, column, text, indent, width);
  });
}

// `aliases` holds every name a row answers to.
int no_such_row(std::string_view kind, std::string_view name, const std::vector<std::string>& names,
                const std::vector<std::string_view>& aliases) {
  const std::string_view near = nearest_word(name, aliases);
  constexpr std::size_t most = 40;
  return usage_error(fmt::format("the table '{}' has no row '{}'", kind, name),
                     !near.empty()          ? fmt::format("did you mean '{}'?", near)
                     : names.size() <= most ? fmt::format("it has: {}", fmt::join(names, ", "))
                                            : fmt::format("'seamwright catalog {}' lists its rows", kind));
}

// What a table holds, for the list of tables.
std::string_view kind_text(std::string_view kind) {
#define SEAMWRIGHT_TABLE(name, Row, rows, text) \
  if (kind == #name) return text;
  SEAMWRIGHT_TABLES(SEAMWRIGHT_TABLE)
#undef SEAMWRIGHT_TABLE
  return {};
}

std::string singular(const std::string& kind, const std::vector<std::string_view>& kinds) {
  const bool known = std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
  if (known || kind.empty() || kind.back() != 's') return kind;
  for (const std::size_t ending : {1u, 2u}) {
    if (kind.size() <= ending) break;
    std::string shorter = kind.substr(0, kind.size() - ending);
    if (std::find(kinds.begin(), kinds.end(), shorter) != kinds.end()) return shorter;
  }
  return kind;
}

// Every column of a row as text.
template <class Row>
std::vector<std::pair<std::string_view, std::string>> columns_of(const Catalog& catalog, const Row& row) {
  std::vector<std::pair<std::string_view, std::string>> columns;
  visit_columns(row, [&](std::string_view column, const auto& value, const auto&) {
    columns.emplace_back(column, ValueText{catalog}(value));
  });
  return columns;
}

// A row that is new, or the columns of it that differ from the built-in one. Some tables have several rows of a name.
template <class Row, class Rows>
void append_changes(std::string& out, std::string_view kind, const Catalog& catalog, const Row& row,
                    const Rows& old_rows) {
  const std::string name = row_name(row);
  const auto now = columns_of(catalog, row);
  decltype(columns_of(catalog, row)) was;
  for (const Row& old : old_rows) {
    if (row_name(old) != name) continue;
    auto columns = columns_of(builtin_catalog(), old);
    if (columns == now) return;
    if (was.empty()) was = std::move(columns);
  }
  if (was.empty()) append_entry(out, fmt::format("{} {}", kind, name), "added", indent, width);
  for (std::size_t i = 0; i < was.size(); ++i)
    if (was[i] != now[i])
      append_entry(out, fmt::format("{}{}{}: {}", kind, name.empty() ? "" : " ", name, now[i].first),
                   fmt::format("{}, was {}", now[i].second, was[i].second), indent, width);
}

// Lays a user's file over the built-in catalog and says what it changed.
int check_rows(const CatalogArguments& arguments) {
  if (arguments.name.empty())
    return usage_error("catalog check needs a file of rows", "usage: seamwright catalog check FILE");
  const Expected<std::unique_ptr<CatalogOverlay>> overlay = lay_over(arguments.name);
  if (!overlay) return report(file_told_apart(overlay.errors(), arguments.name, FileKind::catalog_rows));
  const Catalog &before = builtin_catalog(), &after = (*overlay)->catalog;
  std::string out = fmt::format("{} is sound.\n", arguments.name);
  visit_tables(after, [&](std::string_view kind, const auto& rows) {
    visit_tables(before, [&](std::string_view other_kind, const auto& old_rows) {
      if constexpr (std::is_same_v<std::decay_t<decltype(rows[0])>, std::decay_t<decltype(old_rows[0])>>)
        if (kind == other_kind)
          for (const auto& row : rows) append_changes(out, kind, after, row, old_rows);
    });
  });
  append_changes(out, "limits", after, *after.limits, std::span<const Limits>(before.limits, 1));
  append_changes(out, "review", after, *after.review, std::span<const ReviewRules>(before.review, 1));
  out += fmt::format("Use it with --data {}.\n", arguments.name);
  return tell(arguments.output, out);
}

}  // namespace

int run_catalog(const CatalogArguments& arguments, const Catalog& catalog) {
  if (arguments.kind == "check") return check_rows(arguments);
  std::string out;
  std::vector<std::string_view> kinds{"limits", "review"};
  visit_tables(catalog, [&](std::string_view kind, const auto&) { kinds.push_back(kind); });
  if (arguments.kind.empty()) {
    out =
        fmt::format("Data {}. 'seamwright catalog KIND' lists a table, 'seamwright catalog KIND NAME' shows a row.\n\n",
                    printable(catalog.version));
    append_entry(out, "limits", "single numbers of the model", 26, width);
    append_entry(out, "review", "how a recorded weld is read", 26, width);
    visit_tables(catalog, [&](std::string_view kind, const auto& rows) {
      const std::size_t hidden = kind == "source" ? 1 : 0;  // the one that stands for none
      append_entry(out, kind, fmt::format("{}: {}", rows.size() - hidden, kind_text(kind)), 26, width);
    });
    out +=
        "\nA value is followed by the kind of its source and its key: [memory: recalled-peak]. 'seamwright catalog "
        "source KEY'\ntells what that is. A column's name ends with its unit; +- is the half-width of the 90 % "
        "interval.\nYour own rows: 'seamwright help data'.\n";
    return tell(arguments.output, out);
  }
  // A kind may be given in the plural: "sources".
  const std::string kind = singular(arguments.kind, kinds);
  kinds.push_back("check");
  if (!one_of("a catalog kind", kind, kinds)) return exit_bad_input;
  if (kind == "limits" || kind == "review") {
    if (kind == "limits") append_row(out, catalog, *catalog.limits);
    if (kind == "review") append_row(out, catalog, *catalog.review);
    return tell(arguments.output, out);
  }
  std::vector<std::string> names, aliases;
  visit_tables(catalog, [&](std::string_view table, const auto& rows) {
    if (table != kind) return;
    bool first = true;
    for (const auto& row : rows) {
      const bool hidden = table == "source" && std::exchange(first, false);  // the one that stands for none
      if (hidden) continue;
      names.push_back(row_name(row));
      aliases.push_back(names.back());
      if constexpr (requires { row.names; })
        for_each_item(row.names, [&](std::string_view n) { aliases.emplace_back(n); });
      if (arguments.name.empty())
        append_entry(out, row_name(row), row_summary(row), indent, width);
      else if (is_called(row, arguments.name)) {
        if (!out.empty()) out += '\n';
        append_row(out, catalog, row);
      }
    }
  });
  if (names.empty())
    return tell(arguments.output,
                fmt::format("The table '{}' has no rows: it is for your own, given with --data.\n", kind));
  if (out.empty()) return no_such_row(kind, arguments.name, names, {aliases.begin(), aliases.end()});
  return tell(arguments.output, out);
}

}  // namespace seamwright
