#!/usr/bin/env python3
"""Trial welds, black box: broken lists, from a plan to another plan, outliers, verdicts, same bytes, the schema.

    check_calibrate.py PROGRAM SCHEMA EXAMPLES
"""
import json
import re
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from faults import end_code, left_out

HEAD = "wire.designation,wire.diameter,process.mode,wire_feed,travel,current_A,voltage_V,bead_width_mm,verdict\n"
GOOD = "G 3Si1,1.2,spray,9,7,270,28,9.5,\n"

# name, text, where (line:column; None: no place), what the message says
BROKEN = [
    ("empty file", "", None, "empty"),
    ("header alone", HEAD, "1:1", "no trial"),
    ("unknown column", HEAD.replace("current_A", "curent_A") + GOOD, "1:62", "unknown column 'curent_A'"),
    ("unit of something else", HEAD.replace("current_A", "current_mm") + GOOD, "1:62", "unknown column 'current_mm'"),
    ("column twice", HEAD.replace("voltage_V", "current") + GOOD, "1:72", "'current' is there twice"),
    ("column without a name", HEAD.replace("voltage_V", "") + GOOD, "1:72", "no name"),
    ("no wire", HEAD.replace("wire.designation", "x-wire") + GOOD, "1:1", "no column 'wire.designation'"),
    ("no diameter", HEAD.replace("wire.diameter", "x-d") + GOOD, "1:1", "no column 'wire.diameter'"),
    ("no mode", HEAD.replace("process.mode", "x-mode") + GOOD, "1:1", "no column 'process.mode'"),
    ("no feed", HEAD.replace("wire_feed", "x-feed") + GOOD, "1:1", "no column 'wire_feed'"),
    ("no travel", HEAD.replace("travel", "x-travel") + GOOD, "1:1", "no column 'travel'"),
    ("nothing read", "wire.designation,wire.diameter,process.mode,wire_feed,travel\nG 3Si1,1.2,spray,9,7\n", "1:1",
     "no column with a reading"),
    ("short row", HEAD + "G 3Si1,1.2,spray,9\n", "2:1", "4 cells, the header 9"),
    ("long row", HEAD + GOOD.strip() + ",1,2\n", "2:1", "11 cells, the header 9"),
    ("open quote", HEAD + '"G 3Si1,1.2,spray,9,7,270,28,9.5,\n', "2:1", "not closed"),
    ("text behind a quote", HEAD + '"G 3Si1"x,1.2,spray,9,7,270,28,9.5,\n', "2:1", "closing quote"),
    ("unknown wire", HEAD + GOOD.replace("G 3Si1", "G 9Si9"), "2:1", "G 9Si9"),
    ("unknown mode", HEAD + GOOD.replace("spray", "spry"), "2:12", "spry"),
    ("no number", HEAD + GOOD.replace("270", "much"), "2:22", "current_A"),
    ("decimal comma", HEAD.replace(",", ";") + GOOD.replace(",", ";").replace("9.5", "9,5"), "2:29", "bead_width_mm"),
    ("negative reading", HEAD + GOOD.replace("270", "-270"), "2:22", "is no reading"),
    ("zero voltage", HEAD + GOOD.replace(",28,", ",0,"), "2:26", "is no reading"),
    ("feed beyond sense", HEAD + GOOD.replace(",9,7,", ",900,7,"), "2:18", "wire_feed"),
    ("travel in mm/min", HEAD + GOOD.replace(",9,7,", ",9,420,"), "2:20", "travel"),
    ("unknown verdict", HEAD + GOOD.strip() + "lapped could\n", "2:33", "did you mean 'lapped-cold'"),
    ("good and bad", HEAD + GOOD.strip() + "good; undercut\n", "2:33", "no other verdict"),
    ("nothing in the row", HEAD + "G 3Si1,1.2,spray,9,7,,,,\n", "2:1", "neither a reading nor a verdict"),
    ("mode the wire cannot", HEAD + GOOD.replace("1.2", "0.7"), "2", ""),
    ("spread without a reading", HEAD.replace("verdict", "penetration +-") + GOOD.strip() + "0.2\n", "2:33",
     "no reading it belongs to"),
]

# The same with columns of dials, read by the example's machine: name, text, with that machine, place, message.
DIAL_HEAD = HEAD.replace("wire_feed,", "dial.Feed,")
BROKEN_DIALS = [
    ("dials of no machine", DIAL_HEAD + GOOD, False, "2:18", "no machine with dials is described"),
    ("a dial it has not", DIAL_HEAD.replace("dial.Feed", "dial.Fed") + GOOD, True, "2:18", "no dial 'Fed'"),
    ("off the scale", DIAL_HEAD + GOOD.replace(",9,7,", ",41,7,"), True, "2:18", "41 is off the scale"),
    ("no number on a dial", DIAL_HEAD + GOOD.replace(",9,7,", ",x,7,"), True, "2:18", "Feed"),
    ("dial and quantity", DIAL_HEAD.replace("verdict", "wire_feed") + GOOD.strip() + "9\n", True, "2:18",
     "wire feed is given twice"),
    ("no dial of the feed", DIAL_HEAD.replace("dial.Feed", "dial.Arc") + GOOD, True, "2:1", "the trial has no wire_feed"),
    ("a dial that says nothing", HEAD.replace("verdict", "dial.Ripple") + GOOD.strip() + "20\n", True, "2:33",
     "nothing by the dial of modulation frequency"),
    ("dial twice", DIAL_HEAD.replace("verdict", "dial.Feed") + GOOD, True, "1:96", "there twice"),
]

FAULTS = []


def check(truth, text):
    if not truth:
        FAULTS.append(text)


def run(program, *arguments, folder=None):
    return subprocess.run([program, *map(str, arguments)], capture_output=True, text=True, cwd=folder, timeout=120)


def check_broken(program, folder):
    for name, text, place, message in BROKEN:
        (folder / "bad.csv").write_text(text)
        result = run(program, "calibrate", "bad.csv", "-o", "own.toml", "--svg", "left.svg", folder=folder)
        where = "bad.csv" if place is None else f"bad.csv:{place}"
        check(result.returncode == 2, f"{name}: exit code {result.returncode}")
        check(where in result.stderr, f"{name}: '{where}' is not in {result.stderr!r}")
        check(message in result.stderr, f"{name}: '{message}' is not in {result.stderr!r}")
        check("help:" in result.stderr or name in ("mode the wire cannot",), f"{name}: no next step")
        check(result.stdout == "", f"{name}: something on standard output")
        check(not (folder / "own.toml").exists() and not (folder / "left.svg").exists(), f"{name}: a file was written")


def check_dials(program, folder, machine):
    """A row in dial steps is the row in what they set; the machine is needed, and knows its dials."""
    for name, text, described, place, message in BROKEN_DIALS:
        (folder / "bad.csv").write_text(text)
        options = ["--equipment", machine] if described else []
        result = run(program, "calibrate", "bad.csv", *options, "-o", "dials.toml", folder=folder)
        check(result.returncode == 2 and f"bad.csv:{place}" in result.stderr and message in result.stderr and
              "help:" in result.stderr and not (folder / "dials.toml").exists(), f"{name}: {result.stderr!r}")
    feed = 1.2 + 0.47 * 17  # as the machine's file says
    row = GOOD.strip()
    for file, head, cells in (("trials.csv", HEAD, row.replace(",9,7,", f",{feed:.6g},7,")),
                              ("dials.csv", DIAL_HEAD, row.replace(",9,7,", ",17,7,"))):
        (folder / file).write_text(head + cells + "\n")
        result = run(program, "calibrate", file, "--equipment", machine, "-o", file + ".toml", folder=folder)
        check(result.returncode == 0, f"{file}: {result.stderr}")
    one, other = (tomllib.loads((folder / f).read_text())["trial"] for f in ("trials.csv.toml", "dials.csv.toml"))
    check(one == other, f"the row in dial steps: {one} against {other}")
    # A longer arc explains a higher voltage, which without the dial would be the wire's.
    higher = row.replace(",9,7,", ",17,7,").replace(",28,", ",30,")
    fixed = []
    for arc in (0, 4):
        (folder / "arc.csv").write_text(DIAL_HEAD.replace("verdict", "dial.Arc") + higher + f"{arc}\n")
        run(program, "calibrate", "arc.csv", "--equipment", machine, "-o", "arc.toml", folder=folder)
        fixed.append(tomllib.loads((folder / "arc.toml").read_text())["trial"][0]["arc_fixed"]["value"])
    check(fixed[1] < fixed[0], f"the arc's dial: {fixed}")


def half_width(text, label):
    found = re.search(rf"^\s+{re.escape(label)}\s+(\d.*)$", text, re.MULTILINE)
    numbers = [float(n) for n in re.findall(r"(?<![\w.])\d+\.?\d*", found.group(1))]
    return numbers[3] if len(numbers) > 3 else numbers[-1]


def value_of(text, label):
    return float(re.search(rf"^\s+{re.escape(label)}\s+([\d.]+)", text, re.MULTILINE).group(1))


def feed_of(plan):
    return float(re.search(r"SET +wire feed ([\d.]+)", plan).group(1))


def check_named(program, folder, joint):
    """Lock file, saved plan and comparison name the trial welds behind the numbers; those behind no number are not named."""
    title = tomllib.loads((folder / "own.toml").read_text())["source"][0]["title"]
    lock = tomllib.loads((folder / "lock.toml").read_text())
    check(lock["made"].get("trials") == [title], f"the lock file names {lock['made']}")
    keys = [word for word in joint if word != "--set"]
    (folder / "joint.toml").write_text("\n".join(re.sub(r"=(.*[A-Za-z].*)", r'="\1"', key) for key in keys) + "\n")
    saved = run(program, "plan", "joint.toml", "--data", "own.toml", "-o", "plan.json", folder=folder)
    check(saved.returncode == 0, f"the saved plan: {saved.stderr}")
    check(json.loads((folder / "plan.json").read_text()).get("trials") == [title], "the saved plan names no trials")
    for side, first in (("lock.toml", title), ("plan.json", title)):
        compared = run(program, "compare", side, "joint.toml", "--format", "json", folder=folder)
        told = json.loads(compared.stdout)
        check(told["a"]["trials"] == [first] and told["b"]["trials"] == [] and told["other_data"] and
              f'The first rests on "{title}", the second on no trial welds.' in told["data"],
              f"{side} against the joint without its trials: {told['data']}")
    # Calibrated again from other readings in as many rows of a list of the same name: told apart by what is in the file.
    own = (folder / "own.toml").read_text()
    again = re.sub(r"(width = \{ value = )[\d.]+", r"\g<1>1.25", own, count=1)
    check(again != own, "the file of own constants has no width")
    (folder / "own.toml").write_text(again)
    compared = run(program, "compare", "lock.toml", "joint.toml", "--data", "own.toml", "--format", "json",
                   folder=folder)
    told = json.loads(compared.stdout)
    versions = re.findall(r"with own\.toml \(([0-9a-f]{8})\)", told["data"])
    check(len(versions) == 2 and versions[0] != versions[1] and told["other_data"] and
          lock["made"]["data"].endswith(f"with own.toml ({versions[0]})"), f"two calibrations of one name: {told['data']}")
    (folder / "own.toml").write_text(own)
    compared = run(program, "compare", "lock.toml", "joint.toml", "--data", "own.toml", "--format", "json",
                   folder=folder)
    check(not json.loads(compared.stdout)["other_data"], f"the same calibration: {compared.stdout[-300:]}")
    other = run(program, "plan", "joint.toml", "--data", "own.toml", "--set", "process.mode=spray", "--write-lock",
                "spray.toml", folder=folder)
    check(other.returncode == 0 and "trials" not in tomllib.loads((folder / "spray.toml").read_text())["made"],
          f"trials of another mode are named: {other.stderr}")


def check_locked(program, folder, joint, plan):
    """The end of the road: the lock file of the new plan, a weld recorded inside it, and one that went too slowly."""
    locked = run(program, "plan", *joint, "--data", "own.toml", "--write-lock", "lock.toml", folder=folder)
    check(locked.returncode == 0, f"the lock file: {locked.stderr}")
    check_named(program, folder, joint)
    feed, travel = feed_of(plan), float(re.search(r"travel ([\d.]+) mm/s", plan).group(1))
    current, voltage = value_of(plan, "current"), value_of(plan, "voltage")
    for share, verdict, code in ((1.0, "the weld is inside", 0), (0.7, "the weld is OUTSIDE", 1)):
        rows = [f"{0.1 * i:.1f},{current + i % 3:.1f},{voltage:.1f},{feed:.2f},{share * travel:.2f}" for i in range(200)]
        (folder / "weld.csv").write_text("time [s],current [A],voltage [V],wire feed [m/min],travel [mm/s]\n" +
                                         "\n".join(rows) + "\n")
        result = run(program, "review", "weld.csv", "--procedure", "lock.toml", folder=folder)
        check(result.returncode == code and verdict in result.stdout,
              f"{share} of the travel: {result.returncode}, {result.stdout[-400:]}{result.stderr}")


def check_road(program, folder):
    """A plan, two trials of it (one laps cold), calibrate, the plan again: other settings, narrower."""
    joint = ["--set", "joint.type=fillet", "--set", "joint.thickness=6", "--set", "joint.leg=6", "--set",
             "material.alloy=S355", "--set", "process.mode=pulse", "--set", "wire.diameter=1.2", "--set",
             "gas.designation=M21", "--set", "joint.position=PB"]
    before = run(program, "plan", "--all", *joint, folder=folder)
    feed = feed_of(before.stdout)
    travel = float(re.search(r"travel ([\d.]+) mm/s", before.stdout).group(1))
    # This shop's current, width and depth are a little below the program's, its voltage too; feed 1.2 times as fast.
    first = [factor * value_of(before.stdout, label) for factor, label in
             ((0.93, "current"), (0.97, "voltage"), (0.85, "bead width"), (0.8, "penetration"))]
    second = [factor * value for factor, value in zip((1.17, 1.04, 1.08, 1.1), first)]
    cells = [",".join(f"{value:.3g}" for value in values) for values in (first, second)]
    (folder / "trials.csv").write_text(
        "wire.designation,wire.diameter,gas.designation,process.mode,joint.type,joint.thickness,joint.leg,"
        "joint.position,material.alloy,wire_feed,travel,current,voltage,bead_width,penetration,verdict\n"
        f"G 3Si1,1.2,M21,pulse,fillet,6,6,PB,S355,{feed},{travel},{cells[0]},lapped cold\n"
        f"G 3Si1,1.2,M21,pulse,fillet,6,6,PB,S355,{1.2 * feed},{travel},{cells[1]},good\n")
    result = run(program, "calibrate", "trials.csv", "-o", "own.toml", folder=folder)
    check(result.returncode == 0, f"calibrate: {result.stderr}")
    check('kind = "trial"' in (folder / "own.toml").read_text(), "no source of the kind trial")
    check(run(program, "catalog", "check", "own.toml", folder=folder).returncode == 0, "the overlay is not sound")
    after = run(program, "plan", "--all", *joint, "--data", "own.toml", folder=folder)
    check(after.returncode == 0, f"the plan with own constants: {after.stdout[:300]} {after.stderr}")
    check(feed_of(after.stdout) != feed, "the same point as before")
    for label in ("voltage", "current", "bead width", "penetration"):
        check(half_width(after.stdout, label) < half_width(before.stdout, label), f"{label} is not narrower")
    check("[trial]" in run(program, "explain", *joint, "--data", "own.toml", "current", folder=folder).stdout or
          "trial:" in run(program, "explain", *joint, "--data", "own.toml", "current", folder=folder).stdout,
          "explain does not name the trial")
    check_locked(program, folder, joint, after.stdout)
    # Counting the same trials twice is refused.
    again = run(program, "calibrate", "trials.csv", "--data", "own.toml", folder=folder)
    check(again.returncode == 2 and "already" in again.stderr, "a group calibrated twice")
    # The same bytes, from another folder too.
    text = (folder / "own.toml").read_bytes()
    other = folder / "other"
    other.mkdir()
    (other / "trials.csv").write_text((folder / "trials.csv").read_text())
    run(program, "calibrate", other / "trials.csv", "-o", other / "own.toml", folder=other)
    check((other / "own.toml").read_bytes() == text, "other bytes in another folder")


def check_verdict_alone(program, folder):
    """Good where the plan would refuse: not refused any more."""
    keys = {"joint.type": "fillet", "joint.thickness": "10", "joint.leg": "8", "joint.position": "PB",
            "material.alloy": "S355", "wire.designation": "G 3Si1", "wire.diameter": "1.2", "gas.designation": "M21",
            "process.mode": "pulse"}
    setting = ["--set", "process.wire_feed=4", "--set", "process.travel=3"]
    joint = [word for key, value in keys.items() for word in ("--set", f"{key}={value}")]
    before = run(program, "plan", "--all", *joint, *setting, folder=folder)
    (folder / "good.csv").write_text(",".join(keys) + ",wire_feed,travel,verdict\n" + ",".join(keys.values()) +
                                     ",4,3,good\n")
    result = run(program, "calibrate", "good.csv", "-o", "good.toml", folder=folder)
    check(result.returncode == 0, f"verdict alone: {result.stderr}")
    text = (folder / "good.toml").read_text()
    factor = re.search(r"cold_lap_limit = \{ value = ([\d.]+)", text)
    check(factor is not None and float(factor.group(1)) < 1, f"a good weld does not move the limit of cold lap: {text}")
    after = run(program, "plan", "--all", *joint, *setting, "--data", "good.toml", folder=folder)
    check("cold lap" not in re.sub(r"GRADE.*", "", after.stdout.split("LOCK")[0]) or after.returncode <= before.returncode,
          "what was good is refused for cold lap")


def check_outlier(program, folder):
    rows = "".join(f"G 3Si1,1.2,spray,{8 + 0.5 * i},7,{245 + 12 * i},28,,\n" for i in range(5))
    (folder / "odd.csv").write_text(HEAD + rows + "G 3Si1,1.2,spray,9,7,120,28,,\n")
    result = run(program, "calibrate", "odd.csv", "--format", "json", folder=folder)
    report = json.loads(result.stdout)
    check(any(r.startswith("row 6") and "current 120" in r for r in report["remarks"]), f"outlier: {report['remarks']}")
    odd = [r for r in report["readings"] if r["row"] == 6 and r["key"] == "current"][0]
    check(odd["weight"] < 0.3, f"the outlier counts {odd['weight']}")
    others = [r for r in report["readings"] if r["row"] < 6 and r["key"] == "current"]
    check(all(abs(r["after"] / r["measured"] - 1) < 0.05 for r in others), "the outlier has drawn the others along")


def check_forms(program, schema, folder, examples):
    try:
        import jsonschema
        validate = jsonschema.Draft202012Validator(json.loads(Path(schema).read_text())).validate
    except ImportError:
        left_out("python3-jsonschema is not installed")
        validate = None
    trials = Path(examples) / "trials.csv"
    for extra in ([], ["--leave-one-out"], ["--units", "us"]):
        result = run(program, "calibrate", trials, "--format", "json", *extra, folder=folder)
        check(result.returncode == 0, f"json: {result.stderr}")
        if validate:
            validate(json.loads(result.stdout))
    table = run(program, "calibrate", trials, "--leave-one-out", folder=folder)
    check("left out" in table.stdout, "no column of the trials left out")
    csv = run(program, "calibrate", trials, "--format", "csv", folder=folder).stdout.splitlines()
    check(len({line.count(",") for line in csv}) == 1 and len(csv) > 3, "csv rows of different lengths")
    run(program, "calibrate", trials, "--svg", "left.svg", folder=folder)
    svg = (folder / "left.svg").read_text()
    check(svg.startswith("<svg") and svg.rstrip().endswith("</svg>"), "no svg")
    # Columns as 'review --as-trial' writes them.
    (folder / "facts.csv").write_text(
        "wire.designation,wire.diameter,process.mode,wire_feed_m_per_min,travel_mm_per_s,current_A,current_rms_A,"
        "voltage_V\nG 3Si1,1.2,pulse,6,7,180,205,25\n")
    check(run(program, "calibrate", "facts.csv", folder=folder).returncode == 0, "the columns of recorded welds")
    (folder / "facts.csv").write_text("wire.designation,wire.diameter,process.mode,feed_m_min,travel,voltage\n"
                                      "G 3Si1,1.2,pulse,6,7 mm/s,25 V\n")
    check(run(program, "calibrate", "facts.csv", folder=folder).returncode == 0, "feed_m_min, and units in cells")


def main():
    program, schema, examples = (str(Path(p).resolve()) for p in sys.argv[1:4])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        check_broken(program, folder)
        check_dials(program, folder, Path(examples) / "slipway-350.toml")
        check_road(program, folder)
        check_verdict_alone(program, folder)
        check_outlier(program, folder)
        check_forms(program, schema, folder, examples)
    print(f"{len(BROKEN) + len(BROKEN_DIALS)} broken lists")
    for fault in FAULTS:
        print(fault)
    sys.exit(end_code(len(FAULTS)))


if __name__ == "__main__":
    main()
