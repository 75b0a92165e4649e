#include "seamwright/sectors.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <limits>

#include "physics/last_inside.hpp"
#include "settle/resolve.hpp"
#include "window/operating_point.hpp"
#include "window/pass_context.hpp"

namespace seamwright {
namespace {

// Where the pipe's wall lies within 45 degrees of a plain position it is welded as that position (assumed). On an
// inclined pipe the pool also sags sideways, which is the horizontal position's trouble, from the sides to the top.
struct SectorRow {
  std::string_view pipe, clock, position;
  double share;
};
constexpr std::array<SectorRow, 10> rows{{
    {"PH", "4:30 to 7:30", "PE", 0.25},
    {"PH", "1:30 to 4:30 and 7:30 to 10:30", "PF", 0.5},
    {"PH", "10:30 to 1:30", "PA", 0.25},
    {"PJ", "10:30 to 1:30", "PA", 0.25},
    {"PJ", "1:30 to 4:30 and 7:30 to 10:30", "PG", 0.5},
    {"PJ", "4:30 to 7:30", "PE", 0.25},
    {"H-L045", "4:30 to 7:30", "PE", 0.25},
    {"H-L045", "7:30 to 4:30 over the top", "PC", 0.75},
    {"J-L045", "7:30 to 4:30 over the top", "PC", 0.75},
    {"J-L045", "4:30 to 7:30", "PE", 0.25},
}};

struct WorstOfAll {
  Margin margin;
  std::size_t sector = 0;
};

// What is constant along a line of constant deposit does not tell where on it is best.
bool constant_on_line(const Line& line, C id) {
  return line.deposit_mm2 > 0 && (id == C::deposit_needed || id == C::deposit_position);
}

// Worst constraint over the sectors at one setting of a line; of several within `tie` of each other's score the first.
WorstOfAll worst_of_all(const std::vector<PassContext>& sectors, const ConstantValues& x, const Line& line,
                        const Setting& s, double tie = 0) {
  WorstOfAll worst;
  worst.margin.score = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < sectors.size(); ++i) {
    // A deposit that is the greatest allowed itself holds.
    for (const Margin& m : margins(sectors[i], x, evaluate(sectors[i], x, s)))
      if (m.score < worst.margin.score - tie && (m.score < -same_score || !constant_on_line(line, m.id)))
        worst = {m, i};
  }
  return worst;
}

// The band that all sectors allow on one line, and the sectors that end it.
struct CommonBand {
  Band band;
  std::size_t low_sector = 0, high_sector = 0;
};
CommonBand common_band(const std::vector<PassContext>& sectors, const ConstantValues& x, const Line& line,
                       double around) {
  constexpr int points = 49, halvings = 20, bits = 20;
  const auto worst = [&](double feed) {
    return worst_of_all(sectors, x, line, on_line(sectors.front(), x, line, feed));
  };
  std::array<double, points> feed{}, score{};
  const double step = std::log(16.0) / (points - 1);
  std::size_t best = 0;
  for (std::size_t i = 0; i < points; ++i) {
    feed[i] = 0.25 * around * std::exp(step * static_cast<double>(i));
    score[i] = worst(feed[i]).margin.score;
    if (score[i] > score[best]) best = i;
  }
  // Between the neighbours of the best point.
  const double low = feed[best == 0 ? 0 : best - 1], high = feed[std::min<std::size_t>(best + 1, points - 1)];
  double best_feed =
      boost::math::tools::brent_find_minima([&](double w) { return -worst(w).margin.score; }, low, high, bits).first;
  if (worst(best_feed).margin.score < score[best]) best_feed = feed[best];
  CommonBand common;
  Band& band = common.band;
  band.best = on_line(sectors.front(), x, line, best_feed);
  band.best_score = worst(best_feed).margin.score;
  band.feasible = band.best_score >= 0;
  if (!band.feasible) return common;
  const auto end = [&](int direction, std::size_t& sector) {
    double inside = best_feed, outside = best_feed;
    for (int i = 0; i < points && worst(outside).margin.score >= 0; ++i) {
      inside = outside;
      outside *= std::exp(direction * step);
    }
    inside = last_inside(inside, outside, halvings, [&](double w) { return worst(w).margin.score >= 0; });
    const WorstOfAll beyond = worst(outside);
    sector = beyond.sector;
    return BandEnd{inside, on_line(sectors.front(), x, line, inside).travel_mm_per_s, beyond.margin};
  };
  band.low = end(-1, common.low_sector);
  band.high = end(1, common.high_sector);
  return common;
}

CompromisePass compromise(const std::vector<PassContext>& contexts, const std::vector<Sector>& sectors,
                          std::size_t pass, double travel) {
  const ConstantValues x = nominal_values(contexts.front().constants);
  CompromisePass out;
  double around = 0, own_time = 0, own_margin = std::numeric_limits<double>::infinity();
  for (const Sector& sector : sectors) {
    const SectorPass& own = sector.passes[pass];
    around += sector.share * own.band.best.wire_feed_m_per_min;
    own_time += sector.share / own.travel_mm_per_s;
    own_margin = std::min(own_margin, own.band.best_score);
  }
  // The deposit is that of the plan; more of it where that alone has no common setting.
  const double nominal = contexts.front().deposit.nominal_mm2;
  for (const double share : {1.0, 1.1, 1.2, 1.35, 1.5}) {
    const Line line = travel > 0 ? Line{0, travel} : Line{share * nominal, 0};
    const CommonBand common = common_band(contexts, x, line, around);
    if (share == 1.0 || common.band.best_score > out.band.best_score) {
      out.band = common.band;
      out.deposit_mm2 = line.deposit_mm2;
      out.low_by = sectors[common.low_sector].position;
      out.high_by = sectors[common.high_sector].position;
    }
    if (out.band.feasible || travel > 0) break;
  }
  out.feasible = out.band.feasible;
  // The best setting is often where the limits of two sectors meet: rounding must not say which of them is named.
  constexpr double meet = 1e-3;
  const WorstOfAll worst = worst_of_all(contexts, x, {out.deposit_mm2, travel}, out.band.best, meet);
  out.worst = worst.margin;
  out.tightest = sectors[worst.sector].position;
  out.time_ratio = 1.0 / (out.band.best.travel_mm_per_s * own_time);
  out.margin_loss = std::max(0.0, own_margin - out.band.best_score);
  return out;
}

}  // namespace

SectorPlan sector_plan(const Case& resolved) {
  SectorPlan plan;
  if (resolved.position == nullptr || resolved.pass_plans.empty()) return plan;
  const auto travel_of = [&](std::size_t pass) { return fixed_travel_mm_per_s(case_of(resolved, pass).joint); };
  std::vector<KeptList<PassContext>> contexts;  // of each sector
  for (const SectorRow& row : rows) {
    if (row.pipe != resolved.position->id) continue;
    Case local = resolved;
    local.position = find_position(*resolved.catalog, row.position);
    for (Case& own : local.own)  // a pass with a position of its own is not welded all round
      if (own.position == resolved.position) own.position = local.position;
    contexts.push_back(pass_contexts(local));
    Sector sector{row.clock, row.position, row.share, {}};
    for (std::size_t i = 0; i < contexts.back().size(); ++i) {
      if (like_the_one_before(resolved, i)) {
        sector.passes.push_back(sector.passes.back());
        continue;
      }
      const PassContext& c = contexts.back()[i];
      const ConstantValues x = nominal_values(c.constants);
      const double travel = travel_of(i);
      SectorPass pass;
      pass.band = solve_window(c, travel, WindowDetail::band).band;
      pass.feasible = pass.band.feasible;
      pass.above_usual_deposit = c.deposit.nominal_mm2 > local.position->deposit_max_mm2.value;
      pass.travel_mm_per_s = pass.band.best.travel_mm_per_s;
      const FieldValues f = evaluate(c, x, pass.band.best);
      pass.heat_input_kJ_per_mm = f[F::heat_input];
      pass.worst =
          worst_of_all({c}, x, travel > 0 ? Line{0, travel} : Line{c.deposit.nominal_mm2, 0}, pass.band.best).margin;
      sector.passes.push_back(pass);
    }
    plan.sectors.push_back(std::move(sector));
  }
  if (plan.sectors.empty()) return plan;
  for (std::size_t i = 0; i < resolved.pass_plans.size(); ++i) {
    if (like_the_one_before(resolved, i)) {
      plan.compromise.push_back(plan.compromise.back());
      continue;
    }
    std::vector<PassContext> of_pass;
    for (const auto& sector : contexts) of_pass.push_back(sector[i]);
    plan.compromise.push_back(compromise(of_pass, plan.sectors, i, travel_of(i)));
  }
  return plan;
}

}  // namespace seamwright
