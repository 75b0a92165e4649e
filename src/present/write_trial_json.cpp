// What follows a trial weld, as JSON: an assessed setting, a comparison.
#include <cmath>

#include "present/json_number.hpp"
#include "present/write_assess.hpp"
#include "present/write_compare.hpp"
#include "present/write_json.hpp"
#include "text/foreign_text.hpp"

namespace seamwright {
namespace {

Json start(Units units, std::string_view version, const Catalog& catalog) {
  return {{"schema", plan_schema_number},
          {"program", "seamwright"},
          {"version", version},
          {"units", units == Units::us ? "us" : "metric"},
          {"data_version", catalog.version}};
}

std::string text_of(const Json& root, bool one_line) {
  std::string text;
  append_harmless_json(text, root.dump(one_line ? -1 : 2, ' ', false, Json::error_handler_t::replace));
  return text += '\n';
}

class AssessJson {
 public:
  AssessJson(const Assessment& a, Units units) : a_(a), units_(units) {}

  void fill(Json& root) const {
    const Case& c = case_of(a_.plan.resolved, a_.pass);
    if (c.joint.title) root["title"] = *c.joint.title;
    if (c.joint.id) root["id"] = *c.joint.id;
    root["pass"] = a_.pass + 1;
    root["pass_count"] = a_.passes;
    root["mode"] = mode_key(c.mode);
    root["mode_chosen"] = a_.mode_chosen;
    root["transfer"] = transfer_key(a_.transfer);
    root["verdict"] = verdict_key(a_);
    root["broken"] = a_.broken;
    root["taken_from_plan"] = Json::array();
    for (const F id : a_.taken) root["taken_from_plan"].push_back(field(id).key);
    root["values"] = Json::object();
    for (const FieldInfo& info : fields())
      if (std::isfinite(a_.values[info.id])) {
        Json& out = root["values"][std::string(info.key)] = quantity(info.id, a_.values[info.id]);
        out["plus_minus"] = difference(info.id, a_.plus_minus[info.id]);
      }
    root["limits"] = Json::array();
    for (const AssessedLimit& l : a_.limits) root["limits"].push_back(limit(l));
    root["readings"] = Json::array();
    for (const SettingReading& r : a_.readings) root["readings"].push_back(reading(r));
    root["nearest"] = a_.nearest ? nearest(*a_.nearest) : Json(nullptr);
  }

 private:
  const Assessment& a_;
  Units units_;

  [[nodiscard]] Json value(F id, double metric) const { return json_number(in_units(field(id), metric, units_)); }
  [[nodiscard]] Json difference(F id, double metric) const {
    return json_number(difference_in_units(field(id), metric, units_));
  }
  [[nodiscard]] Json quantity(F id, double metric) const {
    return {{"value", value(id, metric)}, {"unit", unit_of(field(id), units_)}};
  }
  [[nodiscard]] Json limit(const AssessedLimit& l) const {
    const Margin& m = l.margin;
    return {{"constraint", constraint(m.id).key},
            {"field", field(m.field).key},
            {"upper", m.upper},
            {"value", value(m.field, m.value)},
            {"limit", value(m.field, m.limit)},
            {"last", value(m.field, l.last)},
            {"unit", unit_of(field(m.field), units_)},
            {"score", json_number(m.score)},
            {"probability", json_number(l.probability)},
            {"broken", l.broken}};
  }
  // Of a cause, in metric units always where it is a constant's; feeds and lengths are converted.
  [[nodiscard]] Json cause(const Cause& k) const {
    const bool feed = k.unit == "m/min", length = k.unit == "mm";
    const auto out = [&](double metric) {
      return json_number(feed     ? in_units(field(F::wire_feed), metric, units_)
                         : length ? length_in_units(metric, units_)
                                  : metric);
    };
    return {{"key", k.key},
            {"label", k.label},
            {"unit", feed     ? unit_of(field(F::wire_feed), units_)
                     : length ? length_unit(units_)
                              : k.unit},
            {"reckoned_with", out(k.planned)},
            {"would_have_to_be", out(k.explaining)},
            {"spreads", json_number(k.spreads)},
            {"likely", k.likely}};
  }
  [[nodiscard]] Json reading(const SettingReading& r) const {
    Json out{{"field", field(r.field).key},
             {"given", value(r.field, r.given)},
             {"computed", value(r.field, r.computed)},
             {"plus_minus", difference(r.field, r.plus_minus)},
             {"unit", unit_of(field(r.field), units_)},
             {"spreads", json_number(r.spreads)},
             {"contradicts", r.contradicts}};
    out["causes"] = Json::array();
    for (const Cause& k : r.causes) out["causes"].push_back(cause(k));
    out["constants"] = Json::array();
    for (const Cause& k : r.constants) out["constants"].push_back(cause(k));
    return out;
  }
  [[nodiscard]] Json nearest(const NearestSetting& near) const {
    Json out{{"grade", grade_key(near.grade)}, {"probability", json_number(near.probability)}};
    out["changes"] = Json::array();
    for (const SettingChange& change : near.changes) {
      Json one{{"field", field(change.field).key},
               {"from", value(change.field, change.from)},
               {"to", value(change.field, change.to)},
               {"unit", unit_of(field(change.field), units_)}};
      one["dial"] = nullptr;
      if (const auto& machine = a_.plan.resolved.equipment)
        for (const Dial& dial : machine->dials)
          if (dial.field == change.field)
            one["dial"] = {{"name", dial.name},
                           {"from", json_number(dial_reading(dial, change.from))},
                           {"to", json_number(dial_reading(dial, change.to))}};
      out["changes"].push_back(std::move(one));
    }
    out["values"] = Json::object();
    for (const FieldInfo& info : fields())
      if (std::isfinite(near.values[info.id]))
        out["values"][std::string(info.key)] = quantity(info.id, near.values[info.id]);
    return out;
  }
};

}  // namespace

std::string assess_json(const Assessment& a, Units units, std::string_view version, bool one_line) {
  Json root = start(units, version, *a.plan.resolved.catalog);
  AssessJson(a, units).fill(root);
  return text_of(root, one_line);
}

namespace {

Json compared_item(const ComparedItem& item, Units units) {
  if (!item.text.empty()) return {{"text", item.text}};
  const bool length = item.like == F::count && item.unit == "mm";
  const auto out = [&](double metric) {
    return json_number(item.like != F::count ? in_units(field(item.like), metric, units)
                       : length              ? length_in_units(metric, units)
                                             : metric);
  };
  return {{"value", out(item.value)},
          {"low", out(item.low)},
          {"high", out(item.high)},
          {"unit", item.like != F::count ? unit_of(field(item.like), units)
                   : length              ? length_unit(units)
                                         : item.unit},
          {"ends",
           {{"low", item.low_end.empty() ? Json(nullptr) : Json(item.low_end)},
            {"high", item.high_end.empty() ? Json(nullptr) : Json(item.high_end)}}}};
}

Json compared_side(const ComparedSide& side) {
  const auto known = [](const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); };
  return {{"name", side.name},
          {"kind", side.kind},
          {"title", known(side.title)},
          {"made_by", known(side.made.program)},
          {"data", known(side.made.data)},
          {"inputs", known(side.made.inputs)},
          {"trials", side.made.trials}};
}

}  // namespace

std::string compare_json(const Comparison& c, Units units, std::string_view version, const Catalog& catalog) {
  Json root = start(units, version, catalog);
  root["a"] = compared_side(c.a);
  root["b"] = compared_side(c.b);
  root["compared"] = c.compared;
  root["other_data"] = c.other_data;
  root["data"] = c.data_sentence;
  root["differences"] = Json::array();
  for (const ComparedDifference& d : c.differences)
    root["differences"].push_back({{"key", d.a.key},
                                   {"label", d.a.label},
                                   {"group", compared_group_key(d.a.group)},
                                   {"ends_differ", d.ends_differ},
                                   {"a", compared_item(d.a, units)},
                                   {"b", compared_item(d.b, units)}});
  return text_of(root, false);
}

}  // namespace seamwright
