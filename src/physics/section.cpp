#include "seamwright/section.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "physics/last_inside.hpp"

namespace seamwright {
namespace {

constexpr double rounding = 1e-9;              // relative: a layer that just fits is not cut for a last-bit difference
constexpr double overlay_pitch_heights = 4.0;  // assumed: a flat bead, half overlapped
constexpr double square_cover_mm = 1.0;  // assumed: a square butt's bead must cover the gap and half of this a side

enum class Shape { fillet, rectangle, groove };

Shape shape_of(const SectionInput& in) {
  switch (in.type) {
    case JointType::fillet:
    case JointType::lap:
    case JointType::corner:
      return Shape::fillet;
    case JointType::edge:
    case JointType::overlay:
      return Shape::rectangle;
    case JointType::butt:
    case JointType::pipe_butt:
      break;
  }
  return Shape::groove;
}

bool is_double(const SectionInput& in) {
  return in.preparation == PreparationType::double_v || in.preparation == PreparationType::double_bevel ||
         (in.preparation == PreparationType::square && in.sides == 2);
}

// Right-angled corner to fill: legs, throat and face.
struct Wedge {
  double z1, z2;
  [[nodiscard]] double area() const { return z1 * z2 / 2.0; }
  [[nodiscard]] double face() const { return std::hypot(z1, z2); }
  [[nodiscard]] double throat() const { return fillet_throat_mm(z1, z2); }
};

Wedge wedge_of(const SectionInput& in) {
  const double z1 = in.leg_mm > 0.0 ? in.leg_mm : in.thickness_mm;
  return {z1, in.leg2_mm > 0.0 ? in.leg2_mm : z1};
}

// One wall of a groove: how far it lies outside the gap at a height, and the section between it and the gap.
//   up to c            the root face
//   then               an arc of radius r (U and J; none for V) up to where it meets the side at its angle
//   then               the side at angle beta from the plate's normal
class Wall {
 public:
  Wall(double root_face_mm, double radius_mm, double side_angle_rad)
      : c_(root_face_mm),
        r_(radius_mm),
        tan_(std::tan(side_angle_rad)),
        arc_x_(radius_mm * std::cos(side_angle_rad)),
        arc_y_(radius_mm * (1.0 - std::sin(side_angle_rad))) {}

  [[nodiscard]] double offset(double height) const {
    const double y = height - c_;
    if (y <= 0.0) return 0.0;
    if (y < arc_y_) return std::sqrt(y * (2.0 * r_ - y));
    return arc_x_ + (y - arc_y_) * tan_;
  }
  [[nodiscard]] double area(double height) const {
    const double y = height - c_;
    if (y <= 0.0) return 0.0;
    if (y < arc_y_) return arc_area(y);
    const double s = y - arc_y_;
    return arc_area(arc_y_) + s * (arc_x_ + s * tan_ / 2.0);
  }
  // Height where the wall lies `offset` outside the gap; infinite when it never does.
  [[nodiscard]] double height(double offset) const {
    if (offset <= 0.0) return 0.0;
    if (offset < arc_x_) return c_ + r_ - std::sqrt((r_ - offset) * (r_ + offset));
    return c_ + arc_y_ + (offset - arc_x_) / tan_;
  }

 private:
  [[nodiscard]] double arc_area(double y) const {
    if (r_ <= 0.0) return 0.0;
    const double angle = std::acos(1.0 - y / r_);
    return r_ * r_ / 2.0 * (angle - std::sin(angle) * std::cos(angle));
  }
  double c_, r_, tan_, arc_x_, arc_y_;
};

// One side of a groove: depth, gap and up to two equal walls.
struct Groove {
  double depth, gap, root_face;
  int walls;
  Wall wall;
  [[nodiscard]] double width(double height) const { return gap + walls * wall.offset(height); }
  [[nodiscard]] double area(double height) const { return gap * height + walls * wall.area(height); }
};

Groove groove_of(const SectionInput& in) {
  const double split = is_double(in) ? 0.5 : 1.0;
  const double depth = split * in.thickness_mm;
  const double face = std::min(split * in.root_face_mm, depth);
  const double angle = in.angle_deg * std::numbers::pi / 180.0;
  const auto made = [&](int walls, double radius, double side_angle) {
    return Groove{depth, in.gap_mm, face, walls, Wall(face, radius, side_angle)};
  };
  switch (in.preparation) {
    case PreparationType::single_v:
    case PreparationType::double_v:
      return made(2, 0.0, angle / 2.0);
    case PreparationType::single_bevel:
    case PreparationType::double_bevel:
      return made(1, 0.0, angle);
    case PreparationType::u:
      return made(2, in.arc_radius_mm, angle / 2.0);
    case PreparationType::j:
      return made(1, in.arc_radius_mm, angle);
    case PreparationType::square:
      break;
  }
  return made(0, 0.0, 0.0);
}

double rectangle_width_mm(const SectionInput& in) {
  if (in.type == JointType::edge) return in.thickness_mm;
  return in.overlay_width_mm > 0.0 ? in.overlay_width_mm : overlay_pitch_heights * in.overlay_height_mm;
}

int parts(double whole, double largest) {
  return std::max(1, static_cast<int>(std::ceil(whole / largest * (1.0 - rounding))));
}

// A layer to be laid in equal beads.
struct Layer {
  PassRole role;
  int layer, beads;
  double needed_mm2, nominal_mm2, width_mm, top_mm;
};

void append(std::vector<PassPlan>& plans, const Layer& layer, int side) {
  for (int bead = 1; bead <= layer.beads; ++bead)
    plans.push_back({.role = layer.role,
                     .number = static_cast<int>(plans.size()) + 1,
                     .layer = layer.layer,
                     .bead = bead,
                     .side = side,
                     .needed_mm2 = layer.needed_mm2 / layer.beads,
                     .nominal_mm2 = layer.nominal_mm2 / layer.beads,
                     .width_mm = layer.width_mm / layer.beads,
                     .height_mm = layer.top_mm});
}

PassRole role_in_stack(int layer, int count) {
  if (layer == 0) return PassRole::root;
  return layer + 1 == count ? PassRole::cap : PassRole::fill;
}

// The layers of a multi-pass fillet: 1, 2, 3, ... beads. What is left over is a layer of its own where it is at least
// as many as the layer under it; else the outermost layers take one each.
class FilletLayers {
 public:
  explicit FilletLayers(int beads) {
    int left = beads;
    while (left > growing_) left -= ++growing_;
    left_ = left;
  }
  [[nodiscard]] int count() const { return growing_ + (own_layer() ? 1 : 0); }
  // Beads of a layer, counted from 0.
  [[nodiscard]] int beads(int layer) const {
    if (layer == growing_) return left_;
    return layer + 1 + (!own_layer() && layer >= growing_ - left_ ? 1 : 0);
  }

 private:
  int growing_ = 0;  // layers of 1, 2, 3, ... beads
  int left_ = 0;     // fewer than the next of those would take

  [[nodiscard]] bool own_layer() const { return left_ >= growing_; }
};

// Of leg, throat and face, the share that a fillet of `laid` out of `beads` equal beads has reached.
double fillet_share(int laid, int beads) { return std::sqrt(static_cast<double>(laid) / beads); }

bool fillet_layers_fit(const FilletLayers& layers, int beads, double throat, double layer_thickness_max_mm) {
  int laid = layers.beads(0);
  for (int i = 1; i < layers.count(); ++i) {
    const double below = fillet_share(laid, beads);
    laid += layers.beads(i);
    if (throat * (fillet_share(laid, beads) - below) > layer_thickness_max_mm * (1.0 + rounding)) return false;
  }
  return true;
}

// Fills that are laid alike, with the mean of their metal: layers that differ by no more than a hand does, and layers
// of several beads, whose beads differ because a whole number of them fills a layer.
void even_out_fills(const PassRules& rules, std::vector<PassPlan>& plans) {
  const auto near = [&](double a, double b) { return std::max(a, b) <= rules.alike_ratio * std::min(a, b); };
  const auto several = [&](std::size_t i) {
    const PassPlan& plan = plans[i];
    const bool spares_the_root = rules.over_root_share > 0 && plan.side == 1 && plan.layer == 2;
    const std::size_t last = i + static_cast<std::size_t>(rules.alike_beads - plan.bead);
    return !spares_the_root &&
           (plan.bead >= rules.alike_beads ||
            (last < plans.size() && plans[last].layer == plan.layer && plans[last].side == plan.side));
  };
  for (std::size_t first = 0, end = 0; first < plans.size(); first = end) {
    const PassPlan like = plans[first];
    const bool like_several = several(first);
    double needed = 0, nominal = 0, width = 0;
    for (end = first; end < plans.size() && plans[end].role == like.role && plans[end].side == like.side &&
                      ((like_several && several(end)) ||
                       (near(plans[end].nominal_mm2, like.nominal_mm2) && near(plans[end].width_mm, like.width_mm)));
         ++end) {
      needed += plans[end].needed_mm2;
      nominal += plans[end].nominal_mm2;
      width = std::max(width, plans[end].width_mm);
    }
    if (like.role != PassRole::fill || alike(like, plans[end - 1])) continue;
    const auto count = static_cast<double>(end - first);
    for (std::size_t i = first; i < end; ++i) {
      plans[i].needed_mm2 = needed / count;
      plans[i].nominal_mm2 = nominal / count;
      plans[i].width_mm = width;
    }
  }
}

void plan_fillet(std::vector<PassPlan>& plans, const Wedge& wedge, const PassRules& rules) {
  const double nominal = wedge.area() * (1.0 + rules.convexity_share);
  const double leg_ratio = std::max(wedge.z1, wedge.z2) / rules.fillet_leg_max_mm;
  // The first of n equal beads is a fillet of leg z / sqrt(n).
  int beads = std::max(parts(nominal, rules.deposit_max_mm2), parts(leg_ratio * leg_ratio, 1.0));
  if (beads == 1) {
    append(plans,
           {.role = PassRole::single,
            .layer = 1,
            .beads = 1,
            .needed_mm2 = wedge.area(),
            .nominal_mm2 = nominal,
            .width_mm = wedge.face(),
            .top_mm = wedge.throat()},
           1);
    return;
  }
  FilletLayers layers(beads);
  while (!fillet_layers_fit(layers, beads, wedge.throat(), rules.layer_thickness_max_mm))
    layers = FilletLayers(++beads);

  int laid = 0;
  for (int i = 0; i < layers.count(); ++i) {
    laid += layers.beads(i);
    const double share = static_cast<double>(layers.beads(i)) / beads;
    const double reached = fillet_share(laid, beads);
    append(plans,
           {.role = role_in_stack(i, layers.count()),
            .layer = i + 1,
            .beads = layers.beads(i),
            .needed_mm2 = share * wedge.area(),
            .nominal_mm2 = share * nominal,
            .width_mm = reached * wedge.face(),
            .top_mm = reached * wedge.throat()},
           1);
  }
  even_out_fills(rules, plans);
}

// Largest height in [low, high] whose section is at most `area`; the section grows with height.
double height_of_area(const Groove& groove, double area, double low, double high) {
  if (groove.area(high) <= area) return high;
  constexpr int halvings = 60;
  return last_inside(low, high, halvings, [&](double height) { return groove.area(height) <= area; });
}

// The layers of one side of a groove: the root, and equal ones up to the top.
struct GrooveLayers {
  double root_mm = 0, depth_mm = 0;
  int above_root = 0;
  double second_mm = 0;  // top of a second layer that is no equal of those above; 0: it is
  [[nodiscard]] int count() const { return above_root + 1; }
  // Height of the top of a layer, counted from 0.
  [[nodiscard]] double top_mm(int layer) const {
    if (layer == above_root) return depth_mm;
    if (second_mm > 0 && layer >= 1) return second_mm + (depth_mm - second_mm) * (layer - 1) / (above_root - 1);
    return root_mm + (depth_mm - root_mm) * layer / above_root;
  }
};

int layers_in(double height_mm, const PassRules& rules) {
  int layers = std::max(parts(height_mm, rules.layer_thickness_max_mm),
                        static_cast<int>(std::lround(height_mm / rules.fill_layer_mm)));
  while (layers > 1 && height_mm / layers < rules.layer_min_mm &&
         height_mm / (layers - 1) <= rules.layer_thickness_max_mm)
    --layers;
  return layers;
}

// The run over the root as a share of a larger root: a smaller second layer, where there is room for a layer above it.
void spare_the_root(const Groove& groove, const PassRules& rules, GrooveLayers& layers) {
  const double t = layers.depth_mm;
  const double root = std::min(height_of_area(groove, rules.spared_root_gain * groove.area(layers.root_mm), 0.0, t),
                               rules.root_thickness_max_mm);
  const double second = height_of_area(groove, groove.area(root) * (1.0 + rules.over_root_share), root, t);
  if (t - second < rules.layer_min_mm) {
    // Too low a groove for that: a larger root all the same, where a layer stays over it, and stringers side by side.
    if (t - root >= rules.layer_min_mm) layers.root_mm = root;
    return;
  }
  layers.root_mm = root;
  layers.second_mm = second;
  layers.above_root = 1 + layers_in(t - second, rules);
}

GrooveLayers groove_layers(const Groove& groove, const PassRules& rules) {
  const double t = groove.depth;
  const double least = rules.layer_min_mm;
  const double whole = groove.area(t);
  const double root_bead = rules.root_layer_mm * rules.root_layer_mm;

  double root = std::max(std::min(rules.root_layer_mm, t), height_of_area(groove, root_bead, 0.0, t));
  root = std::min(root, rules.root_thickness_max_mm);
  if (groove.area(root) > rules.deposit_max_mm2)
    root = std::max(height_of_area(groove, rules.deposit_max_mm2, 0.0, root), std::min(least, root));

  double left = t - root;
  if (left < least) {
    const bool one_bead = t <= rules.root_thickness_max_mm && groove.width(t) <= rules.layer_split_width_mm &&
                          whole * (1.0 + rules.reinforcement_share) <= rules.deposit_max_mm2;
    if (one_bead && (t < 2.0 * least || whole <= root_bead)) return {.root_mm = t, .depth_mm = t};
    root = std::max(t - least, t / 2.0);
    left = t - root;
  }
  GrooveLayers layers{.root_mm = root, .depth_mm = t, .above_root = layers_in(left, rules)};
  if (rules.over_root_share > 0) spare_the_root(groove, rules, layers);
  return layers;
}

void plan_side(std::vector<PassPlan>& plans, const Groove& groove, const PassRules& rules, int side, bool both_sides) {
  const GrooveLayers layers = groove_layers(groove, rules);
  const double reinforcement = rules.reinforcement_share * groove.area(groove.depth);
  double below = 0.0;
  for (int i = 0; i < layers.count(); ++i) {
    const double height = layers.top_mm(i);
    const double needed = groove.area(height) - groove.area(below);
    const bool top = i + 1 == layers.count();
    const double nominal = top ? needed + reinforcement : needed;
    const double width = groove.width(height);
    PassRole role = role_in_stack(i, layers.count());
    if (layers.count() == 1 && !both_sides) role = PassRole::single;
    if (side == 2) role = top ? PassRole::cap : PassRole::fill;  // on the root welded from the first side
    int beads = std::max(parts(width, rules.layer_split_width_mm), parts(nominal, rules.deposit_max_mm2));
    // Where the groove is too low for a smaller second layer, stringers side by side spare the root.
    if (i == 1 && rules.over_root_share > 0 && rules.stringer_min_mm > 0 && layers.second_mm <= 0)
      beads = std::max(beads, std::min(parts(nominal, rules.over_root_share * groove.area(layers.root_mm)),
                                       static_cast<int>(width / rules.stringer_min_mm)));
    append(plans,
           {.role = role,
            .layer = i + 1,
            .beads = beads,
            .needed_mm2 = needed,
            .nominal_mm2 = nominal,
            .width_mm = width,
            .top_mm = height},
           side);
    below = height;
  }
}

// Edge and overlay: one layer.
void plan_rectangle(std::vector<PassPlan>& plans, const SectionInput& in, const PassRules& rules) {
  const double area = section_area_mm2(in);
  append(plans,
         {.role = PassRole::single,
          .layer = 1,
          .beads = in.type == JointType::edge ? parts(area, rules.deposit_max_mm2) : 1,
          .needed_mm2 = area,
          .nominal_mm2 = area,
          .width_mm = rectangle_width_mm(in),
          .top_mm = in.overlay_height_mm},
         1);
}

void plan_groove(std::vector<PassPlan>& plans, const SectionInput& in, const PassRules& rules) {
  const Groove groove = groove_of(in);
  const int sides = is_double(in) ? 2 : 1;
  for (int side = 1; side <= sides; ++side) {
    if (in.preparation != PreparationType::square) {
      plan_side(plans, groove, rules, side, sides == 2);
      continue;
    }
    const double needed = groove.area(groove.depth);
    append(plans,
           {.role = PassRole::single,
            .layer = 1,
            .beads = 1,
            .needed_mm2 = needed,
            .nominal_mm2 = needed * (1.0 + rules.reinforcement_share) + rules.square_excess_mm2,
            .width_mm = in.gap_mm + square_cover_mm,
            .top_mm = groove.depth},
           side);
  }
  even_out_fills(rules, plans);
}

}  // namespace

double fillet_throat_mm(double leg_mm, double leg2_mm) { return leg_mm * leg2_mm / std::hypot(leg_mm, leg2_mm); }

double fillet_leg_mm(double throat_mm) { return std::numbers::sqrt2 * throat_mm; }

double largest_leg_mm(double thinner_mm) {
  constexpr double always_mm = 3;
  return std::max(always_mm, 2 * thinner_mm);
}

double section_area_mm2(const SectionInput& in) {
  switch (shape_of(in)) {
    case Shape::fillet:
      return wedge_of(in).area();
    case Shape::rectangle:
      return rectangle_width_mm(in) * in.overlay_height_mm;
    case Shape::groove:
      break;
  }
  const Groove groove = groove_of(in);
  return (is_double(in) ? 2.0 : 1.0) * groove.area(groove.depth);
}

double groove_width_mm(const SectionInput& in, double height_mm) {
  switch (shape_of(in)) {
    case Shape::fillet: {
      const Wedge wedge = wedge_of(in);
      return wedge.face() * height_mm / wedge.throat();
    }
    case Shape::rectangle:
      return rectangle_width_mm(in);
    case Shape::groove:
      break;
  }
  return groove_of(in).width(height_mm);
}

double groove_area_mm2(const SectionInput& in, double height_mm) {
  switch (shape_of(in)) {
    case Shape::fillet:
      return groove_width_mm(in, height_mm) * height_mm / 2.0;
    case Shape::rectangle:
      return rectangle_width_mm(in) * height_mm;
    case Shape::groove:
      break;
  }
  return groove_of(in).area(height_mm);
}

double mean_section_thickness_mm(const SectionInput& in, double half_width_mm) {
  if (shape_of(in) != Shape::groove || half_width_mm <= 0.0) return in.thickness_mm;
  const Groove groove = groove_of(in);
  const double half_gap = std::min(groove.gap / 2.0, half_width_mm);
  const double reach = half_width_mm - half_gap;  // of the walls, beside the gap
  // Above the height where a wall leaves the reach the whole of the reach is open.
  const double inside = std::min(groove.wall.height(reach), groove.depth);
  const double beside_gap = groove.wall.area(inside) + reach * (groove.depth - inside);
  const double open = 2.0 * half_gap * groove.depth + groove.walls * beside_gap;
  const double sides = is_double(in) ? 2.0 : 1.0;
  return std::max(0.0, in.thickness_mm - sides * open / (2.0 * half_width_mm));
}

std::string_view pass_role_key(PassRole role) {
  switch (role) {
    case PassRole::single:
      return "single";
    case PassRole::root:
      return "root";
    case PassRole::fill:
      return "fill";
    case PassRole::cap:
      break;
  }
  return "cap";
}

bool alike(const PassPlan& a, const PassPlan& b) {
  return a.role == b.role && a.side == b.side && a.needed_mm2 == b.needed_mm2 && a.nominal_mm2 == b.nominal_mm2 &&
         a.width_mm == b.width_mm;
}

void plan_passes(const SectionInput& in, const PassRules& rules, std::vector<PassPlan>& plans) {
  plans.clear();
  switch (shape_of(in)) {
    case Shape::fillet:
      return plan_fillet(plans, wedge_of(in), rules);
    case Shape::rectangle:
      return plan_rectangle(plans, in, rules);
    case Shape::groove:
      return plan_groove(plans, in, rules);
  }
}

std::vector<PassPlan> plan_passes(const SectionInput& in, const PassRules& rules) {
  std::vector<PassPlan> plans;
  plan_passes(in, rules, plans);
  return plans;
}

}  // namespace seamwright
