// Answers of plans that come again, as most do in a shop's list. One for each thread, of bounded size: what is kept
// hangs on what was there before, what is answered does not.
#pragma once

#include <algorithm>
#include <array>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "present/write_jobs.hpp"

namespace seamwright {

class JobMemory {
 public:
  // The answer kept for a key; null when there is none.
  [[nodiscard]] const JobAnswer* find(std::string_view key) {
    set_ = std::hash<std::string_view>()(key) % sets;
    for (Slot& slot : slots_of_set())
      if (slot.key == key) return &slot.answer;
    return nullptr;
  }
  // A place for the answer of the key last looked for, to be filled; another's, when all are taken.
  [[nodiscard]] JobAnswer& place(std::string_view key) {
    Slot& slot = slots_of_set()[turn_[set_]++ % ways];
    slot.key.assign(key);
    return slot.answer;
  }

 private:
  static constexpr std::size_t sets = 128, ways = 4;
  struct Slot {
    std::string key;  // of a row with a joint, so never empty
    JobAnswer answer;
  };
  std::vector<std::array<Slot, ways>> slots_{sets};
  std::array<unsigned char, sets> turn_{};
  std::size_t set_ = 0;

  [[nodiscard]] std::array<Slot, ways>& slots_of_set() { return slots_[set_]; }
};

}  // namespace seamwright
