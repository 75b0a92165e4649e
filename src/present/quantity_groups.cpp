#include "present/quantity_groups.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace seamwright {
namespace {

constexpr std::array set_fields{F::wire_feed,
                                F::voltage,
                                F::arc_length_trim,
                                F::current_rise,
                                F::inductance,
                                F::peak_current,
                                F::peak_current_trim,
                                F::peak_time,
                                F::base_current,
                                F::base_time,
                                F::pulse_frequency,
                                F::modulation_frequency,
                                F::modulation_amplitude,
                                F::wire_feed_high,
                                F::wire_feed_low};
constexpr std::array move_fields{F::travel, F::ripple_pitch, F::weave_width, F::weave_dwell, F::weave_advance};
constexpr std::array expect_fields{F::current,       F::current_rms,  F::arc_length,       F::pulse_duty,
                                   F::drop_diameter, F::deposit_area, F::deposit_width,    F::layer_height,
                                   F::reinforcement, F::bead_width,   F::penetration,      F::back_width,
                                   F::pool_length,   F::dilution,     F::dilution_layer_2, F::dilution_layer_3};
constexpr std::array heat_fields{F::preheat, F::interpass, F::power, F::arc_energy, F::arc_energy_ui, F::heat_input};
constexpr std::array metal_fields{F::t8_5, F::hardness,     F::carbon_equivalent, F::cet,         F::ferrite_number,
                                  F::pren, F::iron_layer_1, F::iron_layer_2,      F::iron_layer_3};
constexpr std::array use_fields{F::wire_mass,     F::gas_volume,     F::arc_time,    F::quantity,
                                F::wire_mass_all, F::gas_volume_all, F::arc_time_all};
constexpr std::array cost_fields{F::total_time,  F::energy_drawn, F::cost_wire,      F::cost_gas,         F::cost_power,
                                 F::cost_labour, F::cost,         F::total_time_all, F::energy_drawn_all, F::cost_all};

constexpr std::array<QuantityGroup, 7> groups{{{"Set on the machine", set_fields},
                                               {"Move the torch", move_fields},
                                               {"Expect", expect_fields},
                                               {"Heat", heat_fields},
                                               {"Metal", metal_fields},
                                               {"Use", use_fields},
                                               {"Time and cost", cost_fields}}};

static_assert(set_fields.size() + move_fields.size() + expect_fields.size() + heat_fields.size() + metal_fields.size() +
                  use_fields.size() + cost_fields.size() ==
              field_count);

}  // namespace

std::span<const QuantityGroup> quantity_groups() { return groups; }

std::string dial_words(const Case& resolved, F id, const Estimate& estimate) {
  std::string words;
  if (!resolved.equipment || !estimate.present) return words;
  for (const Dial& dial : resolved.equipment->dials) {
    if (dial.field != id) continue;
    const double reading = dial_reading(dial, estimate.value);
    const bool beyond = reading < std::min(dial.low, dial.high) || reading > std::max(dial.low, dial.high);
    words = fmt::format("{} {:.{}f}{}", dial.name, reading + 0.0, dial.decimals, beyond ? " (beyond its scale)" : "");
  }
  return words;
}

std::string pass_dials(const Case& resolved, const PassResult& pass) {
  std::string dials;
  for (const FieldInfo& info : fields())
    if (const std::string words = dial_words(resolved, info.id, pass[info.id]); !words.empty())
      dials += fmt::format("{}{}", dials.empty() ? "" : ", ", words);
  return dials;
}

bool was_solved(const ModeTrial& trial) {
  constexpr double no_margin = -1e6;  // far below any real margin
  return std::isfinite(trial.score) && trial.score > no_margin;
}

std::string shortfall_words(const Margin& margin, Units units) {
  std::string words;
  append_shortfall(words, margin, units);
  return words;
}

void append_shortfall(std::string& out, const Margin& m, Units units) {
  const FieldInfo& info = field(m.field);
  const auto to_out = std::back_inserter(out);
  if (!std::isfinite(m.value)) {
    fmt::format_to(to_out, "{} is outside the range in which it can be computed", info.label);
    return;
  }
  const double gap = std::abs(m.value - m.limit);
  const std::string_view unit = unit_of(info, units);
  fmt::format_to(to_out, "{} {}, needs at {} {}: {}{}{} too {}", info.label, quantity_with_unit(info, m.value, units),
                 m.upper ? "most" : "least", quantity_with_unit(info, m.limit, units),
                 difference_text(info, gap, units), unit.empty() ? "" : " ", unit, m.upper ? "much" : "little");
  // A share of the limit says something only near it, and nothing on a scale with a zero of its own.
  if (m.limit != 0 && gap <= 2 * std::abs(m.limit) && info.us_offset == 0)
    fmt::format_to(to_out, " ({} %)", fixed_text(100 * gap / std::abs(m.limit), 0));
}

}  // namespace seamwright
