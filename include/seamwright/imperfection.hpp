// Limits of imperfections by ISO 5817 quality level that grow with a size of the weld:
//   limit = min(fixed + share * size, max)
//
// Error: none of the form's own (tests/published/qualification.csv, six limits to 0.001 mm). Most rows were read in EN
// 25817, which ISO 5817 replaced with the same forms; undercut at level B on a secondary page, at C and D it is
// recalled and another page has wider limits. Check the standard in force before relying on them.
//
// References:
//   ISO 5817:2014, table 1 [iso-5817]: numbers 1.7, 1.10, 1.20, 1.16 and 3.2 (numbers recalled)
//   EN 25817, the table it replaced [en-25817]
//   Undercut, level B [iso-5817-undercut], C and D [recalled-undercut]
//
// Example:
//
//     #include "seamwright/catalog.hpp"
//     const auto limits = builtin_catalog().imperfections;
//     std::printf("%.1f mm\n", *imperfection_limit_mm(limits, Imperfection::convexity, "C", 10));  // 2.5 mm
//     std::printf("%.1f mm\n", *imperfection_limit_mm(limits, Imperfection::undercut, "B", 8));    // 0.4 mm
#pragma once

#include <span>
#include <string_view>

#include "seamwright/checked.hpp"
#include "seamwright/heat_tables.hpp"

namespace seamwright {

// In brackets the size the limit grows with, mm.
enum class Imperfection : unsigned char {
  undercut,      // plate thickness
  convexity,     // fillet width
  throat_short,  // nominal throat
  asymmetry,     // nominal throat
  fit_up_gap     // nominal throat of the fillet
};

inline constexpr std::size_t imperfection_count = 5;
// Its word in the tables of data/.
[[nodiscard]] std::string_view imperfection_key(Imperfection imperfection);

// The limit of an imperfection at a level; null: the table has none.
[[nodiscard]] const ImperfectionRow* imperfection_row(std::span<const ImperfectionRow> table, Imperfection imperfection,
                                                      std::string_view level);

// Largest imperfection allowed, mm; 0 where none is permitted. `size_mm` is the size in brackets above, >= 0. Refuses a
// level ("B", "C", "D") that is not in the table, and a size below 0 or not a number.
[[nodiscard]] Checked<double> imperfection_limit_mm(std::span<const ImperfectionRow> table, Imperfection imperfection,
                                                    std::string_view level, double size_mm);

}  // namespace seamwright
