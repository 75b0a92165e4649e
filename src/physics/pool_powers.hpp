// The net power at which a pool just reaches a size.
//
// The field is linear in the power, so the power that reaches a size is the melting rise over the highest rise that a
// watt brings to the place the size ends at: smooth also where a back width jumps from nothing. From the tables of
// pool_by_table, to 1 % of it; by the integral where they end.
#pragma once

#include <optional>

#include "physics/pool_field.hpp"
#include "physics/pool_grid.hpp"
#include "seamwright/pool.hpp"

namespace seamwright {

// Of one plate under one source: what is asked of it several times is looked up once.
class PoolPowers {
 public:
  // `in.net_power_W` is not read; other input that is not positive and finite asks for infinite power.
  explicit PoolPowers(const PoolInput& in);

  // Logarithms of the power in W. A depth is at most the thickness, where the back begins to melt; a back width of 0
  // is where it just does.
  [[nodiscard]] double ln_width_W(double width_mm) const;
  [[nodiscard]] double ln_depth_W(double depth_mm) const;
  [[nodiscard]] double ln_back_width_W(double width_mm) const;

 private:
  PoolInput in_;
  bool melts_ = false, deep_ = false;
  ScaledPlate plate_{};
  double unit_mm_ = 0, ln_n_of_watt_ = 0, ln_S_ = 0, ln_ratio_ = 0, ln_peak_ = 0, ln_back_ = 0;
  std::optional<pool_grid::PlatePlace> fine_;  // none beyond the tables

  [[nodiscard]] double by_integral(double y_mm, double z_mm) const;
  [[nodiscard]] bool known(double ln_power_W) const;
  [[nodiscard]] double excess_at(double width_mm, double Z, const Stretch& stretch, const float* table) const;
};

}  // namespace seamwright
