#include "review/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <kissfft/kissfft.hh>
#include <numbers>
#include <numeric>

namespace seamwright {
namespace {

using Values = std::vector<std::complex<double>>;

double mean_of(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) /
         static_cast<double>(std::max<std::size_t>(1, values.size()));
}

std::size_t power_of_two(std::size_t least) {
  std::size_t size = 4;
  while (size < least) size *= 2;
  return size;
}

}  // namespace

std::vector<double> autocorrelation_of(const std::vector<double>& values) {
  const std::size_t n = values.size(), size = power_of_two(2 * n);
  const double mean = mean_of(values);
  Values in(size), spectrum(size);
  for (std::size_t i = 0; i < n; ++i) in[i] = values[i] - mean;
  kissfft<double>(size, false).transform(in.data(), spectrum.data());
  for (std::complex<double>& bin : spectrum) bin = std::norm(bin);
  kissfft<double>(size, true).transform(spectrum.data(), in.data());
  std::vector<double> out(n / 2 + 1);
  const double whole = in[0].real();
  if (!(whole > 0)) return out;
  for (std::size_t lag = 0; lag < out.size(); ++lag)
    out[lag] = in[lag].real() / whole * static_cast<double>(n) / static_cast<double>(n - lag);
  return out;
}

std::vector<double> power_spectrum(const std::vector<double>& values, std::size_t size) {
  const std::size_t n = values.size();
  const double mean = mean_of(values);
  Values in(size), spectrum(size);
  double window_power = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double w =
        0.5 - 0.5 * std::cos(2 * std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(n));
    in[i] = (values[i] - mean) * w;
    window_power += w * w;
  }
  kissfft<double>(size, false).transform(in.data(), spectrum.data());
  std::vector<double> power(size / 2 + 1);
  for (std::size_t k = 0; k < power.size(); ++k)
    power[k] = (k == 0 || 2 * k == size ? 1 : 2) * std::norm(spectrum[k]) / (window_power * static_cast<double>(size));
  return power;
}

}  // namespace seamwright
