#!/usr/bin/env python3
"""Where a joint has no window, the plan says what stands in the way, and every change it names, given as it is printed,
opens one: by the words of the table and by the settings of the JSON.

usage: check_suggestions.py PROGRAM
"""
import json
import pathlib
import random
import shlex
import subprocess
import sys
import tempfile

PROGRAM = sys.argv[1]
JOINTS, PLANNED = 1000, 60
faults = []


def check(holds, what):
    if not holds:
        faults.append(what)


def set_words(keys):
    """The options that give these keys; nothing (None) leaves one out."""
    words = []
    for key, value in keys.items():
        text = "" if value is None else str(value).lower() if isinstance(value, bool) else str(value)
        words += ["--set", f"{key}={text}"]
    return words


def run_plan(words, form):
    return subprocess.run([PROGRAM, "plan", "--format", form, *words], capture_output=True, text=True, timeout=60)


def random_joint(rng):
    kind = rng.choice(["fillet", "butt", "lap", "corner", "edge", "pipe-butt", "overlay"])
    thickness = round(0.6 * 60 ** rng.random(), 2)
    keys = {"joint.type": kind, "joint.thickness": thickness,
            "material.alloy": rng.choice(["S235", "S355", "304L", "316L", "2205", "2507", "5083", "6082", "5754"])}

    def sometimes(share, key, value):
        if rng.random() < share:
            keys[key] = value

    sometimes(0.4, "joint.position", rng.choice(["PA", "PB", "PC", "PD", "PE", "PF", "PG"]))
    sometimes(0.4, "process.mode", rng.choice(["short-arc", "spray", "pulse", "double-pulse", "controlled-dip"]))
    sometimes(0.2, "wire.diameter", rng.choice([0.8, 1.0, 1.2, 1.6]))
    sometimes(0.1, "wire.extension", rng.choice([10, 14, 20]))
    sometimes(0.2, "process.travel", f"{rng.uniform(2, 18):.1f}")
    sometimes(0.15, "process.wire_feed", f"{rng.uniform(2, 16):.1f}")
    sometimes(0.15, "limits.heat_input", f"..{rng.uniform(0.1, 1.5):.2f} kJ/mm")
    sometimes(0.1, "limits.penetration", f"{0.6 * thickness:.2f}..")
    sometimes(0.1, "process.arc_length", rng.choice([2, 5, 8]))
    sometimes(0.1, "material.interpass", rng.choice([60, 120]))
    sometimes(0.3, "quality", rng.choice(["B", "C", "D"]))
    if kind in ("fillet", "lap"):
        leg = round(rng.uniform(0.5, 1.8) * thickness, 1)
        sometimes(0.5, "joint.leg", leg)
        if "joint.leg" in keys:
            sometimes(0.5, "joint.leg2", round(leg * rng.uniform(0.8, 1.2), 1))
    if kind == "butt":
        sometimes(0.4, "joint.gap", round(rng.random() * thickness / 2, 1))
        sometimes(0.3, "joint.preparation", rng.choice(["square", "single-v", "double-v"]))
    if kind == "pipe-butt":
        keys["joint.diameter"] = round(thickness * rng.uniform(6, 40), 1)
    if keys.get("process.mode") == "double-pulse":
        sometimes(0.5, "modulation.frequency", 2)
    if keys.get("process.mode") in ("pulse", "double-pulse"):
        sometimes(0.3, "process.peak_current", rng.choice([300, 380, 450]))
    return keys


def nested(keys):
    row = {}
    for key, value in keys.items():
        table = row
        *path, last = key.split(".")
        for part in path:
            table = table.setdefault(part, {})
        table[last] = value
    return row


def without_window():
    rng = random.Random(20261)
    joints = [random_joint(rng) for _ in range(JOINTS)]
    text = "\n".join(json.dumps(nested(joint)) for joint in joints) + "\n"
    run = subprocess.run([PROGRAM, "batch", "-", "--format", "ndjson", "--columns", "status", "--threads", "2"],
                         input=text, capture_output=True, text=True, timeout=500)
    status = [json.loads(line)["status"] for line in run.stdout.splitlines()]
    check(len(status) == JOINTS, f"{len(status)} answers for {JOINTS} joints: {run.stderr[:300]}")
    return [joint for joint, word in zip(joints, status) if word == "no-window"][:PLANNED], status


def words_of_table(text):
    """The --set lines below the suggestions of the card."""
    return [shlex.split(line) for line in text.splitlines() if line.lstrip().startswith("--set ")]


def check_joint(keys):
    answer = run_plan(set_words(keys), "json")
    plan = json.loads(answer.stdout)
    check(answer.returncode == 1 and not plan["feasible"], f"{keys}: no window in the list, one in the plan")
    for one in plan["passes"]:
        check(one["feasible"] or one["conflicts"], f"{keys}: a pass without a window and without a reason")
    table = words_of_table(run_plan(set_words(keys), "table").stdout)
    given = [s for s in plan["suggestions"] if s["settings"]]
    check(len(table) == len(given), f"{keys}: {len(table)} changes in the table, {len(given)} in JSON")
    for suggestion, words in zip(given, table):
        for how, tried in (("JSON", set_words({**keys, **suggestion["settings"]})), ("table", set_words(keys) + words)):
            again = run_plan(tried, "json")
            check(again.returncode == 0, f"{keys}: {suggestion['sentence']} [{how}: {tried}]: {again.stderr[:300]}")
    return len(given)


def main():
    joints, status = without_window()
    check(len(joints) > PLANNED / 2, f"only {len(joints)} joints without a window to look at: {set(status)}")
    tried = sum(check_joint(keys) for keys in joints)
    check(tried > len(joints) / 2, f"{tried} suggestions for {len(joints)} joints")

    # What does not go together with the change is left out with it.
    for keys, left_out in (
            ({"joint.type": "butt", "joint.thickness": 0.8551, "material.alloy": "5086", "process.mode": "spray",
              "process.arc_length": 5}, "process.arc_length"),):
        plan = json.loads(run_plan(set_words(keys), "json").stdout)
        check(any(s["settings"].get(left_out, "") is None for s in plan["suggestions"]), f"{keys}: {left_out} stays")

    with tempfile.TemporaryDirectory() as folder:
        machine = pathlib.Path(folder) / "small.toml"
        machine.write_text('name = "Small"\n[source]\ncurrent = "20..30 A"\n')
        words = set_words({"joint.type": "fillet", "joint.thickness": 10, "joint.leg": 6, "material.alloy": "S355"})
        plan = json.loads(run_plan([*words, "--equipment", str(machine)], "json").stdout)
        check(not plan["feasible"] and any(s["without"] == "--equipment" for s in plan["suggestions"]),
              f"30 A for 10 mm: {plan['suggestions']}")

    for fault in faults[:40]:
        print("FAILED:", fault)
    print(f"{len(joints)} joints without a window, {tried} suggestions, {len(faults)} failures")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
