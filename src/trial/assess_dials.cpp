// Numbers read off the machine's dials, as the setting they stand for.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "trial/assess_parts.hpp"

namespace seamwright {
namespace {

struct DialKey {
  F field;
  Given<double> Joint::*key;
};
constexpr std::array<DialKey, 9> dial_keys{{{F::wire_feed, &Joint::setting_feed_m_per_min},
                                            {F::current, &Joint::setting_current_A},
                                            {F::voltage, &Joint::setting_voltage_V},
                                            {F::travel, &Joint::setting_travel_mm_per_s},
                                            {F::pulse_frequency, &Joint::setting_frequency_Hz},
                                            {F::peak_current, &Joint::setting_peak_A},
                                            {F::base_current, &Joint::setting_base_A},
                                            {F::modulation_amplitude, &Joint::setting_amplitude_m_per_min},
                                            {F::modulation_frequency, &Joint::setting_modulation_Hz}}};

Diagnostic refusal(const DialSetting& given, std::string message, std::string help) {
  return {given.place, std::move(message), std::move(help)};
}

}  // namespace

Diagnostics take_dials(const AssessOptions& options, Joint& joint, DialTrims& trims) {
  Diagnostics errors;
  std::vector<F> seen;
  std::vector<DialSetting> all = options.dials;
  all.insert(all.end(), joint.setting_dials.begin(), joint.setting_dials.end());
  for (const DialSetting& given : all) {
    const Expected<const Dial*> found = dial_of(options.equipment, given);
    if (!found) {
      errors.insert(errors.end(), found.errors().begin(), found.errors().end());
      if (options.equipment == nullptr) return errors;
      continue;
    }
    const Dial* dial = *found;
    if (std::find(seen.begin(), seen.end(), dial->field) != seen.end()) {
      errors.push_back(refusal(given, fmt::format("{} is given twice", field(dial->field).label), "give it once"));
      continue;
    }
    seen.push_back(dial->field);
    const double value = value_at_dial(*dial, given.reading);
    if (dial->field == F::arc_length_trim) {
      trims.arc_V = value;
      continue;
    }
    if (dial->field == F::peak_current_trim) {
      trims.peak_share = 0.01 * value;
      continue;
    }
    const auto key =
        std::find_if(dial_keys.begin(), dial_keys.end(), [&](const DialKey& k) { return k.field == dial->field; });
    if (key == dial_keys.end()) {
      trims.unused.push_back(dial->field);
      continue;
    }
    Given<double>& target = joint.*(key->key);
    if (target)
      errors.push_back(
          refusal(given, fmt::format("{} is given twice", field(dial->field).label), "give the dial or the quantity"));
    else if (!(value > 0))
      errors.push_back(refusal(given, fmt::format("the dial sets no {} there", field(dial->field).label),
                               "check its number, and the dial in the equipment file"));
    else
      target = {value, given.place};
  }
  if (trims.arc_V && joint.setting_voltage_V)
    errors.push_back({joint.setting_voltage_V.place, "the voltage and the trim of the arc length are both given",
                      "each fixes the arc length: give one of them"});
  if (trims.peak_share && joint.setting_peak_A)
    errors.push_back({joint.setting_peak_A.place, "the peak current and its trim are both given", "give one of them"});
  return errors;
}

}  // namespace seamwright
