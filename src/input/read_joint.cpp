#include <algorithm>
#include <array>
#include <cmath>

#include "input/input_keys.hpp"
#include "input/joint_entries.hpp"
#include "input/pass_tables.hpp"
#include "seamwright/section.hpp"
#include "text/nearest_word.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr std::string_view joint_containers[] = {"joint",
                                                 "material",
                                                 "material.composition",
                                                 "wire",
                                                 "gas",
                                                 "gas.composition",
                                                 "process",
                                                 "modulation",
                                                 "limits",
                                                 "lock",
                                                 "lock.weight",
                                                 "lock.accuracy",
                                                 "setting",
                                                 "setting.dial",
                                                 "pass",
                                                 "pass.root",
                                                 "pass.hot",
                                                 "pass.fill",
                                                 "pass.cap",
                                                 "pass.back",
                                                 "pass.#",
                                                 "pass.root.limits",
                                                 "pass.hot.limits",
                                                 "pass.fill.limits",
                                                 "pass.cap.limits",
                                                 "pass.back.limits",
                                                 "pass.#.limits",
                                                 "pass.root.gas_composition",
                                                 "pass.hot.gas_composition",
                                                 "pass.fill.gas_composition",
                                                 "pass.cap.gas_composition",
                                                 "pass.back.gas_composition",
                                                 "pass.#.gas_composition"};
bool is_container(std::string_view path) {
  return std::find(std::begin(joint_containers), std::end(joint_containers), path) != std::end(joint_containers);
}
constexpr std::string_view gas_components[] = {"Ar", "CO2", "O2", "He", "N2", "H2"};
constexpr double whole_percent = 100, percent_slack = 0.5;  // slack for rounded analyses

bool is_gas_component(std::string_view name) {
  return std::find(std::begin(gas_components), std::end(gas_components), name) != std::end(gas_components);
}

// What a key path below one of the free tables ("limits.", ...) is called, empty when it is not below it.
std::string_view below(std::string_view path, std::string_view table) {
  const bool is_below =
      path.size() > table.size() + 1 && path.substr(0, table.size()) == table && path[table.size()] == '.';
  return is_below ? path.substr(table.size() + 1) : std::string_view{};
}

// Keys below the free tables, in full.
std::span<const std::string_view> paths_below(std::string_view table) {
  struct Paths {
    std::vector<std::string> texts;
    std::vector<std::string_view> views;
    void add(std::string_view table, std::string_view key) { texts.push_back(fmt::format("{}.{}", table, key)); }
    void close() { views.assign(texts.begin(), texts.end()); }
  };
  static const auto all = [] {
    std::array<Paths, 3> list;
    for (const FieldInfo& info : fields()) list[0].add("limits", info.key);
    for (std::size_t i = 0; i < element_count; ++i)
      list[1].add("material.composition", element_symbol(static_cast<Element>(i)));
    for (const std::string_view gas : gas_components) list[2].add("gas.composition", gas);
    for (Paths& paths : list) paths.close();
    return list;
  }();
  return all[table == "limits" ? 0 : table == "material.composition" ? 1 : 2].views;
}

const KeyRow* find_key(std::string_view path) {
  const auto row =
      std::find_if(key_rows().begin(), key_rows().end(), [&](const KeyRow& known) { return known.path == path; });
  return row == key_rows().end() ? nullptr : &*row;
}

class JointReader {
 public:
  // Reads into `joint`.
  JointReader(const std::string& name, const Catalog& catalog, Joint& joint) : catalog_(catalog), joint_(joint) {
    static const Joint blank;
    joint_ = blank;
    joint_.name = name;
  }

  Diagnostics read(std::span<const Entry* const> entries) {
    take_each(entries);
    sort_passes(joint_);
    check_sums();
    check_required(entries);
    if (reader_.errors.empty()) check_contradictions();
    return std::move(reader_.errors);
  }
  Diagnostics read_each(std::span<const Entry* const> entries) {
    take_each(entries);
    return std::move(reader_.errors);
  }

 private:
  void take_each(std::span<const Entry* const> entries) {
    constexpr std::size_t enough_errors = 100;
    for (const Entry* entry : entries)
      if (reader_.errors.size() < enough_errors) take(*entry);
  }

  // --- single keys ---------------------------------------------------------------------------------------------------
  void take(const Entry& entry) {
    if (const auto key = below(entry.path, "limits"); !key.empty()) return take_limit(entry, key, joint_);
    if (const auto key = below(entry.path, "material.composition"); !key.empty()) return take_element(entry, key);
    if (const auto key = below(entry.path, "gas.composition"); !key.empty())
      return take_gas_component(entry, key, joint_);
    if (const auto key = below(entry.path, "pass"); !key.empty()) return take_pass(entry, key);
    if (const auto name = below(entry.path, "setting.dial"); !name.empty()) return take_dial(entry, name);
    if (const KeyRow* row = find_key(entry.path))
      return std::visit([&](auto target) { store(entry, *row, target, joint_); }, row->target);
    if (is_container(entry.path)) {
      reader_.fail(entry.place, fmt::format("{} is a table of keys, not a value", entry.path),
                   fmt::format("write [{}] and its keys below it", entry.path));
      return;
    }
    std::vector<std::string_view> known;
    for (const KeyRow& row : key_rows()) known.push_back(row.path);
    if (entry.value->kind == TomlValue::Kind::table && entry.path.find('.') == std::string::npos)
      known.assign(std::begin(joint_containers), std::end(joint_containers));
    reader_.unknown_key(entry, known);
  }

  // "root.mode", of [pass.root]: the key of the joint, kept for that pass.
  void take_pass(const Entry& entry, std::string_view below_pass) {
    const auto path = read_pass_path(below_pass);
    if (!path) return unknown_pass(entry, below_pass.substr(0, below_pass.find('.')));
    if (path->key.empty())
      return reader_.fail(entry.place, fmt::format("{} is a table of keys, not a value", entry.path),
                          fmt::format("write [{}] and its keys below it", entry.path));
    const auto limit = below(path->key, "limits"), part_of_gas = below(path->key, "gas_composition");
    const std::string_view of_joint = joint_path_of(path->key);
    if (path->key == "limits" || path->key == "gas_composition")
      return reader_.fail(entry.place, fmt::format("{} is a table of keys, not a value", entry.path),
                          fmt::format("write [{}] and its keys below it", entry.path));
    if (limit.empty() && part_of_gas.empty() && of_joint.empty())
      return reader_.unknown_key(entry, known_keys_of_pass(entry.path).views);
    ProcessInput& says = pass_table(joint_, path->kind, path->number, entry.key_place).says;
    if (!limit.empty()) return take_limit(entry, limit, says);
    if (!part_of_gas.empty()) return take_gas_component(entry, part_of_gas, says);
    const KeyRow* row = find_key(of_joint);
    std::visit([&](auto target) { store(entry, *row, target, says); }, row->target);
  }
  void unknown_pass(const Entry& entry, std::string_view name) {
    std::vector<std::string_view> known;
    for (const PassWord& word : pass_words()) known.push_back(word.key);
    const std::string_view near = nearest_word(name, known);
    const bool number = !name.empty() && name.find_first_not_of("0123456789") == std::string_view::npos;
    reader_.fail(
        entry.key_place, fmt::format("'{}' is no pass", text_start(name, longest_name)),
        number ? fmt::format("passes count from 1 to {}, in welding order", most_pass_number)
               : fmt::format("{}passes are {}, or a number counted from 1: [pass.2]",
                             near.empty() ? "" : fmt::format("did you mean '{}'? ", near), fmt::join(known, ", ")));
  }
  static constexpr std::size_t longest_name = 40;
  // The keys of the table that a path stands in.
  struct KnownKeys {
    std::vector<std::string> texts;
    std::vector<std::string_view> views;
  };
  static KnownKeys known_keys_of_pass(std::string_view path) {
    const std::string_view table = path.substr(0, path.find('.', path.find('.') + 1));
    KnownKeys known;
    for (const PassKey& key : pass_keys()) known.texts.push_back(fmt::format("{}.{}", table, key.key));
    known.texts.push_back(fmt::format("{}.limits", table));
    known.views.assign(known.texts.begin(), known.texts.end());
    return known;
  }

  // What stands in the joint, and what in the table of a pass: it has the keys of the process alone.
  template <class T>
  static Given<T>& place_in(Joint& joint, Given<T> Joint::*member) {
    return joint.*member;
  }
  template <class T>
  static Given<T>& place_in(ProcessInput& says, Given<T> Joint::*member) {
    return says.*static_cast<Given<T> ProcessInput::*>(member);
  }

  template <class T, class Holder>
  void keep(const Entry& entry, Given<T> Joint::*member, std::optional<T> value, Holder& holder) {
    if (value) place_in(holder, member) = {std::move(value), entry.place};
  }
  template <class Holder>
  void store(const Entry& entry, const KeyRow& row, std::monostate, Holder&) {
    if (row.path == "schema")
      static_cast<void>(reader_.integer(entry, 1, 1));
    else
      reader_.fail(entry.place,
                   fmt::format("{} is {}, expected a table", entry.path, toml_kind_label(entry.value->kind)),
                   fmt::format("write {}", row.accepts));
  }
  template <class Holder>
  void store(const Entry& entry, const KeyRow& row, Given<double> Joint::*member, Holder& holder) {
    keep(entry, member, reader_.number(entry, row.rule), holder);
  }
  template <class Holder>
  void store(const Entry& entry, const KeyRow& row, Given<int> Joint::*member, Holder& holder) {
    keep(entry, member, reader_.integer(entry, static_cast<int>(row.rule.low), static_cast<int>(row.rule.high)),
         holder);
  }
  template <class Holder>
  void store(const Entry& entry, const KeyRow&, Given<bool> Joint::*member, Holder& holder) {
    keep(entry, member, reader_.boolean(entry), holder);
  }
  template <class Holder>
  void store(const Entry& entry, const KeyRow& row, Given<Interval> Joint::*member, Holder& holder) {
    keep(entry, member, reader_.interval(entry, row.rule, false), holder);
  }
  template <class Holder>
  void store(const Entry& entry, const KeyRow& row, Given<std::string> Joint::*member, Holder& holder) {
    const auto text = reader_.text(entry);
    if (!text) return;
    if (!catalog_knows(catalog_, row.names, *text)) return unknown_name(entry, row.names, *text);
    place_in(holder, member).value = *text;
    place_in(holder, member).place = entry.place;
  }
  template <class E, class Holder>
  void store(const Entry& entry, const KeyRow&, Given<E> Joint::*member, Holder& holder) {
    keep(entry, member, reader_.word<E>(entry), holder);
  }

  // Names of the catalog: near misses, names that hold the given one or are held by it, or the ids when they are few.
  void unknown_name(const Entry& entry, NameList list, std::string_view given) {
    constexpr std::size_t shortest_part = 3, few = 12;
    const auto known = catalog_names(catalog_, list);
    std::vector<std::string_view> near;
    const auto add = [&](std::string_view name) {
      if (near.size() < 4 && std::find(near.begin(), near.end(), name) == near.end()) near.push_back(name);
    };
    if (const auto word = nearest_word(given, known); !word.empty()) add(word);
    for (const std::string_view name : known)
      if ((name.size() >= shortest_part && given.find(name) != std::string::npos) ||
          (given.size() >= shortest_part && name.find(given) != std::string_view::npos))
        add(name);
    std::string help;
    if (!near.empty())
      help = fmt::format("did you mean {}?", fmt::join(near, ", "));
    else if (known.size() <= few)
      help = fmt::format("known: {}", fmt::join(known, ", "));
    else
      help = fmt::format("'seamwright catalog {}' lists them", catalog_table(list));
    reader_.fail(entry.place, fmt::format("{} '{}' is not in the catalog", entry.path, given), std::move(help));
  }

  void take_limit(const Entry& entry, std::string_view key, ProcessInput& holder) {
    const auto id = field_by_key(key);
    if (!id) return reader_.unknown_key(entry, paths_below("limits"));
    constexpr double any = 1e9;
    const auto range = reader_.interval(entry, {field(*id).unit, -any, any}, true);
    if (!range) return;
    if (range->low == range->high) {
      reader_.fail(
          entry.place, fmt::format("{} is one value, expected a range", entry.path),
          fmt::format("write \"..{0}\" for at most, \"{0}..\" for at least", with_unit(range->high, field(*id).unit)));
      return;
    }
    holder.limits.push_back({*id, *range, entry.place});
  }

  void take_dial(const Entry& entry, std::string_view name) {
    if (const auto reading = reader_.number(entry, {"", -largest_dial_number, largest_dial_number}))
      joint_.setting_dials.push_back({std::string(name), *reading, entry.place});
  }

  void take_element(const Entry& entry, std::string_view key) {
    const auto element = element_by_symbol(key);
    if (!element) {
      reader_.fail(entry.key_place, fmt::format("'{}' is not an element of an analysis", key), "write the symbol: Cr");
      return;
    }
    if (const auto percent = reader_.number(entry, {"%", 0, whole_percent}))
      joint_.composition.emplace_back(*element, *percent);
    if (element_place_.file.empty()) element_place_ = entry.place;
  }

  void take_gas_component(const Entry& entry, std::string_view key, ProcessInput& holder) {
    if (!is_gas_component(key)) {
      reader_.fail(entry.key_place, fmt::format("'{}' is not a component of a shielding gas", key),
                   fmt::format("known: {}", fmt::join(gas_components, ", ")));
      return;
    }
    if (const auto percent = reader_.number(entry, {"%", 0, whole_percent}))
      holder.gas_composition.emplace_back(std::string(key), *percent);
    if (holder.gas_composition_place.file.empty()) holder.gas_composition_place = entry.place;
  }

  void check_sums() {
    double elements = 0;
    for (const auto& [element, percent] : joint_.composition) elements += percent;
    if (elements > whole_percent + percent_slack)
      reader_.fail(element_place_, fmt::format("material.composition adds up to {:.4g} %", elements),
                   "it can be at most 100 %");
    check_gas_sum(joint_, "gas.composition");
    for (const PassTable& table : joint_.passes)
      check_gas_sum(table.says, fmt::format("{}.gas_composition", pass_table_name(table)));
  }
  void check_gas_sum(const ProcessInput& says, std::string_view name) {
    double gases = 0;
    for (const auto& [gas, percent] : says.gas_composition) gases += percent;
    if (!says.gas_composition.empty() && std::fabs(gases - whole_percent) > percent_slack)
      reader_.fail(says.gas_composition_place, fmt::format("{} adds up to {:.4g} %", name, gases),
                   "its components must add up to 100 %");
  }

  void check_required(std::span<const Entry* const> entries) {
    for (const auto* path : {"joint.type", "joint.thickness", "material.alloy"}) {
      const bool given = std::any_of(entries.begin(), entries.end(), [&](const Entry* e) { return e->path == path; });
      if (given || (path == std::string_view("material.alloy") && !joint_.composition.empty())) continue;
      const auto keys = input_keys();
      const auto info = std::find_if(keys.begin(), keys.end(), [&](const InputKeyInfo& k) { return k.path == path; });
      reader_.fail({joint_.name, 0, 0}, fmt::format("{} is missing", path), fmt::format("expected {}", info->accepts));
    }
  }

  // --- keys against each other ---------------------------------------------------------------------------------------
  // " (line 5)"; nothing where the place is a key that `told` names already.
  static std::string in_brackets(const Place& place, std::string_view told) {
    const std::string at = where(place);
    return at.empty() || told.find(at) != std::string_view::npos ? std::string() : fmt::format(" ({})", at);
  }
  template <class T>
  void refuse(std::string_view path, const Given<T>& given, std::string_view why, const Place& other,
              std::string help = {}) {
    reader_.fail(given.place, fmt::format("{} {}{}", path, why, in_brackets(other, why)), std::move(help));
  }
  // `path` means nothing because of the value of another key, which `because` names.
  template <class T, class U, class Because>
  void exclude(std::string_view path, const Given<T>& given, Because because, const Given<U>& other) {
    if (given)
      refuse(path, given, fmt::format("does not go with {}", because()), other.place, "leave one of the two out");
  }

  void check_contradictions() {
    check_joint_type();
    check_sizes();
    check_preparation();
    check_process();
  }

  void check_joint_type() {
    const Joint& j = joint_;
    const JointType type = *j.type;
    const bool pipe = type == JointType::pipe_butt, butt = pipe || type == JointType::butt;
    const bool grooved = butt || type == JointType::corner || type == JointType::edge;
    const auto because = [&] { return fmt::format("joint.type = \"{}\"", joint_type_key(type)); };
    if (!grooved) {
      exclude("joint.preparation", j.preparation, because, j.type);
      exclude("joint.root_face", j.root_face_mm, because, j.type);
      exclude("joint.angle", j.angle_deg, because, j.type);
      if (j.backing && *j.backing != Backing::none) exclude("joint.backing", j.backing, because, j.type);
    }
    if (butt || type == JointType::overlay) {
      exclude("joint.leg", j.leg_mm, because, j.type);
      exclude("joint.leg2", j.leg2_mm, because, j.type);
    }
    if (type != JointType::fillet && type != JointType::lap) exclude("joint.throat", j.throat_mm, because, j.type);
    if (j.throat_mm && j.leg_mm)
      reader_.fail(j.throat_mm.place,
                   fmt::format("joint.throat and joint.leg{} both give the size of the fillet",
                               in_brackets(j.leg_mm.place, "joint.leg")),
                   "give one of them");
    if (pipe || type == JointType::overlay) exclude("joint.thickness2", j.thickness2_mm, because, j.type);
    if (type == JointType::overlay) exclude("joint.gap", j.gap_mm, because, j.type);
    if (type != JointType::overlay) exclude("joint.step_over", j.step_over_mm, because, j.type);
    if (!pipe) exclude("joint.diameter", j.diameter_mm, because, j.type);
    if (j.leg2_mm && !j.leg_mm) reader_.fail(j.leg2_mm.place, "joint.leg2 without joint.leg", "give joint.leg too");
  }

  void check_sizes() {
    const Joint& j = joint_;
    const double t = *j.thickness_mm;
    const auto and_thickness = [](double value) { return fmt::format("joint.thickness = {}", with_unit(value, "mm")); };
    if (j.diameter_mm && *j.diameter_mm <= 2 * t)
      refuse("joint.diameter", j.diameter_mm, "leaves no bore with " + and_thickness(t), j.thickness_mm.place,
             "the outside diameter is larger than twice the wall");
    if (j.root_face_mm && *j.root_face_mm >= t)
      refuse("joint.root_face", j.root_face_mm, "leaves no groove in " + and_thickness(t), j.thickness_mm.place,
             "a root face is a millimetre or two; for unprepared edges say preparation = \"square\"");
    if (j.gap_mm && *j.gap_mm > 2 * t)
      refuse("joint.gap", j.gap_mm, "is more than twice " + and_thickness(t), j.thickness_mm.place);
    const bool second_thinner = j.thickness2_mm && *j.thickness2_mm < t;
    const Given<double>& thinner = second_thinner ? j.thickness2_mm : j.thickness_mm;
    const double most = largest_leg_mm(*thinner);
    for (const auto& [path, leg] : {std::pair("joint.leg", &j.leg_mm), std::pair("joint.leg2", &j.leg2_mm)})
      if (*leg && **leg > most)
        refuse(path, *leg, fmt::format("is too large for the thinner plate, {}", with_unit(*thinner, "mm")),
               thinner.place, fmt::format("at most {}", with_unit(most, "mm")));
    if (j.throat_mm && fillet_leg_mm(*j.throat_mm) > most)
      refuse("joint.throat", j.throat_mm,
             fmt::format("is too large for the thinner plate, {}", with_unit(*thinner, "mm")), thinner.place,
             fmt::format("at most {}", with_unit(fillet_throat_mm(most, most), "mm")));
    if (j.preheat_C && j.interpass_C && *j.interpass_C < *j.preheat_C)
      refuse("material.interpass", j.interpass_C, "is below material.preheat", j.preheat_C.place,
             "the joint is never colder than its preheat between passes");
  }

  void check_preparation() {
    const Joint& j = joint_;
    if (j.preparation) {
      const PreparationType shape = *j.preparation;
      const auto because = [&] { return fmt::format("joint.preparation = \"{}\"", preparation_key(shape)); };
      const bool both = shape == PreparationType::double_v || shape == PreparationType::double_bevel;
      if (shape == PreparationType::square) {
        exclude("joint.angle", j.angle_deg, because, j.preparation);
        exclude("joint.root_face", j.root_face_mm, because, j.preparation);
      }
      if (both && j.sides && *j.sides == 1) exclude("joint.sides = 1", j.sides, because, j.preparation);
      if (both && j.backing && *j.backing != Backing::none) exclude("joint.backing", j.backing, because, j.preparation);
    }
    // A ceramic is taken off again: it may hold the root of the first side, and the second is welded after it.
    if (j.sides && *j.sides == 2 && j.backing && *j.backing != Backing::none && *j.backing != Backing::ceramic)
      exclude(
          "joint.backing", j.backing, [] { return "joint.sides = 2"; }, j.sides);
    if (j.backing_gas && j.backing && *j.backing == Backing::none)
      exclude(
          "gas.backing", j.backing_gas, [] { return "joint.backing = \"none\""; }, j.backing);
  }

  void check_process() {
    const Joint& j = joint_;
    check_process_of(j, {});
    for (const PassTable& table : j.passes) check_process_of(table.says, pass_table_name(table));
    if (j.mode) {
      const auto because = [&] { return fmt::format("process.mode = \"{}\"", mode_key(*j.mode)); };
      if (*j.mode != Mode::double_pulse) {
        exclude("lock.modulation_amplitude", j.lock_amplitude_m_per_min, because, j.mode);
        exclude("lock.modulation_frequency", j.lock_frequency_Hz, because, j.mode);
        exclude("setting.amplitude", j.setting_amplitude_m_per_min, because, j.mode);
        exclude("setting.modulation", j.setting_modulation_Hz, because, j.mode);
      }
      if (!is_pulsed(*j.mode)) {
        exclude("lock.peak_current_trim", j.lock_peak_trim, because, j.mode);
        exclude("setting.frequency", j.setting_frequency_Hz, because, j.mode);
        exclude("setting.peak", j.setting_peak_A, because, j.mode);
        exclude("setting.base", j.setting_base_A, because, j.mode);
      }
    }
    if (j.voltage_V && j.lock_arc_trim_V)
      refuse("process.voltage", j.voltage_V, "leaves no trim for lock.arc_length_trim", j.lock_arc_trim_V.place);
  }

  // Of the whole joint, or of the table of a pass: "pass.root".
  void check_process_of(const ProcessInput& j, const std::string& table) {
    const auto name = [&](std::string_view path) {
      return table.empty() ? std::string(path) : fmt::format("{}.{}", table, pass_key_of(path));
    };
    const auto exclude_key = [&](std::string_view path, const auto& given, auto because, const auto& other) {
      if (given) exclude(name(path), given, because, other);
    };
    if (j.gas && !j.gas_composition.empty())
      reader_.fail(j.gas_composition_place,
                   fmt::format("{} does not go with {}{}", name("gas.composition"), name("gas.designation"),
                               in_brackets(j.gas.place, name("gas.designation"))),
                   "leave one of the two out");
    if (j.mode) {
      const auto because = [&] { return fmt::format("{} = \"{}\"", name("process.mode"), mode_key(*j.mode)); };
      if (*j.mode != Mode::double_pulse) {
        exclude_key("modulation.frequency", j.modulation_frequency_Hz, because, j.mode);
        exclude_key("modulation.amplitude", j.modulation_amplitude_m_per_min, because, j.mode);
        exclude_key("modulation.share", j.modulation_share, because, j.mode);
      }
      if (!is_pulsed(*j.mode)) {
        exclude_key("process.peak_current", j.peak_current_A, because, j.mode);
        exclude_key("process.peak_time", j.peak_time_ms, because, j.mode);
      }
      if (is_dip(*j.mode)) exclude_key("process.arc_length", j.arc_length_mm, because, j.mode);
    }
    // The feed decides the current, and with it the voltage the arc length: both of a pair would say one thing twice.
    constexpr std::string_view help = "leave one of the two out; 'seamwright assess' tells whether they agree";
    if (j.current_A && j.wire_feed_m_per_min)
      refuse(name("process.current"), j.current_A,
             fmt::format("fixes the wire feed, as does {}", name("process.wire_feed")), j.wire_feed_m_per_min.place,
             std::string(help));
    if (j.voltage_V && j.arc_length_mm)
      refuse(name("process.voltage"), j.voltage_V,
             fmt::format("fixes the arc length, as does {}", name("process.arc_length")), j.arc_length_mm.place,
             std::string(help));
    if (j.modulation_amplitude_m_per_min && j.wire_feed_m_per_min &&
        *j.modulation_amplitude_m_per_min >= *j.wire_feed_m_per_min)
      refuse(name("modulation.amplitude"), j.modulation_amplitude_m_per_min,
             fmt::format("leaves no feed in the low phase of {}", name("process.wire_feed")),
             j.wire_feed_m_per_min.place);
    constexpr double extension_diameters_min = 3;
    if (j.extension_mm && j.wire_diameter_mm && *j.extension_mm < extension_diameters_min * *j.wire_diameter_mm)
      refuse(name("wire.extension"), j.extension_mm, "is shorter than 3 wire diameters", j.wire_diameter_mm.place,
             "the usual extension is 10 to 15 diameters");
  }

  const Catalog& catalog_;
  Joint& joint_;
  ValueReader reader_;
  Place element_place_;
};

}  // namespace

TomlValue value_from_text(const std::string& text) {
  if (text.find('\n') == std::string::npos) {
    auto document = parse_toml("v = " + text, "");
    // Text after a '#' is no comment here: it must not be lost.
    const bool whole =
        document && document->members.size() == 1 && document->members[0].key == "v" &&
        (text.find('#') == std::string::npos || document->members[0].value.kind == TomlValue::Kind::string);
    if (whole) return std::move(document->members[0].value);
  }
  TomlValue word;
  word.kind = TomlValue::Kind::string;
  word.text = text;
  return word;
}

Diagnostics joint_from_entries(const std::string& name, std::span<const Entry* const> entries, const Catalog& catalog,
                               Joint& joint) {
  return JointReader(name, catalog, joint).read(entries);
}

Diagnostics faults_of_entries(std::span<const Entry* const> entries, const Catalog& catalog) {
  Joint joint;
  return JointReader("", catalog, joint).read_each(entries);
}

void joint_entries(const TomlValue& document, const std::string& name, KeptList<Entry>& entries) {
  flatten(document, name, joint_containers, entries);
}

std::string_view nearest_joint_key(std::string_view path) {
  for (const std::string_view table : {"limits", "material.composition", "gas.composition"})
    if (!below(path, table).empty()) return nearest_key(path, paths_below(table));
  if (!below(path, "pass").empty()) return nearest_word(path, pass_key_paths());
  std::vector<std::string_view> known;
  for (const KeyRow& row : key_rows()) known.push_back(row.path);
  return nearest_key(path, known);
}

bool is_below(std::string_view path, std::string_view table) { return !below(path, table).empty(); }

namespace {

// The key of the joint that says the same of all passes: "process.mode" for "pass.root.mode"; else the path itself.
std::string_view path_in_joint(std::string_view path) {
  const auto key = below(path, "pass");
  const auto pass = key.empty() ? std::nullopt : read_pass_path(key);
  const std::string_view same = pass ? joint_path_of(pass->key) : std::string_view();
  return same.empty() ? path : same;
}

}  // namespace

bool is_joint_key(std::string_view path) {
  if (const auto key = below(path, "pass"); !key.empty()) {
    const auto pass = read_pass_path(key);
    if (!pass) return false;
    if (const auto limit = below(pass->key, "limits"); !limit.empty()) return field_by_key(limit).has_value();
    if (const auto gas = below(pass->key, "gas_composition"); !gas.empty()) return is_gas_component(gas);
    return !joint_path_of(pass->key).empty();
  }
  if (const auto key = below(path, "limits"); !key.empty()) return field_by_key(key).has_value();
  if (const auto key = below(path, "material.composition"); !key.empty()) return element_by_symbol(key).has_value();
  if (const auto key = below(path, "gas.composition"); !key.empty()) return is_gas_component(key);
  if (!below(path, "setting.dial").empty()) return true;  // which dials there are the machine knows
  return find_key(path) != nullptr;
}

bool is_table_key(std::string_view path) {
  const KeyRow* row = find_key(path_in_joint(path));
  return row != nullptr && std::holds_alternative<std::monostate>(row->target) && path != "schema";
}

bool is_text_key(std::string_view path) {
  struct Visitor {
    bool operator()(std::monostate) const { return false; }
    bool operator()(Given<double> Joint::*) const { return false; }
    bool operator()(Given<int> Joint::*) const { return false; }
    bool operator()(Given<bool> Joint::*) const { return false; }
    bool operator()(Given<Interval> Joint::*) const { return false; }
    bool operator()(Given<std::string> Joint::*) const { return true; }
    bool operator()(Given<JointType> Joint::*) const { return true; }
    bool operator()(Given<PreparationType> Joint::*) const { return true; }
    bool operator()(Given<Backing> Joint::*) const { return true; }
    bool operator()(Given<Mode> Joint::*) const { return true; }
    bool operator()(Given<Preference> Joint::*) const { return true; }
  };
  const KeyRow* row = find_key(path_in_joint(path));
  return row != nullptr && std::visit(Visitor{}, row->target);
}

bool is_free_text_key(std::string_view path) {
  const KeyRow* row = find_key(path_in_joint(path));
  return row != nullptr && std::holds_alternative<Given<std::string> Joint::*>(row->target) &&
         row->names == NameList::none;
}

namespace {

// A command-line key is a document of its own with every place replaced by the key.
struct AssignedDocument {
  TomlValue root;
  std::string place;
};

AssignedDocument assigned_document(const Assignment& assignment) {
  AssignedDocument out;
  out.place =
      assignment.place.empty() ? fmt::format("--set {}={}", assignment.key, assignment.value) : assignment.place;
  TomlValue value = value_from_text(assignment.value);
  std::string_view key = assignment.key;
  for (std::size_t dot = key.rfind('.'); dot != std::string_view::npos; dot = key.rfind('.')) {
    TomlValue table;
    table.members.add() = {std::string(key.substr(dot + 1)), std::move(value)};
    value = std::move(table);
    key = key.substr(0, dot);
  }
  out.root.members.add() = {std::string(key), std::move(value)};
  return out;
}

bool is_known(std::string_view path) {
  const auto pass = below(path, "pass");
  return is_joint_key(path) || is_container(path) ||
         (!pass.empty() && pass.find('.') == std::string_view::npos && read_pass_path(pass));
}

Expected<Joint> read_merged(std::string_view text, const std::string& name, const std::vector<Assignment>& assignments,
                            const Catalog& catalog) {
  TomlValue document;
  if (!text.empty()) {
    auto parsed = parse_toml(text, name);
    if (!parsed) return parsed.errors();
    document = std::move(*parsed);
  }
  std::vector<Entry> entries = flatten(document, name, joint_containers);
  std::vector<AssignedDocument> assigned;
  assigned.reserve(assignments.size());
  for (const Assignment& assignment : assignments) {
    constexpr std::size_t longest_key = 64;
    if (assignment.key.empty() || assignment.key.size() > longest_key)
      return Diagnostic{{fmt::format("--set {}={}", assignment.key.substr(0, longest_key), assignment.value), 0, 0},
                        "not a key",
                        "write KEY=VALUE, such as joint.thickness=6"};
    // Without a value: as if the file did not have the key, or the table.
    if (assignment.value.empty() && is_known(assignment.key)) {
      std::erase_if(entries, [&](const Entry& old) {
        return old.path == assignment.key || !below(old.path, assignment.key).empty();
      });
      continue;
    }
    assigned.push_back(assigned_document(assignment));
    // A whole table given on the command line takes the place of the file's.
    std::erase_if(entries, [&](const Entry& old) { return !below(old.path, assignment.key).empty(); });
    for (Entry& entry : flatten(assigned.back().root, assigned.back().place, joint_containers)) {
      entry.place = entry.key_place = {assigned.back().place, 0, 0};
      std::erase_if(entries, [&](const Entry& old) { return old.path == entry.path; });
      entries.push_back(std::move(entry));
    }
  }
  std::vector<const Entry*> pointers;
  for (const Entry& entry : entries) pointers.push_back(&entry);
  Joint joint;
  if (Diagnostics errors = JointReader(name, catalog, joint).read(pointers); !errors.empty()) return errors;
  return joint;
}

}  // namespace

Expected<Joint> read_joint_text(std::string_view text, const std::string& name,
                                const std::vector<Assignment>& assignments, const Catalog& catalog) {
  auto joint = read_merged(text, name, assignments, catalog);
  if (joint) return joint;
  Diagnostics errors = joint.errors();
  attach_source_lines(errors, text, name);
  return errors;
}

Expected<Joint> read_joint(const std::string& path, const std::vector<Assignment>& assignments,
                           const Catalog& catalog) {
  if (path.empty()) return read_joint_text({}, "command line", assignments, catalog);
  const auto text = read_text_file(path, max_input_bytes);
  if (!text) return text.errors();
  return read_joint_text(*text, path, assignments, catalog);
}

}  // namespace seamwright
