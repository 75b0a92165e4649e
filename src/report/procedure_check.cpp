#include "seamwright/procedure_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "report/report_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/plan.hpp"
#include "settle/metal_parts.hpp"
#include "settle/resolve.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
namespace {

// Quantities of every pass that ISO 15609-1 asks for, in its order; whatever else a procedure states follows.
constexpr F usual_fields[] = {F::current,      F::voltage,      F::wire_feed, F::travel,         F::heat_input,
                              F::peak_current, F::base_current, F::peak_time, F::pulse_frequency};

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += fmt::format("{}{}", out.empty() ? "" : ", ", word);
  return out;
}

// Equal by the catalog: two spellings of one alloy are one.
template <class Row>
bool names_row(std::string_view word, const Row* row, const Row* (*find)(const Catalog&, std::string_view),
               const Catalog& catalog) {
  return row != nullptr && find(catalog, word) == row;
}

bool group_covers(std::string_view stated, std::string_view group) {
  return group == stated || (group.size() > stated.size() && group.starts_with(stated) && group[stated.size()] == '.');
}

// "pass 2", "passes 2-4"
std::string span_words(int first, int last) {
  return first == last ? fmt::format("pass {}", first) : fmt::format("passes {}-{}", first, last);
}

double outside_by(double value, Interval range) {
  return value < range.low ? range.low - value : value > range.high ? value - range.high : 0.0;
}

class Checker {
 public:
  Checker(const Plan& plan, const Procedure& procedure)
      : plan_(plan), c_(plan.resolved), procedure_(procedure), catalog_(*c_.catalog) {}

  ProcedureCheck check() {
    words();
    numbers();
    temperatures();
    for (std::size_t first = 0; first < plan_.passes.size();) {
      std::size_t next = first + 1;
      while (next < plan_.passes.size() && same(first, next)) ++next;
      pass(first, plan_.passes[next - 1].pass.number);
      first = next;
    }
    summary();
    return std::move(out_);
  }

 private:
  const Plan& plan_;
  const Case& c_;
  const Procedure& procedure_;
  const Catalog& catalog_;
  ProcedureCheck out_;
  std::string conflict_;
  std::set<std::string_view> compared_;  // keys

  [[nodiscard]] bool same(std::size_t a, std::size_t b) const {
    const PassResult &x = plan_.passes[a], &y = plan_.passes[b];
    return x.pass.role == y.pass.role &&
           x.window.band.best.wire_feed_m_per_min == y.window.band.best.wire_feed_m_per_min &&
           x.window.band.best.travel_mm_per_s == y.window.band.best.travel_mm_per_s &&
           &case_of(c_, a) == &case_of(c_, b) && same_ranges(procedure_, x.pass.number, y.pass.number);
  }

  void add(CheckRow row) {
    out_.outside = out_.outside || row.status == CheckStatus::outside;
    out_.rows.push_back(std::move(row));
  }

  // One word of the plan against the list; `fits` compares one entry of it.
  template <class Fits>
  void word(ProcedureWord id, const std::string& planned, Fits fits) {
    word(id, planned, fits, procedure_[id], {});
  }
  template <class Fits>
  void word(ProcedureWord id, const std::string& planned, Fits fits, const Given<std::vector<std::string>>& stated,
            std::string passes) {
    if (planned.empty()) return;
    compared_.insert(procedure_word(id).key);
    CheckRow row;
    row.key = procedure_word(id).key;
    row.label = procedure_word(id).label;
    row.planned = planned;
    row.passes = std::move(passes);
    if (stated) {
      row.allowed = joined(*stated);
      row.status =
          std::any_of(stated.value->begin(), stated.value->end(), fits) ? CheckStatus::inside : CheckStatus::outside;
    }
    add(std::move(row));
  }

  // Whether plan or procedure tell passes apart.
  [[nodiscard]] bool by_pass() const {
    return !plan_.passes.empty() &&
           (!c_.own.empty() || !procedure_.pass_words.empty() || !procedure_.pass_numbers.empty());
  }
  // Calls `tell(case, pass, words for the passes)` for passes that follow each other and are the same by `same`.
  template <class Same, class Tell>
  void for_runs(Same same, Tell tell) {
    if (!by_pass()) return tell(c_, 0, std::string());
    for (std::size_t i = 0; i < plan_.passes.size();) {
      std::size_t last = i;
      const auto number_of = [&](std::size_t k) { return plan_.passes[k].pass.number; };
      while (last + 1 < plan_.passes.size() &&
             same(case_of(c_, i), number_of(i), case_of(c_, last + 1), number_of(last + 1)))
        ++last;
      tell(case_of(c_, i), number_of(i), span_words(number_of(i), number_of(last)));
      i = last + 1;
    }
  }
  // A word of what passes are welded with; `planned` of a case, `fits` of a case and a word.
  template <class Planned, class Fits>
  void process_word(ProcedureWord id, Planned planned, Fits fits) {
    for_runs(
        [&](const Case& a, int of_a, const Case& b, int of_b) {
          const auto &x = stated_words(procedure_, id, of_a), &y = stated_words(procedure_, id, of_b);
          return planned(a) == planned(b) && x.value == y.value;
        },
        [&](const Case& c, int pass, std::string passes) {
          word(
              id, std::string(planned(c)), [&](const std::string& word) { return fits(c, word); },
              stated_words(procedure_, id, pass), std::move(passes));
        });
  }
  void process_number(ProcedureNumber id, double Case::*value) {
    for_runs(
        [&](const Case& a, int of_a, const Case& b, int of_b) {
          const auto &x = stated_number(procedure_, id, of_a), &y = stated_number(procedure_, id, of_b);
          return a.*value == b.*value && x.value == y.value;
        },
        [&](const Case& c, int pass, std::string passes) {
          number(id, c.*value, stated_number(procedure_, id, pass), std::move(passes));
        });
  }

  // "S355" stands for every quality of that steel.
  [[nodiscard]] bool covers_alloy(std::string_view word, const Alloy& alloy) const {
    const Alloy* stated = find_alloy(catalog_, word);
    if (stated == nullptr) return false;
    return stated == &alloy || (alloy.family == Family::carbon_steel && alloy.id.starts_with(stated->id));
  }

  void words() {
    const Joint& j = c_.joint;
    const auto same_word = [](std::string_view planned) {
      return [planned](const std::string& word) { return same_name(word, planned); };
    };
    const std::string type(joint_type_key(c_.section.type));
    word(ProcedureWord::joint_type, type, same_word(type));
    const bool butt = c_.section.type == JointType::butt || c_.section.type == JointType::pipe_butt;
    const std::string preparation(butt ? preparation_key(c_.section.preparation) : std::string_view());
    word(ProcedureWord::preparation, preparation, same_word(preparation));
    process_word(
        ProcedureWord::position, [](const Case& c) { return c.position->id; },
        [this](const Case& c, const std::string& word) {
          return names_row(word, c.position, find_position, catalog_);
        });
    const std::string backing(backing_key(j.backing ? *j.backing : Backing::none));
    word(ProcedureWord::backing, butt ? backing : "", same_word(backing));
    for (const Alloy* alloy : alloys_of(c_)) {
      word(ProcedureWord::alloy, std::string(alloy->id),
           [&](const std::string& word) { return covers_alloy(word, *alloy); });
      word(ProcedureWord::group, std::string(alloy->group),
           [&](const std::string& word) { return group_covers(word, alloy->group); });
    }
    process_word(
        ProcedureWord::wire, [](const Case& c) { return c.wire->id; },
        [this](const Case& c, const std::string& word) { return names_row(word, c.wire, find_wire, catalog_); });
    process_word(
        ProcedureWord::gas, [](const Case& c) { return std::string_view(c.gas_name); },
        [this](const Case& c, const std::string& word) {
          const Gas* gas = find_gas(catalog_, word);
          return gas != nullptr && gas->id == c.gas_name;
        });
    if (j.backing_gas || procedure_[ProcedureWord::backing_gas]) {
      const std::string planned = j.backing_gas ? *j.backing_gas : "none stated";
      word(ProcedureWord::backing_gas, planned, [&](const std::string& word) {
        return j.backing_gas && find_gas(catalog_, word) == find_gas(catalog_, *j.backing_gas);
      });
    }
    process_word(
        ProcedureWord::mode, [](const Case& c) { return mode_key(c.mode); },
        [](const Case& c, const std::string& word) { return same_name(word, mode_key(c.mode)); });
  }

  void number(ProcedureNumber id, double value) { number(id, value, procedure_[id], {}); }
  void number(ProcedureNumber id, double value, const Given<Interval>& stated, std::string passes) {
    const ProcedureVariableInfo& info = procedure_number(id);
    compared_.insert(info.key);
    CheckRow row;
    row.key = info.key;
    row.label = info.label;
    row.value = value;
    row.unit = info.unit;
    row.passes = std::move(passes);
    if (stated) {
      row.range = *stated;
      row.beyond = outside_by(value, row.range);
      row.status = row.beyond > 0 ? CheckStatus::outside : CheckStatus::inside;
      if (row.beyond > 0) row.nearest = std::clamp(value, row.range.low, row.range.high);
      if (row.beyond > 0) row.remark = "a property of the joint: plan again with it, or use another procedure";
    }
    add(std::move(row));
  }

  void numbers() {
    const SectionInput& s = c_.section;
    number(ProcedureNumber::thickness, s.thickness_mm);
    if (c_.thickness2_mm != s.thickness_mm) number(ProcedureNumber::thickness, c_.thickness2_mm);
    if (c_.joint.diameter_mm) number(ProcedureNumber::diameter, *c_.joint.diameter_mm);
    number(ProcedureNumber::gap, s.gap_mm);
    if (s.type == JointType::butt || s.type == JointType::pipe_butt) {
      if (s.preparation != PreparationType::square) {
        number(ProcedureNumber::root_face, s.root_face_mm);
        number(ProcedureNumber::angle, s.angle_deg);
      }
    } else if (s.leg_mm > 0) {
      number(ProcedureNumber::leg, s.leg_mm);
    }
    process_number(ProcedureNumber::wire_diameter, &Case::diameter_mm);
    process_number(ProcedureNumber::extension, &Case::extension_mm);
    process_number(ProcedureNumber::gas_flow, &Case::gas_flow_l_per_min);
  }

  void quantity(F id, double value, const std::optional<Interval>& range, std::string passes, double nearest,
                std::string remark) {
    const FieldInfo& info = field(id);
    compared_.insert(info.key);
    CheckRow row;
    row.key = info.key;
    row.label = info.label;
    row.passes = std::move(passes);
    row.value = value;
    row.like = id;
    if (range) {
      row.range = *range;
      row.beyond = outside_by(value, *range);
      row.status = row.beyond > 0 ? CheckStatus::outside : CheckStatus::inside;
      if (row.beyond > 0) row.nearest = nearest;
      row.remark = std::move(remark);
    }
    add(std::move(row));
  }

  void temperatures() {
    const auto temperature = [this](F id, double value) {
      const auto range = procedure_range(procedure_, id, PassRole::single);
      const double nearest = range ? std::clamp(value, range->low, range->high) : value;
      const bool outside = range && !range->contains(value);
      quantity(id, value, range, {}, nearest,
               outside ? fmt::format("set material.{} and plan again", field(id).key) : "");
    };
    temperature(F::preheat, c_.preheat_C);
    if (c_.interpass_C > 0) temperature(F::interpass, c_.interpass_C);
  }

  // The pass with the procedure's ranges as constraints: the setting on its line nearest to the planned one.
  std::optional<FieldValues> nearest_setting(std::size_t index, const FieldValues& planned) {
    PassContext context = plan_.contexts[index];
    const int number = plan_.passes[index].pass.number;
    for (const ProcedureRange& r : procedure_.ranges)
      if (r.binds(context.role, number) && r.field != F::preheat && r.field != F::interpass && !fixes_weave(r))
        context.limits.push_back({C::procedure, r.field, r.range.low, r.range.high, 0});
    const ConstantValues x = nominal_values(context.constants);
    const Window window = solve_window(context, fixed_travel_mm_per_s(case_of(c_, index).joint), WindowDetail::band);
    if (!window.band.feasible) {
      out_.solvable = false;
      std::string missed;
      for (const Margin& m : margins(context, x, evaluate(context, x, window.band.best)))
        if (m.score < 0)
          missed += fmt::format("{}{}{}", missed.empty() ? "" : ", ", constraint(m.id).label,
                                m.id == C::procedure ? fmt::format(" of {}", field(m.field).label) : "");
      conflict_ += fmt::format("{}pass {} misses at best: {}", conflict_.empty() ? "" : "; ",
                               plan_.passes[index].pass.number, missed);
      return std::nullopt;
    }
    const double feed =
        std::clamp(planned[F::wire_feed], window.band.low.wire_feed_m_per_min, window.band.high.wire_feed_m_per_min);
    Setting s = on_line(context, x, window.line, feed);
    settle_modulation(context, x, s);
    return evaluate(context, x, s);
  }

  void pass(std::size_t index, int last) {
    const PassResult& result = plan_.passes[index];
    const PassContext& context = plan_.contexts[index];
    const int number = result.pass.number;
    const FieldValues at = evaluate(context, nominal_values(context.constants), result.window.band.best);
    std::vector<F> list(std::begin(usual_fields), std::end(usual_fields));
    for (const ProcedureRange& r : procedure_.ranges)
      if (r.binds(context.role, number) && r.field != F::preheat && r.field != F::interpass &&
          std::find(list.begin(), list.end(), r.field) == list.end())
        list.push_back(r.field);
    bool outside = false;
    for (const F id : list)
      if (const auto range = procedure_range(procedure_, id, context.role, number))
        outside = outside || (applies(at[id]) && !range->contains(at[id]));
    const std::optional<FieldValues> inside = outside ? nearest_setting(index, at) : std::nullopt;
    const std::string passes = span_words(result.pass.number, last);
    for (const F id : list) {
      const auto range = procedure_range(procedure_, id, context.role, number);
      if (!applies(at[id])) continue;
      std::string remark;
      const Estimate& e = result[id];
      if (range && range->contains(at[id]) && e.present && (e.low < range->low || e.high > range->high) &&
          field(id).range != Range::total)
        remark = "the plan's range reaches beyond the procedure's: stay inside both";
      const bool weave = range && fixes_weave({id, std::nullopt, *range, {}, 0});
      if (range && !range->contains(at[id]) && weave) remark = fmt::format("give {} and plan again", field(id).key);
      if (range && !range->contains(at[id]) && !inside && !weave)
        remark = "no setting inside satisfies everything else";
      quantity(id, at[id], range, passes, inside && !weave ? (*inside)[id] : not_applicable, std::move(remark));
    }
    if (inside)
      out_.summary += fmt::format(
          "{}Inside the procedure, {}: wire feed {:.2f} m/min at {:.1f} mm/s, the nearest setting "
          "that satisfies everything else.",
          out_.summary.empty() ? "" : " ", passes, (*inside)[F::wire_feed], (*inside)[F::travel]);
  }

  void summary() {
    if (!plan_.feasible) out_.summary = "The plan itself has no window; the point of least conflict was compared.";
    if (!out_.solvable)
      out_.summary += fmt::format("{}No setting satisfies both the procedure and the joint ({}).",
                                  out_.summary.empty() ? "" : " ", conflict_);
    if (out_.summary.empty())
      out_.summary = out_.outside ? "The settings are inside; the joint or its preparation is not."
                                  : "Everything the procedure states and the plan knows is inside.";
    const std::string unmatched = stated_only();
    if (!unmatched.empty())
      out_.summary += fmt::format(" Stated in the procedure, but without a counterpart in this plan: {}.", unmatched);
  }

  // What the procedure states and this joint or mode does not have.
  [[nodiscard]] std::string stated_only() const {
    std::vector<std::string> keys;
    const auto add = [&](std::string_view key) {
      if (!compared_.contains(key) && std::find(keys.begin(), keys.end(), key) == keys.end()) keys.emplace_back(key);
    };
    for (std::size_t i = 0; i < procedure_word_count; ++i)
      if (const auto id = static_cast<ProcedureWord>(i); procedure_[id]) add(procedure_word(id).key);
    for (std::size_t i = 0; i < procedure_number_count; ++i)
      if (const auto id = static_cast<ProcedureNumber>(i); procedure_[id]) add(procedure_number(id).key);
    for (const ProcedureRange& r : procedure_.ranges) {
      add(field(r.field).key);
      const bool missing = r.pass > static_cast<int>(plan_.passes.size());
      if (const std::string table = fmt::format("pass.{}", r.pass);
          missing && std::find(keys.begin(), keys.end(), table) == keys.end())
        keys.push_back(table);
    }
    return joined(keys);
  }
};

}  // namespace

std::string_view check_status_key(CheckStatus status) {
  switch (status) {
    case CheckStatus::inside:
      return "inside";
    case CheckStatus::outside:
      return "outside";
    case CheckStatus::not_stated:
      break;
  }
  return "not-stated";
}

ProcedureCheck check_procedure(const Plan& plan, const Procedure& procedure) {
  return Checker(plan, procedure).check();
}

void add_replanned(ProcedureCheck& check, const Plan& bound) {
  if (!bound.feasible) {
    check.summary += " Replanned within the procedure there is no window either.";
    return;
  }
  check.summary += fmt::format(
      " Replanned within the procedure there is a window: {} pass{}, {}, {:.4g} mm wire "
      "(plan --procedure).",
      bound.passes.size(), bound.passes.size() == 1 ? "" : "es", mode_key(bound.resolved.mode),
      bound.resolved.diameter_mm);
}

namespace {

// Parent metal groups and gas that a test piece covers, where it states them.
template <class Add>
void qualified_metals(const TestPiece& piece, const QualificationRules& rules, const Plan* plan, Add add) {
  if (!piece.group.empty()) {
    CheckRow row;
    row.key = "material.group";
    row.label = "group of ISO/TR 15608";
    const GroupCover own = group_cover(piece.group, piece.group, piece.standard, rules.groups);
    if (own.rule == nullptr) {
      row.allowed =
          fmt::format("no rule for group {} here: see {}", piece.group, qualification_standard_key(piece.standard));
      add(std::move(row));
    } else {
      row.allowed = own.rule->covers == "lower"
                        ? fmt::format("{} and lower sub-groups of {}", piece.group, own.rule->group)
                        : fmt::format("{} only", piece.group);
      row.source = own.rule->source;
      if (plan == nullptr) add(row);
      if (plan != nullptr) {
        const auto alloys = alloys_of(plan->resolved);
        for (const Alloy* alloy : alloys) {
          CheckRow one = row;
          one.planned = alloy->group;
          const bool covered = group_cover(piece.group, alloy->group, piece.standard, rules.groups).covered;
          const bool unlike = alloys.front()->group != alloys.back()->group;
          one.status = covered && !unlike ? CheckStatus::inside : CheckStatus::outside;
          if (unlike) one.remark = "two groups in one joint need a test of their own";
          add(std::move(one));
        }
      }
    }
  }
  if (piece.gas == nullptr) return;
  CheckRow row;
  row.key = "gas.designation";
  row.label = "shielding gas";
  row.source = rules.source;
  row.allowed = std::string(gas_group(*piece.gas));
  if (piece.gas->co2_percent > 0)
    row.allowed += fmt::format(" with {:.3g} to {:.3g} % CO2", piece.gas->co2_percent * (1 - rules.gas_co2_share),
                               piece.gas->co2_percent * (1 + rules.gas_co2_share));
  if (plan == nullptr) return add(std::move(row));
  for (const Case* process : processes_of(plan->resolved)) {
    CheckRow one = row;
    one.planned = process->gas_name;
    one.status =
        gas_covered(*piece.gas, process->gas, rules.gas_co2_share) ? CheckStatus::inside : CheckStatus::outside;
    add(std::move(one));
  }
}

}  // namespace

Expected<ProcedureCheck> check_test_piece(const TestPiece& piece, const Catalog& catalog, const Plan* plan) {
  const auto result = qualify(piece, qualification_rules(catalog));
  if (!result) {
    Diagnostic d;
    d.message = fmt::format("this test piece qualifies nothing: {}", refusal_words(result.refusal()));
    d.help = "check its thickness and throat, and whether impact was tested where it is required";
    return d;
  }
  ProcedureCheck out;
  const auto add = [&](CheckRow row) {
    out.outside = out.outside || row.status == CheckStatus::outside;
    out.rows.push_back(std::move(row));
  };
  // Each planned value of a variable, with the pass it belongs to.
  struct Planned {
    double value;
    std::string passes;
  };
  for (const QualifiedRange& range : result->ranges) {
    CheckRow row;
    row.range = range.range;
    row.source = range.source;
    std::vector<Planned> values;
    switch (range.variable) {
      case QualifiedVariable::thickness_mm:
        row.key = "joint.thickness";
        row.label = "thickness";
        row.unit = "mm";
        if (plan) values = {{plan->resolved.section.thickness_mm, ""}};
        if (plan && plan->resolved.thickness2_mm != plan->resolved.section.thickness_mm)
          values.push_back({plan->resolved.thickness2_mm, ""});
        break;
      case QualifiedVariable::throat_mm:
        row.key = "throat";
        row.label = "throat";
        row.unit = "mm";
        if (plan && plan->resolved.section.leg_mm > 0) {
          const SectionInput& s = plan->resolved.section;
          values = {{fillet_throat_mm(s.leg_mm, s.leg2_mm), ""}};
        }
        break;
      case QualifiedVariable::heat_input_kJ_per_mm:
        row.like = F::heat_input;
        if (row.range.low <= 0) row.range.low = -unbounded;  // no lower end
        if (plan)
          for (const PassResult& pass : plan->passes)
            values.push_back({pass[F::heat_input].value, span_words(pass.pass.number, pass.pass.number)});
        break;
      case QualifiedVariable::preheat_C:
        row.like = F::preheat;
        if (plan) values = {{plan->resolved.preheat_C, ""}};
        break;
      case QualifiedVariable::interpass_C:
        row.like = F::interpass;
        if (plan) values = {{plan->resolved.interpass_C, ""}};
        break;
    }
    if (row.like != F::count) {
      row.key = field(row.like).key;
      row.label = field(row.like).label;
    }
    if (values.empty()) add(row);
    for (const Planned& planned : values) {
      CheckRow one = row;
      one.value = planned.value;
      one.passes = planned.passes;
      one.beyond = outside_by(planned.value, row.range);
      one.status = one.beyond > 0 ? CheckStatus::outside : CheckStatus::inside;
      add(std::move(one));
    }
  }
  if (plan) {
    // Butt welds qualify fillet welds, not the other way round.
    const JointType type = plan->resolved.section.type;
    const bool butt = type == JointType::butt || type == JointType::pipe_butt;
    CheckRow weld;
    weld.key = "joint.type";
    weld.label = "joint type";
    weld.planned = joint_type_key(type);
    weld.allowed = piece.weld == QualifiedWeld::butt ? "butt, fillet" : "fillet";
    weld.status = butt && piece.weld == QualifiedWeld::fillet ? CheckStatus::outside : CheckStatus::inside;
    if (!butt && piece.weld == QualifiedWeld::butt)
      weld.remark = "the thickness is compared with the range for butt welds; fillets have their own";
    weld.source = result->source;
    add(std::move(weld));
  }
  qualified_metals(piece, qualification_rules(catalog), plan, add);
  CheckRow mode;
  mode.key = "process.mode";
  mode.label = "transfer mode";
  mode.source = result->source;
  for (const Mode m : result->modes) mode.allowed += fmt::format("{}{}", mode.allowed.empty() ? "" : ", ", mode_key(m));
  if (!plan) add(mode);
  if (plan)
    for (const Case* process : processes_of(plan->resolved)) {
      CheckRow one = mode;
      one.planned = mode_key(process->mode);
      one.status = std::find(result->modes.begin(), result->modes.end(), process->mode) == result->modes.end()
                       ? CheckStatus::outside
                       : CheckStatus::inside;
      add(std::move(one));
    }

  CheckRow position;
  position.key = "joint.position";
  position.label = "position";
  position.source = result->source;
  const bool down = plan != nullptr && (plan->resolved.position->id == "PG" || plan->resolved.position->id == "PJ" ||
                                        plan->resolved.position->id == "J-L045");
  if (plan) position.planned = plan->resolved.position->id;
  switch (result->positions) {
    case QualifiedPositions::all:
      position.allowed = "all but welding downwards";
      break;
    case QualifiedPositions::tested_only:
      position.allowed = fmt::format("{} only", piece.position);
      break;
    case QualifiedPositions::by_heat_input:
      position.allowed =
          "all but welding downwards, if impact was tested in the position of the highest heat input and "
          "hardness in that of the lowest";
      break;
  }
  if (plan) {
    const bool fits = result->positions == QualifiedPositions::tested_only ? position.planned == piece.position : !down;
    position.status = fits ? CheckStatus::inside : CheckStatus::outside;
  }
  add(std::move(position));
  out.summary = fmt::format(
      "Rules of {} recalled from memory and not read again: confirm every range in the standard itself before "
      "it is relied on. Filler, diameter and the tests themselves have rules of their own that are not here.",
      piece.standard == QualificationStandard::iso_15614_2 ? "ISO 15614-2" : "ISO 15614-1 level 2");
  return out;
}

}  // namespace seamwright
