#include "seamwright/grade.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "seamwright/confidence.hpp"
#include "window/margins.hpp"

namespace seamwright {
namespace {

// The surety of one constraint at a setting; where it is not met there, that of the margin itself.
double surety_at(const PassContext& c, const ConstantValues& x, const Setting& s, const Margin& wanted) {
  for (const Margin& m : point_margins(c, x, s))
    if (same_slot(m, wanted)) return m.surety;
  return wanted.surety;
}

Turn turn_of(const PassContext& c, const ConstantValues& x, const Setting& s, const Margin& m) {
  constexpr double step = 0.02, hardly = 0.005;
  const auto way = [&](double Setting::*member) {
    Setting up = s, down = s;
    up.*member *= 1 + step;
    down.*member *= 1 - step;
    const double change = surety_at(c, x, up, m) - surety_at(c, x, down, m);
    return change > hardly ? 1 : change < -hardly ? -1 : 0;
  };
  return {way(&Setting::wire_feed_m_per_min), way(&Setting::travel_mm_per_s)};
}

}  // namespace

std::string_view grade_key(Grade grade) {
  return grade == Grade::sound ? "sound" : grade == Grade::likely ? "likely" : "try-on-scrap";
}
std::string_view grade_label(Grade grade) { return grade == Grade::scrap ? "try on scrap" : grade_key(grade); }

double least_surety(Grade grade) {
  static const double sound = surety_of(0.9 - probability_rounding), likely = surety_of(0.7 - probability_rounding);
  return grade == Grade::sound ? sound : grade == Grade::likely ? likely : -std::numeric_limits<double>::infinity();
}

Grade grade_of(double surety) {
  // A setting at an easy end stands on it but for rounding.
  constexpr double rounding = 1e-6;
  for (const Grade grade : {Grade::sound, Grade::likely})
    if (surety >= least_surety(grade) - rounding) return grade;
  return Grade::scrap;
}

PassGrade grade_of(const PassContext& context, const Setting& s) {
  PassContext c = context;
  work_out_spreads(c, s, c.aim.feed_setting_share);
  const ConstantValues x = nominal_values(c.constants);
  MarginList list = point_margins(c, x, s);
  Margin* first = list.items.data();
  std::sort(first, first + list.size, [](const Margin& a, const Margin& b) { return a.surety < b.surety; });
  PassGrade out;
  out.weakest = *first;
  out.grade = grade_of(first->surety);
  out.probability = probability_of(first->surety);
  out.turn = turn_of(c, x, s, *first);
  constexpr double hardly_doubtful = 0.99;
  const double worth_telling = surety_of(hardly_doubtful);
  for (const Margin& m : list) {
    if (out.doubtful_count == out.doubtful.size() || m.surety >= worth_telling) break;
    out.doubtful[out.doubtful_count++] = m;
  }
  for (const Margin& m : list) {
    const LimitEnds& ends = c.ends[static_cast<std::size_t>(m.id)];
    constexpr double rounding = 1e-6;
    if (!ends.easy_apart || m.surety >= 1 - rounding || out.remark_count == out.remarks.size()) continue;
    PassGrade::Remark& remark = out.remarks[out.remark_count++];
    const double inwards = m.upper ? -1 : 1;
    remark.margin = m;
    remark.margin.limit = m.limit * std::exp(inwards * ends.easy);
    remark.last = m.limit * std::exp(-inwards * ends.last);
    remark.strength = ends.strength;
    remark.source = ends.source;
  }
  return out;
}

}  // namespace seamwright
