#include "present/write_assess.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "present/joint_words.hpp"
#include "present/lock_words.hpp"
#include "present/plan_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/write_csv.hpp"
#include "text/text_grid.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::size_t number_width = 8, unit_width = 6;
constexpr std::size_t most_constants = 4;

std::string percent(double probability) {
  const bool sure = probability > 0.99;
  return fixed_text(100 * probability, sure ? 1 : 0) + " %";
}

// In the units asked for; what is no field's unit stays.
std::string cause_value(const Cause& cause, double value, Units units) {
  if (cause.unit == "m/min") return quantity_with_unit(field(F::wire_feed), value, units);
  if (cause.unit == "mm" && units == Units::us) return length_text(value, units);
  const std::string_view space = cause.unit.empty() ? "" : " ";
  const int decimals = cause.key == "wire-diameter" || cause.key == "extension" ? 1 : 0;
  const bool plain = cause.unit == "mm" || cause.unit == "A";
  return fmt::format("{}{}{}", plain ? fixed_text(value, decimals) : fmt::format("{:.3g}", value), space, cause.unit);
}

std::string spreads_text(double spreads) {
  return fmt::format("{} of its 90 % spreads", fixed_text(spreads, spreads < 10 ? 1 : 0));
}

class AssessWriter {
 public:
  AssessWriter(const Assessment& a, const AssessTextOptions& options)
      : a_(a),
        c_(case_of(a.plan.resolved, a.pass)),
        options_(options),
        width_(std::max(options.width, narrowest_screen)) {
    for (const FieldInfo& info : fields()) label_width_ = std::max(label_width_, letters(info.label) + 2);
  }

  std::string write() {
    header();
    verdict();
    readings();
    numbers();
    limits();
    nearest();
    out_ += '\n';
    paragraph(starting_values_words, 0);
    paragraph(printable(fmt::format("seamwright {}, data {}", options_.program_version, c_.catalog->version)), 0);
    return std::move(out_);
  }

 private:
  const Assessment& a_;
  const Case& c_;
  const AssessTextOptions& options_;
  std::size_t width_, label_width_ = 0;
  std::string out_;

  void heading(std::string_view text) {
    out_ += '\n';
    append_heading(out_, text, TextStyle::bold, options_.color, width_);
  }
  void labelled(std::string_view label, std::string_view text) {
    constexpr std::size_t column = 11;
    append_entry(out_, label, text, column, width_);
  }
  void paragraph(std::string_view text, std::size_t indent) {
    out_.append(indent, ' ');
    append_wrapped(out_, text, width_, indent, indent);
  }
  [[nodiscard]] std::string quantity(F id, double metric) const {
    return quantity_with_unit(field(id), metric, options_.units);
  }
  [[nodiscard]] bool taken(F id) const { return std::find(a_.taken.begin(), a_.taken.end(), id) != a_.taken.end(); }

  void header() {
    if (c_.joint.title) append_wrapped(out_, printable(*c_.joint.title), width_, 0, 2);
    append_wrapped(out_, printable(joint_words(c_, options_.units)), width_, 0, 2);
    paragraph(printable(fmt::format("{}, {}, {}; pass {} of {}, {}", wire_words(*c_.wire, options_.units),
                                    wire_size_words(*c_.catalog, c_.diameter_mm, options_.units), c_.gas_name,
                                    a_.pass + 1, a_.passes, pass_role_key(a_.plan.passes[a_.pass].pass.role))),
              2);
    std::string set;
    for (const F id : {F::wire_feed, F::voltage, F::travel, F::modulation_frequency, F::modulation_amplitude}) {
      if (!applies(a_.values[id])) continue;
      set += fmt::format("{}{} {}{}", set.empty() ? "" : ", ", field(id).label, quantity(id, a_.values[id]),
                         taken(id) ? " (the plan's)" : "");
    }
    out_ += '\n';
    labelled("SETTING", set);
    labelled("MODE", fmt::format("{}{}", key_words(mode_key(c_.mode)),
                                 a_.mode_chosen ? ": the joint leaves it open, this setting runs in it" : ""));
    labelled("TRANSFER", transfer_label(a_.transfer));
  }

  void verdict() {
    if (a_.broken > 0) {
      const Margin& worst = a_.limits.front().margin;
      labelled("VERDICT", fmt::format("{} limit{} broken, worst: {}", a_.broken, a_.broken == 1 ? "" : "s",
                                      shortfall(a_.limits.front())));
      if (const std::string_view symptom = constraint(worst.id).symptom; !symptom.empty())
        paragraph(fmt::format("What is seen: {}.", symptom), 11);
    } else {
      labelled("VERDICT", grade_words(a_.grade) + ".");
    }
  }
  // Against the end at which it is refused.
  [[nodiscard]] std::string shortfall(const AssessedLimit& limit) const {
    Margin m = limit.margin;
    m.limit = limit.last;
    return fmt::format("{}: {}", constraint(m.id).label, shortfall_words(m, options_.units));
  }

  void readings() {
    for (const SettingReading& r : a_.readings) {
      const FieldInfo& info = field(r.field);
      heading(r.contradicts ? "CONTRADICTION" : "Reading");
      const double apart = r.given - r.computed;
      paragraph(fmt::format("{} {} was given; {} follows, +- {}: {}{} {}, {}.", info.label, quantity(r.field, r.given),
                            quantity(r.field, r.computed), difference_text(info, r.plus_minus, options_.units),
                            difference_text(info, std::abs(apart), options_.units),
                            info.unit.empty() ? std::string() : fmt::format(" {}", unit_of(info, options_.units)),
                            apart > 0 ? "more" : "less",
                            r.contradicts ? spreads_text(std::abs(r.spreads)) : std::string("within the spread")),
                2);
      if (!r.contradicts) continue;
      paragraph("Each of these alone would explain it, the likeliest first:", 2);
      for (const Cause& cause : r.causes) {
        append_entry(out_, "    " + cause.label,
                     fmt::format("{} instead of {}: {}{}", cause_value(cause, cause.explaining, options_.units),
                                 cause_value(cause, cause.planned, options_.units), spreads_text(cause.spreads),
                                 cause.likely ? "" : ", unlikely"),
                     40, width_);
      }
      if (r.constants.empty()) continue;
      paragraph("Or a constant of the calculation:", 2);
      for (std::size_t i = 0; i < std::min(most_constants, r.constants.size()); ++i) {
        const Cause& k = r.constants[i];
        append_entry(out_, "    " + k.label,
                     fmt::format("{:.3g}{}{} instead of {:.3g}: {}", k.explaining, k.unit.empty() ? "" : " ", k.unit,
                                 k.planned, spreads_text(k.spreads)),
                     40, width_);
      }
    }
  }

  // Whether the screen has room for the numbers in columns.
  [[nodiscard]] bool in_columns() const { return width_ >= 2 + label_width_ + 2 * number_width + 2 + unit_width; }
  void numbers() {
    out_ += '\n';
    if (in_columns()) {
      out_.append(2 + label_width_, ' ');
      append_right(out_, "value", number_width);
      append_right(out_, "+-", number_width);
      out_ += "  unit\n";
    }
    for (const LabelledGroup& group : quantity_groups()) {
      bool headed = false;
      for (const F id : group.fields) {
        if (!std::isfinite(a_.values[id])) continue;
        if (!headed) out_ += fmt::format("  {}\n", group.label);
        headed = true;
        number_row(id);
      }
    }
  }
  void number_row(F id) {
    const FieldInfo& info = field(id);
    const std::string value = quantity_text(info, a_.values[id], options_.units);
    const double half = a_.plus_minus[id];
    const std::string spread = half > 0 ? difference_text(info, half, options_.units) : "";
    std::string dial = dial_words(c_, id, {.present = true, .value = a_.values[id]});
    if (!dial.empty()) dial = printable("dial: " + dial);
    const std::string_view unit = unit_of(info, options_.units);
    if (!in_columns())
      return append_stacked(out_, info.label, {{"", value, unit}, {"+-", spread, unit}, {"", dial, ""}}, 4, width_);
    std::string row(4, ' ');
    append_left(row, info.label, label_width_);
    append_right(row, value, number_width - 2);
    append_right(row, spread, number_width);
    row += "  ";
    append_left(row, unit, unit_width);
    const bool beside = letters(row) + 2 + letters(dial) <= width_;
    if (beside && !dial.empty()) (row += "  ") += dial;
    out_ += row.substr(0, row.find_last_not_of(' ') + 1) + '\n';
    if (!beside) paragraph(dial, 6);
  }

  void limits() {
    heading("Limits, those broken first, then the least sure");
    std::size_t label = 0;
    for (const AssessedLimit& l : a_.limits)
      if (told(l)) label = std::max(label, letters(constraint(l.margin.id).label) + 2);
    std::string others;
    for (const AssessedLimit& l : a_.limits) {
      const Margin& m = l.margin;
      if (!told(l)) {
        const std::string_view name = constraint(m.id).label;
        if (others.find(name) == std::string::npos) others += fmt::format("{}{}", others.empty() ? "" : ", ", name);
        continue;
      }
      const std::string value =
          std::isfinite(m.value) ? quantity(m.field, m.value) : std::string("out of its formula's range");
      std::string line = fmt::format("{} {}, refused {} {}", field(m.field).label, value, m.upper ? "above" : "below",
                                     quantity(m.field, l.last));
      if (l.broken)
        line += ": BROKEN";
      else if (applies(l.probability))
        line += fmt::format("; holds {}", percent(l.probability));
      std::string term = "  ";
      term += constraint(m.id).label;
      append_entry(out_, term, line, label + 2, width_);
    }
    if (!others.empty()) paragraph(fmt::format("Surely held: {}.", others), 2);
  }
  // Limits that hold 99 times in 100 are only named.
  static bool told(const AssessedLimit& l) {
    constexpr double surely = 0.99;
    return l.broken || (applies(l.probability) && l.probability < surely);
  }

  // "Feed 16.6 to 14.9: 1.7 down"
  [[nodiscard]] std::string dial_change(const SettingChange& change) const {
    if (!c_.equipment) return {};
    for (const Dial& dial : c_.equipment->dials) {
      if (dial.field != change.field) continue;
      const double from = dial_reading(dial, change.from), to = dial_reading(dial, change.to);
      return fmt::format(" (dial {}: {} to {}, {} {})", dial.name, fixed_text(from, dial.decimals),
                         fixed_text(to, dial.decimals), fixed_text(std::abs(to - from), dial.decimals),
                         to > from ? "up" : "down");
    }
    return {};
  }
  void nearest() {
    if (a_.broken == 0 && a_.grade.grade == Grade::sound) return;
    heading(a_.broken > 0 ? "Nearest setting that holds" : "Nearest setting that is surer");
    if (!a_.nearest) {
      paragraph(a_.broken > 0
                    ? "None: no feed and travel hold every limit here. 'seamwright plan' names what conflicts "
                      "and what opens a window."
                    : "None within reach of feed and travel.",
                2);
      return;
    }
    const NearestSetting& near = *a_.nearest;
    for (const SettingChange& change : near.changes) {
      const FieldInfo& info = field(change.field);
      std::string term = "  ";
      term += info.label;
      append_entry(out_, term,
                   printable(fmt::format("{} to {}{}", quantity_text(info, change.from, options_.units),
                                         quantity(change.field, change.to), dial_change(change))),
                   label_width_ + 4, width_);
    }
    paragraph(
        fmt::format("There it is {}: the least sure limit holds {}. Current {}, heat input {}.",
                    grade_label(near.grade), percent(near.probability), quantity(F::current, near.values[F::current]),
                    quantity(F::heat_input, near.values[F::heat_input])),
        2);
  }
};

}  // namespace

std::string_view verdict_key(const Assessment& a) { return a.broken > 0 ? "broken" : grade_key(a.grade.grade); }

std::string assess_table(const Assessment& a, const AssessTextOptions& options) {
  return AssessWriter(a, options).write();
}

namespace {

constexpr std::string_view line_end = "\r\n";
constexpr std::array<std::string_view, 9> own_columns{"status",  "message", "pass",    "mode",       "transfer",
                                                      "verdict", "broken",  "weakest", "probability"};

std::string column_name(const FieldInfo& info, Units units) {
  return std::string(info.key) + column_unit(unit_of(info, units));
}

void cell(std::string& out, std::string_view text) {
  append_csv_text(out, text);
  out += ',';
}

}  // namespace

void append_assess_csv_header(std::string& out, const std::vector<std::string>& leading, Units units) {
  for (const std::string& name : leading) cell(out, name);
  for (const std::string_view name : own_columns) cell(out, name);
  for (const FieldInfo& info : fields()) cell(out, column_name(info, units));
  for (const F id : {F::wire_feed, F::voltage, F::travel}) cell(out, "nearest_" + column_name(field(id), units));
  cell(out, "nearest_grade");
  out.pop_back();
  out += line_end;
}

void append_assess_csv(std::string& out, const std::vector<std::string>& leading, const Assessment& a, Units units) {
  for (const std::string& text : leading) cell(out, text);
  std::string contradictions;
  for (const SettingReading& r : a.readings)
    if (r.contradicts)
      contradictions +=
          fmt::format("{}{} contradicts the setting", contradictions.empty() ? "" : "; ", field(r.field).label);
  const AssessedLimit& worst = a.limits.front();
  for (const std::string& text :
       {std::string(a.broken > 0 ? "broken" : "holds"), contradictions, fmt::format("{}", a.pass + 1),
        std::string(mode_key(case_of(a.plan.resolved, a.pass).mode)), std::string(transfer_key(a.transfer)),
        std::string(verdict_key(a)), fmt::format("{}", a.broken), std::string(constraint(worst.margin.id).key),
        applies(worst.probability) ? short_text(worst.probability) : std::string()})
    cell(out, text);
  const auto number = [&](F id, double metric) {
    if (std::isfinite(metric)) out += short_text(in_units(field(id), metric, units));
    out += ',';
  };
  for (const FieldInfo& info : fields()) number(info.id, a.values[info.id]);
  for (const F id : {F::wire_feed, F::voltage, F::travel})
    number(id, a.nearest ? a.nearest->values[id] : not_applicable);
  cell(out, a.nearest ? grade_key(a.nearest->grade) : "");
  out.pop_back();
  out += line_end;
}

void append_assess_csv_error(std::string& out, const std::vector<std::string>& leading, std::string_view message) {
  for (const std::string& text : leading) cell(out, text);
  cell(out, "error");
  cell(out, message);
  constexpr std::size_t rest = own_columns.size() - 2 + field_count + 4;
  out.append(rest, ',');
  out.pop_back();
  out += line_end;
}

}  // namespace seamwright
