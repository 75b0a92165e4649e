#!/usr/bin/env python3
"""Joints that every shop welds, on the machine of `new equipment` as shipped: each is planned, has a grade and ranges to
lock in every pass, and a current that the trade knows [practice, recalled, with a sixth of room on either side].

usage: check_everyday.py PROGRAM
"""
import json
import pathlib
import subprocess
import sys
import tempfile

PROGRAM = sys.argv[1]
# what, keys, current of the first pass in A
JOINTS = [
    ("fillet, 3 mm S235", {"joint.type": "fillet", "joint.thickness": 3, "material.alloy": "S235"}, (110, 160)),
    ("fillet, 6 mm S355, PB", {"joint.type": "fillet", "joint.thickness": 6, "material.alloy": "S355",
                               "joint.leg": 5}, (210, 290)),
    ("fillet, 6 mm S355, PF", {"joint.type": "fillet", "joint.thickness": 6, "material.alloy": "S355",
                               "joint.position": "PF"}, (110, 180)),
    ("fillet, 10 mm S355, leg 7", {"joint.type": "fillet", "joint.thickness": 10, "material.alloy": "S355",
                                   "joint.leg": 7}, (250, 320)),
    ("fillet, 4 mm 316L", {"joint.type": "fillet", "joint.thickness": 4, "material.alloy": "316L"}, (140, 210)),
    ("fillet, 5 mm 5083", {"joint.type": "fillet", "joint.thickness": 5, "material.alloy": "5083"}, (150, 210)),
    ("fillet, 3 mm 6082, 2 Hz", {"joint.type": "fillet", "joint.thickness": 3, "material.alloy": "6082",
                                 "process.mode": "double-pulse", "modulation.frequency": 2}, (85, 140)),
    ("fillet, 8 mm 2507", {"joint.type": "fillet", "joint.thickness": 8, "material.alloy": "2507",
                           "joint.leg": 6}, (170, 250)),
    ("fillet, 12 mm S355, throat 6, PF", {"joint.type": "fillet", "joint.thickness": 12, "material.alloy": "S355",
                                          "joint.throat": 6, "joint.position": "PF"}, (120, 190)),
    ("butt, 8 mm S355", {"joint.type": "butt", "joint.thickness": 8, "material.alloy": "S355"}, (100, 200)),
    ("butt, 12 mm S355, PC", {"joint.type": "butt", "joint.thickness": 12, "material.alloy": "S355",
                              "joint.position": "PC"}, (100, 200)),
    ("butt, 6 mm 316L", {"joint.type": "butt", "joint.thickness": 6, "material.alloy": "316L"}, (85, 150)),
    ("butt, 8 mm 5083", {"joint.type": "butt", "joint.thickness": 8, "material.alloy": "5083"}, (150, 220)),
    ("butt, 20 mm S355", {"joint.type": "butt", "joint.thickness": 20, "material.alloy": "S355"}, (110, 260)),
    ("lap, 0.8 mm S235", {"joint.type": "lap", "joint.thickness": 0.8, "material.alloy": "S235"}, (45, 85)),
    ("lap, 2 mm S235", {"joint.type": "lap", "joint.thickness": 2, "material.alloy": "S235"}, (85, 135)),
    ("lap, 1.5 mm 304L", {"joint.type": "lap", "joint.thickness": 1.5, "material.alloy": "304L"}, (60, 105)),
    ("lap, 0.8 mm galvanised, CuSi3", {"joint.type": "lap", "joint.thickness": 0.8, "material.alloy": "DX51D",
                                       "wire.designation": "CuSi3"}, (55, 95)),
    ("corner, 3 mm S235", {"joint.type": "corner", "joint.thickness": 3, "material.alloy": "S235"}, (100, 160)),
    ("pipe, P265GH 168.3 x 7, PH", {"joint.type": "pipe-butt", "joint.thickness": 7.1, "joint.diameter": 168.3,
                                    "material.alloy": "P265GH", "joint.position": "PH"}, (90, 140)),
    ("pipe, 2205 114.3 x 6", {"joint.type": "pipe-butt", "joint.thickness": 6, "joint.diameter": 114.3,
                              "material.alloy": "2205"}, (85, 140)),
]
faults = []


def check(holds, what):
    if not holds:
        faults.append(what)


def plan(keys, *more):
    words = [word for key, value in keys.items() for word in ("--set", f"{key}={value}")]
    run = subprocess.run([PROGRAM, "plan", "--format", "json", *words, *more], capture_output=True, text=True,
                         timeout=60)
    return run.returncode, json.loads(run.stdout) if run.returncode in (0, 1) else run.stderr


def everyday(machine):
    for what, keys, (low, high) in JOINTS:
        code, answer = plan(keys, "--equipment", machine)
        check(code == 0, f"{what}: exit code {code}")
        if code != 0:
            continue
        for one in answer["passes"]:
            check(one.get("grade") in ("sound", "likely", "try-on-scrap"), f"{what}: no grade")
            check(one["box"]["exists"], f"{what}: nothing to lock in pass {one['number']}: {one['box']['sentence']}")
        current = answer["passes"][0]["current"]["value"]
        check(low / 1.17 <= current <= high * 1.17, f"{what}: {current:.0f} A, practice is {low} to {high} A")
        said = {warning["id"] for warning in answer["warnings"]}
        check("preheat-missing" not in said, f"{what}: asks for a preheat that it left out itself")


def throats():
    """A larger throat never takes less metal, and more than 1.4 of the need is said why."""
    before = 0.0
    for tenths in range(30, 71):
        keys = {"joint.type": "fillet", "joint.thickness": 10, "material.alloy": "S355", "joint.throat": tenths / 10}
        code, answer = plan(keys)
        check(code == 0, f"throat {tenths / 10}: exit code {code}")
        if code != 0:
            continue
        metal = sum(one["deposit_area"]["value"] for one in answer["passes"])
        need = (tenths / 10) ** 2
        check(metal >= before * 0.999, f"throat {tenths / 10}: {metal:.1f} mm2 after {before:.1f} mm2")
        told = any(one["deposit_moved"] for one in answer["passes"])
        check(metal <= 1.4 * need or told, f"throat {tenths / 10}: {metal:.1f} mm2 for a need of {need:.1f} mm2, unsaid")
        before = metal


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        machine = pathlib.Path(folder) / "machine.toml"
        machine.write_text(subprocess.run([PROGRAM, "new", "equipment"], capture_output=True, text=True).stdout)
        everyday(str(machine))
    throats()
    for fault in faults:
        print("FAILED", fault)
    print(f"{len(JOINTS)} joints, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
