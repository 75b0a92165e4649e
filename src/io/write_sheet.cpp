#include "io/write_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "io/draw_charts.hpp"
#include "io/draw_joint.hpp"
#include "io/joint_words.hpp"
#include "io/lock_words.hpp"
#include "io/quantity_groups.hpp"
#include "io/svg.hpp"

namespace seamwright {
namespace {

// Told apart by lightness, dash and letter, not by hue alone.
constexpr std::string_view style = R"(
:root { --paper: #fff; --ink: #16202a; --soft: #5a6672; --rule: #c3cad1; --wash: #eef2f5; --region: #cfe0ee;
  --plate: #d5dade; --weld: #8fa9bf; --weld2: #b9cbda; --edge: #1f4f7a; --beyond: #8b98a4; --alarm: #8a2a12; }
@media screen and (prefers-color-scheme: dark) { :root { --paper: #14191e; --ink: #e8edf1; --soft: #a3afba;
  --rule: #46525d; --wash: #1f272e; --region: #24435c; --plate: #46515b; --weld: #6d93b3; --weld2: #4d7190;
  --edge: #9cc9ee; --beyond: #75828e; --alarm: #ffb199; } }
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); }
body { font: 9.4px/1.2 "DejaVu Sans", "Liberation Sans", Arial, sans-serif; width: 712px; max-width: 100%;
  margin: 0 auto; padding: 8px 0; }
h1 { font-size: 17px; margin: 0; }
h2 { font-size: 10.4px; margin: 5px 0 1px; border-bottom: 1px solid var(--edge); }
p { margin: 1px 0; }
header { display: flex; justify-content: space-between; gap: 12px; border-bottom: 2px solid var(--ink);
  padding-bottom: 3px; }
header p { color: var(--soft); }
header .right { text-align: right; white-space: nowrap; }
.row { display: flex; gap: 14px; align-items: flex-start; }
.row > * { flex: 1 1 0; min-width: 0; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; padding: 0.2px 5px 0.2px 0; vertical-align: top; border-bottom: 1px solid var(--rule); }
th { font-weight: normal; color: var(--soft); }
td.n, th.n { text-align: right; white-space: nowrap; }
td.set { font-weight: bold; text-align: right; white-space: nowrap; }
td.dial { font-weight: bold; white-space: nowrap; }
tbody th { color: var(--ink); }
.alarm { border: 2px solid var(--alarm); color: var(--alarm); padding: 3px 6px; margin: 5px 0; }
.small-print { font-size: 6.6px; line-height: 1.16; margin-top: 4px; color: var(--soft); }
.cautions { font-size: 7.2px; line-height: 1.17; margin: 0; padding-left: 9px; columns: 3; column-gap: 16px; }
.soft { color: var(--soft); }
.cautions li { margin-bottom: 1px; break-inside: avoid; }
sup { line-height: 0; font-size: 6.5px; }
.locked { font-size: 9px; line-height: 1.2; }
.letters { font-size: 9px; columns: 2; column-gap: 8px; margin: 0; padding: 0; list-style: none; }
figure { margin: 0; }
figcaption { font-size: 9px; color: var(--soft); }
svg { display: block; width: 100%; height: auto; }
svg text { fill: var(--ink); font: 9px "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
svg .small { font-size: 8.4px; fill: var(--soft); }
svg .halo { paint-order: stroke; stroke: var(--paper); stroke-width: 3px; }
svg .number, svg .tagtext { font-weight: bold; }
svg path { fill: none; }
.plate { fill: var(--plate) !important; stroke: var(--ink); stroke-width: 0.8; }
.weld { fill: var(--weld) !important; stroke: var(--ink); stroke-width: 0.8; }
.weld.other { fill: var(--weld2) !important; }
.bar { stroke: var(--ink); stroke-width: 2.4; }
.frame { fill: none; stroke: var(--soft); stroke-width: 0.8; }
.tick { stroke: var(--soft); stroke-width: 0.8; }
.region { fill: var(--region) !important; }
.edge { stroke: var(--edge); stroke-width: 2; }
.beyond { stroke: var(--beyond); stroke-width: 0.7; stroke-dasharray: 1.5 2.5; }
.band { stroke: var(--ink); stroke-width: 1.4; stroke-dasharray: 6 3; }
.box { fill: none; stroke: var(--ink); stroke-width: 1.4; }
.best { fill: var(--ink); }
.tag { fill: var(--paper); stroke: var(--edge); stroke-width: 1; }
.wave { stroke: var(--edge); stroke-width: 1.8; stroke-linejoin: round; }
.level { stroke: var(--soft); stroke-width: 0.7; stroke-dasharray: 3 3; }
.sign { display: flex; gap: 14px; margin-top: 12px; }
.sign p { flex: 1; border-top: 1px solid var(--ink); color: var(--soft); font-size: 8.4px; }
@media print { body { padding: 0; width: auto; } }
@page { margin: 8mm; }
)";

struct PassGroup {
  std::size_t first = 0, last = 0;  // indices
};

class SheetWriter {
 public:
  SheetWriter(const Plan& plan, const SheetContent* content, const SheetOptions& options)
      : plan_(plan), content_(content), c_(plan.resolved), options_(options) {
    for (std::size_t i = 0; i < plan.passes.size(); ++i) {
      const bool same = !groups_.empty() && alike(plan.passes[groups_.back().first], plan.passes[i]);
      if (same)
        groups_.back().last = i;
      else
        groups_.push_back({i, i});
    }
  }

  std::string write() {
    out_ = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
        "content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n"
        "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n",
        markup_text(title()), style);
    title_block();
    notices();
    joint_row();
    settings();
    charts();
    footnotes();
    out_ +=
        "<div class=\"sign\"><p>Prepared by, date</p><p>Welding coordinator, date</p><p>Welder, date</p>"
        "<p>Procedure number</p></div>\n</body>\n</html>\n";
    return std::move(out_);
  }

 private:
  const Plan& plan_;
  const SheetContent* content_;
  const Case& c_;
  const SheetOptions& options_;
  std::vector<PassGroup> groups_;
  std::vector<SourceIndex> sources_;  // in the order of their footnote numbers
  std::string out_;

  static constexpr std::array shown_groups{0u, 1u};  // what is set and how the torch moves
  // What the charts show needs no row.
  static bool has_row(F id) {
    return id != F::wire_feed_high && id != F::wire_feed_low && id != F::peak_time && id != F::base_time;
  }

  // Whether two passes print the same.
  [[nodiscard]] bool alike(const PassResult& a, const PassResult& b) const {
    if (a.pass.role != b.pass.role || a.pass.side != b.pass.side || a.feasible != b.feasible) return false;
    for (const FieldInfo& info : fields())
      if (cell(a, info.id) != cell(b, info.id)) return false;
    return true;
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
  [[nodiscard]] std::string title() const { return c_.joint.title ? *c_.joint.title : "Welding settings"; }
  [[nodiscard]] std::string group_name(const PassGroup& g) const {
    const PassResult& p = plan_.passes[g.first];
    std::string text = pass_span_words(p.pass.number, plan_.passes[g.last].pass.number);
    text += fmt::format(", {}", pass_role_key(p.pass.role));
    if (c_.sides == 2) text += fmt::format(", side {}", p.pass.side);
    return text;
  }
  void heading(std::string_view text) { out_ += fmt::format("<h2>{}</h2>\n", markup_text(text)); }

  void title_block() {
    out_ += fmt::format(
        "<header><div><h1>{}</h1><p>{}</p></div><div class=\"right\"><p>{}</p><p>seamwright {}, data {}</p>"
        "</div></header>\n",
        markup_text(title()), markup_text(joint_words(c_, options_.units)),
        c_.joint.id ? "Joint " + markup_text(*c_.joint.id) : "Joint", markup_text(options_.program_version),
        markup_text(c_.catalog->version));
  }

  void notices() {
    if (!plan_.feasible) {
      out_ +=
          "<div class=\"alarm\"><p><strong>No window.</strong> Nothing satisfies all this joint asks for; the numbers "
          "are where the conflict is smallest, not settings to weld with.</p>";
      for (const PassResult& p : plan_.passes)
        for (const Shortfall& s : p.conflicts)
          out_ += fmt::format("<p>Pass {}: {}, {}.</p>", p.pass.number, markup_text(constraint(s.margin.id).label),
                              markup_text(shortfall_words(s, options_.units)));
      for (const Suggestion& s : plan_.suggestions) out_ += fmt::format("<p>{}.</p>", markup_text(s.sentence));
      out_ += "</div>\n";
    }
    if (c_.warnings.empty()) return;
    out_ += "<div class=\"alarm\">";
    for (const Warning& w : c_.warnings) out_ += fmt::format("<p>{}{}</p>", markup_text(w.text), note(w.source));
    out_ += "</div>\n";
  }

  // A part of a fact, and the input key under which it may have been chosen.
  struct Part {
    std::string text;
    std::string_view choice_key;
  };
  void fact(std::string_view label, const std::vector<Part>& parts) {
    out_ += fmt::format("<tr><th scope=\"row\">{}</th><td>", label);
    for (const Part& part : parts) {
      out_ += (&part == parts.data() ? "" : ", ") + markup_text(part.text);
      for (const Choice& choice : c_.choices)
        if (choice.key == part.choice_key) out_ += "*" + note(choice.source);
    }
    out_ += "</td></tr>\n";
  }

  void joint_row() {
    out_ += "<div class=\"row\"><figure>\n<h2>Joint and passes</h2>\n" + joint_svg(plan_, 345, 124, options_.units) +
            "</figure>\n<div>\n<h2>Prepare</h2>\n<table><tbody>\n";
    std::string alloy(c_.alloy->id);
    if (c_.alloy2 != nullptr && c_.alloy2 != c_.alloy) alloy += fmt::format(" to {}", c_.alloy2->id);
    fact("base metal", {{alloy, ""}});
    if (c_.wire != nullptr)
      fact("wire", {{std::string(c_.wire->id), "wire.designation"},
                    {length_text(c_.diameter_mm, options_.units), "wire.diameter"}});
    if (c_.gas_flow_l_per_min > 0)
      fact("gas", {{c_.gas_name, "gas.designation"}, {flow_text(c_.gas_flow_l_per_min, options_.units), "gas.flow"}});
    fact("mode", {{key_words(mode_key(c_.mode)), "process.mode"}});
    if (c_.extension_mm > 0)
      fact("free wire, tip to arc", {{length_text(c_.extension_mm, options_.units), "wire.extension"}});
    if (c_.quality != nullptr) fact("quality", {{fmt::format("ISO 5817 level {}", c_.quality->id), "quality"}});
    fact("preheat", {{quantity_with_unit(field(F::preheat), c_.preheat_C, options_.units), "material.preheat"}});
    if (c_.interpass_C > 0)
      fact("between passes at most",
           {{quantity_with_unit(field(F::interpass), c_.interpass_C, options_.units), "material.interpass"}});
    std::string machine = "not described: no dial values";
    if (c_.equipment) machine = c_.equipment->name.empty() ? "as described" : c_.equipment->name;
    fact("machine", {{machine, ""}});
    out_ +=
        "<tr><td colspan=\"2\" class=\"soft\">* chosen by the program: the joint file leaves it open</td></tr>\n"
        "</tbody></table>\n</div></div>\n";
  }

  // A letter for how well the weakest thing behind a number is known.
  static char kind_letter(SourceKind kind) {
    constexpr std::string_view letters = "SPODTMA";
    return letters[static_cast<std::size_t>(kind)];
  }

  // Nothing for what is set as it is, without a model behind it.
  static std::string known(const Estimate& e) {
    return e.plus_minus > 0 || e.weakest != SourceKind::standard ? std::string(1, kind_letter(e.weakest))
                                                                 : std::string();
  }

  void settings() {
    if (groups_.empty()) return;
    if (groups_.size() == 1)
      settings_of_one();
    else
      settings_side_by_side();
  }

  void settings_of_one() {
    heading(fmt::format("Settings, {}", group_name(groups_.front())));
    const PassResult& p = plan_.passes[groups_.front().first];
    const bool dials =
        std::any_of(p.estimates.begin(), p.estimates.end(), [](const Estimate& e) { return !e.dial.empty(); });
    out_ += fmt::format(
        "<table><thead><tr><th scope=\"col\">quantity</th><th scope=\"col\" class=\"n\">set</th><th "
        "scope=\"col\">unit</th><th scope=\"col\" class=\"n\">keep between</th>{}"
        "<th scope=\"col\">what ends it: low; high</th><th scope=\"col\">known</th></tr></thead><tbody>\n",
        dials ? "<th scope=\"col\">on the machine</th>" : "");
    for (const unsigned g : shown_groups)
      for (const F id : quantity_groups()[g].fields) {
        const Estimate& e = p[id];
        if (!e.present || !has_row(id)) continue;
        const FieldInfo& info = field(id);
        const std::string range = range_text(p, id);
        std::string ends;
        if (!range.empty() && e.low_end != C::none)
          ends = e.low_end == e.high_end
                     ? std::string(constraint(e.low_end).label)
                     : fmt::format("{}; {}", constraint(e.low_end).label, constraint(e.high_end).label);
        out_ +=
            fmt::format("<tr><th scope=\"row\">{}</th><td class=\"set\">{}</td><td>{}</td><td class=\"n\">{}</td>",
                        info.label, quantity_text(info, e.value, options_.units), unit_of(info, options_.units), range);
        if (dials) out_ += fmt::format("<td class=\"dial\">{}</td>", markup_text(e.dial));
        out_ += fmt::format("<td>{}</td><td>{}</td></tr>\n", markup_text(ends), known(e));
      }
    out_ += "</tbody></table>\n";
  }

  void settings_side_by_side() {
    heading("Settings: set (keep between)");
    out_ += "<table><thead><tr><th scope=\"col\">quantity</th><th scope=\"col\">unit</th>";
    for (const PassGroup& g : groups_) out_ += fmt::format("<th scope=\"col\">{}</th>", markup_text(group_name(g)));
    out_ += "</tr></thead><tbody>\n";
    for (const unsigned g : shown_groups)
      for (const F id : quantity_groups()[g].fields) {
        const bool any = std::any_of(groups_.begin(), groups_.end(),
                                     [&](const PassGroup& x) { return plan_.passes[x.first][id].present; });
        if (!any || !has_row(id)) continue;
        out_ += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td>", field(id).label,
                            unit_of(field(id), options_.units));
        for (const PassGroup& x : groups_) {
          const PassResult& p = plan_.passes[x.first];
          const std::string range = range_text(p, id);
          out_ += "<td>";
          if (p[id].present)
            out_ +=
                fmt::format("<strong>{}</strong>{}{}", quantity_text(field(id), p[id].value, options_.units),
                            range.empty() ? "" : fmt::format(" ({})", range),
                            p[id].dial.empty() ? "" : fmt::format(", <strong>{}</strong>", markup_text(p[id].dial)));
          out_ += "</td>";
        }
        out_ += "</tr>\n";
      }
    out_ += "</tbody></table>\n";
  }

  void charts() {
    if (content_ == nullptr) return cautions();
    const std::size_t i = content_->pass;
    const WindowMap& map = content_->map;
    const PassResult& p = plan_.passes[i];
    constexpr double width = 345, height = 172;
    const std::string pulse = pulse_svg(p, width, 88);
    const std::string modulation = modulation_svg(p, plan_.contexts[i].modulation_share, width, 82, options_.units);
    const std::string which = plan_.passes.size() > 1 ? fmt::format(", pass {} (the tightest)", p.pass.number) : "";
    out_ += fmt::format("<div class=\"row\"><div><figure>\n<h2>Window{}</h2>\n", which);
    out_ += window_map_svg(map, p, width, height, options_.units);
    out_ += fmt::format(
        "<figcaption>Shaded: all holds. Dot: the settings above. Dashes: the band at this deposit.{}"
        "</figcaption>\n</figure>\n<ul class=\"letters\">\n",
        p.box && p.box->exists ? " Rectangle: may be locked." : "");
    for (const MapLetter& l : map_letters(map))
      out_ += fmt::format("<li><strong>{}</strong> {}</li>\n", l.letter, markup_text(constraint(l.id).label));
    out_ += "</ul>\n";
    heat_table();
    out_ += "</div>\n<div>\n";
    if (!pulse.empty()) out_ += fmt::format("<h2>Pulse{}</h2>\n<figure>\n{}</figure>\n", which, pulse);
    if (!modulation.empty()) out_ += fmt::format("<h2>Double pulse{}</h2>\n<figure>\n{}</figure>\n", which, modulation);
    expect_table();
    out_ += "</div></div>\n";
    if (p.box) locked(*p.box, which);
    cautions();
  }

  // What to expect, and the heat, of every group of passes.
  void expect_table() {
    if (groups_.empty()) return;
    out_ += "<h2>Expect</h2>\n<table><thead><tr><th scope=\"col\">quantity</th><th scope=\"col\">unit</th>";
    for (const PassGroup& g : groups_)
      out_ += fmt::format("<th scope=\"col\">{}</th>", groups_.size() == 1 ? "value, +-" : markup_text(group_name(g)));
    out_ += "</tr></thead><tbody>\n";
    constexpr std::array wanted{F::current,      F::arc_length,     F::bead_width, F::penetration, F::back_width,
                                F::deposit_area, F::dilution,       F::arc_energy, F::heat_input,  F::t8_5,
                                F::hardness,     F::ferrite_number, F::pren};
    for (const F id : wanted) {
      if (!plan_.passes[groups_.front().first][id].present) continue;
      out_ +=
          fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td>", field(id).label, unit_of(field(id), options_.units));
      for (const PassGroup& g : groups_) {
        const Estimate& e = plan_.passes[g.first][id];
        std::string text = e.present ? quantity_text(field(id), e.value, options_.units) : "";
        if (groups_.size() == 1 && e.plus_minus > 0 && field(id).range != Range::total)
          text += fmt::format(" &plusmn; {}", difference_text(field(id), e.plus_minus, options_.units));
        out_ += fmt::format("<td class=\"n\">{}</td>", text);
      }
      out_ += "</tr>\n";
    }
    out_ += "</tbody></table>\n";
  }

  void locked(const LockBox& box, std::string_view which) {
    std::string text;
    if (!box.exists) {
      text = markup_text(no_box_words(box, c_.mode));
    } else {
      text = markup_text(box_ranges(box, options_.units));
      const std::string dials = c_.equipment ? box_dials(box, *c_.equipment) : std::string();
      if (!dials.empty()) text += fmt::format(". <strong>{}</strong>", markup_text(dials));
    }
    out_ += fmt::format("<p class=\"locked\"><strong>May be locked together{}:</strong> {}</p>\n", which, text);
  }

  // Of the heat report what is set, waited for or measured in the shop, in that order; the plan has the rest.
  void heat_table() {
    constexpr std::array<std::string_view, 15> wanted{
        "preheat_cet",       "preheat_d1_1", "interpass_max",        "interpass_wait",    "interpass_reached",
        "heat_input_window", "t8_5_field",   "cooling_1200_800",     "hydrogen",          "softened_half_width",
        "weld_magnesium",    "backing_gas",  "shrinkage_transverse", "shrinkage_angular", "contraction"};
    constexpr int most = 9;
    std::string rows;
    int count = 0;
    for (const std::string_view key : wanted)
      for (const HeatSection& section : plan_.heat)
        for (const HeatItem& item : section.items) {
          if (item.key != key || !applies(item.value) || item.pass > 1 || count >= most) continue;
          ++count;
          const std::string value = item.like != F::count
                                        ? quantity_with_unit(field(item.like), item.value, options_.units)
                                        : fmt::format("{} {}", fixed_text(item.value, item.decimals), item.unit);
          rows += fmt::format("<tr><th scope=\"row\">{}</th><td class=\"n\">{}{}</td></tr>\n", markup_text(item.label),
                              markup_text(value), note(item.source));
        }
    if (count > 0) out_ += "<h2>Heat and metal</h2>\n<table><tbody>\n" + rows + "</tbody></table>\n";
    std::string use;
    for (const F id : {F::wire_mass, F::gas_volume, F::arc_time})
      if (const Estimate& e = plan_.total(id); e.present)
        use += fmt::format("{}{} {}", use.empty() ? "" : ", ", field(id).label,
                           quantity_with_unit(field(id), e.value, options_.units));
    if (!use.empty()) out_ += fmt::format("<h2>Use, all passes</h2>\n<p>{}</p>\n", use);
  }

  void cautions() {
    if (plan_.cautions.empty()) return;
    out_ += "<h2>Cautions</h2>\n<ul class=\"cautions\">\n";
    for (const Caution& c : plan_.cautions) out_ += fmt::format("<li>{}{}</li>\n", markup_text(c.text), note(c.source));
    out_ += "</ul>\n";
  }

  void footnotes() {
    // What the numbers rest on, where it was not met above.
    if (content_ != nullptr)
      for (const SourceIndex source : content_->sources) (void)note(source);
    out_ +=
        "<p class=\"small-print\">Where it comes from. Known: the weakest source a number rests on. S standard, "
        "P published, O open data, D derived, T practice of the trade, M recalled, A assumed. ";
    for (std::size_t i = 0; i < sources_.size(); ++i) {
      const Source& s = source_of(*c_.catalog, sources_[i]);
      out_ += fmt::format("<sup>{}</sup>{}, {}. ", i + 1, markup_text(s.title), source_kind_key(s.kind));
    }
    out_ +=
        "Ranges are for setting one quantity with the others as shown. 9 welds in 10 lie within &plusmn; by the "
        "program's own estimate. 'seamwright explain' tells how each number came about.</p>\n";
  }
};

}  // namespace

std::string sheet_html(const Plan& plan, const SheetContent* content, const SheetOptions& options) {
  return SheetWriter(plan, content, options).write();
}

}  // namespace seamwright
