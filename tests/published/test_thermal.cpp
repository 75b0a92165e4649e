// The conduction field and the pool against known numbers: see published.hpp for the files.
#include <doctest/doctest.h>

#include "published/published.hpp"
#include "reference/conduction.hpp"
#include "seamwright/pool.hpp"

using namespace seamwright;
using published::check_published;
using published::Row;

namespace {

constexpr double thick_mm = 1000;

PoolInput plate(const Row& r) {
  PoolInput in;
  in.net_power_W = r["q"];
  in.travel_mm_per_s = r["v"];
  in.conductivity_W_per_mmK = r["k"];
  in.heat_capacity_J_per_mm3K = r["rho_c"];
  in.thickness_mm = r.get("d", thick_mm);
  in.source_radius_mm = r.get("s", 0.005);  // as good as a point
  return in;
}

PoolInput melting(const Row& r) {
  PoolInput in = plate(r);
  in.rise_to_melting_K = r["dT"];
  return in;
}

double point_rise(const Row& r) { return point_source_rise_K(plate(r), r["x"], r["y"], r["z"]); }

}  // namespace

TEST_CASE("published: temperature field and pool") {
  check_published("thermal.csv",
                  {{"thick_rise", point_rise},
                   {"medium_rise", point_rise},
                   {"thin_rise", [](const Row& r) { return line_source_rise_K(plate(r), r["x"], r["y"]); }},
                   {"gaussian_rise", [](const Row& r) { return temperature_rise_K(plate(r), r["x"], r["y"], r["z"]); }},
                   {"half_width", [](const Row& r) { return 0.5 * pool_by_integral(melting(r)).width_mm; }},
                   {"depth", [](const Row& r) { return pool_by_integral(melting(r)).depth_mm; }},
                   {"nose", [](const Row& r) { return pool_by_integral(melting(r)).nose_mm; }},
                   {"tail", [](const Row& r) { return pool_by_integral(melting(r)).tail_mm; }},
                   {"widest_distance", [](const Row& r) { return widest_point_distance_mm(melting(r)); }},
                   {"half_width_fit",
                    [](const Row& r) {
                      const double a = r["k"] / r["rho_c"], v = r["v"];
                      const double n = r["q"] * v / (4.0 * 3.14159265358979 * a * a * r["rho_c"] * r["dT"]);
                      return isotherm_half_width_fit(n) * 2.0 * a / v;
                    }},
                   {"t85", [](const Row& r) { return cooling_time_s(plate(r), 800.0 - r["T0"], 500.0 - r["T0"]); }},
                   {"cooling_rate", [](const Row& r) {
                      const double rise = r["T"] - r["T0"];
                      return 1.0 / cooling_time_s(plate(r), rise + 0.5, rise - 0.5);
                    }}});
}
