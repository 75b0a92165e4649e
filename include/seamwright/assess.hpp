// What a setting of the machine gives, inside a window or not.
//
// The setting is made of what the joint carries in its `setting` keys. The feed decides the current and, in pulse, base
// current and frequency: where one of those is given as well it is a reading that can contradict the feed. Without a
// feed the current stands for the feed that melts it. The voltage fixes the arc length (in dip modes the trim). What is
// left open is taken from the plan's own point, so that the point assessed gives the plan's numbers.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/plan.hpp"

namespace seamwright {

// How the metal crosses the arc at a setting, whatever mode the machine is set to.
enum class Transfer : unsigned char {
  dip,           // short circuits that clear
  cold_dip,      // short circuits at less current than the mode has: the wire stubs
  globular,      // large drops: too hot to dip, too cold to spray
  spray,         // fine drops along an arc of usual length
  short_spray,   // spray on an arc so short that it also dips
  rotating,      // beyond the greatest current of spray
  one_drop,      // pulse, one drop each
  not_one_drop,  // pulse whose peak is trimmed out of the range of one drop each
  steady,        // pulse whose peaks fill the period
  broken_arc,    // pulse whose base current does not keep the arc
  no_arc         // the voltage leaves no arc at all: the wire runs into the pool
};
[[nodiscard]] std::string_view transfer_key(Transfer transfer);
[[nodiscard]] std::string_view transfer_label(Transfer transfer);  // one clause

// What would explain a reading that the setting contradicts: one thing alone off, all else right.
struct Cause {
  std::string_view key;   // "extension", "feed", "meter", "wire-diameter", or a constant's
  std::string label;      // "electrode extension"
  std::string_view unit;  // of the values
  double planned = 0;     // what is reckoned with
  double explaining = 0;  // what it would have to be
  double spreads = 0;     // the difference in half-widths of its 90 % interval; not_applicable where it has none
  bool likely = false;    // within its own spread and a half
};

// A quantity that was given although the setting decides it.
struct SettingReading {
  F field{};
  double given = 0, computed = 0;
  double plus_minus = 0;              // 90 % half-width of the computed one
  double spreads = 0;                 // given - computed in such half-widths
  bool contradicts = false;           // beyond 1
  std::vector<Cause> causes = {};     // of a contradiction: at the machine and its meters, the likeliest first
  std::vector<Cause> constants = {};  // and in the model, the one that must give way least first
};

// One limit at the setting.
struct AssessedLimit {
  Margin margin;
  double last = 0;                      // the end beyond which a setting is refused, in the quantity's unit
  double probability = not_applicable;  // with which it holds; none for what is set exactly (a trim in its range)
  bool broken = false;
};

struct SettingChange {
  F field{};
  double from = 0, to = 0;
};
// A setting near the one assessed that holds, as it can be set.
struct NearestSetting {
  Setting setting;
  FieldValues values;
  Grade grade = Grade::scrap;
  double probability = 0;              // of its least sure limit
  std::vector<SettingChange> changes;  // what to turn: feed, voltage, peak current, modulation, travel
};

struct Assessment {
  std::size_t pass = 0;  // index
  std::size_t passes = 0;
  Plan plan;                 // of the joint in the mode the setting runs in: the case, and the plan's own point
  bool mode_chosen = false;  // the joint leaves the mode open: the one that fits the setting was taken
  Transfer transfer{};
  Setting setting;
  std::vector<F> taken;         // settings that were left open and are the plan's
  std::vector<F> dials_unused;  // what dials were given for that no limit here hangs on
  FieldValues values, plus_minus;
  std::vector<AssessedLimit> limits;  // those broken first, then the least sure first
  std::size_t broken = 0;
  PassGrade grade;  // of a setting that holds
  std::vector<SettingReading> readings;
  std::optional<NearestSetting> nearest;  // where the setting is not sound and a better one is near
};

struct AssessOptions {
  const Equipment* equipment = nullptr;
  std::vector<DialSetting> dials = {};   // of that equipment, besides the joint's; they count like `setting` keys
  const Procedure* procedure = nullptr;  // its ranges bind like any other limit
  std::size_t pass = 0;                  // index
  bool nearest = true;
};

// Assesses the setting of a joint. Errors: those of make_plan; a pass that the joint does not have; a current that no
// feed melts; a mode that this wire and gas cannot run in; a dial that the equipment does not have, off its scale, or
// beside the quantity it sets. At least one `setting` key or dial must be given.
[[nodiscard]] Expected<Assessment> assess(const Joint& joint, const Catalog& catalog, const AssessOptions& options);

// Whether a joint carries any `setting` key, dials among them.
[[nodiscard]] bool has_setting(const Joint& joint);

}  // namespace seamwright
