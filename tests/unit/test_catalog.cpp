// The compiled-in catalog: look-ups, provenance, agreement with data/, and the faults its reader must find.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "catalog/catalog_columns.hpp"
#include "catalog/catalog_reader.hpp"
#include "seamwright/catalog.hpp"

using namespace seamwright;

namespace {

const Catalog& catalog() { return builtin_catalog(); }

std::string id_or_none(const auto* row) { return row ? std::string(row->id) : "none"; }

// Values of a column as text: two rows are equal when all their columns are.
std::string text_of(std::string_view value) { return std::string(value); }
std::string text_of(bool value) { return value ? "true" : "false"; }
std::string text_of(double value) { return fmt::format("{}", value); }
std::string text_of(SourceIndex value) { return fmt::format("{}", value); }
std::string text_of(const Constant& c) { return fmt::format("{} {} {}", c.value, c.half_width_90, c.source); }
std::string text_of(const Composition& c) { return fmt::format("{} {}", fmt::join(c.percent, " "), c.source); }
std::string text_of(Family value) { return std::string(family_key(value)); }
std::string text_of(Mode value) { return std::string(mode_key(value)); }
std::string text_of(C value) { return std::string(constraint_key(value)); }
std::string text_of(Strength value) { return std::string(strength_key(value)); }
std::string text_of(SourceKind value) { return std::string(source_kind_key(value)); }

std::vector<std::string> texts(const auto& row) {
  std::vector<std::string> out;
  visit_columns(row, [&](std::string_view column, const auto& member, const Rule&) {
    out.push_back(fmt::format("{} = {}", column, text_of(member)));
  });
  return out;
}

// Every constant of the catalog with where it stands.
void for_each_constant(const auto& visit) {
  const auto look = [&](const std::string& where, const auto& row) {
    visit_columns(row, [&](std::string_view column, const auto& member, const Rule&) {
      if constexpr (std::is_same_v<std::remove_cvref_t<decltype(member)>, Constant>)
        visit(fmt::format("{} {}", where, column), member);
    });
  };
  visit_tables(catalog(), [&](std::string_view kind, const auto& rows) {
    for (std::size_t i = 0; i < rows.size(); ++i) look(fmt::format("{} {}", kind, i), rows[i]);
  });
  look("limits", *catalog().limits);
  look("review", *catalog().review);
}

// No member may be missing from the column list: the visited members must fill the struct, alignment apart.
template <class Row>
void check_columns_fill() {
  const Row row{};
  const auto* const begin = reinterpret_cast<const char*>(&row);
  std::ptrdiff_t end = 0;
  visit_columns(row, [&](std::string_view column, const auto& member, const Rule&) {
    const std::ptrdiff_t at = reinterpret_cast<const char*>(&member) - begin;
    INFO(column);
    CHECK(at >= end);
    CHECK(at - end < 8);
    end = at + static_cast<std::ptrdiff_t>(sizeof(member));
  });
  CHECK(static_cast<std::ptrdiff_t>(sizeof(Row)) - end < 8);
}

Expected<CatalogData> overlaid(std::string_view text) {
  auto root = parse_toml(text, "own.toml");
  REQUIRE(root);
  std::vector<CatalogDocument> documents;
  documents.push_back({"own.toml", std::move(*root)});
  return overlay_catalog(catalog(), documents);
}

std::vector<CatalogDocument> data_documents() {
  auto documents = read_catalog_folder(SEAMWRIGHT_DATA_DIR);
  REQUIRE(documents);
  return std::move(*documents);
}

}  // namespace

TEST_CASE("alloys answer to EN, UNS, AISI and bare names, however they are spelt") {
  const std::vector<std::pair<const char*, const char*>> names = {
      {"S235", "S235"},
      {"s235 jr", "S235"},
      {"1.0038", "S235"},
      {"S355", "S355"},
      {"S355JR", "S355"},
      {"S355J2", "S355J2"},
      {"S355J2+N", "S355J2"},
      {"1.0577", "S355J2"},
      {"S275JR", "S275"},
      {"S275J0", "S275J2"},
      {"5086", "EN AW-5086"},
      {"A95456", "EN AW-5456"},
      {"1.0425", "P265GH"},
      {"API 5L X65", "X65"},
      {"galvanised", "DX51D"},
      {"zinc coated steel", "DX51D"},
      {"304L", "304L"},
      {"1.4307", "304L"},
      {"S30403", "304L"},
      {"AISI 316L", "316L"},
      {"1.4404", "316L"},
      {"S31603", "316L"},
      {"1.4541", "321"},
      {"1.4462", "2205"},
      {"S32205", "2205"},
      {"s31803", "2205"},
      {"1.4410", "2507"},
      {"S32750", "2507"},
      {"1.4501", "S32760"},
      {"5083", "EN AW-5083"},
      {"en_aw 5083", "EN AW-5083"},
      {"AlMg4.5Mn0.7", "EN AW-5083"},
      {"5754-H22", "EN AW-5754"},
      {"6082-T6", "EN AW-6082"},
      {"A96061", "EN AW-6061"},
      {"1050A", "EN AW-1050A"},
      {"N06625", "625"},
      {"2.4856", "625"},
      {"S690QL", "S690Q"},
      {"1.8928", "S690Q"},
      {"NV D36", "AH36"},
      {"ASTM A36", "A36"},
      {"SA516-70", "A516-70"},
      {"1.7335", "13CrMo4-5"},
      {"A335-P22", "10CrMo9-10"},
      {"A335-P91", "X10CrMoVNb9-1"},
      {"1.4903", "X10CrMoVNb9-1"},
      {"St 52-3", "S355"},
      {"AISI 4130", "25CrMo4"},
      {"N06022", "C-22"},
      {"2.4851", "601"},
      {"CW508L", "CuZn37"},
      {"group 6.4", "X10CrMoVNb9-1"},
      {"1.0330", "DC01"},
      {"1.4571", "316Ti"},
      {"N08904", "904L"},
      {"254SMO", "S31254"},
      {"3CR12", "1.4003"},
      {"1.4162", "S32101"},
      {"AlZn4.5Mg1", "EN AW-7020"},
      {"A356", "EN AC-42000"},
      {"N10276", "C-276"},
      {"C70600", "CuNi10Fe1Mn"},
      {"group 1.2", "S355"},
      {"Group 22.4", "EN AW-5083"},
      {"group 1.9", "none"},
      {"unobtainium", "none"},
      {"", "none"},
      {" - ", "none"},
  };
  for (const auto& row : names) {
    INFO(row.first);
    CHECK(id_or_none(find_alloy(catalog(), row.first)) == row.second);
  }
}

TEST_CASE("wires, gases and positions answer to their usual names") {
  CHECK(id_or_none(find_wire(catalog(), "ER70S-6")) == "G 3Si1");
  CHECK(id_or_none(find_wire(catalog(), "g3si1")) == "G 3Si1");
  CHECK(id_or_none(find_wire(catalog(), "308LSi")) == "19 9 L Si");
  CHECK(id_or_none(find_wire(catalog(), "309L")) == "23 12 L");
  CHECK(id_or_none(find_wire(catalog(), "ER316LSi")) == "19 12 3 L Si");
  CHECK(id_or_none(find_wire(catalog(), "19 12 3 L Si")) == "19 12 3 L Si");
  CHECK(id_or_none(find_wire(catalog(), "347")) == "19 9 Nb");
  CHECK(id_or_none(find_wire(catalog(), "2209")) == "22 9 3 N L");
  CHECK(id_or_none(find_wire(catalog(), "ER2594")) == "25 9 4 N L");
  CHECK(id_or_none(find_wire(catalog(), "5356")) == "S Al 5356");
  CHECK(id_or_none(find_wire(catalog(), "AlSi5")) == "S Al 4043A");
  CHECK(id_or_none(find_wire(catalog(), "ERNiCrMo-3")) == "S Ni 6625");
  CHECK(id_or_none(find_wire(catalog(), "CuSi3")) == "S Cu 6560");
  CHECK(id_or_none(find_wire(catalog(), "ER70S-3")) == "G 2Si1");
  CHECK(id_or_none(find_wire(catalog(), "ER80S-D2")) == "G 4Mo");
  CHECK(id_or_none(find_wire(catalog(), "ER110S-G")) == "G Mn3Ni1CrMo");
  CHECK(id_or_none(find_wire(catalog(), "E70C-6M")) == "T 46 M");
  CHECK(id_or_none(find_wire(catalog(), "ER309LMo")) == "23 12 2 L");
  CHECK(id_or_none(find_wire(catalog(), "5556")) == "S Al 5556A");
  CHECK(id_or_none(find_wire(catalog(), "ERNiCrMo-4")) == "S Ni 6276");
  CHECK(id_or_none(find_gas(catalog(), "Ar+20He+2N2")) == "N2-ArHeN-20/2");
  CHECK(id_or_none(find_gas(catalog(), "M21")) == "M21-ArC-18");
  CHECK(id_or_none(find_gas(catalog(), "82Ar/18CO2")) == "M21-ArC-18");
  CHECK(id_or_none(find_gas(catalog(), "ar")) == "I1");
  CHECK(id_or_none(find_gas(catalog(), "I3")) == "I3-ArHe-30");
  CHECK(id_or_none(find_gas(catalog(), "CO2")) == "C1");
  CHECK(id_or_none(find_position(catalog(), "1G")) == "PA");
  CHECK(id_or_none(find_position(catalog(), "2F")) == "PB");
  CHECK(id_or_none(find_position(catalog(), "4F")) == "PD");
  CHECK(id_or_none(find_position(catalog(), "3G-up")) == "PF");
  CHECK(id_or_none(find_position(catalog(), "6G")) == "H-L045");
  CHECK(id_or_none(find_metal(catalog(), "al-mg")) == "al-mg");
  CHECK(id_or_none(find_quality(catalog(), "b")) == "B");
  CHECK(find_wire(catalog(), "ER99") == nullptr);
}

TEST_CASE("every row is found by each of its own names") {
  const auto check = [](const auto& rows, const auto& find) {
    for (const auto& row : rows) {
      CHECK(find(catalog(), row.id) == &row);
      for_each_item(row.names, [&](std::string_view name) {
        INFO(name);
        CHECK(find(catalog(), name) == &row);
      });
    }
  };
  check(catalog().alloys, find_alloy);
  check(catalog().wires, find_wire);
  check(catalog().gases, find_gas);
  check(catalog().positions, find_position);
}

TEST_CASE("keys of the enumerations go both ways") {
  for (std::size_t i = 0; i < mode_count; ++i) {
    const auto mode = static_cast<Mode>(i);
    CHECK(mode_by_key(mode_key(mode)) == mode);
    CHECK(mode_info(catalog(), mode).id == mode);
  }
  for (std::size_t i = 0; i < element_count; ++i) {
    const auto element = static_cast<Element>(i);
    CHECK(element_by_symbol(element_symbol(element)) == element);
  }
  for (std::size_t i = 0; i < family_count; ++i)
    CHECK(family_by_key(family_key(Family{static_cast<std::uint8_t>(i)})) == Family{static_cast<std::uint8_t>(i)});
  CHECK(mode_by_key("short-arc") == Mode::short_arc);
  CHECK_FALSE(mode_by_key("globular"));
  CHECK_FALSE(element_by_symbol("cr"));
  CHECK(source_kind_by_key("open-data") == SourceKind::open_data);
  CHECK_FALSE(source_kind_by_key("rumour"));
}

TEST_CASE("the column lists leave no member out") {
  check_columns_fill<Source>();
  check_columns_fill<Metal>();
  check_columns_fill<Alloy>();
  check_columns_fill<MaterialGroup>();
  check_columns_fill<GradePreheatRow>();
  check_columns_fill<StartEndRow>();
  check_columns_fill<WireFamily>();
  check_columns_fill<WireSize>();
  check_columns_fill<Wire>();
  check_columns_fill<Gas>();
  check_columns_fill<Preparation>();
  check_columns_fill<Position>();
  check_columns_fill<ModeInfo>();
  check_columns_fill<QualityLevel>();
  check_columns_fill<Pairing>();
  check_columns_fill<Caution>();
  check_columns_fill<UnlikeFiller>();
  check_columns_fill<GlossaryWord>();
  check_columns_fill<FilterShadeRow>();
  check_columns_fill<HeatRange>();
  check_columns_fill<CoolingJointRow>();
  check_columns_fill<CompositionLimit>();
  check_columns_fill<NoPreheatRow>();
  check_columns_fill<MinimumPreheatRow>();
  check_columns_fill<SusceptibilityGroup>();
  check_columns_fill<SusceptibilityRow>();
  check_columns_fill<FillerPair>();
  check_columns_fill<FillerTraits>();
  check_columns_fill<AluminiumTemperatureRow>();
  check_columns_fill<QualificationRow>();
  check_columns_fill<QualifiedGroupRow>();
  check_columns_fill<ImperfectionRow>();
  check_columns_fill<TrialRow>();
  check_columns_fill<ReadingRow>();
  check_columns_fill<VerdictRow>();
  check_columns_fill<Limits>();
}

TEST_CASE("the tables compiled in are those of data/: no stale copy") {
  const auto data = read_catalog(data_documents());
  REQUIRE(data);
  const Catalog fresh = data->view();
  CHECK(fresh.version == catalog().version);
  std::map<std::string_view, std::vector<std::vector<std::string>>> embedded;
  visit_tables(catalog(), [&](std::string_view kind, const auto& rows) {
    for (const auto& row : rows) embedded[kind].push_back(texts(row));
  });
  std::size_t rows_seen = 0;
  visit_tables(fresh, [&](std::string_view kind, const auto& rows) {
    INFO(kind);
    REQUIRE(rows.size() == embedded[kind].size());
    for (std::size_t i = 0; i < rows.size(); ++i) CHECK(texts(rows[i]) == embedded[kind][i]);
    rows_seen += rows.size();
  });
  CHECK(rows_seen > 200);
  CHECK(texts(*fresh.limits) == texts(*catalog().limits));
  CHECK(texts(*fresh.review) == texts(*catalog().review));
}

TEST_CASE("every constant names its source and a kind that its file may claim") {
  std::set<SourceIndex> used;
  std::size_t constants = 0;
  for_each_constant([&](const std::string& where, const Constant& c) {
    INFO(where);
    ++constants;
    CHECK(std::isfinite(c.value));
    CHECK(c.half_width_90 >= 0);
    if (c.value != 0) CHECK(c.source != 0);
    CHECK(c.source < catalog().sources.size());
    used.insert(c.source);
  });
  CHECK(constants > 700);
  CHECK(used.size() > 50);
  std::set<SourceKind> kinds;
  for (const Source& source : catalog().sources) {
    kinds.insert(source.kind);
    INFO(source.key);
    // A guess must not look like a citation.
    if (source.key.starts_with("assumed-")) CHECK(source.kind == SourceKind::assumed);
    if (source.key.starts_with("recalled-")) CHECK(source.kind == SourceKind::memory);
    if (source.key.starts_with("practice-")) CHECK(source.kind == SourceKind::practice);
  }
  CHECK(kinds.size() == 7);
}

TEST_CASE("an interpolated size lies on the line between its known neighbours") {
  std::size_t checked = 0;
  for (const WireSize& size : catalog().wire_sizes) {
    visit_columns(size, [&](std::string_view column, const auto& member, const Rule&) {
      if constexpr (std::is_same_v<std::remove_cvref_t<decltype(member)>, Constant>) {
        if (source_of(catalog(), member.source).key != "size-interpolated") return;
        const WireSize* below = nullptr;
        const WireSize* above = nullptr;
        const auto known = [&](const WireSize& row) {
          Constant found;
          visit_columns(row, [&](std::string_view other, const auto& value, const Rule&) {
            if constexpr (std::is_same_v<std::remove_cvref_t<decltype(value)>, Constant>)
              if (other == column) found = value;
          });
          return found;
        };
        for (const WireSize& other : catalog().wire_sizes) {
          const Constant value = known(other);
          if (other.family != size.family || value.value == 0 ||
              source_of(catalog(), value.source).key == "size-interpolated")
            continue;
          if (other.diameter_mm < size.diameter_mm && (!below || other.diameter_mm > below->diameter_mm))
            below = &other;
          if (other.diameter_mm > size.diameter_mm && (!above || other.diameter_mm < above->diameter_mm))
            above = &other;
        }
        INFO(size.family, " ", size.diameter_mm, " ", column);
        REQUIRE(below);
        REQUIRE(above);
        const double share = (size.diameter_mm - below->diameter_mm) / (above->diameter_mm - below->diameter_mm);
        const double line = std::lerp(known(*below).value, known(*above).value, share);
        CHECK(std::abs(member.value - line) <= 0.5);  // written in whole amperes
        ++checked;
      }
    });
  }
  CHECK(checked >= 10);
}

TEST_CASE("the limits of wire sizes make sense together") {
  for (const WireSize& size : catalog().wire_sizes) {
    INFO(size.family, " ", size.diameter_mm);
    const auto positive_pair = [](const Constant& low, const Constant& high) {
      return (low.value == 0) == (high.value == 0) && low.value <= high.value;
    };
    CHECK(positive_pair(size.short_arc_min_A, size.short_arc_max_A));
    CHECK(positive_pair(size.controlled_dip_min_A, size.controlled_dip_max_A));
    CHECK(positive_pair(size.transition_A, size.spray_max_A));
    CHECK(size.controlled_dip_max_A.value >= size.short_arc_max_A.value);
    if (size.peak_current_A.value > 0) CHECK(size.peak_current_A.value > size.transition_A.value);
    CHECK(size.base_current_min_A.value > 0);
    // Thicker wire of the family needs more current.
    for (const WireSize& thicker : catalog().wire_sizes)
      if (thicker.family == size.family && thicker.diameter_mm > size.diameter_mm && thicker.transition_A.value > 0)
        CHECK(thicker.transition_A.value > size.transition_A.value);
  }
  CHECK(find_wire_size(catalog(), "carbon-steel", 1.2) != nullptr);
  CHECK(find_wire_size(catalog(), "carbon-steel", 1.2004) != nullptr);
  CHECK(find_wire_size(catalog(), "carbon-steel", 1.1) == nullptr);
  CHECK(find_wire_size(catalog(), "nickel", 0.6) == nullptr);
}

TEST_CASE("gases bear the symbol of ISO 14175 that their mixture has") {
  // ISO 14175 (recalled): the main groups by CO2 and O2 in argon.
  for (const Gas& gas : catalog().gases) {
    INFO(gas.id);
    const double co2 = gas.co2_percent, o2 = gas.oxygen_percent;
    const auto between = [](double x, double low, double high) { return x > low && x <= high; };
    std::string_view symbol = "I1";
    if (gas.nitrogen_percent > 0) {
      symbol = co2 + o2 > 0 ? "Z" : "N2";
    } else if (gas.hydrogen_percent > 0) {
      symbol = between(co2, 0.5, 5) ? "M11" : "R1";
    } else if (gas.argon_percent == 0) {
      symbol = co2 > 0 ? "C1" : "I2";
    } else if (co2 == 0 && o2 == 0) {
      symbol = gas.helium_percent > 0 ? "I3" : "I1";
    } else if (o2 == 0) {
      symbol = between(co2, 0.5, 5) ? "M12" : between(co2, 5, 15) ? "M20" : "M21";
    } else if (co2 == 0) {
      symbol = between(o2, 0.5, 3) ? "M13" : "M22";
    } else {
      const bool little_oxygen = between(o2, 0.5, 3);
      symbol = between(co2, 0.5, 5)  ? (little_oxygen ? "M14" : "M23")
               : between(co2, 5, 15) ? (little_oxygen ? "M24" : "M25")
                                     : (little_oxygen ? "M26" : "M27");
    }
    CHECK(gas.id.substr(0, gas.id.find('-')) == symbol);
  }
}

TEST_CASE("alloys lie inside their own limits and PREN divides the duplex grades") {
  for (const Alloy& alloy : catalog().alloys)
    for (std::size_t i = 0; i < element_count; ++i) {
      INFO(alloy.id, " ", element_symbol(static_cast<Element>(i)));
      if (alloy.maximum.percent[i] > 0) CHECK(alloy.typical.percent[i] <= alloy.maximum.percent[i]);
    }
  const auto pren = [](const Composition& c) {
    return c[Element::Cr] + 3.3 * (c[Element::Mo] + 0.5 * c[Element::W]) + 16.0 * c[Element::N];
  };
  // PREN of the typical compositions of a producer's brochure (How to weld duplex stainless steels).
  CHECK(pren(find_alloy(catalog(), "2205")->typical) == doctest::Approx(34.95).epsilon(0.001));
  CHECK(pren(find_alloy(catalog(), "2507")->typical) == doctest::Approx(42.52).epsilon(0.001));
  CHECK(pren(find_alloy(catalog(), "S32760")->typical) >= 40.0);
  CHECK(pren(find_wire(catalog(), "2594")->typical) >= 40.0);
}

TEST_CASE("an overlay changes the columns it names and adds whole rows") {
  const auto data = overlaid(R"(
[[source]]
key = "own-trials"
kind = "open-data"
title = "Trial welds in our own yard"
[[wire_family]]
id = "carbon-steel"
melt_dip_mm3_per_As = { value = 0.36, u90 = 0.02, source = "own-trials" }
[[gas]]
id = "yard mix"
names = "our bottle"
argon_percent = 88
co2_percent = 12
source = "own-trials"
[limits]
ambient_C = { value = 5, u90 = 5, source = "own-trials" }
)");
  REQUIRE(data);
  const Catalog own = data->view();
  CHECK(find_wire_family(own, "carbon-steel")->melt_dip_mm3_per_As.value == 0.36);
  CHECK(source_of(own, find_wire_family(own, "carbon-steel")->melt_dip_mm3_per_As.source).key == "own-trials");
  CHECK(find_wire_family(own, "carbon-steel")->melt_spray_mm3_per_As.value ==
        find_wire_family(catalog(), "carbon-steel")->melt_spray_mm3_per_As.value);
  CHECK(find_gas(own, "Our Bottle")->co2_percent == 12);
  CHECK(find_gas(catalog(), "our bottle") == nullptr);
  CHECK(own.limits->ambient_C.value == 5);
  CHECK(own.limits->drop_ratio.value == catalog().limits->drop_ratio.value);
  CHECK(own.sources.size() == catalog().sources.size() + 1);
}

TEST_CASE("every kind of bad row is refused with its place") {
  struct Bad {
    std::string_view text;
    int line, column;
    std::string_view message;
  };
  const std::vector<Bad> bad = {
      {"[[metl]]\nid = \"x\"", 1, 3, "unknown table 'metl'"},
      {"[metal]\nid = \"x\"", 1, 2, "'metal' must be written as [[metal]]"},
      {"[[metal]]\nid = \"nickel\"\nconductivty = 1", 3, 1, "unknown column 'conductivty'"},
      {"[[caution]]\nid = \"x\"\ntext = \"y\"", 1, 1, "a new row must be whole; missing: 'source'"},
      {"[[caution]]\nid = \"x\"\ntext = \"\"\nsource = \"practice-safety\"", 3, 8, "'text' is empty"},
      {"[[caution]]\nid = \"x\"\ntext = \"y\"\nsource = \"hearsay\"", 4, 10, "unknown source 'hearsay'"},
      {"[[caution]]\nid = \"x\"\ntext = \"y\"\nsource = \"none\"", 4, 10, "unknown source 'none'"},
      {"[[caution]]\nid = \"fire\"\ntext = 3", 3, 8, "'text' is a number, expected a string"},
      {"[[caution]]\nid = \"fire\"\n[[caution]]\nid = \"fire\"", 3, 1, "a second caution 'fire'"},
      {"[[metal]]\nid = \"nickel\"\nmelting_C = { value = 99, u90 = 1, source = \"recalled-melt\" }", 3, 23,
       "'melting_C' is 99, outside the sane range 400 to 1700"},
      {"[[metal]]\nid = \"nickel\"\nmelting_C = { value = nan, u90 = 1, source = \"recalled-melt\" }", 3, 23,
       "the value of 'melting_C' is not a number"},
      {"[[metal]]\nid = \"nickel\"\nmelting_C = { value = 1400, u90 = 0, source = \"recalled-melt\" }", 3, 35,
       "the half-width of 'melting_C' is not above 0"},
      {"[[metal]]\nid = \"nickel\"\nmelting_C = { value = 1400, u90 = -3, source = \"recalled-melt\" }", 3, 35,
       "the half-width of 'melting_C' is not above 0"},
      {"[[metal]]\nid = \"nickel\"\nmelting_C = { value = 1400, source = \"recalled-melt\" }", 3, 13,
       "'melting_C' needs one of u90, u90_rel, exact, carried_by"},
      {"[[metal]]\nid = \"nickel\"\nmelting_C = { value = 1400, u90 = 5 }", 3, 13, "'melting_C' has no source"},
      {"[[metal]]\nid = \"nickel\"\nmelting_C = { value = 1400, u90 = 5, sorce = \"x\", source = \"recalled-melt\" }",
       3, 38, "unknown key 'sorce' in 'melting_C'"},
      {"[[alloy]]\nid = \"S355\"\nfamily = \"tin\"", 3, 10, "unknown family 'tin'"},
      {"[[alloy]]\nid = \"S355\"\nmetal = \"tin\"", 3, 9, "'metal' names 'tin', which the catalog lacks"},
      {"[[alloy]]\nid = \"S355\"\nfillers = \"G 3Si1|glue\"", 3, 11, "'fillers' names 'glue', which the catalog lacks"},
      {"[[alloy]]\nid = \"S355\"\nnames = \"1.4404\"", 3, 9, "the name '1.4404' of 'S355' is already taken by '316L'"},
      {"[[alloy]]\nid = \"S355\"\ntypical = { Xx = 1, source = \"recalled-steel\" }", 3, 13,
       "unknown element 'Xx' in 'typical'"},
      {"[[alloy]]\nid = \"S355\"\ntypical = { C = -1, source = \"recalled-steel\" }", 3, 17,
       "C in 'typical' is not a percentage above 0"},
      {"[[wire]]\nid = \"G 3Si1\"\ngases = \"M21-ArC-18|air\"", 3, 9, "'gases' names 'air', which the catalog lacks"},
      {"[[wire]]\nid = \"G 3Si1\"\nfamily = \"string\"", 3, 10, "'family' names 'string', which the catalog lacks"},
      {"[[wire]]\nid = \"G 3Si1\"\ndiameters = \"1.2|1.1\"", 3, 13,
       "'diameters' names 1.1 mm, a size the family 'carbon-steel' lacks"},
      {"[[gas]]\nid = \"I1\"\nargon_percent = 90", 2, 6, "the parts of 'I1' add up to 90 %"},
      {"[[wire_size]]\nfamily = \"carbon-steel\"\ndiameter_mm = 1.2\n"
       "short_arc_min_A = { value = 300, u90 = 5, source = \"bitzky\" }",
       4, 19, "'short_arc_min_A' 300 is above 'short_arc_max_A' 220"},
      {"[limits]\nambient = 3", 2, 1, "unknown column 'ambient'"},
      {"[[mode]]\nid = \"globular\"", 2, 6, "unknown mode 'globular'"},
  };
  for (const Bad& row : bad) {
    INFO(row.text);
    const auto data = overlaid(row.text);
    REQUIRE_FALSE(data);
    const auto found = std::find_if(data.errors().begin(), data.errors().end(),
                                    [&](const Diagnostic& d) { return d.message == row.message; });
    INFO(data.errors().front().message);
    REQUIRE(found != data.errors().end());
    CHECK(found->place.file == "own.toml");
    CHECK(found->place.line == row.line);
    CHECK(found->place.column == row.column);
  }
}

TEST_CASE("a whole catalog may neither lack nor hoard") {
  const auto first_message = [](std::vector<CatalogDocument> documents) {
    const auto data = read_catalog(documents);
    return data ? std::string("no error") : data.errors().front().message;
  };
  const auto with = [&](std::string_view file, std::string_view text) {
    auto documents = data_documents();
    auto root = parse_toml(text, "more.toml");
    REQUIRE(root);
    if (!file.empty())
      documents.erase(std::remove_if(documents.begin(), documents.end(),
                                     [&](const CatalogDocument& d) { return d.name.ends_with(file); }),
                      documents.end());
    documents.push_back({"more.toml", std::move(*root)});
    return first_message(std::move(documents));
  };
  CHECK(first_message(data_documents()) == "no error");
  CHECK(with("", "[[source]]\nkey = \"idle\"\nkind = \"memory\"\ntitle = \"never cited\"") ==
        "the source 'idle' is used nowhere");
  CHECK(with("", "[limits]") == "a second [limits]");
  CHECK(with("", "[review]") == "a second [review]");
  CHECK(with("/review.toml", "") == "no [review]");
  CHECK(with("", "[[alloy]]\nid = \"S355\"") == "a second alloy 'S355'");
  CHECK(with("/modes.toml", "[[caution]]\nid = \"x\"\ntext = \"y\"\nsource = \"practice-safety\"") ==
        "no [[mode]] 'short-arc'");
  CHECK(read_catalog_folder("/nonexistent/folder").errors().size() == 1);
}
