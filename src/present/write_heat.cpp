#include "present/write_heat.hpp"

#include <fmt/format.h>

#include <cmath>

#include "present/plan_words.hpp"
#include "present/sentence_units.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

std::string number_text(const HeatItem& item, double metric, Units units) {
  if (item.like != F::count) return quantity_text(field(item.like), metric, units);
  return fixed_text(metric, item.decimals);
}

}  // namespace

double heat_in_units(const HeatItem& item, double metric, Units units) {
  return item.like == F::count ? metric : in_units(field(item.like), metric, units);
}

std::string_view heat_unit(const HeatItem& item, Units units) {
  return item.like == F::count ? item.unit : unit_of(field(item.like), units);
}

std::string heat_value_text(const HeatItem& item, Units units) {
  const bool low = std::isfinite(item.low), high = std::isfinite(item.high);
  std::string range;
  if (low && high)
    range = fmt::format("{} to {}", number_text(item, item.low, units), number_text(item, item.high, units));
  else if (high)
    range = fmt::format("at most {}", number_text(item, item.high, units));
  else if (low)
    range = fmt::format("at least {}", number_text(item, item.low, units));
  const std::string_view unit = heat_unit(item, units);
  const std::string with_unit = unit.empty() ? "" : fmt::format(" {}", unit);
  if (!std::isfinite(item.value)) return range.empty() ? range : range + with_unit;
  std::string text = number_text(item, item.value, units) + with_unit;
  if (low && high && item.low < item.high) text += fmt::format(" ({})", range);
  return text;
}

std::string heat_section_text(const HeatSection& section, const Catalog& catalog, Units units, std::size_t width) {
  constexpr std::size_t label_width = 42;
  std::string out, last;
  int pass = 0;
  for (const HeatItem& item : section.items) {
    if (item.pass != pass && item.pass > 0) out += fmt::format("  pass {}\n", item.pass);
    pass = item.pass;
    std::string text = heat_value_text(item, units);
    if (!item.note.empty()) text += fmt::format("{}{}", text.empty() ? "" : "; ", sentence_in_units(item.note, units));
    std::string entry;
    append_entry(entry, "  " + sentence_in_units(item.label, units), text + source_mark(catalog, item.source),
                 label_width, width);
    // Of the typical and the heaviest analysis: one line when neither can be had, for the same reason.
    if (entry != last || item.pass > 0) out += entry;
    last = std::move(entry);
  }
  // What is beyond a limit stands among the warnings of the plan, and only there.
  bool warned = false;
  for (const HeatFinding& f : section.findings) {
    warned = warned || f.beyond;
    if (!f.beyond)
      append_entry(out, "!", printable(sentence_in_units(f.text, units)) + source_mark(catalog, f.source), 4, width);
  }
  if (warned) append_entry(out, "!", "Beyond a limit: see WARNINGS at the top.", 4, width);
  return out;
}

}  // namespace seamwright
