// What the card and the long table of a plan say alike: conflicts, ways out, runs of passes, marks of sources.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "quantity/quantity_text.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

enum class TextStyle : unsigned char { plain, bold, caution, alarm };
// `text` in that style for a terminal; as it is where `color` is false.
[[nodiscard]] std::string styled(std::string_view text, TextStyle style, bool color);
// A line in that style, or the lines that the screen needs for it; those after the first are indented by `indent`.
void append_heading(std::string& out, std::string_view text, TextStyle style, bool color, std::size_t width,
                    std::size_t indent = 2);

// " [practice]": the kind of a source, in front of it a space; empty where there is none.
[[nodiscard]] std::string source_mark(const Catalog& catalog, SourceIndex source);

// "shielding gas M21, 12 l/min": empty without a gas.
[[nodiscard]] std::string gas_words(const Case& resolved, Units units);
// What a pass is welded with, each under its name; a text may be empty.
enum class ProcessFact : std::size_t { wire, gas, flow, mode, extension, position, count };
[[nodiscard]] std::string process_fact(const Case& process, ProcessFact fact, Units units);
// The same where no label stands beside it: "stick-out 12 mm".
[[nodiscard]] std::string told_fact(const Case& process, ProcessFact fact, Units units);
// Whether passes differ in it.
[[nodiscard]] bool differs(const Plan& plan, ProcessFact fact, Units units);
// "pass 1: short arc; passes 2-5: pulse"
[[nodiscard]] std::string fact_by_pass(const Plan& plan, ProcessFact fact, Units units);
// What a pass is welded with, as far as passes differ in it: "short arc, stick-out 12 mm"; empty where all are alike.
[[nodiscard]] std::string own_process_words(const Plan& plan, const PassResult& pass, Units units);
// "1 wire change: between passes 1 and 2, from G3Si1 1 mm to G4Si1 1.2 mm", and so for the gas; that there is none
// where only modes or settings differ; nothing where all passes have the joint's own process.
[[nodiscard]] std::vector<std::string> change_words(const Plan& plan, Units units);
// "6.0 mm wide, 0.30 s at each side, 3.6 mm on from weave to weave", with the mark of its source where it is not given;
// empty for stringers.
[[nodiscard]] std::string weave_words(const Plan& plan, const PassResult& pass, Units units);
[[nodiscard]] std::string machine_words(const Case& resolved);
[[nodiscard]] std::string procedure_words(const Case& resolved);  // empty without one

inline constexpr std::string_view no_window_words =
    "No wire feed and travel speed satisfy everything this joint asks for.";
inline constexpr std::string_view opening_title = "What would open a window (each was tried)";
inline constexpr std::string_view no_opening_words =
    "None of the usual single changes opens one. Change two things at once, or the joint.";
inline constexpr std::string_view starting_values_words =
    "Starting values: the qualified procedure and the responsible coordinator decide.";
// Where the conflict of a pass is smallest; empty where it has no point at all.
[[nodiscard]] std::string least_conflict_words(const PassResult& pass, Units units);
[[nodiscard]] std::string conflict_words(const Margin& margin, const Catalog& catalog, Units units);
// What to add to the command, as a shell takes it: "--set joint.leg='5 mm'".
[[nodiscard]] std::string way_to(const Suggestion& suggestion);
// Why a pass lays more metal than the joint needs.
[[nodiscard]] std::string moved_deposit_words(const PassResult& pass, Units units);

// Passes that follow each other with one role and side and of which one text is printed.
struct PassRun {
  std::size_t first = 0, last = 0;
  std::string body;
};
[[nodiscard]] std::vector<PassRun> runs_of_passes(const Plan& plan,
                                                  const std::function<std::string(const PassResult&)>& body);
// "Passes 2-5 of 6: fill, side 1, each"
[[nodiscard]] std::string run_title(const Plan& plan, const PassRun& run);

// What something else than metal stands for: "the least arc time (prefer time)".
[[nodiscard]] std::string preference_words(Preference preference);

}  // namespace seamwright
