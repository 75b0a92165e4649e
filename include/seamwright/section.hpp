// Joint section to fill, and its division into passes. Nothing here refuses: the geometry comes resolved and checked,
// lengths 0 or more, a thickness above 0, angles below 180 degrees.
//
// Error: areas are those of the textbook to rounding, and the integral of the groove's width to 0.1 % (the sum's own
// step), 11,808 grooves of six kinds; the mean thickness the same integral to 0.05 % of the plate. The passes add up to
// the section to 1e-15 (3,000 random V grooves). That a shop would lay the same passes is not claimed: their rules are
// practice.
//
// References:
//   ISO 9692-1 and -3, preparations for process 13 in steel [iso-9692-1] and aluminium [iso-9692-3]; areas by geometry
//     (derived here)
//   AWS D1.1:2020 table 5.1, greatest passes [aws-d1.1-table-5.1], [aws-d1.1-overhead]
//   Layers [assumed-layers]; reinforcement and convexity [practice-allowance]; beads laid alike [assumed-fills-alike],
//     [practice-fills-of-a-layer-alike]; the run over a duplex root [assumed-over-root-metal]
//
// Example:
//
//     const SectionInput groove{.type = JointType::butt,
//                               .preparation = PreparationType::single_v,
//                               .thickness_mm = 10,
//                               .gap_mm = 2,
//                               .root_face_mm = 1,
//                               .angle_deg = 60};
//     std::printf("%.1f mm2\n", section_area_mm2(groove));    // 66.8 mm2
//     std::printf("%.2f mm\n", groove_width_mm(groove, 10));  // 12.39 mm
//     std::printf("%.2f mm\n", fillet_throat_mm(6, 6));       // 4.24 mm
//     const PassRules rules{.root_thickness_max_mm = 10,
//                           .fillet_leg_max_mm = 8,
//                           .layer_thickness_max_mm = 6,
//                           .layer_split_width_mm = 16,
//                           .deposit_max_mm2 = 45,
//                           .root_layer_mm = 3,
//                           .fill_layer_mm = 3.5};
//     std::printf("%zu passes\n", plan_passes(groove, rules).size());  // 3 passes
#pragma once

#include <string_view>
#include <vector>

#include "seamwright/joint_type.hpp"

namespace seamwright {

// Geometry of a joint, everything resolved. Angles are included angles, degrees.
struct SectionInput {
  JointType type = JointType::fillet;
  PreparationType preparation = PreparationType::square;
  double thickness_mm = 0;
  double gap_mm = 0;
  double root_face_mm = 0;
  double angle_deg = 0;
  double leg_mm = 0, leg2_mm = 0;  // fillet, lap; corner: 0 is the plate edge itself. A leg2 of 0 equals leg
  double arc_radius_mm = 0;        // u, j: radius at the root
  double overlay_height_mm = 0;    // overlay, and the bead on an edge joint: required there
  double overlay_width_mm = 0;     // overlay: from bead to bead; 0: four heights (assumed)
  int sides = 1;                   // square: 2 is welded from both sides. Other preparations say it themselves
};

// Section to fill without reinforcement, mm2: both sides together for double-sided preparations.
//   square g t; single V g t + (t-c)^2 tan(th/2); single bevel g t + (t-c)^2 tan(th)/2; double V and double bevel the
//   same a side with the depth split evenly; U and J from the root arc and the side angle (half the included angle for
//   U, the whole for J); fillet and lap z1 z2 / 2; outside corner, edge to edge: the 90 deg V between the two plate
//   edges, t t / 2; edge t h; overlay one bead, width h.
[[nodiscard]] double section_area_mm2(const SectionInput& in);
// Throat of a flat fillet with these legs, and the legs, both alike, of one with this throat, mm.
[[nodiscard]] double fillet_throat_mm(double leg_mm, double leg2_mm);
[[nodiscard]] double fillet_leg_mm(double throat_mm);
// Largest leg that the edge of the thinner plate carries before it melts away, mm [practice]: sheet carries legs larger
// than itself.
[[nodiscard]] double largest_leg_mm(double thinner_mm);
// Width of the open groove, mm, at height `height_mm` above the root (gap at 0; joint surface at t). For fillets the
// height runs along the throat; for double-sided preparations it starts in the middle of the plate.
[[nodiscard]] double groove_width_mm(const SectionInput& in, double height_mm);
// Section of the groove between the root and `height_mm`, mm2 (one side of a double-sided preparation).
[[nodiscard]] double groove_area_mm2(const SectionInput& in, double height_mm);
// Plate thickness met by heat flow averaged over `half_width_mm` either side of the middle of the gap, mm, in 0..t:
// what the open groove has taken out of the plate there is missing. t for joints without a groove.
[[nodiscard]] double mean_section_thickness_mm(const SectionInput& in, double half_width_mm);

enum class PassRole : unsigned char { single, root, fill, cap };
[[nodiscard]] std::string_view pass_role_key(PassRole role);

struct PassPlan {
  PassRole role = PassRole::single;
  int number = 1;  // in welding order
  int layer = 1;
  int bead = 1;            // within the layer
  int side = 1;            // 2: from the second side
  double needed_mm2 = 0;   // what the joint needs of this pass
  double nominal_mm2 = 0;  // with the allowance
  double width_mm = 0;     // width the bead must cover: the cold-lap limit. The layer's width over its beads
  double height_mm = 0;    // height of the top of this layer above the root
};

// Whether two passes differ in their places alone: what holds for one holds for the other.
[[nodiscard]] bool alike(const PassPlan& a, const PassPlan& b);

// All > 0; infinity for no limit.
struct PassRules {
  double root_thickness_max_mm = 0, fillet_leg_max_mm = 0, layer_thickness_max_mm = 0, layer_split_width_mm = 0;
  double deposit_max_mm2 = 0;                   // high end of the position's usual deposit cross-section
  double root_layer_mm = 0, fill_layer_mm = 0;  // nominal layer heights
  double reinforcement_share = 0, convexity_share = 0;
  double square_excess_mm2 = 0;  // nominal excess of a square butt, a side
  double over_root_share = 0;    // most of the run over the root, as a share of the root's section; 0: no such rule
  double spared_root_gain = 1;   // section of a root with such a run over it, over the usual one's
  double stringer_min_mm = 0;    // narrowest bead that a layer is cut into to spare the root under it; 0: never cut
  double alike_ratio = 1;        // layers of fills whose beads differ by no more are laid alike,
  int alike_beads = 1000;        // and layers of at least so many beads, but for one that spares the root
  double layer_min_mm = 2.0;     // assumed: a leftover thinner than this is no layer of its own
};

// Passes in welding order; never empty. Their needed sections add up to section_area_mm2 (within rounding), and their
// nominal ones to it with the allowance: convexity on a fillet in equal parts, reinforcement on the cap of a butt.
//
// Fillet, lap, corner: one pass where the leg and the deposit allow it, else equal beads in layers of 1, 2, 3 and on;
//   a last layer that would have fewer beads than the one under it gives them to the layers below, outermost first.
// Square: one pass a side. Edge: one layer. Overlay: one bead.
// Other grooves, each side by itself, first side first: the root layer reaches root_layer_mm, or as high as it takes to
//   hold a section of root_layer_mm^2 (in a tight groove), within root_thickness_max_mm and deposit_max_mm2. What is
//   left is cut into equal layers of about fill_layer_mm. A leftover under layer_min_mm becomes a cap of layer_min_mm
//   taken off the root, or, in a groove thinner than two such layers or no larger than one root bead, a single pass.
//   Layers too wide or too large for one bead are cut into equal beads. With over_root_share a larger root is
//   laid, and over it a second layer of that share of it before the equal ones, where these are at least one; in a
//   groove too low for that the layer over the root is cut into beads of that share, none narrower than
//   stringer_min_mm.
// Layers of fills whose beads differ by no more than alike_ratio, and layers of alike_beads and more, are laid alike:
//   with the mean of their metal and the widest of their widths.
[[nodiscard]] std::vector<PassPlan> plan_passes(const SectionInput& in, const PassRules& rules);
void plan_passes(const SectionInput& in, const PassRules& rules, std::vector<PassPlan>& plans);  // in that memory

}  // namespace seamwright
