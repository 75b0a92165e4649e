// How good a pass is: one word, with the limit that gives out first and what to turn if it does.
#pragma once

#include <string_view>

#include "seamwright/window.hpp"

namespace seamwright {

enum class Grade : unsigned char {
  scrap,   // try on scrap: something holds less than seven times in ten
  likely,  // everything holds seven times in ten or more
  sound    // everything holds nine times in ten or more
};
[[nodiscard]] std::string_view grade_key(Grade grade);    // "try-on-scrap": in JSON and CSV
[[nodiscard]] std::string_view grade_label(Grade grade);  // "try on scrap": in tables

// Which way a turn of a setting makes a constraint surer: -1, +1, 0: hardly.
struct Turn {
  int feed = 0;    // at the same travel
  int travel = 0;  // at the same feed
};

struct PassGrade {
  Grade grade = Grade::scrap;
  Margin weakest;          // the constraint that gives out first
  double probability = 0;  // with which it holds
  Turn turn;
  // Every constraint there, the least sure first, of those that hold less than 99 times in 100.
  std::array<Margin, 6> doubtful;
  std::size_t doubtful_count = 0;
  // Limits of practice or assumption that are passed beyond their easy end: the plan stands and says so. `limit` is the
  // easy end, `last` where it would be refused.
  struct Remark {
    Margin margin;
    double last = 0;
    Strength strength = Strength::practice;
    SourceIndex source = 0;
  };
  std::array<Remark, 4> remarks;
  std::size_t remark_count = 0;
};

// Grades a setting; the spreads of the constraints are worked out there.
[[nodiscard]] PassGrade grade_of(const PassContext& context, const Setting& setting);
[[nodiscard]] Grade grade_of(double surety);
// The least surety that has the grade; minus infinity for the lowest.
[[nodiscard]] double least_surety(Grade grade);

}  // namespace seamwright
