// Thresholds and defaults of reading a recorded weld. They live in data/review.toml, table [review]; an overlay may
// change any of them.
#pragma once

#include "seamwright/constant.hpp"

namespace seamwright {

struct ReviewRules {
  // Reading
  Constant current_most_A, voltage_most_V;  // a reading beyond is no reading but a spike
  Constant gap_factor;                      // an interval of more than so many usual ones is a gap
  Constant frozen_s, frozen_samples;  // current and voltage unchanged for longer, and so many samples: not measured
  Constant bad_rows_share;            // of rows that cannot be read, up to which the rest is still reviewed
  // Arc
  Constant arc_on_A, arc_off_A;                   // the arc burns from the first on, until it is below the second
  Constant arc_voltage_min_V, arc_voltage_max_V;  // likewise where no current is recorded
  Constant arc_feed_m_per_min;                    // likewise where only the wire feed is
  Constant arc_out_s;                             // out for longer: the weld has ended; shorter: it was interrupted
  Constant gap_ends_s;                            // a gap of more ends the weld too
  Constant weld_least_s;                          // burning for less is a strike and no weld
  // Short circuits
  Constant short_below_V, short_above_V;  // begins below the first, ends above the second
  Constant short_least_ms;
  Constant short_rate_least_Hz;  // fewer a second are single short circuits, no dip transfer
  Constant short_samples;        // samples in the shortest one that a rate must give
  // Pulse
  Constant pulse_min_Hz, pulse_max_Hz;   // where a pulse is looked for
  Constant pulse_contrast;               // peak over base at least
  Constant pulse_irregularity;           // of one period against the next, at most
  Constant pulse_autocorrelation;        // after one period, at least
  Constant pulse_share;                  // of the time of a weld that must be pulsed so
  Constant pulse_samples, ramp_samples;  // samples a period, and a ramp, that a rate must give
  Constant waveform_Hz;                  // a waveform of so much is followed by `pulse_samples` readings a period
  Constant pulse_shorts_share;           // short circuits a pulse, from which the current follows them
  // Slow modulation
  Constant modulation_min_Hz, modulation_max_Hz;
  Constant modulation_depth;  // amplitude over mean at least
  Constant modulation_share;  // of the variance of the slow signal that lies in it
  Constant modulation_periods;
  // Against ranges
  Constant mean_s;        // readings are averaged over so long before they are held against a range
  Constant excursion_s;   // outside for as long: the weld is outside
  Constant seam_step_mm;  // of the heat input along the seam
};

}  // namespace seamwright
