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

// " [practice]": the kind of a source, in front of it a space; empty where there is none.
[[nodiscard]] std::string source_mark(const Catalog& catalog, SourceIndex source);

// "shielding gas M21, 12 l/min": empty without a gas.
[[nodiscard]] std::string gas_words(const Case& resolved, Units units);
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
