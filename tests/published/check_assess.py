#!/usr/bin/env python3
"""The visible published settings (procedures.csv), assessed: at the feed that plan recommends for the row's joint, assess
gives the current, the voltage and the bead that plan printed; and where a row has both a feed and a current, how far
the one that follows is from the one that was published.

usage: check_assess.py PROGRAM
"""
import csv
import json
import pathlib
import subprocess
import sys

from check_procedures import joint_of, number, plan

PROGRAM = sys.argv[1]
# Numbers pass through six digits on their way out and in again.
DIGITS = 2e-4


def assess(keys, *setting):
    words = [word for key, value in keys.items() for word in ("--set", f"{key}={value}")]
    run = subprocess.run([PROGRAM, "assess", "--format", "json", *words, *setting], capture_output=True, text=True,
                         timeout=120)
    return json.loads(run.stdout) if run.returncode in (0, 1) else run.stderr


def main() -> int:
    rows = list(csv.DictReader(open(pathlib.Path(__file__).with_name("procedures.csv"), encoding="utf-8")))
    failed = compared = read = agree = 0
    for line, row in enumerate(rows, 2):
        keys = joint_of(row)
        if keys is None:
            continue
        code, planned = plan(keys)
        if code not in (0, 1) or not planned["passes"]:
            continue
        first = planned["passes"][0]
        found = assess(keys, "--feed", str(first["wire_feed"]["value"]), "--travel", str(first["travel"]["value"]))
        compared += 1
        if isinstance(found, str):
            print(f"FAILED row {line}: {found}")
            failed += 1
            continue
        for key in ("current", "voltage", "heat_input", "deposit_area"):
            there, here = first[key]["value"], found["values"][key]["value"]
            if abs(here - there) > DIGITS * abs(there):
                print(f"FAILED row {line}: {key} {here}, plan printed {there}")
                failed += 1
        if code == 0 and found["verdict"] == "broken":
            worst = found["limits"][0]
            # What just holds may miss by the digits that were cut off.
            if worst["score"] < -1e-3:
                print(f"FAILED row {line}: the plan's point breaks {worst['constraint']}")
                failed += 1
        feed, low = number(row["wfs_m_per_min"]), number(row["current_A_min"])
        if feed and low:
            middle = (low + (number(row["current_A_max"]) or low)) / 2
            held = assess(keys, "--feed", str(feed), "--current", str(middle))
            if isinstance(held, dict) and held["readings"]:
                read += 1
                agree += not held["readings"][0]["contradicts"]
    print(f"{compared} settings assessed, {failed} faults; published feed and current agree in {agree} of {read}")
    return 1 if failed or compared < 50 else 0


if __name__ == "__main__":
    sys.exit(main())
