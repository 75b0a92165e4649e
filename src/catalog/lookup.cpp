// Look-ups in a catalog and the keys of its enumerations.
#include <charconv>
#include <cmath>
#include <utility>

#include "catalog/same_wire.hpp"
#include "seamwright/catalog.hpp"

namespace seamwright {
namespace {

using namespace std::string_view_literals;

constexpr std::array element_symbols = {"C"sv, "Si"sv, "Mn"sv, "P"sv,  "S"sv, "Cr"sv, "Ni"sv, "Mo"sv, "N"sv,  "Cu"sv,
                                        "V"sv, "Nb"sv, "Ti"sv, "Al"sv, "B"sv, "W"sv,  "Mg"sv, "Zn"sv, "Fe"sv, "Zr"sv};
constexpr std::array family_keys = {"carbon-steel"sv, "austenitic"sv, "duplex"sv,   "super-duplex"sv,
                                    "aluminium"sv,    "nickel"sv,     "ferritic"sv, "copper"sv};
constexpr std::array family_labels = {
    "carbon steel"sv, "austenitic stainless steel"sv, "duplex steel"sv, "super duplex steel"sv, "aluminium"sv,
    "nickel alloy"sv, "ferritic stainless steel"sv,   "copper alloy"sv};
constexpr std::array source_kind_keys = {"standard"sv, "published"sv, "open-data"sv, "trial"sv,
                                         "derived"sv,  "practice"sv,  "memory"sv,    "assumed"sv};
static_assert(element_symbols.size() == element_count && family_keys.size() == family_count &&
              family_labels.size() == family_count);

template <class Enum, std::size_t n>
std::optional<Enum> by_key(const std::array<std::string_view, n>& keys, std::string_view key) {
  for (std::size_t i = 0; i < n; ++i)
    if (keys[i] == key) return static_cast<Enum>(i);
  return std::nullopt;
}

constexpr bool is_filling(char c) { return c == ' ' || c == '-' || c == '_'; }
constexpr char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool has_name(std::string_view names, std::string_view name) {
  while (true) {
    const auto bar = names.find('|');
    if (same_name(names.substr(0, bar), name)) return true;
    if (bar == std::string_view::npos) return false;
    names.remove_prefix(bar + 1);
  }
}

// The id to the letter is what most callers have, and quickly found; ids are unique however they are spelt.
template <class Row>
const Row* with_id(std::span<const Row> rows, std::string_view id) {
  for (const Row& row : rows)
    if (row.id == id) return &row;
  for (const Row& row : rows)
    if (same_name(row.id, id)) return &row;
  return nullptr;
}

template <class Row>
const Row* named(std::span<const Row> rows, std::string_view name) {
  if (const Row* row = with_id(rows, name)) return row;
  for (const Row& row : rows)
    if (has_name(row.names, name)) return &row;
  return nullptr;
}

}  // namespace

bool same_name(std::string_view a, std::string_view b) {
  if (a == b) return a.find_first_not_of(" -_") != std::string_view::npos;
  std::size_t i = 0, j = 0;
  bool any = false;
  while (true) {
    while (i < a.size() && is_filling(a[i])) ++i;
    while (j < b.size() && is_filling(b[j])) ++j;
    if (i == a.size() || j == b.size()) return any && i == a.size() && j == b.size();
    if (lower(a[i++]) != lower(b[j++])) return false;
    any = true;
  }
}

std::string_view element_symbol(Element e) { return element_symbols[static_cast<std::size_t>(e)]; }
std::optional<Element> element_by_symbol(std::string_view symbol) { return by_key<Element>(element_symbols, symbol); }
std::string_view family_key(Family family) { return family_keys[static_cast<std::size_t>(family)]; }
std::optional<Family> family_by_key(std::string_view key) { return by_key<Family>(family_keys, key); }
std::string_view family_label(Family family) { return family_labels[static_cast<std::size_t>(family)]; }
std::string_view source_kind_key(SourceKind kind) { return source_kind_keys[static_cast<std::size_t>(kind)]; }
std::optional<SourceKind> source_kind_by_key(std::string_view key) { return by_key<SourceKind>(source_kind_keys, key); }

const MaterialGroup* find_material_group(const Catalog& catalog, std::string_view name) {
  return with_id(catalog.material_groups, name);
}
const Alloy* find_alloy(const Catalog& catalog, std::string_view name) {
  const MaterialGroup* group = find_material_group(catalog, name);
  return named(catalog.alloys, group != nullptr ? group->alloy : name);
}
WireMetal wire_metal(const Wire& wire) {
  constexpr std::pair<std::string_view, WireMetal> beginnings[] = {{"carbon-steel", WireMetal::steel},
                                                                   {"stainless", WireMetal::stainless},
                                                                   {"duplex", WireMetal::duplex},
                                                                   {"aluminium", WireMetal::aluminium},
                                                                   {"nickel", WireMetal::nickel}};
  for (const auto& [beginning, metal] : beginnings)
    if (wire.family.starts_with(beginning)) return metal;
  return WireMetal::copper;
}
bool is_named(const Wire& wire, std::string_view name) {
  return same_name(wire.id, name) || has_name(wire.names, name);
}
bool is_bronze(const Wire& wire) { return wire.family.ends_with("bronze"); }
const Wire* find_wire(const Catalog& catalog, std::string_view name) { return named(catalog.wires, name); }
const Gas* find_gas(const Catalog& catalog, std::string_view name) { return named(catalog.gases, name); }
const Position* find_position(const Catalog& catalog, std::string_view name) { return named(catalog.positions, name); }
const Metal* find_metal(const Catalog& catalog, std::string_view id) { return with_id(catalog.metals, id); }
const WireFamily* find_wire_family(const Catalog& catalog, std::string_view id) {
  return with_id(catalog.wire_families, id);
}
const TrialRow* find_trial(const Catalog& catalog, std::string_view wire_family, Mode mode, std::string_view metal) {
  for (const TrialRow& row : catalog.trials)
    if (row.wire_family == wire_family && row.mode == mode && row.metal == metal) return &row;
  return nullptr;
}
const ReadingRow* find_reading(const Catalog& catalog, std::string_view name) { return named(catalog.readings, name); }
const VerdictRow* find_verdict(const Catalog& catalog, std::string_view name) { return named(catalog.verdicts, name); }
std::optional<CorrelationItem> read_correlation(std::string_view item) {
  CorrelationItem out;
  const auto first = item.find(' '), second = item.find(' ', first == item.npos ? first : first + 1);
  if (second == item.npos) return std::nullopt;
  out.first = item.substr(0, first);
  out.second = item.substr(first + 1, second - first - 1);
  const std::string_view number = item.substr(second + 1);
  const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), out.value);
  const bool whole = error == std::errc() && end == number.data() + number.size();
  if (!whole || !(out.value >= -1 && out.value <= 1) || out.first.empty() || out.first == out.second)
    return std::nullopt;
  return out;
}
const Alloy* first_alloy_for(const Catalog& catalog, const Wire& wire) {
  for (const Alloy& alloy : catalog.alloys) {
    bool fits = false;
    for_each_item(alloy.fillers, [&](std::string_view filler) { fits = fits || filler == wire.id; });
    if (fits) return &alloy;
  }
  return nullptr;
}
const TravelRange& find_travel_range(const Catalog& catalog, bool mechanised, bool aluminium,
                                     std::string_view position) {
  for (const TravelRange& row : catalog.travel_ranges) {
    bool here = row.positions == "any";
    for_each_item(row.positions, [&](std::string_view id) { here = here || id == position; });
    if (row.mechanised == mechanised && here && (row.metal == "any" || (row.metal == "aluminium") == aluminium))
      return row;
  }
  return catalog.travel_ranges.back();
}
const QualityLevel* find_quality(const Catalog& catalog, std::string_view id) {
  return with_id(catalog.quality_levels, id);
}

const WireTradeSize* find_trade_size(const Catalog& catalog, double diameter_mm) {
  for (const WireTradeSize& size : catalog.wire_trade_sizes)
    if (std::abs(size.diameter_mm - diameter_mm) <= same_wire_mm) return &size;
  return nullptr;
}

const WireSize* find_wire_size(const Catalog& catalog, std::string_view family, double diameter_mm) {
  const auto within = [&](double mm, double tolerance_mm) -> const WireSize* {
    for (const WireSize& size : catalog.wire_sizes)
      if (std::abs(size.diameter_mm - mm) <= tolerance_mm && same_name(size.family, family)) return &size;
    return nullptr;
  };
  constexpr double exact_mm = 0.001;
  if (const WireSize* size = within(diameter_mm, exact_mm)) return size;
  if (const WireSize* size = within(diameter_mm, same_wire_mm)) return size;
  const WireTradeSize* trade = find_trade_size(catalog, diameter_mm);
  return trade == nullptr ? nullptr : within(trade->size_mm, exact_mm);
}

std::string_view aws_name(const Wire& wire) {
  std::string_view found;
  for_each_item(wire.names, [&](std::string_view name) {
    const bool aws =
        name.size() > 2 && name[0] == 'E' && (name[1] == 'R' || name[1] == 'C' || (name[1] >= '0' && name[1] <= '9'));
    if (aws && found.empty()) found = name;
  });
  return found;
}

const ModeInfo& mode_info(const Catalog& catalog, Mode mode) {
  for (const ModeInfo& info : catalog.modes)
    if (info.id == mode) return info;
  return catalog.modes.front();  // the catalog compiler demands every mode
}

const Source& source_of(const Catalog& catalog, SourceIndex index) {
  return catalog.sources[index < catalog.sources.size() ? index : 0];
}

}  // namespace seamwright
