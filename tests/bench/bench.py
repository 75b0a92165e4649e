#!/usr/bin/env python3
"""Speed of job lists beside public tools, in the same minutes on the same core.

    bench.py PROGRAM [--rows 1000000] [--plans PLANS_PER_SECOND]

Needs GeodSolve (geographiclib-tools), taskset, GNU time; prints a table of ratios. The limits that must hold are
checked; the machine's own noise is why each figure is the best of a few runs, taken in turns.
"""
import argparse
import os
import pathlib
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time

here = pathlib.Path(__file__).resolve().parent
parser = argparse.ArgumentParser()
parser.add_argument("program")
parser.add_argument("--rows", type=int, default=1_000_000)
parser.add_argument("--runs", type=int, default=2)
parser.add_argument("--plans", help="the program plans_per_second")
options = parser.parse_args()
program = str(pathlib.Path(options.program).resolve())
missed = []


def run(command, stdin=None, core=None):
    """Wall seconds, CPU seconds and peak megabytes."""
    prefix = ["taskset", "-c", str(core)] if core is not None else []
    with tempfile.NamedTemporaryFile("r") as note, open(stdin or os.devnull, "rb") as source:
        began = time.monotonic()
        done = subprocess.run([*prefix, "/usr/bin/time", "-o", note.name, "-f", "%M %U %S", *command], stdin=source,
                              stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        wall = time.monotonic() - began
        words = note.read().split()[-3:]
    if done.returncode > 2:
        sys.exit(f"{command} failed: {done.stderr[-300:]}")
    return wall, float(words[1]) + float(words[2]), int(words[0]) / 1024


def row(what, figure, limit=""):
    print(f"{what:<58} {figure:>16}  {limit}", flush=True)


def must(holds, what):
    if not holds:
        missed.append(what)
    return "ok" if holds else "MISSED"


def start_ratio(command, runs=300):
    """Median start time over that of `true`, the two taken in turns."""
    times = {"true": [], "own": []}
    for _ in range(runs):
        for name, words in (("true", ["true"]), ("own", command)):
            began = time.perf_counter()
            subprocess.run(words, stdout=subprocess.DEVNULL)
            times[name].append(time.perf_counter() - began)
    return statistics.median(times["own"]) / statistics.median(times["true"])


ORDINARY = ["S235", "S355", "S690", "304L", "316L", "321", "2205", "2507", "EN AW-5083"]
GROOVES = ["square", "single-v", "double-v", "single-bevel", "double-bevel", ""]


def joint_file(dice, wild):
    """An ordinary joint, or one from foil to ingot that nobody would draw."""
    kind = dice.choice(["fillet", "butt", "lap", "corner", "edge", "overlay"] if wild else ["fillet", "butt"])
    thickness = round(10 ** dice.uniform(-0.3, 2.3), 3) if wild else dice.choice([2, 3, 4, 5, 6, 8, 10, 12])
    places = ["PA", "PB", "PC", "PF", "PG", "PE"] if wild else ["PB", "PF"] if kind == "fillet" else ["PA", "PF"]
    groove = dice.choice(GROOVES) if wild and kind == "butt" else ""
    alloy = dice.choice(ORDINARY + ["EN AW-6082", "EN AW-5754", "625", "CuNi10"] if wild else ORDINARY)
    lines = ["[joint]", f'type = "{kind}"', f"thickness = {thickness}", f'position = "{dice.choice(places)}"']
    if groove:
        lines.append(f'preparation = "{groove}"')
    if wild and kind in ("fillet", "lap") and dice.random() < 0.3:
        lines.append(f"leg = {round(thickness * dice.uniform(0.3, 1.5), 2)}")
    lines += ["[material]", f'alloy = "{alloy}"']
    if wild and dice.random() < 0.3:
        lines += ["[process]", f'mode = "{dice.choice(["short-arc", "spray", "pulse", "double-pulse"])}"']
    return "\n".join(lines) + "\n"


def slowest_joint(ordinary=60, wild=400):
    """CPU time of the slowest of many wild joints over that of the median ordinary one."""
    dice = random.Random(9)
    seconds = {False: [], True: []}
    with tempfile.TemporaryDirectory() as folder:
        path = f"{folder}/joint.toml"
        for is_wild in [False] * ordinary + [True] * wild:
            text = joint_file(dice, is_wild)
            pathlib.Path(path).write_text(text)
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run([program, "plan", path], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            seconds[is_wild].append((used, text))
    worst, text = max(seconds[True])
    times = worst / max(statistics.median(used for used, _ in seconds[False]), 1e-3)
    row(f"slowest of {wild} wild joints", f"{times:.1f} x ordinary", f"must 20 x: {must(times <= 20, 'slowest joint')}")
    print("  " + " ".join(text.split()))


with tempfile.TemporaryDirectory() as folder:
    jobs, small, points = (f"{folder}/{name}" for name in ("jobs.csv", "small.csv", "points.txt"))
    with open(jobs, "w") as out:
        subprocess.run([sys.executable, here / "job_rows.py", str(options.rows)], stdout=out, check=True)
    lists = {"distinct": f"{folder}/distinct.csv", "open": f"{folder}/open.csv"}
    sizes = {"distinct": max(options.rows // 10, 1), "open": max(options.rows // 50, 1)}
    for path, count, sort in ([(small, max(options.rows // 10, 1), "repeated")]
                              + [(lists[sort], sizes[sort], sort) for sort in lists]):
        with open(path, "w") as out:
            subprocess.run([sys.executable, here / "job_rows.py", str(count), sort], stdout=out, check=True)
    dice = random.Random(1)
    with open(points, "w") as out:
        for _ in range(options.rows):
            out.write(f"{dice.uniform(-89, 89):.6f} {dice.uniform(-180, 180):.6f} "
                      f"{dice.uniform(-89, 89):.6f} {dice.uniform(-180, 180):.6f}\n")
    print(f"{options.rows} rows; best of {options.runs}, in turns\n")

    geod, one, two = [], [], []
    for _ in range(options.runs):
        geod.append(run(["GeodSolve", "-i"], points, 0))
        one.append(run([program, "batch", "-q", "--threads", "1", jobs], core=0))
        two.append(run([program, "batch", "-q", "--threads", "2", jobs]))
    best = [min(times) for times in (geod, one, two)]
    # One core against one core by CPU time, which other work on the machine hardly touches; two threads by wall time.
    rate = [options.rows / min(cpu for _, cpu, _ in times) for times in (geod, one)] + [options.rows / best[2][0]]
    wall_of_one = options.rows / best[1][0]
    row("GeodSolve -i, one core", f"{rate[0]:.0f} rows/s")
    row("batch, rows that repeat, one core", f"{rate[1]:.0f} rows/s")
    row("  beside GeodSolve", f"{rate[1] / rate[0]:.2f} x", f"must 1 x: {must(rate[1] >= rate[0], 'rate')}")
    for sort, needed, aimed in (("distinct", 0.6, 1), ("open", 0.2, 0.4)):
        seconds = min(run([program, "batch", "-q", "--threads", "1", lists[sort]], core=0)[1] for _ in range(options.runs))
        here_rate = sizes[sort] / seconds
        row(f"batch, no two rows alike, {'mode, wire and leg open' if sort == 'open' else 'all given'}",
            f"{here_rate:.0f} rows/s")
        row("  beside GeodSolve", f"{here_rate / rate[0]:.3f} x",
            f"must {needed} x: {must(here_rate >= needed * rate[0], sort)}, aim {aimed} x")
    row("batch, two threads", f"{rate[2]:.0f} rows/s")
    row("  beside one", f"{rate[2] / wall_of_one:.2f} x",
        f"must 1.7 x: {must(rate[2] >= 1.7 * wall_of_one, 'threads')} ({os.cpu_count()} cores, load {os.getloadavg()[0]:.1f})")
    memory = run([program, "batch", "-q", "--threads", "1", small])[2], best[1][2], best[2][2]
    row("peak memory, a tenth of the rows / all, one thread", f"{memory[0]:.1f} / {memory[1]:.1f} MB",
        f"must 16 MB, no growth: {must(max(memory) <= 16 and memory[1] <= 1.05 * memory[0] + 0.3, 'memory')}")
    row("peak memory, two threads", f"{memory[2]:.1f} MB", "")
    trace = subprocess.run(["strace", "-c", "-f", "-e", "trace=write", program, "batch", "-q", "--threads", "1", small],
                           stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True) if subprocess.run(
        ["which", "strace"], capture_output=True).returncode == 0 else None
    writes = [line.split()[3] for line in (trace.stderr.splitlines() if trace else []) if line.endswith(" write")]
    if writes:
        size = len(subprocess.run([program, "batch", "-q", small], stdout=subprocess.PIPE).stdout)
        row("bytes a write", f"{size / int(writes[0]):.0f}", "aim 65536 or more")
    row("start, --version", f"{start_ratio([program, '--version']):.2f} x true", "must 1.3 x")
    joint = str(here.parent.parent / "examples" / "keel-bracket.toml")
    row("one plan from a file", f"{start_ratio([program, 'plan', joint], 150):.2f} x true", "must 3 x, aim 1.5 x")
    slowest_joint()
    if options.plans:
        subprocess.run(["head", "-n", "20001", jobs], stdout=open(small, "w"), check=True)
        print()
        subprocess.run([options.plans, small], check=True)
print(f"\nmissed: {', '.join(missed) if missed else 'nothing'}")
sys.exit(1 if missed else 0)
