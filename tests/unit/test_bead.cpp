#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

#include "seamwright/bead.hpp"

using namespace seamwright;
using doctest::Approx;

TEST_CASE("bead height: the powers of the law, by hand") {
  const BeadHeightLaw law{1.386, 0.345, -0.428, -0.013};
  // 15 mm2 at 20 V and 6 mm/s: exp(1.386 + 0.345 x 2.70805 - 0.428 x 2.99573 - 0.013 x 1.79176)
  CHECK(bead_height_mm(law, 15, 20, 6) == Approx(std::exp(1.01481)).epsilon(1e-4));
  CHECK(bead_height_mm(law, 30, 20, 6) / bead_height_mm(law, 15, 20, 6) == Approx(std::pow(2.0, 0.345)));
  CHECK(bead_height_mm(law, 15, 30, 6) < bead_height_mm(law, 15, 20, 6));  // a longer arc spreads the bead
}

TEST_CASE("share of the section in base metal: the integral beyond the toe of the earlier bead") {
  for (const double section : {0.32, 0.40, 0.44, 0.785})
    for (double step = 0.5; step < 10; step += 0.5) {
      CAPTURE(section);
      CAPTURE(step);
      const double n = 1 / section - 1;
      double all = 0, beyond = 0;
      constexpr int steps = 20000;
      for (int i = 0; i < steps; ++i) {
        const double x = (i + 0.5) / steps * 10 - 5;  // from the bead's middle, 10 mm wide
        const double depth = std::pow(1 - std::abs(x) / 5, n);
        all += depth;
        if (x > 5 - step) beyond += depth;
      }
      CHECK(base_share_of_section(step, 10, section) == Approx(beyond / all).epsilon(0.003));
    }
}

TEST_CASE("share of the section in base metal: half at half a width, whole from a width on, never falling") {
  for (const double section : {0.32, 0.40, 0.785}) {
    CHECK(base_share_of_section(4, 8, section) == Approx(0.5));
    CHECK(base_share_of_section(8, 8, section) == 1);
    CHECK(base_share_of_section(20, 8, section) == 1);
    double last = 0;
    for (double step = 0.1; step < 9; step += 0.1) {
      const double share = base_share_of_section(step, 8, section);
      CHECK(share >= last);
      last = share;
    }
  }
}
