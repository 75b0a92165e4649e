#include "seamwright/relation.hpp"

#include <algorithm>
#include <initializer_list>

namespace seamwright {
namespace {

constexpr std::string_view own = "this program's rule";
constexpr std::string_view lesnewich = "burn-off law in the form of Lesnewich 1958 and Halmoy 1979";
constexpr std::string_view field_source = "conduction field of Eagar and Tsai 1983, image sources after Grong 1.10.4";
constexpr std::string_view arithmetic = "arithmetic";
constexpr std::string_view by_phases =
    "the mean over the high and the low phase, each worked out as a pulse at its own wire feed";

constexpr unsigned bit(Mode mode) { return 1U << static_cast<unsigned>(mode); }
constexpr unsigned pulse = bit(Mode::pulse), double_pulse = bit(Mode::double_pulse),
                   controlled_dip = bit(Mode::controlled_dip), dip = controlled_dip | bit(Mode::short_arc);

constexpr Relation words(std::string_view text, std::string_view source, std::initializer_list<F> from = {}) {
  Relation r{text, source};
  for (const F id : from) r.terms[r.term_count++] = id;
  return r;
}
constexpr Relation equation(std::string_view text, std::string_view source, std::initializer_list<F> from = {}) {
  Relation r = words(text, source, from);
  r.equation = true;
  return r;
}
constexpr Relation during(unsigned modes, Relation r) {
  r.modes = modes;
  return r;
}

// Of one quantity, the last in all modes that those before leave over.
using Relations = std::array<Relation, 4>;
template <class... Each>
constexpr Relations relation(const Each&... each) {
  return {each...};
}

constexpr std::array<Relations, field_count> table{{
#define SEAMWRIGHT_QUANTITY(id, row, relations) relations,
#include "seamwright/quantities.def"
}};

constexpr bool in_every_mode(const Relations& relations) {
  unsigned modes = 0;
  for (const Relation& r : relations)
    if (!r.text.empty()) modes |= r.modes;
  return modes == ~0U;
}
static_assert(std::ranges::all_of(table, in_every_mode), "a quantity has no relation in some mode");

}  // namespace

const Relation& relation_of(F id, Mode mode) {
  return *std::ranges::find_if(table[static_cast<std::size_t>(id)],
                               [&](const Relation& r) { return (r.modes & bit(mode)) != 0; });
}

}  // namespace seamwright
