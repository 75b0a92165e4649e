// Reads a procedure file. Everything in it is optional; what is left out is "not stated".
//
//   number = "WPS-06"
//   title  = "Butt welds in structural steel"
//   [joint]                            # type, preparation, position, backing: a word or a list of words;
//   type = ["butt"]                    # thickness, diameter, gap, root_face, angle, leg: a range
//   thickness = "8..20 mm"
//   [material]                         # alloy or group (ISO/TR 15608), preheat, interpass
//   group = ["1.1", "1.2"]
//   preheat = "20 C.."
//   [wire]                             # designation, diameter, extension
//   [gas]                              # designation, backing, flow
//   [process]                          # mode
//   [every]                            # ranges of any output key, in every pass
//   heat_input = "0.6..1.5 kJ/mm"
//   [root]                             # the same in passes of one kind: single, root, fill, cap
//   current = "110..160 A"
//   [pass.2]                           # the same in one pass, in welding order; role may say of which kind it is
//   wire_feed = "8.2..9.4 m/min"
//   weave_width = "8 mm"               # one number: how the torch is swung; a range is a limit like any other
//   [made]                             # of a lock file: program, data, inputs (a digest), trials (a list of titles)
//
// And a test piece, a flat file: standard, weld, runs, thickness, throat, heat_input, preheat, interpass, mode,
// position, group, gas, impact_required, impact_tested, hardness_required.
#include <algorithm>
#include <array>
#include <charconv>

#include "input/input_keys.hpp"
#include "input/pass_tables.hpp"
#include "input/value_reader.hpp"
#include "seamwright/procedure_input.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr double any = 1e9;

struct RangeTable {
  std::string_view name;
  std::optional<PassRole> role;
};
constexpr RangeTable range_tables[] = {{"every", std::nullopt},
                                       {"single", PassRole::single},
                                       {"root", PassRole::root},
                                       {"fill", PassRole::fill},
                                       {"cap", PassRole::cap}};
constexpr std::string_view containers[] = {"joint",  "material", "wire", "gas", "process", "every",
                                           "single", "root",     "fill", "cap", "pass",    "made"};
constexpr int most_passes = 10000;

// The tables to open: the fixed ones and one a pass.
std::vector<std::string> tables_of(const TomlValue& document) {
  std::vector<std::string> tables(std::begin(containers), std::end(containers));
  const TomlValue* passes = document.find("pass");
  if (passes != nullptr && passes->kind == TomlValue::Kind::table)
    for (const TomlMember& member : passes->members) tables.push_back(fmt::format("pass.{}", member.key));
  return tables;
}

template <class E>
std::vector<std::string_view> keys_of() {
  std::vector<std::string_view> out;
  for (const Word<E>& word : words_of<E>()) out.push_back(word.key);
  return out;
}

std::vector<std::string_view> known_words(const Catalog& catalog, ProcedureWord id) {
  switch (id) {
    case ProcedureWord::joint_type:
      return keys_of<JointType>();
    case ProcedureWord::preparation:
      return keys_of<PreparationType>();
    case ProcedureWord::backing:
      return keys_of<Backing>();
    case ProcedureWord::mode:
      return keys_of<Mode>();
    case ProcedureWord::position:
      return catalog_names(catalog, NameList::position);
    case ProcedureWord::alloy:
      return catalog_names(catalog, NameList::alloy);
    case ProcedureWord::wire:
      return catalog_names(catalog, NameList::wire);
    case ProcedureWord::gas:
    case ProcedureWord::backing_gas:
      return catalog_names(catalog, NameList::gas);
    case ProcedureWord::group:
    case ProcedureWord::count:
      break;
  }
  return {};
}

class ProcedureReader {
 public:
  ProcedureReader(const std::string& name, const Catalog& catalog) : name_(name), catalog_(catalog) {
    procedure_.file = name;
  }

  Expected<Procedure> read(const TomlValue& document) {
    constexpr std::size_t enough_errors = 100;
    const std::vector<std::string> tables = tables_of(document);
    const std::vector<std::string_view> views(tables.begin(), tables.end());
    for (const Entry& entry : flatten(document, name_, views))
      if (reader_.errors.size() < enough_errors) take(entry);
    if (!reader_.errors.empty()) return std::move(reader_.errors);
    for (ProcedureRange& r : procedure_.ranges)
      for (const auto& [pass, role] : roles_)
        if (r.pass == pass) r.role = role;
    return std::move(procedure_);
  }

 private:
  void take(const Entry& entry) {
    if (entry.path == "number") return static_cast<void>(procedure_.number = reader_.text(entry).value_or(""));
    if (entry.path == "title") return static_cast<void>(procedure_.title = reader_.text(entry).value_or(""));
    if (entry.path == "schema") return static_cast<void>(reader_.integer(entry, 1, 1));
    for (std::size_t i = 0; i < procedure_word_count; ++i)
      if (procedure_word(static_cast<ProcedureWord>(i)).key == entry.path)
        return take_words(entry, static_cast<ProcedureWord>(i));
    for (std::size_t i = 0; i < procedure_number_count; ++i) {
      const ProcedureVariableInfo& info = procedure_number(static_cast<ProcedureNumber>(i));
      if (info.key != entry.path) continue;
      if (const auto range = reader_.interval(entry, {info.unit, info.least, info.most}, true))
        procedure_.numbers[i] = {*range, entry.place};
      return;
    }
    if (take_made(entry)) return;
    if (entry.path.starts_with("pass.")) return take_pass(entry);
    if (entry.path == "material.preheat") return take_range(entry, "preheat", std::nullopt);
    if (entry.path == "material.interpass") return take_range(entry, "interpass", std::nullopt);
    for (const RangeTable& table : range_tables)
      if (entry.path.size() > table.name.size() + 1 && entry.path.starts_with(table.name) &&
          entry.path[table.name.size()] == '.')
        return take_range(entry, std::string_view(entry.path).substr(table.name.size() + 1), table.role);
    unknown(entry);
  }

  void take_words(const Entry& entry, ProcedureWord id) {
    procedure_.words[static_cast<std::size_t>(id)] = {words_of_entry(entry, id), entry.place};
  }
  std::vector<std::string> words_of_entry(const Entry& entry, ProcedureWord id) {
    const std::vector<std::string_view> known = known_words(catalog_, id);
    return texts_of_entry(entry, [&](const Entry& item, std::string_view text) {
      if (known.empty() ||
          std::any_of(known.begin(), known.end(), [&](std::string_view word) { return same_name(word, text); }))
        return true;
      reader_.unknown_word(item, text, known);
      return false;
    });
  }
  // A text, or a list of them: those that `accepted` takes; it says what is wrong with the others.
  template <class Accepted>
  std::vector<std::string> texts_of_entry(const Entry& entry, Accepted accepted) {
    std::vector<std::string> texts;
    const auto take_one = [&](const TomlValue& value) {
      const Entry item{entry.path, &value, {name_, value.line, value.column}, entry.key_place};
      const auto text = reader_.text(item);
      if (text && accepted(item, *text)) texts.emplace_back(*text);
    };
    if (entry.value->kind == TomlValue::Kind::array)
      for (const TomlValue& value : entry.value->items) take_one(value);
    else
      take_one(*entry.value);
    if (texts.empty() && reader_.errors.empty())
      reader_.fail(entry.place, fmt::format("{} is an empty list", entry.path),
                   "leave the key out when it is not stated");
    return texts;
  }

  bool take_made(const Entry& entry) {
    if (entry.path == "made.trials") {
      procedure_.made.trials = texts_of_entry(entry, [](const Entry&, std::string_view) { return true; });
      return true;
    }
    const std::pair<std::string_view, std::string*> keys[] = {{"made.program", &procedure_.made.program},
                                                              {"made.data", &procedure_.made.data},
                                                              {"made.inputs", &procedure_.made.inputs}};
    for (const auto& [key, target] : keys) {
      if (entry.path != key) continue;
      *target = reader_.text(entry).value_or("");
      return true;
    }
    return false;
  }

  // "pass.2.wire_feed"
  void take_pass(const Entry& entry) {
    const std::string_view rest = std::string_view(entry.path).substr(std::string_view("pass.").size());
    const std::size_t dot = rest.find('.');
    const std::string_view digits = rest.substr(0, dot);
    int pass = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), pass);
    if (error != std::errc() || end != digits.data() + digits.size() || pass < 1 || pass > most_passes)
      return reader_.fail(entry.key_place, fmt::format("'{}' is no number of a pass", digits),
                          "passes count from 1, in welding order: write [pass.2]");
    if (dot == std::string_view::npos)
      return reader_.fail(entry.place, fmt::format("{} is a table of keys, not a value", entry.path),
                          fmt::format("write [{}] and its keys below it", entry.path));
    const std::string_view key = rest.substr(dot + 1);
    for (const ProcedureWord id :
         {ProcedureWord::mode, ProcedureWord::wire, ProcedureWord::gas, ProcedureWord::position})
      if (pass_key_of(procedure_word(id).key) == key)
        return static_cast<void>(procedure_.pass_words.push_back({pass, id, {words_of_entry(entry, id), entry.place}}));
    for (const ProcedureNumber id :
         {ProcedureNumber::wire_diameter, ProcedureNumber::extension, ProcedureNumber::gas_flow}) {
      const ProcedureVariableInfo& info = procedure_number(id);
      if (pass_key_of(info.key) != key) continue;
      if (const auto range = reader_.interval(entry, {info.unit, info.least, info.most}, true))
        procedure_.pass_numbers.push_back({pass, id, {*range, entry.place}});
      return;
    }
    if (key != "role") return take_range(entry, key, std::nullopt, pass);
    const auto text = reader_.text(entry);
    if (!text) return;
    std::vector<std::string_view> known;
    for (const PassRole role : {PassRole::single, PassRole::root, PassRole::fill, PassRole::cap}) {
      known.push_back(pass_role_key(role));
      if (pass_role_key(role) == *text) return static_cast<void>(roles_.emplace_back(pass, role));
    }
    reader_.unknown_word(entry, *text, known);
  }

  // A weave may become the joint's own, and is bounded like that.
  static NumberRule rule_of(F id) {
    NumberRule rule{field(id).unit, -any, any};
    if (id != F::weave_width && id != F::weave_dwell) return rule;
    for (const KeyRow& row : key_rows())
      if (row.path == joint_path_of(field(id).key)) rule.high = row.rule.high;
    rule.low = 0;
    return rule;
  }

  void take_range(const Entry& entry, std::string_view key, std::optional<PassRole> role, int pass = 0) {
    const auto id = field_by_key(key);
    if (!id) {
      std::vector<std::string> paths;
      const std::string table = entry.path.substr(0, entry.path.size() - key.size() - 1);
      for (const FieldInfo& info : fields()) paths.push_back(fmt::format("{}.{}", table, info.key));
      const std::vector<std::string_view> known(paths.begin(), paths.end());
      return reader_.unknown_key(entry, known, "help procedures");
    }
    if (const auto range = reader_.interval(entry, rule_of(*id), true))
      procedure_.ranges.push_back({*id, role, *range, entry.place, pass});
  }

  void unknown(const Entry& entry) {
    if (std::find(std::begin(containers), std::end(containers), entry.path) != std::end(containers))
      return reader_.fail(entry.place, fmt::format("{} is a table of keys, not a value", entry.path),
                          fmt::format("write [{}] and its keys below it", entry.path));
    std::vector<std::string_view> known = {
        "number",       "title",     "schema",      "material.preheat", "material.interpass",
        "made.program", "made.data", "made.inputs", "made.trials"};
    known.insert(known.end(), std::begin(containers), std::end(containers));
    for (std::size_t i = 0; i < procedure_word_count; ++i)
      known.push_back(procedure_word(static_cast<ProcedureWord>(i)).key);
    for (std::size_t i = 0; i < procedure_number_count; ++i)
      known.push_back(procedure_number(static_cast<ProcedureNumber>(i)).key);
    reader_.unknown_key(entry, known, "help procedures");
  }

  const std::string& name_;
  const Catalog& catalog_;
  Procedure procedure_;
  std::vector<std::pair<int, PassRole>> roles_;  // of passes by number
  ValueReader reader_;
};

class TestPieceReader {
 public:
  TestPieceReader(const std::string& name, const Catalog& catalog) : name_(name), catalog_(catalog) {}

  Expected<TestPiece> read(const TomlValue& document) {
    bool thickness = false;
    for (const Entry& entry : flatten(document, name_, {})) {
      take(entry);
      thickness = thickness || entry.path == "thickness";
    }
    if (reader_.errors.empty() && !thickness)
      reader_.fail({name_, 0, 0}, "thickness is missing", "write thickness = \"10 mm\"");
    if (!reader_.errors.empty()) return std::move(reader_.errors);
    return piece_;
  }

 private:
  template <class E>
  void choose(const Entry& entry, E& target, std::span<const E> values, std::string_view (*key)(E)) {
    const auto text = reader_.text(entry);
    if (!text) return;
    std::vector<std::string_view> known;
    for (const E value : values) {
      known.push_back(key(value));
      if (key(value) == *text) {
        target = value;
        return;
      }
    }
    reader_.unknown_word(entry, *text, known);
  }
  void number(const Entry& entry, double& target, const NumberRule& rule) {
    target = reader_.number(entry, rule).value_or(target);
  }

  // One or two digits, and a digit for the sub-group: "1.2", "11".
  void take_group(const Entry& entry) {
    const auto text = reader_.text(entry);
    if (!text) return;
    const auto digits = [](std::string_view part, std::size_t most) {
      return !part.empty() && part.size() <= most &&
             std::all_of(part.begin(), part.end(), [](char c) { return c >= '0' && c <= '9'; });
    };
    const std::string_view group = *text;
    const auto dot = group.find('.');
    if (digits(group.substr(0, dot), 2) && (dot == std::string_view::npos || digits(group.substr(dot + 1), 1)))
      piece_.group = *text;
    else
      reader_.fail(entry.place, fmt::format("'{}' is no group of ISO/TR 15608", *text), "write group = \"1.2\"");
  }

  void take(const Entry& entry) {
    constexpr QualificationStandard standards[] = {QualificationStandard::iso_15614_1_level_2,
                                                   QualificationStandard::iso_15614_2};
    constexpr QualifiedWeld welds[] = {QualifiedWeld::butt, QualifiedWeld::fillet};
    constexpr Runs runs[] = {Runs::single, Runs::multi};
    const std::string& key = entry.path;
    if (key == "standard") {
      choose<QualificationStandard>(entry, piece_.standard, standards, qualification_standard_key);
    } else if (key == "weld") {
      choose<QualifiedWeld>(entry, piece_.weld, welds, qualified_weld_key);
    } else if (key == "runs") {
      choose<Runs>(entry, piece_.runs, runs, runs_key);
    } else if (key == "thickness") {
      number(entry, piece_.thickness_mm, {"mm", 0.5, 500});
    } else if (key == "throat") {
      number(entry, piece_.throat_mm, {"mm", 0.5, 100});
    } else if (key == "heat_input") {
      number(entry, piece_.heat_input_kJ_per_mm, {"kJ/mm", 0.01, 20});
    } else if (key == "preheat") {
      number(entry, piece_.preheat_C, {"degC", -40, 400});
    } else if (key == "interpass") {
      number(entry, piece_.interpass_C, {"degC", -40, 500});
    } else if (key == "mode") {
      piece_.mode = reader_.word<Mode>(entry).value_or(piece_.mode);
    } else if (key == "position") {
      const auto text = reader_.text(entry);
      const Position* position = text ? find_position(catalog_, *text) : nullptr;
      if (position != nullptr)
        piece_.position = position->id;
      else if (text)
        reader_.unknown_word(entry, *text, catalog_names(catalog_, NameList::position));
    } else if (key == "group") {
      take_group(entry);
    } else if (key == "gas") {
      const auto text = reader_.text(entry);
      piece_.gas = text ? find_gas(catalog_, *text) : nullptr;
      if (text && piece_.gas == nullptr) reader_.unknown_word(entry, *text, catalog_names(catalog_, NameList::gas));
    } else if (key == "impact_required") {
      piece_.impact_required = reader_.boolean(entry).value_or(false);
    } else if (key == "impact_tested") {
      piece_.impact_tested = reader_.boolean(entry).value_or(false);
    } else if (key == "hardness_required") {
      piece_.hardness_required = reader_.boolean(entry).value_or(false);
    } else if (key == "schema") {
      static_cast<void>(reader_.integer(entry, 1, 1));
    } else {
      constexpr std::string_view known[] = {
          "standard",         "weld", "runs",     "thickness", "throat", "heat_input",      "preheat",
          "interpass",        "mode", "position", "group",     "gas",    "impact_required", "impact_tested",
          "hardness_required"};
      reader_.unknown_key(entry, known);
    }
  }

  const std::string& name_;
  const Catalog& catalog_;
  TestPiece piece_;
  ValueReader reader_;
};

}  // namespace

Expected<Procedure> read_procedure_text(std::string_view text, const std::string& name, const Catalog& catalog) {
  return read_text_with<ProcedureReader, Procedure>(text, name, catalog);
}
Expected<Procedure> read_procedure(const std::string& path, const Catalog& catalog) {
  const auto text = read_text_file(path, max_input_bytes);
  if (!text) return text.errors();
  return read_procedure_text(*text, path, catalog);
}
Expected<TestPiece> read_test_piece_text(std::string_view text, const std::string& name, const Catalog& catalog) {
  return read_text_with<TestPieceReader, TestPiece>(text, name, catalog);
}
Expected<TestPiece> read_test_piece(const std::string& path, const Catalog& catalog) {
  const auto text = read_text_file(path, max_input_bytes);
  if (!text) return text.errors();
  return read_test_piece_text(*text, path, catalog);
}

}  // namespace seamwright
