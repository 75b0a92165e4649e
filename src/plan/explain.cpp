#include "seamwright/explain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "plan/catalog_trace.hpp"
#include "plan/plan_parts.hpp"
#include "seamwright/sensitivity.hpp"
#include "settle/resolve.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

// What an explanation is asked of: a pass with its constants, its line through the window and the point on it.
struct Point {
  PassContext context;
  ConstantValues constants;
  Setting setting;
};

// The quantity as a function of the point. What is itself found by a search is searched for again.
double value_at(const Point& p, const Line& line, F id, bool solve_again) {
  if (!solve_again) return evaluate(p.context, p.constants, p.setting)[id];
  if (id == F::modulation_frequency || id == F::modulation_amplitude) {
    const double burn =
        burn_through_feed_m_per_min(p.context, p.constants, p.setting.travel_mm_per_s, p.setting.wire_feed_m_per_min);
    FieldValues f = evaluate(p.context, p.constants, p.setting);
    if (id == F::modulation_frequency) f[id] = 0;  // not held at what it was
    const Modulation m = modulation_at(p.context, p.constants, f, burn);
    return id == F::modulation_frequency ? m.frequency_Hz : m.amplitude_m_per_min;
  }
  const Band band = solve_band(p.context, p.constants, line);
  return id == F::travel ? band.best.travel_mm_per_s : band.best.wire_feed_m_per_min;
}

// A number of the case that can be changed on its own.
struct Probe {
  std::string_view key, label, unit, words;
  bool (*given)(const Joint&);
  double (*value)(const Point&);
  void (*change)(Point&);
  std::optional<F> quantity = std::nullopt;      // a setting that is a quantity of the output itself
  SourceIndex (*source)(const Case&) = nullptr;  // a catalog number of the case
  std::string (*reason)(const Case&) = nullptr;  // where it comes from, when it is neither given nor chosen by name
};

bool never(const Joint&) { return false; }
std::string price_reason(const Case&) { return "the prices of the equipment file"; }
constexpr double more = 1.1, less = 0.9;
constexpr std::string_view more_words = "10 % more";

const Probe probes[] = {
    {"wire_feed", "wire feed", "m/min", "10 % more at the same travel",
     [](const Joint& j) { return static_cast<bool>(j.wire_feed_m_per_min); },
     [](const Point& p) { return p.setting.wire_feed_m_per_min; },
     [](Point& p) { p.setting.wire_feed_m_per_min *= more; }, F::wire_feed},
    {"travel", "travel", "mm/s", "10 % faster at the same feed",
     [](const Joint& j) { return fixed_travel_mm_per_s(j) > 0; },
     [](const Point& p) { return p.setting.travel_mm_per_s; }, [](Point& p) { p.setting.travel_mm_per_s *= more; },
     F::travel},
    {"arc_length_trim", "arc length trim", "V", "1 V more", never, [](const Point& p) { return p.setting.arc_trim_V; },
     [](Point& p) { p.setting.arc_trim_V += 1.0; }, F::arc_length_trim},
    {"peak_current_trim", "peak current trim", "", "5 % more", never,
     [](const Point& p) { return p.setting.peak_trim; }, [](Point& p) { p.setting.peak_trim += 0.05; },
     F::peak_current_trim},
    {"modulation_frequency", "modulation frequency", "Hz", more_words,
     [](const Joint& j) { return static_cast<bool>(j.modulation_frequency_Hz); },
     [](const Point& p) { return p.setting.modulation_frequency_Hz; },
     [](Point& p) { p.setting.modulation_frequency_Hz *= more; }, F::modulation_frequency},
    {"modulation_amplitude", "modulation amplitude", "m/min", more_words,
     [](const Joint& j) { return static_cast<bool>(j.modulation_amplitude_m_per_min); },
     [](const Point& p) { return p.setting.modulation_amplitude_m_per_min; },
     [](Point& p) { p.setting.modulation_amplitude_m_per_min *= more; }, F::modulation_amplitude},
    {"modulation.share", "share of the high phase", "", "0.05 more",
     [](const Joint& j) { return static_cast<bool>(j.modulation_share); },
     [](const Point& p) { return p.context.modulation.share; }, [](Point& p) { p.context.modulation.share += 0.05; },
     std::nullopt, [](const Case& c) { return c.catalog->limits->modulation_share.source; }},
    {"wire.diameter", "wire diameter", "mm", more_words,
     [](const Joint& j) { return static_cast<bool>(j.wire_diameter_mm); },
     [](const Point& p) { return p.context.wire.diameter_mm; }, [](Point& p) { p.context.wire.diameter_mm *= more; }},
    {"wire.extension", "electrode extension", "mm", more_words,
     [](const Joint& j) { return static_cast<bool>(j.extension_mm); },
     [](const Point& p) { return p.context.wire.extension_mm; }, [](Point& p) { p.context.wire.extension_mm *= more; }},
    {"gas.composition", "voltage added by the gas", "V", "1 V more",
     [](const Joint& j) { return j.gas || !j.gas_composition.empty(); },
     [](const Point& p) { return p.context.gas.arc_V; }, [](Point& p) { p.context.gas.arc_V += 1.0; }},
    {"gas.composition", "voltage added by the gas to the short-arc line", "V", "1 V more",
     [](const Joint& j) { return j.gas || !j.gas_composition.empty(); },
     [](const Point& p) { return p.context.gas.dip_V; }, [](Point& p) { p.context.gas.dip_V += 1.0; }},
    {"gas.flow", "gas flow", "l/min", more_words,
     [](const Joint& j) { return static_cast<bool>(j.gas_flow_l_per_min); },
     [](const Point& p) { return p.context.gas.flow_l_per_min; },
     [](Point& p) { p.context.gas.flow_l_per_min *= more; }},
    {"joint.thickness", "thickness that carries the heat", "mm", more_words, never,
     [](const Point& p) { return p.context.plate.fusion_thickness_mm; },
     [](Point& p) {
       p.context.plate.fusion_thickness_mm *= more;
       p.context.plate.burn_thickness_mm *= more;
     },
     std::nullopt, nullptr,
     [](const Case& c) {
       return fmt::format("from plates of {:g} mm and {:g} mm; in an open groove, their mean beside the root",
                          c.section.thickness_mm, c.thickness2_mm);
     }},
    {"joint.gap", "gap", "mm", "0.5 mm more", [](const Joint& j) { return static_cast<bool>(j.gap_mm); },
     [](const Point& p) { return p.context.plate.gap_mm; }, [](Point& p) { p.context.plate.gap_mm += 0.5; }},
    {"joint.leg", "minimum heat-source radius, a share of the leg", "mm", more_words, never,
     [](const Point& p) { return p.context.plate.least_radius_mm; },
     [](Point& p) { p.context.plate.least_radius_mm *= more; }, std::nullopt,
     [](const Case& c) { return c.catalog->limits->source_radius_leg_share.source; },
     [](const Case& c) { return fmt::format("a share of the leg of {:g} mm", c.section.leg_mm); }},
    {"joint.length", "length of the joint", "mm", more_words,
     [](const Joint& j) { return static_cast<bool>(j.length_mm); },
     [](const Point& p) { return p.context.use.length_mm; }, [](Point& p) { p.context.use.length_mm *= more; },
     std::nullopt, nullptr, [](const Case&) { return std::string("the circumference of the pipe"); }},
    {"quantity", "number of welds", "", "1 more", [](const Joint& j) { return static_cast<bool>(j.quantity); },
     [](const Point& p) { return p.context.use.weld_count; }, [](Point& p) { p.context.use.weld_count += 1; }},
    {"prices.wire", "price of the wire", "1/kg", more_words, never,
     [](const Point& p) { return p.context.use.prices.wire_per_kg; },
     [](Point& p) { p.context.use.prices.wire_per_kg *= more; }, std::nullopt, nullptr, price_reason},
    {"prices.gas", "price of the gas", "1/m3", more_words, never,
     [](const Point& p) { return p.context.use.prices.gas_per_m3; },
     [](Point& p) { p.context.use.prices.gas_per_m3 *= more; }, std::nullopt, nullptr, price_reason},
    {"prices.power", "price of power", "1/kWh", more_words, never,
     [](const Point& p) { return p.context.use.prices.power_per_kWh; },
     [](Point& p) { p.context.use.prices.power_per_kWh *= more; }, std::nullopt, nullptr, price_reason},
    {"prices.labour", "price of labour", "1/h", more_words, never,
     [](const Point& p) { return p.context.use.prices.labour_per_h; },
     [](Point& p) { p.context.use.prices.labour_per_h *= more; }, std::nullopt, nullptr, price_reason},
    {"prices.operating_factor", "operating factor", "", "10 % less", never,
     [](const Point& p) { return p.constants[static_cast<std::size_t>(K::operating_factor)]; },
     [](Point& p) { p.constants[static_cast<std::size_t>(K::operating_factor)] *= less; }, std::nullopt, nullptr,
     price_reason},
    {"source.efficiency", "efficiency of the power source", "", "10 % less", never,
     [](const Point& p) { return p.constants[static_cast<std::size_t>(K::source_efficiency)]; },
     [](Point& p) { p.constants[static_cast<std::size_t>(K::source_efficiency)] *= less; }, std::nullopt, nullptr,
     [](const Case&) { return std::string("the equipment file"); }},
    {"material.preheat", "temperature before the pass", "degC", "25 K more",
     [](const Joint& j) { return static_cast<bool>(j.preheat_C); },
     [](const Point& p) { return p.context.plate.preheat_C; },
     [](Point& p) {
       p.context.plate.preheat_C += 25.0;
       p.context.plate.start_C += 25.0;
     },
     std::nullopt, [](const Case& c) { return c.catalog->limits->ambient_C.source; },
     [](const Case&) { return std::string("no preheat is given or needed: the ambient temperature"); }},
    {"material.interpass", "highest interpass temperature", "degC", "25 K more",
     [](const Joint& j) { return static_cast<bool>(j.interpass_C); },
     [](const Point& p) { return p.context.plate.interpass_C; }, [](Point& p) { p.context.plate.interpass_C += 25.0; }},
    {"process.arc_length", "nominal arc length", "mm", "1 mm more",
     [](const Joint& j) { return static_cast<bool>(j.arc_length_mm); },
     [](const Point& p) { return 0.5 * (p.context.arc.length_min_mm + p.context.arc.length_max_mm); },
     [](Point& p) {
       p.context.arc.length_min_mm += 1.0;
       p.context.arc.length_max_mm += 1.0;
     },
     std::nullopt,
     [](const Case& c) {
       const WireFamily& w = *c.wire_family;
       return (c.mode == Mode::spray ? w.arc_length_spray_min_mm : w.arc_length_pulse_min_mm).source;
     }},
    {"process.voltage", "fixed voltage", "V", "1 V more", [](const Joint& j) { return static_cast<bool>(j.voltage_V); },
     [](const Point& p) { return p.context.arc.fixed_V; },
     [](Point& p) {
       if (p.context.arc.fixed_V > 0) p.context.arc.fixed_V += 1.0;
     }},
    {"process.peak_time", "peak time", "ms", more_words,
     [](const Joint& j) { return static_cast<bool>(j.peak_time_ms); },
     [](const Point& p) { return p.context.pulse.peak_time_ms; },
     [](Point& p) { p.context.pulse.peak_time_ms *= more; }},
    {"wire-families.current_rise_nominal_A_per_ms", "usual current rise", "A/ms", more_words, never,
     [](const Point& p) { return p.context.arc.rise_nominal; }, [](Point& p) { p.context.arc.rise_nominal *= more; },
     std::nullopt, [](const Case& c) { return c.wire_family->current_rise_nominal_A_per_ms.source; }},
    {"joint", "deposit width", "mm", more_words, never, [](const Point& p) { return p.context.deposit.cover_width_mm; },
     [](Point& p) { p.context.deposit.cover_width_mm *= more; }, F::deposit_width},
    {"joint", "nominal deposit cross-section", "mm2", "", never,
     [](const Point& p) { return p.context.deposit.nominal_mm2; }, [](Point&) {}},
    {"limits.procedure_efficiency", "procedure efficiency k", "", more_words, never,
     [](const Point& p) { return p.context.efficiency_k; }, [](Point& p) { p.context.efficiency_k *= more; },
     std::nullopt, [](const Case& c) { return c.catalog->limits->procedure_efficiency.source; }},
    {"wire-families.density_kg_per_m3", "density of the wire", "kg/m3", more_words, never,
     [](const Point& p) { return p.context.wire.density_kg_per_m3; },
     [](Point& p) { p.context.wire.density_kg_per_m3 *= more; }, std::nullopt,
     [](const Case& c) { return c.wire_family->density_kg_per_m3.source; }},
};

// What a limit of the modulation hangs on, and by how much it is moved so that it binds no more.
struct Loosening {
  C id;
  double& (*part)(PassContext&);
  double factor;
};
constexpr double far = 1e6;
constexpr Loosening loosenings[] = {
    {C::modulation_remelting, [](PassContext& c) -> double& { return c.modulation.pool_share; }, far},
    {C::modulation_response, [](PassContext& c) -> double& { return c.modulation.left_min; }, 1 / far},
    {C::modulation_low_phase, [](PassContext& c) -> double& { return c.pulse.feed_min_m_per_min; }, 0.01},
    {C::modulation_high_phase, [](PassContext& c) -> double& { return c.pulse.feed_max_m_per_min; }, far},
    {C::modulation_swing, [](PassContext& c) -> double& { return c.modulation.swing_min; }, 1 / far},
    {C::modulation_usual, [](PassContext& c) -> double& { return c.modulation.frequency_min_Hz; }, 1 / far},
    {C::modulation_usual, [](PassContext& c) -> double& { return c.modulation.frequency_max_Hz; }, far},
    {C::modulation_usual, [](PassContext& c) -> double& { return c.modulation.amplitude_min_m_per_min; }, 1 / far},
    {C::modulation_usual, [](PassContext& c) -> double& { return c.modulation.amplitude_max_m_per_min; }, far},
};

PassContext loosened(PassContext c, C id) {
  for (const Loosening& l : loosenings)
    if (l.id == (id == c.modulation.limit ? C::modulation_usual : id)) l.part(c) *= l.factor;
  return c;
}

// One quantity explained.
class Account {
 public:
  Account(const Plan& plan, std::size_t pass, F id, const CatalogTrace& trace)
      : joint_case_(plan.resolved),
        case_(case_of(plan.resolved, pass)),
        pass_(plan.passes[pass]),
        trace_(trace),
        line_(pass_.window.line),
        id_(id) {
    point_ = {plan.contexts[pass], nominal_values(plan.contexts[pass].constants), pass_.window.band.best};
    // A feed the user fixed is not searched for.
    window_searched_ =
        (id == F::wire_feed || (id == F::travel && line_.deposit_mm2 > 0)) && !case_.joint.wire_feed_m_per_min;
    const bool modulation = (id == F::modulation_frequency && !case_.joint.modulation_frequency_Hz) ||
                            (id == F::modulation_amplitude && !case_.joint.modulation_amplitude_m_per_min);
    result_.solved_again = window_searched_ || modulation;
    result_.field = id;
    result_.pass = pass;
    result_.relation = relation_of(id, case_.mode);
  }

  Explanation explanation() {
    value_ = value(point_);
    given();
    quantities();
    shape();
    analysis();
    inputs_and_changes();
    constants();
    numbers_of_the_catalog();
    ends();
    return std::move(result_);
  }

 private:
  const Case& joint_case_;
  const Case& case_;  // of the pass
  const PassResult& pass_;
  const CatalogTrace& trace_;
  Line line_;
  F id_;
  Point point_;
  double value_ = 0;
  bool window_searched_ = false;
  Explanation result_;

  [[nodiscard]] double value(const Point& p) const { return value_at(p, line_, id_, result_.solved_again); }
  // The quantity and, where it has a range of its own, the ends of that.
  [[nodiscard]] std::array<double, 3> value_and_ends(const Point& p) const {
    const double now = value(p);
    const Interval own = own_range(p.context, p.constants, p.setting, id_);
    return {now, own.low, own.high};
  }
  [[nodiscard]] bool differ(const std::array<double, 3>& a, const std::array<double, 3>& b) const {
    // A search stops within a ten-thousandth.
    const double same = result_.solved_again ? 1e-4 : 1e-9;
    for (std::size_t i = 0; i < a.size(); ++i)
      if (std::isfinite(a[i]) && std::isfinite(b[i]) && std::abs(a[i] - b[i]) > same * std::abs(a[i])) return true;
    return false;
  }
  // Whether a number of the catalog moves the quantity.
  [[nodiscard]] bool reads(const TracedNumber& n) const {
    const auto at = [&](const PassContext& c) {
      return value_and_ends({c, nominal_values(c.constants), point_.setting});
    };
    const auto before = at(trace_.unchanged);
    return std::any_of(n.changed.begin(), n.changed.end(), [&](const PassContext& c) { return differ(before, at(c)); });
  }
  [[nodiscard]] const Choice* choice_of(std::string_view key) const {
    for (const Choice& c : case_.choices)
      if (c.key == key) return &c;
    return nullptr;
  }

  // Quantities of the output that stand in the formula.
  void quantities() {
    for (const F from : result_.relation.from()) {
      const Estimate& e = pass_[from];
      if (!e.present) continue;
      const FieldInfo& info = field(from);
      result_.inputs.push_back({std::string(info.key),
                                std::string(info.label),
                                e.value,
                                std::string(info.unit),
                                from,
                                Origin::computed,
                                0,
                                {}});
    }
  }

  // Inputs are those whose change moves the quantity, found by trying.
  void inputs_and_changes() {
    for (const Probe& probe : probes) {
      const double now = probe.value(point_);
      if (probe.quantity == id_) continue;
      if (window_searched_ && probe.quantity && *probe.quantity != F::deposit_width) continue;
      if (probe.key == "gas.composition" && now == 0) continue;
      Point moved = point_;
      probe.change(moved);
      if (is_dip(case_.mode) && probe.key == "process.arc_length") continue;
      const double change = value(moved) - value_;
      const bool section = window_searched_ && probe.unit == "mm2";
      if (!section && (!std::isfinite(change) || std::abs(change) <= 1e-9 * std::abs(value_))) continue;
      if (!probe.words.empty() && std::isfinite(change) && change != 0)
        result_.changes.push_back({std::string(probe.key), fmt::format("{}: {}", probe.label, probe.words), change});
      // The catalog's own number is listed as it stands there, before the position has changed it.
      const bool of_the_catalog = probe.key == "wire-families.current_rise_nominal_A_per_ms";
      if (!of_the_catalog && (!probe.quantity || *probe.quantity == F::deposit_width)) input(probe, now);
    }
    std::stable_sort(result_.changes.begin(), result_.changes.end(),
                     [](const auto& a, const auto& b) { return std::abs(a.change) > std::abs(b.change); });
  }

  void input(const Probe& probe, double now) {
    ExplainedInput in{std::string(probe.key), std::string(probe.label), now, std::string(probe.unit),
                      std::nullopt,           Origin::computed,         0,   {}};
    if (probe.given(case_.joint)) {
      in.origin = Origin::given;
    } else if (const Choice* choice = choice_of(probe.key == "gas.composition" ? "gas.designation" : probe.key)) {
      in.origin = Origin::chosen;
      in.source = choice->source;
      in.reason = choice->reason;
    } else {
      if (probe.source != nullptr) in.source = probe.source(case_);
      if (probe.reason != nullptr)
        in.reason = probe.reason(case_);
      else if (probe.source != nullptr)
        in.origin = Origin::catalog;
    }
    result_.inputs.push_back(std::move(in));
  }

  // A quantity that the joint file itself says.
  void given() {
    const Joint& j = case_.joint;
    const struct {
      F id;
      std::string_view key;
      bool given, exact;  // exact: the output is the given value, whatever else is set
    } all[] = {
        {F::wire_feed, "process.wire_feed", static_cast<bool>(j.wire_feed_m_per_min), true},
        {F::travel, "process.travel", fixed_travel_mm_per_s(j) > 0, true},
        {F::weave_width, "process.weave_width", static_cast<bool>(j.weave_width_mm), true},
        {F::weave_dwell, "process.weave_dwell", static_cast<bool>(j.weave_dwell_s), true},
        {F::peak_time, "process.peak_time", static_cast<bool>(j.peak_time_ms), true},
        {F::peak_current, "process.peak_current", static_cast<bool>(j.peak_current_A), false},
        {F::modulation_frequency, "modulation.frequency", static_cast<bool>(j.modulation_frequency_Hz), true},
        {F::modulation_amplitude, "modulation.amplitude", static_cast<bool>(j.modulation_amplitude_m_per_min), true}};
    for (const auto& quantity : all) {
      if (quantity.id != id_ || !quantity.given) continue;
      if (quantity.exact) result_.relation = {"as given", "the joint file"};
      const FieldInfo& info = field(id_);
      const double now = quantity.exact ? pass_[id_].value : *j.peak_current_A;
      result_.inputs.push_back(
          {std::string(quantity.key), std::string(info.label), now, std::string(info.unit), id_, Origin::given, 0, {}});
    }
  }

  // --- What only a changed joint tells: its shape, and the analysis of its metal ---

  // The quantity with another joint, the setting as it is.
  void change_joint(std::string key, std::string words, const Joint& changed) {
    const auto context = context_of(joint_case_, changed, result_.pass);
    if (!context) return;
    const double after = evaluate(*context, nominal_values(context->constants), point_.setting)[id_];
    const double change = after - value_;
    if (std::isfinite(change) && std::abs(change) > 1e-9 * std::abs(value_))
      result_.changes.push_back({std::move(key), std::move(words), change});
  }

  void shape() {
    if (id_ != F::deposit_width) return;
    const SectionInput& s = case_.section;
    const struct {
      std::string_view key, label, unit;
      double now;
      Given<double> Joint::*member;
    } sizes[] = {{"joint.leg", "leg", "mm", s.leg_mm, &Joint::leg_mm},
                 {"joint.leg2", "other leg", "mm", s.leg2_mm, &Joint::leg2_mm},
                 {"joint.thickness", "thickness", "mm", s.thickness_mm, &Joint::thickness_mm},
                 {"joint.gap", "gap", "mm", s.gap_mm, &Joint::gap_mm},
                 {"joint.angle", "groove angle", "degrees", s.angle_deg, &Joint::angle_deg},
                 {"joint.root_face", "root face", "mm", s.root_face_mm, &Joint::root_face_mm}};
    const bool by_leg = s.leg_mm > 0;
    for (const auto& size : sizes) {
      const bool of_leg = size.key.starts_with("joint.leg");
      const auto& given = case_.joint.*size.member;
      if (size.now <= 0 || of_leg != by_leg || (size.key == "joint.leg2" && !given)) continue;
      ExplainedInput in{std::string(size.key), std::string(size.label), size.now, std::string(size.unit),
                        std::nullopt,          Origin::given,           0,        {}};
      if (!given) {
        in.origin = Origin::chosen;
        in.reason = "follows from the rest of the joint";
        if (const Choice* choice = choice_of(size.key)) {
          in.source = choice->source;
          in.reason = choice->reason;
        }
      }
      result_.inputs.push_back(std::move(in));
      Joint changed = joint_case_.joint;
      (changed.*size.member).value = more * size.now;
      change_joint(std::string(size.key), fmt::format("{}: {}", size.label, more_words), changed);
    }
  }

  // The elements that the quantity hangs on, and what a little more of each does.
  void analysis() {
    for (const TracedNumber& n : trace_.numbers) {
      if (!n.element || !reads(n)) continue;
      result_.inputs.push_back({n.key, n.label, n.constant.value, n.unit, std::nullopt,
                                n.given ? Origin::given : Origin::catalog, n.constant.source,
                                n.given ? "" : "a typical analysis"});
      if (n.alloy != case_.alloy) continue;
      const Element e = *n.element;
      const double by = e == Element::B ? 0.001 : e == Element::C || e == Element::N ? 0.01 : 0.1;
      Joint changed = joint_case_.joint;
      changed.composition.emplace_back(e, n.constant.value + by);
      change_joint(n.key, fmt::format("{}: {} % more", n.label, by), changed);
    }
  }

  void constants() {
    std::array<double, model_constant_count> change{};
    std::array<bool, model_constant_count> depends{};
    if (result_.solved_again) {
      for (std::size_t k = 0; k < model_constant_count; ++k) follow(k, change[k], depends[k]);
    } else {
      const Influences all = influences(point_.context, point_.setting);
      for (std::size_t k = 0; k < model_constant_count; ++k) {
        change[k] = all.half_change[k][id_];
        depends[k] = all.depends[k][static_cast<std::size_t>(id_)];
      }
    }
    double variance = 0;
    for (const double c : change) variance += c * c;
    for (std::size_t k = 0; k < model_constant_count; ++k) {
      const Constant& constant = point_.context.constants[k];
      if (!depends[k] || (constant.source == 0 && constant.half_width_90 == 0)) continue;
      const ModelConstantInfo& info = model_constant(static_cast<K>(k));
      result_.constants.push_back({std::string(info.key), std::string(info.label), std::string(info.unit), constant,
                                   change[k], variance > 0 ? change[k] * change[k] / variance : 0.0});
    }
    std::stable_sort(result_.constants.begin(), result_.constants.end(),
                     [](const auto& a, const auto& b) { return a.share > b.share; });
  }

  // What a constant does to the recommended feed: the search, at both ends of the constant's interval.
  void follow(std::size_t k, double& change, bool& depends) const {
    const double half = point_.context.constants[k].half_width_90;
    if (half <= 0) {
      // Exact, or without a band of its own: does the search use it at all?
      Point moved = point_;
      moved.constants[k] *= 1.05;
      depends = std::abs(value(moved) - value_) > 1e-4 * std::abs(value_);
      return;
    }
    std::array<double, 2> at{};
    for (std::size_t side = 0; side < 2; ++side) {
      Point moved = point_;
      moved.constants[k] += side == 0 ? -half : half;
      at[side] = value(moved);
    }
    change = 0.5 * (at[1] - at[0]);
    // The search stops within a thousandth.
    depends = std::abs(change) > 1e-4 * std::abs(value_);
    if (!depends) change = 0;
  }

  // Those that the array of constants does not hold.
  void numbers_of_the_catalog() {
    for (const TracedNumber& n : trace_.numbers) {
      const bool listed = std::any_of(result_.inputs.begin(), result_.inputs.end(),
                                      [&](const ExplainedInput& in) { return in.key == n.key; });
      if (!n.element && !listed && reads(n))
        result_.constants.push_back({n.key, n.label, n.unit, n.constant, 0.0, 0.0});
    }
  }

  void ends() {
    const FieldInfo& info = field(id_);
    const Estimate& e = pass_[id_];
    if (!pass_.feasible || info.range == Range::total || !(e.low < e.high)) return;
    const Band& band = pass_.window.band;
    const bool of_the_band =
        e.low_end == C::none || e.low_end == band.low.constraint.id || e.high_end == band.high.constraint.id;
    if (of_the_band) {
      result_.low = band_end(band.low, true);
      result_.high = band_end(band.high, false);
      // A quantity that falls with the feed has its low end at the high feed.
      if (result_.low->at > result_.high->at) std::swap(result_.low, result_.high);
      return;
    }
    result_.low = own_end(e.low_end, e.low, true);
    result_.high = own_end(e.high_end, e.high, false);
  }

  [[nodiscard]] double value_on_line(double feed) const {
    Setting s = on_line(point_.context, point_.constants, line_, feed);
    s.modulation_frequency_Hz = point_.setting.modulation_frequency_Hz;
    return evaluate(point_.context, point_.constants, s)[id_];
  }

  // The next constraint is found by solving the band again without the one that ends it.
  [[nodiscard]] ExplainedEnd band_end(const BandEnd& end, bool low) const {
    ExplainedEnd out;
    out.id = end.constraint.id;
    out.at = value_on_line(end.wire_feed_m_per_min);
    out.margin = end.constraint;
    PassContext without = point_.context;
    without.ignored_constraints |= std::uint64_t{1} << static_cast<unsigned>(end.constraint.id);
    const Band wider = solve_band(without, point_.constants, line_);
    if (!wider.feasible) return out;
    const BandEnd& next = low ? wider.low : wider.high;
    const bool beyond =
        low ? next.wire_feed_m_per_min <= end.wire_feed_m_per_min : next.wire_feed_m_per_min >= end.wire_feed_m_per_min;
    if (!beyond) return out;
    out.next = next.constraint.id;
    out.next_at = value_on_line(next.wire_feed_m_per_min);
    return out;
  }

  // A setting with a range of its own.
  [[nodiscard]] ExplainedEnd own_end(C id, double at, bool low) const {
    ExplainedEnd out;
    out.id = id;
    out.at = at;
    if (case_.mode != Mode::double_pulse || !is_about(id, ConstraintInfo::Topic::modulation)) return out;
    const PassContext loose = loosened(point_.context, id);
    const FieldValues f = evaluate(point_.context, point_.constants, point_.setting);
    const double burn = id == C::modulation_burn_through
                            ? std::numeric_limits<double>::infinity()
                            : burn_through_feed_m_per_min(loose, point_.constants, point_.setting.travel_mm_per_s,
                                                          point_.setting.wire_feed_m_per_min);
    const Modulation m = modulation_at(loose, point_.constants, f, burn);
    if (id_ == F::modulation_frequency) {
      out.next = low ? m.frequency_low_end : m.frequency_high_end;
      out.next_at = low ? m.frequency_low_Hz : m.frequency_high_Hz;
    } else if (id_ == F::modulation_amplitude) {
      out.next = low ? m.amplitude_low_end : m.amplitude_high_end;
      out.next_at = low ? m.amplitude_low_m_per_min : m.amplitude_high_m_per_min;
    }
    if (out.next == id) {
      out.next = C::none;
      out.next_at.reset();
    }
    return out;
  }
};

}  // namespace

std::string_view origin_key(Origin origin) {
  switch (origin) {
    case Origin::given:
      return "given";
    case Origin::chosen:
      return "chosen";
    case Origin::catalog:
      return "catalog";
    case Origin::computed:
      break;
  }
  return "computed";
}

struct PassExplainer::State {
  const Plan& plan;
  std::size_t pass;
  CatalogTrace trace;
};

PassExplainer::PassExplainer(const Plan& plan, std::size_t pass)
    : state_(std::make_unique<State>(
          State{plan, pass, pass < plan.passes.size() ? catalog_trace(plan, pass) : CatalogTrace{}})) {}
PassExplainer::~PassExplainer() = default;

std::optional<Explanation> PassExplainer::explain(F id) const {
  const auto& [plan, pass, trace] = *state_;
  if (pass >= plan.passes.size() || !plan.passes[pass][id].present) return std::nullopt;
  return Account(plan, pass, id, trace).explanation();
}

std::optional<Explanation> explain(const Plan& plan, std::size_t pass, F id) {
  return PassExplainer(plan, pass).explain(id);
}

}  // namespace seamwright
