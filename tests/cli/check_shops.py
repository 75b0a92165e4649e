#!/usr/bin/env python3
"""What shops weld every day is answered: every alloy, wire and gas of the catalog by at least one plan, and every job of
the example's three shops; current ranges held against published ones or marked; misspelt grades are told the nearest.

    check_shops.py BINARY PROJECT
"""
import csv
import io
import pathlib
import subprocess
import sys
import tomllib

PROGRAM, PROJECT = sys.argv[1], pathlib.Path(sys.argv[2])
EVERY = PROJECT / "tests/cli/every_metal.csv"
SHOPS = PROJECT / "examples/shop-jobs.csv"
# A slip, and what must be among the words suggested.
SLIPS = {"S700CM": "S700MC", "13CrMo4-6": "13CrMo4-5", "5O83": "5083", "316Lo": "316L", "S35SJ2": "S355J2",
         "1.44O4": "1.4404", "A516 Gr 71": "A516 Gr70", "AHH36": "AH36", "group 1.9": "group 1.1", "CuNi11": "CuNi10",
         "6O82": "6082", "S69OQL": "S690QL"}
failures = []


def fail(text):
    failures.append(text)


def catalog(kind):
    rows = []
    for path in sorted((PROJECT / "data").glob("*.toml")):
        rows += tomllib.loads(path.read_text()).get(kind, [])
    return {row["id"]: row for row in rows}


def answers(path):
    done = subprocess.run([PROGRAM, "batch", str(path)], capture_output=True, text=True)
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    with open(path, newline="") as file:
        jobs = list(csv.DictReader(file))
    if len(rows) != len(jobs):
        fail(f"{path.name}: {len(jobs)} jobs, {len(rows)} answers")
    for job, row in zip(jobs, rows):
        if job["id"] != row["id"]:
            fail(f"{path.name}: {job['id']} is answered by {row['id']}")
        if row["status"] != "ok":
            fail(f"{path.name} {row['id']}: {row['status']}: {row['message']}")
        elif not float(row["current_A"]) > 0 or not float(row["voltage_V"]) > 0:
            fail(f"{path.name} {row['id']}: no current or voltage")
        if job.get("x-wire") and row["wire"] != job["x-wire"]:
            fail(f"{path.name} {row['id']}: {row['wire']} for {row['alloy']}, a shop takes {job['x-wire']}")
        if job.get("x-least-preheat") and not float(row["preheat_degC"]) >= float(job["x-least-preheat"]):
            fail(f"{path.name} {row['id']}: {row['preheat_degC']} degC, at least {job['x-least-preheat']} is usual")
    return rows


rows = answers(EVERY) + answers(SHOPS)
for kind, column in (("alloy", "alloy"), ("wire", "wire"), ("gas", "gas")):
    unused = set(catalog(kind)) - {row[column] for row in rows if row["status"] == "ok"}
    if unused:
        fail(f"no plan uses the {kind}: {', '.join(sorted(unused))}")

# Each group names an alloy of that group, and every alloy's group is named.
alloys, groups = catalog("alloy"), catalog("material_group")
for group, row in groups.items():
    if alloys[row["alloy"]]["group"] != group.removeprefix("group "):
        fail(f"{group} is planned with {row['alloy']} of group {alloys[row['alloy']]['group']}")

# Current ranges of a wire family are held against published ones, or each of them says that it is recalled or assumed.
with open(PROJECT / "tests/published/current_ranges.csv", newline="") as file:
    checked = {row["family"] for row in csv.DictReader(line for line in file if not line.startswith("#"))}
checked |= {"aluminium-5xxx"} if "aluminium-4xxx" in checked else set()  # the sources give aluminium as one
kinds = {}
sizes = []
for path in sorted((PROJECT / "data").glob("*.toml")):
    document = tomllib.loads(path.read_text())
    kinds |= {source["key"]: source["kind"] for source in document.get("source", [])}
    sizes += document.get("wire_size", [])
families = set(catalog("wire_family"))
if len(sizes) < len(families) or not checked <= families:
    fail(f"{len(sizes)} wire sizes for {len(families)} families; published ones of {', '.join(sorted(checked))}")
for size in sizes:
    if size["family"] in checked:
        continue
    for column, value in size.items():
        if isinstance(value, dict) and kinds[value["source"]] not in ("memory", "assumed", "practice", "derived"):
            fail(f"{column} of {size['family']} {size['diameter_mm']} mm is {kinds[value['source']]}, and no row of "
                 "current_ranges.csv holds it to that")

for slip, meant in SLIPS.items():
    done = subprocess.run([PROGRAM, "plan", "--set", "joint.type=fillet", "--set", "joint.thickness=6", "--set",
                           f"material.alloy={slip}"], capture_output=True, text=True)
    if done.returncode != 2 or meant not in done.stderr.split("did you mean")[-1]:
        fail(f"'{slip}' is not told of {meant}: {done.stderr.strip()}")

print("\n".join(failures) or f"{len(rows)} jobs answered, {len(SLIPS)} slips told")
sys.exit(1 if failures else 0)
