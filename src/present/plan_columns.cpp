#include "present/plan_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <span>
#include <vector>

#include "present/joint_words.hpp"
#include "present/lock_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/sentence_units.hpp"

namespace seamwright {

std::string column_unit(std::string_view unit) {
  if (unit.empty()) return {};
  std::string out = "_";
  for (const char c : unit) {
    if (c == '/')
      out += "_per_";
    else if (c == '%')
      out += "percent";
    else
      out += c == ' ' ? '_' : c;
  }
  return out;
}

namespace {

struct NamedKind {
  ColumnKind kind;
  std::string_view key;
};
constexpr std::array<NamedKind, 17> case_columns{{{ColumnKind::status, "status"},
                                                  {ColumnKind::message, "message"},
                                                  {ColumnKind::warnings, "warnings"},
                                                  {ColumnKind::id, "id"},
                                                  {ColumnKind::joint, "joint"},
                                                  {ColumnKind::alloy, "alloy"},
                                                  {ColumnKind::wire, "wire"},
                                                  {ColumnKind::gas, "gas"},
                                                  {ColumnKind::mode, "mode"},
                                                  {ColumnKind::position, "position"},
                                                  {ColumnKind::thickness, "thickness"},
                                                  {ColumnKind::wire_diameter, "wire_diameter"},
                                                  {ColumnKind::pass, "pass"},
                                                  {ColumnKind::pass_count, "pass_count"},
                                                  {ColumnKind::role, "role"},
                                                  {ColumnKind::layer, "layer"},
                                                  {ColumnKind::side, "side"}}};

// At most so many conflicts are told: a cell is to be read, and a spreadsheet's ends at 32,767 letters.
constexpr std::size_t most_conflicts_told = 6;

void append_conflicts(std::string& out, std::span<const PassResult> passes, Units units) {
  const bool several = passes.size() > 1;
  std::size_t told = 0, more = 0;
  for (const PassResult& pass : passes) {
    for (const Margin& m : pass.conflicts) {
      if (told == most_conflicts_told) {
        ++more;
        continue;
      }
      ++told;
      if (!out.empty()) out += "; ";
      if (several) fmt::format_to(std::back_inserter(out), "pass {}: ", pass.pass.number);
      fmt::format_to(std::back_inserter(out), "{}: ", constraint(m.id).label);
      append_shortfall(out, m, units);
    }
  }
  if (more > 0) fmt::format_to(std::back_inserter(out), "; and {} more", more);
}

void make_message(const PlanRow& row, std::string& out) {
  out.clear();
  if (row.pass == nullptr) {  // why no mode went as far as a pass
    for (const ModeTrial& t : row.plan.trials)
      if (t.chosen) append_in_units(out, t.remark, row.units);
    if (out.empty()) out = "no mode is possible";
  } else if (row.whole) {
    append_conflicts(out, {row.plan.passes.begin(), row.plan.passes.size()}, row.units);
  } else {
    append_conflicts(out, {row.pass, 1}, row.units);
  }
}

Cell text_cell(std::string_view text) { return {text.empty() ? Cell::Kind::empty : Cell::Kind::text, text, 0}; }
Cell number_cell(double value) {
  return std::isfinite(value) ? Cell{Cell::Kind::number, {}, value == 0 ? 0.0 : value} : Cell{};
}

Cell quantity_cell(const PlanColumn& column, const PlanRow& row) {
  if (row.pass == nullptr) return {};
  const bool total = row.whole && field(column.field).range == Range::total;
  return estimate_cell(column, total ? row.plan.total(column.field) : (*row.pass)[column.field], row.units);
}

Cell box_cell(const PlanColumn& column, const PlanRow& row, std::string& scratch) {
  if (row.pass == nullptr || !row.pass->box) return {};
  const LockBox& box = *row.pass->box;
  if (column.kind == ColumnKind::box_share) return number_cell(box.share);
  const C stop = box.first.constraint.id;
  if (column.kind == ColumnKind::box_stop) return stop == C::none ? Cell{} : text_cell(constraint(stop).key);
  if (column.kind == ColumnKind::box_corner) {
    scratch = stop == C::none ? "" : corner_words(box.first.corner, case_of(row.plan, *row.pass).mode);
    return text_cell(scratch);
  }
  for (std::size_t i = 0; i < box_side_count; ++i) {
    const BoxSide& side = box.sides[i];
    if (box_fields[i] != column.field || !side.present || !box.exists) continue;
    const double end = column.kind == ColumnKind::box_from ? side.low : side.high;
    return number_cell(in_units(field(column.field), side_in_field(i, end), row.units));
  }
  return {};
}

}  // namespace

std::vector<PlanColumn> plan_columns(Units units, Currency currency) {
  std::vector<PlanColumn> columns;
  const auto add = [&](std::string key, std::string_view unit, ColumnKind kind, F id) {
    PlanColumn column{std::move(key), {}, kind, id};
    column.name = column.key + column_unit(unit);
    columns.push_back(std::move(column));
  };
  for (const NamedKind& named : case_columns) {
    const bool length = named.kind == ColumnKind::thickness || named.kind == ColumnKind::wire_diameter;
    add(std::string(named.key), length ? length_unit(units) : std::string_view(), named.kind, F::count);
  }
  for (const FieldInfo& info : fields()) {
    if (info.priced != Priced::never && !currency) continue;
    const std::string_view unit = unit_of(info, units, currency.value_or(""));
    const std::string key(info.key);
    add(key, unit, ColumnKind::value, info.id);
    if (info.range != Range::total) {
      add(key + "_from", unit, ColumnKind::from, info.id);
      add(key + "_to", unit, ColumnKind::to, info.id);
    }
    add(key + "_plus_minus", unit, ColumnKind::plus_minus, info.id);
    if (info.range == Range::setting) {
      add(key + "_from_end", {}, ColumnKind::from_end, info.id);
      add(key + "_to_end", {}, ColumnKind::to_end, info.id);
    }
  }
  for (const F id : box_fields) {
    const std::string key = fmt::format("box_{}", field(id).key);
    add(key + "_from", unit_of(field(id), units), ColumnKind::box_from, id);
    add(key + "_to", unit_of(field(id), units), ColumnKind::box_to, id);
  }
  add("box_share", {}, ColumnKind::box_share, F::count);
  add("box_stop", {}, ColumnKind::box_stop, F::count);
  add("box_corner", {}, ColumnKind::box_corner, F::count);
  return columns;
}

std::optional<double> length_factor(F id, double metres, double count) {
  switch (id) {
    case F::wire_mass:
    case F::gas_volume:
    case F::arc_time:
    case F::total_time:
    case F::energy_drawn:
    case F::cost_wire:
    case F::cost_gas:
    case F::cost_power:
    case F::cost_labour:
    case F::cost:
      return metres;
    case F::wire_mass_all:
    case F::gas_volume_all:
    case F::arc_time_all:
    case F::total_time_all:
    case F::energy_drawn_all:
    case F::cost_all:
      return count * metres;
    case F::quantity:
      return count;
    default:
      return std::nullopt;
  }
}

Cell estimate_cell(const PlanColumn& column, const Estimate& e, Units units) {
  const FieldInfo& info = field(column.field);
  if (!e.present || !std::isfinite(e.value)) return {};
  const auto end_cell = [](C end) { return end == C::none ? Cell{} : text_cell(constraint(end).key); };
  switch (column.kind) {
    case ColumnKind::from:
      return number_cell(in_units(info, e.low, units));
    case ColumnKind::to:
      return number_cell(in_units(info, e.high, units));
    case ColumnKind::plus_minus:
      return e.plus_minus > 0 ? number_cell(difference_in_units(info, e.plus_minus, units)) : Cell{};
    case ColumnKind::from_end:
      return end_cell(e.low_end);
    case ColumnKind::to_end:
      return end_cell(e.high_end);
    default:
      return number_cell(in_units(info, e.value, units));
  }
}

bool row_is_feasible(const PlanRow& row) {
  return row.pass != nullptr && (row.whole ? row.plan.feasible : row.pass->feasible);
}

namespace {

// What the passes of a row are welded with: "short-arc|pulse" where it differs within a joint of one row.
template <class Text>
Cell process_cell(const PlanRow& row, std::string& scratch, Text text) {
  const Case& c = row.plan.resolved;
  if (c.own.empty() || row.pass == nullptr) return text_cell(text(c));
  if (!row.whole) return text_cell(text(case_of(row.plan, *row.pass)));
  scratch.clear();
  // Without a list of what is told: a row allocates nothing.
  for (std::size_t i = 0; i < c.own_of.size(); ++i) {
    const std::string_view its = text(case_of(c, i));
    std::size_t first = 0;
    while (std::string_view(text(case_of(c, first))) != its) ++first;
    if (first < i) continue;
    if (!scratch.empty()) scratch += '|';
    scratch += its;
  }
  return text_cell(scratch);
}

}  // namespace

Cell plan_cell(const PlanColumn& column, const PlanRow& row, std::string& scratch) {
  const Case& c = row.plan.resolved;
  const PassResult* pass = row.pass;
  switch (column.kind) {
    case ColumnKind::status:
      return text_cell(row_is_feasible(row) ? "ok" : "no-window");
    case ColumnKind::message:
      if (row_is_feasible(row)) return {};
      make_message(row, scratch);
      return text_cell(scratch);
    case ColumnKind::warnings:
      scratch.clear();
      for (const Warning& w : c.warnings) {
        if (!scratch.empty()) scratch += ' ';
        scratch += w.id;
      }
      return text_cell(scratch);
    case ColumnKind::id:
      return c.joint.id ? text_cell(*c.joint.id) : Cell{};
    case ColumnKind::joint:
      return text_cell(joint_type_key(c.section.type));
    case ColumnKind::alloy:
      return text_cell(c.alloy->id);
    case ColumnKind::wire:
      return process_cell(row, scratch, [&](const Case& process) { return wire_name(*process.wire, row.units); });
    case ColumnKind::gas:
      return process_cell(row, scratch, [](const Case& process) { return std::string_view(process.gas_name); });
    case ColumnKind::mode:
      return process_cell(row, scratch, [](const Case& process) { return mode_key(process.mode); });
    case ColumnKind::position:
      return process_cell(row, scratch, [&](const Case& process) {
        return process.position == nullptr ? std::string_view()
                                           : position_name(*process.position, process.section.type, row.units);
      });
    case ColumnKind::thickness:
      return number_cell(length_in_units(c.section.thickness_mm, row.units));
    case ColumnKind::wire_diameter:
      return number_cell(length_in_units((pass == nullptr ? c : case_of(row.plan, *pass)).diameter_mm, row.units));
    case ColumnKind::pass:
      return pass == nullptr ? Cell{} : number_cell(pass->pass.number);
    case ColumnKind::pass_count:
      return pass == nullptr ? Cell{} : number_cell(static_cast<double>(row.plan.passes.size()));
    case ColumnKind::role:
      return pass == nullptr ? Cell{} : text_cell(pass_role_key(pass->pass.role));
    case ColumnKind::layer:
      return pass == nullptr ? Cell{} : number_cell(pass->pass.layer);
    case ColumnKind::side:
      return pass == nullptr ? Cell{} : number_cell(pass->pass.side);
    default:
      return is_box_column(column.kind) ? box_cell(column, row, scratch) : quantity_cell(column, row);
  }
}

void append_number(std::string& out, double value) {
  constexpr int digits = 6;
  char text[32];
  const auto end = std::to_chars(std::begin(text), std::end(text), value, std::chars_format::general, digits).ptr;
  out.append(text, end);
}

bool is_answer_column(std::string_view name) {
  static const std::array<std::vector<PlanColumn>, 2> columns{plan_columns(Units::metric, ""),
                                                              plan_columns(Units::us, "")};
  return name == "line" || std::any_of(columns.begin(), columns.end(), [&](const std::vector<PlanColumn>& list) {
           return std::any_of(list.begin(), list.end(),
                              [&](const PlanColumn& c) { return c.name == name || c.key == name; });
         });
}

}  // namespace seamwright
