// What all machines of a shop share: its rack and prices, in a file of its own beside those of the machines.
#pragma once

#include <optional>
#include <string>

#include "seamwright/equipment.hpp"

namespace seamwright {

// Reads a shop's file, an equipment file without the keys of a machine, and hands its text on. Errors: those of the
// file and of an equipment file; a range, a rating, modes, or dials in it.
[[nodiscard]] Expected<Equipment> read_shop(const std::string& path, std::string& text);

// What the machine's own file does not say is as in the shop.
void lay_shop_under(std::optional<Equipment>& machine, const Equipment& shop);

}  // namespace seamwright
