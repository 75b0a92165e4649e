// The relation behind every quantity of the output, in words and in its keys. What the solvers compute stands in their
// own headers; this tells it to people.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string_view>

#include "seamwright/field.hpp"
#include "seamwright/mode.hpp"

namespace seamwright {

struct Relation {
  std::string_view text;    // in words and keys of the output
  std::string_view source;  // a paper, a standard, or "this program's rule"
  std::array<F, 5> terms{};
  std::size_t term_count = 0;
  // Whether the text begins with an equation that gives the number, ahead of the first ';': of quantities by their keys
  // and of numbers by their names, in mm, s, A, V, ohm, % as a share. "a = b" holds as it stands, else the quantity is
  // what is written; "or ...", after a ';', is the equation of another case. Else it is words: a search, a field, a
  // choice.
  bool equation = false;
  unsigned modes = ~0U;  // bit of every mode it holds in

  // Quantities of the output that stand in it.
  [[nodiscard]] std::span<const F> from() const { return {terms.data(), term_count}; }
};
// The relation of a quantity in a mode; every quantity has one in each.
[[nodiscard]] const Relation& relation_of(F id, Mode mode);

}  // namespace seamwright
