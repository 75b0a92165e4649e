#!/usr/bin/env python3
"""Job lists for the bench, of a boatyard.

    job_rows.py ROWS [repeated|distinct|open] > jobs.csv

repeated: twelve kinds of joints over and over, sizes to a tenth of a millimetre as drawings have them: about 250 joints
distinct: the same kinds, each row of a size of its own
open:     fillets and butts of many metals and positions, each of a size of its own; mode, wire and leg left open
"""
import random
import sys

rows = int(sys.argv[1])
sort = sys.argv[2] if len(sys.argv) > 2 else "repeated"
dice = random.Random(7)

# type, thickness from..to in mm, leg as a share of the thickness, position, alloy, wire, diameter, gas, mode
KINDS = [
    ("fillet", 5, 7, 1.0, "PB", "EN AW-5083", "S Al 5183", 1.2, "I1", "pulse"),
    ("fillet", 5, 8, 0.9, "PF", "EN AW-5083", "S Al 5183", 1.2, "I1", "pulse"),
    ("fillet", 4, 6, 1.0, "PB", "EN AW-6082", "S Al 5356", 1.2, "I1", "pulse"),
    ("lap", 3, 5, 1.0, "PB", "EN AW-5083", "S Al 5183", 1.2, "I1", "pulse"),
    ("fillet", 7, 10, 0.75, "PB", "S355", "G 3Si1", 1.2, "M21-ArC-18", "spray"),
    ("fillet", 6, 8, 0.8, "PB", "S275", "G 3Si1", 1.2, "M21-ArC-18", "spray"),
    ("fillet", 5, 8, 0.8, "PD", "S275", "G 3Si1", 1.2, "M21-ArC-18", "pulse"),
    ("fillet", 2.5, 3.5, 1.0, "PB", "S275", "G 3Si1", 1.0, "M21-ArC-18", "short-arc"),
    ("lap", 2, 3, 1.0, "PB", "S275", "G 3Si1", 1.0, "M21-ArC-18", "short-arc"),
    ("butt", 2.5, 3.5, 0, "PA", "S275", "G 3Si1", 1.0, "M21-ArC-18", "short-arc"),
    ("lap", 2, 3, 1.0, "PB", "316L", "19 12 3 L Si", 1.0, "M12-ArC-2", "pulse"),
    ("fillet", 5, 8, 0.7, "PB", "316L", "19 12 3 L Si", 1.2, "M12-ArC-2", "pulse"),
]
print("id,joint.type,joint.thickness,joint.leg,joint.position,joint.length,material.alloy,wire.designation,"
      "wire.diameter,gas.designation,process.mode,x-drawing")
ALLOYS = ["S235", "S355", "304L", "316L", "2205", "EN AW-5083", "EN AW-6082"]
for i in range(rows):
    if sort == "open":
        kind = dice.choice(["fillet", "butt"])
        position = dice.choice(["PB", "PF", "PD"] if kind == "fillet" else ["PA", "PF", "PC"])
        print(f"J{i},{kind},{2 + 10 * (i + dice.random()) / rows:.5f},,{position},{dice.randint(100, 3000)},"
              f"{dice.choice(ALLOYS)},,,,,D{i % 97}")
        continue
    kind, low, high, share, position, alloy, wire, diameter, gas, mode = dice.choice(KINDS)
    if sort == "distinct":
        thickness = round(low + (high - low) * (i + dice.random()) / rows, 6)
        leg = f"{max(2.0, share * thickness):.6f}" if share else ""
    else:
        thickness = round(dice.uniform(low, high), 1)
        leg = f"{max(2.0, share * thickness):.1f}" if share else ""
    print(f"J{i},{kind},{thickness},{leg},{position},{dice.randint(100, 3000)},{alloy},{wire},{diameter},{gas},{mode},"
          f"D{i % 97}")
