// Joint section to fill, and its division into passes.
#pragma once

#include <vector>

#include "seamwright/joint.hpp"

namespace seamwright {

// Geometry of a joint, everything resolved. Angles are included angles, degrees.
struct SectionInput {
  JointType type = JointType::fillet;
  PreparationType preparation = PreparationType::square;
  double thickness_mm = 0;
  double gap_mm = 0;
  double root_face_mm = 0;
  double angle_deg = 0;
  double leg_mm = 0, leg2_mm = 0;   // fillet, lap, corner
  double arc_radius_mm = 0;         // u, j
  double overlay_height_mm = 0;
};

// Section to fill without reinforcement, mm2: both sides together for double-sided preparations.
//   square g t; single V g t + (t-c)^2 tan(th/2); single bevel g t + (t-c)^2 tan(th)/2; double V and double bevel the
//   same a side with the depth split evenly; U and J from the root arc and the side angle; fillet z1 z2 / 2.
[[nodiscard]] double section_area_mm2(const SectionInput& in);
// Width of the open groove, mm, at height `height_mm` above the root (gap at 0; joint surface at t).
[[nodiscard]] double groove_width_mm(const SectionInput& in, double height_mm);
// Section of the groove between the root and `height_mm`, mm2 (one side of a double-sided preparation).
[[nodiscard]] double groove_area_mm2(const SectionInput& in, double height_mm);
// Plate thickness met by heat flow averaged over `half_width_mm` either side of the groove's centre, mm.
[[nodiscard]] double mean_section_thickness_mm(const SectionInput& in, double half_width_mm);

enum class PassRole : unsigned char { single, root, fill, cap };
[[nodiscard]] std::string_view pass_role_key(PassRole role);

struct PassPlan {
  PassRole role = PassRole::single;
  int number = 1;      // in welding order
  int layer = 1;
  int bead = 1;        // within the layer
  int side = 1;        // 2: from the second side
  double needed_mm2 = 0;    // what the joint needs of this pass
  double nominal_mm2 = 0;   // with the allowance
  double width_mm = 0;      // width the bead must cover: the cold-lap limit
  double height_mm = 0;     // height of the top of this layer above the root
};

struct PassRules {
  double root_thickness_max_mm = 0, fillet_leg_max_mm = 0, layer_thickness_max_mm = 0, layer_split_width_mm = 0;
  double deposit_max_mm2 = 0;    // high end of the position's usual deposit section
  double root_layer_mm = 0, fill_layer_mm = 0;  // nominal layer heights
  double reinforcement_share = 0, convexity_share = 0;
  double square_excess_mm2 = 0;  // nominal excess of a square butt
};

// Passes in welding order; never empty. Their needed sections add up to section_area_mm2 (within rounding).
[[nodiscard]] std::vector<PassPlan> plan_passes(const SectionInput& in, const PassRules& rules);

}  // namespace seamwright
