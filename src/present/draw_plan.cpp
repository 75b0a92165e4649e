#include "present/draw_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "present/draw_charts.hpp"
#include "present/draw_joint.hpp"
#include "present/joint_words.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr double width = 460, margin = 10, line_height = 11, title_height = 18;
constexpr double section_height = 150, window_height = 250, pulse_height = 120, modulation_height = 100;

// Puts one thing below the other.
class Column {
 public:
  explicit Column(std::string_view title) : drawing_(width + 2 * margin, 0, title) {}

  void heading(std::string_view text) {
    y_ += title_height;
    drawing_.text(Look::heading, {margin, y_ - 3}, text);
  }
  void words(std::string_view text) {
    constexpr std::size_t letters_a_line = 92;
    std::string lines;
    append_wrapped(lines, text, letters_a_line, 0, 0);
    for (std::size_t from = 0; from < lines.size();) {
      const std::size_t end = std::min(lines.find('\n', from), lines.size());
      y_ += line_height;
      drawing_.text(Look::small, {margin, y_ - 2}, std::string_view(lines).substr(from, end - from));
      from = end + 1;
    }
  }
  void drawing(const std::string& title, const Drawing& part) {
    if (part.empty()) return;
    if (!title.empty()) heading(title);
    drawing_.place(part, {margin, y_ + 2});
    y_ += part.height() + 4;
    drawn_ = true;
  }
  Drawing finish() {
    if (!drawn_) return {};
    drawing_.set_height(y_ + margin);
    return std::move(drawing_);
  }

 private:
  Drawing drawing_;
  double y_ = 4;
  bool drawn_ = false;
};

// What is drawn of one pass.
class PassPictures {
 public:
  PassPictures(const Plan& plan, const PassMap& drawn, Picture what, Units units) {
    const PassResult& pass = plan.passes[drawn.pass];
    if (what == Picture::all || what == Picture::window) {
      window_ = draw_window_map(drawn.map, pass, width, window_height, units);
      caption_ = window_map_caption(drawn.map, pass);
      for (const MapLetter& l : map_letters(drawn.map))
        names_ += fmt::format("{}{}: {}", names_.empty() ? "" : ", ", l.letter, constraint(l.id).label);
    }
    if (what == Picture::all || what == Picture::pulse) {
      pulse_ = draw_pulse(pass, width, pulse_height);
      modulation_ = draw_modulation(pass, plan.contexts[drawn.pass].modulation.share, width, modulation_height, units);
    }
  }
  [[nodiscard]] bool operator==(const PassPictures& other) const {
    return names_ == other.names_ && caption_ == other.caption_ && svg_text(window_) == svg_text(other.window_) &&
           svg_text(pulse_) == svg_text(other.pulse_) && svg_text(modulation_) == svg_text(other.modulation_);
  }
  void put(Column& column, const std::string& which) const {
    column.drawing("Window" + which, window_);
    if (!caption_.empty()) column.words(caption_);
    if (!names_.empty()) column.words(names_);
    column.drawing("Pulse" + which, pulse_);
    column.drawing("Double pulse" + which, modulation_);
  }

 private:
  Drawing window_, pulse_, modulation_;
  std::string caption_, names_;
};

}  // namespace

Drawing draw_plan(const Plan& plan, const std::vector<PassMap>& passes, Picture what, Units units) {
  const Case& c = plan.resolved;
  const std::string title = c.joint.title ? *c.joint.title : "Welding settings";
  Column column(title);
  column.heading(title);
  column.words(joint_words(c, units));
  if (what == Picture::all || what == Picture::section)
    column.drawing({}, draw_joint(plan, width, section_height, units));
  // Passes one after the other whose pictures are the same have them once.
  for (std::size_t i = 0; i < passes.size();) {
    const PassPictures pictures(plan, passes[i], what, units);
    std::size_t next = i + 1;
    while (next < passes.size() && PassPictures(plan, passes[next], what, units) == pictures) ++next;
    const auto number = [&](std::size_t k) { return plan.passes[passes[k].pass].pass.number; };
    pictures.put(column, plan.passes.size() > 1 ? ", " + pass_span_words(number(i), number(next - 1)) : "");
    i = next;
  }
  return column.finish();
}

}  // namespace seamwright
