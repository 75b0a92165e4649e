#include "present/write_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "present/cost_words.hpp"
#include "present/joint_words.hpp"
#include "present/lock_words.hpp"
#include "present/plan_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/sentence_units.hpp"
#include "present/write_check.hpp"
#include "present/write_detail.hpp"
#include "present/write_heat.hpp"
#include "text/text_grid.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::size_t number_width = 7, unit_width = 6;
constexpr std::size_t row_indent = 4, list_indent = 26;

class TableWriter {
 public:
  TableWriter(const Plan& plan, const TableOptions& options)
      : plan_(plan), options_(options), width_(std::max(options.width, narrowest_screen)) {
    for (const FieldInfo& info : fields()) label_width_ = std::max(label_width_, letters(info.label) + 2);
    ended_by_column_ = row_indent + label_width_ + 4 * number_width + 2 + unit_width + 2;
  }

  std::string write() {
    header();
    if (!plan_.feasible) no_window_notice();
    warnings();
    choices();
    trials();
    passes();
    if (!plan_.sectors.sectors.empty()) {
      heading("Round the pipe, by the clock");
      out_ += sectors_text(plan_, options_.units, width_);
    }
    suggestions();
    heat();
    totals();
    cautions();
    return std::move(out_);
  }

 private:
  const Plan& plan_;
  const TableOptions& options_;
  std::size_t width_;
  std::size_t label_width_ = 0, ended_by_column_ = 0;
  C feed_low_end_ = C::none, feed_high_end_ = C::none;
  std::string out_;

  // Whether a line has room for what ends a range.
  [[nodiscard]] bool ends_beside() const { return width_ >= ended_by_column_ + 24; }
  // Whether it has room for the numbers in columns.
  [[nodiscard]] bool in_columns() const { return width_ >= ended_by_column_ - 2; }

  void heading(std::string_view text, TextStyle style = TextStyle::bold) {
    out_ += '\n';
    append_heading(out_, text, style, options_.color, width_, 0);
  }
  void paragraph(std::string_view text, std::size_t indent = 2) {
    out_.append(indent, ' ');
    append_wrapped(out_, text, width_, indent, indent);
  }
  void item(std::string_view mark, std::string_view text) { append_entry(out_, mark, text, 4, width_); }
  [[nodiscard]] std::string in_words(std::string_view sentence) const {
    return sentence_in_units(sentence, options_.units);
  }
  [[nodiscard]] std::string mark(SourceIndex source) const { return source_mark(*plan_.resolved.catalog, source); }
  [[nodiscard]] std::string quantity(F id, double metric) const {
    return amount_text(id, metric, options_.units, currency_of(plan_.resolved.equipment));
  }

  void header() {
    const Case& c = plan_.resolved;
    const auto bold = [this](std::string_view text) {
      append_heading(out_, printable(text), TextStyle::bold, options_.color, width_);
    };
    if (c.joint.title) bold(*c.joint.title);
    bold(joint_words(c, options_.units));
    const auto line = [&](std::string_view label, const std::string& text) {
      append_entry(out_, label, printable(text), 14, width_);
    };
    const auto fact = [&](std::string_view label, ProcessFact id, const std::string& text) {
      if (differs(plan_, id, options_.units))
        line(label, fact_by_pass(plan_, id, options_.units));
      else if (!text.empty())
        line(label, text);
    };
    fact("wire", ProcessFact::wire, process_fact(c, ProcessFact::wire, options_.units));
    const bool flows_differ = differs(plan_, ProcessFact::flow, options_.units);
    fact("gas", ProcessFact::gas, flows_differ ? c.gas_name : gas_words(c, options_.units));
    if (flows_differ) fact("gas flow", ProcessFact::flow, "");
    fact("mode", ProcessFact::mode, key_words(mode_key(c.mode)));
    fact("extension", ProcessFact::extension,
         c.extension_mm > 0
             ? fmt::format("{} stick-out, contact tip to arc", length_text(c.extension_mm, options_.units))
             : std::string());
    if (differs(plan_, ProcessFact::position, options_.units)) fact("position", ProcessFact::position, "");
    for (const std::string& change : change_words(plan_, options_.units)) line("change", change);
    if (c.quality != nullptr) line("quality", fmt::format("ISO 5817 level {}", c.quality->id));
    line("machine", machine_words(c));
    if (c.procedure) line("procedure", procedure_words(c));
    if (!plan_.passes.empty()) line("passes", fmt::format("{}", plan_.passes.size()));
  }

  void no_window_notice() {
    heading("NO WINDOW", TextStyle::alarm);
    paragraph(fmt::format("{} Conflicts are listed under each pass below, then the changes that would open a window.",
                          no_window_words));
  }

  void warnings() {
    const std::vector<std::string> outside = outside_words(plan_, options_.units);
    if (plan_.resolved.warnings.empty() && outside.empty()) return;
    heading("WARNINGS", TextStyle::caution);
    for (const Warning& w : plan_.resolved.warnings) item("!", in_words(w.text) + mark(w.source));
    for (const std::string& miss : outside) item("!", printable(miss));
  }

  void choices() {
    if (plan_.resolved.choices.empty()) return;
    heading("Defaults chosen");
    for (const Choice& c : plan_.resolved.choices) {
      std::string term;
      append_left(term, c.key, list_indent - 4);
      append_entry(
          out_, term,
          fmt::format("{}{}{}{}", choice_words(plan_.resolved, c, options_.units), c.reason.empty() ? "" : ": ",
                      reason_words(plan_.resolved, c, options_.units), mark(c.source)),
          list_indent, width_);
    }
  }

  void trials() {
    if (plan_.trials.empty()) return;
    heading(fmt::format("Modes tried (settings of the first pass{}; metal: deposit over what the joint needs)",
                        plan_.resolved.own.empty() ? "" : " in that mode"));
    std::vector<bool> told(plan_.trials.size(), false);
    for (std::size_t i = 0; i < plan_.trials.size(); ++i) {
      if (told[i]) continue;
      const ModeTrial& t = plan_.trials[i];
      const bool us = options_.units == Units::us;
      const auto size = [&](double mm) { return ", " + wire_size_words(*plan_.resolved.catalog, mm, options_.units); };
      std::string diameters = t.diameter_mm > 0 ? size(t.diameter_mm) : "";
      // Diameters of one mode that came out the same way without a window share a line.
      for (std::size_t k = i + 1; k < plan_.trials.size() && !t.chosen && !t.feasible; ++k) {
        const ModeTrial& other = plan_.trials[k];
        if (other.mode != t.mode || other.root_mode != t.root_mode || other.chosen || other.feasible ||
            other.remark != t.remark)
          continue;
        told[k] = true;
        if (!us) diameters.resize(diameters.size() - length_unit(options_.units).size() - 1);  // the unit stands once
        diameters += size(other.diameter_mm);
      }
      std::string text;
      if (t.feasible) {
        text = fmt::format("{}, {}, {}, {}, metal {}: {}, {}", quantity(F::wire_feed, t.wire_feed_m_per_min),
                           quantity(F::voltage, t.voltage_V), quantity(F::current, t.current_A),
                           quantity(F::travel, t.travel_mm_per_s), fixed_text(t.metal, 2),
                           grade_label(grade_of(t.surety)), t.chosen ? "taken" : "not taken");
        if (plan_.resolved.preference != Preference::metal)
          text += fmt::format(", {} pass{}, arc {} s/{}{}", t.passes, t.passes == 1 ? "" : "es",
                              fixed_text(us ? t.arc_s_per_m * mm_per_ft / 1000 : t.arc_s_per_m, 0), us ? "ft" : "m",
                              t.unusual ? ", unusual here" : "");
      } else {
        text = was_solved(t) ? (t.chosen ? "no window, nearest" : "no window") : "not tried";
      }
      constexpr std::string_view said = "no window: ";
      const std::string_view remark = t.remark;
      if (!remark.empty())
        text += fmt::format(": {}", in_words(remark.substr(remark.rfind(said, 0) == 0 ? said.size() : 0)));
      const std::string root = t.root_mode ? fmt::format(", root {}", key_words(mode_key(*t.root_mode))) : "";
      append_entry(out_, fmt::format("{} {}{}{}", t.chosen ? "*" : " ", key_words(mode_key(t.mode)), root, diameters),
                   text, list_indent, width_);
    }
  }

  void row(F id, const Estimate& e) {
    const FieldInfo& info = field(id);
    const std::string value = quantity_text(info, e.value, options_.units);
    std::string low, high;
    if (info.range != Range::total && std::isfinite(e.low) && std::isfinite(e.high) && e.low < e.high) {
      low = quantity_text(info, e.low, options_.units);
      high = quantity_text(info, e.high, options_.units);
      if (info.range == Range::consequence && low == value && high == value) low = high = "";
    }
    std::string spread = e.plus_minus > 0 ? difference_text(info, e.plus_minus, options_.units) : "";
    if (spread.find_first_of("123456789") == std::string::npos) spread.clear();
    const std::string unit(unit_of(info, options_.units, currency_of(plan_.resolved.equipment).value_or("")));
    if (in_columns()) {
      out_.append(row_indent, ' ');
      append_left(out_, info.label, label_width_);
      for (const std::string& number : {value, low, high, spread}) append_right(out_, number, number_width);
      out_ += "  ";
      append_left(out_, unit, unit_width);
      out_ += "  ";
    } else {
      append_stacked(out_, info.label,
                     {{"", value, unit}, {"+-", spread, unit}, {"low", low, unit}, {"high", high, unit}}, row_indent,
                     width_);
      out_.pop_back();
    }
    if (!low.empty() && info.range == Range::setting) ends(id, e);
    while (out_.back() == ' ') out_.pop_back();
    if (out_.back() != '\n') out_ += '\n';
    if (const std::string dial = dial_words(plan_.resolved, id, e); !dial.empty())
      paragraph("dial: " + printable(dial), 6);
  }

  // What ends a range, beside it where it fits, else below.
  void ends(F id, const Estimate& e) {
    if (id == F::wire_feed) {
      feed_low_end_ = e.low_end;
      feed_high_end_ = e.high_end;
    }
    std::vector<std::string> lines;
    if (e.low_end != C::none && e.low_end == e.high_end) {
      lines.push_back(std::string(constraint(e.low_end).label));
    } else if (id != F::wire_feed && e.low_end != C::none && e.low_end == feed_low_end_ &&
               e.high_end == feed_high_end_) {
      lines.emplace_back("as the wire feed");
    } else {
      if (e.low_end != C::none) lines.push_back(fmt::format("low: {}", constraint(e.low_end).label));
      if (e.high_end != C::none) lines.push_back(fmt::format("high: {}", constraint(e.high_end).label));
    }
    const bool beside = ends_beside();
    const std::size_t column = beside ? ended_by_column_ : 6;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (i == 0 && !beside) {
        while (out_.back() == ' ') out_.pop_back();
        out_ += '\n';
      }
      if (i > 0 || !beside) out_.append(column, ' ');
      if (!beside && lines.size() == 1) lines[i].insert(0, "ends: ");
      append_wrapped(out_, lines[i], width_, column, column + 2);
    }
  }

  template <class Estimates>
  void group(const LabelledGroup& g, const Estimates& estimates) {
    bool headed = false;
    for (const F id : g.fields) {
      const Estimate& e = estimates[static_cast<std::size_t>(id)];
      if (!e.present || !std::isfinite(e.value)) continue;
      if (!headed) {
        out_ += "  ";
        out_ += styled(g.label, TextStyle::bold, options_.color);
        out_ += '\n';
        headed = true;
      }
      row(id, e);
    }
  }

  void column_titles() {
    if (!in_columns()) return;
    out_.append(row_indent + label_width_, ' ');
    for (const std::string_view title : {"value", "low", "high", "+-"}) append_right(out_, title, number_width);
    out_ += "  ";
    out_ += ends_beside() ? "unit    ended by\n" : "unit\n";
  }

  // "wire feed 9.8 m/min, voltage 23.1 V, travel 8.4 mm/s"
  [[nodiscard]] std::string in_short(const PassResult& pass) const {
    std::string text;
    for (const F id :
         {F::wire_feed, F::voltage, F::travel, F::pulse_frequency, F::modulation_frequency, F::modulation_amplitude}) {
      const Estimate& e = pass[id];
      if (e.present) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", field(id).label, quantity(id, e.value));
    }
    return text;
  }

  void pass_body(const PassResult& pass) {
    if (const std::string with = own_process_words(plan_, pass, options_.units); !with.empty())
      labelled("WITH", printable(with));
    if (!pass.feasible) {
      conflicts(pass);
      return;
    }
    card(pass);
    column_titles();
    for (const LabelledGroup& g : quantity_groups()) group(g, pass.estimates);
    out_ += modulation_text(pass, options_.units, width_);
    if (options_.detail) out_ += trims_text(pass, options_.units, width_);
    out_ += sensitivity_text(pass, options_.units, width_);
    if (pass.window.extent) {
      const WindowExtent& x = *pass.window.extent;
      const auto span = [&](F id, double low, double high) {
        return fmt::format("{} {} to {}", field(id).label, quantity_text(field(id), low, options_.units),
                           quantity(id, high));
      };
      paragraph("Whole window, over every deposit that fits: " +
                span(F::wire_feed, x.wire_feed_m_per_min.low, x.wire_feed_m_per_min.high) + ", " +
                span(F::travel, x.travel_mm_per_s.low, x.travel_mm_per_s.high) +
                ". Not every pair of the two lies inside it: faster wire needs faster travel.");
    }
  }

  void labelled(std::string_view label, std::string_view text, TextStyle style = TextStyle::bold) {
    constexpr std::size_t column = 9;
    std::string head(2, ' ');
    append_left(head, label, column - 2);
    out_ += styled(head, style, options_.color);
    append_wrapped(out_, text, width_, column, column);
  }

  // What to set, what may be locked and how good it is, short enough to read with gloves on.
  void card(const PassResult& pass) {
    const Case& c = plan_.resolved;
    labelled("SET", in_short(pass));
    if (pass.box && pass.box->exists) {
      labelled("LOCK", box_ranges(*pass.box, options_.units));
      if (const std::string dials = c.equipment ? box_dials(*pass.box, *c.equipment) : std::string(); !dials.empty())
        paragraph("On the dials: " + printable(dials) + ".", 9);
      const bool fillet = c.section.type == JointType::fillet || c.section.type == JointType::lap;
      if (const std::string travel = box_travel_words(*pass.box, fillet ? "leg" : "bead", options_.units);
          !travel.empty())
        paragraph(travel, 9);
      if (const std::string display = box_display_words(*pass.box, options_.units); !display.empty())
        paragraph(display, 9);
      paragraph(box_stop_words(*pass.box, case_of(plan_, pass).mode), 9);
    } else if (pass.box) {
      labelled("LOCK", no_box_words(*pass.box, case_of(plan_, pass).mode), TextStyle::caution);
    }
    if (c.joint.confidence && pass.confident) paragraph(confident_words(*pass.confident, options_.units), 9);
    if (!pass.grade) return;
    labelled("GRADE", grade_words(*pass.grade) + ".",
             pass.grade->grade == Grade::scrap ? TextStyle::caution : TextStyle::bold);
    for (std::size_t i = 0; i < pass.grade->remark_count; ++i) {
      const PassGrade::Remark& remark = pass.grade->remarks[i];
      paragraph(fmt::format("{}.{}", remark_words(remark, options_.units), mark(remark.source)), 9);
    }
    if (pass.deposit_moved) paragraph(moved_deposit_words(pass, options_.units), 9);
  }

  void conflicts(const PassResult& pass) {
    paragraph(styled("no window", TextStyle::alarm, options_.color));
    if (const std::string where = least_conflict_words(pass, options_.units); !where.empty()) paragraph(where);
    for (const Margin& m : pass.conflicts) item("-", conflict_words(m, *plan_.resolved.catalog, options_.units));
  }

  void passes() {
    if (plan_.feasible) {
      out_ += '\n';
      paragraph(
          "LOCK holds together: every corner of its ranges. low and high in the tables: how far each may go alone, all "
          "else "
          "held, so they are no set to lock; for an expected value, its range over the wire-feed range. +-: "
          "how "
          "far off the calculation may be, 9 welds in 10 by its own estimate.",
          0);
    }
    for (const PassRun& run : runs_of_passes(plan_, [this](const PassResult& pass) { return body_text(pass); })) {
      heading(run_title(plan_, run));
      out_ += run.body;
    }
  }

  [[nodiscard]] std::string body_text(const PassResult& pass) {
    std::string kept;
    std::swap(kept, out_);
    pass_body(pass);
    std::swap(kept, out_);
    return kept;
  }

  void suggestions() {
    if (plan_.feasible) return;
    heading(opening_title);
    if (plan_.suggestions.empty()) paragraph(no_opening_words);
    for (const Suggestion& s : plan_.suggestions) {
      item("-", in_words(s.sentence));
      out_ += fmt::format("      {}\n", way_to(s));  // whatever its length, to be copied
    }
  }

  void heat() {
    for (const HeatSection& section : plan_.heat) {
      heading(section.title);
      out_ += heat_section_text(section, *plan_.resolved.catalog, options_.units, width_);
    }
  }

  void totals() {
    const bool any = std::any_of(plan_.totals.begin(), plan_.totals.end(), [](const Estimate& e) { return e.present; });
    if (!any || !plan_.feasible) return;
    heading("Totals, all passes");
    std::string text;
    for (const FieldInfo& info : fields())
      if (const Estimate& e = plan_.total(info.id); e.present && std::isfinite(e.value))
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", info.label, quantity(info.id, e.value));
    paragraph(text);
    if (std::string missing = without_price_words(plan_.resolved); !missing.empty()) {
      missing.front() = 'N';
      paragraph(missing + ".");
    }
  }

  void cautions() {
    if (!plan_.cautions.empty()) heading("Cautions", TextStyle::caution);
    for (const Warning& c : plan_.cautions) item("-", in_words(c.text) + mark(c.source));
    out_ += '\n';
    paragraph(
        printable(fmt::format("seamwright {}, data {}", options_.program_version, plan_.resolved.catalog->version)), 0);
  }
};

}  // namespace

std::string plan_table(const Plan& plan, const TableOptions& options) { return TableWriter(plan, options).write(); }

}  // namespace seamwright
