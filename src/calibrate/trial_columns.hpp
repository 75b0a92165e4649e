// What the heading of a column of a trial list stands for.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "seamwright/calibrate.hpp"

namespace seamwright {

struct TrialColumn {
  enum class Kind : unsigned char { joint_key, wire_feed, travel, pass, verdict, reading, spread, dial, passed };
  Kind kind = Kind::passed;
  std::string name;                     // as written; of a joint key: the key; of a dial: what stands on it
  std::string unit;                     // of a number without one
  const ReadingRow* reading = nullptr;  // reading, spread
};

// The columns of a header, or what is wrong with it. `places` has the place of every cell.
[[nodiscard]] Diagnostics read_trial_header(const std::vector<std::string_view>& names,
                                            const std::vector<Place>& places, const Catalog& catalog,
                                            std::vector<TrialColumn>& columns);

}  // namespace seamwright
