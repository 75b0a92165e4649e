#!/usr/bin/env python3
"""Parts of a job list (--shard): put together they are the whole, and each is found without reading what is before it."""
import json
import os
import pathlib
import random
import signal
import subprocess
import sys
import tempfile
import time

from faults import expect, left_out, report

PROGRAM = sys.argv[1]
KIB, MIB = 1 << 10, 1 << 20
BLOCK = 64 * KIB  # of one read
# Of a part: the header's block, what is looked back over and read again, a block and a row beyond the end.
AROUND_LINES = 4 * BLOCK
AROUND_CSV = 6 * BLOCK + MIB  # and as much as a row may hold, in which a quoted cell might close
HEADER = "id,joint.type,joint.thickness,joint.leg,joint.position,material.alloy,process.mode,x-note"
ROW = "J{0},{1},{2},4,PB,S275,short-arc,{3}"


def batch(*arguments, **options):
    return subprocess.run([PROGRAM, "batch", *map(str, arguments)], capture_output=True, timeout=300, **options)


def bytes_read_by(*arguments):
    """The answer, and how many bytes the program read in all."""
    with tempfile.TemporaryFile() as out:
        run = subprocess.Popen([PROGRAM, "batch", *map(str, arguments)], stdout=out, stderr=subprocess.DEVNULL)
        os.waitid(os.P_PID, run.pid, os.WEXITED | os.WNOWAIT)  # its counts are there until it is waited for
        try:
            io = pathlib.Path(f"/proc/{run.pid}/io").read_text()
        except OSError:
            io = None
        run.wait()
        out.seek(0)
        if io is None:
            left_out("the system does not count the bytes that a program reads")
        return out.read(), 0 if io is None else int(io.split()[1])


def rows(count, seed, notes):
    dice = random.Random(seed)
    for i in range(count):
        yield i, dice.choice(["fillet"] * 9 + ["filet"]), 3 + i % 7, dice.choice(notes)


def csv_list(path, count, seed=1, notes=("", '"a, b"', '"6"" plate"', '6" plate'), end="\n", mark="", last=True):
    text = mark + end.join([HEADER, *(ROW.format(*row) for row in rows(count, seed, notes))]) + (end if last else "")
    path.write_text(text, newline="")


def other_list(path, count, seed=1, pad=0):
    """NDJSON or TOML, by the name."""
    lines = []
    for i, kind, thickness, _ in rows(count, seed, [""]):
        row = {"id": f"J{i}", "joint.type": kind, "joint.thickness": thickness, "joint.leg": 4, "material.alloy": "S275",
               "x-note": "n" * pad}
        lines.append(json.dumps(row) if path.suffix == ".ndjson" else
                     "[[job]]\n" + "\n".join(f"{json.dumps(k) if k[0] == 'x' else k} = {json.dumps(v)}"
                                             for k, v in row.items()) + "\n# a remark\n")
    path.write_text("\n".join(lines) + "\n")


def joined(path, count, *options):
    return b"".join(batch(path, *options, "--shard", f"{i}/{count}").stdout for i in range(1, count + 1))


def parts_make_the_whole(folder):
    breaks = ('"two\nlines"', '"\n\nthree"', '"a, b"', '"x\n,"', '"6"" \n plate"')
    long = 'n' * 2000
    lists = {"plain.csv": {}, "crlf.csv": {"end": "\r\n"}, "mark.csv": {"mark": "\ufeff"},
             "open-end.csv": {"last": False}, "breaks.csv": {"notes": breaks}, "blank.csv": {"end": "\n\n"},
             "breaks-crlf.csv": {"notes": [b.replace("\n", "\r\n") for b in breaks], "end": "\r\n", "mark": "\ufeff"},
             # A quote that is never closed, and rows that look like quoted cells from the inside.
             "open-quote.csv": {"notes": ("a longer word", '"open', '"x\n,"')}}
    for name, form in lists.items():
        path = folder / name
        csv_list(path, 6000, **form)
        expect(path.stat().st_size > 3 * BLOCK, f"{name} is too short to be gone into")
        for options in ((), ("--columns", "id,status,message,x-note")):
            whole = batch(path, *options).stdout
            for count in (2, 5, 16):
                expect(joined(path, count, *options) == whole, f"{name}: {count} parts {options} are not the whole")
    csv_list(folder / "wide.csv", 1500, notes=(long, f'"{long}"', f'"{long}\n{long}"'))
    whole = batch(folder / "wide.csv").stdout
    for count in (3, 11):
        expect(joined(folder / "wide.csv", count) == whole, f"wide.csv: {count} parts")
    for name in ("list.ndjson", "list.toml"):
        path = folder / name
        other_list(path, 3000)
        whole = batch(path).stdout
        for count in (2, 7):
            expect(joined(path, count) == whole, f"{name}: {count} parts are not the whole")
    # More parts than rows, and nothing at all.
    few = folder / "few.csv"
    for text in ("", HEADER + "\n", HEADER + "\n" + ROW.format(1, "fillet", 4, "x"), HEADER + "\n" +
                 "\n".join(ROW.format(*row) for row in rows(3, 2, ['"a\nb"', ""])) + "\n\n"):
        few.write_text(text)
        expect(joined(few, 40) == batch(few).stdout, f"40 parts of {text!r}")
    # Standard input that is a file goes the same way, from where the shell left it; a pipe is told apart.
    path = folder / "breaks.csv"
    before = b"not of the list\n"
    (folder / "after.csv").write_bytes(before + path.read_bytes())
    parts = []
    for part in ("1/3", "2/3", "3/3"):
        with open(folder / "after.csv", "rb", buffering=0) as list_:
            list_.read(len(before))
            parts.append(batch("-", "--shard", part, stdin=list_).stdout)
    expect(b"".join(parts) == batch(path).stdout, "parts of standard input that is a file")
    piped = batch("-", "--shard", "2/3", input=path.read_bytes())
    expect(piped.returncode == 2 and b"--shard needs a file" in piped.stderr, f"a pipe has no parts: {piped}")


def lists_with_two_readings(folder):
    """Where the neighbourhood of a cut can be read in two ways for ever, the list is read from its start."""
    path, count = folder / "two.csv", 130_000
    row = 'J{0},fillet,3,4,PB,S275,short-arc,"' + "x" * 80 + '\n,"\n'
    path.write_text(HEADER + "\n" + "".join(map(row.format, range(count))))
    expect(path.stat().st_size > 12 * MIB, "two.csv is too short")
    options = ("--columns", "id,status")
    whole, _ = bytes_read_by(path, *options)
    expect(whole.count(b"\n") == count + 1, "two.csv has its rows")
    parts = [bytes_read_by(path, *options, "--shard", f"{i}/4") for i in range(1, 5)]
    expect(b"".join(text for text, _ in parts) == whole, "parts of a list with two readings")


def places_are_those_of_the_whole(folder):
    """Messages name the line of the whole list, whether or not there is a column for it."""
    for name in ("breaks.csv", "list.ndjson", "list.toml"):
        path = folder / name
        told = [line for line in batch(path, "--check").stderr.splitlines() if b" can be read" not in line]
        parts = [line for i in (1, 2, 3, 4) for line in batch(path, "--check", "--shard", f"{i}/4").stderr.splitlines()
                 if b" can be read" not in line]
        expect(len(told) > 100 and told == parts, f"{name}: --check of parts tells {len(parts)} lines, not {len(told)}")
        for threads in ("1", "2"):
            stop = batch(path, "--shard", "3/4", "--on-error", "stop", "--columns", "id,status", "--threads", threads)
            whole = batch(path, "--shard", "3/4", "--columns", "status,line").stdout
            first = next(line for line in whole.splitlines() if b"error" in line)
            number = json.loads(first)["line"] if name.endswith("ndjson") else int(first.split(b",")[1])
            expect(f"{name}:{number}: error".encode() in stop.stderr, f"{name}: stops at {stop.stderr}, not {number}")


def bytes_read(folder):
    """The parts together read the list once, and a little around each cut."""
    note = "n" * 4000
    plain, breaks, lines, tables = (folder / name for name in ("p.csv", "b.csv", "l.ndjson", "t.toml"))
    csv_list(plain, 5000, notes=(note,))
    csv_list(breaks, 5000, notes=(note, f'"{note[:1000]}\n{note}"', '"a, b"'))
    other_list(lines, 5000, pad=4000)
    other_list(tables, 2000, pad=4000)
    empty = folder / "empty.csv"
    empty.write_text("")
    _, start = bytes_read_by(empty)
    for path, around in ((plain, AROUND_CSV), (breaks, AROUND_CSV), (lines, AROUND_LINES), (tables, AROUND_LINES)):
        size, options = path.stat().st_size, ("--columns", "id,status")
        whole, _ = bytes_read_by(path, *options)
        for count in (4, 32):
            text = b""
            for i in range(1, count + 1):
                part, read = bytes_read_by(path, *options, "--shard", f"{i}/{count}")
                text += part
                expect(read <= start + size // count + around, f"{path.name}: part {i}/{count} reads {read} bytes")
            expect(text == whole, f"{path.name}: {count} parts are not the whole")
        with_line, read = bytes_read_by(path, "--columns", "line,status", "--shard", "31/32")
        expect(read <= start + size + around, f"{path.name}: with its lines part 31/32 reads {read} bytes")
        all_lines, _ = bytes_read_by(path, "--columns", "line,status")
        expect(with_line and with_line in all_lines, f"{path.name}: lines of a part")
    # A line beyond all bounds, of which most parts have nothing but a piece.
    hole = folder / "hole.csv"
    row = ROW.format(1, "fillet", 4, "") + "\n"
    hole.write_text(HEADER + "\n" + row * 2000)
    os.truncate(hole, 300 * MIB)
    with open(hole, "a") as file:
        file.write("\n" + row * 2000)
    size, text = hole.stat().st_size, b""
    whole, _ = bytes_read_by(hole)
    for i in range(1, 13):
        part, read = bytes_read_by(hole, "--columns", "default,-line", "--shard", f"{i}/12")
        text += part
        expect(read <= start + 2 * (size // 12) + 8 * MIB, f"hole.csv: part {i}/12 reads {read} bytes")
    expect(text == bytes_read_by(hole, "--columns", "default,-line")[0] and text.count(b"\n") == 4002,
           "parts of a list with a line without end")
    expect(joined(hole, 3) == whole, "its lines too")


def resumption(folder):
    """A part that is killed goes on, and ends with its bytes."""
    path, out = folder / "r.csv", folder / "part.csv"
    lines = [HEADER] + [ROW.format(i, "fillet", round(3 + i * 0.0003, 4), '"two\nlines"' if i % 3 else "")
                        for i in range(9000)]
    path.write_text("\n".join(lines) + "\n")
    dice, kills = random.Random(4), 0
    for options in ((), ("--columns", "id,status,wire_feed")):
        began = time.monotonic()
        whole = batch(path, "--shard", "2/3", *options).stdout
        seconds = time.monotonic() - began
        for _ in range(4):
            out.unlink(missing_ok=True)
            for share in (0.3, 0.3, 0.3, 0):
                run = subprocess.Popen([PROGRAM, "batch", path, "--shard", "2/3", "-q", "--resume", out, *options])
                try:
                    run.wait(dice.uniform(0, share * seconds) if share else 300)
                    break
                except subprocess.TimeoutExpired:
                    run.send_signal(dice.choice([signal.SIGKILL, signal.SIGTERM]))
                    run.wait()
                    kills += 1
            expect(out.read_bytes() == whole, f"a part killed and resumed {options}")
    expect(kills >= 8, f"only {kills} parts were killed")


with tempfile.TemporaryDirectory() as name:
    place = pathlib.Path(name)
    for test in (parts_make_the_whole, lists_with_two_readings, places_are_those_of_the_whole, bytes_read, resumption):
        began = time.monotonic()
        test(place)
        print(f"{test.__name__}: {time.monotonic() - began:.1f} s")
sys.exit(report())
