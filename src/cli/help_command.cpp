// The topics of `seamwright help`, made from the tables that the program itself goes by.
#include <fmt/format.h>

#include <array>

#include "cli/commands.hpp"
#include "input/pass_tables.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/constraint.hpp"
#include "seamwright/field.hpp"
#include "seamwright/input.hpp"
#include "seamwright/procedure.hpp"
#include "text/text_layout.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

constexpr std::size_t width = 100;
constexpr double percent = 100;

std::string joined(std::string_view list) {
  std::string text;
  for_each_item(list, [&text](std::string_view item) { text += fmt::format("{}{}", text.empty() ? "" : ", ", item); });
  return text;
}

std::string keys_text(const Catalog&) {
  std::string text =
      "Keys of a joint file, as table.key; any of them may be given with --set KEY=VALUE,\n"
      "and left out with --set KEY=.\n\n";
  for (const InputKeyInfo& key : input_keys()) {
    const bool unit_told = key.accepts.find(key.unit) != std::string_view::npos;
    append_entry(text, key.path,
                 fmt::format("{} [{}{}]", key.meaning, key.accepts, unit_told ? "" : fmt::format(", {}", key.unit)), 26,
                 width);
  }
  return text;
}

std::string units_topic_text(const Catalog&) {
  std::string text =
      "A number alone is in the key's own unit ('seamwright help keys'). With another unit it is\n"
      "written as text: thickness = \"1/4 in\". These units are known:\n\n";
  std::string names;
  const std::span<const Unit> all = units();
  for (std::size_t i = 0; i < all.size(); ++i) {
    names += fmt::format("{}{}", names.empty() ? "" : ", ", all[i].name);
    if (i + 1 < all.size() && all[i + 1].dimension == all[i].dimension) continue;
    append_entry(text, dimension_label(all[i].dimension), names, 30, width);
    names.clear();
  }
  return text +
         "\nOutput is metric; --units us prints conversions of the same numbers, those inside sentences too. Values "
         "that\n"
         "can be put back into a joint file (choices and settings of suggestions in JSON) stay as they are written "
         "there.\n"
         "\nIn US units lengths that are a fraction of an inch are printed as one, wires and positions go by their "
         "AWS\n"
         "names first (in the cells of CSV and xlsx by them alone), and totals of a joint without a length are of a "
         "foot in\n"
         "place of a metre. What is printed can be typed back: ER70S-6, 2F, 1/4 in, 3/16\", 1-1/2 in, 450 in/min or "
         "450\n"
         "ipm, 8.6 kJ/in, 42 ft3/h, 68 degF. In JSON names are the same in both; \"aws\" stands beside the wire's.\n"
         "Wire of 0.045 in is not wire of 1.2 mm: it has a tenth less metal a metre, and is planned as what it is, "
         "with\n"
         "the current ranges of 1.2 mm. 0.035 in, 3/64 in and 1/16 in are 0.9, 1.2 and 1.6 mm. Where wire.diameter is "
         "left\n"
         "out a metric size is chosen, so give yours: wire.diameter = \"0.045 in\".\n";
}

std::string positions_text(const Catalog& catalog) {
  std::string text = "Welding positions by ISO 6947, with the other names they go by.\n\n";
  for (const Position& p : catalog.positions)
    append_entry(text, p.id, fmt::format("{} ({})", p.label, joined(p.names)), 14, width);
  return text;
}

std::string modes_text(const Catalog& catalog) {
  std::string text =
      "Transfer modes. Left out, the program tries those the wire and gas allow and says which it took.\n\n";
  for (const ModeInfo& m : catalog.modes)
    append_entry(text, mode_key(m.id), fmt::format("{}: {}", m.label, m.fits), 20, width);
  return text;
}

std::string outputs_text(const Catalog&) {
  std::string text = "Quantities of the output: the same keys in JSON, CSV and [limits]. US units in brackets.\n\n";
  for (const FieldInfo& info : fields()) {
    const bool money = info.priced == Priced::money;
    append_entry(text, info.key,
                 money               ? fmt::format("{} In the currency of the prices.", info.meaning)
                 : info.unit.empty() ? std::string(info.meaning)
                                     : fmt::format("{} {} [{}]", info.meaning, info.unit, info.us_unit),
                 26, width);
  }
  return text + "\nThose from total_time on are there where the equipment file has prices: 'seamwright help prices'.\n";
}

std::string limits_text(const Catalog&) {
  std::string text = "What can end a band, and the remedy.\n\n";
  for (const ConstraintInfo& info : constraints())
    if (info.id != C::none)
      append_entry(text, info.key,
                   info.remedy.empty() ? fmt::format("{}: {}", info.label, info.why)
                                       : fmt::format("{}: {}. Remedy: {}", info.label, info.why, info.remedy),
                   28, width);
  return text;
}

std::string exit_codes_text(const Catalog&) {
  return "  0   answered\n"
         "  1   answered, but there is no window (or a point of a grid has none, or is refused); from check: "
         "something\n"
         "      is outside; from assess: a limit is broken; from compare: something differs\n"
         "  2   bad input or usage: nothing is written to standard output or the output file. From batch also: a row "
         "of\n"
         "      the list is refused, and its answer says why\n"
         "  3   the system failed: cannot write, disk full, reader gone\n";
}

std::string procedures_text(const Catalog&) {
  std::string text =
      "A procedure file states ranges for the variables of ISO 15609-1; what it leaves out is not stated.\n\n"
      "  number = \"WPS-06\"\n"
      "  [joint]\n"
      "  type = [\"butt\"]\n"
      "  thickness = \"8..20 mm\"\n"
      "  [material]\n"
      "  group = [\"1.1\", \"1.2\"]\n"
      "  interpass = \"..250 C\"\n"
      "  [every]                        # any output key, every pass; [single] [root] [fill] [cap]: of one kind\n"
      "  heat_input = \"0.6..1.5 kJ/mm\"\n"
      "  [pass.2]                       # of one pass, its mode, wire, gas, position, diameter, extension too\n"
      "  mode = \"pulse\"\n"
      "  weave_width = \"8 mm\"           # one number: the torch is swung so; a range binds like any other\n\n"
      "One word or a list of words:\n";
  for (std::size_t i = 0; i < procedure_word_count; ++i)
    append_entry(text, procedure_word(static_cast<ProcedureWord>(i)).key,
                 procedure_word(static_cast<ProcedureWord>(i)).label, 26, width);
  text += "\nRanges:\n";
  for (std::size_t i = 0; i < procedure_number_count; ++i) {
    const ProcedureVariableInfo& info = procedure_number(static_cast<ProcedureNumber>(i));
    append_entry(text, info.key, fmt::format("{}, {}", info.label, info.unit), 26, width);
  }
  append_entry(text, "material.preheat", "preheat, degC", 26, width);
  append_entry(text, "material.interpass", "interpass temperature, degC", 26, width);
  return text +
         "\nA lock file (plan --write-lock) also says under [made] what it was made with: program, data, inputs (a "
         "digest),\ntrials (the trial welds behind its numbers, where --data brought any).\n"
         "\nA test-piece file: standard (iso-15614-1, iso-15614-2), weld (butt, fillet), runs (single, multi),\n"
         "thickness, throat, heat_input, preheat, interpass, mode, position, group (ISO/TR 15608), gas,\n"
         "impact_required, impact_tested, hardness_required. Ranges are recalled from the standards: confirm each in "
         "the standard itself.\n";
}

std::string lock_text(const Catalog&) {
  return "The ranges of plan --all hold for one setting at a time. LOCK (\"box\" in JSON, box_* in CSV) gives ranges "
         "of\n"
         "everything set on the machine that hold together, as its display shows them: every corner of them satisfies\n"
         "every limit. They aim at wire feed +-10 %, arc length trim +-1 V, the whole peak trim and a fifth of the\n"
         "modulation, and grow about the set point until a corner fails; the corner and the limit are named.\n\n"
         "By hand the bead is kept and not the speed: travel follows the feed and may stray 10 % from what keeps the\n"
         "bead. With a carriage (process.mechanised = true), or when it is fixed below, travel is a range like the "
         "others.\n\n"
         "  [lock]\n"
         "  travel = \"6..8 mm/s\"          # a side that is fixed; the others grow between its ends\n"
         "  weight.wire_feed = 2          # this side grows twice as fast as the others\n"
         "  accuracy.wire_feed = \"1 %\"    # how well a setting is held, where the machine's grade does not say it\n\n"
         "Sides: wire_feed, travel, arc_length_trim; pulsed also peak_current_trim; double pulse also\n"
         "modulation_amplitude, modulation_frequency. Where the machine is described (--equipment) a second line says\n"
         "which feeds are safe even where its display is off by the accuracy of its grade. Limits of your own bind "
         "the\n"
         "ranges too: limits.heat_input = \"..0.8 kJ/mm\".\n\n"
         "GRADE says how good the set point is: sound (every limit holds nine times in ten), likely (seven in ten), "
         "try\n"
         "on scrap (less), with the limit that gives out first and what to turn if it does. Every uncertain constant "
         "is\n"
         "taken as normal, its 90 % half-width being 1.645 standard deviations; the stick-out varies by a fifth "
         "unless\n"
         "wire.extension is given. confidence = 0.9 asks the ranges to hold at 90 % and shows the band that does.\n\n"
         "--sensitivity adds what a change of 5 mm extension, 1 mm gap, 10 % feed, 10 % travel and 2 V does, and the\n"
         "effect of each trim.\n";
}

std::string setting_text(const Catalog&) {
  return "assess takes a setting as it stands on the machine: options, or the same words under [setting] in the joint\n"
         "file, or the columns of a list (--list). At least one is needed; what is left out is the plan's own.\n\n"
         "  [setting]\n"
         "  feed = 9            # decides the current, and with it base current and pulse frequency\n"
         "  voltage = 28        # fixes the arc length; in short arc and controlled dip the trim\n"
         "  travel = 6.5\n\n"
         "feed, current, voltage, travel, frequency, peak, base, amplitude, modulation; with --equipment also what "
         "its\n"
         "dials stand at: --dial Feed=12.7 --dial Arc=-2, Feed = 12.7 under [setting.dial], or columns dial.Feed of a\n"
         "list. A current without a feed stands for the feed that it melts. With a feed it is a reading, as are "
         "frequency and base: where one lies outside\n"
         "the 90 % spread of what follows from the setting, the answer says what would explain it, each alone: the\n"
         "electrode extension, the real feed, the meter, the wire on the spool, and the constants that would have to\n"
         "give way, in their own 90 % spreads. A voltage is told so where no usual arc length has it.\n\n"
         "Where the joint leaves the mode open and the setting does not run in the plan's, the mode is taken in which\n"
         "it runs. Limits are given with the end at which a setting is refused and the probability that they hold; "
         "the\n"
         "nearest setting is the one with the least turn of feed and travel that is sound, as display or dials can be\n"
         "set. Lists hand columns through that begin with x-, and id.\n\n"
         "Exit code 0: every limit holds; 1: one is broken, in a list in some row; 2: bad input, nothing is written.\n";
}

// What the tags in brackets mean.
std::string source_kinds_text() {
  constexpr std::array<std::pair<SourceKind, std::string_view>, 8> kinds{
      {{SourceKind::standard, "a standard that was read"},
       {SourceKind::published, "a handbook or paper that was read"},
       {SourceKind::open_data, "open measurements"},
       {SourceKind::trial, "your own trial welds"},
       {SourceKind::derived, "worked out from those above"},
       {SourceKind::practice, "practice of the trade"},
       {SourceKind::memory, "recalled from a named source, not re-read: confirm it before you rely on it"},
       {SourceKind::assumed, "a design choice of this program"}}};
  std::string text;
  for (const auto& [kind, meaning] : kinds) append_entry(text, source_kind_key(kind), meaning, 20, width);
  return text;
}

std::string data_text(const Catalog&) {
  return "A file of your own rows, for --data FILE; 'seamwright catalog check FILE' says whether it is sound and what "
         "it\n"
         "changes. It holds any of [[source]], [[alloy]], [[wire]], [[gas]], ... ('seamwright catalog' lists the\n"
         "tables) and [limits], with the columns that 'seamwright catalog KIND NAME' shows.\n\n"
         "  [[source]]\n"
         "  key = \"own-trials\"\n"
         "  kind = \"trial\"\n"
         "  title = \"Our trial welds of March\"\n\n"
         "  [limits]\n"
         "  penetration_factor = { value = 0.92, u90 = 0.15, source = \"own-trials\" }\n\n"
         "  [[alloy]]\n"
         "  id = \"EN AW-5083\"           # there already: only the columns named change; a new row must be whole\n"
         "  interpass_max_C = { value = 100, exact = true, source = \"own-trials\" }\n\n"
         "Every value has a source, also yours. u90 is the half-width of its 90 % interval (u90_rel: as a share);\n"
         "exact = true has none; carried_by = \"column\" is counted in that column. Names are one text with bars\n"
         "between: \"first|second\". Kinds of source, and what each means:\n\n" +
         source_kinds_text();
}

std::string trials_text(const Catalog& catalog) {
  std::string text =
      "A list of trial welds for 'seamwright calibrate': CSV with a header, a row a weld. Columns:\n\n"
      "  wire.designation, wire.diameter, process.mode, wire_feed, travel    needed\n"
      "  wire.extension, gas.designation, joint.type, ...                    any key of a joint; without joint.type,\n"
      "      joint.thickness and material.alloy the weld is a bead on 10 mm plate of an alloy the wire is made for\n"
      "      (it tells little of cold lap and burn-through: weld the joint itself where you can)\n"
      "  pass       which pass of the joint; the first when left out\n"
      "  dial.NAME  what a dial of the machine in --equipment stood at, in place of wire_feed or travel, or as what "
      "it\n"
      "      sets besides: the voltage, the trim of the arc length or of the peak\n"
      "  verdict    good, or what went wrong, with ';' between: ";
  for (const VerdictRow& v : catalog.verdicts)
    text += fmt::format("{}{}", &v == catalog.verdicts.data() ? "" : ", ", v.id);
  text +=
      "\n  x-...      a note, left alone\n\n"
      "Readings, with the half-width at 90 % that is taken where no column 'KEY +-' gives one, and how much welds at "
      "one\n"
      "setting differ. A unit may stand behind the key (current_A, wire_feed_m_per_min) or behind the number:\n\n";
  for (const ReadingRow& r : catalog.readings) {
    std::string spread;
    if (r.u90 > 0) spread += fmt::format("{} {}", r.u90, r.unit);
    if (r.u90_rel > 0) spread += fmt::format("{}{:.3g} %", spread.empty() ? "" : " and ", 100 * r.u90_rel);
    if (r.weld_rel > 0) spread += fmt::format("; welds differ by {:.3g} %", 100 * r.weld_rel);
    append_entry(text, r.id, fmt::format("{}: +- {}", r.unit, spread), 26, width);
  }
  return text +
         "\nEach group of wire family, mode and metal gets constants of its own. The file of -o holds factors on the\n"
         "catalog's values with their half-widths and correlations, as [[trial]] rows for --data; its source is of "
         "the\n"
         "kind trial. Calibrate from all trials of a group at once: a group that --data has already is refused.\n";
}

std::string logs_text(const Catalog&) {
  return "A log is CSV: a row a reading, in any of these columns. Current and voltage give most facts.\n\n"
         "  time      s, ms or h:m:s, with or without a date; or --rate for readings at a steady rate\n"
         "  current   A            voltage   V           arc       1 or on while the arc burns: it wins\n"
         "  feed      m/min        travel    mm/s        x, y, z   mm: position of the torch\n\n"
         "Columns are recognised by name, units by what stands beside it: 't [ms]', 'current (A)', 'wfs_ipm'.\n"
         "--map names them, or a file for --log:\n\n"
         "  [log]\n"
         "  separator = \"semicolon\"     # comma, semicolon, tab, blank; detected if omitted\n"
         "  decimal = \"comma\"           # or point\n"
         "  rate = \"50 kHz\"             # in place of a time column\n"
         "  time = \"t_ms\"               # a name of the header, or a number from 1\n"
         "  current = { column = 3, unit = \"A\", scale = 0.25, offset = 2048 }   # (reading - offset) * scale\n\n"
         "The log is read once, in constant memory; 1 Hz to 100 kHz. Repaired and reported: lines before the header,\n"
         "repeated headers, rows cut off or too short, empty cells, times that repeat, are missing, stray, out of "
         "order\n"
         "or restart, gaps, spikes, readings that freeze after the arc has gone out. The log is refused when more "
         "than\n"
         "a few rows in a hundred cannot be read.\n\n"
         "The arc burns from the current rising over one threshold until it is below a lower one. Means are over the\n"
         "arc time. Against a procedure a mean over one second is held to each range; the weld is outside when\n"
         "that mean is outside for a second or more, or its value as a whole is. The first weld of several is taken "
         "as\n"
         "the root pass, the last as the cap, one alone as a single pass: --roles says otherwise. All thresholds:\n"
         "'seamwright catalog review'.\n";
}

std::string jobs_text(const Catalog&) {
  return "A job list has one joint a row. Three forms, told apart by their first letter:\n\n"
         "  CSV     a header of keys (joint.type, joint.thickness, ...), then a row a joint. Comma, semicolon or tab;\n"
         "          quotes, a byte order mark, LF and CR LF line ends are understood. Tables are given key by key:\n"
         "          gas.composition.Ar, limits.heat_input. There are no comment lines.\n"
         "  NDJSON  an object a line: {\"joint.type\": \"fillet\", \"joint\": {\"thickness\": 6}, ...}\n"
         "  TOML    [[job]] and the tables of a joint file below it, again and again\n\n"
         "Numbers have a decimal point; where semicolons or tabs part the cells a decimal comma is recognised by the "
         "row\n"
         "(6,5), and a number with two readings (1,500) is refused unless --list-decimal tells which. Headings that "
         "are\n"
         "no keys are recognised where the trade has one meaning for them (Type, Thickness (mm), Alloy, Qty, "
         "Position,\n"
         "Leg, Throat, Length, ...), and a note says what each was taken as; a unit beside one holds for its numbers.\n"
         "--map 'Kind=joint.type' says it for any other. quantity is how many such welds there are: wire, gas and arc\n"
         "time are then also given for all of them (wire_mass_all, ...), and the summary counts them all. --check "
         "only\n"
         "reads the list: it lists what is wrong by row and column (exit code 2), or says how many rows can be "
         "read.\n\n"
         "An empty cell is a key left out: --defaults JOINT.toml supplies it, else the program chooses. Columns with\n"
         "x- in front, and those named with --keep, are passed through; any other unknown column is an error.\n"
         "NDJSON and TOML lists hand through what their first row has (null is enough), and what --keep names; from\n"
         "NDJSON to NDJSON numbers and true or false stay what they are. Text is UTF-8 without control characters.\n\n"
         "The answer has a row a joint in the same order, whatever the threads: columns passed through, line (where\n"
         "the row began), status (ok, no-window, error), message, then the quantities with their units. A joint of\n"
         "several passes shows its first pass, and wire, gas and time of all; --per-pass gives a row a pass. Each\n"
         "quantity x has x, x_from, x_to, x_plus_minus, x_from_end, x_to_end as far as it can ('seamwright help\n"
         "outputs'); --columns chooses, and only what is chosen is worked out. The column warnings holds the ids of\n"
         "what 'plan' warns of; it takes several times as long, so it is there when asked for: --columns\n"
         "default,warnings. Blank lines are no rows. A row of more than 1 MiB or 1000 values is refused, and reading\n"
         "continues after it; a header holds 1000 columns at most.\n\n"
         "The exit code is the worst row's: 0 all have a window, 1 some have none, 2 some are refused. With 3 the\n"
         "system failed.\n\n"
         "For spreadsheets: -o FILE.xlsx writes a workbook with the columns and values of the CSV as numbers and text, "
         "a\n"
         "sheet of warnings and one of totals; it holds 1,048,575 rows, cannot be resumed, and is there only when "
         "whole.\n"
         "The warnings take time: several times that of CSV. CSV itself: --separator semicolon, --decimal-comma, "
         "--bom.\n\n"
         "Long lists: memory does not grow with the list. -o FILE writes FILE.part and renames it when it is whole;\n"
         "after a crash or Ctrl-C --resume FILE continues after the last whole row and ends with the same bytes. It\n"
         "works the last row there out again, and where that differs it refuses and leaves the file as it was. It\n"
         "needs the column status, and line where there are rows of passes. An interrupted run into a file by '>' is\n"
         "resumed in the same way. Its summary counts the rows from there on.\n\n"
         "Several machines: --shard I/N takes the I-th of N parts of a file, and the parts put together are the whole\n"
         "to the byte; only the first has the header. A part is found at its place in the file: what lies before it "
         "is\n"
         "not read, unless line numbers are shown (the column line, and the places that --check and --on-error stop\n"
         "tell): for those the lines before it are counted. --columns default,-line goes without. Of a CSV list whose\n"
         "quoted cells leave it open where a row begins, what lies before is read after all. A pipe has no parts.\n\n"
         "An outer splitter gives every part the header (GNU parallel --pipe --header :) or none but NDJSON; use\n"
         "--no-header, and --columns default,-line, as it counts the lines of its part. Nothing is kept between rows,\n"
         "empty in gives empty out.\n";
}

std::string prices_text(const Catalog& catalog) {
  const Limits& lim = *catalog.limits;
  return fmt::format(
      "Prices stand in the equipment file, all of them optional. What has none is left out of the cost, and said.\n\n"
      "  [prices]\n"
      "  currency = \"EUR\"             # one short word; it stands beside every cost\n"
      "  wire = \"3.20 EUR/kg\"         # of every wire; a number alone is per kg. Also /lb, /g\n"
      "  gas = \"9.50 EUR/m3\"          # also /l, /ft3\n"
      "  power = \"0.28 EUR/kWh\"       # also /MJ\n"
      "  labour = \"46 EUR/h\"          # also /min\n"
      "  operating_factor = \"35 %\"    # of the time the arc burns; left out {:.0f} % by hand, {:.0f} % with a "
      "carriage\n"
      "  [prices.wires]               # before wire: by name, in any diameter or in one\n"
      "  \"G 3Si1 0.8\" = \"3.90 EUR/kg\"\n"
      "  [prices.gases]               # before gas\n"
      "  \"I1\" = \"14 EUR/m3\"\n"
      "  [source]\n"
      "  efficiency = \"87 %\"          # arc power over power from the mains; left out {:.0f} %\n\n"
      "  total time = arc time / operating factor         energy = arc power x arc time / efficiency\n"
      "  wire and gas as used; labour over the total time. Preparing edges, setting up and idle power are not in "
      "it.\n\n"
      "A weld of the length given is charged; without a length a metre of it, on the card in US units a foot. With\n"
      "quantity the welds are charged together too (cost_all, total_time_all, energy_drawn_all). 'plan' has a line\n"
      "COST, --all, JSON, CSV and the sheet every part; 'batch' has columns of them, --summary and the sheet of\n"
      "totals their sums.\n\n"
      "--prefer, process.prefer in the joint file or a row of a list, and prefer in the equipment file, in this "
      "order,\n"
      "say what modes, wire diameters and sizes of passes are chosen by, among those that are usual here:\n\n"
      "  metal    the default: the trade's order of modes among those likely to hold, unless one lays {:.0f} % more\n"
      "           metal; the diameter that suits the thickness\n"
      "  time     the least arc time among those likely to hold ({:.0f} in 100 or more), of every diameter; where "
      "none\n"
      "           is, the surest\n"
      "  margin   the surest of all\n\n"
      "Of several fillers for the metal on the rack ([rack] wires) the one is taken that wins. The setting within a "
      "mode is\n"
      "found as always.\n",
      percent * lim.operating_factor_hand.value, percent * lim.operating_factor_carriage.value,
      percent * lim.source_efficiency.value, percent * (lim.mode_metal_ratio.value - 1),
      percent * lim.probability_enough.value);
}

std::string passes_text(const Catalog&) {
  std::string text =
      "A pass may be welded otherwise than the rest of its joint. What its table does not say, [process], [wire] and "
      "[gas]\n"
      "say for all:\n\n"
      "  [pass.root]\n"
      "  mode = \"short-arc\"\n"
      "  [pass.fill]\n"
      "  mode = \"spray\"\n"
      "  wire = \"G 4Si1\"\n\n"
      "Tables, each saying more than those above it:\n\n";
  for (const auto& [name, meaning] :
       {std::pair("pass.root", "the first pass, or the only one"), std::pair("pass.fill", "every pass after the first"),
        std::pair("pass.hot", "in a groove the layer over the root, where it is not the cap"),
        std::pair("pass.cap", "the last layer of a side"), std::pair("pass.back", "every pass of the second side"),
        std::pair("pass.2", "one pass by its number in welding order, from 1")})
    append_entry(text, name, meaning, 26, width);
  text += "\nTheir keys, and those that say the same of the whole joint:\n\n";
  for (const PassKey& key : pass_keys()) append_entry(text, key.key, key.path, 26, width);
  append_entry(text, "limits", "limits", 26, width);
  return text +
         "\nA mode that neither says is chosen as for a joint of one process: one for all passes that leave it open. "
         "In "
         "an\n"
         "open groove in steel, welded from one side, the root may be given an arc that dips by itself, where no one "
         "mode\n"
         "is better throughout; wire and gas stay those of the rest. A table of a pass that the joint does not have is "
         "an\n"
         "error. The answer says at each pass what it is welded with, and counts the changes of wire and gas. In job\n"
         "lists the keys are columns: pass.root.mode, pass.fill.wire.\n";
}

// What the model counts of a shielding gas, with the numbers of the catalog.
std::string gases_text(const Catalog& catalog) {
  const Limits& lim = *catalog.limits;
  const auto of = [&](const Constant& c) { return std::string(source_kind_key(source_of(catalog, c.source).kind)); };
  std::string text =
      "What a shielding gas changes in the numbers. 'seamwright catalog gas' lists the gases by ISO 14175; any other\n"
      "mixture is given by its parts, for the joint or for one pass:\n\n"
      "  [gas]\n"
      "  composition = { Ar = 90, He = 8, CO2 = 2 }\n"
      "  [pass.root]\n"
      "  gas_composition = { Ar = 82, CO2 = 18 }\n\n"
      "Voltage of an arc of the same length, by the family of the wire ('seamwright catalog wire_family'):\n\n";
  for (const WireFamily& w : catalog.wire_families) {
    std::string says = fmt::format("helium {:+.3g} V a per cent", w.helium_V_per_percent.value);
    if (w.gas_lean_V.value != 0)
      says += fmt::format("; {:+.3g} V without CO2 and oxygen, up to {:.3g} % of them", w.gas_lean_V.value,
                          w.gas_reference_percent);
    if (w.gas_rich_V.value != 0) says += fmt::format("; {:+.3g} V in pure CO2", w.gas_rich_V.value);
    append_entry(text, w.id, says, 26, width);
  }
  text += '\n';
  append_entry(
      text, "hydrogen",
      fmt::format("{:+.2g} +-{:.2g} V a per cent, every wire [{}]; the power, and with it melted width and depth, "
                  "rise as the voltage does. Where it is not allowed on the metal the plan warns.",
                  lim.hydrogen_V_per_percent.value, lim.hydrogen_V_per_percent.half_width_90,
                  of(lim.hydrogen_V_per_percent)),
      26, width);
  append_entry(
      text, "transition, CO2",
      fmt::format("the spray transition rises by {:.2g} % a per cent CO2 [{}]; above {:.3g} % nothing sprays [{}]",
                  100 * lim.co2_transition_share.value, of(lim.co2_transition_share), lim.co2_spray_max_percent.value,
                  of(lim.co2_spray_max_percent)),
      26, width);
  append_entry(
      text, "transition, oxygen",
      "none is counted: the currents of the table were taken in argon with 1 to 2 % oxygen for steel, and what "
      "more of it changes is less than their spread [memory]",
      26, width);
  append_entry(text, "burn-off",
               "none: the current that melts a wire hangs on the gas by less than the spread of the law [assumed]", 26,
               width);
  append_entry(
      text, "penetration",
      "by the power of the arc alone: the finger of argon-rich spray is not counted, so a check by macro section "
      "is worth more than a second digit",
      26, width);
  append_entry(text, "spatter",
               "not counted: an arc that is not pulsed spatters the more the more CO2 there is, above 10 to 15 %", 26,
               width);
  append_entry(
      text, "metal",
      "what may be welded under which gas is told as a warning: CO2 over stainless, hydrogen over ferritic and "
      "duplex steel, nitrogen, oxygen over aluminium, nickel and copper ('seamwright catalog pairing')",
      26, width);
  return text;
}

std::string words_text(const Catalog& catalog) {
  std::string text = "Words of the trade that the outputs use.\n\n";
  for (const GlossaryWord& word : catalog.words) append_entry(text, word.id, word.text, 20, width);
  return text + "\nIn brackets behind a sentence stands what the value rests on:\n\n" + source_kinds_text();
}

struct Topic {
  std::string_view name;
  std::string (*text)(const Catalog& catalog);
};
constexpr std::array<Topic, 18> topics{{{"jobs", jobs_text},
                                        {"trials", trials_text},
                                        {"logs", logs_text},
                                        {"procedures", procedures_text},
                                        {"keys", keys_text},
                                        {"passes", passes_text},
                                        {"units", units_topic_text},
                                        {"positions", positions_text},
                                        {"gases", gases_text},
                                        {"modes", modes_text},
                                        {"outputs", outputs_text},
                                        {"limits", limits_text},
                                        {"words", words_text},
                                        {"lock", lock_text},
                                        {"setting", setting_text},
                                        {"data", data_text},
                                        {"prices", prices_text},
                                        {"exit-codes", exit_codes_text}}};

}  // namespace

std::vector<std::string_view> help_topics() {
  std::vector<std::string_view> names;
  for (const Topic& topic : topics) names.push_back(topic.name);
  return names;
}

std::string help_topic_text(std::string_view name, const Catalog& catalog) {
  for (const Topic& topic : topics)
    if (topic.name == name) return topic.text(catalog);
  return {};
}

}  // namespace seamwright
