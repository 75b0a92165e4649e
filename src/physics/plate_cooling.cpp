#include "seamwright/plate_cooling.hpp"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>
#include <numbers>

namespace seamwright {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double longest_wait_s = 1e7;
// Widths of the plate squared, in a t, after which the first wave of the series is below the last digit.
constexpr double filled_from = 4;

}  // namespace

namespace {

// The rise at the weld, K, for one J/mm, of a plate that loses nothing.
double lossless_rise_K(const PlateCooling& in, double t) {
  const double pi = std::numbers::pi;
  const double rho_c = in.heat_capacity_J_per_mm3K, a = in.conductivity_W_per_mmK / rho_c, B = in.width_mm;
  const double at = a * t, half_section = 0.5 * in.ways_mm;
  // 1 + 2 sum of exp(-n^2 first), of as many terms as leave a trace in the sum.
  const auto series = [](double first) {
    constexpr int terms = 5;
    constexpr double traceless = 38;
    double sum = 1;
    for (int n = 1; n <= terms && n * n * first < traceless; ++n) sum += 2 * std::exp(-n * n * first);
    return sum;
  };
  // Images converge fast while the heat is near the weld, the Fourier series once it has filled the plate.
  if (at < 0.5 * B * B) return series(B * B / at) / (rho_c * half_section * std::sqrt(4 * pi * at));
  return series(pi / B * (pi / B) * at) / (rho_c * half_section * 2 * B);
}

// The heat of a pass.
struct Heat {
  double begun_s = 0, left_J_per_mm = 0;
};

// Neighbours that lie further back than so many times their distance count as one between them: the rise goes as the
// root of the time, and 3/32 of the square of that share is lost, 0.04 % of theirs.
constexpr double far_back = 16;
void join_old(std::vector<Heat>& heats, double now) {
  std::size_t kept = 0;
  for (std::size_t i = 1; i < heats.size(); ++i) {
    Heat& before = heats[kept];
    const Heat& next = heats[i];
    if (now - next.begun_s > far_back * (next.begun_s - before.begun_s)) {
      const double both = before.left_J_per_mm + next.left_J_per_mm;
      if (both > 0) before.begun_s += (next.begun_s - before.begun_s) * next.left_J_per_mm / both;
      before.left_J_per_mm = both;
    } else {
      heats[++kept] = next;
    }
  }
  if (!heats.empty()) heats.resize(kept + 1);
}

double loss_rate_per_s(const PlateCooling& in) {
  return 2 * in.loss_W_per_mm2K / (in.heat_capacity_J_per_mm3K * in.mean_thickness_mm);
}

}  // namespace

double plate_rise_K(const PlateCooling& in, double q, double t) {
  if (!(t > 0)) return infinity;
  return q * lossless_rise_K(in, t) * std::exp(-loss_rate_per_s(in) * t);
}

Checked<std::vector<PassTemperature>> temperatures_between_passes(const PlateCooling& in,
                                                                  std::span<const PassHeat> passes, double limit_C) {
  if (!(limit_C > in.start_C))
    return Refusal{RefusalReason::no_solution, "interpass temperature, degC", limit_C, {in.start_C, infinity}};
  // When each pass began, and what the losses have left of its heat by `left_at_s`. Of old passes several are one.
  std::vector<Heat> heats;
  double left_at_s = 0;
  // Passes whose heat has filled the plate cool at one rate: together they are one rise.
  double filled_rise_K = 0;
  const double rate_per_s = loss_rate_per_s(in);
  const double filled_after_s =
      filled_from * in.width_mm * in.width_mm * in.heat_capacity_J_per_mm3K / in.conductivity_W_per_mmK;
  const auto temperature = [&](double now) {
    double rise_K = filled_rise_K;
    for (const Heat& heat : heats) rise_K += heat.left_J_per_mm * lossless_rise_K(in, now - heat.begun_s);
    return in.start_C + rise_K * std::exp(-rate_per_s * (now - left_at_s));
  };
  std::vector<PassTemperature> out;
  double now = 0, start_C = in.start_C, last_wait_s = 0;
  for (const PassHeat& pass : passes) {
    const double lost = std::exp(-rate_per_s * (now - left_at_s));
    left_at_s = now;
    filled_rise_K *= lost;
    for (Heat& heat : heats) heat.left_J_per_mm *= lost;
    const auto unfilled =
        std::ranges::find_if(heats, [&](const Heat& heat) { return now - heat.begun_s <= filled_after_s; });
    for (auto heat = heats.begin(); heat != unfilled; ++heat)
      filled_rise_K += heat->left_J_per_mm * lossless_rise_K(in, now - heat->begun_s);
    heats.erase(heats.begin(), unfilled);
    join_old(heats, now);
    heats.push_back({now, pass.net_J_per_mm});
    const double arc_off = now + pass.arc_time_s;
    PassTemperature step{start_C, temperature(arc_off), 0};
    if (step.reached_C > limit_C) {
      const auto excess = [&](double wait) { return temperature(arc_off + wait) - limit_C; };
      // Waits grow from pass to pass by little: the one before brackets the next.
      constexpr double a_little = 0.1, first_s = 60;
      double shortest = 0, longest = last_wait_s > 0 ? (1 + a_little) * last_wait_s : first_s;
      double at_shortest = step.reached_C - limit_C, at_longest = excess(longest);
      while (at_longest > 0 && longest < longest_wait_s) at_longest = excess(longest *= 2);
      if (at_longest > 0)
        return Refusal{RefusalReason::no_solution, "interpass temperature, degC", limit_C, {in.start_C, infinity}};
      if (last_wait_s > 0) {
        const double near = (1 - a_little) * last_wait_s, at_near = excess(near);
        (at_near > 0 ? shortest : longest) = near;
        (at_near > 0 ? at_shortest : at_longest) = at_near;
      }
      constexpr int wait_bits = 20;  // a millionth
      std::uintmax_t steps = 100;
      step.wait_s = boost::math::tools::toms748_solve(excess, shortest, longest, at_shortest, at_longest,
                                                      boost::math::tools::eps_tolerance<double>(wait_bits), steps)
                        .second;
      last_wait_s = step.wait_s;
    }
    now = arc_off + step.wait_s;
    start_C = temperature(now);
    out.push_back(step);
  }
  return out;
}

}  // namespace seamwright
