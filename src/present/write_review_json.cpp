#include <cmath>

#include "present/json_number.hpp"
#include "present/review_lines.hpp"
#include "text/foreign_text.hpp"

namespace seamwright {
namespace {

class ReviewJson {
 public:
  explicit ReviewJson(Units units) : units_(units) {}

  [[nodiscard]] Json weld(const WeldReview& w) const {
    Json out{
        {"start", seconds(w.start_s)},
        {"end", seconds(w.end_s)},
        {"readings", w.readings},
        {"interruptions", w.interruptions},
        {"interrupted", seconds(w.interrupted_s)},
        {"set_values", w.set_values},
        {"waveform_followed", w.waveform_followed},
        {"transfer", transfer_seen_key(w.transfer)},
        {"arc_time", of(F::arc_time, w.arc_s)},
        {"current", of(F::current, w.current_A)},
        {"current_rms", of(F::current_rms, w.current_rms_A)},
        {"voltage", of(F::voltage, w.voltage_V)},
        {"wire_feed", of(F::wire_feed, w.feed_m_per_min)},
        {"travel", of(F::travel, w.travel_mm_per_s)},
        {"length",
         {{"value", applies(w.length_mm) ? json_number(length_in_units(w.length_mm, units_)) : Json(nullptr)},
          {"unit", length_unit(units_)}}},
        {"power", of(F::power, w.power_W)},
        {"energy", {{"value", json_number(w.energy_J)}, {"unit", "J"}}},
        {"arc_energy",
         {{"a", of(F::arc_energy, w.arc_energy_a)},
          {"b", of(F::arc_energy, w.arc_energy_b)},
          {"c", of(F::arc_energy, w.arc_energy_c)},
          {"b_to_a_percent", json_number(100 * (w.arc_energy_b / w.arc_energy_a - 1))},
          {"c_to_a_percent", json_number(100 * (w.arc_energy_c / w.arc_energy_a - 1))}}},
        {"heat_input", of(F::heat_input, w.heat_input_kJ_per_mm)},
        {"seam", seam(w)},
        {"short_circuits", shorts(w.shorts)},
        {"pulse", pulse(w.pulses)},
        {"modulation",
         {{"finding", finding_key(w.modulation.finding)},
          {"remark", w.modulation.remark},
          {"frequency", of(F::modulation_frequency,
                           w.modulation.finding == Finding::found ? w.modulation.frequency_Hz : not_applicable)},
          {"current_amplitude", of(F::current, w.modulation.finding == Finding::found ? w.modulation.current_amplitude_A
                                                                                      : not_applicable)}}}};
    if (!w.role) return out;
    out["role"] = pass_role_key(*w.role);
    out["verdict"] = w.outside ? "outside" : "inside";
    out["ranges"] = Json::array();
    for (const RangeReview& r : w.ranges) out["ranges"].push_back(range(r));
    return out;
  }

 private:
  Units units_;

  static Json seconds(double s) { return json_number(std::round(s * 1e6) / 1e6); }
  [[nodiscard]] Json of(F id, double metric) const {
    return {{"value", applies(metric) ? json_number(in_units(field(id), metric, units_)) : Json(nullptr)},
            {"unit", unit_of(field(id), units_)}};
  }
  [[nodiscard]] static Json tally(bool known, const Tally& t, std::string_view unit) {
    return {{"mean", known && t.count > 0 ? json_number(t.mean) : Json(nullptr)},
            {"deviation", known && t.count > 1 ? json_number(t.deviation()) : Json(nullptr)},
            {"unit", unit}};
  }
  [[nodiscard]] Json seam(const WeldReview& w) const {
    Json out = Json::array();
    for (const SeamStep& s : w.seam)
      out.push_back({{"from", json_number(length_in_units(s.from_mm, units_))},
                     {"to", json_number(length_in_units(s.to_mm, units_))},
                     {"heat_input", json_number(in_units(field(F::heat_input), s.heat_input_kJ_per_mm, units_))}});
    return out;
  }
  [[nodiscard]] static Json shorts(const ShortCircuits& s) {
    const bool known = s.finding == Finding::found;
    const bool counted = known || s.finding == Finding::none;
    return {{"finding", finding_key(s.finding)},
            {"remark", s.remark},
            {"count", counted ? Json(s.count) : Json(nullptr)},
            {"rate", {{"value", counted ? json_number(s.rate_Hz) : Json(nullptr)}, {"unit", "Hz"}}},
            {"duration", tally(known, s.duration_ms, "ms")},
            {"rise", tally(known, s.rise_A_per_ms, "A/ms")}};
  }
  [[nodiscard]] static Json pulse(const Pulses& p) {
    const bool found = p.finding == Finding::found, shape = found && p.shape_known, ramps = shape && p.ramps_known;
    return {{"finding", finding_key(p.finding)},
            {"remark", p.remark},
            {"frequency", tally(found, p.frequency_Hz, "Hz")},
            {"peak", tally(shape, p.peak_A, "A")},
            {"base", tally(shape, p.base_A, "A")},
            {"peak_time", tally(shape, p.peak_time_ms, "ms")},
            {"base_time", tally(shape, p.base_time_ms, "ms")},
            {"duty", {{"value", shape ? json_number(p.duty_percent()) : Json(nullptr)}, {"unit", "%"}}},
            {"ramp_up", tally(ramps, p.ramp_up_A_per_ms, "A/ms")},
            {"ramp_down", tally(ramps, p.ramp_down_A_per_ms, "A/ms")}};
  }
  [[nodiscard]] Json range(const RangeReview& r) const {
    const FieldInfo& info = field(r.field);
    const auto metric = [&](double v) {
      return std::isfinite(v) ? json_number(in_units(info, v, units_)) : Json(nullptr);
    };
    Json out{{"key", info.key},
             {"unit", unit_of(info, units_)},
             {"low", metric(r.range.low)},
             {"high", metric(r.range.high)},
             {"verdict", range_verdict(r)},
             {"value", metric(r.value)},
             {"judged", r.over_time ? seconds(r.judged_s) : Json(nullptr)},
             {"inside", r.over_time ? seconds(r.inside_s) : Json(nullptr)},
             {"excursion_count", r.excursions},
             {"excursions", Json::array()}};
    for (const Excursion& e : r.listed)
      out["excursions"].push_back(
          {{"start", seconds(e.start_s)}, {"length", seconds(e.length_s)}, {"worst", metric(e.worst)}});
    return out;
  }
};

}  // namespace

std::string review_json(const Review& review, const ReviewText& o) {
  Json root{{"schema", 1},
            {"program", "seamwright"},
            {"version", o.program_version},
            {"units", o.units == Units::us ? "us" : "metric"},
            {"data_version", o.data_version},
            {"log", review.file},
            {"columns", Json::object()},
            {"rows", review.rows},
            {"rate", json_number(review.rate_Hz)},
            {"start", json_number(review.start_s)},
            {"end", json_number(review.end_s)},
            {"gaps", json_number(review.gaps_s)},
            {"strikes", review.strikes},
            {"repairs", Json::array()},
            {"welds", Json::array()},
            {"further_welds", review.more_welds}};
  for (std::size_t i = 0; i < log_quantity_count; ++i)
    if (!review.columns[i].empty())
      root["columns"][std::string(log_quantity_key(static_cast<LogQuantity>(i)))] = review.columns[i];
  for (const LogRemark& remark : review.remarks)
    root["repairs"].push_back({{"id", remark.id}, {"text", remark.text}, {"count", remark.count}});
  for (const WeldReview& w : review.welds) root["welds"].push_back(ReviewJson(o.units).weld(w));
  if (!o.procedure.empty()) {
    root["against"] = o.procedure;
    root["outside"] = review.outside;
    root["summary"] = review_summary(review);
  }
  std::string out;
  append_harmless_json(out, root.dump(2, ' ', false, Json::error_handler_t::replace));
  return out + '\n';
}

}  // namespace seamwright
