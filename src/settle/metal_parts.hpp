// The metal of a case, for all that asks about it.
#pragma once

#include <boost/container/static_vector.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "seamwright/aluminium.hpp"
#include "seamwright/case.hpp"
#include "seamwright/heat_range_id.hpp"

namespace seamwright {

// Row of the joint factors of EN 1011-2 table D.1; empty for an edge joint, which has none.
[[nodiscard]] std::optional<CoolingJoint> cooling_joint(JointType type);
// The analysis given laid over the typical composition; the typical one for a second alloy.
[[nodiscard]] Composition composition_of(const Case& resolved, const Alloy& alloy);
// Where the composition in use comes from: "typical heat", "the analysis given", or "the analysis given, with Si and Mn
// of the typical heat" where the analysis leaves out what the typical heat has.
[[nodiscard]] std::string composition_words(const Case& resolved, const Alloy& alloy);
// One or two, in the order given.
[[nodiscard]] boost::container::static_vector<const Alloy*, 2> alloys_of(const Case& resolved);
// The carbon or low-alloy steel of the joint with the higher CET; null: none.
[[nodiscard]] const Alloy* hardening_alloy(const Case& resolved);
// The alloy whose usual highest interpass temperature is the lowest of those that have one; else the first.
[[nodiscard]] const Alloy& interpass_alloy(const Case& resolved);
// What is melted off the plates: half of each where there are two alloys.
[[nodiscard]] Composition base_mixture(const Case& resolved);
// Steel whose coating of zinc the usual filler, a bronze, leaves alive.
[[nodiscard]] bool is_zinc_coated(const Alloy& alloy);
// Stainless wire with too little nickel for any austenite.
[[nodiscard]] bool is_ferritic(const Catalog& catalog, const Wire& wire);
// The weakest source among the compositions in use.
// Iron of the wire and of the base metal, %, for an overlay of another metal on steel; else the pass has none.
void add_overlay_iron(const Case& c, PassContext& pass);
// Iron of the wire and of the base metal, %, for an overlay of another metal on steel; other passes have none.
void add_overlay_iron(const Case& resolved, PassContext& pass);
[[nodiscard]] SourceIndex composition_source(const Case& resolved);
// What the filler table is asked; empty where one of the plates is no aluminium of a known kind.
[[nodiscard]] std::optional<FillerQuestion> filler_question(const Case& resolved);
// The source of a row of the heat ranges; 0: there is no such row.
[[nodiscard]] SourceIndex heat_range_source(const Catalog& catalog, HeatRangeId id);
// The highest preheat that a plate asks for by its kind at the thicker plate; null: none.
[[nodiscard]] const GradePreheatRow* grade_preheat(const Case& resolved);
// The thicker plate: it takes the heat away faster, so its side hardens more.
[[nodiscard]] double plate_thickness_mm(const Case& resolved);

}  // namespace seamwright
