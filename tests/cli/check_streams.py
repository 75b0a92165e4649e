#!/usr/bin/env python3
"""What a table of cases cannot hold: full and closed streams, terminals, files replaced whole, CSV read back.

usage: check_streams.py PROGRAM
"""
import csv
import io
import json
import os
import pathlib
import re
import resource
import stat
import subprocess
import sys
import tempfile

import terminal
from faults import end_code

PROGRAM = os.path.abspath(sys.argv[1])
FILLET = ["plan", "--set", "joint.type=fillet", "--set", "joint.thickness=6", "--set", "material.alloy=S355"]
failed = []


def check(name: str, holds: bool, detail: object = "") -> None:
    if not holds:
        failed.append(name)
        print(f"FAILED {name}: {detail}")


def run(*words: str, **more) -> subprocess.CompletedProcess:
    return subprocess.run([PROGRAM, *words], capture_output=True, timeout=60, **more)


def in_terminal(words: list[str], **environment: str) -> bytes:
    """Standard output of a run whose standard output is a terminal."""
    variables = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TERM")} | environment
    return terminal.shown_by([PROGRAM, *words], streams=("stdout",), env=variables)


def streams() -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run([PROGRAM, *FILLET], stdout=full, stderr=subprocess.PIPE, timeout=60)
    check("full disk on standard output", done.returncode == 3 and b"cannot write" in done.stderr, done)
    done = subprocess.run(["sh", "-c", '"$0" --version >&-', PROGRAM], capture_output=True, timeout=60)
    check("closed standard output", done.returncode == 3 and b"cannot write" in done.stderr, done)
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run([PROGRAM, *FILLET], stdout=writer, stderr=subprocess.PIPE, timeout=60)
    os.close(writer)
    check("reader gone: quiet", done.returncode == 3 and done.stderr == b"", done)
    check("same bytes twice", run(*FILLET).stdout == run(*FILLET).stdout)


def terminals() -> None:
    check("colour on a terminal", b"\x1b[" in in_terminal(FILLET, TERM="xterm"))
    check("NO_COLOR", b"\x1b[" not in in_terminal(FILLET, TERM="xterm", NO_COLOR="1"))
    check("dumb terminal", b"\x1b[" not in in_terminal(FILLET, TERM="dumb"))
    check("--color never", b"\x1b[" not in in_terminal([*FILLET, "--color", "never"], TERM="xterm"))
    plain = run(*FILLET).stdout.decode()
    check("no line above 100 letters", max(map(len, plain.splitlines())) <= 100,
          [line for line in plain.splitlines() if len(line) > 100])
    check("no blanks at line ends", not any(line.endswith(" ") for line in plain.splitlines()))
    check("ASCII", plain.isascii())


def files(folder: pathlib.Path) -> None:
    target, link = folder / "real.txt", folder / "link.txt"
    target.write_text("before\n")
    target.chmod(0o640)
    link.symlink_to(target)
    done = run(*FILLET, "-o", str(link))
    check("a link's file is replaced", done.returncode == 0 and link.is_symlink() and "Fillet" in target.read_text(), done)
    check("permissions are kept", stat.S_IMODE(target.stat().st_mode) == 0o640, oct(target.stat().st_mode))
    target.write_text("before\n")
    run(*FILLET, "--set", "joint.gap=-1", "-o", str(target))
    check("bad input leaves the old file", target.read_text() == "before\n")
    check("nothing beside it", sorted(p.name for p in folder.iterdir()) == ["link.txt", "real.txt"])


def links(folder: pathlib.Path) -> None:
    for command in (FILLET, ["batch", str(folder / "jobs.csv")]):
        (folder / "jobs.csv").write_text("joint.type,joint.thickness,joint.leg,material.alloy\nfillet,6,5,S355\n")
        (folder / "shelf").mkdir()
        dangling, end = folder / "dangling.txt", folder / "shelf" / "new.txt"
        dangling.symlink_to("shelf/new.txt")
        done = run(*command, "-o", str(dangling))
        check("a dangling link's file is made, the link stays",
              done.returncode in (0, 1) and dangling.is_symlink() and end.stat().st_size > 0, done)
        a, b = folder / "a.txt", folder / "b.txt"
        a.symlink_to(b)
        b.symlink_to(a)
        done = run(*command, "-o", str(a))
        check("links that go round are told", done.returncode == 3 and a.is_symlink() and b.is_symlink()
              and b"a.txt: error: cannot write" in done.stderr, done)
        for path in (a, b, dangling, end):
            path.unlink(missing_ok=True)
        (folder / "shelf").rmdir()


def limits(folder: pathlib.Path) -> None:
    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (512, 512))

    out = folder / "limited.json"
    done = run(*FILLET, "--format", "json", "-o", str(out), preexec_fn=small)
    check("a file that may not grow", done.returncode == 3 and b"limited.json: error: cannot write" in done.stderr
          and b"ulimit -f" in done.stderr and list(folder.iterdir()) == [], done)
    for words in (["plan", "-"], ["batch", "-"], ["check", "-", "--test-piece", "x.toml"]):
        done = subprocess.run(["sh", "-c", 'exec "$0" "$@" <&-', PROGRAM, *words], capture_output=True, timeout=60)
        check(f"a closed standard input is told by {words[0]}", done.returncode in (2, 3)
              and done.stderr.startswith(b"standard input: error: "), done)


HARMFUL = re.compile("[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\xad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\U000e0000-\U000e007f]")


def foreign_letters(folder: pathlib.Path) -> None:
    """No letter of an input that steers a terminal, turns the text or is not seen comes out as it is."""
    letters = "\u009b31m\u202egnp\u2066\u200b\u200d\ufeff\U000e0041\xad\x7f"
    joint = folder / "joint.toml"
    joint.write_text(f'id = "J{letters}"\ntitle = "T{letters}"\n[joint]\ntype = "fillet"\nthickness = 6\n'
                     'leg = 5\n[material]\nalloy = "S355"\n'.replace("\x7f", ""), encoding="utf-8")
    data = folder / "own\x1b[31m\x07\u202e\u009b.toml"
    data.write_text('[[source]]\nkey = "own"\nkind = "open-data"\ntitle = "t"\n')
    escaped = 'id="J' + "".join(f"\\U{ord(c):08x}" for c in letters[:-1]) + '"'
    outputs = {f"plan {form}": run("plan", str(joint), "--data", str(data), "--format", form)
               for form in ("table", "csv", "json")}
    outputs |= {"--set": run(*FILLET, "--set", "id=J\x1b[31m\x07" + letters, "--format", "csv"),
                "--set as TOML": run(*FILLET, "--set", escaped, "--format", "csv"),
                "sheet": run("sheet", str(joint), "--data", str(data)),
                "catalog": run("catalog", "--data", str(data)),
                "explain": run("explain", str(joint), "wire_feed", "--data", str(data)),
                "line": run("line", "--set", "material.alloy=S355", "--data", str(data)),
                "error": run("plan", "--set", f"joint.type={letters}"),
                "file name": run("plan", str(folder / f"none{letters}.toml"))}
    quoted = letters.replace("\x7f", "")  # cells and strings may not hold controls of one byte; quoted words may
    rows = b"id,joint.type,joint.thickness,material.alloy,x-note\n"
    rows += f"a,fil\x1b]0;owned\x07\x1b[31mlet,6,S355,\nb,fillet,6\x1b[2J,S355,\nc,fillet,6,S\x1b[5m355,\n".encode()
    rows += f"{quoted},fillet,6,S{quoted}355,{quoted}\n{quoted},fillet,6,S355,{quoted}\n".encode()
    lines = "".join(json.dumps({"id": quoted, "joint.type": kind, "joint.thickness": 6, "material.alloy": "S355",
                                "x-note": quoted}, ensure_ascii=False) + "\n"
                    for kind in ("fil\x1b\x00\x07let", f"fil{quoted}let", "fillet")).encode()
    for form in ("csv", "ndjson"):
        outputs[f"batch csv to {form}"] = run("batch", "-", "--format", form, input=rows)
        outputs[f"batch ndjson to {form}"] = run("batch", "-", "--format", form, input=lines)
    for what, done in outputs.items():
        text = (done.stdout + done.stderr).decode()
        found = HARMFUL.search(text)
        check(f"foreign letters in {what}", text != "" and found is None,
              repr(text[max(0, found.start() - 60):found.start() + 20]) if found else done)
    kept = json.loads(outputs["plan json"].stdout)
    check("JSON loses none of them", letters[:-1] in json.dumps(kept, ensure_ascii=False), "")


def starters(folder: pathlib.Path) -> None:
    machine = folder / "equipment.toml"
    run("new", "equipment", "-o", str(machine))
    papers = {"--procedure": folder / "procedure.toml", "--test-piece": folder / "test-piece.toml"}
    for paper in papers.values():
        run("new", paper.stem, "-o", str(paper))
    for kind in ("fillet", "butt", "lap", "pipe"):
        joint = folder / f"{kind}.toml"
        run("new", kind, "-o", str(joint))
        done = run("plan", str(joint))
        check(f"new {kind} has a window", done.returncode == 0, done.stderr or done.stdout[:2000])
        done = run("plan", str(joint), "--equipment", str(machine))
        check(f"new {kind} on new equipment", done.returncode in (0, 1), done.stderr)
        for option, paper in papers.items():
            done = run("check", str(joint), option, str(paper))
            check(f"new {kind} against new {paper.stem}", done.returncode in (0, 1), done.stderr)
        # With every commented key taken in, the file must still be read: keys and units are spelt right.
        whole = "\n".join(line[2:] if line.startswith("# ") and "=" in line.split("#")[1].split("#")[0] else line
                          for line in joint.read_text().splitlines())
        (folder / "whole.toml").write_text(whole)
        done = run("plan", str(folder / "whole.toml"))
        check(f"new {kind} with its comments taken in", done.returncode in (0, 1), done.stderr.decode())


def tables() -> None:
    headers = set()
    for mode in ("short-arc", "spray", "pulse", "double-pulse"):
        done = run(*FILLET, "--set", f"process.mode={mode}", "--format", "csv")
        rows = list(csv.reader(io.StringIO(done.stdout.decode(), newline="")))
        headers.add(tuple(rows[0]))
        check(f"CSV of {mode}: all rows as wide as the head", len({len(r) for r in rows}) == 1, [len(r) for r in rows])
        check(f"CSV of {mode}: has rows", len(rows) > 1, done.stderr)
        check(f"CSV of {mode}: no two columns of one name", len(set(rows[0])) == len(rows[0]))
        check(f"CSV of {mode}: CRLF ends every line", done.stdout.count(b"\n") == done.stdout.count(b"\r\n"))
    check("the same columns in every mode", len(headers) == 1)
    done = run(*FILLET, "--set", 'id="=1+1,\\"x\\""', "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout.decode(), newline="")))
    check("formula in a text cell is made harmless", bool(rows) and rows[0]["id"] == '\'=1+1,"x"', rows[:1] or done.stderr)


def main() -> int:
    streams()
    if terminal.is_here():
        terminals()
    tables()
    for part in (files, links, limits, foreign_letters, starters):
        with tempfile.TemporaryDirectory() as name:
            part(pathlib.Path(name))
    print(f"{len(failed)} checks failed" if failed else "all checks passed")
    return end_code(len(failed))


if __name__ == "__main__":
    sys.exit(main())
