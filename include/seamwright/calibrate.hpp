// The user's own constants from trial welds: what a shop's wire, machine and torch do, in place of the catalog's
// values.
//
// Bayes: the catalog's value and half-width of every constant are what is known beforehand, each reading is an
// observation with its own spread and that of welds at one setting (data/readings.toml), and a verdict says on which
// side of a limit a weld lay (probit). The most probable constants are found by Gauss-Newton steps with Levenberg's
// damping, their spread and how they are tied together from the curvature there. What differs from weld to weld and is
// not read (stick-out, feed as set, arc length) is averaged over. Readings that do not fit get less weight and are
// named.
//
// Constants are those of a wire family in a mode on a metal. Joints, positions, gases and diameters of such a group
// share them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "seamwright/catalog.hpp"
#include "seamwright/diagnostic.hpp"
#include "seamwright/equipment.hpp"
#include "seamwright/field.hpp"
#include "seamwright/joint.hpp"

namespace seamwright {

struct TrialReading {
  const ReadingRow* kind = nullptr;
  std::optional<F> field;    // none: leg, fused section
  double value = 0;          // in the reading's unit
  double half_width_90 = 0;  // of the reading itself, as given; 0: the data's
};

struct TrialWeld {
  std::size_t row = 0;  // of the list, from 1
  Place place;          // where it begins
  std::string id;
  Joint joint;
  std::size_t pass = 0;
  double wire_feed_m_per_min = 0, travel_mm_per_s = 0;
  std::optional<double> arc_trim_V, peak_trim;  // as set on dials; the peak's as a share
  std::vector<TrialReading> readings;
  std::vector<const VerdictRow*> verdicts;
  bool good = false;
};

struct TrialList {
  std::string file;  // without its folder
  std::vector<TrialWeld> welds;
};

// A CSV list of trial welds: a header of joint keys (wire.designation, wire.diameter and process.mode are needed), of
// wire_feed and travel, and of readings, by the keys of data/readings.toml, each with its unit behind it if wished
// (current_A), and `KEY +-` for its half-width at 90 %; `verdict` has words with ';' between. Joint type, thickness and
// alloy may be left out: a bead on 10 mm plate. All errors at once, each at its cell.
[[nodiscard]] Expected<TrialList> read_trials(std::string_view text, const std::string& name, const Catalog& catalog,
                                              const Equipment* equipment = nullptr);

struct CalibratedConstant {
  std::string_view column, label, unit;
  Constant before, after;  // of the constant itself in the group's first weld; `after` without a source
  Constant relative;       // factor or offset on the catalog's value: what is written
  double narrowed = 0;     // 1 - half-width after over before
  bool written = false;    // false: the trials say nothing of it, it stays as it was
};

struct CalibratedLimit {
  std::string_view column, label;
  double factor = 1, half_width_90 = 0;
};

struct Correlation {
  std::string_view first, second;
  double value = 0;
};

struct CalibratedBand {
  F field = F::count;
  double before = 0, before_half = 0, after = 0, after_half = 0;  // half-widths at 90 %
};

struct CalibrationGroup {
  std::string id;  // "carbon-steel spray carbon-steel"
  std::string_view wire_family, metal;
  Mode mode{};
  std::vector<std::size_t> welds;  // indices into the list
  std::vector<CalibratedConstant> constants;
  std::vector<CalibratedLimit> limits;
  std::vector<Correlation> correlations;
  std::vector<CalibratedBand> bands;  // at the setting of the first weld
};

struct CalibratedReading {
  std::size_t weld = 0, reading = 0;  // indices
  std::size_t group = 0;
  double measured = 0, noise_half = 0;            // noise: of the reading and from weld to weld
  double before = 0, before_half = 0, after = 0;  // predicted; half-width of the model beforehand
  double spreads_off = 0;                         // from what the other readings say, in standard deviations
  double weight = 1;
  std::optional<double> left_out, left_out_half;  // predicted by the other welds; half-width with the noise
};

struct Calibration {
  std::string file;
  std::size_t rows = 0;
  std::vector<CalibrationGroup> groups;
  std::vector<CalibratedReading> readings;
  std::vector<std::string> remarks;  // outliers with row and reason, what the trials cannot tell, limits moved
};

struct CalibrateOptions {
  bool leave_one_out = false;
};
// Errors: a weld that its mode, wire or joint does not allow; a group that the catalog already has trial constants of.
[[nodiscard]] Expected<Calibration> calibrate(const TrialList& trials, const Catalog& catalog,
                                              const CalibrateOptions& options = {});

// The file for --data. Hangs on the trials and the catalog alone: no date, no folder.
[[nodiscard]] std::string trial_overlay(const Calibration& calibration, const Catalog& catalog);

}  // namespace seamwright
