#include "present/write_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <optional>
#include <vector>

#include "present/cost_words.hpp"
#include "present/draw_charts.hpp"
#include "present/draw_joint.hpp"
#include "present/joint_words.hpp"
#include "present/lock_words.hpp"
#include "present/plan_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/sentence_units.hpp"
#include "present/sheet_style.hpp"
#include "present/write_check.hpp"
#include "present/write_heat.hpp"
#include "text/drawing.hpp"

namespace seamwright {
namespace {

// A number stays with its unit, and with the other end of its range: "10.28 to 12.56 m/min".
std::string unbroken(std::string_view words) {
  constexpr std::string_view no_break = "\xc2\xa0";
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string_view before = words.substr(0, i), after = words.substr(i + 1 < words.size() ? i + 1 : i);
    const bool behind_number = !before.empty() && digit(before.back()) && !digit(after.front()) &&
                               after.front() != '+' && after.front() != '(';
    if (words[i] == ' ' && (behind_number || before.ends_with(" to")))
      out += no_break;
    else
      out += words[i];
  }
  return out;
}

std::string heading(std::string_view text) { return fmt::format("<h2>{}</h2>\n", markup_text(text)); }

std::string sentence(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  if (!text.empty() && text.back() != '.') text += '.';
  return text;
}

// The card of a plan: half a page for a joint of one pass.
class CardPart {
 public:
  CardPart(const Plan& plan, const SheetOptions& options) : plan_(plan), c_(plan.resolved), options_(options) {}

  std::string write() {
    out_ = "<section class=\"card\">\n" + sheet_title(plan_, options_);
    notices();
    out_ += "<div class=\"row\"><div>\n<table><tbody>\n";
    facts();
    constexpr double width = 345, height = 112;
    out_ += "</tbody></table>\n</div><figure>\n" + svg_text(draw_joint(plan_, width, height, options_.units)) +
            "</figure></div>\n";
    if (!plan_.feasible) out_ += "<p><strong>Where the conflict is smallest: no settings to weld with.</strong></p>\n";
    for (const PassRun& run : runs_of_passes(plan_, [this](const PassResult& p) { return strip(p); })) {
      out_ += "<div class=\"strip\">\n";
      if (plan_.passes.size() > 1) out_ += heading(run_title(plan_, run));
      out_ += run.body + "</div>\n";
    }
    if (!plan_.cautions.empty()) out_ += fmt::format("<p class=\"last\">{}</p>\n", text(plan_.cautions.back().text));
    return out_ +
           "<div class=\"sign\"><p>Prepared by, date</p><p>Welding coordinator, date</p><p>Welder, date</p>"
           "<p>Procedure number</p></div>\n</section>\n";
  }

  [[nodiscard]] static std::string sheet_title(const Plan& plan, const SheetOptions& options) {
    const Case& c = plan.resolved;
    return fmt::format(
        "<header><div><h1>{}</h1><p>{}</p></div><div class=\"right\"><p>{}</p><p>seamwright {}, data {}</p>"
        "</div></header>\n",
        markup_text(c.joint.title ? *c.joint.title : "Welding settings"), markup_text(joint_words(c, options.units)),
        c.joint.id ? "Joint " + markup_text(*c.joint.id) : "Joint number:", markup_text(options.program_version),
        markup_text(c.catalog->version));
  }

 private:
  const Plan& plan_;
  const Case& c_;
  const SheetOptions& options_;
  std::string out_;

  // Of the program's own, in the units asked for.
  [[nodiscard]] std::string text(std::string_view words) const {
    return markup_text(sentence(sentence_in_units(words, options_.units)));
  }
  [[nodiscard]] std::string quantity(F id, double metric) const {
    return quantity_with_unit(field(id), metric, options_.units);
  }

  void notices() {
    if (!plan_.feasible) {
      out_ += fmt::format("<div class=\"alarm\"><p><strong>No window.</strong> {}</p>", no_window_words);
      for (const PassResult& p : plan_.passes)
        for (const Margin& m : p.conflicts)
          out_ += fmt::format("<p>Pass {}: {}, {}.</p>", p.pass.number, markup_text(constraint(m.id).label),
                              markup_text(shortfall_words(m, options_.units)));
      for (const Suggestion& s : plan_.suggestions) out_ += fmt::format("<p>{}</p>", text(s.sentence));
      out_ += "</div>\n";
    }
    const std::vector<std::string> outside = outside_words(plan_, options_.units);
    if (c_.warnings.empty() && outside.empty()) return;
    out_ += "<div class=\"alarm\">";
    for (const std::string& miss : outside) out_ += fmt::format("<p>{}</p>", markup_text(sentence(miss)));
    for (const Warning& w : c_.warnings) out_ += fmt::format("<p>{}</p>", text(w.text));
    out_ += "</div>\n";
  }

  // A part of a fact, and the input key under which it may have been chosen.
  struct Part {
    std::string words;
    std::string_view choice_key;
  };
  void fact(std::string_view label, const std::vector<Part>& parts) {
    out_ += fmt::format("<tr><th scope=\"row\">{}</th><td>", label);
    for (const Part& part : parts) {
      out_ += (&part == parts.data() ? "" : ", ") + markup_text(unbroken(part.words));
      for (const Choice& choice : c_.choices)
        if (choice.key == part.choice_key) out_ += "*";
    }
    out_ += "</td></tr>\n";
  }

  void facts() {
    std::string alloy(c_.alloy->id);
    if (c_.alloy2 != nullptr && c_.alloy2 != c_.alloy) alloy += fmt::format(" to {}", c_.alloy2->id);
    fact("base metal", {{alloy, ""}});
    const auto by_pass = [&](std::string_view label, ProcessFact id) {
      if (!differs(plan_, id, options_.units)) return false;
      fact(label, {{fact_by_pass(plan_, id, options_.units), ""}});
      return true;
    };
    if (!by_pass("wire", ProcessFact::wire) && c_.wire != nullptr)
      fact("wire", {{wire_words(*c_.wire, options_.units), "wire.designation"},
                    {wire_size_words(*c_.catalog, c_.diameter_mm, options_.units), "wire.diameter"}});
    if (by_pass("gas flow", ProcessFact::flow)) {
      if (!by_pass("gas", ProcessFact::gas)) fact("gas", {{c_.gas_name, "gas.designation"}});
    } else if (!by_pass("gas", ProcessFact::gas) && c_.gas_flow_l_per_min > 0)
      fact("gas", {{c_.gas_name, "gas.designation"}, {flow_text(c_.gas_flow_l_per_min, options_.units), "gas.flow"}});
    if (!by_pass("mode", ProcessFact::mode)) fact("mode", {{key_words(mode_key(c_.mode)), "process.mode"}});
    if (!by_pass("stick-out, contact tip to arc", ProcessFact::extension) && c_.extension_mm > 0)
      fact("stick-out, contact tip to arc", {{length_text(c_.extension_mm, options_.units), "wire.extension"}});
    static_cast<void>(by_pass("position", ProcessFact::position));
    for (const std::string& change : change_words(plan_, options_.units)) fact("change", {{change, ""}});
    if (c_.quality != nullptr) fact("quality", {{fmt::format("ISO 5817 level {}", c_.quality->id), "quality"}});
    std::vector<Part> heat{{quantity(F::preheat, c_.preheat_C) + (c_.joint.preheat_C ? "" : "*"), ""}};
    if (c_.interpass_C > 0) heat.push_back({"at most " + quantity(F::interpass, c_.interpass_C), "material.interpass"});
    fact(heat.size() > 1 ? "preheat, between passes" : "preheat", heat);
    fact("machine", {{machine_words(c_), ""}});
    if (c_.procedure) fact("procedure", {{procedure_words(c_), ""}});
  }

  // One setting in large print: what it is, the value, how far it may go.
  void knob(std::string& out, const PassResult& p, F id, const std::string& below) const {
    const FieldInfo& info = field(id);
    out += fmt::format("<div><p class=\"label\">{}</p><p class=\"value\">{} <span>{}</span></p>{}</div>\n", info.label,
                       quantity_text(info, p[id].value, options_.units), unit_of(info, options_.units),
                       below.empty() ? "" : fmt::format("<p class=\"lock\">{}</p>", markup_text(unbroken(below))));
  }

  [[nodiscard]] std::string with_spread(const PassResult& p, F id) const {
    std::string words = quantity(id, p[id].value);
    if (p[id].plus_minus > 0) words += " +-" + difference_text(field(id), p[id].plus_minus, options_.units);
    return words;
  }

  // What is set and kept in a pass, as far as it is printed large; the rest below it.
  [[nodiscard]] std::string strip(const PassResult& p) const {
    constexpr std::array large{F::wire_feed, F::voltage, F::travel};
    const LockBox* box = p.feasible && p.box && p.box->exists ? &*p.box : nullptr;
    std::string out, others;
    if (const std::string with = own_process_words(plan_, p, options_.units); !with.empty())
      out += fmt::format("<p class=\"others\"><strong>{}</strong></p>\n", markup_text(with));
    out += "<div class=\"knobs\">\n";
    for (const Knob& k : knobs()) {
      if (!p[k.set].present) continue;
      std::string lock = box != nullptr ? knob_lock_words(k, *box, options_.units, true) : std::string();
      if (!lock.empty()) lock.insert(0, "LOCK ");
      if (std::find(large.begin(), large.end(), k.set) != large.end()) {
        knob(out, p, k.set, lock);
        if (k.set == F::voltage && p[F::current].present)
          knob(out, p, F::current,
               fmt::format("expected, +-{} {}",
                           difference_text(field(F::current), p[F::current].plus_minus, options_.units),
                           unit_of(field(F::current), options_.units)));
      } else {
        others += fmt::format("{}{} <strong>{}</strong>{}", others.empty() ? "" : "; ", field(k.set).label,
                              quantity(k.set, p[k.set].value), lock.empty() ? "" : ", " + lock);
      }
    }
    out += "</div>\n";
    if (const std::string dials = pass_dials(c_, p); !dials.empty()) {
      const std::string locked = box != nullptr ? box_dials(*box, *c_.equipment) : "";
      out += fmt::format("<p class=\"lock\">Dials: {}{}</p>\n", markup_text(unbroken(dials)),
                         locked.empty() ? "" : "; LOCK " + markup_text(unbroken(locked)));
    }
    if (is_dip(case_of(plan_, p).mode) && p[F::current_rise].present)
      others += fmt::format("{} <strong>{}</strong>", field(F::current_rise).label,
                            quantity(F::current_rise, p[F::current_rise].value));
    if (p[F::base_current].present)
      others += fmt::format("; peak for {}, base {} for {}, {}", quantity(F::peak_time, p[F::peak_time].value),
                            quantity(F::base_current, p[F::base_current].value),
                            quantity(F::base_time, p[F::base_time].value),
                            quantity(F::pulse_frequency, p[F::pulse_frequency].value));
    if (!others.empty()) out += fmt::format("<p class=\"others\">{}</p>\n", others);
    if (const std::string weave = weave_words(plan_, p, options_.units); !weave.empty())
      out += fmt::format("<p class=\"others\">Weave: {}</p>\n", markup_text(weave));
    if (p[F::heat_input].present)
      out += fmt::format("<p class=\"others\">{} {}</p>\n", field(F::heat_input).label, with_spread(p, F::heat_input));
    out += lock_notes(p);
    if (p.feasible && p.grade)
      out += fmt::format("<p><strong>Grade:</strong> {}</p>\n", markup_text(sentence(grade_words(*p.grade))));
    return out;
  }

  [[nodiscard]] std::string lock_notes(const PassResult& p) const {
    if (!p.box || !p.feasible) return {};
    const LockBox& box = *p.box;
    std::string words;
    if (!box.exists) words = no_box_words(box, case_of(plan_, p).mode);
    const bool fillet = c_.section.type == JointType::fillet || c_.section.type == JointType::lap;
    for (const std::string& more :
         {box_travel_words(box, fillet ? "leg" : "bead", options_.units), box_display_words(box, options_.units)})
      if (!more.empty()) words += fmt::format("{}{}", words.empty() ? "" : " ", sentence(more));
    return words.empty() ? words : fmt::format("<p>{}{}</p>\n", box.exists ? "" : "LOCK: ", markup_text(words));
  }
};

// All the rest: what the numbers are, where they end, what they rest on.
class DetailPart {
 public:
  DetailPart(const Plan& plan, const SheetContent* content, const SheetOptions& options)
      : plan_(plan),
        content_(content),
        c_(plan.resolved),
        options_(options),
        runs_(runs_of_passes(plan, [this](const PassResult& p) { return cells(p); })) {}

  std::string write() {
    out_ = "<section class=\"details\">\n" + CardPart::sheet_title(plan_, options_);
    choices();
    settings();
    charts();
    start_and_end();
    cautions();
    words();
    footnotes();
    return std::move(out_) + "</section>\n";
  }

 private:
  const Plan& plan_;
  const SheetContent* content_;
  const Case& c_;
  const SheetOptions& options_;
  std::vector<PassRun> runs_;
  std::vector<SourceIndex> sources_;  // in the order of their footnote numbers
  std::string out_;

  static constexpr std::array shown_groups{0u, 1u};  // what is set and how the torch moves
  // What the charts show needs no row.
  static bool has_row(F id) {
    return id != F::wire_feed_high && id != F::wire_feed_low && id != F::peak_time && id != F::base_time &&
           id != F::ripple_pitch;
  }

  [[nodiscard]] std::string cell(const PassResult& p, F id) const {
    const Estimate& e = p[id];
    if (!e.present) return {};
    return quantity_text(field(id), e.value, options_.units) + range_text(p, id);
  }
  [[nodiscard]] std::string range_text(const PassResult& p, F id) const {
    const Estimate& e = p[id];
    const FieldInfo& info = field(id);
    if (!e.present || info.range == Range::total || !std::isfinite(e.low) || !std::isfinite(e.high)) return {};
    const std::string low = quantity_text(info, e.low, options_.units),
                      high = quantity_text(info, e.high, options_.units);
    return low == high ? std::string() : fmt::format("{} to {}", low, high);
  }
  [[nodiscard]] std::string note(SourceIndex source) {
    if (source == 0) return {};
    auto at = std::find(sources_.begin(), sources_.end(), source);
    if (at == sources_.end()) {
      sources_.push_back(source);
      at = sources_.end() - 1;
    }
    return fmt::format("<sup>{}</sup>", at - sources_.begin() + 1);
  }
  // All that is printed of a pass: passes alike stand in one column.
  [[nodiscard]] std::string cells(const PassResult& p) const {
    std::string text(1, p.feasible ? '+' : '-');
    for (const FieldInfo& info : fields()) text += '|' + cell(p, info.id);
    return text;
  }
  [[nodiscard]] std::string run_name(const PassRun& run) const {
    const PassPlan& pass = plan_.passes[run.first].pass;
    std::string text = pass_span_words(pass.number, plan_.passes[run.last].pass.number);
    text += fmt::format(", {}", pass_role_key(pass.role));
    if (c_.sides == 2) text += fmt::format(", side {}", pass.side);
    const Case& c = case_of(plan_, plan_.passes[run.first]);
    if (differs(plan_, ProcessFact::mode, options_.units))
      text += fmt::format(", {}", process_fact(c, ProcessFact::mode, options_.units));
    return text;
  }

  // A letter for how well the weakest thing behind a number is known.
  static char kind_letter(SourceKind kind) {
    constexpr std::string_view letters = "SPOWDTMA";
    return letters[static_cast<std::size_t>(kind)];
  }

  // Nothing for what is set as it is, without a model behind it.
  static std::string known(const Estimate& e) {
    return e.plus_minus > 0 || e.weakest != SourceKind::standard ? std::string(1, kind_letter(e.weakest))
                                                                 : std::string();
  }

  void settings() {
    if (runs_.empty()) return;
    if (runs_.size() == 1)
      settings_of_one();
    else
      settings_side_by_side();
  }

  [[nodiscard]] std::string settings_word() const {
    return plan_.feasible ? "Settings" : "Where the conflict is smallest (not settings)";
  }

  void settings_of_one() {
    out_ += "<section class=\"wide\">\n" + heading(fmt::format("{}, {}", settings_word(), run_name(runs_.front())));
    const PassResult& p = plan_.passes[runs_.front().first];
    const bool dials = std::any_of(fields().begin(), fields().end(),
                                   [&](const FieldInfo& info) { return !dial_words(c_, info.id, p[info.id]).empty(); });
    out_ += fmt::format(
        "<table><thead><tr><th scope=\"col\">quantity</th><th scope=\"col\" class=\"n\">{}</th><th "
        "scope=\"col\">unit</th><th scope=\"col\" class=\"n\">alone between</th>{}"
        "<th scope=\"col\">what ends it: low; high</th><th scope=\"col\">known</th></tr></thead><tbody>\n",
        plan_.feasible ? "set" : "value", dials ? "<th scope=\"col\">on the machine</th>" : "");
    for (const unsigned g : shown_groups)
      for (const F id : quantity_groups()[g].fields) {
        const Estimate& e = p[id];
        if (!e.present || !has_row(id)) continue;
        const FieldInfo& info = field(id);
        const std::string range = range_text(p, id);
        std::string ends;
        if (!range.empty()) ends = e.low_end != C::none ? ends_words(e) : "over the band of the wire feed";
        out_ +=
            fmt::format("<tr><th scope=\"row\">{}</th><td class=\"set\">{}</td><td>{}</td><td class=\"n\">{}</td>",
                        info.label, quantity_text(info, e.value, options_.units), unit_of(info, options_.units), range);
        if (dials) out_ += fmt::format("<td class=\"dial\">{}</td>", markup_text(dial_words(c_, id, e)));
        out_ += fmt::format("<td>{}</td><td>{}</td></tr>\n", markup_text(ends), known(e));
      }
    out_ += "</tbody></table>\n</section>\n";
  }

  // The wire feed's ends are those of all that moves with it.
  [[nodiscard]] static std::string ends_words(const Estimate& e) {
    if (e.low_end == C::none && e.high_end == C::none) return {};
    return e.low_end == e.high_end ? std::string(constraint(e.low_end).label)
                                   : fmt::format("{}; {}", constraint(e.low_end).label, constraint(e.high_end).label);
  }

  void settings_side_by_side() {
    out_ += "<section class=\"wide\">\n" + heading(settings_word() + ": set (alone between)");
    out_ += "<table><thead><tr><th scope=\"col\">quantity</th><th scope=\"col\">unit</th>";
    for (const PassRun& g : runs_) out_ += fmt::format("<th scope=\"col\">{}</th>", markup_text(run_name(g)));
    out_ += "</tr></thead><tbody>\n";
    for (const unsigned g : shown_groups)
      for (const F id : quantity_groups()[g].fields) {
        const bool any = std::any_of(runs_.begin(), runs_.end(),
                                     [&](const PassRun& x) { return plan_.passes[x.first][id].present; });
        if (!any || !has_row(id)) continue;
        out_ += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td>", field(id).label,
                            unit_of(field(id), options_.units));
        for (const PassRun& x : runs_) {
          const PassResult& p = plan_.passes[x.first];
          const std::string range = range_text(p, id);
          out_ += "<td>";
          const std::string dial = dial_words(c_, id, p[id]);
          if (p[id].present)
            out_ += fmt::format("<strong>{}</strong>{}{}", quantity_text(field(id), p[id].value, options_.units),
                                range.empty() ? "" : fmt::format(" ({})", range),
                                dial.empty() ? "" : fmt::format(", <strong>{}</strong>", markup_text(dial)));
          out_ += "</td>";
        }
        out_ += "</tr>\n";
      }
    out_ += "<tr><th scope=\"row\">wire feed ended by: low; high</th><td></td>";
    for (const PassRun& x : runs_)
      out_ += fmt::format("<td>{}</td>", markup_text(ends_words(plan_.passes[x.first][F::wire_feed])));
    out_ += "</tr>\n</tbody></table>\n</section>\n";
  }

  void charts() {
    if (content_ == nullptr) return;
    const WindowMap& map = content_->map;
    const PassResult& p = plan_.passes[content_->pass];
    constexpr double width = 345, height = 172, pulse_height = 86, modulation_height = 82;
    const std::string pulse = svg_text(draw_pulse(p, width, pulse_height));
    const std::string modulation = svg_text(
        draw_modulation(p, plan_.contexts[content_->pass].modulation.share, width, modulation_height, options_.units));
    const std::string which = plan_.passes.size() > 1 ? fmt::format(", pass {} (the tightest)", p.pass.number) : "";
    out_ += fmt::format("<div class=\"row\"><div>\n<figure>\n<h2>Window{}</h2>\n{}", which,
                        svg_text(draw_window_map(map, p, width, height, options_.units)));
    out_ += fmt::format("<figcaption>{}\n", window_map_caption(map, p));
    if (const auto letters = map_letters(map); !letters.empty()) {
      out_ += "<ul class=\"letters\">\n";
      for (const MapLetter& l : letters)
        out_ += fmt::format("<li><strong>{}</strong> {}</li>\n", l.letter, markup_text(constraint(l.id).label));
      out_ += "</ul>\n";
    }
    out_ += "</figcaption>\n</figure>\n</div>\n<div>\n";
    if (!pulse.empty()) out_ += fmt::format("<figure>\n<h2>Pulse{}</h2>\n{}</figure>\n", which, pulse);
    if (!modulation.empty()) {
      const Estimate& pitch = p[F::ripple_pitch];
      out_ += fmt::format("<figure>\n<h2>Double pulse{}{}</h2>\n{}</figure>\n", which,
                          pitch.present
                              ? fmt::format(": ripples {} apart",
                                            quantity_with_unit(field(F::ripple_pitch), pitch.value, options_.units))
                              : "",
                          modulation);
    }
    const std::string heat = heat_table();
    if (pulse.empty()) out_ += heat;
    out_ += "</div></div>\n";
    constexpr std::array bead{F::current,    F::arc_length,   F::bead_width, F::penetration,
                              F::back_width, F::deposit_area, F::dilution};
    constexpr std::array hot{F::arc_energy, F::heat_input, F::t8_5, F::hardness, F::ferrite_number, F::pren};
    constexpr std::size_t narrow = 3;  // columns that fit beside the heat
    const bool beside = !pulse.empty() && runs_.size() <= narrow;
    out_ += beside ? "<div class=\"row\"><section>\n" : "<section class=\"wide\">\n";
    out_ += expect_table("Expect", bead, hot);
    if (beside) out_ += "</section>\n<section>\n" + heat + "</section></div>\n";
    if (!beside) out_ += "</section>\n";
    if (!beside && !pulse.empty()) out_ += "<section>\n" + heat + "</section>\n";
  }

  // Quantities of every group of passes.
  [[nodiscard]] std::string expect_table(std::string_view name, std::span<const F> first,
                                         std::span<const F> second) const {
    if (runs_.empty()) return {};
    std::string out = fmt::format(
        "<h2>{}</h2>\n<table class=\"expect\"><thead><tr><th scope=\"col\">quantity</th><th scope=\"col\">unit</th>",
        name);
    for (const PassRun& g : runs_)
      out += fmt::format("<th scope=\"col\" class=\"n\">{}</th>",
                         runs_.size() == 1 ? "value, +-" : markup_text(run_name(g)));
    out += "</tr></thead><tbody>\n";
    for (const auto& ids : {first, second})
      for (const F id : ids) {
        if (!plan_.passes[runs_.front().first][id].present) continue;
        out += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td>", field(id).label,
                           unit_of(field(id), options_.units));
        for (const PassRun& g : runs_) {
          const Estimate& e = plan_.passes[g.first][id];
          std::string text = e.present ? quantity_text(field(id), e.value, options_.units) : "";
          if (runs_.size() == 1 && e.plus_minus > 0 && field(id).range != Range::total)
            text += fmt::format(" &plusmn; {}", difference_text(field(id), e.plus_minus, options_.units));
          out += fmt::format("<td class=\"n\">{}</td>", text);
        }
        out += "</tr>\n";
      }
    return out + "</tbody></table>\n";
  }

  // The item with the greatest number of those with a key; null when there is none.
  static const HeatItem* greatest(const HeatSection& section, std::string_view key) {
    const HeatItem* best = nullptr;
    for (const HeatItem& item : section.items)
      if (item.key == key && applies(item.value) && (best == nullptr || item.value > best->value)) best = &item;
    return best;
  }

  // Of the heat report what is set, waited for or measured in the shop, in that order; the plan has the rest.
  [[nodiscard]] std::string heat_table() {
    constexpr std::array<std::string_view, 14> wanted{
        "preheat_cet", "preheat_d1_1",         "interpass_wait",    "interpass_reached",   "heat_input_window",
        "t8_5_field",  "cooling_1200_800",     "hydrogen",          "softened_half_width", "weld_magnesium",
        "backing_gas", "shrinkage_transverse", "shrinkage_angular", "contraction"};
    constexpr int most = 9;
    std::string rows;
    int count = 0;
    for (const std::string_view key : wanted)
      for (const HeatSection& section : plan_.heat) {
        const bool hottest = key.starts_with("interpass_") && section.key == "between_passes";
        for (const HeatItem& item : section.items) {
          if (item.key != key || !applies(item.value) || count >= most) continue;
          if (hottest ? &item != greatest(section, key) : item.pass > 1) continue;
          ++count;
          const std::string value = item.like != F::count
                                        ? quantity_with_unit(field(item.like), item.value, options_.units)
                                        : fmt::format("{} {}", fixed_text(item.value, item.decimals), item.unit);
          std::string label =
              key == "preheat_d1_1" ? "preheat by AWS D1.1, minimum" : sentence_in_units(item.label, options_.units);
          if (hottest) label += fmt::format(", after pass {}", item.pass);
          rows += fmt::format("<tr><th scope=\"row\">{}</th><td class=\"n\">{}{}</td></tr>\n", markup_text(label),
                              markup_text(value), note(item.source));
        }
      }
    std::string use;
    for (const FieldInfo& info : fields())
      if (const Estimate& e = plan_.total(info.id); e.present)
        use += fmt::format("{}{} {}", use.empty() ? "" : ", ", info.label,
                           markup_text(amount_text(info.id, e.value, options_.units, currency_of(c_.equipment))));
    if (const std::string missing = without_price_words(c_); !use.empty() && !missing.empty()) use += "; " + missing;
    if (!use.empty() && rows.empty()) return fmt::format("<h2>Use</h2>\n<p>all passes: {}</p>\n", use);
    if (!use.empty()) rows += fmt::format("<tr><td colspan=\"2\">all passes: {}</td></tr>\n", use);
    if (rows.empty()) return {};
    return fmt::format("<h2>Heat, metal and use</h2>\n<table><tbody>\n{}</tbody></table>\n", rows);
  }

  // How the weld is begun, ended and tacked.
  void start_and_end() {
    const auto section = std::ranges::find(plan_.heat, start_end_section, &HeatSection::key);
    if (section == plan_.heat.end() || section->items.empty()) return;
    std::string words;
    for (const HeatItem& item : section->items) {
      words += fmt::format("{}{} {}", words.empty() ? "" : "; ", item.label, heat_value_text(item, options_.units));
      if (!item.note.empty()) words += fmt::format(" ({})", item.note);
    }
    out_ += fmt::format("<section>\n{}<p>{}{}</p>\n</section>\n", heading(section->title),
                        markup_text(sentence_in_units(words, options_.units)), note(section->items.front().source));
  }

  // What the program chose, and why.
  void choices() {
    if (c_.choices.empty()) return;
    out_ += "<section>\n" + heading("Defaults chosen (* on the card)") + "<table><tbody>\n";
    for (const Choice& choice : c_.choices)
      out_ += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}{}</td></tr>\n", markup_text(choice.key),
                          markup_text(choice_words(c_, choice, options_.units)),
                          markup_text(reason_words(c_, choice, options_.units)), note(choice.source));
    out_ += "</tbody></table>\n</section>\n";
  }

  void cautions() {
    if (plan_.cautions.empty()) return;
    out_ += "<section>\n" + heading("Cautions") + "<ul class=\"cautions\">\n";
    for (const Warning& c : plan_.cautions)
      out_ += fmt::format("<li>{}{}</li>\n", markup_text(sentence_in_units(c.text, options_.units)), note(c.source));
    out_ += "</ul>\n</section>\n";
  }

  // Whether a word of the glossary stands on the page, in whatever case.
  [[nodiscard]] bool is_said(std::string_view word) const {
    const auto same = [](char a, char b) {
      return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
    };
    const auto letter = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
    for (auto at = out_.begin();; ++at) {
      at = std::search(at, out_.end(), word.begin(), word.end(), same);
      if (at == out_.end()) return false;
      const auto after = at + static_cast<std::ptrdiff_t>(word.size());
      if ((at == out_.begin() || !letter(*(at - 1))) && (after == out_.end() || !letter(*after))) return true;
    }
  }

  void words() {
    std::string list;
    for (const GlossaryWord& word : c_.catalog->words)
      if (is_said(word.id))
        list += fmt::format("<li><strong>{}</strong>: {}</li>\n", markup_text(word.id), markup_text(word.text));
    if (!list.empty())
      out_ += "<section>\n" + heading("Words") + "<ul class=\"cautions\">\n" + list + "</ul>\n</section>\n";
  }

  void footnotes() {
    // What the numbers rest on, where it was not met above.
    if (content_ != nullptr)
      for (const SourceIndex source : content_->sources) (void)note(source);
    out_ +=
        "<p class=\"small-print\">Where it comes from. Known: the weakest source a number rests on. S standard, "
        "P published, O open data, W own trial welds, D derived, T practice of the trade, M recalled, A assumed. ";
    for (std::size_t i = 0; i < sources_.size(); ++i) {
      const Source& s = source_of(*c_.catalog, sources_[i]);
      out_ += fmt::format("<sup>{}</sup>{}, {}. ", i + 1, markup_text(s.title), source_kind_key(s.kind));
    }
    out_ +=
        "Ranges in the settings table are for one quantity alone with all others as shown, no set to lock. 9 welds in "
        "10 lie within &plusmn; by the "
        "program's own estimate. 'seamwright explain' tells how each number came about.</p>\n";
  }
};

}  // namespace

std::string sheet_html(std::span<const SheetPlan> plans, const SheetOptions& options) {
  std::string title = "Welding settings", cards, details;
  for (const SheetPlan& sheet : plans) {
    if (sheet.plan->resolved.joint.title) title = *sheet.plan->resolved.joint.title;
    cards += CardPart(*sheet.plan, options).write();
    details += DetailPart(*sheet.plan, sheet.content, options).write();
  }
  return fmt::format(
             "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
             "content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n"
             "<title>{}</title>\n<style>{}{}</style>\n</head>\n<body>\n",
             markup_text(title), sheet_style, drawing_style()) +
         cards + details + "</body>\n</html>\n";
}

}  // namespace seamwright
