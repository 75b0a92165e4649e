#include "seamwright/lock_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "window/operating_point.hpp"

namespace seamwright {
namespace {

constexpr std::size_t travel_side = 1, peak_side = 3;
constexpr int digits = 6;

// To six digits, up or down.
double rounded(double value, bool up) {
  if (value == 0) return 0;
  const double scale = std::pow(10.0, digits - 1 - static_cast<int>(std::floor(std::log10(std::abs(value)))));
  const double steps = value * scale;
  constexpr double slack = 1e-7;  // what is written so already stays
  return (up ? std::ceil(steps - slack) : std::floor(steps + slack)) / scale;
}
Interval inwards(double low, double high) {
  if (!(low < high)) return {low, high};
  const Interval inner{rounded(low, true), rounded(high, false)};
  return inner.low <= inner.high ? inner : Interval{low, high};
}
Interval outwards(double low, double high) {
  return {std::isfinite(low) ? rounded(low, false) : low, rounded(high, true)};
}

Diagnostic refusal(std::string message, std::string help) {
  Diagnostic d;
  d.message = std::move(message);
  d.help = std::move(help);
  return d;
}

class Locker {
 public:
  explicit Locker(const Plan& plan) : plan_(plan), c_(plan.resolved) {}

  Procedure describe(const ProcedureOrigin& made) {
    if (c_.joint.title) p_.title = *c_.joint.title;
    if (c_.joint.id) p_.number = *c_.joint.id;
    p_.made = made;
    p_.made.trials = trials_behind(plan_);
    words();
    numbers();
    if (!c_.own.empty()) passes();
    range(F::preheat, {c_.preheat_C, unbounded}, 0);
    if (c_.interpass_C > 0) range(F::interpass, {-unbounded, c_.interpass_C}, 0);
    return std::move(p_);
  }
  Procedure lock_passes(Procedure described) {
    p_ = std::move(described);
    for (std::size_t i = 0; i < plan_.passes.size(); ++i) {
      box(plan_.passes[i]);
      weave(plan_.passes[i], plan_.contexts[i]);
    }
    return std::move(p_);
  }

 private:
  const Plan& plan_;
  const Case& c_;
  Procedure p_;

  void word(ProcedureWord id, std::string_view text) {
    auto& list = p_.words[static_cast<std::size_t>(id)].value;
    if (!list) list.emplace();
    if (!text.empty() && std::find(list->begin(), list->end(), text) == list->end()) list->emplace_back(text);
  }
  void number(ProcedureNumber id, double value) {
    p_.numbers[static_cast<std::size_t>(id)].value = Interval{value, value};
  }
  void widen(ProcedureNumber id, double value) {
    auto& range = p_.numbers[static_cast<std::size_t>(id)].value;
    range = range ? Interval{std::min(range->low, value), std::max(range->high, value)} : Interval{value, value};
  }
  void range(F id, Interval interval, int pass, std::optional<PassRole> role = std::nullopt) {
    p_.ranges.push_back({id, role, interval, {}, pass});
  }

  [[nodiscard]] bool butt() const {
    return c_.section.type == JointType::butt || c_.section.type == JointType::pipe_butt;
  }
  // A mixture of the user's own has no name that a file could state: then the file states no gas for all passes.
  [[nodiscard]] bool every_gas_named() const {
    return std::ranges::all_of(processes_of(c_),
                               [](const Case* process) { return process->joint.gas_composition.empty(); });
  }
  void words() {
    word(ProcedureWord::joint_type, joint_type_key(c_.section.type));
    if (butt()) word(ProcedureWord::preparation, preparation_key(c_.section.preparation));
    if (butt()) word(ProcedureWord::backing, backing_key(c_.joint.backing ? *c_.joint.backing : Backing::none));
    for (const Case* process : processes_of(c_)) word(ProcedureWord::position, process->position->id);
    word(ProcedureWord::alloy, c_.alloy->id);
    if (c_.alloy2 != nullptr) word(ProcedureWord::alloy, c_.alloy2->id);
    for (const Case* process : processes_of(c_)) {
      word(ProcedureWord::wire, process->wire->id);
      if (every_gas_named()) word(ProcedureWord::gas, process->gas_name);
      word(ProcedureWord::mode, mode_key(process->mode));
    }
  }
  void numbers() {
    const double thin = std::min(c_.section.thickness_mm, c_.thickness2_mm),
                 thick = std::max(c_.section.thickness_mm, c_.thickness2_mm);
    p_.numbers[static_cast<std::size_t>(ProcedureNumber::thickness)].value = Interval{thin > 0 ? thin : thick, thick};
    if (c_.joint.diameter_mm) number(ProcedureNumber::diameter, *c_.joint.diameter_mm);
    number(ProcedureNumber::gap, c_.section.gap_mm);
    if (butt() && c_.section.preparation != PreparationType::square) {
      number(ProcedureNumber::root_face, c_.section.root_face_mm);
      number(ProcedureNumber::angle, c_.section.angle_deg);
    }
    if (!butt() && c_.section.leg_mm > 0) number(ProcedureNumber::leg, c_.section.leg_mm);
    for (const Case* process : processes_of(c_)) {
      widen(ProcedureNumber::wire_diameter, process->diameter_mm);
      widen(ProcedureNumber::extension, process->extension_mm);
    }
  }

  // What passes differ in, of each.
  void passes() {
    for (const PassResult& pass : plan_.passes) {
      const Case& c = case_of(plan_, pass);
      const auto say = [&](ProcedureWord id, std::string_view text) {
        const auto& all = p_[id];
        if (all && all.value->size() > 1)
          p_.pass_words.push_back({pass.pass.number, id, {std::vector{std::string(text)}, {}}});
      };
      say(ProcedureWord::mode, mode_key(c.mode));
      say(ProcedureWord::wire, c.wire->id);
      if (every_gas_named())
        say(ProcedureWord::gas, c.gas_name);
      else if (c.joint.gas_composition.empty())
        p_.pass_words.push_back({pass.pass.number, ProcedureWord::gas, {std::vector{c.gas_name}, {}}});
      say(ProcedureWord::position, c.position->id);
      const auto say_number = [&](ProcedureNumber id, double value) {
        if (p_[id].value->low < p_[id].value->high)
          p_.pass_numbers.push_back({pass.pass.number, id, {Interval{value, value}, {}}});
      };
      say_number(ProcedureNumber::wire_diameter, c.diameter_mm);
      say_number(ProcedureNumber::extension, c.extension_mm);
    }
  }

  // A weave that is given is written as it is: read back, it is the joint's again. One that a hand makes by itself has
  // a greatest width, as ISO 15609-1 states it.
  void weave(const PassResult& pass, const PassContext& c) {
    const int number = pass.pass.number;
    if (c.weave.width_mm > 0) {
      range(F::weave_width, {c.weave.width_mm, c.weave.width_mm}, number, pass.pass.role);
      range(F::weave_dwell, {c.weave.dwell_s, c.weave.dwell_s}, number, pass.pass.role);
      return;
    }
    double widest = 0;
    const LockBox& box = *pass.box;
    for (const double feed : {box.sides[0].low, box.sides[0].high}) {
      Setting s = box.centre;
      s.wire_feed_m_per_min = feed;
      const double width = evaluate(c, nominal_values(c.constants), s)[F::weave_width];
      if (applies(width)) widest = std::max(widest, width);
    }
    if (widest > 0)
      range(F::weave_width, outwards(-unbounded, (1 + c_.catalog->limits->lock_weave_share.value) * widest), number,
            pass.pass.role);
  }

  void box(const PassResult& pass) {
    const LockBox& box = *pass.box;
    const int number = pass.pass.number;
    for (std::size_t i = 0; i < box_side_count; ++i) {
      const BoxSide& side = box.sides[i];
      if (!side.present || side.follows) continue;
      const double unit = i == peak_side ? 100.0 : 1.0;  // the trim of the peak is a share inside, per cent outside
      range(box_fields[i], inwards(unit * side.low, unit * side.high), number, pass.pass.role);
    }
    const BoxSide& travel = box.sides[travel_side];
    if (!travel.follows) return;
    const double slow = 1 - box.travel_tolerance, fast = 1 + box.travel_tolerance;
    range(F::travel, outwards(slow * travel.low, fast * travel.high), number, pass.pass.role);
    range(F::deposit_area, inwards(box.deposit_mm2 / fast, box.deposit_mm2 / slow), number, pass.pass.role);
  }
};

}  // namespace

std::vector<std::string> trials_behind(const Plan& plan) {
  std::vector<std::string> titles;
  const auto note = [&](SourceIndex index) {
    if (index == 0) return;
    const Source& source = source_of(*plan.resolved.catalog, index);
    if (source.kind != SourceKind::trial) return;
    std::string title(source.title.empty() ? source.key : source.title);
    if (std::find(titles.begin(), titles.end(), title) == titles.end()) titles.push_back(std::move(title));
  };
  for (const PassContext& pass : plan.contexts) {
    for (const Constant& constant : pass.constants) note(constant.source);
    for (const FieldLimit& limit : pass.limits) note(limit.source);
    for (const LimitEnds& ends : pass.ends) note(ends.source);
    for (const SourceIndex source :
         {pass.source.fusion, pass.source.burn, pass.source.deposit, pass.source.excess, pass.source.cold_lap,
          pass.source.pool_support, pass.source.pulse, pass.source.base_current, pass.source.transition,
          pass.source.mode_min, pass.source.mode_max})
      note(source);
  }
  return titles;
}

Procedure described_procedure(const Plan& plan, const ProcedureOrigin& made) { return Locker(plan).describe(made); }

Expected<Procedure> locked_procedure(const Plan& plan, const ProcedureOrigin& made) {
  if (!plan.feasible)
    return refusal("there is nothing to lock: the joint has no window", "'seamwright plan' names what opens one");
  for (const PassResult& pass : plan.passes)
    if (!pass.box || !pass.box->exists)
      return refusal(fmt::format("pass {} has no ranges to lock", pass.pass.number),
                     "'seamwright plan' says at LOCK what stands in the way");
  return Locker(plan).lock_passes(described_procedure(plan, made));
}

}  // namespace seamwright
