#!/usr/bin/env python3
"""Arc voltage at the published current: the catalog's constants against the settings of tests/published/procedures.csv,
each row with its source, by wire family, mode and gas, and the shift of the fixed part, or of the short-arc line's
offset, that would bring each group's median to nothing. A shift is worth making only inside the stated half-width and
for a group of some rows; none is made row by row.

usage: fit_voltage.py        needs Python 3.11, nothing else

spray:  U = fixed + gas + R I + E l + rho L / A I, middle arc length and the mode's usual extension
dip:    U = base + slope I + offset + gas
gas:    helium x per cent; below the reference share of CO2 and oxygen lean x (1 - share/reference), above it
        rich x (share - reference) / (100 - reference)

Where a row gives ranges, their low and their high ends are compared with each other. A gas given as "CO2 or Ar-25CO2"
counts as the mixture. Rows without gas, and metals without a wire here, are left out.
"""
import collections
import csv
import math
import pathlib
import statistics
import tomllib

HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE / "../../data"
value = lambda x: x["value"] if isinstance(x, dict) else x
rows_of = lambda name, key: tomllib.loads((DATA / name).read_text())[key]
FAMILIES = {f["id"]: f for f in rows_of("wire_families.toml", "wire_family")}
LIMITS = rows_of("limits.toml", "limits")
MODES = {m["id"]: m for m in rows_of("modes.toml", "mode")}
FAMILY = {"aluminium": "aluminium-5xxx", "carbon_steel": "carbon-steel", "stainless": "stainless"}
GASES = {"Ar": (0, 0), "He": (0, 100), "Ar-25CO2": (25, 0), "CO2 or Ar-25CO2": (25, 0), "90He-7.5Ar-2.5CO2": (2.5, 90),
         "Ar-2O2": (2, 0), "Ar-O2": (2, 0), "Ar-1..5O2": (3, 0), "Ar-5O2": (5, 0)}  # CO2 and oxygen, helium; %


def voltage(family, mode, active, helium, diameter, current):
    f = {k: value(v) for k, v in FAMILIES[family].items()}
    reference = f.get("gas_reference_percent", 0)
    lean = f.get("gas_lean_V", 0) * (1 - active / reference) if active < reference else 0
    rich = f.get("gas_rich_V", 0) * (active - reference) / (100 - reference) if active > reference else 0
    if mode == "short_arc":
        line = value(LIMITS["short_arc_base_V"]) + value(LIMITS["short_arc_slope_V_per_A"]) * current
        return line + f["dip_offset_V"] + f.get("dip_helium_V_per_percent", f["helium_V_per_percent"]) * helium + rich
    arc = 0.5 * (f["arc_length_spray_min_mm"] + f["arc_length_spray_max_mm"])
    extension = value(MODES["spray"]["extension_diameters"]) * diameter
    wire = 1e-3 * f["wire_resistivity_uohm_m"] * extension / (math.pi / 4 * diameter**2)
    return (f["arc_fixed_V"] + f["helium_V_per_percent"] * helium + lean + rich + f["arc_resistance_ohm"] * current
            + f["arc_field_V_per_mm"] * arc + wire * current)


groups, left_out = collections.defaultdict(list), 0
for row in csv.DictReader((HERE / "../published/procedures.csv").open(encoding="utf-8")):
    ends = [(float(row[f"current_A_{end}"] or 0), float(row[f"voltage_V_{end}"] or 0)) for end in ("min", "max")]
    ends = [e for e in ends if all(e)]
    known = row["material"] in FAMILY and row["gas"] in GASES and row["process"] in ("spray", "short_arc")
    if not known or not ends:
        left_out += 1
        continue
    family = FAMILY[row["material"]]
    for current, volts in dict.fromkeys(ends):
        error = voltage(family, row["process"], *GASES[row["gas"]], float(row["wire_dia_mm"] or 1.2), current) - volts
        groups[family, row["process"], row["gas"]].append(error)
print(f"{'family, mode, gas':<48}{'ends':>5}{'median':>8}{'90 % within':>13}{'within 3 V':>12}   shift, its half-width")
for (family, mode, gas), errors in sorted(groups.items()):
    key = "dip_offset_V" if mode == "short_arc" else "arc_fixed_V"
    half = FAMILIES[family][key]["u90"]
    near = sorted(map(abs, errors))[math.ceil(0.9 * len(errors)) - 1]
    median = statistics.median(errors)
    print(f"{family + ', ' + mode + ', ' + gas:<48}{len(errors):>5}{median:>+8.1f}{near:>13.1f}"
          f"{sum(abs(e) <= 3 for e in errors):>9}/{len(errors):<3}  {-median:+.1f} of +-{half:g} V")
every = [e for errors in groups.values() for e in errors]
print(f"all: {len(every)} ends, median {statistics.median(every):+.1f} V, "
      f"within 3 V {sum(abs(e) <= 3 for e in every)}; {left_out} rows left out")
