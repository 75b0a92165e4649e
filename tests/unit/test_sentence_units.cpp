// Factors: inch 25.4 mm and cubic foot 28.316846592 l, exact by NIST SP 811 (2008) appendix B.8.
#include <doctest/doctest.h>

#include "present/sentence_units.hpp"

using namespace seamwright;

TEST_CASE("quantities inside sentences turn to US units") {
  const auto us = [](const char* text) { return sentence_in_units(text, Units::us); };
  CHECK(us("3 to 12 mm/s: practical for a hand") == "7.09 to 28.3 in/min: practical for a hand");
  CHECK(us("250 degC at most") == "482 degF at most");
  CHECK(us("suits 1.5 mm of S235") == "suits 0.0591 in of S235");
  CHECK(us("opens a window: 5.9 to 7.4 m/min wire feed") == "opens a window: 232 to 291 in/min wire feed");
  CHECK(us("none over 42 mm2") == "none over 0.0651 in2");
  CHECK(us("15-25 l/min") == "31.8-53 ft3/h");
  CHECK(us("1 kJ/mm.") == "25.4 kJ/in.");
  CHECK(us("cooling from 1200 to 800 degC") == "cooling from 2192 to 1472 degF");
  CHECK(us("up to 60 K less") == "up to 108 degF less");
  CHECK(us("10 to 1000 K/s, 10 W/(m2 K)") == "10 to 1000 K/s, 10 W/(m2 K)");
}

TEST_CASE("what is no quantity stays as it is") {
  for (const char* text : {"ISO 5817 level B", "15 wire diameters", "S355 of 2019", "5 mmol", "Ar 82 % + CO2 18 %", "",
                           "-", "M21-ArC-18", "12 mm/sec"})
    CHECK(sentence_in_units(text, Units::us) == text);
  CHECK(sentence_in_units("3 to 12 mm/s", Units::metric) == "3 to 12 mm/s");
}
