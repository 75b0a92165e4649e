// The decimal sign of a row's numbers: what has one reading is read, what has two is not guessed.
#include <doctest/doctest.h>

#include <initializer_list>
#include <string>
#include <string_view>

#include "input/decimal_sign.hpp"

using namespace seamwright;

namespace {

DecimalMarks marks_of(std::initializer_list<std::string_view> cells) {
  DecimalMarks marks;
  for (const std::string_view cell : cells) marks.look(cell);
  return marks;
}

}  // namespace

TEST_CASE("A mark that cannot part thousands is the decimal sign") {
  for (const std::string_view cell : {"6,5", "0,500", "12,25 mm", "..1,5 kJ/mm", "0,5..1,25", "1234,500", "1,5e3"}) {
    CAPTURE(cell);
    CHECK(marks_of({cell}).sign() == DecimalSign::comma);
    CHECK(marks_of({cell}).why().empty());
  }
  for (const std::string_view cell : {"6.5", "0.500", "12.25 mm", "..1.5 kJ/mm", "0.5..1.25", "1.500e3"}) {
    CAPTURE(cell);
    CHECK(marks_of({cell}).sign() == DecimalSign::point);
    CHECK(marks_of({cell}).why().empty());
  }
}

TEST_CASE("Numbers without marks do not say, and need not") {
  const DecimalMarks marks = marks_of({"6", "6..8", "1/4 in", "5083", "6, 8"});
  CHECK(marks.sign() == DecimalSign::detect);
  CHECK(marks.why().empty());
}

TEST_CASE("What has two readings is not guessed, unless the row says which") {
  for (const std::string_view cell : {"1,500", "1.500", "12,345 mm", "999.999"}) {
    CAPTURE(cell);
    CHECK(marks_of({cell}).why().find("two readings") != std::string::npos);
  }
  CHECK(marks_of({"1,500", "6,5"}).sign() == DecimalSign::comma);
  CHECK(marks_of({"1,500", "6,5"}).why().empty());
  CHECK(marks_of({"1.500", "6.5"}).sign() == DecimalSign::point);
  CHECK_FALSE(marks_of({"6,5", "6.5"}).why().empty());
  CHECK_FALSE(marks_of({"1,234.5"}).why().empty());
  CHECK_FALSE(marks_of({"1.234.567"}).why().empty());
}

TEST_CASE("A mark of the other kind may still part thousands beside a clear one") {
  // "6,5" says that the comma is the decimal sign, and then "1.500" is one thousand five hundred, not 1.5.
  CHECK_FALSE(marks_of({"6,5", "1.500"}).why().empty());
  CHECK_FALSE(marks_of({"6.5", "1,500"}).why().empty());
}

TEST_CASE("Commas between digits become points, others stay") {
  std::string out;
  commas_to_points("0,5..1,25 mm", out);
  CHECK(out == "0.5..1.25 mm");
  commas_to_points("6, 8", out);
  CHECK(out == "6, 8");
  CHECK(has_decimal_point("6.5"));
  CHECK(has_decimal_point("1.234,5"));
  CHECK_FALSE(has_decimal_point("6..8,5"));
}
