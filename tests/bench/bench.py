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


with tempfile.TemporaryDirectory() as folder:
    jobs, small, points = (f"{folder}/{name}" for name in ("jobs.csv", "small.csv", "points.txt"))
    with open(jobs, "w") as out:
        subprocess.run([sys.executable, here / "job_rows.py", str(options.rows)], stdout=out, check=True)
    with open(small, "w") as out:
        subprocess.run([sys.executable, here / "job_rows.py", str(max(options.rows // 10, 1))], stdout=out, check=True)
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
    row("batch, one core", f"{rate[1]:.0f} rows/s")
    row("  beside GeodSolve", f"{rate[1] / rate[0]:.2f} x", f"must 0.2 x: {must(rate[1] >= 0.2 * rate[0], 'rate')}, aim 1 x")
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
    if options.plans:
        subprocess.run(["head", "-n", "20001", jobs], stdout=open(small, "w"), check=True)
        print()
        subprocess.run([options.plans, small], check=True)
print(f"\nmissed: {', '.join(missed) if missed else 'nothing'}")
sys.exit(1 if missed else 0)
