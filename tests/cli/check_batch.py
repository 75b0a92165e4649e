#!/usr/bin/env python3
"""Job lists: rows, mistakes, formats, threads, resumption, shards, faults of the system, and agreement with `plan`."""
import csv
import io
import json
import os
import pathlib
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time

import terminal
from faults import end_code, left_out

PROGRAM = sys.argv[1]
EXAMPLES = pathlib.Path(sys.argv[2])
failures = []


def check(condition, what):
    if not condition:
        failures.append(what)
        print("FAILED:", what)


def batch(arguments, text=None):
    data = text.encode() if isinstance(text, str) else text
    result = subprocess.run([PROGRAM, "batch", *arguments], input=data, capture_output=True, timeout=300)
    check(result.returncode >= 0, f"{arguments} ended by signal {-result.returncode}")
    return result


def rows_of(output):
    return list(csv.DictReader(io.StringIO(output.decode(), newline="")))


HEADER = "id,joint.type,joint.thickness,joint.leg,joint.position,material.alloy,process.mode"
SURE = "good,fillet,6,6,PB,5083,pulse"  # has a window
GOOD = "J{0},fillet,{1},{2},PB,S275,short-arc"


def job_list(count, seed=1, digits=1):
    """Rows of every kind, so that blocks, threads and resumption meet errors and joints without a window too.

    With more digits of the thickness no two are alike, and each takes its time."""
    dice = random.Random(seed)
    lines = [HEADER + ",x-note"]
    for i in range(count):
        thickness = round(dice.uniform(1.5, 6), digits)
        row = GOOD.format(i, thickness, max(3, round(thickness)))
        if dice.random() < 0.1:
            row = row.replace("fillet", dice.choice(["filet", "", "tee"]))
        lines.append(row + dice.choice([",", ',"a, b"', ',"two\nlines"', ",=1+1", ',"6"" plate"']))
    return "\n".join(lines) + "\n"


def one_plan(assignments, arguments=()):
    result = subprocess.run([PROGRAM, "plan", "--format", "csv", *arguments,
                             *[word for key, value in assignments.items() for word in ("--set", f"{key}={value}")]],
                            capture_output=True, timeout=60)
    return list(csv.DictReader(io.StringIO(result.stdout.decode(), newline="")))


def same_as_plan():
    """Every cell of every pass is the cell that `plan` prints for the same joint."""
    joints = sorted(EXAMPLES.glob("*.toml"))
    with open(EXAMPLES / "boatyard-jobs.csv", newline="") as file:
        jobs = list(csv.DictReader(file))
    answers = rows_of(batch([str(EXAMPLES / "boatyard-jobs.csv"), "--columns", "all", "--per-pass"]).stdout)
    check(answers and len(jobs) > 10 and joints, "the boatyard's job list is answered")
    at = 0
    for job in jobs:
        given = {key: value for key, value in job.items() if value and not key.startswith("x-")}
        for expected in one_plan(given):
            answer = answers[at]
            at += 1
            for name, value in expected.items():
                check(answer.get(name) == value, f"{job['id']}: {name} is {answer.get(name)}, plan says {value}")
    check(at == len(answers), "no row too many")


def formats_agree():
    text = job_list(40)
    expected = rows_of(batch(["-"], text).stdout)
    table = list(csv.DictReader(io.StringIO(text, newline="")))
    without = ["-", "--columns", "default,-line"]
    plain = rows_of(batch(without, text).stdout)
    for separator in ";\t":
        sheet = io.StringIO(newline="")
        writer = csv.writer(sheet, delimiter=separator, lineterminator="\r\n")
        writer.writerow(table[0].keys())
        for row in table:
            writer.writerow(row.values())
        check(rows_of(batch(without, "\ufeff" + sheet.getvalue()).stdout) == plain, f"separator {separator!r}, BOM, CRLF")
        name = {";": "semicolon", "\t": "tab"}[separator]
        check(rows_of(batch([*without, "--list-separator", name], sheet.getvalue()).stdout) == plain, f"--list-separator {name}")

    def number(value):
        try:
            return float(value)
        except ValueError:
            return value

    # Cells of text as text, of numbers as numbers; nested and dotted keys.
    lines, tables = [], []
    for i, row in enumerate(table):
        record = {}
        for key, value in row.items():
            if not value:
                continue
            value = number(value) if key in ("joint.thickness", "joint.leg") else value
            if i % 2 and "." in key:
                first, last = key.split(".")
                record.setdefault(first, {})[last] = value
            else:
                record[key] = value
        lines.append(json.dumps(record))
        tables.append("[[job]]\n" + "".join(
            f"{key} = {value if key in ('joint.thickness', 'joint.leg') else json.dumps(value)}\n"
            for key, value in ((k if not k.startswith("x-") else f'"{k}"', v) for k, v in row.items()) if value))
    for name, text2 in (("NDJSON", "\n".join(lines)), ("TOML", "# jobs\n\n" + "\n".join(tables))):
        answer = rows_of(batch([*without, "--format", "csv", "--keep", "x-note"], text2).stdout)
        check([{**r, "x-note": ""} for r in answer] == [{**r, "x-note": ""} for r in plain], f"{name} gives what CSV gives")
    records = [json.loads(line) for line in batch(["-", "--format", "ndjson"], text).stdout.splitlines()]
    check(len(records) == len(expected), "NDJSON has a record a row")
    for record, row in zip(records, expected):
        check(list(record) == list(row), "NDJSON has the columns of CSV")
        for key, value in row.items():
            own = record[key]
            if key == "x-note":
                continue
            check((own is None and value == "") or (isinstance(own, str) and own == value) or
                  (isinstance(own, (int, float)) and own == float(value)), f"{key}: {own} and {value}")
    tsv = batch(["-", "--columns", "id,wire_feed,wire_feed_from_m_per_min"], text)
    check(tsv.stdout.splitlines()[0] == b"id,wire_feed_m_per_min,wire_feed_from_m_per_min", "--columns chooses and orders")


MISTAKES = [
    # row, what the message must say
    ("a,filet,6,5,PB,S275,spray", "did you mean 'fillet'"),
    ("b,,6,5,PB,S275,spray", "joint.type is missing"),
    ("c,fillet,,5,PB,S275,spray", "joint.thickness is missing"),
    ("d,fillet,6,5,PB,,spray", "material.alloy is missing"),
    ("e,fillet,6000,5,PB,S275,spray", "expected 0.5 to 200 mm"),
    ("f,fillet,0,5,PB,S275,spray", "expected 0.5 to 200 mm"),
    ("g,fillet,-6,5,PB,S275,spray", "expected 0.5 to 200 mm"),
    ("h,fillet,six,5,PB,S275,spray", "'six' is not a length"),
    ("i,fillet,nan,5,PB,S275,spray", "'nan' is not a length"),
    ("j,fillet,1e999,5,PB,S275,spray", "not a finite number"),
    ('k,fillet,"6,5",5,PB,S275,spray', "write '6.5'"),
    ("l,fillet,6,5,5,PB,S275,spray", "a decimal comma splits a cell"),
    ("m,fillet,6,5,PB", "5 cells, the header has 7"),
    ("n,fillet,6 kg,5,PB,S275,spray", "'kg' is a mass"),
    ("o,fillet,6 mmm,5,PB,S275,spray", "unknown unit 'mmm'"),
    ("p,fillet,6,50,PB,S275,spray", "too large for the thinner plate"),
    ("q,butt,6,5,PA,S275,spray", "joint.leg does not go with"),
    ("r,fillet,6,5,PX,S275,spray", "joint.position 'PX' is not in the catalog"),
    ("s,fillet,6,5,PB,unobtainium,spray", "is not in the catalog"),
    ("t,fillet,6,5,PB,S275,sprey", "did you mean 'spray'"),
    ("u,fillet,true,5,PB,S275,spray", "expected a length"),
    ("v,fillet,[6],5,PB,S275,spray", "joint.thickness is"),
    ("w,fillet,6..8,5,PB,S275,spray", "joint.thickness"),
    ('x,"fillet" y,6,5,PB,S275,spray', "text after a closing quote"),
    ("y,fillet,6 5,5,PB,S275,spray", "unknown unit"),
    ("z,fillet,{a=1},5,PB,S275,spray", "joint.thickness is"),
    ("aa,fillet,0x6,5,PB,S275,spray", "joint.thickness"),
    ("bb," + "f" * 5000 + ",6,5,PB,S275,spray", "longer than"),
    ("cc,fillet,6,5,PB,S275,\x01\x02", "is not known"),
    (",,,,,,", "joint.type is missing"),
    ('dd,"fillet,6,5,PB,S275,spray', "a quote is not closed"),
    ("ee,pipe-butt,6,,PA,S275,spray", ""),  # answered one way or another
]


def mistakes():
    lines = [HEADER]
    for row, _ in MISTAKES:
        lines += [row, SURE]
    result = batch(["-"], "\n".join(lines) + "\n")
    answers = rows_of(result.stdout)
    check(result.returncode == 2, f"mistakes end with code 2, not {result.returncode}")
    check(len(answers) == 2 * len(MISTAKES), f"{len(answers)} answers to {2 * len(MISTAKES)} rows")
    for i, (row, expected) in enumerate(MISTAKES):
        mine, good = answers[2 * i], answers[2 * i + 1]
        check(expected in mine["message"] and (not expected or mine["status"] == "error"),
              f"{row[:50]!r} says {mine['message'][:150]!r}, not {expected!r}")
        check(int(mine["line"]) == 2 * i + 2 and mine["message"].count("\n") == 0, f"{row[:50]!r} has its line")
        check(good["status"] == "ok" and good["id"] == "good", f"the row after {row[:50]!r} is answered")
    first = batch(["-", "--on-error", "stop"], "\n".join(lines) + "\n")
    check(first.returncode == 2 and len(rows_of(first.stdout)) == 1, "--on-error stop ends with the first mistake")
    check(b":2: error" in first.stderr, "--on-error stop names the line")
    for header, word in (("joint.typ,joint.thickness,material.alloy", b"did you mean 'joint.type'"),
                         ("joint.type,joint.thickness,material.alloy,drawing", b"--keep 'drawing'"),
                         ("joint.type,joint.type,joint.thickness,material.alloy", b"is there twice"),
                         ("joint.type,,joint.thickness,material.alloy", b"has no name"),
                         ("joint.type,joint.thickness", b"no column material.alloy")):
        result = batch(["-"], header + "\nfillet,6,S275\n")
        check(result.returncode == 2 and not result.stdout and word in result.stderr, f"header {header} says {word}")
        check(result.stderr.startswith(b"standard input:1: error"), f"header {header} has its place")
    for wrong in (["--columns", "wire_fed"], ["--threads", "0"], ["--shard", "3/2"], ["--separator", "x"],
                  ["--on-error", "panic"], ["--defaults", "/nowhere"], ["--format", "table"]):
        result = batch(["-", *wrong], HEADER + "\n")
        check(result.returncode == 2 and not result.stdout and result.stderr, f"{wrong} is refused")
    check(batch(["-", "--keep", "drawing"], "joint.type,joint.thickness,material.alloy,drawing\nfillet,3,S275,D1\n")
          .stdout.splitlines()[1].startswith(b"D1,"), "--keep hands a column through")
    check(batch(["-"], HEADER.encode("utf-16") + b"\n\x00").returncode == 2, "UTF-16 is refused")


def empty_and_defaults(folder):
    for text in ("", "\n\n", "\ufeff"):
        result = batch(["-"], text)
        check(result.returncode == 0 and result.stdout == b"", "empty in gives empty out")
    only = batch(["-"], HEADER + "\n")
    check(only.returncode == 0 and only.stdout.count(b"\n") == 1, "a header alone gives a header alone")
    defaults = folder / "defaults.toml"
    defaults.write_text('[joint]\ntype = "fillet"\nposition = "PB"\n[material]\nalloy = "S275"\n')
    some = batch(["-", "--defaults", str(defaults), "--columns", "status,wire_feed"], "joint.thickness,joint.type\n4,\n4,\n")
    full = batch(["-", "--columns", "status,wire_feed"],
                 "joint.thickness,joint.type,joint.position,material.alloy\n" + "4,fillet,PB,S275\n" * 2)
    check(some.stdout == full.stdout and some.returncode == 0, "--defaults supplies what rows leave out")
    big = "x" * 1_000_000
    wide = batch(["-", "--columns", "status,x-big"],
                 "joint.type,joint.thickness,material.alloy,x-big\n" + f"fillet,3,S275,{big}\n" * 3 +
                 f"fillet,3,S275,{big}{big}\nfillet,3,S275,end\n")
    lines = wide.stdout.split(b"\r\n")
    check(len(lines) == 7 and lines[1] == b"ok," + big.encode() and lines[4].startswith(b"error") and
          lines[5] == b"ok,end", "rows of 1 MB are answered, longer ones refused, and reading goes on")


def same_bytes(folder):
    """The same bytes at every number of threads, every way of cutting the input, and from shards."""
    path = folder / "jobs.csv"
    path.write_text(job_list(1500))
    whole = batch([str(path), "--threads", "1"])
    for threads in ("2", "8"):
        check(batch([str(path), "--threads", threads]).stdout == whole.stdout, f"{threads} threads give other bytes")
    slow = subprocess.Popen([PROGRAM, "batch", "-", "--threads", "2"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    text, dice = path.read_bytes()[:40000], random.Random(3)
    text = text[:text.rindex(b"J") - 1]
    while text:
        size = dice.randint(1, 3000)
        slow.stdin.write(text[:size])
        slow.stdin.flush()
        text = text[size:]
    slow.stdin.close()
    answered = slow.stdout.read()
    slow.wait()
    check(whole.stdout.startswith(answered[:-2000]), "rows that trickle in give other bytes")
    for count in (2, 3, 7):
        parts = [batch([str(path), "--shard", f"{i}/{count}"]).stdout for i in range(1, count + 1)]
        check(b"".join(parts) == whole.stdout and all(parts), f"{count} shards do not make up the whole")
    check(batch([str(path), "--no-header"]).stdout == whole.stdout.split(b"\r\n", 1)[1], "--no-header")
    if shutil.which("parallel"):
        columns = ["--columns", "default,-line"]
        # Cells over two lines are beyond a splitter of lines: this list has none.
        plain = folder / "plain.csv"
        plain.write_text("\n".join(line for line in job_list(600).replace('"two\nlines"', "two").split("\n")))
        alone = batch([str(plain), *columns]).stdout
        check(b",error," in alone or b",no-window," in alone, "the list has no row that fails")
        # As in examples/README.md: the header once, every block a task that rows without a window do not fail.
        one = f"{PROGRAM} batch - -q --columns default,-line"
        split = subprocess.run(
            ["bash", "-o", "pipefail", "-c",
             f"{{ head -1 {plain} | {one}; parallel --pipe --header : -k --block 9k "
             f"'{one} --no-header || [ $? -le 2 ]' < {plain}; }}"], capture_output=True, timeout=300)
        check(split.returncode == 0, f"GNU parallel: exit code {split.returncode}: {split.stderr[:300]}")
        check(alone == split.stdout, f"GNU parallel gives other bytes: {split.stderr[:300]}")
    else:
        left_out("GNU parallel is not installed")
    # The pipe operator of a cluster engine: lines in and out, and only a failed system is a failure.
    pipe = f"{PROGRAM} batch - --threads 1 -q --columns status,x-a --keep x-a || [ $? -le 2 ]"
    for text, answer in ((b"", b""), (b'{"joint.type":"filet","x-a":"1"}\n', b'{"status":"error","x-a":"1"}\n')):
        done = subprocess.run(["sh", "-c", pipe], input=text, capture_output=True, timeout=60)
        check(done.returncode == 0 and done.stdout == answer, f"a pipe of lines: {done}")


def resumption(folder, options=()):
    """Killed at random moments and resumed, a run ends as if nothing had happened."""
    path, out = folder / "jobs.csv", folder / "out.csv"
    path.write_text(job_list(2500, 5, digits=6))
    whole = batch([str(path), *options]).stdout
    dice, kills, began = random.Random(9), 0, time.monotonic()
    batch([str(path), *options])
    seconds = max(time.monotonic() - began, 0.05)
    for _ in range(20):
        for old in (out, folder / "out.csv.part"):
            old.unlink(missing_ok=True)
        tries = 0
        while True:
            run = subprocess.Popen([PROGRAM, "batch", str(path), "--resume", str(out), "-q", *options])
            tries += 1
            try:
                run.wait(dice.uniform(0, seconds) if tries < 4 else 300)
                break
            except subprocess.TimeoutExpired:
                run.kill()
                run.wait()
                kills += 1
                # It may have been killed after its last act.
                check(not out.exists() or out.read_bytes() == whole, "a killed run leaves no half file under the name")
        check(out.read_bytes() == whole, f"a killed and resumed run gives other bytes ({options})")
    check(kills >= 10, f"only {kills} runs were killed")
    # Standard output sent to a file, cut anywhere.
    for cut in (0, 1, 50, len(whole) // 2, len(whole) - 1, len(whole)):
        out.write_bytes(whole[:cut])
        check(batch([str(path), "--resume", str(out), *options]).returncode in (1, 2) and out.read_bytes() == whole,
              f"output cut at {cut} is not resumed")
    out.write_bytes(whole[:len(whole) // 2] + bytes(5000))
    check(batch([str(path), "--resume", str(out), *options]).returncode in (1, 2) and out.read_bytes() == whole,
          "bytes that a failure of power left unwritten are no rows")
    path.write_text(job_list(2500, 6, digits=6))
    empty, few = folder / "empty.csv", folder / "few.csv"
    empty.write_text("")
    few.write_text("\n".join(job_list(2500, 5, digits=6).split("\n")[:100]) + "\n")
    for what, content, wanted in (("another list", whole[:len(whole) // 2], [str(path)]),
                                  ("another header", b"a,b\r\n1,2\r\n", [str(path)]),
                                  ("a line that is no row", b"the key is under the mat", [str(path)]),
                                  ("the same where no header is due", b"the key is under the mat",
                                   [str(path), "--no-header"]),
                                  ("an empty list", whole, [str(empty)]),
                                  ("a shorter list", whole, [str(few)])):
        out.write_bytes(content)
        other = batch([*wanted, "--resume", str(out), *options])
        check(other.returncode == 2 and b"not the output of the same run" in other.stderr, f"{what} is told apart")
        check(out.read_bytes() == content and not (folder / "out.csv.part").exists(), f"{what}: what was there is kept")
    out.unlink()
    bare = batch([str(path), "--resume", str(out), "--columns", "id"])
    check(bare.returncode == 2 and b"column 'status'" in bare.stderr and not out.exists(),
          "what could not be gone on with is told before the run")


def named_by_ending(folder):
    """The file's name says what is written, also of a list in the other form."""
    lists = (HEADER + "\n" + SURE + "\n",
             json.dumps(dict(zip(HEADER.split(","), SURE.split(",")))) + "\n")
    for text in lists:
        for name, wanted in (("out.csv", b"status\r\nok\r\n"), ("out.NDJSON", b'{"status":"ok"}\n'),
                             ("out.jsonl", b'{"status":"ok"}\n')):
            out = folder / name
            result = batch(["-", "--columns", "status", "-o", str(out)], text)
            check(result.returncode == 0 and out.read_bytes() == wanted, f"{name}: {result.stderr} {out.read_bytes()}")
            out.unlink()


def inputs_are_kept(folder):
    """No way of naming the output destroys what is read."""
    rows = HEADER + "\n" + SURE + "\n"
    part, data, link = folder / "mine.csv.part", folder / "mine.toml", folder / "link.csv"
    mine = '[[source]]\nkey = "own"\nkind = "open-data"\ntitle = "t"\n'
    part.write_text(rows)
    data.write_text(mine)
    link.symlink_to(part)
    for wanted in ([str(part), "-o", str(folder / "mine.csv")], [str(part), "--resume", str(folder / "mine.csv")],
                   [str(part), "-o", str(link)], ["-", "--data", str(data), "-o", str(data)],
                   ["-", "--data", str(data), "--resume", str(data)]):
        result = batch(wanted, rows)
        check(result.returncode == 2 and b"would overwrite" in result.stderr, f"{wanted} is refused: {result.stderr}")
    with open(part, "ab") as same:
        result = subprocess.run([PROGRAM, "batch", str(part)], stdout=same, stderr=subprocess.PIPE, timeout=60)
    check(result.returncode == 2 and b"would overwrite" in result.stderr, "a list that would be fed its own answers")
    check(part.read_text() == rows and data.read_text() == mine, "what is read is kept")
    check(batch(["-", "--keep", "status"], HEADER + ",status\n" + SURE + ",done\n").returncode == 2,
          "a column passed through does not take the place of the answer's")
    out = folder / "closed.csv"
    run = subprocess.run(["sh", "-c", f"exec '{PROGRAM}' batch '{part}' -o '{out}' <&- >&- 2>&-"], timeout=60)
    check(run.returncode == 0 and len(rows_of(out.read_bytes())) == 1, "closed standard descriptors are no files")


def long_ways_to_the_first_row():
    """What lies before the first row is neither kept nor gone through again and again."""
    row = '[[job]]\njoint.type = "fillet"\njoint.thickness = 6\nmaterial.alloy = "S275"\n'
    for before, lines in (("\n" * 10_000_000, HEADER + "\n" + SURE + "\n"), ("# a comment\n" * 2_000_000, row)):
        run = subprocess.Popen([PROGRAM, "batch", "-", "--columns", "line,status"], stdin=subprocess.PIPE,
                               stdout=subprocess.PIPE)
        kilobytes = []
        for share in (before[:1_200_000], before[1_200_000:]):
            run.stdin.write(share.encode())
            run.stdin.flush()
            status = pathlib.Path(f"/proc/{run.pid}/status").read_text()
            kilobytes.append(int(re.search(r"VmHWM:\s*(\d+)", status)[1]))
        run.stdin.write(lines.encode())
        run.stdin.close()
        answer = run.stdout.read()
        run.wait(60)
        first = before.count("\n") + (2 if lines.startswith("id") else 1)
        check(answer == f"line,status\r\n{first},ok\r\n".encode(), f"the row after {first - 1} lines: {answer}")
        check(kilobytes[1] - kilobytes[0] < 4_000, f"memory grows with what lies before the first row: {kilobytes} kB")
    header = '"x-a\nb";joint.type;joint.thickness;joint.leg;material.alloy'
    check(batch(["-", "--columns", "status,line"], header + "\n1;fillet;6;5;S275\n").stdout.endswith(b"ok,3\r\n"),
          "the separator of a header over two lines")
    long = batch(["-"], "joint.type," * 100_000 + "\n")
    check(long.returncode == 2 and b"the header is longer than" in long.stderr, "a header without an end")


def faults(folder):
    path = folder / "jobs.csv"
    path.write_text(job_list(300))
    full = batch([str(path), "-o", "/dev/full"])
    check(full.returncode == 3 and b"No space left" in full.stderr, "a full disk is told")
    with open("/dev/full", "wb") as sink:
        run = subprocess.run([PROGRAM, "batch", str(path)], stdout=sink, stderr=subprocess.PIPE, timeout=60)
    check(run.returncode == 3, "a full disk behind standard output")
    check(batch([str(path), "-o", "/nowhere/out.csv"]).returncode == 3, "no such folder")
    protected = folder / "protected.csv"
    protected.write_text("mine")
    protected.chmod(0o444)
    if os.geteuid() != 0:
        check(batch([str(path), "-o", str(protected)]).returncode == 3, "a protected output is told")
    check(protected.read_text() == "mine" or os.geteuid() == 0, "a protected output is kept")
    check(batch([str(path), "-o", str(path)]).returncode == 2, "the list is not overwritten")
    check(batch([str(folder)]).returncode == 2 and batch(["/nowhere.csv"]).returncode == 2, "no list to read")

    # The sanitizers need a descriptor of their own for every pointer they look at.
    watched = b"__asan_init" in pathlib.Path(PROGRAM).read_bytes()
    for limit in () if watched else (3, 4, 5, 6):

        def few_descriptors(most=limit):
            resource.setrlimit(resource.RLIMIT_NOFILE, (most, most))

        for threads in ("1", "2"):
            run = subprocess.run([PROGRAM, "batch", str(path), "--threads", threads], capture_output=True,
                                 preexec_fn=few_descriptors, timeout=60)
            check(run.returncode in (0, 1, 2) and len(rows_of(run.stdout)) == 300 if limit > 4 else
                  run.returncode in (2, 3) and b"Too many open files" in run.stderr and b"jobs.csv: error" in run.stderr,
                  f"{limit} descriptors, {threads} threads: {run.returncode}, {run.stderr}")
    part, mine = folder / "foreign.csv.part", b"the key is under the mat\n"
    part.write_bytes(mine)
    other = batch([str(path), "-o", str(folder / "foreign.csv")])
    check(other.returncode == 2 and b"foreign.csv.part: error: " in other.stderr and b"--resume" in other.stderr
          and part.read_bytes() == mine and not (folder / "foreign.csv").exists(), f"a foreign .part is kept: {other}")

    def small_files():
        resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))

    run = subprocess.run([PROGRAM, "batch", str(path), "-o", str(folder / "limited.csv")], capture_output=True,
                         preexec_fn=small_files, timeout=60)
    check(run.returncode == 3 and not (folder / "limited.csv").exists(), "a file that cannot grow is not passed off as whole")
    reader = subprocess.Popen([PROGRAM, "batch", str(path), "--threads", "2"], stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE)
    reader.stdout.read(10)
    reader.stdout.close()
    check(reader.wait(60) in (0, 1, 2, 3) and reader.stderr.read() == b"", "a reader that has gone is no news")


def live(folder):
    """The first answer comes while the input is still open, and an interrupt leaves whole rows."""
    run = subprocess.Popen([PROGRAM, "batch", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    run.stdin.write((HEADER + "\n" + GOOD.format(1, 3, 3) + "\n").encode())
    run.stdin.flush()
    os.set_blocking(run.stdout.fileno(), False)
    began, text = time.monotonic(), b""
    while text.count(b"\n") < 2 and time.monotonic() - began < 20:
        text += run.stdout.read() or b""
        time.sleep(0.005)
    check(text.count(b"\n") == 2, "an answer comes as soon as the input pauses")
    run.send_signal(signal.SIGINT)
    check(run.wait(20) == -signal.SIGINT, "an interrupt ends the run")
    path = folder / "long.csv"
    path.write_text(job_list(20000, digits=6))
    for wait in (0.05, 0.3):
        with open(folder / "cut.csv", "wb") as out:
            run = subprocess.Popen([PROGRAM, "batch", str(path), "--threads", "2"], stdout=out, stderr=subprocess.DEVNULL)
            time.sleep(wait)
            run.send_signal(signal.SIGINT)
            run.wait(60)
        rows = (folder / "cut.csv").read_bytes()
        check(rows == b"" or rows.endswith(b"\r\n"), "an interrupt leaves whole rows")


def warnings():
    """What `plan` warns of is named in the column that asks for it, and found in its text."""
    joint = {"joint.type": "lap", "joint.thickness": "1.2", "material.alloy": "DX51D", "wire.designation": "CuSi3",
             "wire.diameter": "1.0"}
    text = ",".join(joint) + "\n" + ",".join(joint.values()) + "\n"
    answer = rows_of(batch(["-", "--columns", "default,warnings"], text).stdout)[0]
    check(answer["status"] == "ok" and answer["warnings"] == "bronze-filler-on-steel", f"warnings: {answer}")
    # ISO 5817 level B: 0.5 mm + 0.1 of the throat, 0.92 mm under a 6 mm leg.
    gaps = "joint.type,joint.thickness,joint.leg,joint.gap,material.alloy\n" + "".join(
        f"fillet,6,6,{gap},S355\n" for gap in (0.9, 0.95))
    answers = rows_of(batch(["-", "--columns", "status,warnings"], gaps).stdout)
    check([row["warnings"] for row in answers] == ["", "fit-up-gap"], f"gaps under a fillet: {answers}")
    check("warnings" not in rows_of(batch(["-"], text).stdout)[0], "warnings are worked out when asked for")


def progress(folder):
    """A long run on a terminal says how far it is; -q and a file in its place say nothing."""
    path = folder / "long.csv"
    path.write_text(job_list(60000, digits=6))

    def on_terminal(*options):
        return terminal.shown_by([PROGRAM, "batch", path, "--threads", "1", *options], streams=("stderr",), timeout=300)

    # A part says how much of the part is done: rows and share make out how many rows the part has.
    for part in ("1/2", "2/2"):
        told = re.findall(rb"(\d+) rows, \d+ rows/s, (\d+) % done", on_terminal("--shard", part))
        rows, share = (int(number) for number in told[-1])
        check(abs(rows - 30000 * share / 100) < 300 + 30000 * 0.02, f"progress of {part}: {rows} rows are {share} %")
    shown = on_terminal()
    last = shown.rsplit(b"\r", 2)[-2].decode()
    check(re.search(r"\d+ rows, \d+ rows/s, \d+ % done, \d+:\d\d left, \d+ errors", last), f"progress: {last}")
    check(shown.endswith(b"\r\x1b[K"), "the line of progress is taken away at the end")
    check(on_terminal("-q") == b"", "-q says nothing")
    with open(path, "rb") as rows:
        piped = subprocess.run([PROGRAM, "batch", "-"], stdin=rows, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    check(piped.stderr == b"", "no progress where there is no terminal")


def message_is_short():
    """A joint of many passes without a window tells a few conflicts and how many more `plan` names."""
    joint = {"joint.type": "pipe-butt", "joint.thickness": "40", "joint.preparation": "u", "material.alloy": "316L",
             "limits.heat_input": "..0.05 kJ/mm"}
    told = rows_of(batch(["-"], ",".join(joint) + "\n" + ",".join(joint.values()) + "\n").stdout)[0]["message"]
    plan = json.loads(subprocess.run([PROGRAM, "plan", "--format", "json",
                                      *[word for item in joint.items() for word in ("--set", "=".join(item))]],
                                     capture_output=True, timeout=60).stdout)
    conflicts = sum(len(one["conflicts"]) for one in plan["passes"])
    check(conflicts > 6 and told.count("; ") == 6 and told.endswith(f"; and {conflicts - 6} more"),
          f"{conflicts} conflicts are told as {told}")


def summary():
    result = batch(["-", "--summary"], HEADER + f"\n{SURE}\n{SURE}\nx,y\n")
    text = result.stderr.decode()
    check(b"0 joints" in batch(["-", "--summary"], "").stderr, "the summary of nothing")
    check("3 joints: 2 with a window, 0 without, 1 refused" in text and "wire kg" in text, f"summary: {text}")
    rows = rows_of(result.stdout)
    grams = sum(float(row["wire_mass_g"]) for row in rows if row["status"] == "ok")
    line = next(line for line in text.splitlines() if "mm" in line).split()
    check(abs(float(line[-3]) - grams / 1000) < 0.006, "the summary's wire is the sum of the rows")


with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    same_as_plan()
    formats_agree()
    mistakes()
    empty_and_defaults(folder)
    same_bytes(folder)
    resumption(folder)
    resumption(folder, ("--per-pass", "--columns", "line,id,pass,status,wire_feed,message,x-note", "--format", "ndjson"))
    named_by_ending(folder)
    inputs_are_kept(folder)
    long_ways_to_the_first_row()
    faults(folder)
    live(folder)
    if terminal.is_here():
        progress(folder)
    warnings()
    message_is_short()
    summary()
print(f"{len(failures)} failures")
sys.exit(end_code(len(failures)))
