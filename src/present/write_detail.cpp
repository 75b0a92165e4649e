#include "present/write_detail.hpp"

#include <fmt/format.h>

#include <cmath>
#include <initializer_list>
#include <vector>

#include "present/sentence_units.hpp"
#include "text/text_grid.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

std::string of(F id, double metric, Units units) { return quantity_text(field(id), metric, units); }
std::string with_unit_of(F id, double metric, Units units) { return quantity_with_unit(field(id), metric, units); }
// A change, with its sign.
std::string change(F id, double metric, Units units) {
  const std::string text = difference_text(field(id), metric, units);
  return metric > 0 && text.find_first_of("123456789") != std::string::npos ? "+" + text : text;
}

GridColumn column(F id, Units units) { return {field(id).label, unit_of(field(id), units)}; }

// Whether a pass is welded round the pipe as the one before it.
bool same_sectors(const Plan& plan, std::size_t i) {
  const auto hot = [](const PassPlan& p) { return p.role == PassRole::fill && p.layer == 2; };
  const PassPlan &a = plan.passes[i].pass, &b = plan.passes[i - 1].pass;
  return a.role == b.role && hot(a) == hot(b) && a.needed_mm2 == b.needed_mm2 && a.nominal_mm2 == b.nominal_mm2 &&
         a.width_mm == b.width_mm;
}

// Passes that are welded round the pipe alike: the first and the last.
struct SectorRun {
  std::size_t first = 0, last = 0;
  std::string title;  // "Pass 2: hot pass"
};
std::vector<SectorRun> sector_runs(const Plan& plan) {
  std::vector<SectorRun> runs;
  for (std::size_t i = 0; i < plan.sectors.compromise.size(); ++i) {
    if (i > 0 && same_sectors(plan, i)) continue;  // as the pass before
    const PassPlan& pass = plan.passes[i].pass;
    std::size_t last = i;
    while (last + 1 < plan.sectors.compromise.size() && same_sectors(plan, last + 1)) ++last;
    // The layer over the root is the trade's hot pass.
    const bool hot = pass.role == PassRole::fill && pass.layer == 2;
    const std::string_view role = hot ? "hot pass" : pass_role_key(pass.role);
    runs.push_back({i, last,
                    last == i
                        ? fmt::format("Pass {}: {}", pass.number, role)
                        : fmt::format("Passes {} to {}: {}, each", pass.number, plan.passes[last].pass.number, role)});
  }
  return runs;
}

// Where the bead is larger than usual; empty: nowhere.
std::string heavy_words(const Plan& plan, std::size_t i) {
  std::string heavy;
  for (const Sector& sector : plan.sectors.sectors)
    if (sector.passes[i].above_usual_deposit) heavy += fmt::format("{}{}", heavy.empty() ? "" : ", ", sector.position);
  return heavy.empty() ? heavy
                       : fmt::format("The bead is larger than usual in {}: split it, or watch the pool.", heavy);
}

std::string compromise_words(const CompromisePass& c) {
  return c.feasible
             ? fmt::format(
                   "One setting holds all round: arc time {} % of that with a setting for each sector; "
                   "tightest at {}. Its lowest feed is set by {} ({}), its highest by {} ({}).",
                   fixed_text(100 * c.time_ratio, 0), c.tightest, c.low_by, constraint(c.band.low.constraint.id).label,
                   c.high_by, constraint(c.band.high.constraint.id).label)
             : fmt::format(
                   "No one setting holds all round: at the best common one {} breaks {}. Change over by the "
                   "clock, or turn the pipe.",
                   c.tightest, constraint(c.worst.id).label);
}

std::string limit_state(const Margin& m) {
  return m.score >= 0 ? fmt::format("holds, nearest: {}", constraint(m.id).label)
                      : fmt::format("BREAKS {}", constraint(m.id).label);
}

}  // namespace

std::string modulation_text(const PassResult& pass, Units units, std::size_t width) {
  if (!pass.modulation) return {};
  const ModulationDetail& d = *pass.modulation;
  std::string out = "  ";
  append_wrapped(out, "Double pulse in depth (each phase as if sustained)", width, 2, 4);
  TextGrid phases({{"", ""},
                   column(F::wire_feed, units),
                   {"pulse", "Hz"},
                   {"base", "A"},
                   {"mean", "A"},
                   column(F::penetration, units),
                   column(F::bead_width, units),
                   {"", ""}});
  for (const auto& [name, phase] : {std::pair("high phase", &d.high), std::pair("low phase", &d.low)})
    phases.add({name, of(F::wire_feed, phase->wire_feed_m_per_min, units), fixed_text(phase->pulse_frequency_Hz, 0),
                fixed_text(phase->base_current_A, 0), fixed_text(phase->current_A, 0),
                of(F::penetration, phase->penetration_mm, units), of(F::bead_width, phase->width_mm, units), ""});
  out += phases.text(4, width);
  out.append(4, ' ');
  append_wrapped(
      out,
      fmt::format("{} % of the power modulation reaches the pool under the arc and {} % its edge, {} from the arc "
                  "(conduction; a real pool follows better): depth swings by about {}, width by {}. Ripple pitch {}, "
                  "{} bead widths.",
                  fixed_text(100 * d.left_under_arc, 0), fixed_text(100 * d.left_at_edge, 0),
                  length_text(std::round(10 * d.distance_to_edge_mm) / 10, units),
                  with_unit_of(F::penetration, d.penetration_swing_mm, units),
                  with_unit_of(F::bead_width, d.width_swing_mm, units),
                  with_unit_of(F::ripple_pitch, d.ripple_pitch_mm, units), fixed_text(d.ripple_pitch_widths, 2)),
      width, 4, 4);
  TextGrid bands({column(F::wire_feed, units),
                  column(F::travel, units),
                  {"frequency", "Hz"},
                  {"amplitude", unit_of(field(F::modulation_amplitude), units)},
                  {"", ""}});
  const auto range = [&](F id, Interval r) {
    return r.low > r.high ? std::string("none") : of(id, r.low, units) + " to " + of(id, r.high, units);
  };
  for (const ModulationBands& b : d.bands)
    bands.add({of(F::wire_feed, b.wire_feed_m_per_min, units), of(F::travel, b.travel_mm_per_s, units),
               range(F::modulation_frequency, b.frequency_Hz), range(F::modulation_amplitude, b.amplitude_m_per_min),
               ""});
  out.append(4, ' ');
  append_wrapped(out, "Bands by mean feed and travel (modulation alone; the pass has limits of its own)", width, 4, 6);
  return out + bands.text(4, width);
}

std::string sensitivity_text(const PassResult& pass, Units units, std::size_t width) {
  if (pass.sensitivity.empty()) return {};
  TextGrid grid({{"A change of", ""},
                 column(F::current, units),
                 column(F::penetration, units),
                 column(F::heat_input, units),
                 {"limits", ""}});
  for (const SensitivityRow& row : pass.sensitivity)
    grid.add({sentence_in_units(row.label, units), change(F::current, row.current_A, units),
              change(F::penetration, row.penetration_mm, units), change(F::heat_input, row.heat_input_kJ_per_mm, units),
              limit_state(row.worst)});
  std::string out(2, ' ');
  append_wrapped(out, "Sensitivity at the recommended point (changes)", width, 2, 4);
  return out + grid.text(4, width);
}

std::string trims_text(const PassResult& pass, Units units, std::size_t width) {
  const TrimEffects& t = pass.trims;
  std::string out;
  if (!t.peak.empty()) {
    TextGrid grid(
        {{"trim", "%"}, {"drops a pulse", ""}, {"peak", "A"}, {"base", "A"}, {"mean", "A"}, {"power", "W"}, {"", ""}});
    for (const PeakTrimEffect& e : t.peak)
      grid.add({fixed_text(100 * e.trim, 0), fixed_text(e.drops_per_pulse, 2), fixed_text(e.peak_current_A, 0),
                fixed_text(e.base_current_A, 0), fixed_text(e.current_A, 0), fixed_text(e.power_W, 0),
                e.one_drop ? "" : "leaves one drop a pulse"});
    out += "  Peak-current trim\n" + grid.text(4, width);
  }
  if (!t.arc.empty()) {
    TextGrid grid({{"trim", "V"},
                   {"voltage", "V"},
                   column(F::arc_length, units),
                   column(F::heat_input, units),
                   column(F::penetration, units),
                   {"", ""}});
    for (const ArcTrimEffect& e : t.arc)
      grid.add({fixed_text(e.trim_V, 1), fixed_text(e.voltage_V, 1),
                std::isfinite(e.arc_length_mm) ? of(F::arc_length, e.arc_length_mm, units) : "-",
                of(F::heat_input, e.heat_input_kJ_per_mm, units), of(F::penetration, e.penetration_mm, units), ""});
    out += "  Arc-length (voltage) trim\n" + grid.text(4, width);
  }
  if (!t.dynamics.empty()) {
    TextGrid grid({{"rise", "A/ms"}, {"inductance", "mH"}, {"short circuit", "ms"}, {"peak", "A"}, {"", ""}});
    for (const DynamicsEffect& e : t.dynamics)
      grid.add({fixed_text(e.rise_A_per_ms, 0), fixed_text(e.inductance_mH, 2), fixed_text(e.short_circuit_ms, 2),
                fixed_text(e.peak_A, 0), ""});
    out += "  Dynamics\n" + grid.text(4, width);
  }
  return out;
}

std::string clock_words(const Plan& plan, std::size_t pass, Units units) {
  const SectorPlan& s = plan.sectors;
  if (pass >= s.compromise.size()) return {};
  const auto at = [units](const Band& band) {
    return fmt::format("{} and {}", with_unit_of(F::wire_feed, band.best.wire_feed_m_per_min, units),
                       with_unit_of(F::travel, band.best.travel_mm_per_s, units));
  };
  std::string text;
  for (const Sector& sector : s.sectors) {
    const SectorPass& p = sector.passes[pass];
    text += fmt::format("{} ({}) {}; ", sector.clock, sector.position, p.feasible ? at(p.band) : "no window");
  }
  const CompromisePass& c = s.compromise[pass];
  if (!c.feasible) return text + "all round none";
  return text + fmt::format("all round {}, feed from {} ({}) to {} ({})", at(c.band),
                            of(F::wire_feed, c.band.low.wire_feed_m_per_min, units), c.low_by,
                            of(F::wire_feed, c.band.high.wire_feed_m_per_min, units), c.high_by);
}

std::vector<std::string> sector_warnings(const Plan& plan) {
  std::vector<std::string> warnings;
  if (plan.sectors.sectors.empty()) return warnings;
  for (const SectorRun& run : sector_runs(plan)) {
    const std::string heavy = heavy_words(plan, run.first);
    const CompromisePass& compromise = plan.sectors.compromise[run.first];
    if (heavy.empty() && compromise.feasible) continue;
    warnings.push_back(
        fmt::format("{}. {}{}{}", run.title, heavy, heavy.empty() ? "" : " ", compromise_words(compromise)));
  }
  return warnings;
}

std::string sectors_text(const Plan& plan, Units units, std::size_t width) {
  const SectorPlan& s = plan.sectors;
  if (s.sectors.empty()) return {};
  std::string out;
  for (const SectorRun& run : sector_runs(plan)) {
    const std::size_t i = run.first;
    out += "  ";
    append_wrapped(out, run.title, width, 2, 4);
    TextGrid grid({{"clock", ""},
                   {"as", ""},
                   column(F::wire_feed, units),
                   {"low", unit_of(field(F::wire_feed), units), false},
                   {"high", unit_of(field(F::wire_feed), units), false},
                   column(F::travel, units),
                   column(F::heat_input, units),
                   {"nearest limit", ""}});
    const auto row = [&](std::string clock, std::string_view position, bool feasible, const Band& band, double heat,
                         const Margin& worst) {
      const double feed = band.best.wire_feed_m_per_min;
      grid.add({std::move(clock), std::string(position), of(F::wire_feed, feed, units),
                feasible ? of(F::wire_feed, band.low.wire_feed_m_per_min, units) : "-",
                feasible ? of(F::wire_feed, band.high.wire_feed_m_per_min, units) : "-",
                of(F::travel, band.best.travel_mm_per_s, units),
                std::isfinite(heat) ? of(F::heat_input, heat, units) : "-", limit_state(worst)});
    };
    for (const Sector& sector : s.sectors) {
      const SectorPass& p = sector.passes[i];
      row(std::string(sector.clock), sector.position, p.feasible, p.band, p.heat_input_kJ_per_mm, p.worst);
    }
    const CompromisePass& c = s.compromise[i];
    row("all round", "", c.feasible, c.band, not_applicable, c.worst);
    out += grid.text(4, width);
    if (const std::string heavy = heavy_words(plan, i); !heavy.empty()) {
      out.append(4, ' ');
      append_wrapped(out, "! " + heavy, width, 4, 6);
    }
    out.append(4, ' ');
    append_wrapped(out, compromise_words(c), width, 4, 4);
  }
  return out;
}

}  // namespace seamwright
