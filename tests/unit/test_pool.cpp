#include <doctest/doctest.h>
#include <fmt/format.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_sf_bessel.h>

#include <algorithm>
#include <array>
#include <boost/math/quadrature/exp_sinh.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>

#include "physics/pool_field.hpp"
#include "reference/conduction.hpp"
#include "seamwright/pool.hpp"

using namespace seamwright;

namespace {

constexpr double pi = std::numbers::pi;

// Uniform numbers that are the same on every platform, unlike those of std::uniform_real_distribution.
class Random {
 public:
  explicit Random(unsigned seed) : engine_(seed) {}
  double between(double low, double high) {
    return low + (high - low) * (static_cast<double>(engine_()) / 4294967296.0);
  }
  double log_between(double low, double high) { return low * std::pow(high / low, between(0, 1)); }

 private:
  std::mt19937 engine_;
};

// Any weld the calculator may meet: steel, stainless or aluminium, foil to thick plate.
PoolInput random_weld(Random& random) {
  PoolInput in;
  in.conductivity_W_per_mmK = random.log_between(0.02, 0.22);
  in.heat_capacity_J_per_mm3K = random.between(0.0028, 0.0052);
  in.source_radius_mm = random.between(1, 4.5);
  in.thickness_mm = random.log_between(0.6, 60);
  in.travel_mm_per_s = random.log_between(1, 120);
  in.net_power_W = random.log_between(300, 12000);
  in.rise_to_melting_K = random.between(500, 1500);
  return in;
}

double diffusivity(const PoolInput& in) { return in.conductivity_W_per_mmK / in.heat_capacity_J_per_mm3K; }
double unit_mm(const PoolInput& in) { return 2 * diffusivity(in) / in.travel_mm_per_s; }
double operating_number(const PoolInput& in) {
  return in.net_power_W / (2 * pi * in.conductivity_W_per_mmK * unit_mm(in) * in.rise_to_melting_K);
}

bool in_table(const PoolInput& in) {
  const double n = operating_number(in), S = in.source_radius_mm / unit_mm(in);
  const double ratio = in.thickness_mm / in.source_radius_mm;
  return n >= 0.05 && n <= 200 && S >= 0.005 && S <= 44 && ratio >= 0.12 && ratio <= 60;
}

const PoolInput steel{.net_power_W = 4000,
                      .travel_mm_per_s = 5,
                      .source_radius_mm = 2,
                      .thickness_mm = 10,
                      .conductivity_W_per_mmK = 0.04,
                      .heat_capacity_J_per_mm3K = 0.0045,
                      .rise_to_melting_K = 1480};

// The integrand as Eagar and Tsai give it, with tau = u^2 and the images summed one by one.
struct EagarTsai {
  PoolInput in;
  double x, y, z;

  double operator()(double u) const {
    const double a = diffusivity(in), s = in.source_radius_mm, d = in.thickness_mm, v = in.travel_mm_per_s;
    const double tau = u * u, spread = 4 * a * tau + 2 * s * s;
    const double along = std::exp(-((x + v * tau) * (x + v * tau) + y * y) / spread) / (0.5 * spread);
    if (along < 1e-250) return 0;
    const double four_a_tau = std::max(4 * a * tau, 1e-200);
    const int images = static_cast<int>(3 + 7 * std::sqrt(four_a_tau) / (2 * d));
    double sum = 0;
    for (int k = -images; k <= images; ++k) sum += std::exp(-(z - 2 * k * d) * (z - 2 * k * d) / four_a_tau);
    const double factor = in.net_power_W / (pi * in.heat_capacity_J_per_mm3K * std::sqrt(4 * pi * a));
    return 2 * factor * along * sum;
  }
};

double by_gsl(const EagarTsai& field) {
  static gsl_integration_workspace* const workspace = gsl_integration_workspace_alloc(2000);
  gsl_function function{[](double u, void* f) { return (*static_cast<const EagarTsai*>(f))(u); },
                        const_cast<EagarTsai*>(&field)};
  gsl_set_error_handler_off();
  double result = 0, error = 0;
  gsl_integration_qagiu(&function, 0, 0, 1e-9, 2000, workspace, &result, &error);
  return result;
}

// An integrand that is small over most of the half line is found by its own scale.
double by_boost(const EagarTsai& field) {
  static boost::math::quadrature::exp_sinh<double> rule(12);
  const double scale = std::sqrt(std::max(-field.x, field.in.source_radius_mm) / field.in.travel_mm_per_s);
  return scale * rule.integrate([&](double w) { return field(scale * w); }, 1e-10);
}

// The largest difference of a size between table and integral, as a share of what is allowed: 1 % or 0.02 mm.
struct Worst {
  const char* name;
  double Pool::*size;
  double share = 0;
  PoolInput in{};

  void take(const PoolInput& input, const Pool& table, const Pool& integral) {
    const double here = std::abs(table.*size - integral.*size) / std::max(0.02, 0.01 * std::abs(integral.*size));
    if (here <= share) return;
    share = here;
    in = input;
  }
};

// How the tables hold up against the integral; see Worst.
class Comparison {
 public:
  void take(const PoolInput& in) {
    const Pool table = pool_by_table(in), integral = pool_by_integral(in);
    differ_ +=
        (table.width_mm > 0) != (integral.width_mm > 0) || (table.back_width_mm > 0) != (integral.back_width_mm > 0);
    for (Worst& size : worst_) size.take(in, table, integral);
    melted += integral.width_mm > 0;
    through += integral.back_width_mm > 0;
  }
  void check() const {
    CHECK(differ_ == 0);
    for (const Worst& size : worst_) {
      const PoolInput& in = size.in;
      INFO(fmt::format("{} at S {:.4g}, D/S {:.4g}, n {:.4g}, travel {:.4g} mm/s", size.name,
                       in.source_radius_mm / unit_mm(in), in.thickness_mm / in.source_radius_mm, operating_number(in),
                       in.travel_mm_per_s));
      CHECK(size.share <= 1.0);
    }
  }
  int melted = 0, through = 0;

 private:
  std::array<Worst, 5> worst_{{{"width", &Pool::width_mm},
                               {"depth", &Pool::depth_mm},
                               {"back width", &Pool::back_width_mm},
                               {"nose", &Pool::nose_mm},
                               {"tail", &Pool::tail_mm}}};
  int differ_ = 0;
};

bool same(const Pool& a, const Pool& b) {
  return a.width_mm == b.width_mm && a.depth_mm == b.depth_mm && a.back_width_mm == b.back_width_mm &&
         a.nose_mm == b.nose_mm && a.tail_mm == b.tail_mm;
}

}  // namespace

TEST_CASE("pool: the field agrees with two other quadratures") {
  Random random(11);
  for (int i = 0; i < 300; ++i) {
    const PoolInput in = random_weld(random);
    const EagarTsai field{in, random.between(-25, 5), random.between(0, 10),
                          i % 3 == 0 ? 0.0 : random.between(0, 1) * std::min(in.thickness_mm, 20.0)};
    const double rise = temperature_rise_K(in, field.x, field.y, field.z);
    CAPTURE(i);
    CHECK(rise == doctest::Approx(by_gsl(field)).epsilon(1e-6));
    CHECK(rise == doctest::Approx(by_boost(field)).epsilon(1e-6));
  }
}

TEST_CASE("pool: derivatives of the field are those of its values") {
  Random random(12);
  for (int i = 0; i < 200; ++i) {
    const double S = random.log_between(0.01, 10), D = S * random.log_between(0.2, 30);
    const ScaledPlate plate{S, D};
    const double Y = S * random.between(0, 4), Z = D * random.between(0.05, 0.95), X = -S * random.between(-2, 8);
    const FieldSample at = sample_field(plate, X, Y, Z);
    const double step = 1e-4 * S, step_Z = 1e-4 * std::min({S, Z, D - Z});
    const auto slope = [](const FieldSample& plus, const FieldSample& minus, double h) {
      return (plus.ln_G - minus.ln_G) / (2 * h);
    };
    const FieldSample ahead = sample_field(plate, X + step, Y, Z), behind = sample_field(plate, X - step, Y, Z);
    const double scale = 1e-4 / S;  // of the finite differences' own error
    CHECK(std::abs(slope(ahead, behind, step) - at.slope_X) < scale * (1 + S * std::abs(at.slope_X)));
    CHECK(std::abs((ahead.slope_X - behind.slope_X) / (2 * step) - at.curvature_X) <
          scale / S * (1 + S * S * std::abs(at.curvature_X)));
    CHECK(std::abs(slope(sample_field(plate, X, Y + step, Z), sample_field(plate, X, Y - step, Z), step) - at.slope_Y) <
          scale * (1 + S * std::abs(at.slope_Y)));
    CHECK(std::abs(slope(sample_field(plate, X, Y, Z + step_Z), sample_field(plate, X, Y, Z - step_Z), step_Z) -
                   at.slope_Z) < 1e-3 * (1 / std::min(S, D) + std::abs(at.slope_Z)));
  }
}

TEST_CASE("pool: thick-plate limit is Rosenthal's point source") {
  PoolInput in = steel;
  in.thickness_mm = 1e4;
  in.source_radius_mm = 1e-4;
  Random random(13);
  for (int i = 0; i < 100; ++i) {
    const double x = random.between(-30, 4), y = random.between(0.5, 12), z = random.between(0, 12);
    const double R = std::hypot(x, y, z);
    const double rosenthal = in.net_power_W / (2 * pi * in.conductivity_W_per_mmK * R) *
                             std::exp(-in.travel_mm_per_s * (x + R) / (2 * diffusivity(in)));
    CHECK(point_source_rise_K(in, x, y, z) == doctest::Approx(rosenthal).epsilon(1e-8));
    CHECK(temperature_rise_K(in, x, y, z) == doctest::Approx(rosenthal).epsilon(1e-6));
  }
}

TEST_CASE("pool: thin-plate limit is the line source") {
  PoolInput in = steel;
  in.thickness_mm = 0.02;
  in.source_radius_mm = 1e-3;
  Random random(14);
  for (int i = 0; i < 100; ++i) {
    const double x = random.between(-60, 4), y = random.between(1, 12), r = std::hypot(x, y);
    const double half = in.travel_mm_per_s / (2 * diffusivity(in));
    const double line = in.net_power_W / (2 * pi * in.conductivity_W_per_mmK * in.thickness_mm) *
                        std::exp(-half * (x + r)) * gsl_sf_bessel_K0_scaled(half * r);
    CHECK(line_source_rise_K(in, x, y) == doctest::Approx(line).epsilon(1e-9));
    CHECK(point_source_rise_K(in, x, y, 0) == doctest::Approx(line).epsilon(1e-6));
    CHECK(temperature_rise_K(in, x, y, 0.01) == doctest::Approx(line).epsilon(1e-4));
  }
  // Far away, where K0 itself underflows; close enough behind to be seen, the two tails meet.
  const double half = steel.travel_mm_per_s / (2 * diffusivity(in));
  for (const double r : {499.0, 501.0, 800.0, 3000.0}) {
    CAPTURE(r);
    const double line =
        in.net_power_W / (2 * pi * in.conductivity_W_per_mmK * in.thickness_mm) * gsl_sf_bessel_K0_scaled(r);
    CHECK(line_source_rise_K(in, -r / half, 0) == doctest::Approx(line).epsilon(2e-9));
  }
  CHECK(line_source_rise_K(in, -20000, 1) > 0);
  CHECK(line_source_rise_K(in, 20000, 1) == 0);
}

TEST_CASE("pool: no temperature along a line of travel is above the peak") {
  Random random(15);
  for (int i = 0; i < 300; ++i) {
    const double S = random.log_between(0.02, 45), D = S * random.log_between(0.12, 209);
    const ScaledPlate plate{S, D};
    const double Y = S * random.between(0, 5), Z = i % 2 == 0 ? 0.0 : D * random.between(0, 1);
    const double peak = peak_along_X(plate, Y, Z).at.ln_G;
    double highest = -1e300;
    for (int k = 0; k <= 120; ++k) {
      const double farthest = 4 * (S + S * S + Y * Y + Z * Z);
      highest = std::max(highest, sample_field(plate, -farthest * std::pow(1e-4, k / 120.0), Y, Z).ln_G);
    }
    CAPTURE(i);
    CHECK(peak >= highest - 1e-9);
    CHECK(peak <= highest + 0.05);
  }
}

TEST_CASE("pool: the sizes lie on the melting isotherm") {
  Random random(16);
  int melted = 0, through = 0;
  for (int i = 0; i < 300; ++i) {
    const PoolInput in = random_weld(random);
    const Pool pool = pool_by_integral(in);
    const double melting = in.rise_to_melting_K;
    const auto on_isotherm = [&](double rise) { CHECK(rise == doctest::Approx(melting).epsilon(1e-6)); };
    CAPTURE(i);
    if (pool.width_mm == 0) {
      CHECK(peak_rise_K(in, 0, 0) <= melting * (1 + 1e-9));
      CHECK(same(pool, Pool{}));
      continue;
    }
    ++melted;
    on_isotherm(peak_rise_K(in, 0.5 * pool.width_mm, 0));
    on_isotherm(temperature_rise_K(in, pool.nose_mm, 0, 0));
    on_isotherm(temperature_rise_K(in, -pool.tail_mm, 0, 0));
    CHECK(pool.nose_mm + pool.tail_mm > 0);
    CHECK(widest_point_distance_mm(in) >= 0.5 * pool.width_mm);
    if (pool.back_width_mm > 0) {
      ++through;
      on_isotherm(peak_rise_K(in, 0.5 * pool.back_width_mm, in.thickness_mm));
      CHECK(pool.depth_mm == in.thickness_mm);
      CHECK(pool.back_width_mm <= pool.width_mm * (1 + 1e-6));
    } else {
      on_isotherm(peak_rise_K(in, 0, pool.depth_mm));
      CHECK(pool.depth_mm < in.thickness_mm);
    }
  }
  CHECK(melted > 150);
  CHECK(through > 50);
}

TEST_CASE("pool: the tables are within 1 % of the integral on 100,000 random welds") {
  Random random(17);
  Comparison comparison;
  for (int i = 0; i < 100000;) {
    const PoolInput in = random_weld(random);
    if (!in_table(in)) continue;
    ++i;
    comparison.take(in);
  }
  comparison.check();
  CHECK(comparison.melted > 60000);
  CHECK(comparison.through > 30000);
}

// Random welds crowd in the middle of the box the tables hold; here every corner of it gets its share.
TEST_CASE("pool: the tables are within 1 % of the integral in every cell of their box") {
  constexpr int S_cells = 36, ratio_cells = 31, n_cells = 32;
  Random random(18);
  Comparison comparison;
  const auto cell = [&](double low, double high, int index, int count) {
    return low * std::pow(high / low, (index + random.between(0, 1)) / count);
  };
  for (int i = 0; i < S_cells; ++i)
    for (int j = 0; j < ratio_cells; ++j)
      for (int k = 0; k < n_cells; ++k) {
        PoolInput in = steel;
        in.source_radius_mm = random.between(1, 4.5);
        const double S = cell(0.005, 44.7, i, S_cells), n = cell(0.05, 200, k, n_cells);
        in.thickness_mm = in.source_radius_mm * cell(0.12, 209, j, ratio_cells);
        in.travel_mm_per_s = 2 * diffusivity(in) * S / in.source_radius_mm;
        in.net_power_W = n * 2 * pi * in.conductivity_W_per_mmK * unit_mm(in) * in.rise_to_melting_K;
        comparison.take(in);
      }
  comparison.check();
  CHECK(comparison.melted > 15000);
  CHECK(comparison.through > 8000);
}

TEST_CASE("pool: plates thicker than the tables hold are within 1 % of the integral too") {
  Random random(19);
  Comparison comparison;
  for (int i = 0; i < 10000; ++i) {
    PoolInput in = random_weld(random);
    in.thickness_mm = in.source_radius_mm * random.log_between(209, 800);
    if (i % 2 == 0) in.source_radius_mm = random.log_between(0.02, 1);  // n at the edge where the back begins to matter
    comparison.take(in);
  }
  comparison.check();
  CHECK(comparison.melted > 4000);
}

TEST_CASE("pool: outside the tables the integral answers") {
  PoolInput in = steel;
  SUBCASE("thin foil") { in.thickness_mm = 0.1; }
  SUBCASE("very thick plate under a small source, whose pool reaches far") {
    in.thickness_mm = 50;
    in.source_radius_mm = 0.02;
  }
  SUBCASE("slow travel in copper") {
    in.travel_mm_per_s = 0.1;
    in.conductivity_W_per_mmK = 0.35;
    in.net_power_W = 20000;
  }
  SUBCASE("very fast travel") {
    in.travel_mm_per_s = 200;
    in.net_power_W = 20000;
  }
  SUBCASE("far more power than any weld has") { in.net_power_W = 1e12; }
  const Pool pool = pool_by_table(in);
  CHECK(pool.width_mm > 0);
  CHECK(same(pool, pool_by_integral(in)));
}

TEST_CASE("pool: a travel that nothing moves at is taken to where the tables begin or end") {
  Random random(11);
  for (int i = 0; i < 20000; ++i) {
    PoolInput in = random_weld(random);
    CAPTURE(in.travel_mm_per_s);
    // Where they hold the travel is left alone, to the last bit.
    if (in_table(in)) CHECK(tabulated_travel_mm_per_s(in) == in.travel_mm_per_s);
    in.travel_mm_per_s = i % 2 == 0 ? random.log_between(1e-6, 1e-3) : random.log_between(500, 1e6);
    const double there = tabulated_travel_mm_per_s(in);
    CHECK((there > in.travel_mm_per_s) == (i % 2 == 0));
    in.travel_mm_per_s = there;
    const double S = in.source_radius_mm / unit_mm(in);
    CHECK((S >= 0.00498 && S <= 44.71));
    CHECK(operating_number(in) <= 200);
  }
}

TEST_CASE("pool: at the edge of melting both agree") {
  PoolInput in = steel;
  in.net_power_W = 1;
  const double face_W = in.rise_to_melting_K / peak_rise_K(in, 0, 0);
  const double back_W = in.rise_to_melting_K / peak_rise_K(in, 0, in.thickness_mm);
  for (const double edge_W : {face_W, back_W}) {
    for (const double factor : {1 - 1e-3, 1 - 1e-5, 1 - 1e-7, 1 + 1e-7, 1 + 1e-5, 1 + 1e-3}) {
      in.net_power_W = edge_W * factor;
      const Pool table = pool_by_table(in), integral = pool_by_integral(in);
      CHECK((table.width_mm > 0) == (integral.width_mm > 0));
      CHECK((table.back_width_mm > 0) == (integral.back_width_mm > 0));
      CHECK(std::abs(table.width_mm - integral.width_mm) < 0.02);
      CHECK(std::abs(table.back_width_mm - integral.back_width_mm) < 0.02);
      CHECK(std::abs(table.depth_mm - integral.depth_mm) < 0.02);
    }
  }
}

TEST_CASE("pool: only the wanted sizes") {
  for (const double thickness_mm : {3.0, 30.0}) {
    PoolInput in = steel;
    in.thickness_mm = thickness_mm;
    for (const auto solve : {pool_by_table, pool_by_integral}) {
      const Pool all = solve(in, pool_all);
      CHECK(solve(in, pool_width).width_mm == all.width_mm);
      CHECK(solve(in, pool_depth).depth_mm == all.depth_mm);
      CHECK(solve(in, pool_back_width).back_width_mm == all.back_width_mm);
      CHECK(solve(in, pool_length).nose_mm == all.nose_mm);
      CHECK(solve(in, pool_length).tail_mm == all.tail_mm);
      CHECK(solve(in, pool_width).tail_mm == 0);
    }
  }
}

TEST_CASE("pool: input that is no weld gives no pool and no bad number") {
  const double bad[] = {0.0, -1.0, std::nan(""), std::numeric_limits<double>::infinity()};
  double PoolInput::*const members[] = {
      &PoolInput::net_power_W,      &PoolInput::travel_mm_per_s,        &PoolInput::source_radius_mm,
      &PoolInput::thickness_mm,     &PoolInput::conductivity_W_per_mmK, &PoolInput::heat_capacity_J_per_mm3K,
      &PoolInput::rise_to_melting_K};
  for (const auto member : members) {
    for (const double value : bad) {
      PoolInput in = steel;
      in.*member = value;
      CHECK(same(pool_by_table(in), Pool{}));
      CHECK(same(pool_by_integral(in), Pool{}));
      CHECK(widest_point_distance_mm(in) == 0);
      CHECK(std::isfinite(temperature_rise_K(in, -1, 1, 0)));
      CHECK(std::isfinite(cooling_time_s(in, 780, 480)));
    }
  }
  CHECK(cooling_time_s(steel, 480, 780) == 0);
  CHECK(cooling_time_s(steel, 480, 0) == 0);
}

TEST_CASE("pool: a pool grows with power and shrinks with heat to melting") {
  PoolInput in = steel;
  Pool before;
  for (in.net_power_W = 500; in.net_power_W < 12000; in.net_power_W *= 1.05) {
    const Pool pool = pool_by_table(in);
    CHECK(pool.width_mm >= before.width_mm);
    CHECK(pool.depth_mm >= before.depth_mm);
    CHECK(pool.back_width_mm >= before.back_width_mm);
    CHECK(pool.tail_mm >= before.tail_mm);
    before = pool;
  }
  in.rise_to_melting_K *= 1.1;
  CHECK(pool_by_table(in).width_mm < before.width_mm);
}

TEST_CASE("pool: fitted half width of the thick plate") {
  // On the isotherm n exp(-(R + X)) = R; its widest point by a fine scan over R.
  for (double n = 0.01; n <= 1000; n *= 1.3) {
    double widest = 0;
    for (double R = n * 1e-3; R <= n; R *= 1.0005) {
      const double X = std::log(n / R) - R;
      if (std::abs(X) < R) widest = std::max(widest, std::sqrt(R * R - X * X));
    }
    CHECK(isotherm_half_width_fit(n) == doctest::Approx(widest).epsilon(0.0076));
  }
}
