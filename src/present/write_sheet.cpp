#include "present/write_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <span>
#include <vector>

#include "present/draw_charts.hpp"
#include "present/draw_joint.hpp"
#include "present/joint_words.hpp"
#include "present/lock_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/sentence_units.hpp"
#include "text/svg.hpp"

namespace seamwright {
namespace {

// Told apart by lightness, dash and letter, not by hue alone. On paper the sizes follow from how much there is to say;
// on a screen they are a screen's.
constexpr std::string_view style = R"(
:root { --paper: #fff; --ink: #16202a; --soft: #55616d; --rule: #c3cad1; --wash: #eef2f5; --region: #cfe0ee;
  --plate: #d5dade; --weld: #8fa9bf; --weld2: #b9cbda; --edge: #1f4f7a; --beyond: #8b98a4; --alarm: #8a2a12; }
@media screen and (prefers-color-scheme: dark) { :root { --paper: #14191e; --ink: #e8edf1; --soft: #a3afba;
  --rule: #46525d; --wash: #1f272e; --region: #24435c; --plate: #46515b; --weld: #6d93b3; --weld2: #4d7190;
  --edge: #9cc9ee; --beyond: #75828e; --alarm: #ffb199; } }
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); }
body { --size: 10.4px; --caution: 9.2px; --note: 8.4px; --line: 1.22; --sign: 26px; margin: 0 auto;
  font: var(--size)/var(--line) "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
@media print {
  .print2 { --size: 9.6px; --caution: 8.4px; --note: 7.6px; --line: 1.19; --sign: 22px; }
  .print3 { --size: 9.3px; --caution: 8px; --note: 7.2px; --line: 1.17; --sign: 18px; }
  .print4 { --size: 9px; --caution: 7.6px; --note: 6.9px; --line: 1.16; --sign: 16px; }
  .print5 { --size: 8.5px; --caution: 7px; --note: 6.2px; --line: 1.13; --sign: 12px; }
  .print6 { --size: 8.2px; --caution: 6.8px; --note: 6.2px; --line: 1.1; --sign: 8px; }
}
@media screen {
  body { --size: 12.5px; --caution: 12px; --note: 11.5px; --line: 1.3; width: 980px; max-width: 100%; padding: 14px; }
  .wide { overflow-x: auto; }
}
@media screen and (max-width: 700px) { .row, header, .sign { flex-direction: column; } .row > * { width: 100%; }
  .cautions { columns: 1 !important; } }
h1 { font-size: 1.75em; margin: 0; line-height: 1.2; }
h2 { font-size: 1.1em; margin: 0.5em 0 0.1em; border-bottom: 1px solid var(--edge); }
p { margin: 0.1em 0; }
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
.expect thead th { white-space: normal; }
.expect tbody th { white-space: nowrap; }
.alarm { border: 2px solid var(--alarm); color: var(--alarm); padding: 3px 6px; margin: 5px 0; }
.print5 .alarm, .print6 .alarm { padding: 0 5px; margin: 2px 0; }
.print5 .alarm p, .print6 .alarm p { margin: 0; }
.small-print { font-size: var(--note); line-height: 1.22; margin-top: 4px; color: var(--soft); }
.cautions { font-size: var(--caution); line-height: 1.2; margin: 0; padding: 0; columns: 3; column-gap: 16px;
  list-style: none; }
.cautions li { margin-bottom: 1px; padding-left: 0.9em; break-inside: avoid; position: relative; }
.cautions li::before { content: "\2022"; position: absolute; left: 0; }
sup { vertical-align: baseline; position: relative; top: -0.35em; line-height: 0; font-size: 0.75em; }
.letters { columns: 2; column-gap: 8px; margin: 0; padding: 0; list-style: none; }
figure { margin: 0; }
figcaption { color: var(--soft); }
svg { display: block; width: 100%; height: auto; }
svg text { fill: var(--ink); font: 9px "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
svg .small { font-size: 8.4px; fill: var(--soft); }
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
.sign { display: flex; gap: 14px; margin-top: var(--sign); }
.sign p { flex: 1; border-top: 1px solid var(--ink); color: var(--soft); }
@page { margin: 8mm; }
)";

// How tall a page of Letter gets with each of the sizes of print, estimated: a page is never set smaller than it must
// be.
struct Size {
  std::string_view css_class;
  double text_px, caution_px, note_px, line, sign_px;
};
constexpr std::array sizes{Size{"", 10.4, 9.2, 8.4, 1.22, 26},    Size{"print2", 9.6, 8.4, 7.6, 1.19, 22},
                           Size{"print3", 9.3, 8, 7.2, 1.17, 18}, Size{"print4", 9, 7.6, 6.9, 1.16, 16},
                           Size{"print5", 8.5, 7, 6.2, 1.13, 12}, Size{"print6", 8.2, 6.8, 6.2, 1.1, 8}};

std::size_t count_of(std::string_view text, std::string_view word) {
  std::size_t count = 0;
  for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + word.size())) ++count;
  return count;
}
// Letters that are seen: outside of tags.
std::size_t letters_of(std::string_view html) {
  std::size_t count = 0;
  bool tag = false;
  for (const char c : html) {
    if (c == '<') tag = true;
    if (!tag) ++count;
    if (c == '>') tag = false;
  }
  return count;
}

// Parts of the page, for the estimate of its height.
struct PageParts {
  std::string head, joint, joint_facts, settings, left, right, below, locked, cautions, notes;
  double joint_px = 0, left_px = 0, right_px = 0;  // of drawings
  int settings_wrapped = 0;                        // rows of the settings that take two lines
};

double height_px(const PageParts& p, const Size& size) {
  constexpr double page_px = 733, letter_share = 0.565;  // the narrower of A4 and Letter; letter width over its size
  const double line = size.text_px * size.line, row = line + 1.4;
  const double heading = 1.1 * line + 0.6 * 1.1 * size.text_px + 1;
  const auto text_lines = [&](std::string_view html, double px, double width) {
    return std::ceil(static_cast<double>(letters_of(html)) * px * letter_share / width);
  };
  const auto block = [&](std::string_view html) {
    return static_cast<double>(count_of(html, "<tr>")) * row + static_cast<double>(count_of(html, "<h2>")) * heading;
  };
  double height = 1.2 * 1.75 * size.text_px + line + 8;
  height += static_cast<double>(count_of(p.head, "alarm")) * 20;
  for (std::size_t at = p.head.find("<p>"); at != std::string::npos;) {
    const std::size_t next = p.head.find("<p>", at + 1);
    height += text_lines(std::string_view(p.head).substr(at, next - at), size.text_px, page_px - 16) * 1.1 * line;
    at = next;
  }
  height += std::max(p.joint_px + heading, block(p.joint_facts));
  height += block(p.settings) + p.settings_wrapped * line;
  const double letters = std::ceil(0.5 * static_cast<double>(count_of(p.left, "<li>"))) +
                         (p.left.find("<figcaption>") != std::string::npos ? 2 : 0);
  height += std::max(p.left_px + block(p.left) + letters * line, p.right_px + block(p.right));
  height += block(p.below);
  // Each pass begins a line of its own: half of one stays empty.
  const auto locked = static_cast<double>(count_of(p.locked, "<p "));
  height += (text_lines(p.locked, size.text_px, page_px) + 0.5 * locked) * line + 3 * locked;
  // Three columns; half a line of each caution stays empty.
  const double caution_lines =
      text_lines(p.cautions, size.caution_px, page_px - 62) + 0.5 * static_cast<double>(count_of(p.cautions, "<li>"));
  height += heading + (caution_lines / 3 + 1) * size.caution_px * 1.2;
  height += text_lines(p.notes, size.note_px, page_px) * size.note_px * 1.22 + 6;
  return height + size.sign_px + line + 2;
}

constexpr double on_letter = 1.075;  // drawings grow with the width of the page

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
    notices();
    joint_row();
    settings();
    charts();
    cautions();
    footnotes();
    constexpr double letter_px = 978;  // between the margins of 8 mm, less what the estimate may be off
    const Size* size = sizes.begin();
    while (size + 1 != sizes.end() && height_px(parts_, *size) > letter_px) ++size;
    return fmt::format(
               "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
               "content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n"
               "<title>{}</title>\n<style>{}</style>\n</head>\n<body{}>\n",
               markup_text(title()), style,
               size->css_class.empty() ? "" : fmt::format(" class=\"{}\"", size->css_class)) +
           title_block() + parts_.head + "<div class=\"row\"><figure>\n" + parts_.joint + "</figure>\n<div>\n" +
           parts_.joint_facts + "</div></div>\n" + parts_.locked + "<div class=\"wide\">\n" + parts_.settings +
           "</div>\n" + "<div class=\"row\"><div>\n" + parts_.left + "</div>\n<div>\n" + parts_.right +
           "</div></div>\n" + (parts_.below.empty() ? "" : "<div class=\"wide\">\n" + parts_.below + "</div>\n") +
           parts_.cautions + parts_.notes +
           "<div class=\"sign\"><p>Prepared by, date</p><p>Welding coordinator, date</p><p>Welder, date</p>"
           "<p>Procedure number</p></div>\n</body>\n</html>\n";
  }

 private:
  const Plan& plan_;
  const SheetContent* content_;
  const Case& c_;
  const SheetOptions& options_;
  std::vector<PassGroup> groups_;
  std::vector<SourceIndex> sources_;  // in the order of their footnote numbers
  PageParts parts_;

  static constexpr std::array shown_groups{0u, 1u};  // what is set and how the torch moves
  // What the charts show needs no row.
  static bool has_row(F id) {
    return id != F::wire_feed_high && id != F::wire_feed_low && id != F::peak_time && id != F::base_time &&
           id != F::ripple_pitch;
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
  [[nodiscard]] static std::string heading(std::string_view text) {
    return fmt::format("<h2>{}</h2>\n", markup_text(text));
  }

  [[nodiscard]] std::string title_block() const {
    return fmt::format(
        "<header><div><h1>{}</h1><p>{}</p></div><div class=\"right\"><p>{}</p><p>seamwright {}, data {}</p>"
        "</div></header>\n",
        markup_text(title()), markup_text(joint_words(c_, options_.units)),
        c_.joint.id ? "Joint " + markup_text(*c_.joint.id) : "Joint number:", markup_text(options_.program_version),
        markup_text(c_.catalog->version));
  }

  static std::string sentence(std::string text) {
    if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    if (!text.empty() && text.back() != '.') text += '.';
    return text;
  }

  void notices() {
    std::string& out = parts_.head;
    if (!plan_.feasible) {
      out +=
          "<div class=\"alarm\"><p><strong>No window.</strong> Nothing satisfies all this joint asks for; the numbers "
          "are where the conflict is smallest, not settings to weld with.</p>";
      for (const PassResult& p : plan_.passes)
        for (const Margin& m : p.conflicts)
          out += fmt::format("<p>Pass {}: {}, {}.</p>", p.pass.number, markup_text(constraint(m.id).label),
                             markup_text(shortfall_words(m, options_.units)));
      for (const Suggestion& s : plan_.suggestions)
        out += fmt::format("<p>{}</p>", markup_text(sentence(sentence_in_units(s.sentence, options_.units))));
      out += "</div>\n";
    }
    if (c_.warnings.empty()) return;
    out += "<div class=\"alarm\">";
    for (const Warning& w : c_.warnings)
      out +=
          fmt::format("<p>{}{}</p>", markup_text(sentence(sentence_in_units(w.text, options_.units))), note(w.source));
    out += "</div>\n";
  }

  // A part of a fact, and the input key under which it may have been chosen.
  struct Part {
    std::string text;
    std::string_view choice_key;
  };
  void fact(std::string_view label, const std::vector<Part>& parts) {
    std::string& out = parts_.joint_facts;
    out += fmt::format("<tr><th scope=\"row\">{}</th><td>", label);
    for (const Part& part : parts) {
      out += (&part == parts.data() ? "" : ", ") + markup_text(part.text);
      for (const Choice& choice : c_.choices)
        if (choice.key == part.choice_key) out += "*" + note(choice.source);
    }
    out += "</td></tr>\n";
  }

  void joint_row() {
    constexpr double width = 345, height = 112;
    parts_.joint = heading("Joint and passes") + joint_svg(plan_, width, height, options_.units);
    parts_.joint_px = on_letter * height;
    parts_.joint_facts = heading("Prepare") + "<table><tbody>\n";
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
      fact("stick-out, contact tip to arc", {{length_text(c_.extension_mm, options_.units), "wire.extension"}});
    if (c_.quality != nullptr) fact("quality", {{fmt::format("ISO 5817 level {}", c_.quality->id), "quality"}});
    std::vector<Part> heat{
        {quantity_with_unit(field(F::preheat), c_.preheat_C, options_.units) + (c_.joint.preheat_C ? "" : "*"), ""}};
    if (c_.interpass_C > 0)
      heat.push_back(
          {"at most " + quantity_with_unit(field(F::interpass), c_.interpass_C, options_.units), "material.interpass"});
    fact(heat.size() > 1 ? "preheat, between passes" : "preheat", heat);
    std::string machine = "not described: no dial values";
    if (c_.equipment) machine = c_.equipment->name.empty() ? "as described" : c_.equipment->name;
    fact("machine", {{machine, ""}});
    parts_.joint_facts += "</tbody></table>\n";
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
    if (groups_.empty()) return;
    if (groups_.size() == 1)
      settings_of_one();
    else
      settings_side_by_side();
  }

  [[nodiscard]] std::string settings_word() const {
    return plan_.feasible ? "Settings" : "Where the conflict is smallest (not settings)";
  }

  void settings_of_one() {
    std::string& out_ = parts_.settings;
    out_ = heading(fmt::format("{}, {}", settings_word(), group_name(groups_.front())));
    const PassResult& p = plan_.passes[groups_.front().first];
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
    out_ += "</tbody></table>\n";
  }

  // The wire feed's ends are those of all that moves with it.
  [[nodiscard]] static std::string ends_words(const Estimate& e) {
    if (e.low_end == C::none && e.high_end == C::none) return {};
    return e.low_end == e.high_end ? std::string(constraint(e.low_end).label)
                                   : fmt::format("{}; {}", constraint(e.low_end).label, constraint(e.high_end).label);
  }

  void settings_side_by_side() {
    std::string& out_ = parts_.settings;
    out_ = heading(settings_word() + ": set (alone between)");
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
          const std::string dial = dial_words(c_, id, p[id]);
          if (p[id].present)
            out_ += fmt::format("<strong>{}</strong>{}{}", quantity_text(field(id), p[id].value, options_.units),
                                range.empty() ? "" : fmt::format(" ({})", range),
                                dial.empty() ? "" : fmt::format(", <strong>{}</strong>", markup_text(dial)));
          out_ += "</td>";
        }
        out_ += "</tr>\n";
        // Columns of about 40 letters in three, 16 in seven.
        if (groups_.size() > 4 &&
            (id == F::wire_feed || id == F::voltage || id == F::inductance || id == F::peak_current))
          ++parts_.settings_wrapped;
      }
    out_ += "<tr><th scope=\"row\">wire feed ended by: low; high</th><td></td>";
    std::size_t longest = 0;
    for (const PassGroup& x : groups_) {
      const std::string ends = ends_words(plan_.passes[x.first][F::wire_feed]);
      longest = std::max(longest, ends.size());
      out_ += fmt::format("<td>{}</td>", markup_text(ends));
    }
    out_ += "</tr>\n</tbody></table>\n";
    parts_.settings_wrapped += static_cast<int>(longest * groups_.size() / 120 + 1);
  }

  void charts() {
    if (content_ == nullptr) return;
    const std::size_t i = content_->pass;
    const WindowMap& map = content_->map;
    const PassResult& p = plan_.passes[i];
    constexpr double width = 345, height = 172, pulse_height = 86, modulation_height = 82;
    const std::string pulse = pulse_svg(p, width, pulse_height);
    const std::string modulation =
        modulation_svg(p, plan_.contexts[i].modulation_share, width, modulation_height, options_.units);
    const std::string which = plan_.passes.size() > 1 ? fmt::format(", pass {} (the tightest)", p.pass.number) : "";
    std::string& left = parts_.left;
    left = fmt::format("<figure>\n<h2>Window{}</h2>\n{}", which, window_map_svg(map, p, width, height, options_.units));
    parts_.left_px = on_letter * height;
    if (map.region.empty())
      left +=
          "<figcaption>No window: nothing is shaded. Dot: where the conflict is smallest. Lines: where each limit in "
          "the way is met.</figcaption>\n</figure>\n";
    else
      left += fmt::format(
          "<figcaption>Shaded: all holds. Dot: as set. Dashes: band at this deposit.{}</figcaption>\n</figure>\n",
          p.box && p.box->exists ? " Box: may be locked." : "");
    if (const auto letters = map_letters(map); !letters.empty()) {
      left += "<ul class=\"letters\">\n";
      for (const MapLetter& l : letters)
        left += fmt::format("<li><strong>{}</strong> {}</li>\n", l.letter, markup_text(constraint(l.id).label));
      left += "</ul>\n";
    }
    if (!pulse.empty()) {
      parts_.right += fmt::format("<h2>Pulse{}</h2>\n<figure>\n{}</figure>\n", which, pulse);
      parts_.right_px += on_letter * pulse_height;
    }
    if (!modulation.empty()) {
      const Estimate& pitch = p[F::ripple_pitch];
      parts_.right += fmt::format(
          "<h2>Double pulse{}{}</h2>\n<figure>\n{}</figure>\n", which,
          pitch.present ? fmt::format(": ripples {} apart",
                                      quantity_with_unit(field(F::ripple_pitch), pitch.value, options_.units))
                        : "",
          modulation);
      parts_.right_px += on_letter * modulation_height;
    }
    // Where both waveforms stand on the right, the heat goes to the left, so that the columns end about together.
    constexpr std::array bead{F::current,    F::arc_length,   F::bead_width, F::penetration,
                              F::back_width, F::deposit_area, F::dilution};
    constexpr std::array heat{F::arc_energy, F::heat_input, F::t8_5, F::hardness, F::ferrite_number, F::pren};
    std::string heat_rows = heat_table();
    const bool wide = groups_.size() > 3;
    std::string& expect = wide ? parts_.below : parts_.right;
    if (wide) ++parts_.settings_wrapped;  // the names of the passes above the table
    if (modulation.empty() || wide) {
      expect += expect_table("Expect", bead, heat);
    } else {
      expect += expect_table("Expect", bead, {});
      left += expect_table("Heat of the arc", heat, {});
    }
    (wide && modulation.empty() ? parts_.right : left) += heat_rows;
    constexpr std::size_t roomy = 2;  // passes told one by one
    if (groups_.size() <= roomy)
      for (const PassGroup& g : groups_) locked(plan_.passes[g.first], groups_.size() > 1 ? group_name(g) : "");
    else
      locked_in_short();
  }

  // Quantities of every group of passes.
  [[nodiscard]] std::string expect_table(std::string_view name, std::span<const F> first,
                                         std::span<const F> second) const {
    if (groups_.empty()) return {};
    std::string out = fmt::format(
        "<h2>{}</h2>\n<table class=\"expect\"><thead><tr><th scope=\"col\">quantity</th><th scope=\"col\">unit</th>",
        name);
    for (const PassGroup& g : groups_)
      out += fmt::format("<th scope=\"col\" class=\"n\">{}</th>",
                         groups_.size() == 1 ? "value, +-" : markup_text(group_name(g)));
    out += "</tr></thead><tbody>\n";
    for (const auto& ids : {first, second})
      for (const F id : ids) {
        if (!plan_.passes[groups_.front().first][id].present) continue;
        out += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td>", field(id).label,
                           unit_of(field(id), options_.units));
        for (const PassGroup& g : groups_) {
          const Estimate& e = plan_.passes[g.first][id];
          std::string text = e.present ? quantity_text(field(id), e.value, options_.units) : "";
          if (groups_.size() == 1 && e.plus_minus > 0 && field(id).range != Range::total)
            text += fmt::format(" &plusmn; {}", difference_text(field(id), e.plus_minus, options_.units));
          out += fmt::format("<td class=\"n\">{}</td>", text);
        }
        out += "</tr>\n";
      }
    return out + "</tbody></table>\n";
  }

  void locked(const PassResult& pass, std::string_view which) {
    if (!pass.box || !pass.feasible) return;
    const LockBox& box = *pass.box;
    std::string text;
    if (!box.exists) {
      text = markup_text(no_box_words(box, c_.mode));
    } else {
      text = markup_text(box_ranges(box, options_.units));
      const bool fillet = c_.section.type == JointType::fillet || c_.section.type == JointType::lap;
      if (const std::string travel = box_travel_words(box, fillet ? "leg" : "bead", options_.units); !travel.empty())
        text += ". " + markup_text(travel);
      const std::string dials = c_.equipment ? box_dials(box, *c_.equipment) : std::string();
      if (!dials.empty()) text += fmt::format(". <strong>{}</strong>", markup_text(dials));
    }
    if (pass.grade) text += fmt::format(" <strong>Grade:</strong> {}.", markup_text(grade_words(*pass.grade)));
    parts_.locked += fmt::format("<p class=\"locked\"><strong>LOCK{}{}:</strong> {}</p>\n", which.empty() ? "" : ", ",
                                 markup_text(which), text);
  }

  // Many passes: the feed of each, and of the other settings what all of them share.
  void locked_in_short() {
    std::optional<LockBox> shared;
    std::string text;
    for (const PassGroup& g : groups_) {
      const PassResult& pass = plan_.passes[g.first];
      if (!pass.feasible || !pass.box) continue;
      text += fmt::format("{}{}: ", text.empty() ? "" : "; ", markup_text(group_name(g)));
      text += pass.box->exists ? markup_text(box_feed(*pass.box, options_.units)) : "too narrow";
      if (pass.grade) text += fmt::format(" ({})", grade_label(pass.grade->grade));
      if (!pass.box->exists) continue;
      if (!shared) shared = *pass.box;
      for (std::size_t i = 0; i < box_side_count; ++i) {
        shared->sides[i].low = std::max(shared->sides[i].low, pass.box->sides[i].low);
        shared->sides[i].high = std::min(shared->sides[i].high, pass.box->sides[i].high);
      }
    }
    if (text.empty()) return;
    if (shared) {
      for (const std::size_t side : {0u, 1u}) shared->sides[side].present = false;
      const bool open = std::all_of(shared->sides.begin(), shared->sides.end(),
                                    [](const BoxSide& side) { return !side.present || side.low <= side.high; });
      if (const std::string others = open ? box_ranges(*shared, options_.units) : std::string(); !others.empty())
        text += ". In every pass: " + markup_text(others);
    }
    parts_.locked = fmt::format("<p class=\"locked\"><strong>LOCK</strong> wire feed, {}. {}.</p>\n",
                                unit_of(field(F::wire_feed), options_.units), text);
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
    for (const F id : {F::wire_mass, F::gas_volume, F::arc_time})
      if (const Estimate& e = plan_.total(id); e.present)
        use += fmt::format("{}{} {}", use.empty() ? "" : ", ", field(id).label,
                           quantity_with_unit(field(id), e.value, options_.units));
    if (!use.empty() && rows.empty()) return fmt::format("<h2>Use</h2>\n<p>all passes: {}</p>\n", use);
    if (!use.empty()) rows += fmt::format("<tr><td colspan=\"2\">all passes: {}</td></tr>\n", use);
    if (rows.empty()) return {};
    return fmt::format("<h2>Heat, metal and use</h2>\n<table><tbody>\n{}</tbody></table>\n", rows);
  }

  void cautions() {
    if (plan_.cautions.empty()) return;
    std::string& out_ = parts_.cautions;
    out_ = "<h2>Cautions</h2>\n<ul class=\"cautions\">\n";
    for (const Warning& c : plan_.cautions)
      out_ += fmt::format("<li>{}{}</li>\n", markup_text(sentence_in_units(c.text, options_.units)), note(c.source));
    out_ += "</ul>\n";
  }

  void footnotes() {
    // What the numbers rest on, where it was not met above.
    if (content_ != nullptr)
      for (const SourceIndex source : content_->sources) (void)note(source);
    std::string& out_ = parts_.notes;
    out_ =
        "<p class=\"small-print\">Where it comes from. * chosen by the program: the joint file leaves it open. Known: "
        "the weakest source a number rests on. S standard, "
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

std::string sheet_html(const Plan& plan, const SheetContent* content, const SheetOptions& options) {
  return SheetWriter(plan, content, options).write();
}

}  // namespace seamwright
