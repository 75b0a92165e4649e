#include "seamwright/equipment.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string_view>

#include "seamwright/catalog.hpp"
#include "text/nearest_word.hpp"
#include "text/rounded_text.hpp"

namespace seamwright {

double dial_reading(const Dial& dial, double value) { return dial.at_zero + (value - dial.zero_value) / dial.per_step; }
bool describes_machine(const Equipment& e) {
  return e.current_A || e.voltage_V || e.wire_feed_m_per_min || e.rated_current_A || e.peak_current_A ||
         e.base_current_A || e.pulse_frequency_Hz || e.modulation_frequency_Hz || e.modulation_amplitude_m_per_min ||
         e.efficiency || !e.modes.empty() || !e.dials.empty();
}

bool is_machine(const std::optional<Equipment>& e) { return e && (describes_machine(*e) || !e->name.empty()); }

double value_at_dial(const Dial& dial, double reading) {
  return dial.zero_value + (reading - dial.at_zero) * dial.per_step;
}

Expected<const Dial*> dial_of(const Equipment* equipment, const DialSetting& given) {
  const auto refused = [&](std::string message, std::string help) {
    return Diagnostic{given.place, std::move(message), std::move(help), ""};
  };
  if (equipment == nullptr || equipment->dials.empty())
    return refused("no machine with dials is described", "give its file with --equipment");
  const std::vector<Dial>& dials = equipment->dials;
  const auto dial =
      std::find_if(dials.begin(), dials.end(), [&](const Dial& d) { return same_name(d.name, given.name); });
  if (dial == dials.end()) {
    std::vector<std::string_view> names;
    for (const Dial& d : dials) names.push_back(d.name);
    const std::string_view near = nearest_word(given.name, names);
    return refused(
        fmt::format("the machine has no dial '{}'", given.name),
        near.empty() ? fmt::format("it has {}", fmt::join(names, ", ")) : fmt::format("did you mean '{}'?", near));
  }
  const double low = std::min(dial->low, dial->high), high = std::max(dial->low, dial->high);
  if (!(given.reading >= low && given.reading <= high))
    return refused(fmt::format("{} is off the scale of the dial", short_text(given.reading)),
                   fmt::format("{} goes from {} to {}", dial->name, short_text(low), short_text(high)));
  return &*dial;
}

}  // namespace seamwright
