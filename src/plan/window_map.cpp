#include "seamwright/window_map.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <utility>

#include "physics/last_inside.hpp"

namespace seamwright {
namespace {

constexpr double open_end = 1e9;  // a constraint that does not exist at a point

// Least score of every constraint at a point.
struct Scores {
  std::array<double, constraint_count> of{};
  double worst = open_end;
};

class Mapper {
 public:
  Mapper(const PassContext& context, const PassResult& pass, int columns, int rows)
      : context_(context), constants_(nominal_values(context.constants)), pass_(pass), columns_(columns), rows_(rows) {
    map_.best = {pass.window.band.best.wire_feed_m_per_min, pass.window.band.best.travel_mm_per_s};
  }

  WindowMap make() {
    ranges();
    constexpr int most_tries = 4;
    for (int i = 0; i < most_tries; ++i) {
      grid();
      region();
      lines();
      if (!widen()) break;
    }
    band();
    return std::move(map_);
  }

 private:
  const PassContext& context_;
  ConstantValues constants_;
  const PassResult& pass_;
  int columns_, rows_;
  std::vector<Scores> scores_;
  WindowMap map_;

  [[nodiscard]] double feed(int i) const {
    const Interval& r = map_.wire_feed_m_per_min;
    return r.low + (r.high - r.low) * i / (columns_ - 1);
  }
  [[nodiscard]] double travel(int j) const {
    const Interval& r = map_.travel_mm_per_s;
    return r.low + (r.high - r.low) * j / (rows_ - 1);
  }
  [[nodiscard]] const Scores& node(int i, int j) const { return scores_[static_cast<std::size_t>(j * columns_ + i)]; }

  [[nodiscard]] Scores scores_at(const MapPoint& p) const {
    Setting s;
    s.wire_feed_m_per_min = p.wire_feed_m_per_min;
    s.travel_mm_per_s = p.travel_mm_per_s;
    Scores out;
    out.of.fill(open_end);
    for (const Margin& m : margins(context_, constants_, evaluate(context_, constants_, s))) {
      double& least = out.of[static_cast<std::size_t>(m.id)];
      least = std::min(least, m.score);
      out.worst = std::min(out.worst, m.score);
    }
    return out;
  }

  // The whole window with a border, or the surroundings of the point where the conflict is smallest.
  void ranges() {
    constexpr double border = 0.18;
    Interval w{0.6 * map_.best.wire_feed_m_per_min, 1.4 * map_.best.wire_feed_m_per_min};
    Interval v{0.6 * map_.best.travel_mm_per_s, 1.4 * map_.best.travel_mm_per_s};
    if (pass_.window.extent) {
      w = pass_.window.extent->wire_feed_m_per_min;
      v = pass_.window.extent->travel_mm_per_s;
    }
    const auto widened = [](const Interval& r) {
      const double by = border * std::max(r.high - r.low, 0.3 * r.high);
      return Interval{std::max(0.05 * r.high, r.low - by), r.high + by};
    };
    map_.wire_feed_m_per_min = widened(w);
    map_.travel_mm_per_s = widened(v);
  }

  // A wider map where the window runs out of it or, without one, a conflict has no line on it yet.
  bool widen() {
    Interval &w = map_.wire_feed_m_per_min, &v = map_.travel_mm_per_s;
    const Interval w_before = w, v_before = v;
    constexpr double step = 0.25;
    if (pass_.feasible) {
      const double near_w = 0.01 * (w.high - w.low), near_v = 0.01 * (v.high - v.low);
      for (const MapPoint& p : map_.region) {
        if (p.wire_feed_m_per_min < w_before.low + near_w) w.low = w_before.low - step * (w_before.high - w_before.low);
        if (p.wire_feed_m_per_min > w_before.high - near_w)
          w.high = w_before.high + step * (w_before.high - w_before.low);
        if (p.travel_mm_per_s < v_before.low + near_v) v.low = v_before.low - step * (v_before.high - v_before.low);
        if (p.travel_mm_per_s > v_before.high - near_v) v.high = v_before.high + step * (v_before.high - v_before.low);
      }
    } else {
      for (const Margin& conflict : pass_.conflicts) {
        const bool drawn =
            std::any_of(map_.lines.begin(), map_.lines.end(), [&](const MapLine& l) { return l.id == conflict.id; });
        if (drawn) continue;
        w = {0.6 * w_before.low, 1.5 * w_before.high};
        v = {0.6 * v_before.low, 1.5 * v_before.high};
      }
    }
    w.low = std::max(w.low, 0.02 * w.high);
    v.low = std::max(v.low, 0.02 * v.high);
    return w.low != w_before.low || w.high != w_before.high || v.low != v_before.low || v.high != v_before.high;
  }

  void grid() {
    scores_.clear();
    map_.lines.clear();
    scores_.reserve(static_cast<std::size_t>(columns_ * rows_));
    for (int j = 0; j < rows_; ++j)
      for (int i = 0; i < columns_; ++i) scores_.push_back(scores_at({feed(i), travel(j)}));
  }

  // Travel between two rows at which the window ends.
  [[nodiscard]] double edge(double w, double inside, double outside) const {
    for (int k = 0; k < 10; ++k) {
      const double middle = 0.5 * (inside + outside);
      (scores_at({w, middle}).worst >= 0 ? inside : outside) = middle;
    }
    return inside;
  }

  // The longest run of travels in the window at a feed; its ends are searched for between the rows.
  template <typename Worst>
  [[nodiscard]] std::optional<Interval> run_at(double w, const Worst& worst) const {
    int best_from = 0, best_to = -1;
    for (int j = 0; j < rows_;) {
      int to = j;
      while (to < rows_ && worst(to) >= 0) ++to;
      if (to - j > best_to - best_from + 1) {
        best_from = j;
        best_to = to - 1;
      }
      j = to + 1;
    }
    if (best_to < best_from) return std::nullopt;
    return Interval{best_from == 0 ? travel(0) : edge(w, travel(best_from), travel(best_from - 1)),
                    best_to == rows_ - 1 ? travel(best_to) : edge(w, travel(best_to), travel(best_to + 1))};
  }

  // Column by column; before the first and after the last, the feed at which the window ends.
  void region() {
    std::vector<MapPoint> upper, lower;
    const auto add = [&](double w, const Interval& run) {
      lower.push_back({w, run.low});
      upper.push_back({w, run.high});
    };
    const auto add_end = [&](double inside, double outside) {
      constexpr int halvings = 6;
      std::optional<Interval> last;
      const double end = last_inside(inside, outside, halvings, [&](double w) {
        const auto run = run_at(w, [&](int j) { return scores_at({w, travel(j)}).worst; });
        if (run) last = run;
        return run.has_value();
      });
      if (last) add(end, *last);
    };
    bool before = false;
    for (int i = 0; i < columns_; ++i) {
      const double w = feed(i);
      const auto run = run_at(w, [&](int j) { return node(i, j).worst; });
      if (run && !before && upper.empty() && i > 0) add_end(w, feed(i - 1));
      if (run) add(w, *run);
      if (!run && before) add_end(feed(i - 1), w);
      before = run.has_value();
    }
    map_.region = std::move(upper);
    map_.region.insert(map_.region.end(), lower.rbegin(), lower.rend());
  }

  // --- Lines: where a constraint's score passes through zero, by marching squares ---

  // An edge of the grid: from node (i, j) to the right (0) or upwards (1).
  using Edge = std::array<int, 3>;
  [[nodiscard]] MapPoint crossing(const Edge& e, std::size_t c) const {
    const auto [i, j, up] = e;
    const double a = node(i, j).of[c], b = up != 0 ? node(i, j + 1).of[c] : node(i + 1, j).of[c];
    const double t = a / (a - b);
    return up != 0 ? MapPoint{feed(i), travel(j) + t * (travel(j + 1) - travel(j))}
                   : MapPoint{feed(i) + t * (feed(i + 1) - feed(i)), travel(j)};
  }

  void lines() {
    const Scores at_best = scores_at(map_.best);
    for (std::size_t c = 1; c < constraint_count; ++c) {
      std::map<Edge, std::vector<Edge>> next;  // segments, both ways
      for (int j = 0; j + 1 < rows_; ++j)
        for (int i = 0; i + 1 < columns_; ++i) add_cell(i, j, c, next);
      while (!next.empty()) add_chain(chain(next), c, pass_.feasible || at_best.of[c] < 0);
    }
    std::stable_partition(map_.lines.begin(), map_.lines.end(), [](const MapLine& l) { return l.bounds; });
  }

  void add_cell(int i, int j, std::size_t c, std::map<Edge, std::vector<Edge>>& next) const {
    const std::array<double, 4> corner{node(i, j).of[c], node(i + 1, j).of[c], node(i + 1, j + 1).of[c],
                                       node(i, j + 1).of[c]};
    for (const double score : corner)
      if (score >= open_end) return;
    const std::array<Edge, 4> side{{{i, j, 0}, {i + 1, j, 1}, {i, j + 1, 0}, {i, j, 1}}};
    std::array<Edge, 4> cut{};
    std::size_t cuts = 0;
    for (std::size_t k = 0; k < 4; ++k)
      if ((corner[k] >= 0) != (corner[(k + 1) % 4] >= 0)) cut[cuts++] = side[k];
    for (std::size_t k = 0; k + 1 < cuts; k += 2) {
      next[cut[k]].push_back(cut[k + 1]);
      next[cut[k + 1]].push_back(cut[k]);
    }
  }

  // Takes one chain of segments out of `next`, from a free end where there is one.
  static std::vector<Edge> chain(std::map<Edge, std::vector<Edge>>& next) {
    auto start = next.begin();
    for (auto it = next.begin(); it != next.end(); ++it)
      if (it->second.size() == 1) {
        start = it;
        break;
      }
    std::vector<Edge> out{start->first};
    for (;;) {
      const auto here = next.find(out.back());
      if (here == next.end()) break;
      if (here->second.empty()) {
        next.erase(here);
        break;
      }
      const Edge to = here->second.back();
      here->second.pop_back();
      if (here->second.empty()) next.erase(here);
      const auto there = next.find(to);
      if (there != next.end()) {
        auto& back = there->second;
        back.erase(std::remove(back.begin(), back.end(), out.back()), back.end());
        if (back.empty()) next.erase(there);
      }
      out.push_back(to);
    }
    return out;
  }

  // Cut into what bounds the window and what lies outside it; the latter is kept only beside an edge.
  void add_chain(const std::vector<Edge>& edges, std::size_t c, bool wanted) {
    if (edges.size() < 2 || !wanted) return;
    constexpr double touching = -0.05;  // the grid's own error
    MapLine line;
    line.id = static_cast<C>(c);
    const auto flush = [&](bool bounds) {
      line.bounds = bounds;
      if (line.points.size() > 1) map_.lines.push_back(line);
      line.points.erase(line.points.begin(), line.points.empty() ? line.points.end() : line.points.end() - 1);
    };
    bool bounds = false;
    for (std::size_t k = 0; k < edges.size(); ++k) {
      const MapPoint p = crossing(edges[k], c);
      const Scores here = scores_at(p);
      double others = open_end;
      for (std::size_t o = 1; o < constraint_count; ++o)
        if (o != c) others = std::min(others, here.of[o]);
      const bool now = others >= touching;
      if (k > 0 && now != bounds) flush(bounds);
      bounds = now;
      line.points.push_back(p);
    }
    flush(bounds);
  }

  void band() {
    const Band& b = pass_.window.band;
    if (!b.feasible) return;
    constexpr int points = 9;
    for (int i = 0; i < points; ++i) {
      const double w =
          b.low.wire_feed_m_per_min + (b.high.wire_feed_m_per_min - b.low.wire_feed_m_per_min) * i / (points - 1);
      map_.band.push_back({w, on_line(context_, constants_, pass_.window.line, w).travel_mm_per_s});
    }
  }
};

}  // namespace

WindowMap window_map(const PassContext& context, const PassResult& pass, int columns, int rows) {
  return Mapper(context, pass, std::max(columns, 8), std::max(rows, 8)).make();
}

}  // namespace seamwright
