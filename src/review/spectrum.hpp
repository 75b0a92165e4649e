// Fourier transforms of short stretches of a signal, by kissfft.
#pragma once

#include <vector>

namespace seamwright {

// Autocorrelation of `values` (their mean taken off), 1 at lag 0, each lag divided by the share of values it has.
[[nodiscard]] std::vector<double> autocorrelation_of(const std::vector<double>& values);

// Power of `values` (mean taken off, Hann window) in `size` / 2 + 1 bins of 1 / (size * step): their sum is the
// variance. `size` is at least values.size().
[[nodiscard]] std::vector<double> power_spectrum(const std::vector<double>& values, std::size_t size);

}  // namespace seamwright
