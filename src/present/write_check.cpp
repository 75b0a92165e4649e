#include "present/write_check.hpp"

#include <fmt/format.h>

#include <cmath>

#include "present/plan_words.hpp"
#include "present/sentence_units.hpp"
#include "seamwright/procedure_check.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

bool is_length(const CheckRow& row) { return row.like == F::count && row.unit == "mm"; }

std::string number_text(const CheckRow& row, double metric, Units units) {
  if (row.like != F::count) return quantity_text(field(row.like), metric, units);
  return fixed_text(check_in_units(row, metric, units), is_length(row) && units == Units::us ? 3 : row.decimals);
}

std::string with_unit(const CheckRow& row, const std::string& number, Units units) {
  const std::string_view unit = check_unit(row, units);
  return unit.empty() ? number : fmt::format("{} {}", number, unit);
}

// "6 to 20 mm", "at most 250 degC", "any"
std::string range_text(const CheckRow& row, Units units) {
  const bool low = std::isfinite(row.range.low), high = std::isfinite(row.range.high);
  if (low && high && row.range.low == row.range.high)
    return with_unit(row, number_text(row, row.range.low, units), units);
  if (low && high)
    return with_unit(
        row, fmt::format("{} to {}", number_text(row, row.range.low, units), number_text(row, row.range.high, units)),
        units);
  if (low) return "at least " + with_unit(row, number_text(row, row.range.low, units), units);
  if (high) return "at most " + with_unit(row, number_text(row, row.range.high, units), units);
  return "any";
}

std::string beyond_text(const CheckRow& row, Units units) {
  if (row.like != F::count) return with_unit(row, difference_text(field(row.like), row.beyond, units), units);
  return with_unit(row, number_text(row, row.beyond, units), units);
}

std::string planned_text(const CheckRow& row, Units units) {
  if (!std::isfinite(row.value)) return row.planned;
  return with_unit(row, number_text(row, row.value, units), units);
}

std::string allowed_text(const CheckRow& row, Units units) {
  if (!row.allowed.empty()) return row.allowed;
  const bool numeric = row.planned.empty();
  return numeric ? range_text(row, units) : std::string();
}

std::string row_label(const CheckRow& row) {
  return row.passes.empty() ? row.label : fmt::format("{}, {}", row.label, row.passes);
}

std::string row_words(const CheckRow& row, const Catalog& catalog, Units units, bool test_piece) {
  const std::string planned = planned_text(row, units);
  std::string text;
  if (row.status == CheckStatus::not_stated && !test_piece) {
    text = planned;
  } else {
    text = allowed_text(row, units);
    if (!planned.empty()) text = fmt::format("{}; {} {}", planned, test_piece ? "covered:" : "stated:", text);
  }
  if (row.beyond > 0) text += fmt::format("; outside by {}", beyond_text(row, units));
  if (std::isfinite(row.nearest))
    text += fmt::format("; nearest inside {}", with_unit(row, number_text(row, row.nearest, units), units));
  if (!row.remark.empty()) text += fmt::format("; {}", sentence_in_units(row.remark, units));
  return text + source_mark(catalog, row.source);
}

}  // namespace

double check_in_units(const CheckRow& row, double metric, Units units) {
  if (row.like != F::count) return in_units(field(row.like), metric, units);
  if (row.unit == "l/min") return flow_in_units(metric, units);
  return is_length(row) ? length_in_units(metric, units) : metric;
}

std::string_view check_unit(const CheckRow& row, Units units) {
  if (row.like != F::count) return unit_of(field(row.like), units);
  if (row.unit == "l/min") return flow_unit(units);
  return is_length(row) ? length_unit(units) : row.unit;
}

std::vector<std::string> outside_words(const Plan& plan, Units units) {
  std::vector<std::string> texts;
  if (!plan.resolved.procedure) return texts;
  for (const CheckRow& row : check_procedure(plan, *plan.resolved.procedure).rows)
    if (row.status == CheckStatus::outside)
      texts.push_back(fmt::format("Outside the procedure: {}: {}", row_label(row),
                                  row_words(row, *plan.resolved.catalog, units, false)));
  return texts;
}

std::string check_table(const ProcedureCheck& check, const CheckOptions& options) {
  const bool test_piece = options.title.empty();
  std::string out;
  const auto heading = [&](std::string_view text) {
    append_heading(out, text, TextStyle::bold, options.color, options.width);
  };
  heading(test_piece ? "What the test piece would qualify" : printable("Against procedure " + options.title));
  const auto line = [&](const CheckRow& row) {
    append_entry(out, row_label(row), printable(row_words(row, *options.catalog, options.units, test_piece)), 40,
                 options.width);
  };
  const auto group = [&](CheckStatus status, std::string_view title) {
    bool headed = false;
    for (const CheckRow& row : check.rows) {
      if (row.status != status) continue;
      if (!headed) {
        out += '\n';
        heading(title);
        headed = true;
      }
      line(row);
    }
  };
  group(CheckStatus::outside, "OUTSIDE");
  group(CheckStatus::inside, "Inside");
  group(CheckStatus::not_stated, test_piece ? "Qualified" : "Not stated in the procedure (planned value)");
  out += '\n';
  append_wrapped(out, sentence_in_units(check.summary, options.units), options.width, 0, 0);
  if (!test_piece)
    append_wrapped(out,
                   "Not computed here, so not compared: torch angle, polarity, weaving, cleaning and gouging, heating "
                   "after welding.",
                   options.width, 0, 0);
  out += '\n';
  append_wrapped(out,
                 printable(fmt::format("seamwright {}, data {}", options.program_version, options.catalog->version)),
                 options.width, 0, 0);
  return out;
}

}  // namespace seamwright
