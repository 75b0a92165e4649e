#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "plan/plan_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/planner.hpp"
#include "settle/resolve.hpp"

namespace seamwright {
namespace {

std::string plain(double value) { return fmt::format("{:.4g}", value); }

// The number that is read where `plain` is printed: what is tried is what the user would give.
double as_printed(double value) {
  const std::string text = plain(value);
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

double to_tenth(double value_mm) { return std::round(10 * value_mm) / 10; }

// Other settings of a joint: the joint and the words that lead to it, changed together.
class Change {
 public:
  explicit Change(const Joint& joint) : joint_(joint) {}

  Change& number(std::string_view key, Given<double> Joint::*member, double value, std::string_view unit) {
    (joint_.*member).value = as_printed(value);
    return record(key, fmt::format("{} {}", plain(value), unit));
  }
  Change& word(std::string_view key, Given<std::string> Joint::*member, std::string_view value) {
    (joint_.*member).value = value;
    return record(key, std::string(value));
  }
  template <class E, class Holder>
  Change& word(std::string_view key, Given<E> Holder::*member, E value, std::string_view name) {
    (joint_.*member).value = value;
    return record(key, std::string(name));
  }
  Change& yes(std::string_view key, Given<bool> Joint::*member) {
    (joint_.*member).value = true;
    settings_.push_back({std::string(key), true});
    return *this;
  }
  template <class T, class Holder>
  Change& leave_out(std::string_view key, Given<T> Holder::*member) {
    if (!(joint_.*member)) return *this;
    joint_.*member = {};
    return record_left_out(key);
  }
  Change& leave_out_gas_composition() {
    if (joint_.gas_composition.empty()) return *this;
    joint_.gas_composition.clear();
    return record_left_out("gas.composition");
  }
  Change& leave_out_limit(F id) {
    std::erase_if(joint_.limits, [id](const UserLimit& limit) { return limit.field == id; });
    return record_left_out(fmt::format("limits.{}", field(id).key));
  }
  Change& leave_out_pass(std::size_t table) {
    const std::string key = pass_table_name(joint_.passes[table]);
    joint_.passes.erase(joint_.passes.begin() + static_cast<std::ptrdiff_t>(table));
    return record_left_out(key);
  }
  // What a mode has no use for, and the reader refuses beside it.
  Change& leave_out_what_does_not_go_with(Mode mode) {
    if (mode != Mode::double_pulse) {
      leave_out("modulation.frequency", &Joint::modulation_frequency_Hz);
      leave_out("modulation.amplitude", &Joint::modulation_amplitude_m_per_min);
      leave_out("modulation.share", &Joint::modulation_share);
      leave_out("lock.modulation_frequency", &Joint::lock_frequency_Hz);
      leave_out("lock.modulation_amplitude", &Joint::lock_amplitude_m_per_min);
    }
    if (!is_pulsed(mode)) {
      leave_out("process.peak_current", &Joint::peak_current_A);
      leave_out("process.peak_time", &Joint::peak_time_ms);
      leave_out("lock.peak_current_trim", &Joint::lock_peak_trim);
    }
    if (is_dip(mode)) leave_out("process.arc_length", &Joint::arc_length_mm);
    return *this;
  }

  [[nodiscard]] const Joint& joint() const { return joint_; }
  [[nodiscard]] const std::vector<KeyChange>& settings() const { return settings_; }

 private:
  Change& record(std::string_view key, std::string value) {
    settings_.push_back({std::string(key), std::move(value)});
    return *this;
  }
  Change& record_left_out(std::string_view key) {
    settings_.push_back({std::string(key), std::monostate()});
    return *this;
  }

  Joint joint_;
  std::vector<KeyChange> settings_;
};

struct Step {
  Change change;
  std::string words;
};

// The steps to try, nearest first: what a welder can change at the bench before what changes the drawing.
class Steps {
 public:
  explicit Steps(const Plan& plan) : plan_(plan), c_(plan.resolved), j_(c_.joint) {}

  std::vector<Step> all() {
    if (far_from_usual_edges()) {
      leave_edges_to_be_chosen();
      return std::move(steps_);
    }
    given_settings();
    gap_and_root_face();
    modes();
    wire_and_gas();
    sizes();
    if (butt() && !c_.backed && c_.sides == 1)
      add("a ceramic backing").word("joint.backing", &Joint::backing, Backing::ceramic, backing_key(Backing::ceramic));
    if (c_.position->id != "PA" && c_.position->id != "PB")
      add("turning the joint flat").word("joint.position", &Joint::position, fillet() ? "PB" : "PA");
    constexpr double warm_C = 100;
    if (!j_.preheat_C && c_.interpass_C >= warm_C && c_.preheat_C < warm_C)
      add(fmt::format("a preheat of {} degC where the alloy allows it", plain(warm_C)))
          .number("material.preheat", &Joint::preheat_C, warm_C, "degC");
    // The level has its say in how much metal may stand, and in nothing else.
    if (c_.quality->id == "B" && violated({C::excess_metal, C::deposit_needed, C::deposit_position}))
      add("quality level C, if the drawing allows it").word("quality", &Joint::quality, "C");
    return std::move(steps_);
  }

 private:
  [[nodiscard]] bool fillet() const { return *j_.type == JointType::fillet || *j_.type == JointType::lap; }
  [[nodiscard]] bool butt() const { return *j_.type == JointType::butt || *j_.type == JointType::pipe_butt; }
  [[nodiscard]] bool violated(std::initializer_list<C> any_of) const {
    for (const PassResult& pass : plan_.passes)
      for (const Margin& m : pass.conflicts)
        if (std::find(any_of.begin(), any_of.end(), m.id) != any_of.end()) return true;
    return false;
  }
  [[nodiscard]] bool is_square() const { return butt() && c_.section.preparation == PreparationType::square; }
  // Edges so far from what is prepared at the thickness that nothing beside them is worth changing: square ones that no
  // gap, backing or position gets an arc through, a groove in sheet.
  [[nodiscard]] bool far_from_usual_edges() const {
    if (!butt() || !j_.preparation) return false;
    const double t_mm = *j_.thickness_mm, times = heat_range(*c_.catalog, "edges-far-from-usual").high;
    const Preparation* usual = preparation_row(c_, *j_.preparation, t_mm, c_.sides);
    if (usual == nullptr) return false;
    return is_square() ? t_mm > times * usual->thickness_max_mm && violated({C::root_fusion})
                       : times * t_mm < usual->thickness_min_mm;
  }
  void leave_edges_to_be_chosen() {
    if (j_.preparation) add("the usual preparation").leave_out("joint.preparation", &Joint::preparation);
  }
  Change& add(std::string words) {
    steps_.push_back({Change(j_), std::move(words)});
    return steps_.back().change;
  }

  void given_settings() {
    for (std::size_t i = 0; i < j_.passes.size(); ++i)
      if (j_.passes[i].required)
        add(fmt::format("leaving out what {} says", pass_table_name(j_.passes[i]))).leave_out_pass(i);
    if (j_.wire_feed_m_per_min)
      add("leaving the wire feed to be computed").leave_out("process.wire_feed", &Joint::wire_feed_m_per_min);
    if (j_.travel_mm_per_s)
      add("leaving the travel to be computed").leave_out("process.travel", &Joint::travel_mm_per_s);
    if (j_.current_A) add("leaving the current to be computed").leave_out("process.current", &Joint::current_A);
    if (j_.voltage_V) add("leaving the voltage to be computed").leave_out("process.voltage", &Joint::voltage_V);
    if (j_.arc_length_mm) add("the usual arc length").leave_out("process.arc_length", &Joint::arc_length_mm);
    if (j_.peak_current_A || j_.peak_time_ms)
      add("the usual pulse")
          .leave_out("process.peak_current", &Joint::peak_current_A)
          .leave_out("process.peak_time", &Joint::peak_time_ms);
    if (violated({C::user_limit}))
      for (const UserLimit& limit : j_.limits)
        add(fmt::format("without the limit on {}", field(limit.field).label)).leave_out_limit(limit.field);
    if (!j_.mechanised && !j_.travel_mm_per_s && violated({C::travel_min, C::travel_max}))
      add("mechanised travel").yes("process.mechanised", &Joint::mechanised);
  }

  void gap_and_root_face() {
    if (!butt()) return;
    if (is_square() && violated({C::root_fusion})) leave_edges_to_be_chosen();  // the arc does not melt through them
    const double t_mm = *j_.thickness_mm;
    const Preparation* usual = preparation_row(c_, c_.section.preparation, t_mm, c_.sides);
    const double widest_mm = usual != nullptr ? usual->gap_max_mm : t_mm;  // that anyone bridges
    if (is_square())
      for (const double share : {0.25, 0.5, 0.75, 1.0}) {
        const double gap_mm = to_tenth(share * t_mm);
        if (gap_mm > 0 && gap_mm <= widest_mm && std::abs(gap_mm - c_.section.gap_mm) > 0.1)
          add(fmt::format("a gap of {} mm", plain(gap_mm))).number("joint.gap", &Joint::gap_mm, gap_mm, "mm");
      }
    constexpr double thin_face_mm = 0.5;
    if (c_.section.root_face_mm > thin_face_mm)
      add(fmt::format("a root face of {} mm", plain(thin_face_mm)))
          .number("joint.root_face", &Joint::root_face_mm, thin_face_mm, "mm");
  }

  void modes() {
    if (!j_.mode) return;
    for (const Mode mode : {Mode::short_arc, Mode::controlled_dip, Mode::spray, Mode::pulse})
      if (mode != *j_.mode)
        add(fmt::format("mode {}", mode_key(mode)))
            .word("process.mode", &Joint::mode, mode, mode_key(mode))
            .leave_out_what_does_not_go_with(mode);
  }

  void wire_and_gas() {
    if (j_.wire_diameter_mm) {
      Case free = c_;
      free.joint.wire_diameter_mm = {};
      for (const double d_mm : diameter_candidates(free))
        if (std::abs(d_mm - *j_.wire_diameter_mm) > 0.01)
          add(fmt::format("wire of {} mm", plain(d_mm)))
              .number("wire.diameter", &Joint::wire_diameter_mm, d_mm, "mm")
              .leave_out("wire.extension", &Joint::extension_mm);
    }
    if (j_.extension_mm) add("the usual extension").leave_out("wire.extension", &Joint::extension_mm);
    if (j_.gas || !j_.gas_composition.empty())
      add("the usual gas for the wire").leave_out("gas.designation", &Joint::gas).leave_out_gas_composition();
  }

  void sizes() {
    if (!fillet()) return;
    const double thinner_mm = std::min(*j_.thickness_mm, j_.thickness2_mm ? *j_.thickness2_mm : *j_.thickness_mm);
    const double largest_mm = std::min(largest_leg_mm(thinner_mm), c_.position->fillet_leg_max_mm.value);
    for (const double factor : {1.25, 0.8, 1.5}) {
      if (j_.throat_mm) {
        const double throat_mm = to_tenth(factor * *j_.throat_mm);
        if (fillet_leg_mm(throat_mm) <= largest_mm)
          add(fmt::format("a throat of {} mm, if the drawing allows it", plain(throat_mm)))
              .number("joint.throat", &Joint::throat_mm, throat_mm, "mm");
        continue;
      }
      const double leg_mm = to_tenth(factor * c_.section.leg_mm);
      const double leg2_mm = j_.leg2_mm ? to_tenth(factor * *j_.leg2_mm) : leg_mm;
      if (std::max(leg_mm, leg2_mm) > largest_mm) continue;
      Change& change = add(
          j_.leg2_mm ? fmt::format("legs of {} mm and {} mm, if the drawing allows it", plain(leg_mm), plain(leg2_mm))
                     : fmt::format("a leg of {} mm, if the drawing allows it", plain(leg_mm)));
      change.number("joint.leg", &Joint::leg_mm, leg_mm, "mm");
      if (j_.leg2_mm) change.number("joint.leg2", &Joint::leg2_mm, leg2_mm, "mm");
    }
  }

  const Plan& plan_;
  const Case& c_;
  const Joint& j_;
  std::vector<Step> steps_;
};

}  // namespace

std::vector<Suggestion> tried_changes(const Plan& plan, const Equipment* equipment) {
  constexpr std::size_t enough = 4;
  const PlanOptions quick{.detail = WindowDetail::band,
                          .uncertainties = false,
                          .suggestions = false,
                          .heat_report = false,
                          .procedure = plan.resolved.procedure ? &*plan.resolved.procedure : nullptr,
                          .box = false,
                          .confident = false,
                          .detail_tables = false};
  std::vector<Suggestion> found;
  const auto consider = [&](const std::vector<KeyChange>& settings, std::string_view without, const std::string& words,
                            const Joint& joint, const Equipment* machine, const PlanOptions& options) {
    const Joint tried_joint = options.procedure == nullptr ? joint : with_procedure(joint, *options.procedure);
    const Expected<Plan> tried = make_plan(tried_joint, machine, *plan.resolved.catalog, options);
    if (!tried || !tried->feasible) return;
    const Estimate& feed = tried->passes.front()[F::wire_feed];
    found.push_back({settings, without,
                     fmt::format("{} opens a window: {:.1f} to {:.1f} m/min wire feed{}", words, feed.low, feed.high,
                                 tried->passes.size() > 1 ? " in the first pass" : "")});
  };
  for (const Step& step : Steps(plan).all()) {
    if (found.size() >= enough) break;
    consider(step.change.settings(), "", step.words, step.change.joint(), equipment, quick);
  }
  if (equipment != nullptr && found.size() < enough)
    consider({}, "--equipment", "equipment without these limits", plan.resolved.joint, nullptr, quick);
  if (plan.resolved.procedure && found.size() < enough) {
    PlanOptions free = quick;
    free.procedure = nullptr;
    consider({}, "--procedure", "a procedure without these ranges", plan.resolved.joint, equipment, free);
  }
  return found;
}

}  // namespace seamwright
