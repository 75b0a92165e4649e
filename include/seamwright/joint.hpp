// A joint as the user gave it. Nothing here is chosen or computed: what was left out stays empty.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "seamwright/catalog.hpp"
#include "seamwright/diagnostic.hpp"
#include "seamwright/field.hpp"
#include "seamwright/joint_type.hpp"

namespace seamwright {

[[nodiscard]] std::string_view joint_type_key(JointType type);  // "fillet", "pipe-butt", ...
[[nodiscard]] std::string_view preparation_key(PreparationType type);
enum class Backing : std::uint8_t { none, permanent, ceramic, gas };
[[nodiscard]] std::string_view backing_key(Backing backing);

// A text that may be missing. Taken out it keeps its memory for the next one.
class MaybeText {
 public:
  MaybeText() = default;
  MaybeText(const MaybeText& other) : text_(other.given_ ? other.text_ : std::string()), given_(other.given_) {}
  MaybeText(MaybeText&& other) noexcept : text_(std::move(other.text_)), given_(std::exchange(other.given_, false)) {}
  MaybeText& operator=(const MaybeText& other) {
    if (this == &other) return *this;
    if (other.given_) text_ = other.text_;
    given_ = other.given_;
    return *this;
  }
  MaybeText& operator=(MaybeText&& other) noexcept {
    if (this == &other) return *this;
    text_ = std::move(other.text_);
    given_ = std::exchange(other.given_, false);
    return *this;
  }
  MaybeText& operator=(std::string_view text) {
    text_ = text;
    given_ = true;
    return *this;
  }
  ~MaybeText() = default;

  [[nodiscard]] bool has_value() const { return given_; }
  [[nodiscard]] const std::string& operator*() const { return text_; }
  [[nodiscard]] const std::string* operator->() const { return &text_; }

 private:
  std::string text_;
  bool given_ = false;
};

// A value the user gave, and where.
template <class T>
struct Given {
  std::optional<T> value;
  Place place;
  [[nodiscard]] explicit operator bool() const { return value.has_value(); }
  [[nodiscard]] const T& operator*() const { return *value; }
};
template <>
struct Given<std::string> {
  MaybeText value;
  Place place;
  [[nodiscard]] explicit operator bool() const { return value.has_value(); }
  [[nodiscard]] const std::string& operator*() const { return *value; }
};

// What the choice among modes, wire diameters and sizes of passes is weighed by.
enum class Preference : unsigned char {
  metal,  // the trade's usual order among those that are likely to hold, unless it lays much more metal
  time,   // the least arc time among those that are likely to hold
  margin  // the surest
};
[[nodiscard]] std::string_view preference_key(Preference preference);

// A limit on an output quantity; either end may be open (minus or plus infinity).
struct UserLimit {
  F field{};
  Interval range;
  Place place;
};

// What may be said of the whole joint, and of one pass in its place.
struct ProcessInput {
  Given<std::string> position;

  Given<std::string> wire;
  Given<double> wire_diameter_mm, extension_mm;
  Given<std::string> gas;
  std::vector<std::pair<std::string, double>> gas_composition;  // "Ar", "CO2", "O2", "He", "N2", "H2"; % by volume
  Place gas_composition_place;
  Given<double> gas_flow_l_per_min;

  Given<Mode> mode;
  Given<Interval> travel_mm_per_s;  // one number gives low == high
  Given<bool> mechanised;
  Given<double> weave_width_mm, weave_dwell_s;  // of the torch across the joint, and its stop at each side
  Given<double> wire_feed_m_per_min, arc_length_mm, peak_current_A, peak_time_ms;
  Given<double> current_A, voltage_V;  // instead of the feed, and of the arc length

  Given<double> modulation_frequency_Hz, modulation_amplitude_m_per_min, modulation_share;

  std::vector<UserLimit> limits;
};

// Passes that the joint speaks of, those that say less first: a later table says more than one before it.
//   root: the first pass of a joint, or its only one. fill: all that follow. hot: of a groove, those of the layer over
//   the root that are no cap. cap: the last layer of a side. back: all of the second side. number: one pass, by its
//   place in welding order.
enum class PassTableKind : unsigned char { root, fill, hot, cap, back, number };
struct PassTable {
  PassTableKind kind = PassTableKind::root;
  int number = 0;  // of a single pass, from 1
  Place place;     // of its first key
  ProcessInput says;
  bool required = true;  // whether the joint must have such a pass
};
[[nodiscard]] std::string pass_table_name(const PassTable& table);  // "pass.root", "pass.3"

// A number read off a dial of the machine.
struct DialSetting {
  std::string name;  // what stands on the machine
  double reading = 0;
  Place place = {};  // for messages
};

struct Joint : ProcessInput {
  std::string name;  // the file, for messages
  Given<std::string> title, id;
  Given<double> confidence;    // 0.5 or more, less than 1
  Given<int> quantity;         // welds like this one
  Given<std::string> quality;  // ISO 5817 level

  Given<JointType> type;
  Given<double> thickness_mm, thickness2_mm;
  Given<PreparationType> preparation;
  // What totals are of where neither length nor diameter is given: a metre, or a foot (mm_per_ft).
  double unit_length_mm = 1000;
  Given<double> gap_mm, root_face_mm, angle_deg, leg_mm, leg2_mm, throat_mm, length_mm, diameter_mm, plate_width_mm;
  Given<double> step_over_mm;  // overlay: from bead to bead
  Given<Backing> backing;
  Given<int> sides;

  Given<std::string> alloy, alloy2;
  std::vector<std::pair<Element, double>> composition;  // overrides the catalog's typical composition
  Given<double> preheat_C, interpass_C, hydrogen_ml_per_100g;
  Given<double> service_C;  // aluminium: temperature the part is used at
  Given<bool> anodised;     // aluminium: the weld must match in colour

  Given<std::string> backing_gas;

  Given<Preference> prefer;

  std::vector<PassTable> passes;  // in the order of their kinds and numbers

  // Sides of the lockable box that are fixed, their weights in its growth, and how well settings are held.
  Given<Interval> lock_wire_feed_m_per_min, lock_travel_mm_per_s, lock_arc_trim_V, lock_peak_trim,
      lock_amplitude_m_per_min, lock_frequency_Hz;
  Given<double> lock_weight_wire_feed, lock_weight_travel, lock_weight_arc_trim, lock_weight_peak_trim,
      lock_weight_amplitude, lock_weight_frequency;
  Given<double> lock_accuracy_wire_feed, lock_accuracy_voltage, lock_accuracy_peak_current;

  // A setting to be assessed, as it stands on the machine. A plan does not look at it.
  Given<double> setting_feed_m_per_min, setting_current_A, setting_voltage_V, setting_travel_mm_per_s,
      setting_frequency_Hz, setting_peak_A, setting_base_A, setting_amplitude_m_per_min, setting_modulation_Hz;
  std::vector<DialSetting> setting_dials;  // of the machine that goes with it
};

}  // namespace seamwright
