// Every constraint at an evaluated point: how far off, and how surely it holds.
#include "window/margins.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "physics/pool_powers.hpp"
#include "seamwright/confidence.hpp"
#include "seamwright/constraint.hpp"
#include "seamwright/modulation.hpp"
#include "seamwright/pulse.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

constexpr double vacuum_permeability_H_per_m = 4e-7 * std::numbers::pi;
constexpr double standard_gravity_m_per_s2 = 9.80665;
constexpr double unlimited = std::numeric_limits<double>::infinity();
constexpr double ample = 50;  // of a distance: nothing is so far away, and sums of it stay finite

// Logarithm of a ratio that may reach zero or below, where it goes on as a straight line: still rising, still smooth.
double log_ratio(double ratio) {
  constexpr double turn = 0.05;
  if (ratio >= turn) return std::min(std::log(ratio), ample);
  return std::max(std::log(turn) + (ratio - turn) / turn, -ample);
}

// A quantity that this pass has, but whose formula may not hold at a point: there a limit on it is not satisfied.
bool should_apply(const PassContext& c, F id) {
  return (id == F::hardness && c.metallurgy.steel.hardness_known) ||
         (id == F::ferrite_number && c.metallurgy.stainless.rule != FerriteRule::none);
}

bool is_fusion(C id) { return is_about(id, ConstraintInfo::Topic::fusion); }
int power_sign(C id) { return constraint(id).power; }

class Evaluation {
 public:
  Evaluation(const PassContext& c, const ConstantValues& x, const FieldValues& f, bool modulation_set,
             std::uint64_t wanted)
      : c_(c), x_(x), f_(f), modulation_set_(modulation_set), wanted_(wanted & ~c.ignored_constraints) {}

  void pulse_limits(MarginList& list) {
    list_ = &list;
    at_least(C::transition, F::peak_current, at(x_, K::transition), c_.source.transition);
    at_least(C::pulse_base_current, at(x_, K::base_current_min), c_.source.base_current);
    at_least(C::pulse_base_time, c_.pulse.base_time_min_ms, c_.source.pulse);
    at_least(C::pulse_frequency_min, c_.pulse.frequency_min_Hz, c_.source.pulse);
    at_most(C::pulse_frequency_max, c_.pulse.frequency_max_Hz, c_.source.pulse);
    at_most(C::pulse_duty, 100.0 * c_.pulse.duty_max, c_.source.pulse);
  }

  // The limits by what decides them: the wire, the supply and the travel; the power of the pool; its sizes.
  struct Parts {
    bool supply = true, power = true, sizes = true;
  };
  // `pool_known`: margins where the pool is the same.
  void append(MarginList& list, Parts parts, const MarginList* pool_known = nullptr) {
    list_ = &list;
    if (parts.supply) {
      if (is_pulsed(c_.mode)) {
        pulse_limits(list);
      } else {
        if (c_.mode_min_is_transition)
          at_least(C::transition, F::current, at(x_, K::transition), c_.source.transition);
        else
          at_least(c_.mode_min, at(x_, K::mode_current_min), c_.source.mode_min);
        if (c_.mode_max != C::none) at_most(c_.mode_max, at(x_, K::mode_current_max), c_.source.mode_max);
      }
    }
    if (parts.sizes && c_.mode == Mode::double_pulse) modulation();
    if (parts.supply) {
      if (c_.arc.fixed_V > 0) voltage();
      at_least(C::deposit_needed, c_.deposit.needed_mm2, c_.source.deposit);
      at_most(C::deposit_position, c_.deposit.position_max_mm2, c_.source.deposit);
      if (c_.weave.width_mm > 0)
        at_most(C::weave_advance, c_.weave.advance_max_mm, c_.ends[static_cast<std::size_t>(C::weave_advance)].source);
    }
    if (wants(C::excess_metal) && (excess_follows_width(c_) ? parts.sizes : parts.supply))
      at_most(C::excess_metal, most_deposit_mm2(c_, f_), c_.source.excess);
    if (pool_known != nullptr) {
      copy_pool(*pool_known);
    } else {
      if (parts.power) pool_power();
      if (parts.sizes) pool_support();
    }
    for (const FieldLimit& limit : c_.limits) {
      if (!(needs_pool(limit.field) ? parts.sizes : parts.supply)) continue;
      if (!wants(limit.id) || (!applies(f_[limit.field]) && !should_apply(c_, limit.field))) continue;
      if (std::isfinite(limit.low)) field_limit(limit, false, limit.low);
      if (std::isfinite(limit.high)) field_limit(limit, true, limit.high);
    }
  }

 private:
  const PassContext& c_;
  const ConstantValues& x_;
  const FieldValues& f_;
  bool modulation_set_;
  std::uint64_t wanted_;
  MarginList* list_ = nullptr;

  [[nodiscard]] bool wants(C id) const { return (wanted_ >> static_cast<unsigned>(id)) & 1U; }

  // `distance`: logarithm of how far inside the limit the point lies; `beyond`: how far the last end lies outside it.
  void add(C id, F field, bool upper, double value, double limit, double distance, double beyond, double spread,
           SourceIndex source) {
    const LimitEnds& ends = c_.ends[static_cast<std::size_t>(id)];
    distance = std::isnan(distance) ? -ample : std::clamp(distance, -ample, ample);
    Margin m{id, field, upper, value, limit, 0, 0, distance + beyond, distance, source};
    const double width = ends.easy_apart ? ends.easy + beyond : spread;
    m.score = m.room / width;
    m.surety = ends.easy_apart ? m.score : distance / spread;
    if (list_->size < MarginList::capacity) {
      list_->items[list_->size++] = m;
    } else {
      // Limits of the user's own can be more than there is room for: the ones with most room give way.
      Margin& widest = *std::max_element(list_->items.data(), list_->items.data() + list_->size,
                                         [](const Margin& a, const Margin& b) { return a.score < b.score; });
      if (m.score < widest.score) widest = m;
    }
  }
  // One that follows from the constants of the model: its last end and spread are those of the constraint.
  void add(C id, F field, bool upper, double value, double limit, double distance, SourceIndex source) {
    const auto k = static_cast<std::size_t>(id);
    if (wants(id)) add(id, field, upper, value, limit, distance, c_.ends[k].last, c_.spread[k], source);
  }
  void add(C id, bool upper, double value, double limit, double distance, SourceIndex source) {
    add(id, constraint(id).quantity, upper, value, limit, distance, source);
  }
  // Likewise, with a last end of its own.
  void add(C id, bool upper, double value, double limit, double distance, double beyond, SourceIndex source) {
    add(id, constraint(id).quantity, upper, value, limit, distance, beyond, c_.spread[static_cast<std::size_t>(id)],
        source);
  }
  void at_least(C id, double limit, SourceIndex source) { at_least(id, constraint(id).quantity, limit, source); }
  void at_most(C id, double limit, SourceIndex source) { at_most(id, constraint(id).quantity, limit, source); }
  // Where the limited quantity hangs on the pass.
  void at_least(C id, F field, double limit, SourceIndex source) {
    if (limit > 0) add(id, field, false, f_[field], limit, log_ratio(f_[field] / limit), source);
  }
  void at_most(C id, F field, double limit, SourceIndex source) {
    if (std::isfinite(limit)) add(id, field, true, f_[field], limit, -log_ratio(f_[field] / limit), source);
  }
  void field_limit(const FieldLimit& limit, bool upper, double end) {
    const double value = f_[limit.field];
    const double spread = c_.field_spread[static_cast<std::size_t>(limit.field)];
    const double beyond = c_.ends[static_cast<std::size_t>(limit.id)].last;
    // Quantities that may be zero or below, a trim or a temperature, are compared in units of their spread.
    double distance = 0;
    if (!applies(value))
      distance = -ample;
    else if (end > 0)
      distance = upper ? -log_ratio(value / end) : log_ratio(value / end);
    else
      distance = (upper ? end - value : value - end) / std::max(1.0, std::abs(end));
    add(limit.id, limit.field, upper, value, end, distance, beyond, spread, limit.source);
  }

  void copy_pool(const MarginList& from) {
    for (const Margin& m : from)
      if (power_sign(m.id) != 0 || m.id == C::pool_support) list_->items[list_->size++] = m;
  }

  // A fixed voltage must leave an arc of usual length, or lie in the usual range of a dip mode.
  void voltage() {
    if (is_dip(c_.mode)) {
      const double line_V = short_arc_line_V(c_, x_, f_[F::current]);
      at_least(C::dip_voltage_range, F::voltage, line_V - c_.arc.dip_trim_V, c_.source.pulse);
      at_most(C::dip_voltage_range, F::voltage, line_V + c_.arc.dip_trim_V, c_.source.pulse);
    } else {
      at_least(C::arc_length_range, F::arc_length, c_.arc.length_min_mm, c_.source.pulse);
      at_most(C::arc_length_range, F::arc_length, c_.arc.length_max_mm, c_.source.pulse);
    }
  }

  void modulation() {
    const Modulation m = modulation_at(c_, x_, f_, unlimited);
    // A given frequency or amplitude must lie in its band; a recommended one always does when the band is open.
    const double frequency = modulation_set_ ? f_[F::modulation_frequency] : c_.modulation.frequency_Hz;
    const double amplitude = modulation_set_ ? f_[F::modulation_amplitude] : c_.modulation.amplitude_m_per_min;
    const C f_low = m.frequency_low_end, f_high = m.frequency_high_end;
    const C a_low = m.amplitude_low_end, a_high = m.amplitude_high_end;
    const auto inside = [&](C id, F field, bool upper, double value, double limit) {
      add(id, field, upper, value, limit, upper ? -log_ratio(value / limit) : log_ratio(value / limit),
          c_.source.pulse);
    };
    if (frequency > 0) {
      inside(f_low, F::modulation_frequency, false, frequency, m.frequency_low_Hz);
      inside(f_high, F::modulation_frequency, true, frequency, m.frequency_high_Hz);
    } else {
      inside(f_high, F::modulation_frequency, true, m.frequency_low_Hz, m.frequency_high_Hz);
    }
    if (amplitude > 0) {
      inside(a_low, F::modulation_amplitude, false, amplitude, m.amplitude_low_m_per_min);
      inside(a_high, F::modulation_amplitude, true, amplitude, m.amplitude_high_m_per_min);
    } else {
      inside(a_high, F::modulation_amplitude, false, m.amplitude_high_m_per_min, m.amplitude_low_m_per_min);
    }
    // The high phase alone must not melt through either, as if it were held on.
    if (std::isfinite(c_.plate.back_width_max_mm) && wants(C::modulation_burn_through)) {
      const PoolInput high = phase_pool(c_, x_, f_[F::wire_feed_high], f_[F::travel]);
      const double width_factor = width_over_field(c_, x_, f_[F::current]);
      const double width_mm = c_.plate.back_width_max_mm / width_factor;
      const double last_mm = c_.plate.back_width_last_mm / width_factor;
      const double given = ln_power(high);
      const PoolPowers powers(high);
      const double distance = power_distance(powers.ln_back_width_W(width_mm), given);
      const double room = power_distance(powers.ln_back_width_W(last_mm), given);
      add(C::modulation_burn_through, true, f_[F::back_width], c_.plate.back_width_max_mm, distance, room - distance,
          c_.source.burn);
    }
  }

  // ln(needed / given net power).
  static double power_distance(double ln_needed_W, double ln_given_W) {
    return std::isfinite(ln_needed_W) ? ln_needed_W - ln_given_W : ample;
  }
  static double ln_power(const PoolInput& in) { return in.net_power_W > 0 ? std::log(in.net_power_W) : -ample; }
  // Well inside a limit its last end need not be looked up: it is further still.
  static constexpr double well_inside = 0.3;

  // The limits of the pool that are compared in net power: smooth where a back begins to melt, and linear in what melts
  // it.
  void pool_power() {
    const bool fill = c_.role == PassRole::fill || c_.role == PassRole::cap;
    const C fusion = fill ? C::wall_fusion : C::root_fusion;
    const bool fusion_wanted = wants(fusion) || wants(C::full_penetration);
    const bool burn = std::isfinite(c_.plate.back_width_max_mm) && wants(C::burn_through);
    const bool support = c_.plate.melt_support && wants(C::melt_support);
    const bool lap = c_.deposit.melted_width_min_mm > 0 && wants(C::cold_lap);
    const double width_factor = width_over_field(c_, x_, f_[F::current]);
    const PoolInput thick = pool_input_at(c_, x_, f_);
    const bool two_plates = c_.plate.burn_thickness_mm != c_.plate.fusion_thickness_mm;
    PoolInput thin = thick;
    thin.thickness_mm = c_.plate.burn_thickness_mm;
    const double given = ln_power(thick);

    const PoolPowers fusing(thick);
    const std::optional<PoolPowers> other_plate = two_plates ? std::optional(PoolPowers(thin)) : std::nullopt;
    const PoolPowers& melting_back = two_plates ? *other_plate : fusing;
    const double width_mm = c_.deposit.melted_width_min_mm / width_factor;
    double depth_mm = 0;
    // Melted right through is deep enough, however much the field's depth is out.
    if (fusion_wanted)
      depth_mm = c_.plate.fusion_depth_mm - (c_.plate.fusion_takes_gap ? at(x_, K::gap_credit) * c_.plate.gap_mm : 0.0);

    if (fusion_wanted) {
      const double deep =
          depth_mm <= 0
              ? ample
              : -power_distance(fusing.ln_depth_W(std::min(depth_mm / at(x_, K::penetration), thick.thickness_mm)),
                                given);
      double through = -ample;
      if (c_.plate.back_width_min_mm > 0)
        through = -power_distance(melting_back.ln_back_width_W(c_.plate.back_width_min_mm / width_factor), given);
      if (through > deep)
        add(C::full_penetration, false, f_[F::back_width], c_.plate.back_width_min_mm, through, c_.source.fusion);
      else
        add(fusion, false,
            f_[F::penetration] + (c_.plate.fusion_takes_gap ? at(x_, K::gap_credit) * c_.plate.gap_mm : 0.0),
            c_.plate.fusion_depth_mm, deep, c_.source.fusion);
    }
    if (lap) {
      // A bead laps cold where it is coldest: over metal no warmer than the preheat.
      PoolInput cold = thick;
      cold.rise_to_melting_K += c_.plate.start_C - c_.plate.preheat_C;
      const bool colder = cold.rise_to_melting_K != thick.rise_to_melting_K;
      const std::optional<PoolPowers> of_cold = colder ? std::optional(PoolPowers(cold)) : std::nullopt;
      const PoolPowers& lapping = colder ? *of_cold : fusing;
      const double distance = -power_distance(lapping.ln_width_W(width_mm), given);
      double beyond = 0;
      if (distance < well_inside) {
        const double last = c_.ends[static_cast<std::size_t>(C::cold_lap)].last;
        beyond = -power_distance(lapping.ln_width_W(std::exp(-last) * width_mm), given) - distance;
      }
      add(C::cold_lap, false, f_[F::bead_width], c_.deposit.melted_width_min_mm, distance, beyond, c_.source.cold_lap);
    }
    if (burn) {
      const auto room_to = [&](double back_mm) {
        return power_distance(melting_back.ln_back_width_W(back_mm / width_factor), given);
      };
      const double distance = room_to(c_.plate.back_width_max_mm);
      const double beyond = distance < well_inside ? room_to(c_.plate.back_width_last_mm) - distance : 0.0;
      add(C::burn_through, true, f_[F::back_width], c_.plate.back_width_max_mm, distance, beyond, c_.source.burn);
    }
    if (support) {
      const double radius_m = 1e-3 * c_.plate.arc_radius_factor * thick.source_radius_mm;
      const double arc_Pa = vacuum_permeability_H_per_m * f_[F::current] * f_[F::current] /
                            (8.0 * std::numbers::pi * std::numbers::pi * radius_m * radius_m);
      const double weight_Pa = at(x_, K::melt_density) * standard_gravity_m_per_s2 * 1e-3 * c_.plate.burn_thickness_mm;
      const double limit_mm = 1e3 * 4.0 * at(x_, K::surface_tension) / (arc_Pa + weight_Pa);
      constexpr double well_beyond = 1.5;
      // Where the skin would hold a much wider back than burn-through is refused at, it has no say.
      const double distance = limit_mm >= well_beyond * c_.plate.back_width_last_mm
                                  ? ample
                                  : power_distance(melting_back.ln_back_width_W(limit_mm / width_factor), given);
      add(C::melt_support, true, f_[F::back_width], limit_mm, distance, c_.source.burn);
    }
  }

  void pool_support() {
    if (c_.plate.pool_support_factor <= 0 || !wants(C::pool_support)) return;
    const double area_mm2 = 1e6 * c_.plate.pool_support_factor * at(x_, K::surface_tension) /
                            (at(x_, K::melt_density) * standard_gravity_m_per_s2);
    const double limit_mm = f_[F::bead_width] > 0 ? area_mm2 / f_[F::bead_width] : area_mm2;
    add(C::pool_support, true, f_[F::pool_length], limit_mm,
        f_[F::bead_width] > 0 ? -log_ratio(f_[F::pool_length] / limit_mm) : ample, c_.source.pool_support);
  }
};

constexpr std::uint64_t every_constraint = ~std::uint64_t{0};
constexpr Evaluation::Parts of_supply{.power = false, .sizes = false};

}  // namespace

MarginList margins(const PassContext& c, const ConstantValues& x, const FieldValues& f, bool modulation_set) {
  MarginList list;
  Evaluation(c, x, f, modulation_set, every_constraint).append(list, {});
  return list;
}

MarginList setting_margins(const PassContext& c, const ConstantValues& x, const Setting& s, SettingMemo* memo) {
  if (c.mode != Mode::double_pulse || !(s.modulation_frequency_Hz > 0)) memo = nullptr;
  Setting still = s;
  still.modulation_frequency_Hz = 0;
  const bool known = memo != nullptr && memo->filled && memo->setting == still;
  const FieldValues f = known ? at_frequency(memo->fields, s.modulation_frequency_Hz) : evaluate_for_margins(c, x, s);
  MarginList list;
  Evaluation(c, x, f, s.modulation_frequency_Hz > 0, every_constraint)
      .append(list, {}, known ? &memo->margins : nullptr);
  if (memo != nullptr && !known) *memo = {true, still, f, list};
  const auto add = [&](C id, F field, bool upper, double value, double limit, double scale) {
    if (list.size == MarginList::capacity) return;
    const double distance = (upper ? limit - value : value - limit) / scale;
    list.items[list.size++] = {id, field, upper, value, limit, distance, distance, distance, distance, 0};
  };
  if (is_dip(c.mode)) {
    add(C::dip_voltage_range, F::arc_length_trim, false, s.arc_trim_V, -c.arc.dip_trim_V, c.arc.dip_trim_V);
    add(C::dip_voltage_range, F::arc_length_trim, true, s.arc_trim_V, c.arc.dip_trim_V, c.arc.dip_trim_V);
  } else if (const double half = 0.5 * (c.arc.length_max_mm - c.arc.length_min_mm); half > 0) {
    add(C::arc_length_range, F::arc_length, false, f[F::arc_length], c.arc.length_min_mm, half);
    add(C::arc_length_range, F::arc_length, true, f[F::arc_length], c.arc.length_max_mm, half);
  }
  if (is_pulsed(c.mode)) {
    const TrimWindow window = peak_trim_window(c.pulse.criterion_window, c.pulse.criterion_exponent);
    const double trim = f[F::peak_current_trim], low = 100.0 * window.low, high = 100.0 * window.high;
    add(C::drop_criterion, F::peak_current_trim, false, trim, low, -low);
    add(C::drop_criterion, F::peak_current_trim, true, trim, high, high);
  }
  return list;
}

MarginList point_margins(const PassContext& c, const ConstantValues& x, const Setting& s) {
  return margins(c, x, evaluate_for_margins(c, x, s), s.modulation_frequency_Hz > 0);
}

namespace {

double worst_score(const MarginList& list) { return list.size > 0 ? list.worst().score : unlimited; }

}  // namespace

double score_without_pool(const PassContext& c, const ConstantValues& x, const Setting& s) {
  MarginList list;
  const FieldValues f = evaluate_supply(c, x, s);
  Evaluation(c, x, f, s.modulation_frequency_Hz > 0, every_constraint).append(list, of_supply);
  return worst_score(list);
}

std::optional<PointScore> score_from(const PassContext& c, const ConstantValues& x, const Setting& s, double enough) {
  FieldValues f = evaluate_supply(c, x, s);
  Evaluation here(c, x, f, s.modulation_frequency_Hz > 0, every_constraint);
  MarginList list;
  here.append(list, of_supply);
  if (worst_score(list) < enough) return std::nullopt;
  here.append(list, {.supply = false, .sizes = false});
  if (worst_score(list) < enough) return std::nullopt;
  if (margins_need_sizes(c)) {
    add_sizes_for_margins(c, x, f);
    here.append(list, {.supply = false, .power = false});
  }
  if (worst_score(list) < enough) return std::nullopt;
  return list.size > 0 ? PointScore{list.worst().score, list.least_sure().surety} : PointScore{unlimited, unlimited};
}

double smallest_pulse_score(const PassContext& c, const ConstantValues& x, double feed) {
  Setting s;
  s.wire_feed_m_per_min = feed;
  s.travel_mm_per_s = 1;  // the pulse does not hang on it
  const FieldValues f = evaluate_supply(c, x, s);
  constexpr std::uint64_t not_the_peak = ~(std::uint64_t{1} << static_cast<unsigned>(C::transition));
  MarginList list;
  Evaluation(c, x, f, false, not_the_peak).pulse_limits(list);
  return list.worst().score;
}

namespace {

// What moves the electrical side alone: it reaches the pool through the net power and the radius of the source.
constexpr bool is_electrical(K id) {
  switch (id) {
    case K::source_radius:
    case K::source_radius_per_A:
    case K::conductivity:
    case K::heat_capacity:
    case K::melting:
    case K::penetration:
    case K::width:
    case K::gap_credit:
    case K::surface_tension:
    case K::melt_density:
    case K::melted_share:
    case K::cooling_law:
    case K::cooling_f2:
    case K::hardness_law:
    case K::ferrite_law:
      return false;
    default:
      return true;
  }
}

// The limits of the pool that a constant moves which is not electrical.
std::uint64_t moved_limits(K id) {
  const auto bits = [](std::initializer_list<C> limits) {
    std::uint64_t sum = 0;
    for (const C limit : limits) sum |= std::uint64_t{1} << static_cast<unsigned>(limit);
    return sum;
  };
  switch (id) {
    case K::penetration:
    case K::gap_credit:
      return bits({C::root_fusion, C::wall_fusion, C::full_penetration});
    case K::surface_tension:
    case K::melt_density:
      return bits({C::melt_support});
    default:
      return every_constraint;
  }
}

class Spreads {
 public:
  Spreads(const PassContext& c, const Setting& s)
      : c_(c), x_(nominal_values(c.constants)), s_(s), nominal_(point_margins(c, x_, s)) {
    if (!c.correlations.empty()) changes_.resize(model_constant_count);
    quick_ = c.mode != Mode::double_pulse && !margins_need_sizes(c);
    if (!quick_) return;
    supply_ = evaluate_supply(c, x_, s_);
    const PoolInput here = pool_input_at(c, x_, supply_);
    ln_power_ = std::log(std::max(here.net_power_W, 1e-3));
    ln_radius_ = std::log(here.source_radius_mm);
    constexpr double probe = 0.03;
    ConstantValues wider = x_;
    for (const K id : {K::source_radius, K::source_radius_per_A}) wider[static_cast<std::size_t>(id)] *= 1 + probe;
    const double step = std::log(pool_input_at(c, wider, supply_).source_radius_mm) - ln_radius_;
    const Distances there = pool_distances(wider, every_constraint);
    for (std::size_t i = 0; i < nominal_.size && step > 0; ++i)
      if (power_sign(nominal_.items[i].id) != 0) radius_slope_[i] = (there[i] - nominal_.items[i].distance) / step;
  }

  void constant(std::size_t k) {
    const double half = c_.constants[k].half_width_90;
    ConstantValues up = x_, down = x_;
    up[k] += half;
    down[k] -= half;
    if (quick_ && is_electrical(static_cast<K>(k))) {
      // Near enough to a straight line to be asked on one side.
      const Distances there = distances(up, s_, true);
      Distances mirrored{};
      for (std::size_t i = 0; i < nominal_.size; ++i) mirrored[i] = 2 * nominal_.items[i].distance - there[i];
      add(there, mirrored);
    } else if (quick_) {
      const std::uint64_t wanted = moved_limits(static_cast<K>(k));
      add(pool_distances(up, wanted), pool_distances(down, wanted));
    } else {
      add(distances(up, s_, false), distances(down, s_, false));
    }
    if (!changes_.empty()) changes_[k] = last_;
  }
  // What the constants do together, where they are not independent: after all of them.
  void correlations() {
    for (const CorrelatedPair& pair : c_.correlations)
      for (std::size_t i = 0; i < nominal_.size; ++i)
        squares_[i] += 2 * pair.value * changes_[static_cast<std::size_t>(pair.first)][i] *
                       changes_[static_cast<std::size_t>(pair.second)][i];
    for (double& square : squares_) square = std::max(square, 0.0);
  }
  // A travel that follows moves the geometry of the pool.
  void settings(const Setting& up, const Setting& down) { add(distances(x_, up, false), distances(x_, down, false)); }

  [[nodiscard]] const MarginList& nominal() const { return nominal_; }
  [[nodiscard]] double variance(std::size_t i) const { return squares_[i]; }

 private:
  using Distances = std::array<double, MarginList::capacity>;
  const PassContext& c_;
  ConstantValues x_;
  Setting s_;
  MarginList nominal_;
  Distances squares_{}, radius_slope_{}, last_{};
  std::vector<Distances> changes_;  // signed, of every constant, where some are correlated
  bool quick_ = false;
  double ln_power_ = 0, ln_radius_ = 0;
  FieldValues supply_;

  [[nodiscard]] double distance_in(const MarginList& list, std::size_t i) const {
    const Margin& m = nominal_.items[i];
    if (i < list.size && same_slot(list.items[i], m)) return list.items[i].distance;
    for (const Margin& other : list)
      if (same_slot(other, m)) return other.distance;
    return m.distance;
  }
  [[nodiscard]] Distances distances(const ConstantValues& x, const Setting& s, bool electrical) const {
    Distances out{};
    if (!quick_ || !electrical) {
      const MarginList list = point_margins(c_, x, s);
      for (std::size_t i = 0; i < nominal_.size; ++i) out[i] = distance_in(list, i);
      return out;
    }
    const FieldValues f = evaluate_supply(c_, x, s);
    MarginList list;
    Evaluation(c_, x, f, s.modulation_frequency_Hz > 0, every_constraint).append(list, of_supply);
    const PoolInput here = pool_input_at(c_, x, f);
    const double power = std::log(std::max(here.net_power_W, 1e-3)) - ln_power_;
    const double radius = std::log(here.source_radius_mm) - ln_radius_;
    // The list lacks the limits of the pool and is else in the same order.
    std::size_t at = 0;
    for (std::size_t i = 0; i < nominal_.size; ++i) {
      const Margin& m = nominal_.items[i];
      if (const int sign = power_sign(m.id); sign != 0)
        out[i] = m.distance + sign * power + radius_slope_[i] * radius;
      else if (at < list.size && same_slot(list.items[at], m))
        out[i] = list.items[at++].distance;
      else
        out[i] = m.distance;
    }
    return out;
  }
  // With constants that leave wire and supply alone: of the limits of the pool that are wanted; the others stay.
  [[nodiscard]] Distances pool_distances(const ConstantValues& x, std::uint64_t wanted) const {
    MarginList list;
    Evaluation(c_, x, supply_, s_.modulation_frequency_Hz > 0, wanted).append(list, {.supply = false, .sizes = false});
    Distances out{};
    for (std::size_t i = 0; i < nominal_.size; ++i)
      out[i] = power_sign(nominal_.items[i].id) != 0 ? distance_in(list, i) : nominal_.items[i].distance;
    return out;
  }
  void add(const Distances& up, const Distances& down) {
    for (std::size_t i = 0; i < nominal_.size; ++i) {
      const Margin& m = nominal_.items[i];
      const double half = 0.5 * std::abs(up[i] - down[i]);
      // Fusion bends smoothly, and its mean slope serves best; others have kinks, where the way towards the limit
      // decides.
      const double toward =
          m.distance >= 0 ? m.distance - std::min(up[i], down[i]) : std::max(up[i], down[i]) - m.distance;
      const double change = is_fusion(m.id) ? half : toward;
      squares_[i] += change * change;
      last_[i] = up[i] >= down[i] ? change : -change;
    }
  }
};

}  // namespace

void work_out_spreads(PassContext& c, const Setting& s, double feed_setting_share) {
  // Two-sided 90 % is 1.645 standard deviations, nine times in ten on one side 1.282.
  constexpr double one_sided = deviations_nine_in_ten / deviations_90;
  Spreads spreads(c, s);
  for (std::size_t k = 0; k < model_constant_count; ++k)
    if (c.constants[k].half_width_90 > 0 && (!c.bearing_known || c.bearing[k])) spreads.constant(k);
  spreads.correlations();
  Setting up = s, down = s;
  up.wire_feed_m_per_min *= 1 + feed_setting_share;
  down.wire_feed_m_per_min *= 1 - feed_setting_share;
  if (c.aim.travel_follows_feed) {
    up.travel_mm_per_s *= 1 + feed_setting_share;
    down.travel_mm_per_s *= 1 - feed_setting_share;
  }
  spreads.settings(up, down);
  constexpr double least = 0.005;  // what is set exactly still has a scale
  c.field_spread.fill(least);
  for (std::size_t i = 0; i < spreads.nominal().size; ++i) {
    const Margin& m = spreads.nominal().items[i];
    const double spread = std::max(least, one_sided * std::sqrt(spreads.variance(i)));
    if (constraint(m.id).spread == ConstraintInfo::Spread::of_quantity)
      c.field_spread[static_cast<std::size_t>(m.field)] = spread;
    else
      c.spread[static_cast<std::size_t>(m.id)] = spread;
  }
}

double last_end(const PassContext& c, const Margin& m) {
  if (m.id == C::burn_through || m.id == C::modulation_burn_through)
    return m.limit * c.plate.back_width_last_mm / c.plate.back_width_max_mm;
  const double beyond = c.ends[static_cast<std::size_t>(m.id)].last;
  return m.limit > 0 ? m.limit * std::exp(m.upper ? beyond : -beyond) : m.limit;
}

bool same_slot(const Margin& a, const Margin& b) {
  if (is_fusion(a.id) && is_fusion(b.id)) return true;  // either of the two ways to fuse a root speaks for it
  const auto band = [](const Margin& m) {
    return m.id != C::modulation_burn_through &&
           (m.field == F::modulation_frequency || m.field == F::modulation_amplitude);
  };
  // The ends of a modulation band change their id as another limit takes over.
  if (band(a) && band(b)) return a.field == b.field && a.upper == b.upper;
  return a.id == b.id && a.field == b.field && a.upper == b.upper;
}

}  // namespace seamwright
