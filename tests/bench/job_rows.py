#!/usr/bin/env python3
"""Job lists for the bench: the joints of a boatyard over and over, with thickness, leg and length varied.

    job_rows.py ROWS [open] > jobs.csv      'open' leaves mode and wire diameter to the program
"""
import random
import sys

rows = int(sys.argv[1])
leave_open = sys.argv[2:] == ["open"]
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
for i in range(rows):
    kind, low, high, share, position, alloy, wire, diameter, gas, mode = dice.choice(KINDS)
    thickness = round(dice.uniform(low, high), 1)
    leg = f"{max(2.0, share * thickness):.1f}" if share else ""
    if leave_open:
        diameter = mode = ""
    print(f"J{i},{kind},{thickness},{leg},{position},{dice.randint(100, 3000)},{alloy},{wire},{diameter},{gas},{mode},"
          f"D{i % 97}")
