// What would explain a reading that contradicts the setting: each cause alone, all else as reckoned.
#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>

#include "plan/plan_parts.hpp"
#include "settle/resolve.hpp"
#include "trial/assess_parts.hpp"
#include "window/operating_point.hpp"
#include "window/pass_context.hpp"

namespace seamwright {
namespace {

// A cause is likely where its own spread, stretched by half, holds it.
constexpr double likely_spreads = 1.5;

class Causes {
 public:
  Causes(const Plan& plan, std::size_t pass, const Setting& at, SettingReading& reading)
      : plan_(plan), c_(plan.contexts[pass]), pass_(pass), x_(nominal_values(c_.constants)), s_(at), r_(reading) {}

  void find() {
    extension();
    if (r_.field != F::voltage) feed();
    meter();
    if (r_.field != F::voltage) diameter();
    for (std::size_t k = 0; k < model_constant_count; ++k)
      if (static_cast<K>(k) != K::extension) constant(static_cast<K>(k));
    const auto nearer = [](const Cause& a, const Cause& b) { return a.spreads < b.spreads; };
    std::stable_sort(r_.causes.begin(), r_.causes.end(), nearer);
    std::stable_sort(r_.constants.begin(), r_.constants.end(), nearer);
  }

 private:
  const Plan& plan_;
  const PassContext& c_;
  std::size_t pass_;
  ConstantValues x_;
  Setting s_;
  SettingReading& r_;

  void add(std::vector<Cause>& list, Cause cause) const {
    cause.likely = cause.spreads <= likely_spreads;
    list.push_back(std::move(cause));
  }
  [[nodiscard]] double off_at(const ConstantValues& x) const { return evaluate_supply(c_, x, s_)[r_.field] - r_.given; }

  // Half-widths by which a constant must move for the reading to be right; nothing where that many are not enough or
  // the constant would pass through zero.
  [[nodiscard]] std::optional<double> needed_spreads(K id) const {
    const auto k = static_cast<std::size_t>(id);
    const Constant& constant = c_.constants[k];
    if (!(constant.half_width_90 > 0)) return std::nullopt;
    const auto off = [&](double spreads) {
      ConstantValues x = x_;
      x[k] += spreads * constant.half_width_90;
      return off_at(x);
    };
    constexpr double step = 0.25, most = 20;
    const double here = off(0);
    std::optional<double> nearest;
    for (const double way : {-1.0, 1.0}) {
      double before = 0, off_before = here;
      for (double m = step; m <= most && (!nearest || m - step < std::abs(*nearest)); m += step) {
        const double value = constant.value + way * m * constant.half_width_90;
        if (constant.value > 0 && !(value > 0)) break;
        const double now = off(way * m);
        if (!std::isfinite(now)) break;
        if ((now < 0) != (off_before < 0)) {
          std::uintmax_t iterations = 60;
          const double a = std::min(before, way * m), b = std::max(before, way * m);
          constexpr int root_bits = 40;
          const auto root =
              boost::math::tools::toms748_solve(off, a, b, way > 0 ? off_before : now, way > 0 ? now : off_before,
                                                boost::math::tools::eps_tolerance<double>(root_bits), iterations);
          const double found = 0.5 * (root.first + root.second);
          if (!nearest || std::abs(found) < std::abs(*nearest)) nearest = found;
          break;
        }
        before = way * m;
        off_before = now;
      }
    }
    return nearest;
  }

  void constant(K id) {
    const auto m = needed_spreads(id);
    if (!m) return;
    const Constant& constant = c_.constants[static_cast<std::size_t>(id)];
    const ModelConstantInfo& info = model_constant(id);
    add(r_.constants, {.key = info.key,
                       .label = std::string(info.label),
                       .unit = info.unit,
                       .planned = constant.value,
                       .explaining = constant.value + *m * constant.half_width_90,
                       .spreads = std::abs(*m)});
  }
  void extension() {
    const auto m = needed_spreads(K::extension);
    if (!m) return;
    const Constant& factor = c_.constants[static_cast<std::size_t>(K::extension)];
    add(r_.causes, {.key = "extension",
                    .label = "electrode extension",
                    .unit = "mm",
                    .planned = c_.wire.extension_mm * factor.value,
                    .explaining = c_.wire.extension_mm * (factor.value + *m * factor.half_width_90),
                    .spreads = std::abs(*m)});
  }
  void feed() {
    const auto real = feed_at_m_per_min(c_, x_, s_, r_.field, r_.given);
    if (!real) return;
    add(r_.causes, {.key = "feed",
                    .label = "real wire feed (its calibration, or the drive slips)",
                    .unit = "m/min",
                    .planned = s_.wire_feed_m_per_min,
                    .explaining = *real,
                    .spreads = std::abs(*real / s_.wire_feed_m_per_min - 1) / c_.aim.feed_setting_share});
  }
  void meter() {
    const Case& c = case_of(plan_.resolved, pass_);
    double accuracy = c.catalog->limits->setting_accuracy_standard.value;
    if (c.equipment)
      accuracy =
          setting_accuracy(c, r_.given, r_.field == F::voltage ? c.equipment->voltage_V : c.equipment->current_A);
    add(r_.causes, {.key = "meter",
                    .label = "the meter: it shows",
                    .unit = field(r_.field).unit,
                    .planned = r_.computed,
                    .explaining = r_.given,
                    .spreads = std::abs(r_.given / r_.computed - 1) / accuracy});
  }
  // Another size of the wire on the spool, where it would give what was read within the spread of the calculation.
  void diameter() {
    const Case& c = case_of(plan_.resolved, pass_);
    for (const WireSize& size : c.catalog->wire_sizes) {
      if (size.family != c.wire->family || size.diameter_mm == c.diameter_mm) continue;
      Case other = c;
      other.joint.extension_mm.value = c.extension_mm;  // the torch is held as it was
      if (settle_mode(other, c.mode, size.diameter_mm)) continue;
      const KeptList<PassContext> contexts = pass_contexts(other);
      const PassContext& context = contexts[std::min(pass_, contexts.size() - 1)];
      const double there = evaluate_supply(context, nominal_values(context.constants), s_)[r_.field];
      const double spreads = std::abs(r_.given - there) / r_.plus_minus;
      if (!(spreads <= 1)) continue;
      add(r_.causes, {.key = "wire-diameter",
                      .label = "wire diameter on the spool",
                      .unit = "mm",
                      .planned = c.diameter_mm,
                      .explaining = size.diameter_mm,
                      .spreads = spreads});
    }
  }
};

}  // namespace

void explain_reading(const Plan& plan, std::size_t pass, const Setting& at, SettingReading& reading) {
  Causes(plan, pass, at, reading).find();
}

}  // namespace seamwright
