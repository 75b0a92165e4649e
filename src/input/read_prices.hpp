// The prices of an equipment file.
//
//   [prices]
//   currency = "EUR"                 # as the shop writes it
//   wire   = "2.40 EUR/kg"           # a number alone is per kg, m3, kWh and h; also /lb, /ft3, /l
//   gas    = "9.50 EUR/m3"
//   power  = "0.28 EUR/kWh"
//   labour = "46 EUR/h"
//   operating_factor = "35 %"        # arc time over total time
//   [prices.wires]                   # before prices.wire, by name, in any diameter or in one
//   "G 3Si1 0.8" = "3.10 EUR/kg"
//   [prices.gases]                   # before prices.gas
//   "I1" = "12 EUR/m3"
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "input/value_reader.hpp"
#include "seamwright/equipment.hpp"

namespace seamwright {

// "G 3Si1 1.2" of a rack or a price: the last word is the diameter of a wire where it is one.
[[nodiscard]] RackItem wire_item(const Place& place, std::string_view text);

class PriceReader {
 public:
  explicit PriceReader(ValueReader& reader) : reader_(reader) {}

  // False: no key of prices.
  [[nodiscard]] bool take(const Entry& entry);
  // What was read, once all is; nothing where there was none.
  [[nodiscard]] std::optional<Prices> finish();
  [[nodiscard]] static std::span<const std::string_view> keys();

 private:
  ValueReader& reader_;
  std::optional<Prices> prices_;
  std::vector<std::pair<Entry, std::string>> currencies_;  // as they stand beside prices

  [[nodiscard]] std::optional<double> price(const Entry& entry, std::string_view unit);
  [[nodiscard]] std::optional<double> written_price(const Entry& entry, std::string_view unit);
  void take_currency(const Entry& entry);
};

}  // namespace seamwright
