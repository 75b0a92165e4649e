// Calibrated constants as rows for --data.
#include <fmt/format.h>

#include "calibrate/trial_row.hpp"
#include "text/rounded_text.hpp"
#include "window/trial_constants.hpp"

namespace seamwright {
namespace {

constexpr std::string_view source_key = "own-trials";

// Text between the quotes of a TOML string; the catalog's texts are printable ASCII.
std::string toml_text(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c >= ' ' && c <= '~' ? c : '?';
  }
  return out;
}

std::string constant_text(std::string_view column, double value, double half_width_90) {
  return fmt::format("{} = {{ value = {}, u90 = {}, source = \"{}\" }}\n", column, short_text(value),
                     short_text(half_width_90), source_key);
}

}  // namespace

std::string correlation_text(const CalibrationGroup& group) {
  std::string text;
  for (const Correlation& c : group.correlations)
    text += fmt::format("{}{} {} {}", text.empty() ? "" : "|", c.first, c.second, short_text(c.value));
  return text;
}

TrialText::TrialText(const CalibrationGroup& group, SourceIndex source) : correlation_(correlation_text(group)) {
  row_.id = group.id;
  row_.wire_family = group.wire_family;
  row_.mode = group.mode;
  row_.metal = group.metal;
  row_.correlation = correlation_;
  for (const CalibratedConstant& c : group.constants)
    for (const TrialConstant& known : trial_constants())
      if (c.written && known.column == c.column)
        row_.*known.member = {c.relative.value, c.relative.half_width_90, source};
  for (const CalibratedLimit& limit : group.limits)
    (limit.column == "cold_lap_limit" ? row_.cold_lap_limit : row_.burn_through_limit) = {limit.factor,
                                                                                          limit.half_width_90, source};
}

std::string trial_overlay(const Calibration& calibration, const Catalog& catalog) {
  std::string out =
      "# Written by 'seamwright calibrate': what our own trial welds say. For --data.\n"
      "# Factors on the catalog's values, dip_offset_V an offset; u90 is the half-width of the 90 % interval, and\n"
      "# 'correlation' what the trials say of two constants together: the half-widths alone are the marginal ones.\n\n";
  out += fmt::format(
      "[[source]]\nkey = \"{}\"\nkind = \"trial\"\ntitle = \"Own trial welds: {}, {} row{}, over data {}\"\n",
      source_key, toml_text(calibration.file), calibration.rows, calibration.rows == 1 ? "" : "s",
      toml_text(catalog.version));
  for (const CalibrationGroup& group : calibration.groups) {
    out += fmt::format(
        "\n# From {} trial{}.\n[[trial]]\nid = \"{}\"\nwire_family = \"{}\"\nmode = \"{}\"\nmetal = \"{}\"\n",
        group.welds.size(), group.welds.size() == 1 ? "" : "s", group.id, group.wire_family, mode_key(group.mode),
        group.metal);
    for (const CalibratedConstant& c : group.constants)
      if (c.written) out += constant_text(c.column, c.relative.value, c.relative.half_width_90);
    for (const CalibratedLimit& limit : group.limits)
      out += constant_text(limit.column, limit.factor, limit.half_width_90);
    if (!group.correlations.empty()) out += fmt::format("correlation = \"{}\"\n", correlation_text(group));
  }
  return out;
}

}  // namespace seamwright
