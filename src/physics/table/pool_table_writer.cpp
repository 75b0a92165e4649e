// Writes the pool tables: seamwright-pool-tables OUT.inc
//
// For every plate (S, D) of the grid: the peak of the field at the face and at the back, the place of the hottest
// point, and the sizes of the isotherm as functions of the spread of the excess. See pool_field.hpp and pool_grid.hpp.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "physics/pool_field.hpp"
#include "physics/pool_grid.hpp"

namespace {

using namespace seamwright;
using pool_grid::Axis;

// What is known of a function at one end of its grid: odd or even about it, or nothing (not-a-knot).
enum class End { odd, even, open };

// The matrix that turns the values at the nodes into B-spline coefficients, (N + 2) x N, row by row.
class SplineTransform {
 public:
  SplineTransform(const Axis& grid, End low, End high)
      : values_(static_cast<std::size_t>(grid.nodes)), coefficients_(grid.coefficients()) {
    const std::size_t n = coefficients_, wide = n + values_;
    std::vector<double> rows(n * wide, 0.0);  // [conditions | node values], reduced in place
    const auto at = [&](std::size_t row, std::size_t column) -> double& { return rows[row * wide + column]; };
    for (std::size_t i = 0; i < values_; ++i) {
      at(i + 1, i) = at(i + 1, i + 2) = 1.0 / 6.0;
      at(i + 1, i + 1) = 4.0 / 6.0;
      at(i + 1, n + i) = 1.0;
    }
    const auto end_condition = [&](std::size_t row, End end, auto column) {
      if (end == End::open) {  // the third derivative does not jump at the second node
        const double fourth_difference[5] = {1, -4, 6, -4, 1};
        for (std::size_t k = 0; k < 5; ++k) at(row, column(k)) = fourth_difference[k];
      } else {
        at(row, column(0)) = 1.0;
        at(row, column(2)) = end == End::odd ? 1.0 : -1.0;
      }
    };
    end_condition(0, low, [](std::size_t k) { return k; });
    end_condition(n - 1, high, [n](std::size_t k) { return n - 1 - k; });
    for (std::size_t pivot = 0; pivot < n; ++pivot) {
      std::size_t best = pivot;
      for (std::size_t row = pivot; row < n; ++row)
        if (std::abs(at(row, pivot)) > std::abs(at(best, pivot))) best = row;
      for (std::size_t column = 0; column < wide; ++column) std::swap(at(best, column), at(pivot, column));
      const double scale = 1.0 / at(pivot, pivot);
      for (std::size_t column = 0; column < wide; ++column) at(pivot, column) *= scale;
      for (std::size_t row = 0; row < n; ++row) {
        const double factor = row == pivot ? 0.0 : at(row, pivot);
        if (factor == 0.0) continue;
        for (std::size_t column = 0; column < wide; ++column) at(row, column) -= factor * at(pivot, column);
      }
    }
    for (std::size_t row = 0; row < n; ++row)
      for (std::size_t i = 0; i < values_; ++i) matrix_.push_back(at(row, n + i));
  }

  // Replaces one index of an array [outer][values][inner] by coefficients.
  [[nodiscard]] std::vector<double> apply(const std::vector<double>& in, std::size_t inner) const {
    const std::size_t outer = in.size() / (values_ * inner);
    std::vector<double> out(outer * coefficients_ * inner, 0.0);
    for (std::size_t o = 0; o < outer; ++o)
      for (std::size_t row = 0; row < coefficients_; ++row)
        for (std::size_t i = 0; i < values_; ++i)
          for (std::size_t k = 0; k < inner; ++k)
            out[(o * coefficients_ + row) * inner + k] +=
                matrix_[row * values_ + i] * in[(o * values_ + i) * inner + k];
    return out;
  }

 private:
  std::size_t values_, coefficients_;
  std::vector<double> matrix_;
};

struct Table {
  std::string name;
  const pool_grid::PlateGrid* plates;
  Axis grid;  // of the last index; a single node: a table over plates only
  End low, high;
  std::vector<double> values;  // [S][D/S][last]
};

void write_table(std::FILE* file, const Table& table) {
  std::vector<double> c = table.values;
  std::size_t last = 1;
  if (table.grid.nodes > 1) {
    c = SplineTransform(table.grid, table.low, table.high).apply(c, 1);
    last = table.grid.coefficients();
  }
  c = SplineTransform(table.plates->ln_thickness_ratio, End::open, End::open).apply(c, last);
  c = SplineTransform(table.plates->ln_radius, End::open, End::open)
          .apply(c, last * table.plates->ln_thickness_ratio.coefficients());
  std::string text;
  const auto list = [&](std::string_view type, auto number) {
    text += fmt::format("static const {} {}[{}] = {{", type, table.name, c.size());
    for (std::size_t i = 0; i < c.size(); ++i) {
      if (i % 16 == 0) text += '\n';
      text += number(c[i]);
      text += ',';
    }
    text += "};\n";
  };
  if (last == 1) {
    list("double", [](double x) { return fmt::format("{:.15e}", x + 0.0); });  // + 0.0: no -0
  } else {
    list("float", [](double x) { return fmt::format("{:.7e}f", static_cast<float>(x) + 0.0f); });
  }
  std::fwrite(text.data(), 1, text.size(), file);
}

}  // namespace

int main(int argc, char** argv) {
  using namespace pool_grid;
  if (argc != 2) {
    fmt::print(stderr, "usage: seamwright-pool-tables OUT.inc\n");
    return 2;
  }
  const Axis plate_only{0.0, 0.0, 1};
  std::array<Table, stretch_count> stretch_peak, stretch_width, stretch_reach;
  for (int i = 0; i < stretch_count; ++i) {
    const auto at = static_cast<std::size_t>(i);
    stretch_peak[at] = {fmt::format("pool_ln_peak_{}", i), &fine, plate_only, End::open, End::open, {}};
    stretch_width[at] = {fmt::format("pool_width_table_{}", i), &fine, width, End::even, End::open, {}};
    stretch_reach[at] = {fmt::format("pool_reach_table_{}", i), &fine, reach, End::even, End::open, {}};
  }
  Table back{"pool_ln_back_peak", &fine, plate_only, End::open, End::open, {}};
  Table hottest{"pool_hottest_X", &fine, plate_only, End::open, End::open, {}};
  Table back_width{"pool_back_width_table", &fine, width, End::even, End::open, {}};
  Table back_reach{"pool_back_reach_table", &fine, reach, End::even, End::open, {}};
  Table depth_reach{"pool_depth_reach_table", &coarse, depth, End::odd, End::open, {}};
  Table depth_table{"pool_depth_table", &coarse, depth, End::odd, End::open, {}};
  Table nose_table{"pool_nose_table", &fine, nose, End::open, End::open, {}};
  Table tail_table{"pool_tail_table", &fine, tail, End::open, End::open, {}};
  std::vector<Table*> tables = {&back,        &hottest,     &back_width, &back_reach,
                                &depth_reach, &depth_table, &nose_table, &tail_table};
  for (Table& table : stretch_peak) tables.push_back(&table);
  for (Table& table : stretch_width) tables.push_back(&table);
  for (Table& table : stretch_reach) tables.push_back(&table);
  for (Table* table : tables)
    table->values.resize(static_cast<std::size_t>(table->plates->plates() * table->grid.nodes));

  const auto plate_of = [](const PlateGrid& plates, int index) {
    const int ratios = plates.ln_thickness_ratio.nodes;
    const double S = std::exp(plates.ln_radius.node(index / ratios));
    return ScaledPlate{S, S * std::exp(plates.ln_thickness_ratio.node(index % ratios))};
  };
  const auto fill = [](Table& table, int index, auto size) {
    for (int i = 0; i < table.grid.nodes; ++i)
      table.values[static_cast<std::size_t>(index * table.grid.nodes + i)] = size(table.grid.node(i));
  };
  // Widths are held divided by the spread, so that narrow ones keep their relative accuracy; a small spread stands in
  // for none. Beyond what the greatest n reaches they stand still: farther out, sizes are so large in the
  // unit of length that doubles no longer resolve them.
  const auto fill_width = [](Table& table, int index, double ln_peak, auto coordinate) {
    const double reached = spread_from_excess(std::max(0.0, std::log(most_n) + ln_peak)) + 5.0 * width.step();
    double* const value = table.values.data() + index * width.nodes;
    for (int i = 0; i < width.nodes; ++i) {
      const double spread = std::max(width.node(i), 3e-3);
      value[i] = i == 0 || spread < reached ? coordinate(spread) / spread : value[i - 1];
    }
  };
  // The other way round, spread over coordinate at a width: what it takes to reach it.
  const auto fill_reach = [](Table& table, int index, const ScaledPlate& plate, double Z, const FieldPeak& centre,
                             const Stretch& part) {
    double* const value = table.values.data() + index * reach.nodes;
    const double scale = width_scale(plate, Z, part);
    double X_guess = centre.X;
    for (int i = 0; i < reach.nodes; ++i) {
      const double coordinate = std::max(reach.node(i), 3e-3);
      const FieldPeak peak = peak_along_X(plate, scale * std::sinh(coordinate), Z, X_guess, part);
      X_guess = peak.X;
      value[i] = spread_from_excess(centre.at.ln_G - peak.at.ln_G) / coordinate;
    }
  };
  const auto solve_fine = [&](int index) {
    const ScaledPlate plate = plate_of(fine, index);
    const FieldPeak at_face = peak_along_X(plate, 0.0, 0.0);
    const FieldPeak at_back = peak_along_X(plate, 0.0, plate.D);
    fill(back, index, [&](double) { return at_back.at.ln_G; });
    fill(hottest, index, [&](double) { return at_face.X / plate.S; });
    fill_width(back_width, index, at_back.at.ln_G,
               [&](double spread) { return width_coordinate(plate, plate.D, at_back, spread); });
    fill_reach(back_reach, index, plate, plate.D, at_back, {});
    fill(nose_table, index, [&](double spread) { return axis_coordinate(plate, at_face, Side::ahead, spread); });
    fill(tail_table, index, [&](double place) { return axis_spread(plate, at_face, Side::behind, place); });
    for (int i = 0; i < stretch_count; ++i) {
      const auto at = static_cast<std::size_t>(i);
      const Stretch part = stretch(plate, i);
      const FieldPeak centre = peak_along_X(plate, 0.0, 0.0, 0.0, part);
      fill(stretch_peak[at], index, [&](double) { return centre.at.ln_G; });
      fill_width(stretch_width[at], index, centre.at.ln_G,
                 [&](double spread) { return width_coordinate(plate, 0.0, centre, spread, part); });
      fill_reach(stretch_reach[at], index, plate, 0.0, centre, part);
    }
  };
  const auto solve_coarse = [&](int index) {
    const ScaledPlate plate = plate_of(coarse, index);
    const FieldPeak at_face = peak_along_X(plate, 0.0, 0.0);
    const FieldPeak at_back = peak_along_X(plate, 0.0, plate.D);
    fill(depth_table, index, [&](double share) { return depth_coordinate(plate, at_face, at_back, share); });
    const double whole = spread_from_excess(at_face.at.ln_G - at_back.at.ln_G);
    fill(depth_reach, index, [&](double x) {
      if (x <= 0.0) return 0.0;
      if (x >= 1.0) return 1.0;
      const FieldPeak peak = peak_along_X(plate, 0.0, depth_from_coordinate(plate, x));
      return spread_from_excess(peak.at.ln_G - at_back.at.ln_G) / whole;
    });
  };
  // Each plate is worked out on its own, so the result does not depend on the number of threads.
  std::atomic<int> next{0};
  const auto work = [&] {
    for (int i = next++; i < fine.plates() + coarse.plates(); i = next++)
      i < fine.plates() ? solve_fine(i) : solve_coarse(i - fine.plates());
  };
  std::thread helper(work);
  work();
  helper.join();

  for (const Table* table : tables)
    for (const double value : table->values)
      if (!std::isfinite(value)) {
        fmt::print(stderr, "seamwright-pool-tables: {} holds a value that is not a number\n", table->name);
        return 1;
      }
  std::FILE* const file = std::fopen(argv[1], "w");
  if (!file) {
    fmt::print(stderr, "seamwright-pool-tables: cannot write {}\n", argv[1]);
    return 3;
  }
  std::fputs("// Written by seamwright-pool-tables when the library is built. Do not edit.\n", file);
  for (const Table* table : tables) write_table(file, *table);
  const bool written = std::ferror(file) == 0;
  if (std::fclose(file) == 0 && written) return 0;
  fmt::print(stderr, "seamwright-pool-tables: cannot write {}\n", argv[1]);
  return 3;
}
