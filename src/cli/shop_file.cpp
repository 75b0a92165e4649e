#include "cli/shop_file.hpp"

#include "input/file_kind.hpp"
#include "seamwright/input.hpp"
#include "text/toml_document.hpp"

namespace seamwright {

Expected<Equipment> read_shop(const std::string& path, std::string& text) {
  Expected<std::string> read = read_text_file(path, max_input_bytes);
  if (!read) return read.errors();
  text = std::move(*read);
  Expected<Equipment> shop = read_equipment_text(text, path);
  if (!shop) return told_apart(shop.errors(), text, path, FileKind::equipment);
  if (describes_machine(*shop))
    return Diagnostic{{path, 0, 0},
                      "this file describes a machine",
                      "a shop's file has name, prefer, [rack] and [prices]; give what one machine can do with "
                      "--equipment",
                      ""};
  return shop;
}

void lay_shop_under(std::optional<Equipment>& machine, const Equipment& shop) {
  if (!machine) return static_cast<void>(machine = shop);
  if (machine->rack_wires.empty()) machine->rack_wires = shop.rack_wires;
  if (machine->rack_gases.empty()) machine->rack_gases = shop.rack_gases;
  if (!machine->carriage) machine->carriage = shop.carriage;
  if (!machine->prefer) machine->prefer = shop.prefer;
  if (!machine->prices) machine->prices = shop.prices;
}

}  // namespace seamwright
