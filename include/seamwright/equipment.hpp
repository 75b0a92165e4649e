// Power source and feeder, as the user's own file describes them. A machine the file does not describe is unlimited.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "seamwright/diagnostic.hpp"
#include "seamwright/field.hpp"
#include "seamwright/joint.hpp"

namespace seamwright {

// A dial: which quantity it sets and how its numbers map to it.
//   dial = at_zero + (value - zero_value) / per_step      with value in the metric unit of the field
struct Dial {
  F field{};
  std::string name;          // what stands on the machine
  double zero_value = 0;     // the quantity where the dial reads `at_zero`
  double at_zero = 0;        // dial reading there
  double per_step = 1;       // change of the quantity a dial step; not 0
  double low = 0, high = 0;  // ends of the dial's scale
  int decimals = 0;
  // For trims given in per cent or volts about the recommended value the quantity is the trim itself.
};
[[nodiscard]] double dial_reading(const Dial& dial, double value);

// The quantity where the dial reads that.
[[nodiscard]] double value_at_dial(const Dial& dial, double reading);

enum class AccuracyGrade : unsigned char { standard, precision };

// What stands on the rack of the shop, as the file names it.
struct RackItem {
  Place place;
  std::string name;        // of a wire or a gas
  double diameter_mm = 0;  // of a wire; 0: any
};

// What wire, gas, power and labour cost, in one currency. What is left out has no price.
struct Prices {
  struct Named {
    RackItem item;  // a wire, in one diameter or any; or a gas
    double price = 0;
  };
  std::string currency;  // as the shop writes it; empty: not said
  std::optional<double> wire_per_kg, gas_per_m3, power_per_kWh, labour_per_h;
  std::vector<Named> wires, gases;         // per kg and per m3; before the price of all
  std::optional<double> operating_factor;  // arc time over total time, above 0 to 1
};

struct Equipment {
  std::string name;
  std::optional<Interval> current_A, voltage_V, wire_feed_m_per_min;
  std::optional<double> rated_current_A, rated_duty;  // duty 0..1 of a ten-minute period
  std::optional<double> duty;                         // the duty the job is welded at; default: rated duty
  std::optional<Interval> peak_current_A, pulse_frequency_Hz, base_current_A;
  std::optional<Interval> modulation_frequency_Hz, modulation_amplitude_m_per_min;
  std::vector<Mode> modes;  // empty: all
  AccuracyGrade accuracy = AccuracyGrade::standard;
  std::vector<Dial> dials;
  std::vector<RackItem> rack_wires, rack_gases;  // empty: whatever is wanted
  std::optional<bool> carriage;                  // moves the torch where the joint does not say; else a hand
  std::optional<double> efficiency;              // power of the arc over power from the mains
  std::optional<Preference> prefer;              // where the joint does not say
  std::optional<Prices> prices;
};

// Whether it says what a machine can do, and not only what the shop has.
[[nodiscard]] bool describes_machine(const Equipment& equipment);
// Whether a machine is meant at all: one described, or at least named.
[[nodiscard]] bool is_machine(const std::optional<Equipment>& equipment);

// The dial that was read. Errors, at the place it was given: no machine, or one without dials (nullptr and an empty
// list are the same); no dial of that name; a reading off its scale.
[[nodiscard]] Expected<const Dial*> dial_of(const Equipment* equipment, const DialSetting& given);

}  // namespace seamwright
