#include "seamwright/plate_cooling.hpp"

#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>

namespace seamwright {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double longest_wait_s = 1e7;
// Widths of the plate squared, in a t, after which the first wave of the series is below the last digit.
constexpr double filled_from = 4;

}  // namespace

double plate_rise_K(const PlateCooling& in, double q, double t) {
  if (!(t > 0)) return infinity;
  const double pi = std::numbers::pi;
  const double rho_c = in.heat_capacity_J_per_mm3K, a = in.conductivity_W_per_mmK / rho_c, B = in.width_mm;
  const double at = a * t, half_section = 0.5 * in.ways_mm;
  constexpr int terms = 5;
  double rise = 0;
  // Images converge fast while the heat is near the weld, the Fourier series once it has filled the plate.
  if (at < 0.5 * B * B) {
    double sum = 1;
    for (int n = 1; n <= terms; ++n) sum += 2 * std::exp(-(n * B) * (n * B) / at);
    rise = q / (rho_c * half_section * std::sqrt(4 * pi * at)) * sum;
  } else {
    double sum = 1;
    for (int n = 1; n <= terms; ++n) sum += 2 * std::exp(-(n * pi / B) * (n * pi / B) * at);
    rise = q / (rho_c * half_section * 2 * B) * sum;
  }
  return rise * std::exp(-2 * in.loss_W_per_mm2K * t / (rho_c * in.mean_thickness_mm));
}

Checked<std::vector<PassTemperature>> temperatures_between_passes(const PlateCooling& in,
                                                                  std::span<const PassHeat> passes, double limit_C) {
  if (!(limit_C > in.start_C))
    return Refusal{RefusalReason::no_solution, "interpass temperature, degC", limit_C, {in.start_C, infinity}};
  std::vector<double> begun;  // when each pass began
  // Passes whose heat has filled the plate cool at one rate: together they are one temperature at one time.
  struct {
    std::size_t passes = 0;
    double rise_K = 0, at_s = 0;
  } filled;
  const double rate_per_s = 2 * in.loss_W_per_mm2K / (in.heat_capacity_J_per_mm3K * in.mean_thickness_mm);
  const double filled_after_s =
      filled_from * in.width_mm * in.width_mm * in.heat_capacity_J_per_mm3K / in.conductivity_W_per_mmK;
  const auto temperature = [&](double now) {
    double T = in.start_C + filled.rise_K * std::exp(-rate_per_s * (now - filled.at_s));
    for (std::size_t i = filled.passes; i < begun.size(); ++i)
      T += plate_rise_K(in, passes[i].net_J_per_mm, now - begun[i]);
    return T;
  };
  std::vector<PassTemperature> out;
  double now = 0, start_C = in.start_C;
  for (const PassHeat& pass : passes) {
    begun.push_back(now);
    filled.rise_K *= std::exp(-rate_per_s * (now - filled.at_s));
    filled.at_s = now;
    for (; now - begun[filled.passes] > filled_after_s; ++filled.passes)
      filled.rise_K += plate_rise_K(in, passes[filled.passes].net_J_per_mm, now - begun[filled.passes]);
    const double arc_off = now + pass.arc_time_s;
    PassTemperature step{start_C, temperature(arc_off), 0};
    if (step.reached_C > limit_C) {
      const auto excess = [&](double wait) { return temperature(arc_off + wait) - limit_C; };
      double longest = 60;
      while (excess(longest) > 0 && longest < longest_wait_s) longest *= 2;
      if (excess(longest) > 0)
        return Refusal{RefusalReason::no_solution, "interpass temperature, degC", limit_C, {in.start_C, infinity}};
      std::uintmax_t steps = 100;
      step.wait_s =
          boost::math::tools::toms748_solve(excess, 0.0, longest, boost::math::tools::eps_tolerance<double>(30), steps)
              .second;
    }
    now = arc_off + step.wait_s;
    start_C = temperature(now);
    out.push_back(step);
  }
  return out;
}

}  // namespace seamwright
