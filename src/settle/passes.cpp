// Passes with a process of their own.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "input/pass_tables.hpp"
#include "settle/resolve.hpp"
#include "settle/settle_parts.hpp"

namespace seamwright {
namespace {

constexpr PassTableSet root_chosen = PassTableSet{1} << 63;  // a root whose mode is chosen apart, without a table

bool is_first(const PassPlan& pass) {
  return pass.side == 1 && (pass.role == PassRole::root || pass.role == PassRole::single);
}

// The layer over the root of a groove, where it is no cap.
bool is_hot(const Case& c, const PassPlan& pass) {
  const bool groove = (c.section.type == JointType::butt || c.section.type == JointType::pipe_butt) &&
                      c.section.preparation != PreparationType::square;
  return groove && pass.side == 1 && pass.role == PassRole::fill && pass.layer == 2;
}

bool speaks_of(const Case& c, const PassTable& table, const PassPlan& pass) {
  switch (table.kind) {
    case PassTableKind::root:
      return is_first(pass);
    case PassTableKind::fill:
      return !is_first(pass);
    case PassTableKind::hot:
      return is_hot(c, pass);
    case PassTableKind::cap:
      return pass.role == PassRole::cap;
    case PassTableKind::back:
      return pass.side == 2;
    case PassTableKind::number:
      return pass.number == table.number;
  }
  return false;
}

// Of single passes by number: the first table that says the same.
std::size_t same_as(const Case& c, std::size_t table) {
  const auto& all = c.joint.passes;
  for (std::size_t i = 0; i < table; ++i)
    if (all[i].kind == PassTableKind::number && all[table].kind == PassTableKind::number &&
        say_the_same(all[i].says, all[table].says))
      return i;
  return table;
}

PassTableSet tables_of(const Case& c, const PassPlan& pass) {
  PassTableSet tables = c.root_mode && is_first(pass) ? root_chosen : 0;
  for (std::size_t i = 0; i < c.joint.passes.size(); ++i)
    if (speaks_of(c, c.joint.passes[i], pass)) tables |= PassTableSet{1} << same_as(c, i);
  return tables;
}

// The table that says most; of passes that several tables speak of, [pass.fill] apart, the number of the first.
std::string name_of(const Case& c, PassTableSet tables, int first_pass) {
  std::string name = "pass.root";
  int narrow = 0;
  for (std::size_t i = 0; i < c.joint.passes.size(); ++i) {
    if ((tables >> i & 1) == 0) continue;
    name = pass_table_name(c.joint.passes[i]);
    narrow += c.joint.passes[i].kind == PassTableKind::fill ? 0 : 1;
  }
  return narrow > 1 ? fmt::format("pass.{}", first_pass) : name;
}

// Into a case that may have held another.
void resolve_own(const Case& c, PassTableSet tables, Case& own, Diagnostics& errors) {
  own.with_reasons = c.with_reasons;
  joint_of_pass(c.joint, tables, own.joint);
  errors = resolve_joint(own.joint, c.equipment ? &*c.equipment : nullptr, *c.catalog, own);
  own.tables = tables;
  if (!errors.empty()) return;
  // The gas need not be changed where it suits the wire.
  if (!own.joint.gas && own.joint.gas_composition.empty() && own.wire != c.wire &&
      list_has(own.wire->gases, c.gas.id)) {
    own.gas = c.gas;
    own.gas_name = c.gas_name;
  }
}

// Processes that no pass has go; the others are named.
void tidy(Case& c) {
  for (std::size_t k = c.own.size(); k-- > 0;) {
    if (std::ranges::find(c.own_of, k + 1) != c.own_of.end()) continue;
    c.own.remove(k);
    for (std::size_t& of : c.own_of) of -= of > k + 1 ? 1 : 0;
  }
  for (std::size_t k = 0; k < c.own.size(); ++k) {
    const auto first = std::ranges::find(c.own_of, k + 1) - c.own_of.begin();
    c.own[k].own_name = name_of(c, c.own[k].tables, c.pass_plans[static_cast<std::size_t>(first)].number);
    c.own[k].of_root_alone = true;
    for (std::size_t i = 0; i < c.own_of.size(); ++i)
      if (c.own_of[i] == k + 1 && !is_first(c.pass_plans[i])) c.own[k].of_root_alone = false;
  }
}

// Which process each pass has; those that are new are resolved.
void share_out(Case& c, Diagnostics& errors) {
  c.own_of.assign(c.pass_plans.size(), 0);
  for (std::size_t i = 0; i < c.pass_plans.size(); ++i) {
    const PassTableSet tables = tables_of(c, c.pass_plans[i]);
    if (tables == 0) continue;
    std::size_t k = 0;
    while (k < c.own.size() && c.own[k].tables != tables) ++k;
    if (k == c.own.size()) resolve_own(c, tables, c.own.add(), errors);
    if (!errors.empty()) return;
    c.own_of[i] = k + 1;
  }
  tidy(c);
}

double diameter_of(const Case& own, const Case& c, double diameter_mm) {
  if (own.joint.wire_diameter_mm) return *own.joint.wire_diameter_mm;
  const DiameterList known = diameter_candidates(own);
  const bool usable = own.wire == c.wire || std::ranges::find(known, diameter_mm) != known.end();
  return usable || known.empty() ? diameter_mm : known.front();
}

// "root (pass 1), fill (passes 2-4), cap (pass 5)"
std::string passes_in_words(const Case& c) {
  std::string words;
  for (std::size_t i = 0; i < c.pass_plans.size();) {
    const PassPlan& first = c.pass_plans[i];
    std::size_t last = i;
    while (last + 1 < c.pass_plans.size() && c.pass_plans[last + 1].role == first.role &&
           c.pass_plans[last + 1].side == first.side)
      ++last;
    words += fmt::format("{}{}{} ({})", words.empty() ? "" : ", ", pass_role_key(first.role),
                         first.side == 2 ? " of the second side" : "",
                         last == i ? fmt::format("pass {}", i + 1) : fmt::format("passes {}-{}", i + 1, last + 1));
    i = last + 1;
  }
  return words;
}

// Numbers of passes beyond `most` are no passes of this plan.
void find_tables_without_pass(const Case& c, int most, Diagnostics& errors) {
  for (const PassTable& table : c.joint.passes) {
    const bool found =
        table.kind == PassTableKind::number
            ? table.number <= most
            : std::ranges::any_of(c.pass_plans, [&](const PassPlan& p) { return speaks_of(c, table, p); });
    if (found || !table.required) continue;
    Diagnostic d;
    d.place = table.place;
    d.message = fmt::format("{} speaks of a pass that this joint does not have", pass_table_name(table));
    d.help = fmt::format("its passes: {}", passes_in_words(c));
    errors.push_back(std::move(d));
  }
}

std::string wire_words(const Case& c) { return fmt::format("{} {:.4g} mm", c.wire->id, c.diameter_mm); }

// Whether two gases are one, whatever they are called: M21, or the same argon and CO2 given by their parts.
bool same_mixture(const Gas& a, const Gas& b) {
  return a.argon_percent == b.argon_percent && a.co2_percent == b.co2_percent && a.oxygen_percent == b.oxygen_percent &&
         a.helium_percent == b.helium_percent && a.nitrogen_percent == b.nitrogen_percent &&
         a.hydrogen_percent == b.hydrogen_percent;
}

// "Pass 1", "Passes 2-4"
std::string passes_of(const Case& c, std::size_t own) {
  std::string list;
  bool several = false;
  for (std::size_t i = 0; i < c.own_of.size(); ++i) {
    if (c.own_of[i] != own) continue;
    std::size_t last = i;
    while (last + 1 < c.own_of.size() && c.own_of[last + 1] == own) ++last;
    several = several || !list.empty() || last > i;
    list += fmt::format("{}{}", list.empty() ? "" : ", ",
                        last == i ? fmt::format("{}", i + 1) : fmt::format("{}-{}", i + 1, last + 1));
    i = last;
  }
  return fmt::format("{} {}", several ? "Passes" : "Pass", list);
}

}  // namespace

void resolve_passes(Case& c, Diagnostics& errors) {
  share_out(c, errors);
  if (errors.empty()) find_tables_without_pass(c, most_pass_number, errors);
}

Diagnostics tables_without_pass(const Case& c) {
  Diagnostics errors;
  find_tables_without_pass(c, static_cast<int>(c.pass_plans.size()), errors);
  return errors;
}

Diagnostics weaves_too_wide(const Case& c) {
  Diagnostics errors;
  const auto fail = [&](const Place& place, std::string message, std::string help) {
    Diagnostic d;
    d.place = place;
    d.message = std::move(message);
    d.help = std::move(help);
    const auto same = [&](const Diagnostic& other) { return other.message == d.message; };
    if (std::ranges::none_of(errors, same)) errors.push_back(std::move(d));
  };
  for (std::size_t i = 0; i < c.pass_plans.size(); ++i) {
    const Case& own = case_of(c, i);
    const PassPlan& pass = c.pass_plans[i];
    const Given<double>&width = own.joint.weave_width_mm, &dwell = own.joint.weave_dwell_s;
    if (dwell && !width)
      fail(dwell.place, "weave_dwell is the stop of a weave, and no weave is given", "give weave_width too");
    if (!width) continue;
    const Constant& widest = own.position->layer_split_width_mm;
    if (*width >= widest.value)
      fail(width.place,
           fmt::format("a weave of {:.4g} mm lays a wider bead than one pass may be in {}: {:.4g} mm", *width,
                       own.position->id, widest.value),
           fmt::format("{} [{}]; weave less, and lay beads side by side", source_of(*own.catalog, widest.source).title,
                       source_kind_key(source_of(*own.catalog, widest.source).kind)));
    else if (own.section.type != JointType::overlay && *width > pass.width_mm)
      fail(width.place,
           fmt::format("a weave of {:.4g} mm is wider than the {:.1f} mm that pass {} ({}) has to cover", *width,
                       pass.width_mm, pass.number, pass_role_key(pass.role)),
           "weave less, or give it to the passes it is meant for: [pass.cap] weave_width");
  }
  return errors;
}

bool is_used(const Case& c) {
  return c.own_of.empty() || std::ranges::find(c.own_of, std::size_t{0}) != c.own_of.end();
}

bool settle_passes(Case& c, Mode mode, double diameter_mm, std::string& reason) {
  Diagnostics errors;
  share_out(c, errors);
  if (!errors.empty()) {
    reason = errors.front().message;
    return false;
  }
  for (Case& own : c.own) {
    own.preheat_C = c.preheat_C;
    own.interpass_C = c.interpass_C;
    own.procedure = c.procedure;
    own.section = c.section;
    own.sides = c.sides;
    own.pass_plans = c.pass_plans;
    const bool chosen = (own.tables & root_chosen) != 0 && c.root_mode;
    const Mode its = own.joint.mode ? *own.joint.mode : chosen ? *c.root_mode : mode;
    if (settle_mode(own, its, diameter_of(own, c, diameter_mm), 1.0, reason)) continue;
    reason.insert(0, ": ").insert(0, mode_key(its)).insert(0, ", ").insert(0, own.own_name);
    return false;
  }
  return true;
}

void add_words_of_passes(Case& c) {
  const bool used = is_used(c);
  if (!used) {
    c.warnings.resize(c.warnings_of_joint);
    const auto of_all = [&](const Choice& choice) {
      return std::ranges::all_of(c.own, [&](const Case& own) {
        return std::ranges::any_of(
            own.choices, [&](const Choice& its) { return its.key == choice.key && its.value == choice.value; });
      });
    };
    std::erase_if(c.choices, [&](const Choice& choice) { return !pass_key_of(choice.key).empty() && !of_all(choice); });
  }
  for (std::size_t k = 0; k < c.own.size(); ++k) {
    const Case& own = c.own[k];
    const std::string passes = c.with_reasons ? passes_of(c, k + 1) : std::string();
    for (const Warning& w : own.warnings) {
      const auto same = [&](const Warning& other) { return other.id == w.id && other.text == w.text; };
      if (std::ranges::any_of(c.warnings, same)) continue;
      c.warnings.push_back({w.id, w.text.empty() ? std::string() : fmt::format("{}: {}", passes, w.text), w.source});
    }
    for (const Choice& choice : own.choices) {
      const std::string_view key = pass_key_of(choice.key);
      const auto same = [&](const Choice& other) { return other.key == choice.key && other.value == choice.value; };
      if (key.empty() || std::ranges::any_of(c.choices, same)) continue;
      c.choices.push_back({fmt::format("{}.{}", own.own_name, key), choice.value, choice.reason, choice.source});
    }
  }
}

std::vector<const Case*> processes_of(const Case& c) {
  std::vector<const Case*> list;
  for (std::size_t i = 0; i < c.own_of.size(); ++i)
    if (const Case* own = &case_of(c, i); std::ranges::find(list, own) == list.end()) list.push_back(own);
  if (list.empty()) list.push_back(&c);
  return list;
}

std::vector<ProcessChange> process_changes(const Case& c) {
  std::vector<ProcessChange> list;
  for (std::size_t i = 1; i < c.own_of.size(); ++i) {
    const Case &a = case_of(c, i - 1), &b = case_of(c, i);
    const int before = c.pass_plans[i - 1].number, after = c.pass_plans[i].number;
    if (a.wire != b.wire || a.diameter_mm != b.diameter_mm)
      list.push_back({ProcessChange::What::wire, before, after, wire_words(a), wire_words(b)});
    if (!same_mixture(a.gas, b.gas)) list.push_back({ProcessChange::What::gas, before, after, a.gas_name, b.gas_name});
  }
  return list;
}

}  // namespace seamwright
