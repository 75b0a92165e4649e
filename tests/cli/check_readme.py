#!/usr/bin/env python3
"""Every README, word for word: the commands its blocks show are run, in their order and in one folder that has the
examples and nothing else, and what they print must be what the block shows, whole.

usage: check_readme.py PROGRAM REPOSITORY [--write]

Blocks by the word behind the fence:
  console       lines after '$ ' are commands, the lines below each what it prints (both streams), complete
  sh            commands, run one after the other; what they print is not shown
  sh elsewhere  for another place than this folder (building, other machines): not run
  toml FILE     the content of FILE: of an example as it is in the repository, of any other it is written here
  text          nothing to run
A command goes on in the next line where it ends with a backslash. --write puts what is printed into the blocks.
"""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib

MOST_LINES = {"README.md": 350}


def fenced(text: str) -> list[tuple[str, int, int]]:
    """(words behind the fence, first line, line behind the last) of the blocks; lines count from 0."""
    found, start, info = [], None, ""
    for number, line in enumerate(text.splitlines()):
        if not line.startswith("```"):
            continue
        if start is None:
            start, info = number + 1, line[3:].strip()
        else:
            found.append((info, start, number))
            start = None
    return found


def commands(lines: list[str], prompt: str) -> list[tuple[str, int, int]]:
    """(command, first and one behind the last line of its answer)."""
    found, at = [], 0
    while at < len(lines):
        if not lines[at].startswith(prompt) or not lines[at].strip():
            at += 1
            continue
        command = lines[at][len(prompt):]
        while command.endswith("\\"):
            at += 1
            command = command[:-1] + lines[at]
        at += 1
        end = at
        while prompt and end < len(lines) and not lines[end].startswith(prompt):
            end += 1
        found.append((command, at, end))
        at = end
    return found


class Document:
    """A README and the folder that its commands run in."""

    def __init__(self, program: str, repository: pathlib.Path, file: pathlib.Path, folder: pathlib.Path):
        self.repository, self.folder = repository, folder
        self.name = str(file.relative_to(repository))
        self.text = file.read_text(encoding="utf-8")
        self.faults: list[str] = []
        self.run_count = self.compared = 0
        shutil.copytree(repository / "examples", folder / "examples")
        (folder / "build").mkdir()
        (folder / "build/seamwright").symlink_to(program)
        self.environment = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR")} | {
            "PATH": f"{folder / 'build'}:{os.environ['PATH']}", "LC_ALL": "C.UTF-8"}

    def fault(self, line: int, what: str) -> None:
        self.faults.append(f"{self.name}:{line + 1}: {what}")

    def run(self, command: str, line: int, shown: bool) -> list[str]:
        self.run_count += 1
        done = subprocess.run(["bash", "-o", "pipefail", "-c", command], cwd=self.folder, text=True, timeout=120,
                              env=self.environment, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                              stderr=subprocess.STDOUT)
        # 1: answered, and the answer is no; 141: the reader of a pipe, as head, has what it wants; 2: a mistake that is shown.
        if done.returncode not in (0, 1, 141) and not (done.returncode == 2 and shown and "error: " in done.stdout):
            self.fault(line, f"{command}: exit code {done.returncode}: {done.stdout.strip()[-300:]}")
        return [text.rstrip() for text in done.stdout.splitlines()]

    def check(self) -> str:
        """The text with what was printed in its place."""
        lines = self.text.splitlines()
        if len(lines) > MOST_LINES.get(self.name, len(lines)):
            self.fault(len(lines) - 1, f"{len(lines)} lines, at most {MOST_LINES[self.name]}")
        written, last = [], 0
        for info, start, end in fenced(self.text):
            written += lines[last:start]
            written += self.block(info, start, lines[start:end])
            last = end
        self.check_links()
        for number, line in enumerate(lines):
            if re.match(r"    \$? ?(build/)?seamwright ", line):
                self.fault(number, "a command outside a fence, which nobody runs")
        return "\n".join(written + lines[last:]) + "\n"

    def block(self, info: str, start: int, lines: list[str]) -> list[str]:
        kind, _, file = info.partition(" ")
        if kind == "console":
            return self.console(start, lines)
        if info == "sh":
            for command, first, _ in commands(lines, ""):
                self.run(command, start + first - 1, shown=False)
        elif kind in ("toml", "csv") and file:
            self.content(start, lines, file)
        elif info not in ("sh elsewhere", "text"):
            self.fault(start - 1, f"a block '{info}', which nobody checks")
        return lines

    def console(self, start: int, lines: list[str]) -> list[str]:
        asked = commands(lines, "$ ")
        if not asked or not lines[0].startswith("$ "):
            self.fault(start, "a console block begins with a command")
            return lines
        shown: list[str] = []
        at = 0
        for command, first, end in asked:
            printed = self.run(command, start + first - 1, shown=True)
            shown += lines[at:first] + printed
            at = end
            self.compared += 1
            wanted = lines[first:end]
            if wanted == printed:
                continue
            where = next((i for i, (a, b) in enumerate(zip(wanted, printed)) if a != b), min(len(wanted), len(printed)))
            self.fault(start + first + where, f"{command}\n    shown   {wanted[where:where + 1]}\n"
                                              f"    printed {printed[where:where + 1]}")
        return shown

    def content(self, start: int, lines: list[str], file: str) -> None:
        text = "\n".join(lines) + "\n"
        if (self.repository / file).exists():
            if (self.repository / file).read_text(encoding="utf-8") != text:
                self.fault(start, f"this is not {file}")
        else:
            (self.folder / file).write_text(text, encoding="utf-8")
        if file.endswith(".toml"):
            tomllib.loads(text)

    def check_links(self) -> None:
        here = (self.repository / self.name).parent
        for link in re.findall(r"\]\(([^)\s]+)\)", self.text):
            path, _, anchor = link.partition("#")
            target = (here / path) if path else self.repository / self.name
            if re.match(r"[a-z]+:", link):
                self.fault(0, f"{link} leaves the repository")
            elif not target.exists():
                self.fault(0, f"{link} leads nowhere")
            elif anchor and target.suffix == ".md":
                heads = re.findall(r"^#+ (.*)$", target.read_text(encoding="utf-8"), re.M)
                slugs = {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}
                if anchor not in slugs:
                    self.fault(0, f"{link}: no such heading")


def main() -> int:
    program, repository = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
    folders = ("examples", "tests", "data", "src", "include")
    files = [repository / "README.md", *(file for name in folders for file in (repository / name).rglob("README.md"))]
    faults = ran = compared = 0
    for file in sorted(files):
        with tempfile.TemporaryDirectory() as name:
            document = Document(program, repository, file, pathlib.Path(name))
            text = document.check()
        if "--write" in sys.argv:
            file.write_text(text, encoding="utf-8")
        print("\n".join(document.faults), end="\n" if document.faults else "")
        print(f"{document.name}: {document.run_count} commands run, {document.compared} answers compared")
        faults, ran, compared = faults + len(document.faults), ran + document.run_count, compared + document.compared
    print(f"{len(files)} files, {ran} commands run, {compared} answers compared, {faults} faults")
    return 1 if faults or len(files) < 4 or ran < 40 or compared < 25 else 0


if __name__ == "__main__":
    sys.exit(main())
