#include "present/draw_joint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "text/drawing.hpp"

namespace seamwright {
namespace {

using Outline = std::vector<DrawPoint>;  // mm, y upwards

struct Shape {
  Outline outline;
  int number = 0;  // of the pass
};

// A parabola over the straight line from `a` to `b` that encloses `area` with it, on the side left of a to b.
Outline arched(DrawPoint a, DrawPoint b, double area) {
  constexpr int parts = 12;
  const double width = std::hypot(b.x - a.x, b.y - a.y);
  Outline out;
  if (width <= 0) return out;
  const double height = 1.5 * area / width;
  const DrawPoint normal{-(b.y - a.y) / width, (b.x - a.x) / width};
  for (int i = 0; i <= parts; ++i) {
    const double u = static_cast<double>(i) / parts;
    const double rise = 4 * u * (1 - u) * height;
    out.push_back({a.x + u * (b.x - a.x) + rise * normal.x, a.y + u * (b.y - a.y) + rise * normal.y});
  }
  return out;
}

// Of the area; the middle of the points where there is none.
DrawPoint centroid(const Outline& outline) {
  double twice_area = 0;
  DrawPoint sum, mean;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const DrawPoint &a = outline[i], &b = outline[(i + 1) % outline.size()];
    const double cross = a.x * b.y - b.x * a.y;
    twice_area += cross;
    sum.x += (a.x + b.x) * cross;
    sum.y += (a.y + b.y) * cross;
    mean.x += a.x / static_cast<double>(outline.size());
    mean.y += a.y / static_cast<double>(outline.size());
  }
  if (std::abs(twice_area) < 1e-9) return mean;
  return {sum.x / (3 * twice_area), sum.y / (3 * twice_area)};
}

class JointShapes {
 public:
  explicit JointShapes(const Plan& plan) : plan_(plan), c_(plan.resolved), s_(plan.resolved.section) {
    t_ = s_.thickness_mm;
    t2_ = c_.thickness2_mm > 0 ? c_.thickness2_mm : t_;
    switch (s_.type) {
      case JointType::fillet:
        fillet();
        break;
      case JointType::lap:
        lap();
        break;
      case JointType::corner:
        corner();
        break;
      case JointType::edge:
        edge();
        break;
      case JointType::overlay:
        overlay();
        break;
      case JointType::butt:
      case JointType::pipe_butt:
        butt();
        break;
    }
  }
  std::vector<Outline> plates;
  std::vector<Shape> passes;

 private:
  const Plan& plan_;
  const Case& c_;
  const SectionInput& s_;
  double t_ = 0, t2_ = 0;

  [[nodiscard]] static double beyond(double size) { return std::max(8.0, 1.2 * size); }
  void plate(double x0, double y0, double x1, double y1) { plates.push_back({{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}); }

  // Beads in a layer, and the share of its width that one takes.
  [[nodiscard]] int beads_in_layer(const PassPlan& p) const {
    int beads = 0;
    for (const PassPlan& other : c_.pass_plans)
      if (other.layer == p.layer && other.side == p.side) beads = std::max(beads, other.bead);
    return std::max(beads, 1);
  }
  [[nodiscard]] double height_below(const PassPlan& p) const {
    double below = 0;
    for (const PassPlan& other : c_.pass_plans)
      if (other.side == p.side && other.layer < p.layer) below = std::max(below, other.height_mm);
    return below;
  }
  [[nodiscard]] static double excess_mm2(const PassPlan& p) { return std::max(0.0, p.nominal_mm2 - p.needed_mm2); }

  // Passes in a triangle with its right angle at `root` and legs along +x and +y, in layers along the throat.
  void triangle(DrawPoint root, double z1, double z2) {
    const double throat = fillet_throat_mm(z1, z2);
    for (const PassPlan& p : c_.pass_plans) {
      const bool top = p.role == PassRole::cap || p.role == PassRole::single;
      const double f0 = std::clamp(height_below(p) / throat, 0.0, 1.0);
      const double f1 = top ? 1.0 : std::clamp(p.height_mm / throat, f0, 1.0);
      const int beads = beads_in_layer(p);
      const double u0 = static_cast<double>(p.bead - 1) / beads, u1 = static_cast<double>(p.bead) / beads;
      const auto at = [&](double f, double u) { return DrawPoint{root.x + f * (1 - u) * z1, root.y + f * u * z2}; };
      Outline outline = arched(at(f1, u1), at(f1, u0), top ? excess_mm2(p) : 0.0);
      outline.push_back(at(f0, u0));
      outline.push_back(at(f0, u1));
      passes.push_back({std::move(outline), p.number});
    }
  }

  void fillet() {
    const double z1 = s_.leg_mm, z2 = s_.leg2_mm > 0 ? s_.leg2_mm : s_.leg_mm;
    const double out = beyond(0.6 * std::max({t_, z1, z2}));  // the weld is what is looked at
    plate(-t_ - out, -t2_, z1 + out, 0);
    plate(-t_, s_.gap_mm, 0, std::max(z2 + out, s_.gap_mm + out));
    triangle({0, 0}, z1, z2);
  }
  void lap() {
    const double z1 = s_.leg_mm, z2 = s_.leg2_mm > 0 ? s_.leg2_mm : s_.leg_mm;
    const double out = beyond(t_);
    plate(-2 * out, -t2_, z1 + out, 0);
    plate(-3 * out, s_.gap_mm, 0, s_.gap_mm + t_);
    triangle({0, 0}, z1, z2);
  }
  void corner() {
    const double z1 = s_.leg2_mm > 0 ? s_.leg2_mm : t2_, z2 = s_.leg_mm > 0 ? s_.leg_mm : t_;
    const double out = beyond(std::max(t_, t2_));
    plate(-out - t_, 0, 0, t_);
    plate(0, -out - t2_, t2_, 0);
    triangle({0, 0}, z1, z2);
  }
  void edge() {
    const double out = 2 * beyond(std::max(t_, t2_));
    plate(-t_, -out, 0, 0);
    plate(s_.gap_mm, -out, s_.gap_mm + t2_, 0);
    bead(-t_, s_.gap_mm + t2_);
  }
  void overlay() {
    const double out = beyond(t_), width = s_.overlay_width_mm > 0 ? s_.overlay_width_mm : 4 * s_.overlay_height_mm;
    plate(-out - width / 2, -t_, out + width / 2, 0);
    bead(-width / 2, width / 2);
  }
  void bead(double from, double to) {
    for (const PassPlan& p : c_.pass_plans) {
      const int beads = beads_in_layer(p);
      const double step = (to - from) / beads;
      passes.push_back({arched({from + step * (p.bead - 1), 0}, {from + step * p.bead, 0}, p.nominal_mm2), p.number});
    }
  }

  // --- Grooves: y = 0 at the lower face ---

  [[nodiscard]] bool both_sides() const {
    return s_.preparation == PreparationType::double_v || s_.preparation == PreparationType::double_bevel;
  }
  [[nodiscard]] bool one_edge() const {
    return s_.preparation == PreparationType::single_bevel || s_.preparation == PreparationType::double_bevel ||
           s_.preparation == PreparationType::j;
  }
  // Edges of the groove at a height above the root, on one side.
  [[nodiscard]] double left_edge(double h) const { return one_edge() ? 0.0 : -0.5 * groove_width_mm(s_, h); }
  [[nodiscard]] double right_edge(double h) const { return (one_edge() ? 1.0 : 0.5) * groove_width_mm(s_, h); }
  [[nodiscard]] double y_at(double h, int side) const {
    if (!both_sides()) return side == 2 ? t_ - h : h;
    return side == 2 ? 0.5 * t_ - h : 0.5 * t_ + h;
  }

  void butt() {
    constexpr int steps = 24;
    const double depth = both_sides() ? 0.5 * t_ : t_;
    const double out = beyond(t_) + right_edge(depth);
    Outline left{{-out, 0}}, right{{out, 0}};
    const auto add = [&](double h, int side) {
      left.push_back({left_edge(h), y_at(h, side)});
      right.push_back({right_edge(h), y_at(h, side)});
    };
    if (both_sides())
      for (int i = steps; i > 0; --i) add(depth * i / steps, 2);
    for (int i = 0; i <= steps; ++i) add(depth * i / steps, 1);
    left.push_back({-out, t_});
    if (t2_ > t_) right.push_back({right.back().x + (t2_ - t_), t2_});  // chamfered down to the thinner plate
    right.push_back({out + (t2_ - t_ > 0 ? t2_ - t_ : 0), std::max(t2_, t_)});
    if (t2_ > t_) right.front().x = right.back().x;
    plates.push_back(std::move(left));
    plates.push_back(std::move(right));
    for (std::size_t i = 0; i < c_.pass_plans.size(); ++i) {
      const PassPlan& p = c_.pass_plans[i];
      if (s_.preparation == PreparationType::square)
        square_pass(p, i);
      else
        groove_pass(p);
    }
  }

  void groove_pass(const PassPlan& p) {
    constexpr int steps = 10;
    const double depth = both_sides() ? 0.5 * t_ : t_;
    const bool top = p.role == PassRole::cap || p.role == PassRole::single;
    const double h0 = std::clamp(height_below(p), 0.0, depth);
    const double h1 = top ? depth : std::clamp(p.height_mm, h0, depth);
    const int beads = beads_in_layer(p);
    const double u0 = static_cast<double>(p.bead - 1) / beads, u1 = static_cast<double>(p.bead) / beads;
    const auto at = [&](double h, double u) {
      const double l = left_edge(h), r = right_edge(h);
      return DrawPoint{l + u * (r - l), y_at(h, p.side)};
    };
    Outline outline;
    for (int i = 0; i <= steps; ++i) outline.push_back(at(h0 + (h1 - h0) * i / steps, u0));
    const double excess = top ? excess_mm2(p) : 0.0;
    const Outline face = arched(at(h1, u0), at(h1, u1), p.side == 2 ? -excess : excess);
    outline.insert(outline.end(), face.begin(), face.end());
    for (int i = steps; i >= 0; --i) outline.push_back(at(h0 + (h1 - h0) * i / steps, u1));
    passes.push_back({std::move(outline), p.number});
  }

  // The melted section as the model takes it: half an ellipse, or between face and back width where it is through.
  void square_pass(const PassPlan& p, std::size_t index) {
    constexpr int steps = 12;
    double face = std::max(p.width_mm, s_.gap_mm), back = 0, depth = s_.sides == 2 ? 0.5 * t_ : t_;
    if (index < plan_.passes.size() && plan_.passes[index][F::bead_width].present) {
      const PassResult& result = plan_.passes[index];
      // A gap lets the arc reach deeper, as the fusion limit counts it.
      const PassContext& context = plan_.contexts[index];
      const double credit =
          context.plate.fusion_takes_gap
              ? context.constants[static_cast<std::size_t>(K::gap_credit)].value * context.plate.gap_mm
              : 0;
      face = result[F::bead_width].value;
      back = result[F::back_width].value;
      depth = std::min(t_, result[F::penetration].value + credit);
      if (depth >= t_) back = std::max(back, s_.gap_mm);
    }
    if (face <= 0 || depth <= 0) return;
    const double sign = p.side == 2 ? -1.0 : 1.0, surface = p.side == 2 ? 0.0 : t_;
    Outline left, right;
    for (int i = 0; i <= steps; ++i) {
      const double d = depth * i / steps, u = static_cast<double>(i) / steps;
      const double half = back > 0 ? 0.5 * (face + (back - face) * u) : 0.5 * face * std::sqrt(1 - u * u);
      left.push_back({-half, surface - sign * d});
      right.push_back({half, surface - sign * d});
    }
    Outline outline = arched(left.front(), right.front(), sign * excess_mm2(p));
    outline.insert(outline.end(), right.begin(), right.end());
    outline.insert(outline.end(), left.rbegin(), left.rend());
    passes.push_back({std::move(outline), p.number});
  }
};

}  // namespace

Drawing draw_joint(const Plan& plan, double width, double height, Units units) {
  const JointShapes shapes(plan);
  double x0 = 1e9, x1 = -1e9, y0 = 1e9, y1 = -1e9;
  const auto reach = [&](const Outline& outline) {
    for (const DrawPoint& p : outline) {
      x0 = std::min(x0, p.x);
      x1 = std::max(x1, p.x);
      y0 = std::min(y0, p.y);
      y1 = std::max(y1, p.y);
    }
  };
  for (const Outline& o : shapes.plates) reach(o);
  for (const Shape& s : shapes.passes) reach(s.outline);
  constexpr double margin = 6, foot = 20;
  const double scale =
      std::min((width - 2 * margin) / std::max(x1 - x0, 1.0), (height - 2 * margin - foot) / std::max(y1 - y0, 1.0));
  const double left = 0.5 * (width - scale * (x1 - x0)), top = 0.5 * (height - foot - scale * (y1 - y0));
  const auto placed = [&](const Outline& outline) {
    Outline out;
    for (const DrawPoint& p : outline) out.push_back({left + scale * (p.x - x0), top + scale * (y1 - p.y)});
    return out;
  };
  Drawing drawing(width, height, "Cross-section of the joint with its passes, to scale");
  for (const Outline& plate : shapes.plates) drawing.path(Look::plate, placed(plate), true);
  for (std::size_t i = 0; i < shapes.passes.size(); ++i)
    drawing.path(i % 2 == 0 ? Look::weld : Look::weld_other, placed(shapes.passes[i].outline), true);
  std::vector<DrawPoint> numbered;
  for (const Shape& shape : shapes.passes) {
    const Outline outline = placed(shape.outline);
    const DrawPoint centre = centroid(outline);
    double low = 1e9, high = -1e9, left_end = 1e9, right_end = -1e9;
    for (const DrawPoint& p : outline) {
      low = std::min(low, p.y);
      high = std::max(high, p.y);
      left_end = std::min(left_end, p.x);
      right_end = std::max(right_end, p.x);
    }
    constexpr double height_needed = 8, digit_width = 6.4;  // px
    const double width_needed = digit_width * (shape.number < 10 ? 1 : 2) + 1;
    // A number that has no room is left out: those beside it tell which it is.
    const bool clear = std::none_of(numbered.begin(), numbered.end(), [&](const DrawPoint& other) {
      return std::abs(other.x - centre.x) < width_needed && std::abs(other.y - centre.y) < height_needed;
    });
    if (!clear || high - low < height_needed || right_end - left_end < width_needed) continue;
    numbered.push_back(centre);
    drawing.text(Look::number, {centre.x, centre.y + 3}, fmt::format("{}", shape.number), Anchor::middle);
  }
  // A scale bar: the longest round length that fits a third of the width.
  struct Bar {
    double mm;
    std::string_view name;
  };
  constexpr double inch = mm_per_in;
  static constexpr Bar metric[] = {{1, "1 mm"}, {2, "2 mm"}, {5, "5 mm"}, {10, "10 mm"}, {20, "20 mm"}, {50, "50 mm"}};
  static constexpr Bar us[] = {{inch / 16, "1/16 in"}, {inch / 8, "1/8 in"}, {inch / 4, "1/4 in"},
                               {inch / 2, "1/2 in"},   {inch, "1 in"},       {2 * inch, "2 in"}};
  Bar scale_bar = units == Units::us ? us[0] : metric[0];
  for (const Bar& b : units == Units::us ? us : metric)
    if (b.mm * scale < width / 5) scale_bar = b;  // the words stand beside it
  const double bar = scale_bar.mm;
  const double bar_y = height - 8;
  drawing.line(Look::bar, {margin, bar_y}, {margin + bar * scale, bar_y});
  drawing.text(Look::small, {margin + bar * scale + 6, bar_y + 3},
               fmt::format("{}, to scale; numbers are passes in welding order", scale_bar.name));
  return drawing;
}

}  // namespace seamwright
