// The burn-off law against measured points: the feed it predicts at the measured mean current. No point states its
// extension, and the steel points state no diameter either; what is taken instead is in the table below. Mean current
// stands for RMS current, which the records do not give.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "published/published.hpp"
#include "reference/steady_feed.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/catalog.hpp"

using namespace seamwright;

namespace {

struct Point {
  std::string set;
  std::string family;
  Mode mode{};
  double current_A = 0;
  double wire_feed_m_per_min = 0;
};

std::vector<Point> points_of(std::string_view set) {
  std::vector<Point> points;
  for (auto& row : published::read_table("burnoff_points.csv")) {
    if (row["set"] != set) continue;
    const auto mode = mode_by_key(row["mode"]);
    REQUIRE_MESSAGE(mode.has_value(), "unknown mode ", row["mode"]);
    points.push_back({row["set"], row["family"], *mode, published::number(row["current_A"]),
                      published::number(row["wire_feed_m_per_min"])});
  }
  REQUIRE(!points.empty());
  return points;
}

const WireFamily& family_of(const Point& point) {
  const WireFamily* family = find_wire_family(builtin_catalog(), point.family);
  REQUIRE(family != nullptr);
  return *family;
}

double predicted_m_per_min(const Point& point, double diameter_mm, double extension_mm) {
  const WireFamily& family = family_of(point);
  const Constant& m = is_dip(point.mode)      ? family.melt_dip_mm3_per_As
                      : is_pulsed(point.mode) ? family.melt_pulse_mm3_per_As
                                              : family.melt_spray_mm3_per_As;
  return wire_feed_m_per_min({.wire_diameter_mm = diameter_mm,
                              .extension_mm = extension_mm,
                              .melt_mm3_per_As = m.value,
                              .resistive_mm4_per_A2s = family.resistive_mm4_per_A2s.value},
                             point.current_A, point.current_A);
}

// Relative errors, predicted over measured less 1, in rising order.
std::vector<double> errors(const std::vector<Point>& points, double diameter_mm, double extension_mm) {
  std::vector<double> out;
  for (const Point& p : points)
    out.push_back(predicted_m_per_min(p, diameter_mm, extension_mm) / p.wire_feed_m_per_min - 1.0);
  std::sort(out.begin(), out.end());
  return out;
}

double share_within(const std::vector<double>& sorted_errors, double bound) {
  const auto inside =
      std::count_if(sorted_errors.begin(), sorted_errors.end(), [&](double e) { return std::abs(e) <= bound; });
  return static_cast<double>(inside) / static_cast<double>(sorted_errors.size());
}

void report(const std::string& label, const std::vector<double>& sorted_errors, double bound) {
  std::vector<double> size;
  for (const double e : sorted_errors) size.push_back(std::abs(e));
  std::sort(size.begin(), size.end());
  const std::size_t n = size.size();
  const auto rank_90 = static_cast<std::size_t>(std::ceil(0.9 * static_cast<double>(n))) - 1;
  MESSAGE(fmt::format(
      "{}: {} points, error of the feed: median {:+.1f} %, 90 % within {:.1f} %, from {:+.1f} to {:+.1f} %, "
      "{:.0f} % of them within the stated {:.0f} %",
      label, n, 100 * sorted_errors[n / 2], 100 * size[rank_90], 100 * sorted_errors.front(),
      100 * sorted_errors.back(), 100 * share_within(sorted_errors, bound), 100 * bound));
}

}  // namespace

TEST_CASE("measured burn-off: nine in ten points lie within the stated uncertainty") {
  struct Group {
    const char* label;
    const char* set;
    double diameter_mm, extension_mm;
    double current_min_A;
  };
  constexpr Group groups[] = {
      {"4043 1.2 mm, controlled dip, from 60 A, extension 15 mm taken", "layers-4043", 1.2, 15, 60},
      {"steel, robot dip to globular, 1.2 mm and extension 15 mm taken", "robot-2022", 1.2, 15, 0},
      {"steel, one steady point repeated, 1.2 mm and extension 15 mm taken", "shaft-2007", 1.2, 15, 0},
      // Spray takes 15 wire diameters where the extension is not given.
      {"stainless 1.6 mm spray, ends of a procedure's windows, extension 24 mm taken", "procedure-308L", 1.6, 24, 0},
  };
  for (const Group& group : groups) {
    std::vector<Point> points = points_of(group.set);
    std::erase_if(points, [&](const Point& p) { return p.current_A < group.current_min_A; });
    const double bound = family_of(points.front()).feed_uncertainty.half_width_90;
    const std::vector<double> e = errors(points, group.diameter_mm, group.extension_mm);
    report(group.label, e, bound);
    CHECK_MESSAGE(share_within(e, bound) >= 0.9, group.label);
  }
}

// Below 60 A the feed of the 4043 record falls much faster than in proportion to the current (0.86 mm/s an ampere
// there, 1.13 at 70 A): the power source follows a current programme of its own, and no law linear in current follows
// both. The catalog's line must, at every current of the record, and must be the one the record itself gives.
TEST_CASE("measured burn-off: the line of 4043 in controlled dip follows its record at every current") {
  const std::vector<Point> points = points_of("layers-4043");
  const WireSize* size = find_wire_size(builtin_catalog(), "aluminium-4xxx", 1.2);
  REQUIRE(size != nullptr);
  const FeedLine line{size->dip_line_m_per_min_A.value, size->dip_line_zero_A.value, size->dip_line_to_A.value,
                      size->dip_line_end_A.value};
  std::vector<double> with_line, law_when_cold;
  for (const Point& p : points) {
    const WireFamily& family = family_of(p);
    const BurnoffInput in{1.2, 12, family.melt_dip_mm3_per_As.value, family.resistive_mm4_per_A2s.value, line};
    with_line.push_back(steady_feed_m_per_min(in, p.current_A) / p.wire_feed_m_per_min - 1.0);
    if (p.current_A < 60) law_when_cold.push_back(predicted_m_per_min(p, 1.2, 12) / p.wire_feed_m_per_min - 1.0);
  }
  std::sort(with_line.begin(), with_line.end());
  std::sort(law_when_cold.begin(), law_when_cold.end());
  report("4043 1.2 mm, controlled dip, all currents, by the line", with_line, 0.15);
  report("4043 1.2 mm, controlled dip, below 60 A, by the law alone", law_when_cold, 0.15);
  CHECK(share_within(with_line, 0.04) >= 0.9);
  CHECK(law_when_cold.front() > 0.15);  // why there is a line

  // Least squares through each half: slope and intercept of the catalog within the scatter of the two.
  for (const std::size_t half : {0U, 1U}) {
    double n = 0, x = 0, y = 0, xx = 0, xy = 0;
    for (std::size_t i = half; i < points.size(); i += 2) {
      const double I = points[i].current_A, W = points[i].wire_feed_m_per_min;
      n += 1, x += I, y += W, xx += I * I, xy += I * W;
    }
    const double slope = (n * xy - x * y) / (n * xx - x * x), zero = (x - y / slope) / n;
    CHECK(line.slope_m_per_min_A == doctest::Approx(slope).epsilon(0.03));
    CHECK(line.zero_A == doctest::Approx(zero).epsilon(0.03));
  }
}

// The diameter of this set is not known, and 1.0 and 1.2 mm cannot be told apart: the points must lie between the two
// laws, give or take the uncertainty of the law.
TEST_CASE("measured burn-off: steel of unknown diameter lies between the laws for 1.0 and 1.2 mm") {
  const std::vector<Point> points = points_of("robot-2023");
  const double bound = family_of(points.front()).feed_uncertainty.half_width_90;
  report("steel, robot, diameter unknown, 1.0 mm taken", errors(points, 1.0, 15), bound);
  report("steel, robot, diameter unknown, 1.2 mm taken", errors(points, 1.2, 15), bound);
  for (const Point& p : points) {
    CAPTURE(p.current_A);
    CHECK(p.wire_feed_m_per_min >= (1 - bound) * predicted_m_per_min(p, 1.2, 15));
    CHECK(p.wire_feed_m_per_min <= (1 + bound) * predicted_m_per_min(p, 1.0, 15));
  }
}

// Settings with the wire feed held while the current was changed are no equilibrium: reported only.
TEST_CASE("measured burn-off: settings that are no equilibrium") {
  report("aluminium, settings, 1.2 mm taken", errors(points_of("settings-2021"), 1.2, 15), 0.15);
}
