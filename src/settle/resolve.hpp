// Choosing what the user left out.
#pragma once

#include <boost/container/static_vector.hpp>
#include <optional>
#include <string>
#include <vector>

#include "seamwright/case.hpp"
#include "seamwright/diagnostic.hpp"

namespace seamwright {

// Everything that does not hang on mode and wire diameter: alloy, filler, gas, position, preparation, leg, thermal
// state.
[[nodiscard]] Expected<Case> resolve_joint(const Joint& joint, const Equipment* equipment, const Catalog& catalog);
// The same into a case that may have held another joint; its memory is used again, its procedure stays. No errors: it
// holds this one.
[[nodiscard]] Diagnostics resolve_joint(const Joint& joint, const Equipment* equipment, const Catalog& catalog,
                                        Case& resolved);

// Whether the pool hangs or stands: every position but flat, horizontal fillet and horizontal.
[[nodiscard]] bool out_of_position(const Position& position);

// The travel where the joint gives one rather than a range; 0: it is open.
[[nodiscard]] double fixed_travel_mm_per_s(const Joint& joint);

// The row of the preparations table for a type: the one whose thickness range holds the thickness, else the first of
// that type; null where the table has none for this metal.
[[nodiscard]] const Preparation* preparation_row(const Case& resolved, PreparationType type, double thickness_mm,
                                                 int sides);

// Wire diameters to try, the one the trade would take first first. The given one alone when the user fixed it.
using DiameterList = boost::container::static_vector<double, 16>;
// Wires on the rack that are fillers for the base metal, the usual first; none for two metals or without a rack.
[[nodiscard]] std::vector<std::string_view> fillers_on_rack(const Case& resolved);
[[nodiscard]] DiameterList diameter_candidates(const Case& resolved);

// Modes to try; the given one alone when the user fixed it. Modes that cannot exist for this wire and gas are left out
// with their reason in `refusals`.
struct ModeRefusal {
  Mode mode{};
  std::string reason;
};
using ModeList = boost::container::static_vector<Mode, mode_count>;
[[nodiscard]] ModeList mode_candidates(const Case& resolved, std::vector<ModeRefusal>& refusals);

// Whether the root of a groove is welded over a gap with nothing behind it, and so cooler than the other passes. Not in
// aluminium, whose roots are published as hot as the rest.
[[nodiscard]] bool open_root(const Case& c);
// Such a root, or one on a ceramic.
[[nodiscard]] bool cool_root(const Case& c);
// Whether a mode is usual only elsewhere: dip modes on plate, spray out of position. Then it is chosen last.
[[nodiscard]] bool unusual_mode(const Case& c, Mode mode);

// Completes a case with a mode and a diameter, in the place of any it was completed with before: extension, gas flow,
// passes, warnings. The reason why the mode is not possible with that wire, gas and equipment when it is not.
// `deposit_share` (0..1] plans smaller passes than the position usually takes.
[[nodiscard]] std::optional<std::string> settle_mode(Case& resolved, Mode mode, double diameter_mm,
                                                     double deposit_share = 1.0);
// The same, whether it is possible; the reason into a string whose memory is used again.
[[nodiscard]] bool settle_mode(Case& resolved, Mode mode, double diameter_mm, double deposit_share,
                               std::string& reason);

// Whether a pass (index) differs from the one before it in its place alone, what the procedure states included: what
// holds for one holds for the other.
[[nodiscard]] bool like_the_one_before(const Case& resolved, std::size_t pass);

// An earlier pass, of the other side of the joint too, that it is like in this; itself where there is none.
[[nodiscard]] std::size_t earlier_alike(const Case& resolved, std::size_t pass);

// Adds to the choices and warnings of a settled case those of its passes' own processes, where it does not have them
// already, and takes away what no pass is welded with. Once, after the last settling.
void add_words_of_passes(Case& resolved);

// Whether any pass, as planned, is welded by the joint's own process.
[[nodiscard]] bool is_used(const Case& resolved);
// Tables of passes that a settled plan does not have.
[[nodiscard]] Diagnostics tables_without_pass(const Case& resolved);
// Weaves that are wider than the bead one pass can lay in its position, or than its pass has to cover.
[[nodiscard]] Diagnostics weaves_too_wide(const Case& resolved);

// Fills in what the heat does to the metal: `metallurgy` and its constants.
void add_metallurgy(const Case& resolved, PassContext& pass);

}  // namespace seamwright
