#!/usr/bin/env python3
"""Broken logs: each has its message (exit code 2) or its stated repair, and what is left tells the truth.

usage: check_broken.py PROGRAM
"""
import json
import pathlib
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import make_logs

LOG = make_logs.spray(rate_Hz=1000, weld_s=3)
HEADER = "time_s,current_A,voltage_V"
ROWS = [[f"{t:.4f}", f"{i:.1f}", f"{u:.2f}"] for t, i, u in zip(LOG.time_s, LOG.current_A, LOG.voltage_V)]
MIDDLE = len(ROWS) // 2


def text(rows=None, header=HEADER) -> str:
    return "\n".join([header] + [",".join(r) for r in (ROWS if rows is None else rows)]) + "\n"


def changed(change) -> str:
    rows = [list(r) for r in ROWS]
    change(rows)
    return text(rows)


def set_cell(row: int, column: int, value: str):
    def change(rows):
        rows[row][column] = value
    return change


def each(rows, of, column, value):
    for k in of:
        rows[k][column] = value


def swapped(rows):
    rows[MIDDLE], rows[MIDDLE + 3] = rows[MIDDLE + 3], rows[MIDDLE]


def two_recordings() -> str:
    """The clock starts again, without a pause in the weld."""
    rows = [list(r) for r in ROWS]
    for k in range(MIDDLE, len(rows)):
        rows[k][0] = f"{float(rows[k][0]) - float(ROWS[MIDDLE][0]):.4f}"
    return text(rows)


def frozen_tail() -> str:
    """The arc goes out at 3.5 s and the logger repeats its last reading for two seconds."""
    rows = [list(r) for r in ROWS[:3500]]
    return text(rows + [[f"{3.5 + 0.001 * k:.4f}", rows[-1][1], rows[-1][2]] for k in range(2000)])


def frozen_then_rest() -> str:
    rows = [list(r) for r in ROWS[:3500]]
    rows += [[f"{3.5 + 0.001 * k:.4f}", rows[-1][1], rows[-1][2]] for k in range(1500)]
    return text(rows + [[f"{5 + 0.001 * k:.4f}", "0.0", "0.1"] for k in range(500)])


# name, log, what standard error says: all with exit code 2.
REFUSED = [
    ("empty", b"", ["the log is empty"]),
    ("header alone", HEADER + "\n", ["no row"]),
    ("unknown columns", "a,b,c\n1,2,3\n", [":1:1: error: ", "'a', 'b', 'c'", "--map"]),
    ("no time", "current,voltage\n1,2\n", ["no time column", "--rate"]),
    ("only travel", "time,travel\n1,2\n2,2\n", ["none of current, voltage and wire feed"]),
    ("UTF-16", text().encode("utf-16"), ["UTF-16"]),
    ("compressed", b"\x1f\x8b\x08\x00" + bytes(50), ["compressed"]),
    ("binary", b"time,current\n" + bytes(100), ["no text"]),
    ("words for numbers", text([[r[0], "OVER", r[2]] for r in ROWS]), [":2:1: error: ", "'OVER' is no number"]),
    ("decimal commas between commas", text([[c.replace(".", ",") for c in r] for r in ROWS]),
     [":2:1: error: ", "the rows have 6 cells and the header has 3"]),
    ("time stands still", text([["1.0", r[1], r[2]] for r in ROWS]), ["never rise", "--rate"]),
    ("nanoseconds taken for seconds", text([[f"{1e-9 * float(r[0]):.6e}", r[1], r[2]] for r in ROWS]),
     ["readings would come every 1e-12 s", "unit of the time column"]),
    ("half the rows short", text([r if k % 2 else r[:2] for k, r in enumerate(ROWS)]), ["too few cells"]),
]

# name, log, repairs with their counts, arc time.
REPAIRED = [
    ("nothing wrong", text(), {}, 3.0),
    ("a word", changed(set_cell(MIDDLE, 1, "OVER")), {"unreadable": 1, "incomplete": 1}, 3.0),
    ("cut off", text()[:-9], {"cut-off": 1}, 3.0),
    ("short rows", text(ROWS[:MIDDLE] + [["2.0"]] + ROWS[MIDDLE:]), {"short-row": 1}, 3.0),
    ("empty cells", changed(lambda rows: each(rows, range(1000, 1005), 2, "")), {"missing": 5, "incomplete": 5}, 3.0),
    ("nan", changed(set_cell(MIDDLE, 2, "NaN")), {"missing": 1, "incomplete": 1}, 3.0),
    ("coarse stamps", text([[f"{float(r[0]) // 0.01 * 0.01:.2f}", r[1], r[2]] for r in ROWS]), {"time-repeated": 400}, 3.0),
    ("a row twice", text(ROWS[:MIDDLE] + ROWS[MIDDLE - 1:]), {"time-repeated": 1}, 3.0),
    ("no time in a row", changed(set_cell(MIDDLE, 0, "")), {"missing": 1, "time-missing": 1}, 3.0),
    ("out of order", changed(swapped), None, 3.0),
    ("stray back", changed(set_cell(MIDDLE, 0, "0.0001")), {"time-stray": 1}, 3.0),
    ("stray on", changed(set_cell(MIDDLE, 0, "99999")), {"time-stray": 1}, 3.0),
    ("clock starts again", two_recordings(), {"clock-restart": 1}, 3.0),
    ("a time of the far future", changed(set_cell(MIDDLE, 0, "1e300")), {"time-missing": 1}, 3.0),
    ("gap", text(ROWS[:1500] + ROWS[1800:]), {"gap": 1}, 2.7),
    ("frozen tail", frozen_tail(), {"frozen": 2000}, 3.0),
    ("frozen, then nothing", frozen_then_rest(), {"frozen": 1500}, 3.0),
    ("spikes", changed(lambda rows: each(rows, (900, 1700), 1, "9999")), {"spike": 2}, 3.0),
    ("clamp reversed", text([[r[0], f"-{r[1]}", r[2]] for r in ROWS]), None, 3.0),
    ("header again", text(ROWS[:MIDDLE] + [HEADER.split(",")] + ROWS[MIDDLE:]), {"header-again": 1}, 3.0),
    ("lines before the header", "Recorder 7\nshed,2\n" + text(), {"preamble": 2}, 3.0),
    ("blank lines", text().replace("\n", "\n\n"), {}, 3.0),
    ("NUL further on", text()[:70000] + "\0" + text()[70000:], None, 3.0),
]


def run(program: str, data, *words: str) -> subprocess.CompletedProcess:
    return subprocess.run([program, "review", "-", *words], input=data.encode() if isinstance(data, str) else data,
                          capture_output=True, timeout=300)


def main() -> int:
    program = sys.argv[1]
    done = failed = 0

    def ok(name, passed, told=""):
        nonlocal done, failed
        done += 1
        failed += not passed
        if not passed:
            print(f"FAILED {name}: {told}")

    for name, data, said in REFUSED:
        r = run(program, data)
        stderr = r.stderr.decode()
        ok(name, r.returncode == 2 and not r.stdout and all(s in stderr for s in said), f"{r.returncode} {stderr}")
    for name, data, repairs, arc_s in REPAIRED:
        r = run(program, data, "--format", "json")
        if r.returncode != 0:
            ok(name, False, f"{r.returncode} {r.stderr.decode()}")
            continue
        document = json.loads(r.stdout)
        found = {x["id"]: x["count"] for x in document["repairs"]}
        ok(f"{name}: repairs", found == repairs if repairs is not None else len(found) > 0, found)
        ok(f"{name}: one weld", len(document["welds"]) == 1, len(document["welds"]))
        if len(document["welds"]) == 1:
            weld = document["welds"][0]
            told = {k: weld[k]["value"] for k in ("arc_time", "current", "voltage")}
            ok(f"{name}: arc time", abs(told["arc_time"] - arc_s) < 0.012, told)
            ok(f"{name}: current", abs(told["current"] / LOG.truth["current"] - 1) < 0.003, told)
            ok(f"{name}: voltage", abs(told["voltage"] / LOG.truth["voltage"] - 1) < 0.003, told)

    # The flag wins over the current: it says that the arc burns from 1 to 2 s only.
    flagged = text([r + ["1" if 1 <= float(r[0]) < 2 else "0"] for r in ROWS], HEADER + ",arc")
    weld = json.loads(run(program, flagged, "--format", "json").stdout)["welds"][0]
    ok("the flag wins", abs(weld["arc_time"]["value"] - 1) < 0.002, weld["arc_time"])
    # Out for 0.1 s: an interruption; out for 1 s: two welds.
    out = changed(lambda rows: [each(rows, range(2000, 2100), 1, "0.1")])
    weld = json.loads(run(program, out, "--format", "json").stdout)["welds"]
    ok("interruption", len(weld) == 1 and weld[0]["interruptions"] == 1 and abs(weld[0]["interrupted"] - 0.1) < 0.002,
       [w["interrupted"] for w in weld])
    out = changed(lambda rows: [each(rows, range(1500, 2500), 1, "0.1")])
    welds = json.loads(run(program, out, "--format", "json").stdout)["welds"]
    ok("two welds", len(welds) == 2 and all(abs(w["arc_time"]["value"] - 1) < 0.002 for w in welds),
       [w["arc_time"]["value"] for w in welds])
    # Nothing burns: exit code 1 and a sentence.
    r = run(program, changed(lambda rows: each(rows, range(len(rows)), 1, "0.2")))
    ok("no weld", r.returncode == 1 and b"No weld found" in r.stdout, r)
    # Command lines that cannot be.
    with tempfile.TemporaryDirectory() as folder:
        log = pathlib.Path(folder) / "weld.csv"
        log.write_text(text())
        table = pathlib.Path(folder) / "log.toml"
        for words, said in (
                ([folder], ["Is a directory"]), ([f"{folder}/none.csv"], ["No such file"]), ([], ["needs a log"]),
                ([str(log), "--map", "curent=I"], ["no quantity 'curent'", "did you mean 'current'?"]),
                ([str(log), "--map", "current=curent_A"], ["no column 'curent_A'", "did you mean 'current_A'?"]),
                ([str(log), "--map", "current"], ["--map takes QUANTITY=COLUMN"]),
                ([str(log), "--rate", "fast"], ["--rate fast"]), ([str(log), "--rate", "-3"], ["--rate"]),
                ([str(log), "--roles", "rot", "--procedure", "x"], ["did you mean 'root'?"]),
                ([str(log), "--roles", "root"], ["--roles goes with --procedure"]),
                ([str(log), "--as-trial", "--set", "wire.designatoin=5356"], ["did you mean 'wire.designation'?"]),
                ([str(log), "--as-trial", "--set", "wire.designation=nonesuch"], ["no such wire"]),
                ([str(log), "--as-trial", "--format", "json"], ["--as-trial is CSV of its own"]),
                ([str(log), "-o", str(log)], ["would overwrite an input"]),
                ([str(log), "--format", "pdf"], ["--format cannot be 'pdf'"])):
            r = subprocess.run([program, "review", *words], capture_output=True, text=True)
            ok(" ".join(["review", *words]), r.returncode == 2 and not r.stdout and all(s in r.stderr for s in said), r.stderr)
        for content, said in (
                ("[log]\ncurent = 2\n", [f"{table}:2:1: error: ", "did you mean 'log.current'?"]),
                ("[log]\ncurrent = { column = 2, scale = 0 }\n", ["scale cannot be 0"]),
                ("[log]\ncurrent = { column = 2, unit = \"V\" }\n", ["'V' is no unit of current"]),
                ("[log]\nseparator = \"pipe\"\n", ["pipe"]), ("[log]\ncurrent = { scale = 2 }\n", ["names no column"])):
            table.write_text(content)
            r = subprocess.run([program, "review", str(log), "--log", str(table)], capture_output=True, text=True)
            ok(f"log table {content!r}", r.returncode == 2 and not r.stdout and all(s in r.stderr for s in said), r.stderr)
    print(f"{done - failed} of {done} checks; {len(REFUSED) + len(REPAIRED)} broken logs")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
