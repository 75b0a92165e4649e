#include "present/write_card.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

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
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::size_t narrow = 60;       // below it a range stands under its setting, not beside it
constexpr std::size_t text_column = 10;  // of the labelled lines

class CardWriter {
 public:
  CardWriter(const Plan& plan, const CardOptions& options)
      : plan_(plan), case_(plan.resolved), options_(options), width_(std::max(options.width, narrowest_screen)) {}

  std::string write() {
    head();
    if (!plan_.feasible) {
      heading("NO WINDOW", TextStyle::alarm);
      paragraph(no_window_words, 2);
    }
    for (const PassRun& run : runs_of_passes(plan_, [this](const PassResult& pass) { return body_text(pass); })) {
      if (plan_.passes.size() > 1) heading(run_title(plan_, run));
      if (plan_.passes.size() == 1) out_ += '\n';
      out_ += run.body;
    }
    if (!plan_.feasible) suggestions();
    cost();
    changes();
    watch();
    foot();
    return std::move(out_);
  }

 private:
  const Plan& plan_;
  const Case& case_;
  const CardOptions& options_;
  std::size_t width_;
  std::string out_;

  [[nodiscard]] std::string paint(std::string_view text, TextStyle style) const {
    return styled(text, style, options_.color);
  }
  void heading(std::string_view text, TextStyle style = TextStyle::bold) {
    out_ += '\n';
    append_heading(out_, text, style, options_.color, width_);
  }
  void paragraph(std::string_view text, std::size_t indent = 0) {
    out_.append(indent, ' ');
    append_wrapped(out_, text, width_, indent, indent);
  }
  void labelled(std::string_view label, std::string_view text, TextStyle style = TextStyle::bold,
                std::size_t hanging = 0) {
    std::string term(2, ' ');
    append_left(term, label, text_column - 2);
    out_ += paint(term, style);
    append_wrapped(out_, text, width_, text_column, text_column + hanging);
  }
  [[nodiscard]] std::string in_words(std::string_view sentence) const {
    return printable(sentence_in_units(sentence, options_.units));
  }
  [[nodiscard]] std::string mark(SourceIndex source) const { return source_mark(*case_.catalog, source); }
  [[nodiscard]] std::string quantity(F id, double metric) const {
    return quantity_with_unit(field(id), metric, options_.units);
  }

  void head() {
    const auto bold = [this](std::string_view text) {
      append_heading(out_, printable(text), TextStyle::bold, options_.color, width_);
    };
    if (case_.joint.title) bold(*case_.joint.title);
    bold(joint_words(case_, options_.units));
    std::vector<std::string> facts;
    // A metal that the joint does not name itself: what it stands for.
    for (const Choice& choice : case_.choices)
      if (choice.key.starts_with("material.alloy")) facts.push_back(fmt::format("{}: {}", choice.value, choice.reason));
    // What passes differ in is told with each.
    for (const ProcessFact fact : {ProcessFact::wire, ProcessFact::gas, ProcessFact::mode, ProcessFact::extension}) {
      if (differs(plan_, fact, options_.units)) continue;
      const bool with_flow = fact == ProcessFact::gas && !differs(plan_, ProcessFact::flow, options_.units);
      const std::string text = with_flow ? gas_words(case_, options_.units) : told_fact(case_, fact, options_.units);
      if (!text.empty()) facts.push_back(text);
    }
    if (case_.preference != Preference::metal)
      facts.push_back(fmt::format("chosen for {}", preference_words(case_.preference)));
    for (const F id : {F::preheat, F::interpass}) {
      if (plan_.passes.size() <= (id == F::interpass ? 1 : 0) || !plan_.passes[0][id].present) continue;
      facts.push_back(fmt::format("{} {}{}", field(id).label, id == F::interpass ? "at most " : "",
                                  quantity(id, plan_.passes[0][id].value)));
    }
    if (case_.quality != nullptr) facts.push_back(fmt::format("ISO 5817 level {}", case_.quality->id));
    facts.push_back(is_machine(case_.equipment) ? "machine " + machine_words(case_) : "machine not described");
    if (case_.procedure) facts.push_back("procedure " + procedure_words(case_));
    for (std::string& fact : facts) fact = printable(fact);
    append_unbroken(out_, facts, ";", width_, 0, 0, 2);
  }

  [[nodiscard]] std::string body_text(const PassResult& pass) {
    std::string kept;
    std::swap(kept, out_);
    if (const std::string with = own_process_words(plan_, pass, options_.units); !with.empty())
      labelled("WITH", printable(with));
    if (pass.feasible)
      settings(pass);
    else
      conflicts(pass);
    std::swap(kept, out_);
    return kept;
  }

  void settings(const PassResult& pass) {
    const bool has_box = pass.box && pass.box->exists;
    std::size_t labels = 0;
    for (const Knob& knob : knobs())
      if (pass[knob.set].present) labels = std::max(labels, letters(field(knob.set).label));
    constexpr std::size_t values = 7, units = 7;
    const std::size_t column = 2 + labels + 1 + values + 1 + units;
    const bool beside = width_ >= narrow;
    std::string titles = "  SET";
    if (has_box && beside) {
      append_left(titles, "", column - letters(titles));
      constexpr std::string_view title = "LOCK: keep within, in any mix";
      titles += column + letters(title) <= width_ ? title : title.substr(0, title.find(','));
    }
    out_ += paint(titles, TextStyle::bold) + '\n';
    for (const Knob& knob : knobs()) {
      const Estimate& e = pass[knob.set];
      if (!e.present) continue;
      const FieldInfo& info = field(knob.set);
      std::string line = "  ";
      append_left(line, info.label, labels + 1);
      append_right(line, quantity_text(info, e.value, options_.units), values);
      line += ' ';
      const std::string lock = has_box ? knob_lock_words(knob, *pass.box, options_.units, false) : std::string();
      if (lock.empty() || beside) {
        append_left(line, unit_of(info, options_.units), lock.empty() ? 0 : units);
        out_ += line;
        append_wrapped(out_, lock, width_, column, column);
      } else {
        out_ += fmt::format("{}{}\n", line, unit_of(info, options_.units));
        out_.append(4, ' ');
        append_wrapped(out_, "lock " + lock, width_, 4, 9);
      }
    }
    further_settings(pass);
    if (pass.box) lock_remarks(*pass.box, case_of(plan_, pass).mode);
    if (case_.joint.confidence && pass.confident) labelled("", confident_words(*pass.confident, options_.units));
    labelled("EXPECT", fmt::format("{}, {}", with_spread(pass, F::current), with_spread(pass, F::heat_input)));
    if (pass.grade) grade(pass);
    const auto index = static_cast<std::size_t>(pass.pass.number - 1);
    if (const std::string clock = clock_words(plan_, index, options_.units); !clock.empty()) labelled("CLOCK", clock);
  }

  // "heat input 0.338 kJ/mm +-0.059"
  [[nodiscard]] std::string with_spread(const PassResult& pass, F id) const {
    const Estimate& e = pass[id];
    std::string text = fmt::format("{} {}", field(id).label, quantity(id, e.value));
    if (e.plus_minus > 0) text += fmt::format(" +-{}", difference_text(field(id), e.plus_minus, options_.units));
    return text;
  }

  // What else the machine is set to.
  void further_settings(const PassResult& pass) {
    const auto of = [&](F id) { return quantity(id, pass[id].value); };
    if (const std::string weave = weave_words(plan_, pass, options_.units); !weave.empty()) labelled("WEAVE", weave);
    if (is_dip(case_of(plan_, pass).mode) && pass[F::current_rise].present)
      labelled("ARC", fmt::format("{} {}", field(F::current_rise).label, of(F::current_rise)));
    if (pass[F::base_current].present)
      labelled("PULSE", fmt::format("peak for {}, base {} for {}, {}", of(F::peak_time), of(F::base_current),
                                    of(F::base_time), of(F::pulse_frequency)));
    const std::string dials = pass_dials(case_, pass);
    if (dials.empty()) return;
    labelled("DIALS", printable(dials));
    if (pass.box)
      if (const std::string locked = box_dials(*pass.box, *case_.equipment); !locked.empty())
        labelled("", printable("lock " + locked));
  }

  void lock_remarks(const LockBox& box, Mode mode) {
    if (!box.exists) {
      labelled("LOCK", no_box_words(box, mode), TextStyle::caution);
      return;
    }
    if (const std::string display = box_display_words(box, options_.units); !display.empty()) labelled("", display);
    if (case_.joint.confidence) labelled("", box_stop_words(box, mode));
  }

  void grade(const PassResult& pass) {
    const PassGrade& g = *pass.grade;
    labelled("GRADE", grade_words(g) + ".", g.grade == Grade::scrap ? TextStyle::caution : TextStyle::bold);
    for (std::size_t i = 0; i < g.remark_count; ++i)
      labelled("", fmt::format("{}.{}", remark_words(g.remarks[i], options_.units), mark(g.remarks[i].source)));
    if (pass.deposit_moved) labelled("", moved_deposit_words(pass, options_.units));
  }

  void conflicts(const PassResult& pass) {
    if (const std::string where = least_conflict_words(pass, options_.units); !where.empty()) paragraph(where, 2);
    for (const Margin& m : pass.conflicts)
      append_entry(out_, "-", conflict_words(m, *case_.catalog, options_.units), 4, width_);
  }

  void suggestions() {
    heading(opening_title);
    if (plan_.suggestions.empty()) paragraph(no_opening_words, 2);
    for (const Suggestion& s : plan_.suggestions) {
      append_entry(out_, "-", in_words(s.sentence), 4, width_);
      out_ += fmt::format("    {}\n", way_to(s));  // whatever its length, to be copied
    }
  }

  void cost() {
    if (!plan_.feasible) return;
    const std::string words = cost_words(plan_, options_.units);
    if (words.empty()) return;
    if (blocks()) out_ += '\n';
    labelled("COST", printable(words) + ".");
  }

  // Whether there is more than one block, so that what follows stands apart.
  [[nodiscard]] bool blocks() const { return plan_.passes.size() > 1 || !plan_.feasible; }

  void changes() {
    const std::vector<std::string> words = change_words(plan_, options_.units);
    if (!words.empty()) out_ += '\n';
    for (const std::string& text : words) labelled(&text == words.data() ? "CHANGE" : "", printable(text));
  }

  void watch() {
    std::vector<std::string> texts;
    for (const Warning& w : case_.warnings) texts.push_back(in_words(w.text) + mark(w.source));
    for (const std::string& miss : outside_words(plan_, options_.units)) texts.push_back(printable(miss));
    for (const std::string& note : sector_warnings(plan_)) texts.push_back(in_words(note));
    if (blocks() && !texts.empty()) out_ += '\n';
    for (const std::string& text : texts)
      labelled(&text == texts.data() ? "WATCH" : "", texts.size() > 1 ? "- " + text : text, TextStyle::caution,
               texts.size() > 1 ? 2 : 0);
  }

  void foot() {
    if (blocks()) out_ += '\n';
    paragraph(starting_values_words);
    std::size_t notes = 0;
    for (const HeatSection& section : plan_.heat)
      notes += static_cast<std::size_t>(std::count_if(section.findings.begin(), section.findings.end(),
                                                      [](const HeatFinding& f) { return !f.beyond; }));
    std::vector<std::string> more;
    for (const auto& [count, what] : {std::pair(case_.choices.size(), "default"), std::pair(notes, "note"),
                                      std::pair(plan_.cautions.size(), "caution")})
      if (count > 0) more.push_back(fmt::format("{} {}{}", count, what, count == 1 ? "" : "s"));
    paragraph(
        printable(fmt::format("seamwright {}, data {}; --all adds {}", options_.program_version, case_.catalog->version,
                              more.empty() ? "every quantity" : fmt::format("{}", fmt::join(more, ", ")))));
  }
};

}  // namespace

std::string plan_card(const Plan& plan, const CardOptions& options) { return CardWriter(plan, options).write(); }

}  // namespace seamwright
