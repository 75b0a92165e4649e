#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "seamwright/aluminium.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/stainless.hpp"

using namespace seamwright;
using doctest::Approx;

namespace {

const Catalog& catalog = builtin_catalog();

FillerQuestion between(AluminiumKind a, double mg, AluminiumKind b, double mg2) {
  FillerQuestion out;
  out.kind = a, out.kind2 = b;
  out.magnesium_percent = mg, out.magnesium2_percent = mg2;
  return out;
}

std::vector<FillerChoice> choose(const FillerQuestion& question) {
  return choose_filler(question, catalog.filler_pairs, catalog.filler_traits, filler_limits(catalog));
}

bool has(const FillerChoice& choice, FillerReason reason) {
  return std::ranges::find(choice.reasons, reason) != choice.reasons.end();
}

Composition light(double Si, double Mg) {
  Composition out;
  out[Element::Si] = Si;
  out[Element::Mg] = Mg;
  return out;
}

constexpr PoolInput sheet{.net_power_W = 3000,
                          .travel_mm_per_s = 10,
                          .source_radius_mm = 2,
                          .thickness_mm = 5,
                          .conductivity_W_per_mmK = 0.19,
                          .heat_capacity_J_per_mm3K = 0.0028,
                          .rise_to_melting_K = 620};

}  // namespace

TEST_CASE("groups of ISO/TR 15608 by their alloying") {
  // ISO/TR 15608 table 2 (recalled): 22.1 Al-Mn, 22.2 to 22.4 Al-Mg by rising magnesium, 23.1 Al-Mg-Si, 23.2 Al-Zn-Mg,
  // 24.1 Al-Si, 24.2 Al-Si-Mg, 25 Al-Si-Cu; 26 Al-Cu has no row in the tables of fillers.
  using enum AluminiumKind;
  const std::pair<const char*, AluminiumKind> groups[] = {
      {"21", pure},    {"22.1", manganese}, {"22.2", magnesium},  {"22.3", magnesium},     {"22.4", magnesium},
      {"23.1", mg_si}, {"23.2", zinc},      {"24.1", cast_al_si}, {"24.2", cast_al_si_mg}, {"25", cast_al_si_cu}};
  for (const auto& [group, kind] : groups) {
    const auto& this_group = group;
    CAPTURE(this_group);
    CHECK(aluminium_kind_of_group(group) == kind);
  }
  for (const char* other : {"1.2", "2", "22", "22.5", "26", ""}) CHECK_FALSE(aluminium_kind_of_group(other));
}

TEST_CASE("filler for 5083 to itself: a magnesium filler, and 4043 never") {
  const auto list = choose(between(AluminiumKind::magnesium, 4.5, AluminiumKind::magnesium, 4.5));
  REQUIRE_FALSE(list.empty());
  CHECK(list.front().filler == "5356");
  CHECK(has(list.front(), FillerReason::usual_choice));
  CHECK(list.back().filler == "4043");
  CHECK_FALSE(list.back().usable);
  CHECK(has(list.back(), FillerReason::brittle_silicide));
}

TEST_CASE("filler aims: strength, cracking, colour") {
  auto question = between(AluminiumKind::mg_si, 0.9, AluminiumKind::mg_si, 0.9);
  CHECK(choose(question).front().filler == "4043");
  question.aim = FillerAim::strength;
  CHECK(choose(question).front().filler == "5183");
  CHECK(has(choose(question).front(), FillerReason::strongest));
  question.aim = FillerAim::crack_resistance;
  CHECK(choose(question).front().filler == "4047");
  question.aim = FillerAim::colour_match;
  CHECK(choose(question).front().filler == "5356");
  CHECK(has(choose(question).back(), FillerReason::dark_after_anodising));
}

TEST_CASE("warm service bars the rich magnesium fillers") {
  auto question = between(AluminiumKind::magnesium, 2.7, AluminiumKind::magnesium, 2.7);
  question.service_C = 90;
  const auto list = choose(question);
  CHECK(list.front().filler == "5554");
  for (const auto& choice : list) CHECK(choice.usable == (choice.filler == "5554" || choice.filler == "4043"));
  CHECK(has(*std::ranges::find(list, std::string_view("4043"), &FillerChoice::filler), FillerReason::silicide_begins));
}

TEST_CASE("the pair may be given either way round; an unknown pair gives nothing") {
  CHECK(choose(between(AluminiumKind::zinc, 2, AluminiumKind::mg_si, 0.9)).front().filler ==
        choose(between(AluminiumKind::mg_si, 0.9, AluminiumKind::zinc, 2)).front().filler);
  CHECK(choose(between(AluminiumKind::copper, 0, AluminiumKind::zinc, 2)).empty());
}

TEST_CASE("judging the filler the user asks for") {
  const auto judge = [](std::string_view filler, const FillerQuestion& question) {
    return judge_filler(filler, question, catalog.filler_pairs, catalog.filler_traits, filler_limits(catalog));
  };
  const auto question = between(AluminiumKind::magnesium, 4.5, AluminiumKind::mg_si, 0.9);
  CHECK_FALSE(judge("4043", question)->usable);
  CHECK(judge("5183", question)->reasons.empty());
  CHECK(has(*judge("2319", question), FillerReason::not_listed));
  const auto unknown = judge("9999", question);
  REQUIRE_FALSE(unknown);
  CHECK(unknown.refusal().reason == RefusalReason::not_in_table);
}

TEST_CASE("every filler of the pair table has traits") {
  for (const auto& pair : catalog.filler_pairs) {
    for_each_item(pair.fillers, [](std::string_view name) {
      CHECK_MESSAGE(std::ranges::find(catalog.filler_traits, name, &FillerTraits::id) != catalog.filler_traits.end(),
                    name);
    });
  }
}

TEST_CASE("kinds by group, and the catalog's alloys within the limits of their kind") {
  CHECK(aluminium_kind_of_group("22.4") == AluminiumKind::magnesium);
  CHECK(aluminium_kind_of_group("23.2") == AluminiumKind::zinc);
  CHECK(aluminium_kind_of_group("2xxx") == AluminiumKind::copper);
  CHECK_FALSE(aluminium_kind_of_group("2"));
  CHECK_FALSE(aluminium_kind_of_group(""));
  for (const Alloy& alloy : catalog.alloys) {
    if (alloy.family != Family::aluminium) continue;
    const auto kind = aluminium_kind_of_group(alloy.group);
    REQUIRE(kind);
    const auto most = aluminium_temperatures(catalog.aluminium_temperatures, *kind, *kind);
    CHECK(static_cast<bool>(most) == (kind != AluminiumKind::copper));
    if (most) CHECK(alloy.interpass_max_C.value <= most->interpass_max_C);
  }
}

TEST_CASE("temperatures: the lower limits of a pair; 2xxx is not in the table") {
  const auto pair = aluminium_temperatures(catalog.aluminium_temperatures, AluminiumKind::mg_si, AluminiumKind::zinc);
  CHECK(pair->preheat_max_C == 100);
  CHECK(pair->interpass_max_C == 80);
  CHECK_FALSE(aluminium_temperatures(catalog.aluminium_temperatures, AluminiumKind::copper, AluminiumKind::magnesium));
}

TEST_CASE("hot cracking: 6082 without filler is found, with 4043 or 5356 it is not") {
  const Composition base = light(1.0, 0.9);
  const auto found = cracking_findings(base, cracking_ranges(catalog));
  CHECK(found ==
        std::vector{CrackingFinding::silicon, CrackingFinding::magnesium, CrackingFinding::magnesium_silicide});
  for (const auto& filler : {light(5.2, 0), light(0, 5.0)}) {
    CHECK(cracking_findings(mix(filler, base, 0.3, base, 0), cracking_ranges(catalog)).empty());
  }
  // So much of the base that the filler no longer reaches the safe range.
  CHECK_FALSE(cracking_findings(mix(light(5.2, 0), base, 0.85, base, 0), cracking_ranges(catalog)).empty());
  Composition copper;
  copper[Element::Cu] = 3;
  CHECK(cracking_findings(copper, cracking_ranges(catalog)) == std::vector{CrackingFinding::copper});
  CHECK(cracking_findings(light(0.1, 0.1), cracking_ranges(catalog)).empty());
}

TEST_CASE("softened width: between the pool and the thin-plate estimate, wider when the plate is warm") {
  const double width = *softened_half_width_mm(sheet, 20, 250);
  // Against the integral itself: the table's width is within 1 % of it, and the rise falls faster than in proportion.
  CHECK(peak_rise_K(sheet, 0.99 * width, 0) > 230);
  CHECK(peak_rise_K(sheet, 1.01 * width, 0) < 230);
  CHECK(*softened_half_width_mm(sheet, 100, 250) > width);
  PoolInput none = sheet;
  none.net_power_W = 0;
  CHECK(*softened_half_width_mm(none, 20, 250) == 0);
  const auto hot = softened_half_width_mm(sheet, 260, 250);
  REQUIRE_FALSE(hot);
  CHECK(hot.refusal().range.high == 250);
}

// What aluminium.hpp states, against the integral at the softening temperature.
TEST_CASE("softened width: the table's own accuracy in plates of every thickness") {
  for (const double thickness : {1.0, 2.5, 6.0, 12.0, 25.0})
    for (const double power : {1000.0, 2500.0, 7000.0})
      for (const double travel : {4.0, 9.0, 20.0}) {
        PoolInput plate = sheet;
        plate.thickness_mm = thickness, plate.net_power_W = power, plate.travel_mm_per_s = travel;
        PoolInput softening = plate;
        softening.rise_to_melting_K = 230;
        const double half_mm = 0.5 * pool_by_integral(softening, pool_width).width_mm;
        CAPTURE(thickness);
        CHECK(std::abs(*softened_half_width_mm(plate, 20, 250) - half_mm) <= 0.5 * std::max(0.01 * half_mm, 0.01));
      }
}
