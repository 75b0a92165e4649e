#!/usr/bin/env python3
"""A new user's first minutes, as the README tells them: every starter file is asked for and used as it is.

usage: check_first_minutes.py PROGRAM
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import terminal
from faults import expect, report

STARTERS = {
    "fillet": ["plan", "FILE"],
    "butt": ["plan", "FILE"],
    "lap": ["plan", "FILE"],
    "pipe": ["plan", "FILE"],
    "equipment": ["plan", "joint.toml", "--equipment", "FILE"],
    "procedure": ["check", "joint.toml", "--procedure", "FILE"],
    "test-piece": ["check", "--test-piece", "FILE"],
    "jobs": ["batch", "FILE", "--summary"],
}


def run(folder: str, *words: str) -> subprocess.CompletedProcess:
    return subprocess.run([sys.argv[1], *words], cwd=folder, capture_output=True, timeout=60, text=True)


def on_a_terminal(folder: str, *words: str) -> str:
    """What the program prints when its output is a terminal."""
    return terminal.shown_by([sys.argv[1], *words], cwd=folder).decode()


def uncommented(text: str) -> list[tuple[str, str]]:
    """(line, the file with that line in force): of every default that stands behind a '#'; a dial is one of them whole."""
    files = []
    lines = text.splitlines()
    for i, line in enumerate(lines):
        if re.match(r"# \[\[", line):
            files.append((line, "\n".join(lines[:i] + [l.removeprefix("# ") for l in lines[i:]])))
            break
        if re.match(r"# \w+ = ", line):
            files.append((line, "\n".join(lines[:i] + [line[2:]] + lines[i + 1:])))
    return files


def check_templates(folder: str) -> None:
    """What stands behind a '#' is what the program chooses, and nothing in a file to start from is warned about."""
    path = pathlib.Path(folder)
    (path / "base.toml").write_text(run(folder, "new", "fillet").stdout)
    uses = {"equipment": ["plan", "base.toml", "--equipment", "t.toml"],
            "procedure": ["plan", "base.toml", "--procedure", "t.toml"]}
    for kind in ("fillet", "butt", "lap", "pipe", "equipment", "procedure"):
        text = run(folder, "new", kind).stdout
        words = uses.get(kind, ["plan", "t.toml"])
        tried = uncommented(text)
        expect(len(tried) > 5, f"new {kind}: {len(tried)} defaults behind a '#'")
        answers = []
        for line, changed in [("as it is", text), *tried]:
            (path / "t.toml").write_text(changed)
            done = run(folder, *words, "--format", "json")
            expect(done.returncode == 0, f"new {kind}, {line}: {done.returncode} {done.stderr}")
            if done.returncode in (0, 1):
                answers.append(json.loads(done.stdout))
                expect(answers[-1]["warnings"] == [], f"new {kind}, {line}: {answers[-1]['warnings']}")
            expect("Outside the procedure" not in run(folder, *words).stdout, f"new {kind}, {line}: outside the procedure")
        if kind in uses or len(answers) != len(tried) + 1:
            continue
        # Of what the plan chose, the file says the same, so that taking the '#' away changes nothing.
        table = ""
        chosen = {c["key"]: c["value"] for c in answers[0]["choices"]}
        told = {}
        for line in text.splitlines():
            table = line.strip("[]") if re.fullmatch(r"\[\w+\]", line) else table
            if found := re.match(r'# (\w+) = "?([^"#]+?)"?\s*(#|$)', line):
                told[f"{table}.{found.group(1)}"] = found.group(2)
        same = [key for key in told if key in chosen and key != "joint.length"]
        expect(len(same) >= 6, f"new {kind}: only {same} of the choices {list(chosen)} are in the file")
        for key in same:
            def numbers(value: str) -> list[float]:
                return [float(n) for n in re.findall(r"\d+(?:\.\d+)?", value.replace("..", " "))]
            alike = told[key] == chosen[key] or (numbers(told[key]) and numbers(told[key]) == numbers(chosen[key]))
            expect(alike, f"new {kind}: {key} is {told[key]} in the file and {chosen[key]} when left out")


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder)
        first = run(folder)
        expect(first.returncode == 0 and len(first.stdout.splitlines()) <= 14, "no arguments: more than a dozen lines or so")
        expect(first.stdout.count("  seamwright ") >= 3, "no arguments: three examples")
        made = run(folder, "new", "fillet", "-o", "joint.toml")
        expect(made.returncode == 0 and (path / "joint.toml").exists(), f"new fillet: {made.stderr}")
        for kind, words in STARTERS.items():
            name = f"own-{kind}" + (".csv" if kind == "jobs" else ".toml")
            made = run(folder, "new", kind, "-o", name)
            expect(made.returncode == 0, f"new {kind}: {made.stderr}")
            used = run(folder, *[name if w == "FILE" else w for w in words])
            expect(used.returncode in (0, 1) and used.stdout != "", f"{kind} as it is: {used.returncode} {used.stderr}")
            if kind not in ("procedure", "test-piece"):
                expect(used.returncode == 0, f"{kind} as it is has no window: {used.stderr}")

        # A file with work in it is not written over.
        kept = (path / "joint.toml").read_text()
        again = run(folder, "new", "butt", "-o", "joint.toml")
        expect(again.returncode == 2 and (path / "joint.toml").read_text() == kept, "new writes over a file")
        expect("--force" in again.stderr, f"new over a file: {again.stderr}")
        expect(run(folder, "new", "fillet", "-o", "joint.toml", "--force").returncode == 0, "new --force")
        check_templates(folder)

        # Edited: another leg, a gap.
        text = (path / "joint.toml").read_text().replace("leg = 5 ", "leg = 6 ").replace("# gap = 0", "gap = 0.5")
        (path / "joint.toml").write_text(text)
        planned = run(folder, "plan", "joint.toml")
        expect(planned.returncode == 0 and "leg 6 mm" in planned.stdout and "gap 0.5 mm" in planned.stdout, "plan, edited")
        expect("WATCH" not in planned.stdout, "the edit of the first minutes is warned about")
        sheet = run(folder, "sheet", "joint.toml", "--equipment", "own-equipment.toml", "-o", "joint.html")
        expect(sheet.returncode == 0 and "<svg" in (path / "joint.html").read_text(), f"sheet: {sheet.stderr}")
        why = run(folder, "explain", "joint.toml", "heat_input")
        expect(why.returncode == 0 and "EN 1011-1" in why.stdout, f"explain: {why.stderr}")

        # Every key that explain lists can be explained.
        listed = [line.split()[0] for line in run(folder, "explain", "joint.toml").stdout.splitlines()
                  if line.startswith("  ") and line[2:3].isalpha() and "." in line]
        expect(len(listed) > 20, "explain lists the keys")
        for key in listed:
            expect(run(folder, "explain", "joint.toml", key).returncode == 0, f"explain {key}")

        # Pictures.
        if terminal.is_here():
            drawn = on_a_terminal(folder, "plan", "joint.toml", "--plot")
            expect("@ recommended" in drawn and "band at this deposit" in drawn, "plan --plot on a terminal")
            waves = on_a_terminal(folder, "plan", "--set", "joint.type=butt", "--set", "joint.thickness=4", "--set",
                                  "joint.gap=1.5", "--set", "material.alloy=5083", "--set", "process.mode=double-pulse",
                                  "--plot")
            expect(all(axis in waves for axis in ("travel, mm/s", "current, A", "time, ms", "wire feed, m/min", "time, s")),
                   "plan --plot of double pulse draws window, pulse and feed")
            line = on_a_terminal(folder, "line", "--set", "wire.designation=G3Si1", "--plot")
            expect("voltage, V" in line and "*" in line, "line --plot on a terminal")
        piped = run(folder, "plan", "joint.toml", "--plot")
        expect("@ recommended" in piped.stdout and not piped.stderr, "plan --plot into a pipe")
        expect(max(map(len, piped.stdout.splitlines())) <= 80, "plan --plot into a pipe is wider than 80 columns")

        # Sweeps: two keys make a grid.
        grid = run(folder, "plan", "joint.toml", "--vary", "joint.thickness=5:7:1", "--vary", "joint.gap=0:1:0.5", "-q")
        rows = grid.stdout.splitlines()
        expect(len(rows) == 10 and rows[0].startswith("joint.thickness,joint.gap,"), f"grid: {len(rows)} rows")
        lines = run(folder, "plan", "joint.toml", "--vary", "joint.leg=4:6:1", "--format", "ndjson").stdout.splitlines()
        expect(len(lines) == 3 and all(l.startswith("{") for l in lines), "sweep as NDJSON")

        # Slips are met with the nearest word.
        for words, near in ((["paln", "joint.toml"], "plan"), (["plan", "joint.toml", "--equipmnt", "x"], "--equipment"),
                            (["plan", "joint.toml", "--set", "joint.thicknes=5"], "joint.thickness"),
                            (["explain", "joint.toml", "voltag"], "voltage"), (["new", "filet"], "fillet"),
                            (["help", "unts"], "units"), (["catalog", "aloy"], "alloy"),
                            (["line", "--set", "wire.designatoin=5183"], "wire.designation"),
                            (["completion", "zhs"], "zsh")):
            slip = run(folder, *words)
            expect(slip.returncode == 2 and near in slip.stderr, f"{words}: {slip.stderr.strip()}")
    return report()


if __name__ == "__main__":
    sys.exit(main())
