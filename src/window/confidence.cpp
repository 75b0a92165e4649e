#include "seamwright/confidence.hpp"

#include <algorithm>
#include <boost/math/special_functions/erf.hpp>
#include <cmath>

#include "window/line_end.hpp"
#include "window/margins.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

// In double precision throughout: nothing here needs more, and the tables of long double are filled at every start.
using InDouble = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

constexpr double surest = 0.999;  // no greater confidence is stated: the tails are not known that far

}  // namespace

double normal_quantile(double confidence) {
  return std::sqrt(2.0) * boost::math::erf_inv(2.0 * std::clamp(confidence, 0.5, surest) - 1.0, InDouble());
}

double normal_share(double quantile) { return 0.5 * (1.0 + std::erf(quantile / std::sqrt(2.0))); }

double probability_of(double surety) { return std::min(surest, normal_share(deviations_nine_in_ten * surety)); }
double surety_of(double probability) {
  const double p = std::clamp(probability, 1 - surest, surest);
  return std::sqrt(2.0) * boost::math::erf_inv(2.0 * p - 1.0, InDouble()) / deviations_nine_in_ten;
}

ConfidentBand confident_band(const PassContext& c, const Window& window, double confidence) {
  ConfidentBand out;
  out.confidence = confidence;
  const ConstantValues x = nominal_values(c.constants);
  const Band& band = window.band;
  out.weakest = point_margins(c, x, band.best).least_sure();
  out.held = probability_of(out.weakest.surety);
  if (!band.feasible) return out;
  const double needed = surety_of(confidence);
  const auto score = [&](double feed) {
    Setting s = on_line(c, x, window.line, feed);
    s.modulation_frequency_Hz = band.best.modulation_frequency_Hz;
    s.modulation_amplitude_m_per_min = band.best.modulation_amplitude_m_per_min;
    const MarginList list = point_margins(c, x, s);
    Margin least = list.least_sure();
    least.score = std::min(least.surety - needed, list.worst().score);
    return least;
  };
  // The point if it is sure enough, else the surest of a few feeds between the ends of the band.
  double feed = band.best.wire_feed_m_per_min, best = score(feed).score;
  constexpr int points = 9;
  const double from = band.low.wire_feed_m_per_min, to = band.high.wire_feed_m_per_min;
  for (int i = 0; i < points && best < 0; ++i) {
    const double at = from + (to - from) * i / (points - 1);
    if (const double here = score(at).score; here > best) {
      best = here;
      feed = at;
    }
  }
  if (best < 0) return out;
  out.exists = true;
  out.low = line_end(c, x, window.line, feed, -1, score);
  out.high = line_end(c, x, window.line, feed, 1, score);
  return out;
}

}  // namespace seamwright
