#include <doctest/doctest.h>

#include <cmath>

#include "seamwright/catalog.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/imperfection.hpp"

using namespace seamwright;
using doctest::Approx;

namespace {

const Catalog& catalog = builtin_catalog();
Checked<double> limit(Imperfection imperfection, std::string_view level, double size_mm) {
  return imperfection_limit_mm(catalog.imperfections, imperfection, level, size_mm);
}
}  // namespace

TEST_CASE("imperfections: level B is never wider than C, nor C than D; limits grow up to their greatest value") {
  for (int i = 0; i <= static_cast<int>(Imperfection::fit_up_gap); ++i) {
    const auto imperfection = static_cast<Imperfection>(i);
    double last = 0;
    for (const double size : {1.0, 3.0, 8.0, 15.0, 40.0}) {
      CHECK(*limit(imperfection, "B", size) <= *limit(imperfection, "C", size));
      CHECK(*limit(imperfection, "C", size) <= *limit(imperfection, "D", size));
      CHECK(*limit(imperfection, "C", size) >= last);
      last = *limit(imperfection, "C", size);
    }
  }
  CHECK(*limit(Imperfection::asymmetry, "B", 6) == Approx(2.4));
  CHECK(*limit(Imperfection::fit_up_gap, "D", 50) == 4);
}

TEST_CASE("imperfections: unknown levels and sizes below zero are refused") {
  CHECK(limit(Imperfection::undercut, "A", 5).refusal().reason == RefusalReason::not_in_table);
  CHECK(limit(Imperfection::undercut, "B", -1).refusal().reason == RefusalReason::outside);
  CHECK_FALSE(limit(Imperfection::undercut, "B", std::nan("")));
}
