#include <doctest/doctest.h>

#include "text/text_grid.hpp"
#include "text/text_layout.hpp"

using namespace seamwright;

namespace {

TextGrid sizes() {
  TextGrid grid({{"A change of", ""}, {"current", "A"}, {"depth", "mm"}, {"limits", ""}});
  grid.add({"2 V more", "0", "+0.45", "holds, nearest: usual arc length"});
  grid.add({"1 mm more gap", "-13", "-", "holds"});
  return grid;
}

}  // namespace

TEST_CASE("a grid is laid out by the room it has") {
  CHECK(sizes().text(2, 80) ==
        "  A change of    current A  depth mm  limits\n"
        "  2 V more               0     +0.45  holds, nearest: usual arc length\n"
        "  1 mm more gap        -13         -  holds\n");
  // The words go below their row.
  CHECK(sizes().text(2, 50) ==
        "  A change of    current A  depth mm  limits\n"
        "  2 V more               0     +0.45\n"
        "    holds, nearest: usual arc length\n"
        "  1 mm more gap        -13         -\n"
        "    holds\n");
  // Everything does, each number with its unit.
  CHECK(sizes().text(2, 34) ==
        "  A change of 2 V more: current\n"
        "    0 A,\n"
        "    depth +0.45 mm,\n"
        "    holds, nearest: usual arc\n"
        "    length\n"
        "  A change of 1 mm more gap:\n"
        "    current -13 A,\n"
        "    holds\n");
}

TEST_CASE("a number keeps its spread and its unit on a narrow screen") {
  std::string out;
  append_stacked(out, "wire feed",
                 {{"", "10.63", "m/min"}, {"+-", "0.43", "m/min"}, {"low", "", "m/min"}, {"high", "12.40", "m/min"}}, 4,
                 44);
  CHECK(out == "    wire feed: 10.63 m/min +- 0.43 m/min,\n      high 12.40 m/min\n");
  out.clear();
  append_wrapped(out, "the heat input is 0.62 +- 0.08 kJ/mm here", 24, 0, 0);
  CHECK(out == "the heat input is\n0.62 +- 0.08 kJ/mm here\n");
  out.clear();  // as before on a wide one
  append_wrapped(out, std::string(73, 'x') + " 10.63 m/min", 80, 0, 0);
  CHECK(out == std::string(73, 'x') + " 10.63\nm/min\n");
}

TEST_CASE("the text of an entry goes below where there is no room beside") {
  std::string out;
  append_entry(out, "heat input", "0.5 to 1.5 kJ/mm, from the procedure", 30, 40);
  CHECK(out == "  heat input\n      0.5 to 1.5 kJ/mm, from the\n      procedure\n");
  out.clear();
  append_entry(out, "heat input", "0.5 to 1.5 kJ/mm", 30, 40);
  CHECK(out == "  heat input  0.5 to 1.5 kJ/mm\n");
  CHECK(fitted("  lock.modulation_frequency\n                          A range to lock.\n", 30) ==
        "  lock.modulation_frequency\n      A range to lock.\n");
}
