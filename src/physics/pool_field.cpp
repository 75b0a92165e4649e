#include "physics/pool_field.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace seamwright {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double infinity = std::numeric_limits<double>::infinity();

// sum_k exp(-(Z - 2 k D)^2 / 2t) = exp(exponent) * sum, and its Z derivative = exp(exponent) * slope.
struct ThroughThickness {
  double exponent = 0;
  double sum = 0;
  double slope = 0;
};

// An exponential of less is nothing beside 1: not worth working out.
constexpr double negligible_exponent = -80.0;

// Few terms do everywhere: images while heat has not yet filled the thickness, the cosine series of the same sum
// (Poisson) after. At the change-over, t = 2 D^2 / pi, the first term left out of either is below 1e-12.
class ThicknessSum {
 public:
  ThicknessSum(double Z, double D)
      : Z_(Z),
        D_(D),
        change_over_(2.0 * D * D / pi),
        near_(-2.0 * D * (D - Z)),
        far_(-2.0 * D * (D + Z)),
        c1_(std::cos(pi * Z / D)),
        s1_(std::sin(pi * Z / D)) {}

  [[nodiscard]] ThroughThickness at(double t) const { return t < change_over_ ? images(t) : series(t); }

 private:
  [[nodiscard]] ThroughThickness images(double t) const {
    ThroughThickness result{-Z_ * Z_ / (2.0 * t), 1.0, -Z_};
    const double nearest = near_ / t;  // the image at 2D against the source itself
    if (nearest > negligible_exponent) {
      const double near = std::exp(nearest);
      const double far = Z_ == 0.0 ? near : std::exp(far_ / t);
      const double both = near * far;
      double near_k = near, far_k = far, factor = 1.0, factor_step = both;
      for (int k = 1; k <= 3; ++k) {
        const double plus = factor * near_k, minus = factor * far_k;
        result.sum += plus + minus;
        result.slope += plus * (2.0 * k * D_ - Z_) - minus * (2.0 * k * D_ + Z_);
        near_k *= near;
        far_k *= far;
        factor *= factor_step;
        factor_step *= both;
      }
    }
    result.slope /= t;
    return result;
  }

  [[nodiscard]] ThroughThickness series(double t) const {
    const double mean = std::sqrt(2.0 * pi * t) / (2.0 * D_);
    const double first = -pi * pi * t / (2.0 * D_ * D_);
    if (!(first > negligible_exponent)) return {0.0, mean, 0.0};
    const double q = std::exp(first);
    const double q2 = q * q, q4 = q2 * q2, q9 = q4 * q4 * q;
    const double c2 = 2.0 * c1_ * c1_ - 1.0, s2 = 2.0 * s1_ * c1_;
    const double c3 = c1_ * c2 - s1_ * s2, s3 = s1_ * c2 + c1_ * s2;
    return {0.0, mean * (1.0 + 2.0 * (q * c1_ + q4 * c2 + q9 * c3)),
            -mean * 2.0 * pi / D_ * (q * s1_ + 2.0 * q4 * s2 + 3.0 * q9 * s3)};
  }

  double Z_, D_, change_over_, near_, far_, c1_, s1_;
};

// Where the exponent of the integrand, -(T - P)^2 / 2T - Z^2 / 2t with T = t + S^2, is largest.
double exponent_peak(double S, double P, double Z) {
  double t = std::max(P - S * S, Z);
  if (Z == 0.0) return t;
  for (int i = 0; i < 6; ++i) {  // Newton from below on a convex falling function
    const double T = t + S * S;
    const double value = P * P / (T * T) + Z * Z / (t * t) - 1.0;
    t += 0.5 * value / (P * P / (T * T * T) + Z * Z / (t * t * t));
  }
  return t;
}

// The next trial of a bracketed Newton search: the proposal where it lies inside, else the middle. Now and then the
// middle anyway: across a kink Newton can jump from one side to the other for ever.
double next_trial(double proposal, double x, double low, double high, int iteration) {
  const bool take_middle = iteration > 6 && iteration % 3 == 0 && high < infinity;
  if (proposal > low && proposal < high && !take_middle) return proposal;
  return high < infinity ? 0.5 * (low + high) : 2.0 * x + 0.1;
}

// Root of an increasing function of a coordinate >= 0 that is negative at 0: Newton, kept inside a shrinking bracket.
// (Own, because the library's throws when it finds no root.) `function` returns {value, derivative}.
template <class Function>
double rising_root(Function function, double guess) {
  double low = 0.0, high = infinity, x = guess;
  for (int i = 0; i < 100; ++i) {
    const auto [value, derivative] = function(x);
    (value < 0.0 ? low : high) = x;
    double next = next_trial(derivative > 0.0 ? x - value / derivative : infinity, x, low, high, i);
    if (high == infinity) next = std::min(next, 2.0 * x + 1.0);
    const double step = std::abs(next - x);
    x = next;
    if (step <= 1e-9 * x) break;
  }
  return x;
}

struct ValueAndSlope {
  double value = 0;
  double slope = 0;
};

// Where the spread turns from a linear measure of sqrt(excess + excess^2 / 2) to a logarithmic one.
constexpr double spread_turn = 4.0;

// Spread of an excess and its derivative, given the derivative of the excess.
ValueAndSlope spread_with_slope(double excess, double excess_slope) {
  if (!(excess > 0.0)) return {0.0, 0.0};
  const double root = std::sqrt(excess * (1.0 + 0.5 * excess));
  const double scaled = root / spread_turn;
  return {spread_turn * fast_asinh(scaled),
          (1.0 + excess) / (2.0 * root) / std::sqrt(1.0 + scaled * scaled) * excess_slope};
}

double depth_stretch(const ScaledPlate& plate) { return 0.5 * fast_asinh(2.0 * plate.D / plate.S); }

}  // namespace

FieldSample sample_field(const ScaledPlate& plate, double X, double Y, double Z) {
  // With T = u^2 + S^2, B = S^2 - X and P^2 = B^2 + Y^2 the exponent is (B - P) - (T - P)^2 / 2T: no cancellation.
  const double S = plate.S, D = plate.D;
  const double B = S * S - X;
  const double P = std::hypot(B, Y);
  const double offset = B > 0.0 ? -Y * Y / (B + P) : B - P;
  const double t_peak = exponent_peak(S, P, Z);
  const double T_peak = t_peak + S * S;
  const double top = -(T_peak - P) * (T_peak - P) / (2.0 * T_peak) - (Z > 0.0 ? Z * Z / (2.0 * t_peak) : 0.0);

  // Trapezoidal rule in w, u = c exp(w - exp(-w)): plain ln u above c, double-exponential decay below it. Everything
  // in the integrand is analytic for |Im w| < pi/4 and at most exp(P (1 - cos 2 Im w)) larger there, which bounds the
  // step for an error below 1e-10. c lies well below every length of the integrand.
  double c = std::min(D, 1.0);
  if (S > 0.0 || P > 0.0) c = std::min(c, S > 0.0 ? S : P);
  if (Z > 0.0) c = std::min(c, Z);
  c *= 0.05;
  const double h = 0.4 / std::sqrt(5.0 + std::hypot(P, Z));
  const double u_start = std::max(std::sqrt(t_peak), std::min(S, 1.0));
  const double ln_u = std::log(u_start / c);
  double w_start = ln_u;
  for (int i = 0; i < 4; ++i) w_start -= (w_start - std::exp(-w_start) - ln_u) / (1.0 + std::exp(-w_start));

  const ThicknessSum thickness(Z, D);
  double sum = 0, sum_X = 0, sum_XX = 0, sum_T = 0, sum_Z = 0;
  const auto add = [&](double w) {
    const double exp_minus_w = std::exp(-w);
    const double u = c * std::exp(w - exp_minus_w);
    const double t = u * u;
    if (!(t > 0.0)) return false;
    const double T = t + S * S;
    const ThroughThickness z = thickness.at(t);
    const double weight = u * (1.0 + exp_minus_w) / T * std::exp(z.exponent - (T - P) * (T - P) / (2.0 * T) - top);
    const double term = weight * z.sum;
    const double r = (X + t) / T;
    sum += term;
    sum_X += term * r;
    sum_XX += term * (r * r - 1.0 / T);
    sum_T += term / T;
    sum_Z += weight * z.slope;
    return term > 1e-14 * sum;
  };
  constexpr int most_steps = 20000;
  for (int i = 0; i < most_steps && add(w_start + i * h); ++i) {
  }
  for (int i = 1; i < most_steps && add(w_start - i * h); ++i) {
  }

  FieldSample result;
  result.ln_G = std::log(sum * h * 2.0 / std::sqrt(2.0 * pi)) + top + offset;
  result.slope_X = -sum_X / sum;
  result.curvature_X = sum_XX / sum - result.slope_X * result.slope_X;
  result.slope_Y = -Y * sum_T / sum;
  result.slope_Z = sum_Z / sum;
  return result;
}

namespace {

// The unknown is the distance behind the source; past a peak the field falls with it. `low` must lie before the peak
// (0 will do), `high` after it (or be infinite).
FieldPeak peak_between(const ScaledPlate& plate, double Y, double Z, double low, double behind, double high) {
  FieldPeak peak;
  for (int i = 0; i < 100; ++i) {
    peak.X = -behind;
    peak.at = sample_field(plate, peak.X, Y, Z);
    const double rise = -peak.at.slope_X;  // d ln G / d behind
    (rise > 0.0 ? low : high) = behind;
    // What is still to be gained by a Newton step, in ln G.
    if (peak.at.curvature_X < 0.0 && rise * rise < -2e-13 * peak.at.curvature_X) break;
    const double proposal = peak.at.curvature_X < 0.0 ? behind - rise / peak.at.curvature_X : infinity;
    double next = next_trial(proposal, behind, low, high, i);
    if (high == infinity) next = std::min(next, 4.0 * behind);
    if (std::abs(next - behind) <= 1e-12 * behind) break;
    behind = next;
  }
  return peak;
}

// Seen for S > 1.2, Y = 1.2 S to 5.3 S (S up to 45), and never at the back.
bool may_peak_twice(const ScaledPlate& plate, double Y, double Z) {
  return plate.S > 1.1 && Z < plate.D && Y > 1.1 * plate.S && Y < 6.0 * plate.S;
}

FieldPeak at_place(const ScaledPlate& plate, double behind, double Y, double Z) {
  return {-behind, sample_field(plate, -behind, Y, Z)};
}

const FieldPeak& higher(const FieldPeak& a, const FieldPeak& b) { return a.at.ln_G >= b.at.ln_G ? a : b; }

// The highest point between two distances behind the source, both ends included.
FieldPeak highest_between(const ScaledPlate& plate, double Y, double Z, double low, double high) {
  FieldPeak before = at_place(plate, low, Y, Z), best = before;
  while (-before.X < high) {
    const FieldPeak next = at_place(plate, std::min(high, -before.X * 1.6), Y, Z);
    best = higher(best, next);
    if (before.at.slope_X < 0.0 && next.at.slope_X >= 0.0)
      best = higher(peak_between(plate, Y, Z, -before.X, std::sqrt(before.X * next.X), -next.X), best);
    before = next;
  }
  return best;
}

}  // namespace

Stretch stretch(const ScaledPlate& plate, int index) {
  const double S = plate.S, D = plate.D;
  const double first = 3.0 * S, second = 3.2 * S + 0.6 * S / (S + 0.6) * D * D;
  if (index == 0) return {0.0, first};
  if (index == 1) return {first, second};
  return {second, infinity};
}

FieldPeak peak_along_X(const ScaledPlate& plate, double Y, double Z, double X_guess, const Stretch& stretch) {
  const double far = plate.S * plate.S + Y * Y + Z * Z;
  if (may_peak_twice(plate, Y, Z)) {
    const double nearest = std::max(stretch.nearest, 0.4 * plate.S);
    return highest_between(plate, Y, Z, nearest, std::min(stretch.farthest, std::max(1.5 * far, 4.0 * nearest)));
  }
  // One peak: at an end of the stretch when the field falls, or still rises, there.
  if (stretch.nearest > 0.0) {
    const FieldPeak end = at_place(plate, stretch.nearest, Y, Z);
    if (end.at.slope_X >= 0.0) return end;
  }
  if (stretch.farthest < infinity) {
    const FieldPeak end = at_place(plate, stretch.farthest, Y, Z);
    if (end.at.slope_X <= 0.0) return end;
  }
  const double start = X_guess < 0.0 ? -X_guess : far / (1.0 + std::sqrt(far));
  return peak_between(plate, Y, Z, stretch.nearest, std::clamp(start, stretch.nearest, stretch.farthest),
                      stretch.farthest);
}

double spread_from_excess(double excess) { return spread_with_slope(excess, 0.0).value; }

double excess_from_spread(double spread) {
  const double root = spread_turn * fast_sinh(spread / spread_turn);
  // Without cancellation where the spread is small.
  return 2.0 * root * root / (1.0 + std::sqrt(1.0 + 2.0 * root * root));
}

double width_scale(const ScaledPlate& plate, double Z, const Stretch& stretch) {
  return std::sqrt(plate.S * plate.S + Z * Z + stretch.nearest);
}

double width_coordinate(const ScaledPlate& plate, double Z, const FieldPeak& centre, double spread,
                        const Stretch& stretch) {
  if (!(spread > 0.0)) return 0.0;
  const double scale = width_scale(plate, Z, stretch);
  double X_guess = centre.X;
  return rising_root(
      [&](double coordinate) {
        const double Y = scale * std::sinh(coordinate);
        const FieldPeak peak = peak_along_X(plate, Y, Z, X_guess, stretch);
        X_guess = peak.X;
        const auto [value, slope] =
            spread_with_slope(centre.at.ln_G - peak.at.ln_G, -peak.at.slope_Y * scale * std::cosh(coordinate));
        return ValueAndSlope{value - spread, slope};
      },
      spread);
}

double depth_from_coordinate(const ScaledPlate& plate, double coordinate) {
  const double b = depth_stretch(plate);
  return std::clamp(plate.D * (1.0 - fast_tanh(b * coordinate) / fast_tanh(b)), 0.0, plate.D);
}

double coordinate_from_depth(const ScaledPlate& plate, double depth) {
  const double b = depth_stretch(plate);
  return std::atanh(std::clamp(1.0 - depth / plate.D, 0.0, 1.0) * fast_tanh(b)) / b;
}

double depth_coordinate(const ScaledPlate& plate, const FieldPeak& face, const FieldPeak& back, double share) {
  if (!(share > 0.0)) return 0.0;
  if (share >= 1.0) return 1.0;
  const double b = depth_stretch(plate);
  const double spread = share * spread_from_excess(face.at.ln_G - back.at.ln_G);
  double X_guess = back.X;
  const double coordinate = rising_root(
      [&](double x) {
        if (x >= 1.0) return ValueAndSlope{1.0, 0.0};
        const FieldPeak peak = peak_along_X(plate, 0.0, depth_from_coordinate(plate, x), X_guess);
        X_guess = peak.X;
        const double cosh_bx = std::cosh(b * x);
        const double slope_x = -peak.at.slope_Z * plate.D * b / (std::tanh(b) * cosh_bx * cosh_bx);
        const auto [value, slope] = spread_with_slope(peak.at.ln_G - back.at.ln_G, slope_x);
        return ValueAndSlope{value - spread, slope};
      },
      share);
  return std::min(coordinate, 1.0);
}

double axis_X(const ScaledPlate& plate, double hottest_X, Side side, double coordinate) {
  return hottest_X + (side == Side::ahead ? plate.S : -plate.S) * std::sinh(coordinate);
}

namespace {

ValueAndSlope axis_spread_with_slope(const ScaledPlate& plate, const FieldPeak& face, Side side, double coordinate) {
  const FieldSample at = sample_field(plate, axis_X(plate, face.X, side, coordinate), 0.0, 0.0);
  const double X_slope = (side == Side::ahead ? plate.S : -plate.S) * std::cosh(coordinate);
  return spread_with_slope(face.at.ln_G - at.ln_G, -at.slope_X * X_slope);
}

}  // namespace

double axis_spread(const ScaledPlate& plate, const FieldPeak& face, Side side, double coordinate) {
  return axis_spread_with_slope(plate, face, side, coordinate).value;
}

double axis_coordinate(const ScaledPlate& plate, const FieldPeak& face, Side side, double spread) {
  if (!(spread > 0.0)) return 0.0;
  return rising_root(
      [&](double coordinate) {
        const auto [value, slope] = axis_spread_with_slope(plate, face, side, coordinate);
        return ValueAndSlope{value - spread, slope};
      },
      spread);
}

}  // namespace seamwright
