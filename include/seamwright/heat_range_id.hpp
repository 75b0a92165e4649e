// The id of a row of [[heat_range]] in the catalog. One written in code that data/heat_ranges.toml does not have fails
// the build.
#pragma once

#include <algorithm>
#include <string_view>

namespace seamwright {

inline constexpr std::string_view heat_range_ids[] = {
#include "seamwright/heat_range_ids.inc"
};

class HeatRangeId {
 public:
  // NOLINTNEXTLINE(google-explicit-constructor): a literal is meant to be one.
  consteval HeatRangeId(const char* id) : id_(id) {
    if (std::ranges::find(heat_range_ids, id_) == std::ranges::end(heat_range_ids))
      throw "no [[heat_range]] has this id";
  }
  // One put together from the name of a metal or an element; the catalog may lack it. `id` must outlive this.
  [[nodiscard]] static constexpr HeatRangeId made_of(std::string_view id) { return HeatRangeId(id, 0); }

  [[nodiscard]] constexpr std::string_view text() const { return id_; }

 private:
  constexpr HeatRangeId(std::string_view id, int) : id_(id) {}
  std::string_view id_;
};

}  // namespace seamwright
