// The one-knob (synergic) line: for a wire, a gas and a mode, everything that follows from the wire feed, over the
// whole range in which the arc is stable. No joint is needed; which plates it suits comes from the window solver.
#pragma once

#include <vector>

#include "seamwright/plan.hpp"

namespace seamwright {

struct LineRow {
  FieldValues value;                             // at this feed; what hangs on travel does not apply
  FieldValues plus_minus;                        // 90 % half-widths
  double voltage_low_V = 0, voltage_high_V = 0;  // over the trim window
};

// The feeds at which a plate can be welded: the root or only pass of a joint of that thickness.
struct LineSuit {
  JointType type = JointType::fillet;
  double thickness_mm = 0;
  Interval wire_feed_m_per_min;
};

struct SynergicLine {
  Case resolved;
  PassContext context;
  BandEnd low, high;  // of the stable range, with what ends it
  std::vector<LineRow> rows;
  std::vector<LineSuit> suits;
  Interval current_rise_A_per_ms;  // usual, over the whole line
  Interval peak_trim_percent;      // that keeps one drop a pulse; 0 to 0 in modes without a pulse
  std::vector<Warning> cautions;
};

// `joint` is a bead on plate that names the wire; gas, mode and diameter are chosen where it leaves them open.
// `step_m_per_min` 0: a round step that gives a dozen rows or so. Rows: both ends, and the multiples of the step
// between.
[[nodiscard]] Expected<SynergicLine> synergic_line(const Joint& joint, const Catalog& catalog, double step_m_per_min);

}  // namespace seamwright
