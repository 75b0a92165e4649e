#!/usr/bin/env python3
"""Evaluates the equation that stands in each explanation, with the numbers printed beside it, against the number.

    check_formulas.py SEAMWRIGHT EXAMPLES

An equation is what stands ahead of the first ';' of a formula whose JSON says that it is one (include/seamwright/
explain.hpp). This file knows no solver: it reads the text, gives every name the value that the explanations print, in
mm, s, A, V and ohm, and works it out.
"""
import json
import math
import pathlib
import re
import subprocess
import sys
import tomllib

program, examples = sys.argv[1], pathlib.Path(sys.argv[2])

# Factor to mm, s, A, V, ohm; what is not listed stays as it is printed.
UNITS = {"1/kg": 1e-3, "1/m3": 1e-3, "1/kWh": 1 / 3.6e6, "1/h": 1 / 3600, "kWh": 3.6e6, "m/min": 1000 / 60, "ms": 1e-3, "%": 0.01, "A/ms": 1e3, "mH": 1e-3, "min": 60, "l/min": 1 / 60,
         "micro-ohm m": 1e-3, "kg/m3": 1e-6}

# Names in the equations, besides the keys of the output, and where an explanation prints them.
NAMES = {"m": "melt", "c": "resistive", "factor": "pulse_mean", "fixed part": "arc_fixed",
         "arc resistance": "arc_resistance", "resistivity": "wire_resistivity", "column field": "arc_field",
         "nominal arc length": "process.arc_length", "extension": "wire.extension", "wire diameter": "wire.diameter",
         "gas": "gas.composition", "deposition efficiency": "deposition", "drop ratio": "drop_ratio",
         "share": "peak_share", "peak": "peak_current constant", "cap": "limits.short_arc_cap_V", "base": "dip_base",
         "slope": "dip_slope", "offset": "dip_offset", "high": "modulation.share",
         "usual rise": "wire-families.current_rise_nominal_A_per_ms",
         "slowest rise": "wire-families.current_rise_min_A_per_ms",
         "fastest rise": "wire-families.current_rise_max_A_per_ms", "rise of the position": "positions.rise_factor",
         "procedure efficiency k": "limits.procedure_efficiency", "density of the wire": "wire-families.density_kg_per_m3",
         "gas flow": "gas.flow", "length of the joint": "joint.length", "melted share": "melted_share",
         "operating factor": "prices.operating_factor", "efficiency of the power source": "source.efficiency",
         "price of the wire": "prices.wire", "price of the gas": "prices.gas", "price of power": "prices.power",
         "radius at no current": "source_radius", "growth of the radius": "source_radius_per_A",
         "speed across": "limits.weave_crossing_mm_per_s", "usual stop": "limits.weave_dwell_s",
         "shortest stop": "limits.weave_dwell_min_s", "usual advance": "limits.weave_advance_max_mm", "narrowest weave": "limits.weave_width_min_mm",
         "price of labour": "prices.labour", "F2": "cooling_f2", "F3": "cooling-joints.f3"}
# The same word means another thing in these.
OWN_NAMES = {"reinforcement": {"factor": "bead_height", "k": "limits.bead_height_log_mm",
                               "a": "limits.bead_height_area_exponent", "u": "limits.bead_height_voltage_exponent",
                               "w": "limits.bead_height_travel_exponent"},
             "current": {"slope": "wire-sizes.dip_line_m_per_min_A", "zero": "wire-sizes.dip_line_zero_A"},
             "layer_height": {"step share": "limits.overlay_step_share"}}
ZERO_WHEN_ABSENT = {"gas"}
ELEMENTS = "C Si Mn P S Cr Ni Mo N Cu V Nb Ti Al B W Fe".split()

# One joint a mode and kind of metal; together they have every quantity.
JOINTS = [
    ("keel-bracket.toml", []), ("hull-seam.toml", []), ("locker-corner.toml", []), ("cradle-beam.toml", []),
    ("shaft-bracket.toml", []), ("fuel-tank-lap.toml", []), ("slipway-frame.toml", []), ("mast-step.toml", []),
    ("keel-bracket.toml", ["process.mode=spray", "quantity=12", "--equipment", str(examples / "jetty-300.toml")]),
    ("slipway-frame.toml", ["process.mode=spray", "joint.position=PB"]),
    ("locker-corner.toml", ["process.mode=controlled-dip"]), ("winch-base-dissimilar.toml", []),
    ("locker-corner.toml", ["gas.designation=CO2"]), ("keel-bracket.toml", ["gas.composition={Ar=50,He=50}"]),
    (None, ["joint.type=overlay", "joint.thickness=20", "material.alloy=S355", "wire.designation=G3Si1"]),
    (None, ["joint.type=overlay", "joint.thickness=20", "material.alloy=S355", "wire.designation=ERNiCrMo-3"]),
]


def run(*arguments):
    return subprocess.run([program, *arguments], capture_output=True, text=True)


def explained(joint, changes):
    """The explanation of every quantity of the joint's first pass."""
    where = [str(examples / joint)] if joint else []
    options = [changes[i:i + 2] for i, word in enumerate(changes) if word.startswith("--")]
    where += [word for option in options for word in option]
    where += [word for change in changes if "=" in change for word in ("--set", change)]
    listed = run("explain", *where, "--format", "json")
    assert listed.returncode in (0, 1), listed.stderr
    keys = [q["key"] for q in json.loads(listed.stdout)["keys"]]
    return {key: json.loads(run("explain", *where, key, "--format", "json").stdout) for key in keys}


def printed_numbers(explanations):
    """Every number that the explanations print, by its key, in base units; keys of the output apart from the rest."""
    quantities, others = {}, {}
    for key, e in explanations.items():
        quantities[key] = e["value"] * UNITS.get(e["unit"], 1)
        for part in e["inputs"] + e["constants"]:
            if part["value"] is None or part["key"].startswith(("material.", "wires.")) or \
                    part.get("origin") == "computed" and part["key"] in explanations:
                continue
            name = part["key"] + (" constant" if part["key"] == "peak_current" else "")
            others[name] = part["value"] * UNITS.get(part.get("unit") or "", 1)
    return quantities, others


class Missing(Exception):
    pass


def work_out(text, values):
    """The value of an expression: 'x' multiplies, '^' is a power, names may have spaces."""
    text = text.replace("minimum of", "min").replace("maximum of", "max")
    out, rest = "", text
    names = sorted(values, key=len, reverse=True)
    while rest:
        if step := re.match(r"\s+|[-+/(),]|\^|\d+(\.\d+)?(?![A-Za-z])", rest):
            out += step[0].replace("^", "**")
        elif step := re.match(r"x(?![A-Za-z0-9_])", rest):
            out += "*"
        elif step := re.match(r"(min|max|sqrt|exp|pi)(?![A-Za-z0-9_])", rest):
            out += step[0]
        else:
            name = next((n for n in names if re.match(re.escape(n) + r"(?![A-Za-z0-9_])", rest)), None)
            if name is None:
                raise Missing(rest)
            step = re.match(re.escape(name), rest)
            out += f"({values[name]!r})"
        rest = rest[step.end():]
    return eval(out, {"__builtins__": {}}, {"min": min, "max": max, "sqrt": math.sqrt, "exp": math.exp, "pi": math.pi})


def analysis(explanation, of, metals=1):
    """Elements whose key starts with `of`, %: the mean where there are two metals. What is not listed is not read."""
    percent = dict.fromkeys(ELEMENTS, 0.0)
    for part in explanation["inputs"]:
        if part["key"].startswith(of):
            percent[part["key"].rsplit(".", 1)[1]] += part["value"] / metals
    return percent


def table_of(joint, name):
    return tomllib.loads((examples / joint).read_text()).get(name, {}) if joint else {}


def thicker_mm(joint, changes):
    table = table_of(joint, "joint")
    sizes = [table[k] for k in ("thickness", "thickness2") if k in table]
    sizes += [c.split("=")[1] for c in changes if c.startswith("joint.thickness")]
    return max(float(str(s).split()[0]) for s in sizes)


def holds(key, explanation, values, number):
    """Whether one of the equations of the text gives the number."""
    parts = [p.strip() for p in explanation["formula"]["text"].split(";")]
    equations = parts[:1] + [p[3:].split(",")[0] for p in parts[1:] if p.startswith("or ")]
    results, missing = [], []
    for equation in equations:
        try:
            left, _, right = equation.partition(" = ")
            a = work_out(left, values)
            b = work_out(right, values) if right else number
        except Missing as name:
            missing.append(str(name))
            continue
        results.append((a, b))
        if abs(a - b) <= 2e-4 * max(abs(a), abs(b)) + 1e-9:
            return True, results
    return False, results + missing


def check(joint, changes, seen, mistakes):
    explanations = explained(joint, changes)
    quantities, others = printed_numbers(explanations)
    for key, e in explanations.items():
        text = e["formula"]["text"]
        beside_a_bead = key == "dilution" and "joint.type=overlay" in changes  # the text says so; no short equation
        if not e["formula"]["equation"] or beside_a_bead:
            if text != "as given":
                seen["words"].add(key)
            continue
        names = NAMES | OWN_NAMES.get(key, {})
        values = dict(quantities)
        values |= {name: others[at] for name, at in names.items() if at in others}
        values |= {name: 0.0 for name in ZERO_WHEN_ABSENT if name not in values}
        values["A"] = math.pi / 4 * others["wire.diameter"] ** 2
        values["T0"] = quantities.get("preheat", 20)
        values["d"] = thicker_mm(joint, changes)
        number = quantities[key]
        if key in ("carbon_equivalent", "cet"):
            number = e["value"]  # per cent, as the elements
            values = analysis(e, "material.composition.")
        if key == "pren":
            number = e["value"]
            each = text.split("each ", 1)[1]
            metals = 2 if "alloy2" in table_of(joint, "material") else 1
            values = {"dilution": quantities["dilution"], "filler": work_out(each, analysis(e, "wires.typical.")),
                      "base": work_out(each, analysis(e, "material.composition.", metals))}
        if key.startswith("iron_layer"):
            number = e["value"]
            values |= {"filler": analysis(e, "wires.typical.")["Fe"],
                       "base": 100 - sum(analysis(e, "material.composition.").values())}
        good, results = holds(key, e, values, number)
        seen["equations"].add(key)
        if not good:
            mistakes.append(f"{joint} {changes} {key} = {number:.6g}: {text}: {results}")


def main():
    seen, mistakes = {"equations": set(), "words": set()}, []
    for joint, changes in JOINTS:
        check(joint, changes, seen, mistakes)
    print("\n".join(mistakes))
    # Words are for what no short equation gives; a quantity that has an equation in one mode counts as one.
    only_words = seen["words"] - seen["equations"]
    allowed = {"wire_feed", "modulation_frequency", "modulation_amplitude", "deposit_width", "bead_width", "penetration",
               "back_width", "pool_length", "hardness", "ferrite_number", "preheat", "interpass"}
    if only_words - allowed:
        mistakes.append(f"these have words for an equation: {sorted(only_words - allowed)}")
        print(mistakes[-1])
    print(f"{len(seen['equations'])} equations worked out, {len(only_words)} relations in words")
    if len(seen["equations"]) < 34:
        sys.exit("too few equations were met")
    sys.exit(1 if mistakes else 0)


if __name__ == "__main__":
    main()
