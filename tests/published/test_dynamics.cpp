// Trims and dynamics against known numbers.
#include <doctest/doctest.h>

#include "published/published.hpp"
#include "seamwright/pulse.hpp"
#include "seamwright/transfer.hpp"
#include "seamwright/trims.hpp"

using namespace seamwright;
using published::check_published;
using published::Row;

namespace {

ShortCircuit bridge(const Row& r) { return short_circuit(r["start"], r["rise"], r["charge"], r["clearing"]); }

BurnoffInput burnoff(const Row& r) {
  return {
      .wire_diameter_mm = r["d"], .extension_mm = r["L"], .melt_mm3_per_As = r["m"], .resistive_mm4_per_A2s = r["c"]};
}
PulseSet trimmed(const Row& r) {
  return pulse_set(burnoff(r), pulse_shape_fixed_time(r["Ip"] * (1 + r["trim"]), r["tp"], 1.0), r["W"]);
}

}  // namespace

TEST_CASE("published: dynamics") {
  check_published("dynamics.csv",
                  {{"clearing_current", [](const Row& r) { return bridge_clearing_current_A(r["gamma"], r["d"]); }},
                   {"short_time", [](const Row& r) { return bridge(r).duration_ms; }},
                   {"short_peak", [](const Row& r) { return bridge(r).peak_A; }}});
}

TEST_CASE("published: trims") {
  check_published("trims.csv", {{"drops", [](const Row& r) { return drops_per_pulse(r["trim"]); }},
                                {"window_low", [](const Row& r) { return peak_trim_window(r["relative"]).low; }},
                                {"window_high", [](const Row& r) { return peak_trim_window(r["relative"]).high; }},
                                {"base", [](const Row& r) { return trimmed(r).base_current_A; }},
                                {"mean", [](const Row& r) { return trimmed(r).mean_current_A; }}});
}
