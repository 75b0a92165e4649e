#include "seamwright/cooling.hpp"

#include <algorithm>
#include <array>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>
#include <numeric>

namespace seamwright {
namespace {

constexpr double upper_C = 800, lower_C = 500;

struct Form {  // coefficients of t = thick Q = thin Q^2 at one preheat and thickness, F = 1
  double thick_s_mm_per_kJ;
  double thin_s_mm2_per_kJ2;
};

double thick_coefficient(double T0) { return (6700 - 5 * T0) * (1 / (lower_C - T0) - 1 / (upper_C - T0)); }
double thin_coefficient(double T0) {
  const double low = 1 / (lower_C - T0), high = 1 / (upper_C - T0);
  return (4300 - 4.3 * T0) * 1e5 * (low * low - high * high);
}
Form form_at(double T0, double d) { return {thick_coefficient(T0), thin_coefficient(T0) / (d * d)}; }

constexpr Interval positive{std::numeric_limits<double>::min(), std::numeric_limits<double>::max()};

MaybeRefusal check(const CoolingInput& in, const CoolingLimits& limits) {
  return first_refusal(refuse_outside("preheat, degC", in.preheat_C, limits.preheat_C),
                       refuse_outside("thickness, mm", in.thickness_mm, positive));
}
MaybeRefusal check_heat(const CoolingInput& in) {
  return refuse_outside("heat input, kJ/mm", in.heat_input_kJ_per_mm, positive);
}

double larger_form_s(const CoolingInput& in, double T0, double f2) {
  return std::max(cooling_time_8_5_thick_s(in.heat_input_kJ_per_mm, T0, in.factors.f3),
                  cooling_time_8_5_thin_s(in.heat_input_kJ_per_mm, T0, in.thickness_mm, f2));
}

}  // namespace

std::string_view cooling_joint_key(CoolingJoint joint) {
  constexpr std::array<std::string_view, 4> keys{"plate", "butt", "corner", "tee"};
  return keys[static_cast<std::size_t>(joint)];
}

double cooling_time_8_5_thick_s(double Q, double T0, double F3) { return thick_coefficient(T0) * Q * F3; }

double cooling_time_8_5_thin_s(double Q, double T0, double d, double F2) {
  return thin_coefficient(T0) * Q * Q / (d * d) * F2;
}

double transition_thickness_mm(double Q, double T0) {
  return std::sqrt(thin_coefficient(T0) / thick_coefficient(T0) * Q);
}

Checked<CoolingTime> cooling_time_8_5(const CoolingInput& in, const CoolingLimits& limits) {
  if (const auto refusal = first_refusal(check(in, limits), check_heat(in))) return *refusal;
  const double Q = in.heat_input_kJ_per_mm, T0 = in.preheat_C, d = in.thickness_mm;
  const double middle_f2 = std::midpoint(in.factors.f2.low, in.factors.f2.high);
  CoolingTime out;
  out.low_s = larger_form_s(in, T0, in.factors.f2.low);
  out.value_s = larger_form_s(in, T0, middle_f2);
  out.high_s = larger_form_s(in, T0, in.factors.f2.high);
  out.flow = cooling_time_8_5_thin_s(Q, T0, d, middle_f2) > cooling_time_8_5_thick_s(Q, T0, in.factors.f3)
                 ? HeatFlow::two_dimensional
                 : HeatFlow::three_dimensional;
  out.transition_thickness_mm = transition_thickness_mm(Q, T0);
  return out;
}

Checked<Interval> heat_input_for_cooling_time(const CoolingInput& in, Interval wanted, const CoolingLimits& limits) {
  if (const auto refusal = first_refusal(check(in, limits), refuse_outside("t8/5, s", wanted.low, {0, wanted.high}),
                                         refuse_outside("t8/5, s", wanted.high, positive))) {
    return *refusal;
  }
  // Both forms rise with Q, so the larger of them reaches t where the smaller of their inverses stands.
  const Form form = form_at(in.preheat_C, in.thickness_mm);
  const auto heat_at = [&](double t, double F2) {
    return std::min(t / (form.thick_s_mm_per_kJ * in.factors.f3), std::sqrt(t / (form.thin_s_mm2_per_kJ2 * F2)));
  };
  const Interval out{heat_at(wanted.low, in.factors.f2.low), heat_at(wanted.high, in.factors.f2.high)};
  if (out.low > out.high) return Refusal{RefusalReason::no_solution, "t8/5, s", wanted.low, wanted};
  return out;
}

Checked<Interval> preheat_for_cooling_time(const CoolingInput& in, Interval wanted, const CoolingLimits& limits) {
  if (const auto refusal = first_refusal(check_heat(in), refuse_outside("thickness, mm", in.thickness_mm, positive),
                                         refuse_outside("t8/5, s", wanted.low, {0, wanted.high}))) {
    return *refusal;
  }
  const double coldest = limits.preheat_C.low, hottest = limits.preheat_C.high;
  const double shortest = larger_form_s(in, coldest, in.factors.f2.low);
  const double longest = larger_form_s(in, hottest, in.factors.f2.low);
  const double shortest_high = larger_form_s(in, coldest, in.factors.f2.high);
  const auto preheat_at = [&](double t, double F2) {
    const auto excess = [&](double T0) { return larger_form_s(in, T0, F2) - t; };
    if (excess(coldest) >= 0) return coldest;
    if (excess(hottest) <= 0) return hottest;
    std::uintmax_t steps = 100;
    const auto root = boost::math::tools::toms748_solve(excess, coldest, hottest,
                                                        boost::math::tools::eps_tolerance<double>(40), steps);
    return std::midpoint(root.first, root.second);
  };
  const Interval out{preheat_at(wanted.low, in.factors.f2.low), preheat_at(wanted.high, in.factors.f2.high)};
  if (wanted.low > longest || wanted.high < shortest_high || out.low > out.high) {
    return Refusal{
        RefusalReason::no_solution, "t8/5, s", wanted.low > longest ? wanted.low : wanted.high, {shortest, longest}};
  }
  return out;
}

double cooling_time_8_5_by_field_s(const PoolInput& in, double preheat_C) {
  return cooling_time_s(in, upper_C - preheat_C, lower_C - preheat_C);
}

}  // namespace seamwright
