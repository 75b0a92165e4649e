// Reads an equipment file. Everything in it is optional; what is left out is unlimited.
//
//   name     = "Slipway 350"
//   accuracy = "standard"            # of current, voltage and feed: standard (10 %) or precision (2.5 %)
//   modes    = ["short-arc", "pulse"] # left out: all
//   prefer   = "metal"                # metal, time or margin: where the joint does not say
//   [source]
//   current = "20..350 A"            # range of the mean current
//   voltage = "15..34 V"
//   rated_current = "350 A"          # at
//   rated_duty = "60 %"              # of ten minutes; both or neither
//   duty = "35 %"                    # the job's; the rated duty when left out. A shorter one allows more current
//                                    # (I^2 X constant), up to the end of source.current
//   efficiency = "88 %"              # arc power over power from the mains, for what is drawn
//   [feeder]
//   wire_feed = "1.5..20 m/min"
//   [pulse]
//   peak_current = "150..500 A"
//   base_current = "15..200 A"
//   frequency = "30..300 Hz"
//   [modulation]
//   frequency = "0.5..6 Hz"
//   amplitude = "0.1..3 m/min"
//   [rack]                           # what the shop has; choices are made from it first
//   wires = ["G 3Si1 1.0", "G 3Si1 1.2"]   # with a diameter, or in any
//   gases = ["M21-ArC-18", "I1"]
//   carriage = false                 # true: the torch is carried where the joint does not say otherwise
//   [prices]                         # read_prices.hpp
//   [[dial]]                         # as many as the machine has
//   sets = "arc_length_trim"         # an output key
//   name = "Arc length"              # what stands on the machine
//   zero = "0 V"                     # where the quantity is this,
//   reads = 0                        # the dial reads this,
//   per_step = "0.3 V"               # and a step up changes the quantity by this, below 0 on a scale that runs back
//   scale = [-10, 10]                # first and last number of the dial
//   decimals = 0                     # digits it can be set to
#include <algorithm>
#include <array>
#include <cmath>

#include "input/read_prices.hpp"
#include "input/value_reader.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr std::string_view containers[] = {"source", "feeder", "pulse",        "modulation",
                                           "rack",   "prices", "prices.wires", "prices.gases"};

struct RangeKey {
  std::string_view path;
  std::optional<Interval> Equipment::*member;
  NumberRule rule;
};
constexpr RangeKey range_keys[] = {
    {"source.current", &Equipment::current_A, {"A", 1, 2000}},
    {"source.voltage", &Equipment::voltage_V, {"V", 1, 100}},
    {"feeder.wire_feed", &Equipment::wire_feed_m_per_min, {"m/min", 0.1, 50}},
    {"pulse.peak_current", &Equipment::peak_current_A, {"A", 1, 2000}},
    {"pulse.base_current", &Equipment::base_current_A, {"A", 1, 2000}},
    {"pulse.frequency", &Equipment::pulse_frequency_Hz, {"Hz", 0.1, 5000}},
    {"modulation.frequency", &Equipment::modulation_frequency_Hz, {"Hz", 0.01, 100}},
    {"modulation.amplitude", &Equipment::modulation_amplitude_m_per_min, {"m/min", 0.01, 50}},
};

struct NumberKey {
  std::string_view path;
  std::optional<double> Equipment::*member;
  NumberRule rule;
};
constexpr NumberKey number_keys[] = {
    {"source.rated_current", &Equipment::rated_current_A, {"A", 1, 2000}},
    {"source.rated_duty", &Equipment::rated_duty, {"", 0.05, 1}},
    {"source.duty", &Equipment::duty, {"", 0.01, 1}},
    {"source.efficiency", &Equipment::efficiency, {"", 0.3, 1}},
};

constexpr std::array<std::string_view, 7> dial_keys = {"sets",     "name",  "zero",    "reads",
                                                       "per_step", "scale", "decimals"};

class EquipmentReader {
 public:
  explicit EquipmentReader(const std::string& name) : name_(name) {}

  Expected<Equipment> read(const TomlValue& document) {
    constexpr std::size_t enough_errors = 100;
    const auto entries = flatten(document, name_, containers);
    for (const Entry& entry : entries)
      if (reader_.errors.size() < enough_errors) take(entry);
    equipment_.prices = prices_.finish();
    const auto place_of = [&](std::string_view path) {
      const auto it = std::find_if(entries.begin(), entries.end(), [&](const Entry& e) { return e.path == path; });
      return it == entries.end() ? Place{name_, 0, 0} : it->place;
    };
    if (!reader_.errors.empty()) return std::move(reader_.errors);
    if (equipment_.rated_current_A.has_value() != equipment_.rated_duty.has_value())
      reader_.fail(place_of(equipment_.rated_duty ? "source.rated_duty" : "source.rated_current"),
                   "source.rated_current and source.rated_duty belong together", "give both or neither");
    if (equipment_.duty && !equipment_.rated_duty)
      reader_.fail(place_of("source.duty"), "source.duty without a rating",
                   "give source.rated_current and source.rated_duty");
    if (!reader_.errors.empty()) return std::move(reader_.errors);
    return std::move(equipment_);
  }

 private:
  void take(const Entry& entry) {
    for (const RangeKey& key : range_keys)
      if (key.path == entry.path)
        return static_cast<void>(equipment_.*key.member = reader_.interval(entry, key.rule, false));
    for (const NumberKey& key : number_keys)
      if (key.path == entry.path) return static_cast<void>(equipment_.*key.member = reader_.number(entry, key.rule));
    if (entry.path == "name")
      equipment_.name = reader_.text(entry).value_or("");
    else if (entry.path == "accuracy")
      equipment_.accuracy = reader_.word<AccuracyGrade>(entry).value_or(AccuracyGrade::standard);
    else if (entry.path == "modes")
      take_modes(entry);
    else if (entry.path == "dial")
      take_dials(entry);
    else if (entry.path == "rack.wires")
      take_rack(entry, true, equipment_.rack_wires);
    else if (entry.path == "rack.gases")
      take_rack(entry, false, equipment_.rack_gases);
    else if (entry.path == "rack.carriage")
      equipment_.carriage = reader_.boolean(entry);
    else if (entry.path == "prefer")
      equipment_.prefer = reader_.word<Preference>(entry);
    else if (entry.path == "schema")
      static_cast<void>(reader_.integer(entry, 1, 1));
    else if (!prices_.take(entry))
      unknown(entry);
  }

  void unknown(const Entry& entry) {
    if (std::find(std::begin(containers), std::end(containers), entry.path) != std::end(containers)) {
      reader_.fail(entry.place, fmt::format("{} is a table of keys, not a value", entry.path),
                   fmt::format("write [{}] and its keys below it", entry.path));
      return;
    }
    std::vector<std::string_view> known = {"name",       "accuracy",   "modes",         "dial",  "schema",
                                           "rack.wires", "rack.gases", "rack.carriage", "prefer"};
    known.insert(known.end(), PriceReader::keys().begin(), PriceReader::keys().end());
    known.insert(known.end(), std::begin(containers), std::end(containers));
    for (const RangeKey& key : range_keys) known.push_back(key.path);
    for (const NumberKey& key : number_keys) known.push_back(key.path);
    reader_.unknown_key(entry, known, "new equipment");
  }

  Entry item(const Entry& list, const TomlValue& value) const {
    const Place place{name_, value.line, value.column};
    return {list.path, &value, place, place};
  }

  void take_modes(const Entry& entry) {
    if (entry.value->kind != TomlValue::Kind::array || entry.value->items.empty())
      return reader_.fail(entry.place, "modes must be a list of process modes",
                          "write modes = [\"short-arc\", \"pulse\"]");
    for (const TomlValue& value : entry.value->items)
      if (const auto mode = reader_.word<Mode>(item(entry, value))) equipment_.modes.push_back(*mode);
  }

  void take_rack(const Entry& entry, bool wires, std::vector<RackItem>& items) {
    if (entry.value->kind != TomlValue::Kind::array)
      return reader_.fail(entry.place, fmt::format("{} must be a list of names", entry.path),
                          wires ? "write wires = [\"G 3Si1 1.2\"]" : "write gases = [\"M21\"]");
    for (const TomlValue& value : entry.value->items) {
      const Entry named = item(entry, value);
      if (const auto text = reader_.text(named))
        items.push_back(wires ? wire_item(named.place, *text) : RackItem{named.place, std::string(*text), 0});
    }
  }

  void take_dials(const Entry& entry) {
    const auto is_table = [](const TomlValue& v) { return v.kind == TomlValue::Kind::table; };
    if (entry.value->kind != TomlValue::Kind::array ||
        !std::all_of(entry.value->items.begin(), entry.value->items.end(), is_table))
      return reader_.fail(entry.place, "dial must be a list of tables", "write [[dial]] before each dial's keys");
    for (const TomlValue& table : entry.value->items) take_dial(item(entry, table));
  }

  void take_dial(const Entry& dial_entry) {
    std::array<std::optional<Entry>, dial_keys.size()> keys;
    for (Entry& entry : flatten(*dial_entry.value, name_, {})) {
      const auto known = std::find(dial_keys.begin(), dial_keys.end(), entry.path);
      if (known == dial_keys.end()) {
        reader_.unknown_key(entry, dial_keys);
        continue;
      }
      entry.path = "dial." + entry.path;
      keys[static_cast<std::size_t>(known - dial_keys.begin())] = std::move(entry);
    }
    const auto& [sets, name, zero, reads, per_step, scale, decimals] = keys;
    if (!sets || !per_step || !scale)
      return reader_.fail(dial_entry.place, "a dial needs sets, per_step and scale",
                          "sets = \"arc_length_trim\", per_step = \"0.3 V\", scale = [-10, 10]");
    const auto key = reader_.text(*sets);
    if (!key) return;
    const auto id = field_by_key(*key);
    if (!id) {
      std::vector<std::string_view> names;
      for (const FieldInfo& info : fields()) names.push_back(info.key);
      return reader_.unknown_word(*sets, *key, names);
    }
    const NumberRule quantity{field(*id).unit, -largest_dial_number, largest_dial_number};
    const NumberRule dial_number{"", -largest_dial_number, largest_dial_number};
    Dial dial;
    dial.field = *id;
    dial.name = field(*id).label;
    if (name) dial.name = reader_.text(*name).value_or("");
    if (zero) dial.zero_value = reader_.number(*zero, quantity).value_or(0);
    if (reads) dial.at_zero = reader_.number(*reads, dial_number).value_or(0);
    if (decimals) dial.decimals = reader_.integer(*decimals, 0, 6).value_or(0);
    const auto step = reader_.number(*per_step, quantity);
    const auto ends = reader_.interval(*scale, dial_number, false);
    if (!step || !ends) return;
    // A step no larger than this would send readings beyond any number worth printing.
    constexpr double least_step = 1e-9;
    if (std::fabs(*step) < least_step)
      return reader_.fail(per_step->place, "dial.per_step is 0", "give the change of the quantity a step of the dial");
    if (ends->low >= ends->high)
      return reader_.fail(scale->place, "dial.scale has no length", "write its first and last number: [-10, 10]");
    dial.per_step = *step;
    dial.low = ends->low;
    dial.high = ends->high;
    equipment_.dials.push_back(std::move(dial));
  }

  const std::string& name_;
  Equipment equipment_;
  ValueReader reader_;
  PriceReader prices_{reader_};
};

}  // namespace

Expected<Equipment> read_equipment_text(std::string_view text, const std::string& name) {
  return read_text_with<EquipmentReader, Equipment>(text, name);
}

Expected<Equipment> read_equipment(const std::string& path) {
  const auto text = read_text_file(path, max_input_bytes);
  if (!text) return text.errors();
  return read_equipment_text(*text, path);
}

}  // namespace seamwright
