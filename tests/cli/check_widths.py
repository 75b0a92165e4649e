#!/usr/bin/env python3
"""Every command that prints for a reader, on screens of 40, 60, 80 and 100 columns: no line is wider than the screen,
no number ends a line while its unit begins the next, and a narrow screen hides none of the numbers.

A line may be wider than the screen for two reasons only: it is a command that stands there to be copied, or it is one
word (an address, a path, a key) that is longer than the room it has. Files to start from ('new'), CSV, JSON and pictures
are files, not screens.

usage: check_widths.py PROGRAM EXAMPLES
"""
import os
import pathlib
import re
import subprocess
import sys
import tempfile

from faults import expect, report

PROGRAM, EXAMPLES = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
WIDTHS = (40, 60, 80, 100)
ENVIRONMENT = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR")}
JOINTS = [f.name for f in sorted(EXAMPLES.glob("*.toml")) if re.search(r'^type = "', f.read_text(), re.M)]
MACHINE = ["--equipment", "slipway-350.toml"]
SETTING = ["--feed", "9", "--voltage", "28", "--travel", "6.5"]
UNITS = {"mm", "mm/s", "m/min", "A", "V", "kW", "W", "kJ", "kJ/mm", "kJ/in", "degC", "degF", "K", "s", "ms", "Hz", "h", "l",
         "l/min", "g", "kg", "in", "ipm", "ft", "lb", "mH", "A/ms", "A/s", "mm2", "in2", "MPa", "ksi", "HV", "ml", "%"}
NUMBER = re.compile(r"[-+]{0,2}\d[\d.,/-]*(?<!,)")
COPIED = ("--set", "seamwright ", "$ ")


def run(*words, columns):
    done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, timeout=120, cwd=EXAMPLES,
                          env=ENVIRONMENT | {"COLUMNS": str(columns)})
    expect(done.returncode in (0, 1), f"{words}: {done.stderr.strip()[:200]}")
    return done.stderr if "--summary" in words else done.stdout


def pages(folder):
    """What is printed, by name: each command with what makes its output longest."""
    for joint in JOINTS:
        yield ["plan", joint]
        yield ["plan", joint, "--sensitivity", "--plot", *MACHINE]
        yield ["plan", joint, "--all", "--units", "us"]
        yield ["explain", joint]
        yield ["assess", joint, *SETTING]
        yield ["assess", joint, "--feed", "12", "--current", "320", *MACHINE]
        yield ["check", joint, "--procedure", "cradle-procedure.toml"]
        yield ["compare", joint, "hull-seam.toml"]
    yield ["plan", "keel-bracket.toml", "--all", "--set", "limits.heat_input=..0.1"]
    yield ["plan", "deck-beam-overhead.toml", "--all", "--procedure", "cradle-procedure.toml"]
    yield ["check", "keel-bracket.toml", "--test-piece", "cradle-test-piece.toml"]
    yield ["check", "--test-piece", "cradle-test-piece.toml", "--units", "us"]
    keys = re.findall(r"^  ([a-z]\w+)", run("explain", "keel-bracket.toml", columns=100), re.M)
    expect(len(keys) > 20, f"only {len(keys)} quantities to explain")
    for key in keys:
        yield ["explain", "keel-bracket.toml", key, *MACHINE]
    for joint, key in (("hull-seam.toml", "wire_feed"), ("hull-seam.toml", "modulation_amplitude"),
                       ("cradle-beam.toml", "t8_5"), ("seawater-spool.toml", "ferrite_number")):
        yield ["explain", joint, key, "--units", "us"]
    lock, saved = folder / "lock.toml", folder / "plan.json"
    run("plan", "keel-bracket.toml", "--write-lock", lock, columns=80)
    run("plan", "keel-bracket.toml", "-o", saved, columns=80)
    yield ["compare", lock, "keel-bracket.toml"]
    yield ["compare", saved, "keel-bracket.toml", "--units", "us"]
    yield ["compare", saved, saved]
    for log in ("keel-bracket-log.csv", "keel-bracket-weld.csv"):
        yield ["review", log, "--plot"]
        yield ["review", log, "--procedure", lock, "--travel", "6.5"]
        yield ["review", log, "--units", "us", "--travel", "6.5"]
    for wire, mode in (("5356", "pulse"), ("5356", "double-pulse"), ("5356", "spray"), ("G3Si1", "short-arc"),
                       ("G3Si1", "controlled-dip"), ("G3Si1", "spray")):
        for units in ("metric", "us"):
            yield ["line", "--set", f"wire.designation={wire}", "--set", f"process.mode={mode}", "--plot", "--units", units]
    yield ["calibrate", "trials.csv", "--plot"]
    yield ["calibrate", "trials.csv", "--leave-one-out", "--units", "us"]
    yield ["batch", "boatyard-jobs.csv", "-o", folder / "answer.csv", "--summary"]
    yield ["batch", "boatyard-jobs.csv", "-o", folder / "answer.csv", "--summary", "--units", "us", *MACHINE]
    yield ["catalog"]
    kinds = re.findall(r"^  ([a-z-]+)  ", run("catalog", columns=100), re.M)
    expect(len(kinds) > 10, f"only {len(kinds)} kinds in the catalog")
    for kind in kinds:
        rows = run("catalog", kind, columns=100)
        yield ["catalog", kind]
        if first := re.search(r"^  (\S+)  ", rows, re.M):
            yield ["catalog", kind, first[1]]
    yield []
    yield ["help"]
    yield ["--help"]
    yield ["--version"]
    helped = run("help", columns=100)
    topics = re.search(r"topics of [^:]*: ([^\n]*(?:\n[^\n]+)*)", helped)[1]
    for word in re.findall(r"[a-z-]+", topics) + re.findall(r"^  ([a-z]+)  ", helped, re.M):
        yield ["help", word]


def may_be_wider(line):
    text = line.strip().removeprefix("- ")
    return " " not in text or text.startswith(COPIED)


def without_pictures(text):
    """A picture is its frame and axis, the unit above and the ticks and the unit below."""
    return re.sub(r"(?:^  .*\n)?(?:^[ \d.-]{7} [|+].*\n)+^ {8}\+[-+]+\n.*\n.*\n", "\n", text, flags=re.M)


def numbers(text):
    """Apart from pictures, whose axes have other ticks on another screen."""
    return {n.strip(".,") for n in re.findall(r"\d[\d.,/]*", without_pictures(text))}


def fits(words, text, width):
    what = f"{' '.join(map(str, words))} at {width}"
    for line in text.splitlines():
        expect(len(line) <= width or may_be_wider(line), f"{what}: {len(line)} letters: {line}")
        expect(line == line.rstrip(), f"{what}: blanks at the end of {line!r}")
    if width < 80:
        lines = without_pictures(text).splitlines()
        for line, after in zip(lines, lines[1:]):
            last, first = (line.split() or [""])[-1], (after.split() or [""])[0].strip(".,;:)]")
            standard = re.search(r"ISO\S* [\d-]+$", line)
            expect(standard or not (NUMBER.fullmatch(last) and first in UNITS), f"{what}: {last} is cut from {first}")


def main() -> int:
    expect(len(JOINTS) > 12, f"only {len(JOINTS)} joints among the examples")
    with tempfile.TemporaryDirectory() as name:
        tried = 0
        for words in pages(pathlib.Path(name)):
            tried += 1
            shown = {width: run(*words, columns=width) for width in WIDTHS}
            for width, text in shown.items():
                fits(words, text, width)
            for width in WIDTHS[:-1]:
                lost = numbers(shown[100]) - numbers(shown[width])
                expect(not lost, f"{' '.join(map(str, words))} at {width}: no longer there: {sorted(lost)[:8]}")
        print(f"{tried} pages at {len(WIDTHS)} widths")
    return report()


if __name__ == "__main__":
    sys.exit(main())
