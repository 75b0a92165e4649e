#!/usr/bin/env python3
"""What a table of cases cannot hold: full and closed streams, terminals, files replaced whole, CSV read back.

usage: check_streams.py PROGRAM
"""
import csv
import io
import os
import pathlib
import pty
import stat
import subprocess
import sys
import tempfile

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
    master, slave = pty.openpty()
    variables = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TERM")} | environment
    process = subprocess.Popen([PROGRAM, *words], stdout=slave, stderr=subprocess.DEVNULL, env=variables)
    os.close(slave)
    text = b""
    while True:
        try:
            part = os.read(master, 65536)
        except OSError:  # the terminal's other end is closed
            break
        if not part:
            break
        text += part
    process.wait(60)
    os.close(master)
    return text


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
    terminals()
    tables()
    for part in (files, starters):
        with tempfile.TemporaryDirectory() as name:
            part(pathlib.Path(name))
    print(f"{len(failed)} checks failed" if failed else "all checks passed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
