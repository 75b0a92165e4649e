// The point: the setting that a shop would choose among those that hold.
//
// Looked for in the logarithms of wire feed (u) and deposit cross-section (a), travel following from the two. It is
// aimed at the deposit the joint needs with the hand's allowance, and at the feed 70 % of the way up the range in which
// travel is easy and the current at most its easy share of the mode's top. From that aim it gives way, as little as it
// must, before limits that may give out:
//
//   cost = ((u - u_aim) / s_u)^2 + ((a - a_aim) / s_a)^2 + sum over the constraints of
//          max(0, 1 - surety)^2 + max(0, 3 - room / s_w)^2
//
// with the scales of the data; below a surety of 0 its term goes on as a straight line, and `room` is the distance to
// the last end. The cost is smooth and, as the limits are near to straight lines in u and a, has one hollow: so the
// point moves smoothly with every number of the joint. It is found by damped Gauss-Newton steps (Levenberg 1944,
// Marquardt 1963) from the aim; where that ends outside the window the whole plane is scanned for a setting that holds.
#pragma once

#include <array>

#include "seamwright/window.hpp"

namespace seamwright {

// What may be chosen: feed and deposit, or one of them, or nothing.
struct Freedom {
  double deposit_mm2 = 0;      // > 0: kept
  double travel_mm_per_s = 0;  // > 0: kept
  double feed_m_per_min = 0;   // > 0: kept
};

struct PointResult {
  Setting setting;
  double deposit_mm2 = 0;
  double score = 0;   // the smallest; below 0: nothing holds, and this is the setting that misses by least
  double surety = 0;  // the smallest
  bool holds = false;
};
[[nodiscard]] PointResult find_point(const PassContext& context, const ConstantValues& constants,
                                     const Freedom& freedom);

// The setting aimed at, before any limit has its say.
[[nodiscard]] Setting aimed_setting(const PassContext& context, const ConstantValues& constants);

// The cost that the point has least of, at a setting, nothing being fixed.
[[nodiscard]] double point_cost(const PassContext& context, const ConstantValues& constants, const Setting& setting);

// Wire feeds worth searching: what the wire can do, a little beyond each end so that the limits themselves end the
// band.
[[nodiscard]] Interval feed_range(const PassContext& context);

}  // namespace seamwright
