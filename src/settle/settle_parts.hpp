// What the parts of resolve_joint share: choices, warnings, and the steps that stand in files of their own.
#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <utility>

#include "seamwright/case.hpp"
#include "seamwright/diagnostic.hpp"

namespace seamwright {

[[nodiscard]] inline std::string mm(double value) { return fmt::format("{:.4g} mm", value); }

// Errors of choices: they have the place of the key that caused them.
template <class T>
[[nodiscard]] Diagnostic wrong(const Given<T>& given, std::string message, std::string help) {
  Diagnostic d;
  d.place = given.place;
  d.message = std::move(message);
  d.help = std::move(help);
  return d;
}

// `make` returns the choice: its texts are made where somebody will read them.
template <class Make>
void choose(Case& c, Make make) {
  if (c.with_reasons) c.choices.push_back(make());
}

// A warning of this joint alone; `make` returns its text.
template <class Make>
void warn_that(Case& c, std::string_view id, SourceIndex source, Make make) {
  c.warnings.push_back({id, c.with_reasons ? make() : std::string(), source});
}

// Whether a '|' list has an item.
[[nodiscard]] bool list_has(std::string_view list, std::string_view item);
[[nodiscard]] inline std::string_view first_item(std::string_view list) { return list.substr(0, list.find('|')); }

// Operating factor and efficiency of the power source, where there are prices.
void resolve_times_and_efficiency(Case& resolved);
// The prices of the wire, in its diameter, and of the gas.
void settle_prices(Case& resolved);
// Names of the rack and of the prices that the catalog does not know.
void check_rack(const Case& resolved, Diagnostics& errors);
// Whether a wire stands on the rack, in any or in one diameter; the case has equipment with a rack of wires.
[[nodiscard]] bool on_rack(const Case& resolved, const Wire& wire);
[[nodiscard]] bool on_rack(const Case& resolved, const Wire& wire, double diameter_mm);
// The usual wire where it stands on the rack or there is none; else the first of the others ('|' list of ids) that
// does; else the usual one, with a warning.
[[nodiscard]] const Wire& wire_from_rack(Case& resolved, const Wire& usual, std::string_view others);
// The same of the gases of the wire.
[[nodiscard]] const Gas& gas_from_rack(Case& resolved, const Gas& usual);
// The base metals: by name, by the group they stand for, or by the analysis alone.
void resolve_material(Case& resolved, Diagnostics& errors);
void resolve_wire(Case& resolved, Diagnostics& errors);
void resolve_gas(Case& resolved);
// Warnings of the catalog for what does not go together: wire, gas, mode and metal of a settled case.
void pairing_warnings(Case& resolved);
// One of the warnings of the catalog.
void warn(Case& resolved, std::string_view pairing_id);
[[nodiscard]] bool downhill(const Position& position);

}  // namespace seamwright
