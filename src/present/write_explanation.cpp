#include "present/write_explanation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "present/cost_words.hpp"
#include "present/joint_words.hpp"
#include "present/plan_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/sentence_units.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::size_t indent = 44;

class Writer {
 public:
  Writer(const Plan& plan, const Explanation& e, const TableOptions& options)
      : plan_(plan), e_(e), options_(options), info_(field(e.field)), pass_(plan.passes[e.pass]) {}

  std::string write() {
    head();
    formula();
    inputs();
    constants();
    range();
    changes();
    return std::move(out_);
  }

 private:
  const Plan& plan_;
  const Explanation& e_;
  const TableOptions& options_;
  const FieldInfo& info_;
  const PassResult& pass_;
  std::string out_;

  [[nodiscard]] std::string amount(F id, double metric) const {
    return amount_text(id, metric, options_.units, currency_of(plan_.resolved.equipment));
  }
  // "1/h" of a price is "EUR/h".
  [[nodiscard]] std::string priced_unit(std::string_view unit) const {
    const Currency currency = currency_of(plan_.resolved.equipment);
    if (!currency || currency->empty() || !unit.starts_with("1/")) return std::string(unit);
    return fmt::format("{}{}", *currency, unit.substr(1));
  }
  [[nodiscard]] std::string number(double metric) const { return amount(info_.id, metric); }
  // A change of the quantity with its sign; a digit more than the quantity, so that small ones do not vanish.
  [[nodiscard]] std::string change(double metric) const {
    const double value = difference_in_units(info_, metric, options_.units);
    const std::string_view unit = unit_of(info_, options_.units, currency_of(plan_.resolved.equipment).value_or(""));
    const std::string digits = std::abs(value) < 1000 ? fmt::format("{:.3g}", value) : fixed_text(value, 0);
    return fmt::format("{}{}{}{}", value > 0 ? "+" : "", digits, unit.empty() ? "" : " ", unit);
  }
  void heading(std::string_view text) {
    out_ += '\n';
    append_heading(out_, text, TextStyle::bold, options_.color, options_.width);
  }
  void paragraph(std::string_view text) {
    out_ += "  ";
    append_wrapped(out_, text, options_.width, 2, 2);
  }
  void entry(std::string_view term, std::string_view text) { append_entry(out_, term, text, indent, options_.width); }
  [[nodiscard]] std::string source(SourceIndex index) const {
    if (index == 0) return {};
    const Source& s = source_of(*plan_.resolved.catalog, index);
    return fmt::format(" [{}: {}]", source_kind_key(s.kind), s.title);
  }

  void head() {
    const Estimate& estimate = pass_[e_.field];
    heading(fmt::format("{} ({}): {}", info_.label, info_.key, number(estimate.value)));
    out_.erase(0, 1);
    paragraph(info_.meaning);
    std::string where =
        fmt::format("Pass {} of {}, {}, at ", pass_.pass.number, plan_.passes.size(), pass_role_key(pass_.pass.role));
    where += fmt::format("wire feed {} and travel {}, {}.",
                         quantity_with_unit(field(F::wire_feed), pass_[F::wire_feed].value, options_.units),
                         quantity_with_unit(field(F::travel), pass_[F::travel].value, options_.units),
                         key_words(mode_key(case_of(plan_, pass_).mode)));
    paragraph(where);
    if (const Case& c = plan_.resolved; c.preference != Preference::metal)
      paragraph(fmt::format("Mode, wire diameter and passes are chosen for {}.", preference_words(c.preference)));
    if (!pass_.feasible) paragraph("This pass has no window: the numbers are where the conflict is smallest.");
    if (plan_.passes.size() > 1) paragraph("Another pass: --pass NUMBER.");
  }

  void formula() {
    heading("How");
    const std::string_view text = e_.relation.text;
    const bool whole = e_.relation.equation && text.substr(0, text.find(';')).find(" = ") != std::string_view::npos;
    paragraph(whole ? std::string(text) : fmt::format("{} = {}", info_.key, text));
    paragraph(fmt::format("Relation: {}.", e_.relation.source));
  }

  void inputs() {
    if (e_.inputs.empty()) return;
    heading("From");
    for (const ExplainedInput& in : e_.inputs) {
      std::string value;
      if (in.quantity)
        value = amount(*in.quantity, in.value);
      else
        value = sentence_in_units(fmt::format("{:.4g}{}{}", in.value, in.unit.empty() ? "" : " ", priced_unit(in.unit)),
                                  options_.units);
      const bool told = in.origin == Origin::computed && in.quantity && *in.quantity != e_.field;
      entry(fmt::format("{} ({})", in.label, in.key),
            fmt::format("{}, {}{}", value, origin_key(in.origin),
                        told ? fmt::format(": 'explain ... {}'", in.key)
                             : (in.reason.empty() ? "" : ": " + sentence_in_units(in.reason, options_.units)) +
                                   source(in.source)));
    }
  }

  void constants() {
    const Estimate& estimate = pass_[e_.field];
    if (e_.constants.empty()) {
      if (e_.inputs.empty()) {
        heading("Constants");
        paragraph("None of the model: geometry, or a value as it was given.");
      }
      return;
    }
    double variance = 0;
    for (const ExplainedConstant& c : e_.constants) variance += c.half_change * c.half_change;
    const std::string_view units = options_.units == Units::us ? ", in metric units" : "";
    heading(variance > 0 ? fmt::format("Constants{} (together +- {}, 9 welds in 10{})", units,
                                       change(std::sqrt(variance)).substr(1),
                                       e_.solved_again ? ", followed through the search" : "")
                         : fmt::format("Constants{}", units));
    if (e_.solved_again && estimate.plus_minus == 0 && variance > 0)
      paragraph("It is set, not measured: this is how far the recommendation would move.");
    for (const ExplainedConstant& c : e_.constants) {
      std::string text = short_text(c.constant.value);
      if (c.constant.half_width_90 > 0) text += fmt::format(" +- {}", short_text(c.constant.half_width_90));
      if (!c.unit.empty()) text += fmt::format(" {}", c.unit);
      if (c.half_change != 0)
        text += fmt::format("; changes it by {} ({} of its variance)", change(c.half_change),
                            c.share < 0.005 ? "under 1 %" : fixed_text(100 * c.share, 0) + " %");
      entry(c.label, text + source(c.constant.source));
    }
  }

  [[nodiscard]] std::string end_words(const ExplainedEnd& end) const {
    if (end.id == C::none) return number(end.at);
    const ConstraintInfo& ended = constraint(end.id);
    std::string text = fmt::format("{}: ended by {}", number(end.at), ended.label);
    if (end.margin && end.margin->field != F::count && end.margin->field != e_.field) {
      const Margin& m = *end.margin;
      text += fmt::format(" ({} {} {})", field(m.field).label, m.upper ? "at most" : "at least",
                          quantity_with_unit(field(m.field), m.limit, options_.units));
    }
    if (end.margin) text += source(end.margin->source);
    if (!ended.why.empty()) text += fmt::format("; {}", ended.why);
    text += '.';
    if (end.next != C::none)
      text +=
          fmt::format(" Next would be {}{}.", constraint(end.next).label,
                      end.next_at && std::isfinite(*end.next_at) ? fmt::format(" at {}", number(*end.next_at)) : "");
    else
      text += " No further limit is known.";
    if (!ended.remedy.empty()) text += fmt::format(" Remedy: {}.", ended.remedy);
    return text;
  }

  void range() {
    if (!e_.low && !e_.high) return;
    heading("Range");
    if (e_.low && e_.high && number(e_.low->at) == number(e_.high->at)) {
      paragraph(fmt::format("{} over the whole band of the wire feed.", number(e_.low->at)));
      return;
    }
    if (e_.low) entry("low", end_words(*e_.low));
    if (e_.high) entry("high", end_words(*e_.high));
  }

  void changes() {
    heading("Most influential (each changed alone, all else held)");
    const bool given = std::any_of(e_.inputs.begin(), e_.inputs.end(), [&](const ExplainedInput& in) {
      return in.origin == Origin::given && in.quantity == e_.field;
    });
    if (e_.changes.empty())
      paragraph(given ? "It is given: only another value in the joint file changes it."
                      : "None of the changes tried (wire, torch, gas, joint, heat, setting) changes it.");
    for (const ExplainedChange& c : e_.changes) entry(sentence_in_units(c.words, options_.units), change(c.change));
  }
};

}  // namespace

std::string explanation_text(const Plan& plan, const Explanation& explanation, const TableOptions& options) {
  return Writer(plan, explanation, options).write();
}

std::string explainable_text(const Plan& plan, std::size_t pass, const TableOptions& options) {
  std::string out;
  append_wrapped(out, "What can be explained: 'seamwright explain JOINT.toml KEY'.", options.width, 0, 0);
  out += '\n';
  for (const LabelledGroup& group : quantity_groups()) {
    for (const F id : group.fields) {
      const Estimate& e = plan.passes[pass][id];
      if (!e.present) continue;
      const FieldInfo& info = field(id);
      append_entry(out, info.key, fmt::format("{}. {}", quantity_with_unit(info, e.value, options.units), info.meaning),
                   26, options.width);
    }
  }
  return out;
}

}  // namespace seamwright
