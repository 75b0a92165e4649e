#include "present/write_json.hpp"

#include <cmath>

#include "present/cost_words.hpp"
#include "present/json_number.hpp"
#include "present/lock_words.hpp"
#include "present/quantity_groups.hpp"
#include "present/sentence_units.hpp"
#include "present/write_check.hpp"
#include "present/write_heat.hpp"
#include "present/write_line.hpp"
#include "seamwright/lock_file.hpp"
#include "seamwright/procedure_check.hpp"
#include "text/foreign_text.hpp"

namespace seamwright {
namespace {

Json length_json(double mm, Units units) {
  return {{"value", json_number(length_in_units(mm, units))}, {"unit", length_unit(units)}};
}
// Names are the same in both systems of units; the AWS name stands beside the wire's own.
Json wire_json(const Case& c, Units units) {
  Json wire{{"designation", c.wire->id}};
  if (const std::string_view aws = aws_name(*c.wire); !aws.empty()) wire["aws"] = aws;
  wire["diameter"] = length_json(c.diameter_mm, units);
  wire["extension"] = length_json(c.extension_mm, units);
  return wire;
}

class JsonWriter {
 public:
  JsonWriter(const Plan& plan, const JsonOptions& options) : plan_(plan), c_(plan.resolved), units_(options.units) {}

  void fill(Json& root) const {
    root["data_version"] = c_.catalog->version;
    if (const auto trials = trials_behind(plan_); !trials.empty()) root["trials"] = trials;
    root["feasible"] = plan_.feasible;
    if (c_.joint.title) root["title"] = *c_.joint.title;
    if (c_.joint.id) root["id"] = *c_.joint.id;
    root["case"] = resolved();
    root["choices"] = Json::array();
    for (const Choice& choice : c_.choices)
      root["choices"].push_back({{"key", choice.key},
                                 {"value", choice.value},
                                 {"reason", words(choice.reason)},
                                 {"source", source(choice.source)}});
    root["warnings"] = Json::array();
    for (const Warning& w : c_.warnings) root["warnings"].push_back(remark(w.id, w.text, w.source));
    if (c_.procedure) root["outside_procedure"] = outside_words(plan_, units_);
    root["modes_tried"] = Json::array();
    for (const ModeTrial& t : plan_.trials)
      root["modes_tried"].push_back({{"mode", mode_key(t.mode)},
                                     {"diameter", t.diameter_mm > 0 ? length(t.diameter_mm) : Json(nullptr)},
                                     {"feasible", t.feasible},
                                     {"chosen", t.chosen},
                                     {"score", was_solved(t) ? json_number(t.score) : Json(nullptr)},
                                     {"grade", t.feasible ? Json(grade_key(grade_of(t.surety))) : Json(nullptr)},
                                     {"metal", t.feasible ? json_number(t.metal) : Json(nullptr)},
                                     {"settings", t.feasible ? trial_settings(t) : Json(nullptr)},
                                     {"remark", words(t.remark)}});
    if (c_.preference != Preference::metal)
      for (std::size_t i = 0; i < plan_.trials.size(); ++i) {
        const ModeTrial& t = plan_.trials[i];
        root["modes_tried"][i]["passes"] = t.feasible ? Json(t.passes) : Json(nullptr);
        root["modes_tried"][i]["arc_time_per_m"] = t.feasible ? json_number(t.arc_s_per_m) : Json(nullptr);
        root["modes_tried"][i]["unusual"] = t.unusual;
      }
    for (std::size_t i = 0; i < plan_.trials.size(); ++i)
      if (plan_.trials[i].root_mode) root["modes_tried"][i]["root_mode"] = mode_key(*plan_.trials[i].root_mode);
    root["passes"] = Json::array();
    for (const PassResult& p : plan_.passes) {
      root["passes"].push_back(pass(p));
      if (!c_.own.empty()) root["passes"].back()["process"] = process(case_of(plan_, p));
    }
    if (!c_.own.empty()) root["process_changes"] = changes();
    if (!plan_.sectors.sectors.empty()) root["sectors"] = sectors();
    root["suggestions"] = Json::array();
    for (const Suggestion& s : plan_.suggestions)
      root["suggestions"].push_back({{"settings", settings_of(s)},
                                     {"without", s.without.empty() ? Json() : Json(s.without)},
                                     {"sentence", words(s.sentence)}});
    root["totals"] = Json::object();
    add_quantities(root["totals"], plan_.totals);
    root["heat"] = heat();
    root["cautions"] = Json::array();
    for (const Warning& caution : plan_.cautions)
      root["cautions"].push_back(remark(caution.id, caution.text, caution.source));
  }

 private:
  const Plan& plan_;
  const Case& c_;
  Units units_;

  // As a merge patch of a joint: null takes a key out.
  [[nodiscard]] static Json settings_of(const Suggestion& suggestion) {
    Json settings = Json::object();
    for (const KeyChange& change : suggestion.settings) {
      Json& value = settings[change.key];
      if (const auto* text = std::get_if<std::string>(&change.value)) value = *text;
      if (const auto* yes = std::get_if<bool>(&change.value)) value = *yes;
    }
    return settings;
  }

  [[nodiscard]] std::string words(std::string_view sentence) const { return sentence_in_units(sentence, units_); }
  [[nodiscard]] Json source(SourceIndex index) const {
    if (index == 0) return nullptr;
    const Source& s = source_of(*c_.catalog, index);
    return {{"key", s.key}, {"kind", source_kind_key(s.kind)}};
  }
  [[nodiscard]] Json remark(std::string_view id, std::string_view text, SourceIndex index) const {
    return {{"id", id}, {"text", words(text)}, {"source", source(index)}};
  }
  [[nodiscard]] Json length(double mm) const { return length_json(mm, units_); }
  [[nodiscard]] Json of_field(F id, double metric) const {
    const FieldInfo& info = field(id);
    return {{"value", json_number(in_units(info, metric, units_))}, {"unit", unit_of(info, units_)}};
  }

  [[nodiscard]] Json resolved() const {
    const SectionInput& s = c_.section;
    Json joint{{"type", joint_type_key(s.type)}};
    joint["thickness"] = length(s.thickness_mm);
    joint["thickness2"] = length(c_.thickness2_mm > 0 ? c_.thickness2_mm : s.thickness_mm);
    if (s.type == JointType::butt || s.type == JointType::pipe_butt) {
      joint["preparation"] = preparation_key(s.preparation);
      joint["angle"] = {{"value", json_number(s.angle_deg)}, {"unit", "deg"}};
      joint["root_face"] = length(s.root_face_mm);
    }
    joint["gap"] = length(s.gap_mm);
    if (s.leg_mm > 0) {
      joint["leg"] = length(s.leg_mm);
      joint["leg2"] = length(s.leg2_mm > 0 ? s.leg2_mm : s.leg_mm);
    }
    if (s.overlay_height_mm > 0) joint["overlay_height"] = length(s.overlay_height_mm);
    if (c_.joint.step_over_mm) joint["step_over"] = length(*c_.joint.step_over_mm);
    if (c_.joint.length_mm) joint["length"] = length(*c_.joint.length_mm);
    if (c_.joint.diameter_mm) joint["diameter"] = length(*c_.joint.diameter_mm);
    joint["position"] = c_.position == nullptr ? Json(nullptr) : Json(c_.position->id);
    joint["backed"] = c_.backed;
    joint["sides"] = c_.sides;

    Json material{{"alloy", c_.alloy->id}, {"alloy2", (c_.alloy2 == nullptr ? c_.alloy : c_.alloy2)->id}};
    material["family"] = family_key(c_.alloy->family);
    material["preheat"] = of_field(F::preheat, c_.preheat_C);
    material["interpass"] = of_field(F::interpass, c_.interpass_C);

    Json result;
    result["joint"] = std::move(joint);
    result["material"] = std::move(material);
    result["wire"] = wire_json(c_, units_);
    result["gas"] = {
        {"designation", c_.gas_name},
        {"composition",
         {{"Ar", json_number(c_.gas.argon_percent)},
          {"CO2", json_number(c_.gas.co2_percent)},
          {"O2", json_number(c_.gas.oxygen_percent)},
          {"He", json_number(c_.gas.helium_percent)},
          {"N2", json_number(c_.gas.nitrogen_percent)},
          {"H2", json_number(c_.gas.hydrogen_percent)}}},
        {"flow", {{"value", json_number(flow_in_units(c_.gas_flow_l_per_min, units_))}, {"unit", flow_unit(units_)}}}};
    result["process"] = {{"mode", mode_key(c_.mode)},
                         {"mechanised", c_.mechanised},
                         {"travel", span(F::travel, c_.travel_mm_per_s.low, c_.travel_mm_per_s.high)}};
    if (c_.preference != Preference::metal) result["process"]["prefer"] = preference_key(c_.preference);
    if (c_.prices.present) result["prices"] = prices();
    result["quality"] = c_.quality == nullptr ? Json(nullptr) : Json(c_.quality->id);
    result["procedure"] =
        c_.procedure ? Json(c_.procedure->number.empty() ? c_.procedure->file : c_.procedure->number) : Json(nullptr);
    result["equipment"] = c_.equipment ? Json(c_.equipment->name) : Json(nullptr);
    return result;
  }

  // What is charged for one of each; null: no price is given.
  [[nodiscard]] Json prices() const {
    constexpr double g_per_kg = 1000, l_per_m3 = 1000;
    const bool us = units_ == Units::us;
    const Currency currency = currency_of(c_.equipment);
    const auto price = [&](double metric, double units_in_one, std::string_view unit) -> Json {
      if (metric < 0) return nullptr;
      return {{"value", json_number(metric / units_in_one)}, {"per", unit}};
    };
    return {{"currency", currency->empty() ? Json(nullptr) : Json(*currency)},
            {"wire", price(c_.prices.wire_per_kg, us ? g_per_kg * field(F::wire_mass).us_factor : 1, us ? "lb" : "kg")},
            {"gas", price(c_.prices.gas_per_m3, us ? l_per_m3 * field(F::gas_volume).us_factor : 1, us ? "ft3" : "m3")},
            {"power", price(c_.prices.power_per_kWh, 1, "kWh")},
            {"labour", price(c_.prices.labour_per_h, 1, "h")},
            {"operating_factor", json_number(c_.operating_factor.value)},
            {"source_efficiency", json_number(c_.source_efficiency.value)},
            {"without", without_price(c_)}};
  }
  // What a pass is welded with.
  [[nodiscard]] Json process(const Case& c) const {
    return {{"mode", mode_key(c.mode)},
            {"wire", wire_json(c, units_)},
            {"gas",
             {{"designation", c.gas_name},
              {"flow",
               {{"value", json_number(flow_in_units(c.gas_flow_l_per_min, units_))}, {"unit", flow_unit(units_)}}}}},
            {"position", c.position == nullptr ? Json(nullptr) : Json(c.position->id)}};
  }
  [[nodiscard]] Json changes() const {
    Json out = Json::array();
    for (const ProcessChange& change : process_changes(c_))
      out.push_back({{"what", change.what == ProcessChange::What::wire ? "wire" : "gas"},
                     {"before", change.before},
                     {"after", change.after},
                     {"from", words(change.from)},
                     {"to", words(change.to)}});
    return out;
  }

  [[nodiscard]] Json span(F id, double low, double high) const {
    const FieldInfo& info = field(id);
    return {{"low", json_number(in_units(info, low, units_))},
            {"high", json_number(in_units(info, high, units_))},
            {"unit", unit_of(info, units_)}};
  }

  [[nodiscard]] static Json end(C id) { return id == C::none ? Json(nullptr) : Json(constraint(id).key); }

  template <class Estimates>
  void add_quantities(Json& out, const Estimates& estimates) const {
    for (const FieldInfo& info : fields()) {
      const Estimate& e = estimates[static_cast<std::size_t>(info.id)];
      if (!e.present || !std::isfinite(e.value)) continue;
      const std::string dial = dial_words(c_, info.id, e);
      out[std::string(info.key)] = {{"value", json_number(in_units(info, e.value, units_))},
                                    {"low", json_number(in_units(info, e.low, units_))},
                                    {"high", json_number(in_units(info, e.high, units_))},
                                    {"plus_minus", json_number(difference_in_units(info, e.plus_minus, units_))},
                                    {"unit", unit_of(info, units_, currency_of(c_.equipment).value_or(""))},
                                    {"ends", {{"low", end(e.low_end)}, {"high", end(e.high_end)}}},
                                    {"basis", source_kind_key(e.weakest)},
                                    {"dial", dial.empty() ? Json(nullptr) : Json(dial)}};
    }
  }

  [[nodiscard]] Json heat() const {
    Json out = Json::object();
    for (const HeatSection& section : plan_.heat) {
      Json items = Json::array(), findings = Json::array();
      for (const HeatItem& i : section.items)
        items.push_back({{"key", i.key},
                         {"pass", i.pass > 0 ? Json(i.pass) : Json(nullptr)},
                         {"label", words(i.label)},
                         {"value", json_number(heat_in_units(i, i.value, units_))},
                         {"low", json_number(heat_in_units(i, i.low, units_))},
                         {"high", json_number(heat_in_units(i, i.high, units_))},
                         {"unit", heat_unit(i, units_)},
                         {"note", words(i.note)},
                         {"source", source(i.source)}});
      for (const HeatFinding& f : section.findings) {
        findings.push_back(remark(f.id, f.text, f.source));
        findings.back()["warning"] = f.beyond;
      }
      out[std::string(section.key)] = {
          {"title", section.title}, {"items", std::move(items)}, {"findings", std::move(findings)}};
    }
    return out;
  }

  [[nodiscard]] Json pass(const PassResult& p) const {
    Json out{{"number", p.pass.number},
             {"role", pass_role_key(p.pass.role)},
             {"layer", p.pass.layer},
             {"bead", p.pass.bead},
             {"side", p.pass.side},
             {"feasible", p.feasible},
             {"deposit_moved", p.deposit_moved}};
    add_quantities(out, p.estimates);
    out["window"] = nullptr;
    if (p.window.extent) {
      const WindowExtent& x = *p.window.extent;
      out["window"] = {{"wire_feed", span(F::wire_feed, x.wire_feed_m_per_min.low, x.wire_feed_m_per_min.high)},
                       {"travel", span(F::travel, x.travel_mm_per_s.low, x.travel_mm_per_s.high)},
                       {"deposit_area", span(F::deposit_area, x.deposit_mm2.low, x.deposit_mm2.high)}};
    }
    if (p.grade) {
      out["grade"] = grade_key(p.grade->grade);
      out["grade_detail"] = grade_detail(*p.grade);
    }
    if (p.confident) out["confident"] = confident(*p.confident);
    if (p.box) out["box"] = box(*p.box, case_of(plan_, p).mode);
    if (p.modulation) out["double_pulse"] = double_pulse(*p.modulation);
    if (!p.trims.arc.empty() || !p.trims.peak.empty()) out["trims"] = trims(p.trims);
    if (!p.sensitivity.empty()) {
      out["sensitivity"] = Json::array();
      for (const SensitivityRow& row : p.sensitivity) out["sensitivity"].push_back(sensitivity(row));
    }
    out["conflicts"] = Json::array();
    for (const Margin& m : p.conflicts) out["conflicts"].push_back(conflict(m));
    return out;
  }

  [[nodiscard]] Json grade_detail(const PassGrade& g) const {
    Json doubtful = Json::array();
    for (std::size_t i = 0; i < g.doubtful_count; ++i)
      doubtful.push_back({{"constraint", end(g.doubtful[i].id)},
                          {"quantity", field(g.doubtful[i].field).key},
                          {"probability", json_number(probability_of(g.doubtful[i].surety))}});
    Json remarks = Json::array();
    for (std::size_t i = 0; i < g.remark_count; ++i) {
      const PassGrade::Remark& r = g.remarks[i];
      const FieldInfo& info = field(r.margin.field);
      remarks.push_back({{"constraint", end(r.margin.id)},
                         {"strength", strength_key(r.strength)},
                         {"quantity", info.key},
                         {"value", json_number(in_units(info, r.margin.value, units_))},
                         {"easy", json_number(in_units(info, r.margin.limit, units_))},
                         {"last", json_number(in_units(info, r.last, units_))},
                         {"unit", unit_of(info, units_)},
                         {"sentence", remark_words(r, units_)},
                         {"source", source(r.source)}});
    }
    return {{"weakest", end(g.weakest.id)},
            {"probability", json_number(g.probability)},
            {"sentence", grade_words(g)},
            {"doubtful", std::move(doubtful)},
            {"beyond_easy", std::move(remarks)}};
  }
  [[nodiscard]] Json confident(const ConfidentBand& band) const {
    Json out{{"confidence", json_number(band.confidence)}, {"exists", band.exists}};
    if (band.exists) {
      out["wire_feed"] = span(F::wire_feed, band.low.wire_feed_m_per_min, band.high.wire_feed_m_per_min);
      out["travel"] = span(F::travel, std::min(band.low.travel_mm_per_s, band.high.travel_mm_per_s),
                           std::max(band.low.travel_mm_per_s, band.high.travel_mm_per_s));
      out["ends"] = {{"low", end(band.low.constraint.id)}, {"high", end(band.high.constraint.id)}};
    }
    out["weakest"] = {{"constraint", end(band.weakest.id)}, {"holds_at", json_number(band.held)}};
    out["sentence"] = confident_words(band, units_);
    return out;
  }

  [[nodiscard]] Json change(F id, double metric) const {
    return {{"change", json_number(difference_in_units(field(id), metric, units_))},
            {"unit", unit_of(field(id), units_)}};
  }
  [[nodiscard]] static Json nearest(const Margin& m) {
    return {{"constraint", end(m.id)}, {"holds", m.score >= 0}, {"score", json_number(m.score)}};
  }
  [[nodiscard]] Json sensitivity(const SensitivityRow& row) const {
    return {{"key", row.key},
            {"what", words(row.label)},
            {"current", change(F::current, row.current_A)},
            {"penetration", change(F::penetration, row.penetration_mm)},
            {"heat_input", change(F::heat_input, row.heat_input_kJ_per_mm)},
            {"nearest", nearest(row.worst)}};
  }

  [[nodiscard]] Json phase(const ModulationPhase& p) const {
    return {{"wire_feed", of_field(F::wire_feed, p.wire_feed_m_per_min)},
            {"pulse_frequency", of_field(F::pulse_frequency, p.pulse_frequency_Hz)},
            {"base_current", of_field(F::base_current, p.base_current_A)},
            {"current", of_field(F::current, p.current_A)},
            {"power", of_field(F::power, p.power_W)},
            {"penetration", of_field(F::penetration, p.penetration_mm)},
            {"bead_width", of_field(F::bead_width, p.width_mm)},
            {"back_width", of_field(F::back_width, p.back_width_mm)}};
  }
  // Null where no value fits.
  [[nodiscard]] Json open_band(F id, Interval range, C low_end, C high_end) const {
    if (range.low > range.high) return nullptr;
    Json out = span(id, range.low, range.high);
    out["ends"] = {{"low", end(low_end)}, {"high", end(high_end)}};
    return out;
  }
  [[nodiscard]] Json double_pulse(const ModulationDetail& d) const {
    Json out{{"high", phase(d.high)},
             {"low", phase(d.low)},
             {"ripple_pitch", of_field(F::ripple_pitch, d.ripple_pitch_mm)},
             {"ripple_pitch_widths", json_number(d.ripple_pitch_widths)},
             {"distance_to_edge", length(d.distance_to_edge_mm)},
             {"left_under_arc", json_number(d.left_under_arc)},
             {"left_at_edge", json_number(d.left_at_edge)},
             {"penetration_swing", of_field(F::penetration, d.penetration_swing_mm)},
             {"width_swing", of_field(F::bead_width, d.width_swing_mm)},
             {"bands", Json::array()}};
    for (const ModulationBands& b : d.bands)
      out["bands"].push_back({{"wire_feed", of_field(F::wire_feed, b.wire_feed_m_per_min)},
                              {"travel", of_field(F::travel, b.travel_mm_per_s)},
                              {"modulation_frequency", open_band(F::modulation_frequency, b.frequency_Hz,
                                                                 b.frequency_low_end, b.frequency_high_end)},
                              {"modulation_amplitude", open_band(F::modulation_amplitude, b.amplitude_m_per_min,
                                                                 b.amplitude_low_end, b.amplitude_high_end)}});
    return out;
  }

  [[nodiscard]] Json trims(const TrimEffects& t) const {
    Json out{{"peak_current", Json::array()}, {"arc_length", Json::array()}, {"dynamics", Json::array()}};
    for (const PeakTrimEffect& e : t.peak)
      out["peak_current"].push_back({{"trim", of_field(F::peak_current_trim, 100 * e.trim)},
                                     {"drops_per_pulse", json_number(e.drops_per_pulse)},
                                     {"one_drop", e.one_drop},
                                     {"peak_current", of_field(F::peak_current, e.peak_current_A)},
                                     {"base_current", of_field(F::base_current, e.base_current_A)},
                                     {"current", of_field(F::current, e.current_A)},
                                     {"power", of_field(F::power, e.power_W)}});
    for (const ArcTrimEffect& e : t.arc)
      out["arc_length"].push_back(
          {{"trim", of_field(F::arc_length_trim, e.trim_V)},
           {"voltage", of_field(F::voltage, e.voltage_V)},
           {"arc_length", std::isfinite(e.arc_length_mm) ? of_field(F::arc_length, e.arc_length_mm) : Json(nullptr)},
           {"power", of_field(F::power, e.power_W)},
           {"heat_input", of_field(F::heat_input, e.heat_input_kJ_per_mm)},
           {"penetration", of_field(F::penetration, e.penetration_mm)}});
    for (const DynamicsEffect& e : t.dynamics)
      out["dynamics"].push_back({{"current_rise", of_field(F::current_rise, e.rise_A_per_ms)},
                                 {"inductance", of_field(F::inductance, e.inductance_mH)},
                                 {"short_circuit", {{"value", json_number(e.short_circuit_ms)}, {"unit", "ms"}}},
                                 {"peak", {{"value", json_number(e.peak_A)}, {"unit", "A"}}}});
    return out;
  }

  [[nodiscard]] Json sector_band(const Band& band, bool feasible) const {
    Json out{{"feasible", feasible},
             {"wire_feed", of_field(F::wire_feed, band.best.wire_feed_m_per_min)},
             {"travel", of_field(F::travel, band.best.travel_mm_per_s)},
             {"band", nullptr}};
    if (feasible)
      out["band"] = open_band(F::wire_feed, {band.low.wire_feed_m_per_min, band.high.wire_feed_m_per_min},
                              band.low.constraint.id, band.high.constraint.id);
    return out;
  }
  [[nodiscard]] Json sectors() const {
    Json out = Json::array();
    for (std::size_t i = 0; i < plan_.sectors.compromise.size(); ++i) {
      Json pass{{"pass", plan_.passes[i].pass.number},
                {"role", pass_role_key(plan_.passes[i].pass.role)},
                {"sectors", Json::array()}};
      for (const Sector& s : plan_.sectors.sectors) {
        const SectorPass& p = s.passes[i];
        Json sector{{"clock", s.clock}, {"position", s.position}, {"share", json_number(s.share)}};
        sector.update(sector_band(p.band, p.feasible));
        sector["heat_input"] = of_field(F::heat_input, p.heat_input_kJ_per_mm);
        sector["nearest"] = nearest(p.worst);
        sector["above_usual_deposit"] = p.above_usual_deposit;
        pass["sectors"].push_back(std::move(sector));
      }
      const CompromisePass& c = plan_.sectors.compromise[i];
      pass["all_round"] = sector_band(c.band, c.feasible);
      pass["all_round"]["nearest"] = nearest(c.worst);
      pass["all_round"]["tightest"] = c.tightest;
      if (c.feasible) {
        pass["all_round"]["low_by"] = c.low_by;
        pass["all_round"]["high_by"] = c.high_by;
      }
      pass["all_round"]["time_ratio"] = json_number(c.time_ratio);
      pass["all_round"]["margin_loss"] = json_number(c.margin_loss);
      out.push_back(std::move(pass));
    }
    return out;
  }

  // Of the first pass.
  [[nodiscard]] Json trial_settings(const ModeTrial& t) const {
    return {{"wire_feed", of_field(F::wire_feed, t.wire_feed_m_per_min)},
            {"voltage", of_field(F::voltage, t.voltage_V)},
            {"current", of_field(F::current, t.current_A)},
            {"travel", of_field(F::travel, t.travel_mm_per_s)}};
  }

  [[nodiscard]] static Json stop(const BoxStop& s) {
    if (s.constraint.id == C::none) return nullptr;
    Json corner = Json::object();
    for (std::size_t i = 0; i < box_side_count; ++i)
      if (s.corner[i] != 0) corner[std::string(field(box_fields[i]).key)] = s.corner[i] < 0 ? "low" : "high";
    return {{"corner", std::move(corner)}, {"constraint", constraint(s.constraint.id).key}};
  }

  [[nodiscard]] Json box(const LockBox& b, Mode mode) const {
    Json out{{"exists", b.exists}, {"confidence", json_number(b.confidence)}, {"accuracy", nullptr}};
    if (b.accuracy.known)
      out["accuracy"] = {{"wire_feed", json_number(b.accuracy.wire_feed)},
                         {"voltage", json_number(b.accuracy.voltage)},
                         {"peak_current", json_number(b.accuracy.peak_current)}};
    out["share"] = json_number(b.share);
    out["travel_tolerance"] = json_number(b.travel_tolerance);
    out["wire_feed_if_display_off"] = b.feed_if_display_off
                                          ? span(F::wire_feed, b.feed_if_display_off->low, b.feed_if_display_off->high)
                                          : Json(nullptr);
    out["stopped_by"] = stop(b.first);
    out["sentence"] = b.exists ? box_stop_words(b, mode) : no_box_words(b, mode);
    for (std::size_t i = 0; i < box_side_count; ++i) {
      const BoxSide& side = b.sides[i];
      if (!side.present) continue;
      const FieldInfo& info = field(box_fields[i]);
      Json range = nullptr;
      if (b.exists) {
        range = span(info.id, side_in_field(i, side.low), side_in_field(i, side.high));
        range["centre"] = json_number(in_units(info, side_in_field(i, setting_value(b.centre, i)), units_));
        range["fixed"] = side.fixed;
        range["follows_feed"] = side.follows;
        range["stopped_by"] = {{"low", stop(side.low_stop)}, {"high", stop(side.high_stop)}};
      }
      out[std::string(info.key)] = std::move(range);
    }
    if (c_.equipment && b.exists) out["dials"] = box_dials(b, *c_.equipment);
    return out;
  }

  [[nodiscard]] Json conflict(const Margin& m) const {
    Json out{{"constraint", constraint(m.id).key}, {"sentence", shortfall_words(m, units_)}};
    const FieldInfo& info = field(m.field);
    out["quantity"] = info.key;
    out["value"] = json_number(in_units(info, m.value, units_));
    out["limit"] = json_number(in_units(info, m.limit, units_));
    out["upper"] = m.upper;
    out["unit"] = unit_of(info, units_);
    out["score"] = json_number(m.score);
    out["source"] = source(m.source);
    return out;
  }
};

Json start(const JsonOptions& options, Varied varied) {
  Json root{{"schema", plan_schema_number},
            {"program", "seamwright"},
            {"version", options.program_version},
            {"units", options.units == Units::us ? "us" : "metric"}};
  if (!varied.empty()) root["varied"] = Json::object();
  for (const auto& [key, value] : varied) root["varied"][key] = value;
  return root;
}

std::string text_of(const Json& root, bool one_line) {
  // A byte outside UTF-8 (in a title, say) becomes the replacement character.
  std::string text;
  append_harmless_json(text, root.dump(one_line ? -1 : 2, ' ', false, Json::error_handler_t::replace));
  return text += '\n';
}

}  // namespace

std::string plan_json(const Plan& plan, const JsonOptions& options, Varied varied) {
  Json root = start(options, varied);
  JsonWriter(plan, options).fill(root);
  return text_of(root, options.one_line);
}

std::string explanation_json(const Plan& plan, const Explanation& e, const JsonOptions& options) {
  const PassResult& pass = plan.passes[e.pass];
  const FieldInfo& info = field(e.field);
  const Catalog& catalog = *plan.resolved.catalog;
  const auto value = [&](double metric) { return json_number(in_units(info, metric, options.units)); };
  const auto change = [&](double metric) { return json_number(difference_in_units(info, metric, options.units)); };
  const auto source = [&](SourceIndex index) -> Json {
    if (index == 0) return nullptr;
    const Source& s = source_of(catalog, index);
    return {{"key", s.key}, {"kind", source_kind_key(s.kind)}, {"title", s.title}};
  };
  const auto key_or_null = [](C id) { return id == C::none ? Json(nullptr) : Json(constraint(id).key); };
  const auto end = [&](const std::optional<ExplainedEnd>& x) -> Json {
    if (!x) return nullptr;
    Json out{{"at", value(x->at)}, {"constraint", key_or_null(x->id)}};
    out["why"] = x->id == C::none ? Json(nullptr) : Json(constraint(x->id).why);
    out["moved_by"] = x->id == C::none ? Json(nullptr) : Json(constraint(x->id).remedy);
    out["limit"] = nullptr;
    if (x->margin && x->margin->field != F::count) {
      const FieldInfo& limited = field(x->margin->field);
      out["limit"] = {{"key", limited.key},
                      {"bound", x->margin->upper ? "at most" : "at least"},
                      {"value", json_number(in_units(limited, x->margin->limit, options.units))},
                      {"unit", unit_of(limited, options.units)},
                      {"source", source(x->margin->source)}};
    }
    out["next"] = key_or_null(x->next);
    out["next_at"] = x->next_at ? value(*x->next_at) : Json(nullptr);
    return out;
  };

  Json root = start(options, {});
  root["feasible"] = plan.feasible;
  root["key"] = info.key;
  root["label"] = info.label;
  root["meaning"] = info.meaning;
  root["pass"] = pass.pass.number;
  root["value"] = value(pass[e.field].value);
  const std::string_view currency = currency_of(plan.resolved.equipment).value_or("");
  root["unit"] = unit_of(info, options.units, currency);
  root["plus_minus"] = change(pass[e.field].plus_minus);
  root["formula"] = {{"text", e.relation.text}, {"equation", e.relation.equation}, {"source", e.relation.source}};
  root["inputs"] = Json::array();
  for (const ExplainedInput& in : e.inputs) {
    const bool converted = in.quantity.has_value();
    root["inputs"].push_back(
        {{"key", in.key},
         {"label", in.label},
         {"value", json_number(converted ? in_units(field(*in.quantity), in.value, options.units) : in.value)},
         {"unit", converted ? unit_of(field(*in.quantity), options.units, currency) : in.unit},
         {"origin", origin_key(in.origin)},
         {"reason", in.reason.empty() ? Json(nullptr) : Json(sentence_in_units(in.reason, options.units))},
         {"source", source(in.source)}});
  }
  root["constants"] = Json::array();
  for (const ExplainedConstant& c : e.constants)
    root["constants"].push_back({{"key", c.key},
                                 {"label", c.label},
                                 {"value", json_number(c.constant.value)},
                                 {"half_width_90", json_number(c.constant.half_width_90)},
                                 {"unit", c.unit},
                                 {"half_change", change(c.half_change)},
                                 {"share_of_variance", json_number(c.share)},
                                 {"source", source(c.constant.source)}});
  root["ends"] = {{"low", end(e.low)}, {"high", end(e.high)}};
  root["changes"] = Json::array();
  for (const ExplainedChange& c : e.changes)
    root["changes"].push_back(
        {{"key", c.key}, {"what", sentence_in_units(c.words, options.units)}, {"change", change(c.change)}});
  root["solved_again"] = e.solved_again;
  return text_of(root, options.one_line);
}

std::string line_json(const SynergicLine& line, const JsonOptions& options) {
  const Case& c = line.resolved;
  const auto value = [&](F id, double metric) { return json_number(in_units(field(id), metric, options.units)); };
  Json root = start(options, {});
  root["data_version"] = c.catalog->version;
  root["wire"] = wire_json(c, options.units);
  root["gas"] = c.gas_name;
  root["mode"] = mode_key(c.mode);
  root["alloy"] = c.alloy->id;
  root["chosen"] = Json::array();
  for (const Choice& choice : c.choices)
    if (choice.key == "wire.diameter" || choice.key == "gas.designation" || choice.key == "process.mode")
      root["chosen"].push_back(
          {{"key", choice.key}, {"value", choice.value}, {"reason", sentence_in_units(choice.reason, options.units)}});
  root["stable"] = {
      {"low", value(F::wire_feed, line.low.wire_feed_m_per_min)},
      {"high", value(F::wire_feed, line.high.wire_feed_m_per_min)},
      {"unit", unit_of(field(F::wire_feed), options.units)},
      {"ends", {{"low", constraint(line.low.constraint.id).key}, {"high", constraint(line.high.constraint.id).key}}}};
  root["rows"] = Json::array();
  for (const LineRow& row : line.rows) {
    Json out;
    for (const F id : line_fields(c.mode))
      out[std::string(field(id).key)] = {
          {"value", value(id, row.value[id])},
          {"plus_minus", json_number(difference_in_units(field(id), row.plus_minus[id], options.units))},
          {"unit", unit_of(field(id), options.units)}};
    for (const F id : line_fields(c.mode))
      if (const auto range = line_range(line, row, id)) {
        Json& entry = out[std::string(field(id).key)];
        entry["low"] = value(id, range->low);
        entry["high"] = value(id, range->high);
      }
    root["rows"].push_back(std::move(out));
  }
  root["suits"] = Json::array();
  for (const LineSuit& s : line.suits)
    root["suits"].push_back({{"joint", joint_type_key(s.type)},
                             {"thickness", length_json(s.thickness_mm, options.units)},
                             {"wire_feed",
                              {{"low", value(F::wire_feed, s.wire_feed_m_per_min.low)},
                               {"high", value(F::wire_feed, s.wire_feed_m_per_min.high)},
                               {"unit", unit_of(field(F::wire_feed), options.units)}}}});
  root["cautions"] = Json::array();
  for (const Warning& caution : line.cautions)
    root["cautions"].push_back({{"id", caution.id},
                                {"text", sentence_in_units(caution.text, options.units)},
                                {"basis", source_kind_key(source_of(*c.catalog, caution.source).kind)}});
  return text_of(root, options.one_line);
}

std::string explainable_json(const Plan& plan, std::size_t pass, const JsonOptions& options) {
  Json root = start(options, {});
  root["keys"] = Json::array();
  for (const FieldInfo& info : fields())
    if (const Estimate& e = plan.passes[pass][info.id]; e.present)
      root["keys"].push_back({{"key", info.key},
                              {"value", json_number(in_units(info, e.value, options.units))},
                              {"unit", unit_of(info, options.units)},
                              {"meaning", info.meaning}});
  return text_of(root, options.one_line);
}

std::string check_json(const ProcedureCheck& check, const CheckOptions& options) {
  Json root = start({options.units, options.program_version, false}, {});
  root["data_version"] = options.catalog->version;
  root["against"] = options.title.empty() ? Json("test piece") : Json(options.title);
  root["outside"] = check.outside;
  root["summary"] = sentence_in_units(check.summary, options.units);
  root["rows"] = Json::array();
  for (const CheckRow& row : check.rows) {
    const auto metric = [&](double value) { return json_number(check_in_units(row, value, options.units)); };
    Json out{{"key", row.key}, {"label", row.label}, {"passes", row.passes}, {"status", check_status_key(row.status)}};
    if (std::isfinite(row.value) || row.planned.empty()) {
      out["value"] = metric(row.value);
      out["low"] = metric(row.range.low);
      out["high"] = metric(row.range.high);
      out["unit"] = check_unit(row, options.units);
      const double beyond = row.like == F::count ? check_in_units(row, row.beyond, options.units)
                                                 : difference_in_units(field(row.like), row.beyond, options.units);
      out["outside_by"] = json_number(beyond);
      out["nearest_inside"] = metric(row.nearest);
    }
    if (!row.planned.empty()) out["planned"] = row.planned;
    if (!row.allowed.empty()) out["allowed"] = row.allowed;
    out["remark"] = sentence_in_units(row.remark, options.units);
    if (row.source == 0)
      out["source"] = nullptr;
    else
      out["source"] = {{"key", source_of(*options.catalog, row.source).key},
                       {"kind", source_kind_key(source_of(*options.catalog, row.source).kind)}};
    root["rows"].push_back(std::move(out));
  }
  return text_of(root, false);
}

std::string errors_json(const Diagnostics& errors, const JsonOptions& options, Varied varied) {
  Json root = start(options, varied);
  root["errors"] = Json::array();
  for (const Diagnostic& d : errors)
    root["errors"].push_back({{"file", d.place.file},
                              {"line", d.place.line},
                              {"column", d.place.column},
                              {"message", d.message},
                              {"help", d.help}});
  return text_of(root, options.one_line);
}

}  // namespace seamwright
