// The tables of the catalog that hold many rows, each listed once: its name in data files and on the command line, the
// type of a row, the member of `Catalog` and `CatalogData`, and what it holds. The reader, overlays, the tables
// compiled in, the `catalog` command and its help are made from this list. Sources come first: the other tables refer
// to them.
#pragma once

// clang-format off
#define SEAMWRIGHT_TABLES(TABLE) \
  TABLE(source, Source, sources, "where values come from: standards, papers, open data, practice, memory, assumptions")     \
  TABLE(metal, Metal, metals, "thermal constants of a kind of base metal, for the pool and the heat")                       \
  TABLE(wire_family, WireFamily, wire_families, "burn-off, arc voltage, arc lengths and dynamics of a family of wires")     \
  TABLE(wire_size, WireSize, wire_sizes, "current ranges, transition, pulse peak and feed range of a family at a diameter") \
  TABLE(gas, Gas, gases, "shielding gases and what is in them")                                                             \
  TABLE(wire, Wire, wires, "filler wires: analysis, diameters, gases")                                                      \
  TABLE(alloy, Alloy, alloys, "base metals: names, analysis, interpass and heat-input limits, usual fillers")               \
  TABLE(unlike_filler, UnlikeFiller, unlike_fillers, "fillers between unlike metals")                                       \
  TABLE(material_group, MaterialGroup, material_groups, "groups of ISO/TR 15608, and the alloy that stands for each")       \
  TABLE(preparation, Preparation, preparations, "usual angle, gap and root face of a joint by thickness")                   \
  TABLE(position, Position, positions, "welding positions: usual deposit, rise of current")                                 \
  TABLE(mode, ModeInfo, modes, "transfer modes: arc efficiency")                                                            \
  TABLE(quality_level, QualityLevel, quality_levels, "ISO 5817 levels: maximum excess weld metal and the like")             \
  TABLE(pairing, Pairing, pairings, "choices that are warned about")                                                        \
  TABLE(caution, Caution, cautions, "cautions, and when they are printed")                                                  \
  TABLE(word, GlossaryWord, words, "words of the trade that outputs use, for help and the foot of the sheet")               \
  TABLE(filter_shade, FilterShadeRow, filter_shades, "minimum shade of the eye filter by arc current")                      \
  TABLE(heat_range, HeatRange, heat_ranges, "ranges and spread of the formulas of the heat report")                         \
  TABLE(cooling_joint, CoolingJointRow, cooling_joints, "joint factors of t8/5")                                            \
  TABLE(composition_limit, CompositionLimit, composition_limits, "elements for which a formula holds")                      \
  TABLE(no_preheat, NoPreheatRow, no_preheat, "combined thickness weldable without preheat, EN 1011-2")                     \
  TABLE(minimum_preheat, MinimumPreheatRow, minimum_preheat, "minimum preheat of AWS D1.1 by thickness")                    \
  TABLE(grade_preheat, GradePreheatRow, grade_preheat, "preheat that a grade or group asks for by its kind")                \
  TABLE(start_end, StartEndRow, start_end, "start, end and tacks of a weld: usual ranges by metal and thickness")           \
  TABLE(susceptibility_group, SusceptibilityGroup, susceptibility_groups, "groups of the hydrogen-control method")          \
  TABLE(susceptibility_preheat, SusceptibilityRow, susceptibility_preheat, "preheat of the hydrogen-control method")        \
  TABLE(filler_pair, FillerPair, filler_pairs, "fillers for pairs of aluminium alloys")                                     \
  TABLE(filler_traits, FillerTraits, filler_traits, "what an aluminium filler is good for")                                 \
  TABLE(aluminium_temperature, AluminiumTemperatureRow, aluminium_temperatures, "preheat and interpass of aluminium")       \
  TABLE(qualification, QualificationRow, qualifications, "what a procedure test qualifies")                                 \
  TABLE(qualified_group, QualifiedGroupRow, qualified_groups, "groups of parent metal that a procedure test covers")        \
  TABLE(imperfection, ImperfectionRow, imperfections, "limits of imperfections by quality level")                           \
  TABLE(limit_strength, LimitStrength, limit_strengths, "how strong each limit is, and its easy and last ends")             \
  TABLE(travel_range, TravelRange, travel_ranges, "travel speeds of a hand and a carriage")                                 \
  TABLE(wire_trade_size, WireTradeSize, wire_trade_sizes, "diameters of the inch trade, and the size whose limits they share") \
  TABLE(trial, TrialRow, trials, "what your own trial welds say: written by 'seamwright calibrate', none built in")         \
  TABLE(reading, ReadingRow, readings, "how well a reading of a trial weld is read, and how much welds differ")             \
  TABLE(verdict, VerdictRow, verdicts, "what can be said of a trial weld, and the limit it speaks of")
// clang-format on
