// All quantities of a pass at one setting, and the margins of every constraint there.
#include "window/operating_point.hpp"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>
#include <limits>

#include "seamwright/arc.hpp"
#include "seamwright/burnoff.hpp"
#include "seamwright/heat.hpp"
#include "seamwright/modulation.hpp"
#include "seamwright/pool.hpp"
#include "seamwright/pulse.hpp"
#include "seamwright/stainless.hpp"

namespace seamwright {
namespace {

BurnoffInput burnoff_of(const PassContext& c, const ConstantValues& x) {
  return {.wire_diameter_mm = c.wire.diameter_mm,
          .extension_mm = c.wire.extension_mm * at(x, K::extension),
          .melt_mm3_per_As = at(x, K::melt),
          .resistive_mm4_per_A2s = at(x, K::resistive),
          .line = c.wire.dip_line};
}

ArcInput arc_of(const PassContext& c, const ConstantValues& x) {
  return {.fixed_V = at(x, K::arc_fixed) + c.gas.arc_V,
          .resistance_ohm = at(x, K::arc_resistance),
          .field_V_per_mm = at(x, K::arc_field),
          .wire_resistivity_uohm_m = at(x, K::wire_resistivity),
          .wire_diameter_mm = c.wire.diameter_mm,
          .extension_mm = c.wire.extension_mm * at(x, K::extension)};
}

// Peak current, peak time and drop size; the trim moves the peak at fixed time.
PulseShape shape_of(const PassContext& c, const ConstantValues& x, const BurnoffInput& burnoff, double peak_trim) {
  const double peak_A = at(x, K::peak_current);
  PulseShape shape = c.pulse.peak_time_ms > 0
                         ? pulse_shape_fixed_time(peak_A, c.pulse.peak_time_ms, at(x, K::drop_ratio))
                         : pulse_shape(burnoff, peak_A,
                                       {.peak_share = at(x, K::peak_share),
                                        .drop_ratio = at(x, K::drop_ratio),
                                        .drop_ratio_min = c.pulse.drop_ratio_min,
                                        .drop_ratio_max = c.pulse.drop_ratio_max,
                                        .peak_time_min_ms = c.pulse.peak_time_min_ms,
                                        .peak_time_max_ms = c.pulse.peak_time_max_ms});
  shape.peak_current_A *= 1.0 + peak_trim;
  return shape;
}

double still_radius_mm(const ConstantValues& x, double current_A) {
  return at(x, K::source_radius) + at(x, K::source_radius_per_A) * current_A;
}
// Half the length of the source across the joint where the arc swings, as the radius of one that does not.
double swung_radius_mm(const PassContext& c, const ConstantValues& x, double current_A) {
  const double still = still_radius_mm(x, current_A);
  return std::sqrt(still * still + c.weave.variance_mm2);
}
double source_radius_mm(const PassContext& c, const ConstantValues& x, double current_A) {
  const double still = still_radius_mm(x, current_A);
  if (c.weave.variance_mm2 <= 0) return std::max(c.plate.least_radius_mm, still);
  return std::max(c.plate.least_radius_mm, std::sqrt(still * swung_radius_mm(c, x, current_A)));
}

// The law as a whole is uncertain by `feed_law`: a wire that really melts at W behaves like the law at W / feed_law.
double law_feed(const ConstantValues& x, double wire_feed_m_per_min) {
  return wire_feed_m_per_min / at(x, K::feed_law);
}

// Length of the arc at a current: what a fixed voltage leaves it, else the middle of the usual range; and the trim.
double length_of_arc_mm(const PassContext& c, const ArcInput& arc, double current_A, double trim_V) {
  const double untrimmed_mm = c.arc.fixed_V > 0 ? arc_length_mm(arc, current_A, c.arc.fixed_V)
                                                : 0.5 * (c.arc.length_min_mm + c.arc.length_max_mm);
  return untrimmed_mm + (is_dip(c.mode) ? 0.0 : trim_V / arc.field_V_per_mm);
}

// Pulsed power and means at one feed. `pulse_mean` carries the uncertainty of the rectangular pulse.
Electrical pulsed_electrical(const PassContext& c, const ConstantValues& x, const ArcInput& arc,
                             const PulseShape& shape, const PulseSet& set, double trim_V) {
  const double arc_length_mm = length_of_arc_mm(c, arc, set.mean_current_A, trim_V);
  const double factor = at(x, K::pulse_mean);
  const double peak_V = arc_voltage_V(arc, shape.peak_current_A, arc_length_mm);
  const double base_V = arc_voltage_V(arc, set.base_current_A, arc_length_mm);
  const double power =
      pulse_power_W(shape.peak_current_A, set.base_current_A, peak_V, base_V, std::clamp(set.duty, 0.0, 1.0));
  return {.current_A = factor * set.mean_current_A,
          .rms_A = factor * set.rms_current_A,
          .voltage_V = arc_voltage_V(arc, set.mean_current_A, arc_length_mm),
          .power_W = factor * power};
}

// Amplitude for the mean power of a double pulse: the given one, else the recommended share of the feed kept inside
// the pulse window and the usual range. Never negative.
double working_amplitude(const PassContext& c, const Setting& s) {
  if (s.modulation_amplitude_m_per_min > 0) return s.modulation_amplitude_m_per_min;
  if (c.modulation.amplitude_m_per_min > 0) return c.modulation.amplitude_m_per_min;
  const double w = s.wire_feed_m_per_min;
  return std::max(0.0, std::min({c.modulation.amplitude_share * w, w - c.pulse.feed_min_m_per_min,
                                 c.pulse.feed_max_m_per_min - w, c.modulation.amplitude_max_m_per_min}));
}

PoolInput pool_input(const PassContext& c, const ConstantValues& x, double power_W, double wire_feed_m_per_min,
                     double current_A, double travel_mm_per_s, double thickness_mm) {
  const double wire_W =
      wire_section_mm2(c.wire.diameter_mm) * wire_feed_m_per_min * mm_per_s_per_m_per_min * at(x, K::melt_enthalpy);
  PoolInput in{.net_power_W = at(x, K::joint_factor) * (at(x, K::arc_efficiency) * power_W - wire_W),
               .travel_mm_per_s = travel_mm_per_s,
               .source_radius_mm = source_radius_mm(c, x, current_A),
               .thickness_mm = thickness_mm,
               .conductivity_W_per_mmK = at(x, K::conductivity),
               .heat_capacity_J_per_mm3K = at(x, K::heat_capacity),
               .rise_to_melting_K = at(x, K::melting) - c.plate.start_C};
  if (!c.pool_by_integral) in.travel_mm_per_s = tabulated_travel_mm_per_s(in);
  return in;
}

Pool pool_of(const PassContext& c, const PoolInput& in, unsigned sizes, PoolMemo* memo = nullptr) {
  if (memo != nullptr)
    for (const PoolMemo::Known& known : memo->pools)
      if (known.sizes == sizes && known.in == in) return known.pool;
  const Pool pool = c.pool_by_integral ? pool_by_integral(in, sizes) : pool_by_table(in, sizes);
  if (memo != nullptr && memo->pools.size() < memo->pools.capacity()) memo->pools.push_back({in, sizes, pool});
  return pool;
}

constexpr unsigned sizes_of_back = pool_depth | pool_back_width;

}  // namespace

double weave_variance_mm2(double width_mm, double crossing_mm_per_s, double dwell_s) {
  const double crossing_s = width_mm / crossing_mm_per_s, under_way = crossing_s / (crossing_s + dwell_s);
  return width_mm * width_mm * (under_way / 12 + (1 - under_way) / 4);
}

double width_over_field(const PassContext& c, const ConstantValues& x, double current_A) {
  if (c.weave.variance_mm2 <= 0) return at(x, K::width);
  return at(x, K::width) *
         std::pow(swung_radius_mm(c, x, current_A) / still_radius_mm(x, current_A), c.weave.width_exponent);
}

double short_arc_line_V(const PassContext& c, const ConstantValues& x, double current_A) {
  return short_arc_voltage_V({.base_V = at(x, K::dip_base),
                              .slope_V_per_A = at(x, K::dip_slope),
                              .offset_V = at(x, K::dip_offset) + c.gas.dip_V,
                              .cap_V = c.arc.dip_cap_V},
                             current_A);
}

double trim_half_V(const PassContext& c, const ConstantValues& x) {
  if (c.arc.fixed_V > 0) return 0;
  return is_dip(c.mode) ? c.arc.dip_trim_V : 0.5 * (c.arc.length_max_mm - c.arc.length_min_mm) * at(x, K::arc_field);
}

std::optional<double> feed_at_m_per_min(const PassContext& c, const ConstantValues& x, Setting s, F id, double value) {
  s.travel_mm_per_s = 1;  // nothing of the supply hangs on it
  const auto off = [&](double ln_feed) {
    s.wire_feed_m_per_min = std::exp(ln_feed);
    return evaluate_supply(c, x, s)[id] - value;
  };
  constexpr double lowest = 0.02, highest = 400;
  const double low = std::log(lowest), high = std::log(highest);
  const double at_low = off(low), at_high = off(high);
  if (!(at_low <= 0) || !(at_high >= 0)) return std::nullopt;
  constexpr int root_bits = 48;
  std::uintmax_t iterations = 100;
  const auto root = boost::math::tools::toms748_solve(off, low, high, at_low, at_high,
                                                      boost::math::tools::eps_tolerance<double>(root_bits), iterations);
  return std::exp(0.5 * (root.first + root.second));
}

bool excess_follows_width(const PassContext& c) {
  return c.deposit.excess_fillet_max_mm2 <= 0 && c.deposit.excess_face_max_mm > 0;
}

double most_deposit_mm2(const PassContext& c, const FieldValues& f) {
  if (c.deposit.excess_fillet_max_mm2 > 0) return c.deposit.excess_fillet_max_mm2;
  if (c.deposit.excess_face_max_mm <= 0) return std::numeric_limits<double>::infinity();
  const auto excess = [](double width_mm, double fixed_mm, double share, double max_mm) {
    return 2.0 / 3.0 * width_mm * std::min(fixed_mm + share * width_mm, max_mm);
  };
  double most = c.deposit.needed_mm2 + excess(std::max(f[F::bead_width], c.deposit.cover_width_mm),
                                              c.deposit.excess_face_fixed_mm, c.deposit.excess_face_share,
                                              c.deposit.excess_face_max_mm);
  if (c.deposit.excess_root_max_mm > 0 && f[F::back_width] > 0)
    most += excess(f[F::back_width], c.deposit.excess_root_fixed_mm, c.deposit.excess_root_share,
                   c.deposit.excess_root_max_mm);
  return most;
}

namespace {

// The fields that need neither the pool nor the travel, and the electrical side for those that do.
Electrical feed_fields(const PassContext& c, const ConstantValues& x, const Setting& s, FieldValues& f) {
  f.value.fill(not_applicable);
  const double w = s.wire_feed_m_per_min;
  const BurnoffInput burnoff = burnoff_of(c, x);
  const ArcInput arc = arc_of(c, x);

  f[F::wire_feed] = w;
  f[F::arc_length_trim] = s.arc_trim_V;
  Electrical e;
  if (is_pulsed(c.mode)) {
    const PulseShape shape = shape_of(c, x, burnoff, s.peak_trim);
    const PulseSet set = pulse_set(burnoff, shape, law_feed(x, w));
    e = pulsed_electrical(c, x, arc, shape, set, s.arc_trim_V);
    if (c.mode == Mode::double_pulse) {
      const double a = working_amplitude(c, s);
      const double share = c.modulation.share;
      // The mean of the two feeds must stay the mean: with unequal shares the low phase moves further.
      const double w_high = w + a;
      const double w_low = w - a * share / (1.0 - share);
      const Electrical high =
          pulsed_electrical(c, x, arc, shape, pulse_set(burnoff, shape, law_feed(x, w_high)), s.arc_trim_V);
      const Electrical low = pulsed_electrical(
          c, x, arc, shape, pulse_set(burnoff, shape, law_feed(x, std::max(w_low, 0.01 * w))), s.arc_trim_V);
      e.current_A = share * high.current_A + (1 - share) * low.current_A;
      e.rms_A = std::sqrt(share * high.rms_A * high.rms_A + (1 - share) * low.rms_A * low.rms_A);
      e.voltage_V = share * high.voltage_V + (1 - share) * low.voltage_V;
      e.power_W = share * high.power_W + (1 - share) * low.power_W;
      f[F::modulation_amplitude] = a;
      f[F::wire_feed_high] = w_high;
      f[F::wire_feed_low] = w_low;
      const double frequency = s.modulation_frequency_Hz > 0 ? s.modulation_frequency_Hz : c.modulation.frequency_Hz;
      if (frequency > 0) {
        f[F::modulation_frequency] = frequency;
      }
    }
    f[F::current_rms] = e.rms_A;
    f[F::arc_length] = length_of_arc_mm(c, arc, set.mean_current_A, s.arc_trim_V);
    f[F::peak_current] = shape.peak_current_A;
    f[F::peak_time] = shape.peak_time_ms;
    f[F::peak_current_trim] = 100.0 * s.peak_trim;
    f[F::drop_diameter] = shape.drop_ratio * c.wire.diameter_mm;
    f[F::base_current] = set.base_current_A;
    f[F::base_time] = set.base_time_ms;
    f[F::pulse_frequency] = set.frequency_Hz;
    f[F::pulse_duty] = 100.0 * set.duty;
  } else {
    e.current_A = steady_current_A(burnoff, law_feed(x, w));
    e.rms_A = e.current_A;
    if (is_dip(c.mode)) {
      e.voltage_V = s.arc_trim_V + (c.arc.fixed_V > 0 ? c.arc.fixed_V : short_arc_line_V(c, x, e.current_A));
    } else {
      const double arc_length = length_of_arc_mm(c, arc, e.current_A, s.arc_trim_V);
      e.voltage_V = arc_voltage_V(arc, e.current_A, arc_length);
      f[F::arc_length] = arc_length;
    }
    e.power_W = e.voltage_V * e.current_A;
  }
  f[F::current] = e.current_A;
  f[F::voltage] = e.voltage_V;
  f[F::power] = e.power_W;

  f[F::current_rise] = c.arc.rise_nominal;
  // micro-ohm m over mm and mm2 gives milli-ohm.
  const double bridge_ohm =
      1e-3 * arc.wire_resistivity_uohm_m * arc.extension_mm / wire_section_mm2(c.wire.diameter_mm);
  f[F::inductance] = equivalent_inductance_mH(e.voltage_V, e.current_A, bridge_ohm, c.arc.rise_nominal);

  f[F::deposit_width] = c.deposit.cover_width_mm;
  if (c.metallurgy.steel.present) {
    f[F::carbon_equivalent] = c.metallurgy.steel.carbon_equivalent_percent;
    f[F::cet] = c.metallurgy.steel.cet_percent;
  }
  f[F::preheat] = c.plate.preheat_C;
  f[F::interpass] = c.plate.interpass_C;
  return e;
}

// Time with everything around the arc, energy from the mains, and what they and wire and gas cost.
void cost_fields(const PassContext& c, const ConstantValues& x, double power_W, FieldValues& f) {
  constexpr double seconds_per_min = 60, minutes_per_h = 60, J_per_kWh = 3.6e6, g_per_kg = 1000, l_per_m3 = 1000;
  const PassPrices& prices = c.use.prices;
  f[F::total_time] = f[F::arc_time] / (seconds_per_min * at(x, K::operating_factor));
  f[F::energy_drawn] = power_W * f[F::arc_time] / (J_per_kWh * at(x, K::source_efficiency));
  const auto charge = [&](F id, double price, double amount) {
    if (price < 0) return;
    f[id] = price * amount;
    f[F::cost] = (applies(f[F::cost]) ? f[F::cost] : 0.0) + f[id];
  };
  charge(F::cost_wire, prices.wire_per_kg, f[F::wire_mass] / g_per_kg);
  charge(F::cost_gas, prices.gas_per_m3, f[F::gas_volume] / l_per_m3);
  charge(F::cost_power, prices.power_per_kWh, f[F::energy_drawn]);
  charge(F::cost_labour, prices.labour_per_h, f[F::total_time] / minutes_per_h);
  if (c.use.weld_count <= 0) return;
  f[F::total_time_all] = c.use.weld_count * f[F::total_time];
  f[F::energy_drawn_all] = c.use.weld_count * f[F::energy_drawn];
  if (applies(f[F::cost])) f[F::cost_all] = c.use.weld_count * f[F::cost];
}

// How the torch swings: as given, or as a hand does by itself where it weaves in this position and the deposit is wide.
// Whether it does hangs on the pass alone, so that a quantity is there at every setting of it or at none.
void weave_fields(const PassContext& c, const ConstantValues& x, double v, FieldValues& f) {
  double width = c.weave.width_mm, dwell = c.weave.dwell_s;
  if (width <= 0) {
    if (c.weave.from_mm <= 0 || c.deposit.cover_width_mm < c.weave.from_mm) return;
    width = std::max(c.weave.width_min_mm, c.deposit.cover_width_mm - 2 * still_radius_mm(x, f[F::current]));
    const double usual = 0.5 * c.weave.advance_max_mm / v - width / c.weave.crossing_mm_per_s;
    dwell = std::max(c.weave.dwell_min_s, std::min(dwell, usual));
  }
  f[F::weave_width] = width;
  f[F::weave_dwell] = dwell;
  f[F::weave_advance] = 2 * v * (width / c.weave.crossing_mm_per_s + dwell);
}

// The fields that follow from the travel but need no pool.
void travel_fields(const PassContext& c, const ConstantValues& x, const Electrical& e, double v, FieldValues& f) {
  const double wire_mm3_per_s = wire_section_mm2(c.wire.diameter_mm) * f[F::wire_feed] * mm_per_s_per_m_per_min;
  f[F::travel] = v;
  if (f[F::modulation_frequency] > 0) f[F::ripple_pitch] = v / f[F::modulation_frequency];
  weave_fields(c, x, v, f);
  f[F::deposit_area] = at(x, K::deposition) * wire_mm3_per_s / v;
  if (c.deposit.bead_height_known && applies(f[F::voltage]))
    f[F::reinforcement] =
        at(x, K::bead_height) * bead_height_mm(c.deposit.bead_height, f[F::deposit_area], f[F::voltage], v);
  f[F::arc_energy] = arc_energy_kJ_per_mm(e.power_W, v);
  f[F::arc_energy_ui] = arc_energy_kJ_per_mm(e.voltage_V * e.current_A, v);
  f[F::heat_input] = heat_input_kJ_per_mm(f[F::arc_energy], c.efficiency_k);
  if (c.use.length_mm > 0) {
    const double seconds = c.use.length_mm / v;
    f[F::arc_time] = seconds;
    f[F::gas_volume] = c.gas.flow_l_per_min * seconds / 60.0;
    f[F::wire_mass] = wire_mm3_per_s * seconds * 1e-6 * c.wire.density_kg_per_m3;
    if (c.use.weld_count > 0) {
      f[F::quantity] = c.use.weld_count;
      f[F::arc_time_all] = c.use.weld_count * f[F::arc_time];
      f[F::gas_volume_all] = c.use.weld_count * f[F::gas_volume];
      f[F::wire_mass_all] = c.use.weld_count * f[F::wire_mass];
    }
    if (c.use.prices.present) cost_fields(c, x, e.power_W, f);
  }
}

Electrical supply_fields(const PassContext& c, const ConstantValues& x, const Setting& s, FieldValues& f) {
  const Electrical e = feed_fields(c, x, s, f);
  travel_fields(c, x, e, s.travel_mm_per_s, f);
  return e;
}

// Base metal and iron of an overlay's layers, each of which melts as much of the one below as the first of the plate.
void layer_fields(const PassContext& c, FieldValues& f) {
  const double share = 0.01 * f[F::dilution];
  f[F::dilution_layer_2] = 100.0 * share * share;
  f[F::dilution_layer_3] = 100.0 * share * share * share;
  if (c.deposit.iron_base_percent < 0) return;
  const auto iron = [&](double of_base) {
    return c.deposit.iron_wire_percent + of_base * (c.deposit.iron_base_percent - c.deposit.iron_wire_percent);
  };
  f[F::iron_layer_1] = iron(share);
  f[F::iron_layer_2] = iron(share * share);
  f[F::iron_layer_3] = iron(share * share * share);
}

// The pool, and what follows from it. Sizes of the pool that are not asked for count as 0, and what hangs on all of
// them is then left out.
void weld_fields(const PassContext& c, const ConstantValues& x, const Electrical& e, unsigned sizes, FieldValues& f,
                 PoolMemo* memo = nullptr) {
  const double w = f[F::wire_feed], v = f[F::travel];
  const Pool pool =
      pool_of(c, pool_input(c, x, e.power_W, w, e.current_A, v, c.plate.fusion_thickness_mm), sizes, memo);
  double back_width = pool.back_width_mm;
  if (c.plate.burn_thickness_mm != c.plate.fusion_thickness_mm)
    back_width =
        pool_of(c, pool_input(c, x, e.power_W, w, e.current_A, v, c.plate.burn_thickness_mm), sizes_of_back, memo)
            .back_width_mm;
  const double width_factor = width_over_field(c, x, e.current_A);
  f[F::bead_width] = width_factor * pool.width_mm;
  f[F::penetration] = std::min(at(x, K::penetration) * pool.depth_mm, c.plate.fusion_thickness_mm);
  f[F::back_width] = width_factor * back_width;
  f[F::pool_length] = pool.nose_mm + pool.tail_mm;
  if (c.joint != JointType::fillet && c.joint != JointType::lap && f[F::bead_width] > 0)
    f[F::layer_height] = f[F::deposit_area] / std::max(f[F::bead_width], c.deposit.cover_width_mm);
  const double melted = at(x, K::melted_share) * f[F::bead_width] * f[F::penetration];
  f[F::dilution] = 100.0 * dilution_share(melted, f[F::deposit_area]);
  if (sizes != pool_all) return;

  // Over the bead before it an overlay bead melts weld metal, not base metal; and it piles up on it.
  if (c.joint == JointType::overlay && melted > 0) {
    const double width = f[F::bead_width],
                 step = c.deposit.step_over_mm > 0 ? c.deposit.step_over_mm : c.deposit.step_over_share * width;
    const double share = base_share_of_section(step, width, melted / (width * f[F::penetration]));
    f[F::dilution] = 100.0 * dilution_share(share * melted, f[F::deposit_area]);
    f[F::layer_height] = f[F::deposit_area] / step;
    layer_fields(c, f);
  }
  const MetallurgyValues metal = metallurgy_values(c.metallurgy, f[F::heat_input], 0.01 * f[F::dilution],
                                                   {.cooling_factor = at(x, K::cooling_law),
                                                    .f2 = at(x, K::cooling_f2),
                                                    .hardness_HV = at(x, K::hardness_law),
                                                    .ferrite_number = at(x, K::ferrite_law)});
  f[F::t8_5] = metal.cooling_time_s;
  f[F::hardness] = metal.hardness_HV;
  f[F::ferrite_number] = metal.ferrite_number;
  f[F::pren] = metal.pitting_resistance;
}

// The sizes of the pool that the margins of a pass look at: its limits in net power need none.
unsigned sizes_for_margins(const PassContext& c) {
  if (c.plate.pool_support_factor > 0 || c.mode == Mode::double_pulse) return pool_all;
  for (const FieldLimit& limit : c.limits)
    if (needs_pool(limit.field)) return pool_all;
  return excess_follows_width(c) ? sizes_of_back | pool_width : 0U;
}

}  // namespace

FieldValues evaluate_supply(const PassContext& c, const ConstantValues& x, const Setting& s) {
  FieldValues f;
  static_cast<void>(supply_fields(c, x, s, f));
  return f;
}

namespace {

FieldValues evaluate(const PassContext& c, const ConstantValues& x, const Setting& s, PoolMemo* memo) {
  FieldValues f;
  const Electrical e = supply_fields(c, x, s, f);
  weld_fields(c, x, e, pool_all, f, memo);
  return f;
}

}  // namespace

FieldValues evaluate(const PassContext& c, const ConstantValues& x, const Setting& s) {
  return evaluate(c, x, s, nullptr);
}
FieldValues evaluate(const PassContext& c, const ConstantValues& x, const Setting& s, PoolMemo& memo) {
  return evaluate(c, x, s, &memo);
}

bool margins_need_sizes(const PassContext& c) { return sizes_for_margins(c) != 0; }

void add_sizes_for_margins(const PassContext& c, const ConstantValues& x, FieldValues& f) {
  if (const unsigned sizes = sizes_for_margins(c); sizes != 0)
    weld_fields(c, x, {.current_A = f[F::current], .power_W = f[F::power]}, sizes, f);
}

FieldValues evaluate_for_margins(const PassContext& c, const ConstantValues& x, const Setting& s) {
  FieldValues f = evaluate_supply(c, x, s);
  add_sizes_for_margins(c, x, f);
  return f;
}

FieldValues at_frequency(FieldValues f, double frequency_Hz) {
  f[F::modulation_frequency] = frequency_Hz;
  f[F::ripple_pitch] = f[F::travel] / frequency_Hz;
  return f;
}

namespace {

Electrical phase_electrical(const PassContext& c, const ConstantValues& x, double feed) {
  const BurnoffInput burnoff = burnoff_of(c, x);
  const PulseShape shape = shape_of(c, x, burnoff, 0.0);
  return pulsed_electrical(c, x, arc_of(c, x), shape, pulse_set(burnoff, shape, law_feed(x, feed)), 0.0);
}
PoolInput pool_of_phase(const PassContext& c, const ConstantValues& x, const Electrical& e, double feed,
                        double travel) {
  return pool_input(c, x, e.power_W, feed, e.current_A, travel, c.plate.burn_thickness_mm);
}

}  // namespace

PoolInput phase_pool(const PassContext& c, const ConstantValues& x, double feed, double travel) {
  return pool_of_phase(c, x, phase_electrical(c, x, feed), feed, travel);
}

double back_width_mm(const PassContext& c, const ConstantValues& x, double feed, double travel) {
  const Electrical e = phase_electrical(c, x, feed);
  return width_over_field(c, x, e.current_A) *
         pool_of(c, pool_of_phase(c, x, e, feed, travel), sizes_of_back).back_width_mm;
}

PoolInput heat_field(const PassContext& c, const ConstantValues& x, const FieldValues& f, double thickness_mm) {
  PoolInput in = pool_input(c, x, f[F::power], 0.0, f[F::current], f[F::travel], thickness_mm);
  in.net_power_W = at(x, K::joint_factor) * at(x, K::arc_efficiency) * f[F::power];
  return in;
}

Modulation modulation_at(const PassContext& c, const ConstantValues& x, const FieldValues& f,
                         double burn_through_feed) {
  const BurnoffInput burnoff = burnoff_of(c, x);
  return solve_modulation({.burnoff = burnoff,
                           .shape = shape_of(c, x, burnoff, 0.01 * f[F::peak_current_trim]),
                           .wire_feed_m_per_min = f[F::wire_feed],
                           .share_high = c.modulation.share,
                           .travel_mm_per_s = f[F::travel],
                           .pool_length_mm = f[F::pool_length],
                           .bead_width_mm = f[F::bead_width],
                           .pool_depth_mm = f[F::penetration],
                           .diffusivity_mm2_per_s = at(x, K::conductivity) / at(x, K::heat_capacity),
                           .pulse_feed_min_m_per_min = c.pulse.feed_min_m_per_min,
                           .pulse_feed_max_m_per_min = c.pulse.feed_max_m_per_min,
                           .burn_through_feed_m_per_min = burn_through_feed,
                           .source_frequency_min_Hz = c.modulation.frequency_min_Hz,
                           .source_frequency_max_Hz = c.modulation.frequency_max_Hz,
                           .source_amplitude_min_m_per_min = c.modulation.amplitude_min_m_per_min,
                           .source_amplitude_max_m_per_min = c.modulation.amplitude_max_m_per_min,
                           .source_limit = c.modulation.limit,
                           .pool_share = c.modulation.pool_share,
                           .left_min = c.modulation.left_min,
                           .swing_min = c.modulation.swing_min,
                           .pitch_widths = c.modulation.pitch_widths,
                           .easy_frequency_min_Hz = c.modulation.easy_min_Hz,
                           .easy_frequency_max_Hz = c.modulation.easy_max_Hz,
                           .amplitude_share = c.modulation.amplitude_share,
                           .frequency_Hz = applies(f[F::modulation_frequency]) ? f[F::modulation_frequency] : 0.0});
}

PoolInput pool_input_at(const PassContext& c, const ConstantValues& x, const FieldValues& f) {
  return pool_input(c, x, f[F::power], f[F::wire_feed], f[F::current], f[F::travel], c.plate.fusion_thickness_mm);
}

}  // namespace seamwright
