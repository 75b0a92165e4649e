// What the joint file and the equipment ask of the lockable box.
#include "plan/plan_parts.hpp"
#include "seamwright/power_source.hpp"
#include "settle/resolve.hpp"

namespace seamwright {

double setting_accuracy(const Case& c, double setting, const std::optional<Interval>& range) {
  const Limits& lim = *c.catalog->limits;
  if (c.equipment->accuracy == AccuracyGrade::precision) return lim.setting_accuracy_precision.value;
  const double share = lim.setting_accuracy_standard.value;
  if (!range || !(setting > 0)) return share;
  return setting_deviation(setting, range->high, share, lim.setting_accuracy_from.value) / setting;
}

BoxWish box_wish(const Case& c, const PassResult& pass) {
  const Joint& j = c.joint;
  BoxWish wish;
  if (j.confidence) wish.confidence = *j.confidence;
  const std::array<const Given<Interval>*, box_side_count> fixed{&j.lock_wire_feed_m_per_min, &j.lock_travel_mm_per_s,
                                                                 &j.lock_arc_trim_V,          &j.lock_peak_trim,
                                                                 &j.lock_amplitude_m_per_min, &j.lock_frequency_Hz};
  const std::array<const Given<double>*, box_side_count> weights{&j.lock_weight_wire_feed, &j.lock_weight_travel,
                                                                 &j.lock_weight_arc_trim,  &j.lock_weight_peak_trim,
                                                                 &j.lock_weight_amplitude, &j.lock_weight_frequency};
  for (std::size_t i = 0; i < box_side_count; ++i) {
    if (*fixed[i]) wish.fixed[i] = **fixed[i];
    if (*weights[i]) wish.weight[i] = **weights[i];
  }
  // One value given for feed or travel is a side of no width.
  if (!wish.fixed[0] && j.wire_feed_m_per_min) wish.fixed[0] = Interval{*j.wire_feed_m_per_min, *j.wire_feed_m_per_min};
  if (!wish.fixed[0] && j.current_A) wish.fixed[0] = Interval{pass[F::wire_feed].value, pass[F::wire_feed].value};
  if (!wish.fixed[1] && fixed_travel_mm_per_s(j) > 0) wish.fixed[1] = *j.travel_mm_per_s;

  SettingAccuracy& accuracy = wish.accuracy;
  if (is_machine(c.equipment)) {
    const Equipment& machine = *c.equipment;
    accuracy = {setting_accuracy(c, pass[F::wire_feed].value, {}),
                setting_accuracy(c, pass[F::voltage].value, machine.voltage_V),
                setting_accuracy(c, pass[F::peak_current].value, machine.peak_current_A), true};
  }
  const auto own = [&](const Given<double>& given, double& value) {
    if (!given) return;
    value = *given;
    accuracy.known = true;
  };
  own(j.lock_accuracy_wire_feed, accuracy.wire_feed);
  own(j.lock_accuracy_voltage, accuracy.voltage);
  own(j.lock_accuracy_peak_current, accuracy.peak_current);
  return wish;
}

}  // namespace seamwright
