// The plate as a whole: temperature between passes, shrinkage and distortion.
#include <algorithm>
#include <cmath>

#include "report/report_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/plate_cooling.hpp"

namespace seamwright {
namespace {

struct Ways {
  double sum_mm = 0;
  double mean_mm = 0;
};

// The plates the heat flows into: two of a butt, a flange to both sides and a web of a T or lap.
Ways ways_of_heat(const Case& c) {
  const double t1 = c.section.thickness_mm, t2 = c.thickness2_mm;
  const bool three = c.section.type == JointType::fillet || c.section.type == JointType::lap;
  const double sum = three ? t1 + 2 * t2 : t1 + t2;
  return {sum, sum / (three ? 3 : 2)};
}

void between_passes(const Plan& plan, HeatReport& report) {
  const Case& c = plan.resolved;
  const Catalog& catalog = *c.catalog;
  if (plan.passes.size() < 2 || !(c.interpass_C > 0)) return;
  SectionBuilder b(catalog, "between_passes", "Temperature between passes");
  const Interval loss = heat_range(catalog, "plate-loss");
  const double width = c.joint.plate_width_mm ? *c.joint.plate_width_mm : heat_range(catalog, "plate-width").low;
  const Ways ways = ways_of_heat(c);
  const SourceIndex assumed = b.source_of_range("plate-loss");
  const double k = heat_range(catalog, HeatRangeId::made_of(fmt::format("plate-conductivity-{}", c.metal->id))).low;
  const double rho_c =
      heat_range(catalog, HeatRangeId::made_of(fmt::format("plate-heat-capacity-{}", c.metal->id))).low;
  if (!std::isfinite(k) || !std::isfinite(rho_c)) return;

  const auto run = [&](double heat_factor, double loss_W_per_m2K) {
    std::vector<PassHeat> heats;
    for (std::size_t i = 0; i < plan.passes.size(); ++i) {
      const PassResult& pass = plan.passes[i];
      const double efficiency = plan.contexts[i].constants[static_cast<std::size_t>(K::arc_efficiency)].value;
      heats.push_back({heat_factor * efficiency * 1e3 * pass[F::arc_energy].value, pass[F::arc_time].value});
    }
    return temperatures_between_passes({.conductivity_W_per_mmK = k,
                                        .heat_capacity_J_per_mm3K = rho_c,
                                        .ways_mm = ways.sum_mm,
                                        .mean_thickness_mm = ways.mean_mm,
                                        .width_mm = width,
                                        .loss_W_per_mm2K = 1e-6 * loss_W_per_m2K,
                                        .start_C = c.preheat_C},
                                       heats, c.interpass_C);
  };
  const double spread = heat_range(catalog, "plate-heat-spread").high;
  const auto nominal = run(1, std::sqrt(loss.low * loss.high));
  const auto hot = run(1 + spread, loss.low), cold = run(1 - spread, loss.high);
  if (!nominal || !hot || !cold) {
    b.words("interpass_reached", "temperature between passes",
            refusal_words((!nominal ? nominal
                           : !hot   ? hot
                                    : cold)
                              .refusal()));
  } else {
    for (std::size_t i = 0; i + 1 < nominal->size(); ++i) {
      const PassTemperature &mid = (*nominal)[i], &high = (*hot)[i], &low = (*cold)[i];
      const int number = plan.passes[i].pass.number;
      const auto add = [&](std::string key, std::string label, F like, double PassTemperature::*member,
                           std::string note) {
        HeatItem& item = b.number(std::move(key), std::move(label), mid.*member, like);
        item.low = std::min({low.*member, mid.*member, high.*member});
        item.high = std::max({low.*member, mid.*member, high.*member});
        item.pass = number;
        item.source = assumed;
        item.note = std::move(note);
      };
      add("interpass_reached", "start of the seam when the arc stops", F::interpass, &PassTemperature::reached_C, "");
      add("interpass_wait", "wait before the next pass", F::arc_time, &PassTemperature::wait_s,
          mid.wait_s > 0 ? fmt::format("until {:.0f} degC", c.interpass_C) : "none needed");
    }
    b.finding("plate-model",
              fmt::format(
                  "Model: the seam as a line source, heat flowing one way across plates that reach {:.0f} mm from the "
                  "weld ({}), losing {:.0f} to {:.0f} W/(m2 K) from each face. Range: heat +-{:.0f} % with the least "
                  "and the greatest loss. Measure the temperature all the same.",
                  width, c.joint.plate_width_mm ? "as given" : "assumed: give joint.plate_width", loss.low, loss.high,
                  100 * spread),
              assumed);
  }
  report.push_back(b.take());
}

void shrinkage(const Plan& plan, HeatReport& report) {
  const Case& c = plan.resolved;
  const Catalog& catalog = *c.catalog;
  const ShrinkageRules rules = shrinkage_rules(catalog);
  SectionBuilder b(catalog, "shrinkage", "Shrinkage and distortion of a free joint");
  const double t = c.section.thickness_mm;
  const bool steel = c.alloy->family != Family::aluminium;
  const SourceIndex source = b.source_of_range("shrinkage-fillet-leg");
  const auto add = [&](std::string key, std::string label, const Checked<Shrinkage>& result, F like,
                       std::string_view unit, std::string note) {
    HeatItem& item =
        b.words(std::move(key), std::move(label), result ? std::move(note) : refusal_words(result.refusal()));
    item.source = source;
    item.like = like;
    item.unit = unit;
    if (!result) return;
    item.value = result->value;
    item.low = result->low;
    item.high = result->high;
  };
  const bool fillet = c.section.type == JointType::fillet || c.section.type == JointType::lap;
  const bool butt = c.section.type == JointType::butt || c.section.type == JointType::pipe_butt;
  if (steel && butt) {
    double section = 0;
    for (const PassResult& pass : plan.passes) section += pass[F::deposit_area].value;
    add("shrinkage_transverse", "transverse shrinkage", butt_shrinkage_mm(section, t, c.section.gap_mm, rules),
        F::penetration, "", "0.2 A/t + 0.05 gap (Spraragen and Ettinger 1950)");
  }
  if (steel && fillet) {
    const bool lap = c.section.type == JointType::lap;
    add("shrinkage_transverse", "transverse shrinkage",
        fillet_shrinkage_mm(lap ? FilletJoint::lap : FilletJoint::tee, c.section.leg_mm, c.thickness2_mm, rules),
        F::penetration, "", lap ? "1.52 z/t, fillets on both edges" : "1.02 z/t, fillets on both sides of the web");
    if (!lap)
      add("shrinkage_angular", "angular distortion", fillet_angle_deg(c.section.leg_mm, c.thickness2_mm, rules),
          F::count, "deg", "0.076 z^1.3/t^2 rad, z and t in cm (after Masubuchi)");
  }
  // Any metal: the free contraction of the pass that carries most heat.
  double most_J_per_mm = 0;
  for (std::size_t i = 0; i < plan.passes.size(); ++i)
    most_J_per_mm =
        std::max(most_J_per_mm, plan.contexts[i].constants[static_cast<std::size_t>(K::arc_efficiency)].value * 1e3 *
                                    plan.passes[i][F::arc_energy].value);
  const bool known = c.alloy->family == Family::aluminium || c.alloy->family == Family::carbon_steel;
  if (known && butt)
    add("contraction", "contraction by the hottest pass",
        contraction_mm(
            heat_range(catalog, steel ? HeatRangeId("expansion-steel") : HeatRangeId("expansion-aluminium")).low,
            most_J_per_mm, t, rules),
        F::penetration, "", "free thermal contraction, an upper estimate for one pass");
  b.finding(
      "shrinkage-spread",
      "Estimates for one free joint from steel plate of shipyards: they scatter widely, and clamps, order and tacks "
      "change them. For planning allowances, not for acceptance.",
      b.source_of_range("shrinkage-spread"));
  HeatSection section = b.take();
  if (!section.items.empty()) report.push_back(std::move(section));
}

}  // namespace

void report_plate(const Plan& plan, const ReportPasses& passes, HeatReport& report) {
  if (passes.empty()) return;
  between_passes(plan, report);
  shrinkage(plan, report);
}

}  // namespace seamwright
