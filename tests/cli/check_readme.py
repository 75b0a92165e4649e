#!/usr/bin/env python3
"""The README, word for word: every seamwright command it shows is run, in its order and in one folder that has the
examples and nothing else, and what it prints as the answer must be the answer.

usage: check_readme.py PROGRAM REPOSITORY [--show]

In a block, lines that begin with 'seamwright', 'build/seamwright' or '$' are commands and the lines after them the
answer; a fenced block without a command is the answer to the command before it. A line of dots, or one in square
brackets with dots, stands for lines left out. Between 'new' and 'plan' the file is edited as the text says. Commands
for other programs than this one and the usual small ones are not run. --show prints what does not agree in full.
"""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

COMMAND = re.compile(r"^(?:\$ )?((?:build/)?seamwright [a-z].*|head .*)$")
LEFT_OUT = re.compile(r"^\s*(\.\.\.|\[\.\.\..*\]|\[\.\.\.\])\s*$")
# What the text tells the reader to do with a file once it is written, and files that it takes as given.
EDITS = {"seamwright new fillet -o joint.toml": ("joint.toml", [("leg = 5 ", "leg = 4 "), ("# gap = 0", "gap = 0.5")])}
FOREIGN = re.compile(r"parallel|sbatch|[ <](jobs\.csv|part\.)")  # lists that the README only speaks of


def blocks(text: str) -> list[tuple[str, list[str]]]:
    """(kind, lines): indented and fenced blocks in their order; kind is the fence's word, '' or 'indented'."""
    found: list[tuple[str, list[str]]] = []
    fence = None
    current: list[str] = []
    for line in text.splitlines() + ["end"]:
        if line.startswith("```"):
            if fence is None:
                while current and current[-1].strip() == "":
                    current.pop()
                if current:
                    found.append(("indented", current))
                fence, current = line[3:].strip(), []
            else:
                found.append((fence, current))
                fence, current = None, []
        elif fence is not None:
            current.append(line)
        elif line.startswith("    "):
            current.append(line[4:])
        elif line.strip() == "" and current:
            current.append("")
        elif current:
            while current and current[-1].strip() == "":
                current.pop()
            found.append(("indented", current))
            current = []
    return found


def steps(text: str) -> list[tuple[str, list[str]]]:
    """(command, lines of its answer): no lines where the README shows none."""
    found: list[tuple[str, list[str]]] = []
    for kind, lines in blocks(text):
        if kind == "toml":
            continue
        commands = [i for i, line in enumerate(lines) if COMMAND.match(line)]
        if kind == "" and not commands and found and not found[-1][1]:
            found[-1] = (found[-1][0], lines)
        for at, i in enumerate(commands):
            end = commands[at + 1] if at + 1 < len(commands) else len(lines)
            answer = lines[i + 1:end]
            while answer and answer[0].strip() == "":
                answer = answer[1:]
            while answer and answer[-1].strip() == "":
                answer = answer[:-1]
            command = re.sub(r"\s+# .*$", "", COMMAND.match(lines[i]).group(1))
            found.append((command, answer))
    return found


def disagreement(wanted: list[str], shown: list[str]) -> str:
    """The first line of the README that is not in the answer, in its place; '' when all are."""
    at = 0
    together = False  # the line must follow the one before
    for line in wanted:
        if LEFT_OUT.match(line):
            together = False
            continue
        if together:
            if at >= len(shown) or shown[at].rstrip() != line.rstrip():
                return f"{line!r}, printed is {shown[at] if at < len(shown) else 'nothing more'!r}"
        else:
            while at < len(shown) and shown[at].rstrip() != line.rstrip():
                at += 1
            if at == len(shown):
                return f"{line!r}, which is not printed"
        at += 1
        together = True
    return ""


def main() -> int:
    program, repository = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2])
    readme = (repository / "README.md").read_text(encoding="utf-8")
    faults = ran = compared = 0
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        shutil.copytree(repository / "examples", folder / "examples")
        (folder / "build").mkdir()
        (folder / "build/seamwright").symlink_to(program)
        (folder / "own.toml").write_text("\n".join(next(
            lines for _, lines in blocks(readme) if lines and lines[0] == "[[source]]")))
        (folder / "piece.toml").write_bytes((repository / "examples/cradle-test-piece.toml").read_bytes())
        environment = os.environ | {"PATH": f"{folder / 'build'}:{os.environ['PATH']}", "LC_ALL": "C.UTF-8"}
        for command, wanted in steps(readme):
            if FOREIGN.search(command) or command.endswith("\\"):
                continue
            run = subprocess.run(["bash", "-c", command], cwd=folder, capture_output=True, text=True, timeout=120,
                                 env=environment)
            ran += 1
            found = []
            if run.returncode not in (0, 1):
                found.append(f"exit code {run.returncode}: {run.stderr.strip()[:300]}")
            if wanted:
                compared += 1
                shown = (run.stdout + run.stderr).splitlines()
                if wrong := disagreement(wanted, shown):
                    found.append(f"the README has {wrong}")
                    if "--show" in sys.argv:
                        print(run.stdout)
            for fault in found:
                print(f"{command}\n    {fault}")
            faults += len(found)
            if command in EDITS:
                file, changes = EDITS[command]
                text = (folder / file).read_text()
                for old, new in changes:
                    if old not in text:
                        print(f"{file} has no {old!r} to edit")
                        faults += 1
                    text = text.replace(old, new)
                (folder / file).write_text(text)
    example = (repository / "examples/keel-bracket.toml").read_text(encoding="utf-8").strip()
    if not any(kind == "toml" and "\n".join(lines).strip() == example for kind, lines in blocks(readme)):
        print("the joint file that is shown is not examples/keel-bracket.toml")
        faults += 1
    print(f"{ran} commands run, {compared} answers compared, {faults} faults")
    return 1 if faults or ran < 20 or compared < 12 else 0


if __name__ == "__main__":
    sys.exit(main())
