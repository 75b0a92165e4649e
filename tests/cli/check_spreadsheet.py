#!/usr/bin/env python3
"""Job lists and spreadsheets: workbooks, separators and decimal commas, planners' headings, numbers of welds, --check.

    check_spreadsheet.py SEAMWRIGHT EXAMPLES

Workbooks are opened by openpyxl, and by LibreOffice Calc where that is installed; both are other people's readers.
"""
import csv
import io
import json
import os
import pathlib
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree as ElementTree
import zipfile

import terminal
from faults import SKIPPED, end_code, left_out, take_python_with

if not take_python_with("openpyxl"):
    left_out("openpyxl is not installed: workbooks are not tried")
    sys.exit(SKIPPED)
import openpyxl  # noqa: E402  (by the Python that was taken)

PROGRAM = sys.argv[1]
EXAMPLES = pathlib.Path(sys.argv[2])
SANITIZED = b"__asan_init" in pathlib.Path(PROGRAM).read_bytes()
failures = []


def check(condition, what):
    if not condition:
        failures.append(what)
        print("FAILED:", what)


def batch(arguments, text=None):
    data = text.encode() if isinstance(text, str) else text
    result = subprocess.run([PROGRAM, "batch", *map(str, arguments)], input=data, capture_output=True, timeout=600)
    check(result.returncode >= 0, f"{arguments} ended by signal {-result.returncode}")
    return result


def rows_of(output, delimiter=","):
    return list(csv.DictReader(io.StringIO(output.decode("utf-8-sig"), newline=""), delimiter=delimiter))


def number(text):
    try:
        return float(text)
    except ValueError:
        return None


HEADER = "id,joint.type,joint.thickness,joint.leg,joint.position,material.alloy,process.mode,quantity,x-note"
# Notes that a spreadsheet could take for something else.
NOTES = ["plain", "=1+1", "+2", "-3", "@sum", "007", "1.10", "6.5", "-12", "1e5", "a, b", 'the 6" plate', "two\nlines",
         "<b> & \"c\"", " blank ", "Größe Ø 60", "_x0041_", "9007199254740993", "0.5", "0", "TRUE", "2026-11-28", "]]>"]


def long_list(count, seed=1, notes=True):
    dice = random.Random(seed)
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADER.split(","))
    for i in range(count):
        thickness = round(dice.uniform(1.5, 6), 1)
        kind = dice.choice(["fillet"] * 9 + ["filet"])
        position = dice.choice(["PB"] * 8 + ["PD"])
        writer.writerow([f"J{i}", kind, thickness, max(3, round(thickness)), position, "S275", "short-arc",
                         dice.choice(["", 1, 2, 12]), NOTES[i % len(NOTES)] if notes else ""])
    return out.getvalue()


def parts_are_sound(path):
    """The archive is whole and every part is XML."""
    with zipfile.ZipFile(path) as archive:
        check(archive.testzip() is None, f"{path.name}: a part does not have its checksum")
        for part in archive.namelist():
            ElementTree.fromstring(archive.read(part))
    return openpyxl.load_workbook(path)


def same_cell(text, value):
    """A cell of the CSV and of the workbook."""
    if text == "":
        return value is None
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return number(text) == value
    # The CSV has an apostrophe before what would be run as a formula; a cell of text in a workbook never is.
    if isinstance(value, str):
        return value == text or (text[0] == "'" and value == text[1:])
    return False


def workbook_is_the_csv(folder):
    """Every cell of the first sheet is that of the CSV, numbers as numbers."""
    jobs, book = folder / "jobs.csv", folder / "settings.xlsx"
    jobs.write_text(long_list(60))
    for options in ([], ["--columns", "all"], ["--units", "us"], ["--per-pass", "--columns", "default,pass,role"],
                    ["--columns", "status"], ["--shard", "2/2"]):
        answer = batch([jobs, *options])
        written = batch([jobs, *options, "-o", book])
        check(written.returncode == answer.returncode == 2 and written.stdout == b"", f"{options}: the same exit code")
        sheets = parts_are_sound(book)
        check(sheets.sheetnames == ["Settings", "Warnings", "Totals"], f"{options}: {sheets.sheetnames}")
        sheet = sheets["Settings"]
        table = list(csv.reader(io.StringIO(answer.stdout.decode(), newline="")))
        if options == ["--shard", "2/2"]:  # a part has no header of its own in CSV
            table.insert(0, next(csv.reader(io.StringIO(batch([jobs]).stdout.decode(), newline=""))))
        cells = [list(row) for row in sheet.iter_rows(values_only=True)]
        check(len(table) == len(cells) and len(table) > 20, f"{options}: {len(cells)} rows for {len(table)}")
        check([str(name) for name in cells[0]] == table[0], f"{options}: the header with its units")
        for line, (mine, theirs) in enumerate(zip(table[1:], cells[1:]), 2):
            for name, text, value in zip(table[0], mine, theirs):
                if name == "x-note" and text == "_x0041_":
                    value = value.replace("_x005F_", "_")  # openpyxl leaves it coded
                check(same_cell(text, value), f"{options}: row {line}: {name} is {value!r}, CSV says {text!r}")
                measured = name.endswith(("_mm", "_A", "_V", "_kJ_per_mm", "_m_per_min", "_g")) and text
                check(not measured or isinstance(value, (int, float)), f"{name} is {value!r}: no number")
        last = openpyxl.utils.get_column_letter(len(table[0]))
        check(sheet.freeze_panes == "A2", "the header is frozen")
        check(sheet.auto_filter.ref == f"A1:{last}{len(cells)}", f"filter over {sheet.auto_filter.ref}")
        check(sheet.print_title_rows == "1:1" or sheet.print_title_rows == "$1:$1", "the header is printed on every page")
        widths = [sheet.column_dimensions[openpyxl.utils.get_column_letter(i + 1)].width for i in range(len(table[0]))]
        check(all(5 < width < 60 for width in widths), f"column widths {widths}")


def looks(folder):
    """Number formats show the decimals of the tables; a status has its word and its colour."""
    jobs, book = folder / "jobs.csv", folder / "looks.xlsx"
    jobs.write_text(HEADER + ",limits.heat_input\nok,fillet,6,6,PB,5083,pulse,,,\nnone,fillet,6,6,PB,5083,pulse,,,..0.05 kJ/mm\n"
                    "bad,filet,6,6,PB,5083,pulse,,,\n")
    batch([jobs, "--columns", "default,heat_input,wire_mass,thickness", "-o", book])
    sheet = parts_are_sound(book)["Settings"]
    names = [cell.value for cell in sheet[1]]
    formats = {name: sheet.cell(2, i + 1).number_format for i, name in enumerate(names)}
    # As `plan` prints them: 11.42 m/min, 22.3 V, 185 A, 0.338 kJ/mm, 25 g.
    for name, shown in (("wire_feed_m_per_min", "0.00"), ("voltage_V", "0.0"), ("current_A", "0"),
                        ("heat_input_kJ_per_mm", "0.000"), ("wire_feed_from_m_per_min", "0.00"), ("wire_mass_g", "0"),
                        ("line", "0")):
        check(formats[name] == shown, f"{name} is shown as {formats[name]}, not {shown}")
    status = names.index("status") + 1
    seen = {sheet.cell(row, status).value: sheet.cell(row, status).fill.fgColor.rgb for row in (2, 3, 4)}
    check(set(seen) == {"ok", "no-window", "error"} and len(set(seen.values())) == 3, f"statuses and colours: {seen}")
    check(sheet.cell(1, 1).font.bold, "the header stands out")


def warnings_and_totals(folder):
    jobs, book = folder / "jobs.csv", folder / "warned.xlsx"
    text = long_list(80, 7, notes=False) + "gap,fillet,6,6,PB,S355,,3,\n"
    text = text.replace("joint.position,", "joint.position,joint.gap,", 1)
    text = re.sub(r",(P[BD]),", r",\1,,", text).replace("gap,fillet,6,6,PB,,", "gap,fillet,6,6,PB,0.95,")
    jobs.write_text(text)
    told = rows_of(batch([jobs, "--columns", "default,warnings"]).stdout)
    batch([jobs, "-o", book])
    sheets = parts_are_sound(book)
    listed = list(sheets["Warnings"].iter_rows(values_only=True))
    check(listed[0] == ("line", "id", "warning", "text") and sheets["Warnings"].freeze_panes == "A2", f"{listed[0]}")
    by_line = {}
    for line, identity, warning, words in listed[1:]:
        by_line.setdefault(line, []).append(warning)
        check(identity == told[line - 2]["id"] and len(words) > 20, f"warning of line {line}: {identity}, {words}")
    for row in told:
        ids = by_line.get(int(row["line"]), [])
        check(ids == row["warnings"].split(), f"line {row['line']}: warnings {ids}, CSV says {row['warnings']}")
    check(any("fit-up-gap" in ids for ids in by_line.values()), "the wide gap is warned of")
    joint = {"joint.type": "fillet", "joint.thickness": "6", "joint.leg": "6", "joint.position": "PB", "joint.gap": "0.95",
             "material.alloy": "S355", "quantity": "3"}
    plan = json.loads(subprocess.run([PROGRAM, "plan", "--format", "json",
                                      *[word for item in joint.items() for word in ("--set", "=".join(item))]],
                                     capture_output=True, timeout=60).stdout)
    planned = {warning["id"]: warning["text"] for warning in plan["warnings"]}
    mine = {warning: words for _, identity, warning, words in listed[1:] if identity == "gap"}
    check(mine == planned, f"texts of the warnings: {mine}, plan says {planned}")

    totals = list(sheets["Totals"].iter_rows(values_only=True))
    counts = {row[0]: row[1] for row in totals[1:5]}
    statuses = [row["status"] for row in told]
    check(counts == {"joints": len(told), "with a window": statuses.count("ok"),
                     "without a window": statuses.count("no-window"), "refused": statuses.count("error")} and
          statuses.count("error") > 0, f"counts {counts}")
    head = next(row for row in totals if row[0] == "needed for those with a window")
    check(head[1:] == ("joints", "welds", "wire kg", "gas m3", "arc h"), f"{head}")
    good = [row for row in told if row["status"] == "ok"]
    last = [row for row in totals if row[0] is not None][-1]
    for name, unit, value in (("wire_mass_all_g", 1e3, last[3]), ("gas_volume_all_l", 1e3, last[4]),
                              ("arc_time_all_s", 3600, last[5])):
        total = sum(float(row[name]) for row in good) / unit
        check(abs(value - total) < 2e-5 * total, f"{name}: the total is {value}, the rows make {total}")
    check(last[1] == len(good) and last[2] == sum(int(row["quantity"]) for row in good), f"joints and welds: {last}")


def one_workbook_whatever_the_threads(folder):
    jobs, book = folder / "jobs.csv", folder / "same.xlsx"
    jobs.write_text(long_list(900))
    seen = set()
    for threads in ("1", "2", "8"):
        batch([jobs, "--threads", threads, "-o", book])
        seen.add(book.read_bytes())
        piped = batch(["-", "--threads", threads, "--format", "xlsx"], jobs.read_bytes())
        seen.add(piped.stdout)
    check(len(seen) == 1, f"{len(seen)} different workbooks")


def memory_is_flat(folder):
    peaks = []
    for count in (1000, 20000):
        jobs = folder / "many.csv"
        jobs.write_text(long_list(count, 3))
        run = subprocess.Popen([PROGRAM, "batch", str(jobs), "--threads", "1", "-o", str(folder / "many.xlsx")])
        _, status, usage = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
        peaks.append(usage.ru_maxrss)
    sheet = openpyxl.load_workbook(folder / "many.xlsx", read_only=True)["Settings"]
    check(sum(1 for _ in sheet.rows) == 20001, "a row for every joint")
    # The sanitizers keep what is freed for a while.
    check(SANITIZED or peaks[1] - peaks[0] < 2000, f"memory grows with the list: {peaks} kB")


def all_or_nothing(folder):
    jobs, book = folder / "jobs.csv", folder / "atomic.xlsx"
    jobs.write_text(long_list(6000, 5))
    book.write_bytes(b"the one before")
    for wait in (0.05, 0.2):
        for stop in (signal.SIGKILL, signal.SIGINT):
            run = subprocess.Popen([PROGRAM, "batch", str(jobs), "-o", str(book)], stderr=subprocess.DEVNULL)
            time.sleep(wait)
            run.send_signal(stop)
            run.wait(60)
            check(run.returncode >= 0 or book.read_bytes() == b"the one before", "an ended run leaves what was there")
    stopped = batch([jobs, "-o", book, "--on-error", "stop"])
    check(stopped.returncode == 2 and b"no workbook is written" in stopped.stderr, f"--on-error stop: {stopped.stderr}")
    full = batch([jobs, "-o", "/dev/full", "--format", "xlsx"])
    check(full.returncode == 3 and b"No space left" in full.stderr, f"a full disk: {full.stderr}")
    check(batch([jobs, "-o", "/nowhere/a.xlsx"]).returncode == 3, "no such folder")
    empty = batch(["-", "-o", folder / "empty.xlsx"], HEADER + "\n")
    sheets = parts_are_sound(folder / "empty.xlsx")
    check(empty.returncode == 0 and sheets["Settings"].max_row == 1, "a header alone")
    if SANITIZED:
        print("lists longer than a sheet: not tried under the sanitizers")
        return
    for rows, code in ((1_048_575, True), (1_048_576, False)):
        jobs.write_text("joint.type,joint.thickness,material.alloy\n" + "x,6,S275\n" * rows)
        result = batch([jobs, "--columns", "status", "-o", folder / "big.xlsx"])
        check((folder / "big.xlsx").exists() == code, f"{rows} rows: {result.stderr}")
        told = b"the list has more rows than a sheet can hold: split it (--shard)" in result.stderr
        check(result.returncode == 2 and told != code, f"{rows} rows: {result.stderr}")
        (folder / "big.xlsx").unlink(missing_ok=True)


def opened_by_calc(folder):
    office = shutil.which("soffice") or shutil.which("libreoffice")
    if office is None:
        left_out("LibreOffice Calc is not installed: the workbook is not opened by it")
        return
    jobs, book = folder / "jobs.csv", folder / "calc.xlsx"
    jobs.write_text(long_list(40, 11))
    answer = list(csv.reader(io.StringIO(batch([jobs]).stdout.decode(), newline="")))
    batch([jobs, "-o", book])
    done = subprocess.run([office, f"-env:UserInstallation=file://{folder}/office", "--headless", "--convert-to",
                           # comma, double quotes, UTF-8, numbers as they are and not as they are shown
                           "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false", "--outdir", str(folder),
                           str(book)], capture_output=True, timeout=300)
    table = list(csv.reader(io.StringIO((folder / "calc.csv").read_text(), newline="")))
    check(done.returncode == 0 and len(table) == len(answer), f"Calc: {done}")
    for mine, theirs in zip(answer, table):
        for name, text, value in zip(answer[0], mine, theirs):
            same = text == value or text == "'" + value or (number(text) is not None and number(text) == number(value))
            check(same or name == "x-note" and text.strip() == value.strip(), f"Calc: {name} is {value!r}, not {text!r}")


def separators_and_commas(folder):
    """What is written with other separators and decimal signs reads back as the same table."""
    text = long_list(60)
    plain = rows_of(batch(["-"], text).stdout)
    for name, separator in (("semicolon", ";"), (";", ";"), ("tab", "\t"), ("comma", ","), (",", ",")):
        for comma in ([], ["--decimal-comma"]):
            if comma and separator == ",":
                continue
            for mark in ([], ["--bom"]):
                answer = batch(["-", "--separator", name, *comma, *mark], text)
                check(answer.stdout.startswith(b"\xef\xbb\xbf") == bool(mark), f"{name} {mark}: byte order mark")
                rows = rows_of(answer.stdout, separator)
                check(len(rows) == len(plain), f"{name} {comma}: {len(rows)} rows")
                for mine, theirs in zip(rows, plain):
                    for key, value in theirs.items():
                        own = mine[key]
                        if comma and key != "x-note" and number(value) is not None:
                            check("." not in own, f"{name} {comma}: {key} is {own}")
                            own = own.replace(",", ".")
                        check(own == value, f"{name} {comma} {mark}: {key} is {own!r}, not {value!r}")
    both = batch(["-", "--decimal-comma"], text)
    check(rows_of(both.stdout, ";")[0].keys() == plain[0].keys(), "a decimal comma brings the semicolon")
    # A list of a spreadsheet that writes so gives the answers of the one with points.
    points = list(csv.DictReader(io.StringIO(text, newline="")))
    for separator in ";\t":
        sheet = io.StringIO(newline="")
        writer = csv.writer(sheet, delimiter=separator, lineterminator="\r\n")
        writer.writerow(points[0].keys())
        for row in points:
            writer.writerow([value.replace(".", ",") if key.startswith("joint.t") else value for key, value in row.items()])
        for told in ([], ["--list-decimal", "comma"], ["--list-separator", {";": "semicolon", "\t": "tab"}[separator]]):
            check(rows_of(batch(["-", *told], "\ufeff" + sheet.getvalue()).stdout) == plain,
                  f"a list with {separator!r}, decimal commas and a byte order mark, {told}")
    quoted = "joint.type,joint.thickness,material.alloy\nfillet,\"6,5\",S275\n"
    asked = ["-", "--columns", "status,thickness,message"]
    check(b"write '6.5'" in batch(asked, quoted).stdout, "a decimal comma in a list with commas is refused")
    check(b"ok,6.5" in batch([*asked, "--list-decimal", "comma"], quoted).stdout, "unless it is told")
    head = "joint.type;joint.thickness;joint.leg;material.alloy\n"
    for row, told, expected in (("fillet;1,500;;S275", [], "two readings"), ("fillet;1.500;;S275", [], "two readings"),
                                ("fillet;4,500;3,5;S275", [], "ok,4.5"), ("fillet;4.500;3.5;S275", [], "ok,4.5"),
                                ("fillet;4,500;;S275", ["--list-decimal", "comma"], "ok,4.5"),
                                ("fillet;4.500;;S275", ["--list-decimal", "point"], "ok,4.5"),
                                ("fillet;4.5;;S275", ["--list-decimal", "comma"], "in a list with decimal commas"),
                                ("fillet;4,5;3.5;S275", [], "decimal point and with a decimal comma"),
                                ("fillet;1.234,5;;S275", [], "between its thousands"),
                                ("fillet;0,500;;S275", [], "ok,0.5"), ("fillet;4,5 mm;;S275", [], "ok,4.5")):
        answer = batch([*asked, *told], head + row + "\n").stdout.decode()
        check(expected in answer, f"{row} {told}: {answer!r}, not {expected!r}")
    ranges = batch(["-", "--columns", "status"], "joint.type;joint.thickness;material.alloy;limits.heat_input\n"
                                                 "fillet;4;S275;0,05..2,5 kJ/mm\n")
    check(ranges.stdout.endswith(b"ok\r\n"), "a range with decimal commas")
    # Numbers of NDJSON have points because JSON has no other; in the answer they follow it.
    record = '{"joint.type":"fillet","joint.thickness":4,"material.alloy":"S275","x-a":1.5,"x-b":"1.5"}\n'
    answer = batch(["-", "--decimal-comma", "--columns", "status,x-a,x-b"], record).stdout
    check(answer.endswith(b"ok;1,5;1.5\r\n"), f"passed through: {answer}")
    # An interrupted run goes on in its own dialect, and parts make up the whole.
    jobs, out = folder / "jobs.csv", folder / "dialect.csv"
    jobs.write_text(long_list(400))
    options = ["--decimal-comma", "--bom"]
    whole = batch([jobs, *options]).stdout
    for cut in (1, 5, 1000, len(whole) // 2, len(whole) - 1):
        out.write_bytes(whole[:cut])
        check(batch([jobs, *options, "--resume", out]).returncode in (1, 2) and out.read_bytes() == whole,
              f"cut at {cut} and resumed")
    parts = b"".join(batch([jobs, *options, "--shard", f"{i}/3"]).stdout for i in (1, 2, 3))
    check(parts == whole, "shards make up the whole")


def headings():
    """A planner's headings are taken for what they mean in one way alone, and told; no guess is made."""
    keys = ("id,joint.type,joint.thickness,material.alloy,quantity,joint.position,joint.leg,joint.length\n"
            "A,fillet,6,5083,4,PB,6,450\n")
    wanted = batch(["-"], keys).stdout
    for header in ("Weld No.,Type,Thickness,Alloy,Qty,Position,Leg,Length", "ID,TYPE,thk,Material,Quantity,welding position,z,L",
                   "item,Joint type,Wall thickness,Base metal,Pcs,Position,Leg length,Weld length",
                   "id,joint.type,Thickness (mm),Alloy,qty,Position,Leg [mm],\"Length, mm\""):
        if header.endswith(",L"):
            header = header[:-1] + "weld length"
        answer = batch(["-"], keys.replace(keys.split("\n")[0], header))
        check(answer.stdout == wanted, f"{header}: {answer}")
        note = answer.stderr.decode()
        check(note.count("\n") == 1 and note.startswith("note: ") and " as joint.thickness" in note, f"{header}: {note}")
        check(batch(["-", "-q"], keys.replace(keys.split("\n")[0], header)).stderr == b"", "-q keeps the note")
    check(batch(["-"], keys).stderr == b"", "keys need no note")
    throat = batch(["-", "--columns", "status"], "Type,Thickness,Alloy,Throat\nfillet,6,5083,4.2\n")
    check(throat.stdout.endswith(b"ok\r\n") and b"'Throat' as joint.throat" in throat.stderr, f"{throat}")
    # A unit in the heading holds for numbers alone; the answers are those of the same lengths in mm.
    metric = batch(["-", "--columns", "default,-line,-id"], "joint.type,joint.thickness,joint.length,material.alloy\n"
                                                          "fillet,6.35,2000,S275\nfillet,6,2000,S275\n").stdout
    inches = batch(["-", "--columns", "default,-line,-id"], "Type,Thickness (in),Length (m),Alloy\n"
                                                          "fillet,0.25,2,S275\nfillet,6 mm,2,S275\n")
    check(inches.stdout == metric and b"its numbers in in" in inches.stderr, f"units of headings: {inches}")
    mapped = batch(["-", "--map", "Kind=joint.type", "--map", "t = plate=joint.thickness"],
                   "Kind,t = plate,material.alloy\nfillet,6,S275\n")
    check(mapped.returncode == 0 and mapped.stderr == b"", f"--map: {mapped}")
    over = batch(["-", "--map", "Length=joint.thickness", "--columns", "thickness"], "Type,Length,Alloy\nfillet,6,S275\n")
    check(over.stdout.endswith(b"\r\n6\r\n"), f"--map comes before what a heading is recognised as: {over}")
    for header, words in (("Type,Thickness,Alloy,Diameter", "may be joint.diameter or wire.diameter"),
                          ("Type,Thickness,Alloy,Pos", "may be joint.position or id"),
                          ("Type,Thickness,Alloy,Size", "may be joint.leg or joint.throat"),
                          ("Type,Thickness,Alloy,Size (mm)", "--map 'Size (mm)=joint.leg'"),
                          ("Type,Thickness,Grade", "may be material.alloy or quality"),
                          ("Typ,Thickness,Alloy", "unknown column 'Typ'"), ("Type,Thicknes,Alloy", "did you mean 'joint.thickness'"),
                          ("Type,Thickness,Alloy,Foreman", "unknown column 'Foreman'"),
                          ("Type,Thickness,joint.thickness,Alloy", "'Thickness' and 'joint.thickness' are both"),
                          ("Type,Thickness (kg),Alloy", "unknown column 'Thickness (kg)'"),
                          ("Type,Thickness", "no column material.alloy")):
        cells = ",".join("fillet" if i == 0 else "6" for i in range(header.count(",") + 1))
        answer = batch(["-"], f"{header}\n{cells}\n")
        check(answer.returncode == 2 and not answer.stdout and words in answer.stderr.decode(), f"{header}: {answer.stderr}")
        check(answer.stderr.startswith(b"standard input:1: error"), f"{header} has its place")
    good = "Type,Thickness,Alloy\nfillet,6,S275\n"
    for wrong, words in (("Type", "write HEADING=KEY"), ("=joint.type", "write HEADING=KEY"), ("Type=", "write HEADING=KEY"),
                         ("Typ=joint.type", "did you mean 'Type'"), ("Type=joint.typ", "did you mean 'joint.type'"),
                         ("Type=limits", "no key of a joint"), ("Type=joint.thickness", "are both joint.thickness")):
        answer = batch(["-", "--map", wrong], good)
        check(answer.returncode == 2 and not answer.stdout and words in answer.stderr.decode(), f"--map {wrong}: {answer.stderr}")
    record = '{"joint.type":"fillet","joint.thickness":6,"material.alloy":"S275"}\n'
    check(b"has no headings" in batch(["-", "--map", "a=joint.type"], record).stderr, "--map is for headings")


def a_planners_list():
    """The list of the examples, as a spreadsheet with commas wrote it, gives what the same keys and points give."""
    path = EXAMPLES / "planner-jobs.csv"
    check(path.read_bytes().startswith(b"\xef\xbb\xbf"), "it has a byte order mark")
    rows = rows_of(path.read_bytes(), ";")
    plain = io.StringIO(newline="")
    keys = {"Weld no.": "id", "Type": "joint.type", "Thickness (mm)": "joint.thickness", "Alloy": "material.alloy",
            "Qty": "quantity", "Position": "joint.position", "Leg": "joint.leg", "Length (m)": "joint.length",
            "x-drawing": "x-drawing"}
    writer = csv.writer(plain)
    writer.writerow(keys.values())
    for row in rows:
        points = {name: value.replace(",", ".") for name, value in row.items()}
        points["Length (m)"] = str(1000 * float(points["Length (m)"]))
        writer.writerow([points[name] for name in keys])
    answer = batch([path])
    check(answer.returncode == 0 and answer.stdout == batch(["-"], plain.getvalue()).stdout, f"{answer}")
    check(batch([path, "--check", "-q"]).stdout == b"6 rows can be read\n", "and all of it can be read")


def numbers_of_welds():
    """wire, gas and time of all welds are those of one, so many times; wherever the number is given."""
    head, row = "joint.type,joint.thickness,joint.length,material.alloy", "fillet,6,450,S275"
    one = rows_of(batch(["-"], f"{head}\n{row}\n").stdout)[0]
    check("quantity" not in one, "a list without numbers of welds has no column of them")
    lists = [f"{head},quantity\n{row},12\n{row},\n",
             '{"joint.type":"fillet","joint.thickness":6,"joint.length":450,"material.alloy":"S275","quantity":12}\n'
             '{"joint.type":"fillet","joint.thickness":6,"joint.length":450,"material.alloy":"S275"}\n',
             '[[job]]\nquantity = 12\njoint = { type = "fillet", thickness = 6, length = 450 }\nmaterial.alloy = "S275"\n'
             '[[job]]\njoint = { type = "fillet", thickness = 6, length = 450 }\nmaterial.alloy = "S275"\n']
    for text in lists:
        run = batch(["-", "--format", "csv", "--summary"], text)
        many, single = rows_of(run.stdout)
        for name in ("wire_mass_g", "gas_volume_l", "arc_time_s"):
            whole = name.replace("_g", "_all_g") if name == "wire_mass_g" else re.sub(r"_(l|s)$", r"_all_\1", name)
            check(many[name] == single[name] == one[name], f"{name} is of one weld")
            check(abs(float(many[whole]) - 12 * float(one[name])) < 1e-5 * float(many[whole]), f"{whole}: {many[whole]}")
            check(single[whole] == single[name], f"{whole}: a row that leaves the number out counts one")
        check((many["quantity"], single["quantity"]) == ("12", "1"), f"{many['quantity']}, {single['quantity']}")
        total = re.search(r"mm +2 +13 +([\d.]+) ", run.stderr.decode())
        check(total and abs(float(total[1]) - 13e-3 * float(one["wire_mass_g"])) < 0.006, f"summary: {run.stderr.decode()}")
    groove = "joint.type,joint.thickness,joint.preparation,joint.length,material.alloy,quantity\nbutt,16,single-v,1000,S355,5\n"
    passes = rows_of(batch(["-", "--per-pass"], groove).stdout)
    whole = rows_of(batch(["-"], groove).stdout)[0]
    check(len(passes) > 2 and all(row["quantity"] == "5" for row in passes) and whole["quantity"] == "5", "passes have it too")
    made = sum(float(row["wire_mass_all_g"]) for row in passes)
    check(abs(made - float(whole["wire_mass_all_g"])) < 1e-4 * made, f"passes make {made}, the joint says {whole}")
    plan = subprocess.run([PROGRAM, "plan", "--format", "json", "--set", "joint.type=fillet", "--set", "joint.thickness=6",
                           "--set", "material.alloy=S275", "--set", "joint.length=450", "--set", "quantity=12"],
                          capture_output=True, timeout=60)
    totals = json.loads(plan.stdout)["totals"]
    check(totals["quantity"]["value"] == 12 and
          abs(totals["arc_time_all"]["value"] - 12 * totals["arc_time"]["value"]) < 1e-5 * totals["arc_time_all"]["value"],
          f"plan: {totals}")
    for wrong in ("0", "-1", "1.5", "many", "1e9", "100001", "true", "12 mm", "1..2"):
        answer = rows_of(batch(["-"], f"{head},quantity\n{row},{wrong}\n").stdout)[0]
        check(answer["status"] == "error" and "quantity" in answer["message"], f"quantity {wrong}: {answer['message']}")


def reading_alone(folder):
    """--check refuses what batch refuses, with the cell's place, and solves nothing."""
    jobs = folder / "jobs.csv"
    jobs.write_text(long_list(200))
    answers = rows_of(batch([jobs]).stdout)
    bad = [row for row in answers if row["status"] == "error"]
    told = batch([jobs, "--check"])
    check(told.returncode == 2 and told.stdout.decode() == f"{200 - len(bad)} rows can be read, {len(bad)} cannot\n", f"{told.stdout}")
    places = re.findall(rf"^{re.escape(str(jobs))}:(\d+):(\d+): error: (.*)$", told.stderr.decode(), re.MULTILINE)
    check([line for line, _, _ in places] == [row["line"] for row in bad] and bad, "every refused row, in order")
    lines = jobs.read_text().split("\n")
    for (line, column, message), row in zip(places, bad):
        check(row["message"].startswith(message), f"{message}: batch says {row['message']}")
        check(lines[int(line) - 1][int(column) - 1:].startswith("filet"), f"line {line} column {column} is the cell")
    for threads in ("1", "8"):
        again = batch([jobs, "--check", "--threads", threads])
        check((again.stdout, again.stderr) == (told.stdout, told.stderr), f"{threads} threads: the same lines")
    good = HEADER + "\n" + "a,fillet,6,6,PB,5083,pulse,,\n" * 3
    check(batch(["-", "--check"], good).stdout == b"3 rows can be read\n" and batch(["-", "--check"], good).returncode == 0, "all good")
    check(batch(["-", "--check"], good.rsplit("a,", 2)[0]).stdout == b"1 row can be read\n", "one row")
    check(batch(["-", "--check"], "").stdout == b"0 rows can be read\n", "no rows")
    head = "joint.type,joint.thickness,joint.leg,wire.designation,material.alloy,x-n\n"
    for row, place, words in (('fillet,"6 kg",5,,S275,', ":2:8:", "'kg' is a mass"), ('"two\nlines",6,5,,S275,', ":2:1:", "not known"),
                              ('fillet,6,5,,S275,"a\nb"\nfillet,,,,S275,', ":4", "joint.thickness is missing"),
                              ("fillet,6,50,,S275,", ":2:10:", "too large"), ("fillet,6", ":2", "2 cells"),
                              ('"fillet",6,5,,unobtainium,"x"', ":2:15:", "not in the catalog"),
                              ("fillet,6,5,5356,S275,", ":2", "")):
        text = head + row + "\n"
        told, answer = batch(["-", "--check"], text), rows_of(batch(["-"], text).stdout)[-1]
        refused = answer["status"] == "error"
        check(told.returncode == (2 if refused else 0), f"{row}: {told}, batch says {answer['status']} {answer['message']}")
        check(not refused or f"standard input{place}" in told.stderr.decode() and words in told.stderr.decode(), f"{row}: {told.stderr}")
    both = batch(["-", "--check"], head + "filet,6 kg,5,,S275,\n").stderr.decode()
    check(both.count(": error: ") == 2 and ":2:1:" in both and ":2:7:" in both, f"all that is wrong with a row: {both}")
    record = '{"joint.type": "filet", "joint": {"thickness": 6}, "material.alloy": "S275"}\n{"joint.type" "fillet"}\n'
    told = batch(["-", "--check"], record).stderr.decode()
    check("standard input:1:16: error" in told and "standard input:2:15: error" in told, f"NDJSON: {told}")
    table = '# list\n\n[[job]]\nmaterial.alloy = "S275"\n[job.joint]\ntype = "filet"\nthickness = 6\n'
    check("standard input:6:8: error" in batch(["-", "--check"], table).stderr.decode(), "TOML")
    for wrong in (["-o", folder / "a.csv"], ["--summary"], ["--resume", folder / "a.csv"]):
        answer = batch(["-", "--check", *wrong], good)
        check(answer.returncode == 2 and not answer.stdout and b"--check writes no answer" in answer.stderr, f"{wrong}")
    # Reading is not solving: a list that takes seconds to answer is read in a fraction of that.
    jobs.write_text(long_list(4000))
    began = time.monotonic()
    batch([jobs, "--threads", "1"])
    solved = time.monotonic() - began
    began = time.monotonic()
    batch([jobs, "--threads", "1", "--check"])
    check(SANITIZED or time.monotonic() - began < solved, "reading takes less than solving")


def progress_of_a_workbook(folder):
    """On a terminal a long run says how far it is; not with --quiet, and never into a pipe."""
    jobs = folder / "long.csv"
    jobs.write_text(long_list(20000, 2))

    def on_terminal(*options):
        words = [PROGRAM, "batch", jobs, "--threads", "1", "-o", folder / "long.xlsx", *options]
        return terminal.shown_by(words, streams=("stderr",), timeout=600)

    check(re.search(rb"\d+ rows, \d+ rows/s, \d+ % done, \d+:\d\d left", on_terminal()), "a workbook tells its progress")
    check(on_terminal("--quiet") == b"", "--quiet says nothing")
    check(batch([jobs, "-o", folder / "long.xlsx"]).stderr == b"", "nor does a run into a pipe")


def usage(folder):
    good = HEADER + "\na,fillet,6,6,PB,5083,pulse,,\n"
    book = folder / "usage.xlsx"
    for wrong, words in ((["--resume", book], "cannot be resumed"), (["-o", book, "--resume", book], "cannot be resumed"),
                         (["-o", book, "--no-header"], "has its header"), (["-o", book, "--bom"], "CSV alone"),
                         (["-o", book, "--separator", ";"], "CSV alone"), (["--format", "ndjson", "--decimal-comma"], "CSV alone"),
                         (["--decimal-comma", "--separator", ","], "needs another separator"),
                         (["--separator", "|"], "--separator cannot be '|'"), (["--list-separator", "|"], "--list-separator cannot be '|'"),
                         (["--list-decimal", "dot"], "--list-decimal cannot be 'dot'"), (["--map"], "--map needs a value"),
                         (["--format", "xls"], "did you mean 'xlsx'")):
        answer = batch(["-", *wrong], good)
        check(answer.returncode == 2 and not answer.stdout and words in answer.stderr.decode(), f"{wrong}: {answer.stderr}")
        check(not book.exists(), f"{wrong}: nothing is written")
    batch(["-", "-o", book], good)
    loud = folder / "LOUD.XLSX"
    batch(["-", "-o", loud], good)
    check(loud.read_bytes().startswith(b"PK"), "a name in capitals")
    told = batch([book])
    check(told.returncode == 2 and b"this is a workbook" in told.stderr, f"a workbook as a list: {told.stderr}")
    csv_named = batch(["-", "-o", book, "--format", "csv"], good)
    check(csv_named.returncode == 0 and book.read_bytes().startswith(b"x-note,"), "--format says what -o gets")
    help_text = subprocess.run([PROGRAM, "help", "batch"], capture_output=True, timeout=60).stdout.decode()
    for option in ("--map", "--check", "--decimal-comma", "--bom", "--list-decimal", "--list-separator", "xlsx"):
        check(option in help_text, f"help tells of {option}")


with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    workbook_is_the_csv(folder)
    looks(folder)
    warnings_and_totals(folder)
    one_workbook_whatever_the_threads(folder)
    memory_is_flat(folder)
    all_or_nothing(folder)
    opened_by_calc(folder)
    separators_and_commas(folder)
    headings()
    a_planners_list()
    numbers_of_welds()
    reading_alone(folder)
    if terminal.is_here():
        progress_of_a_workbook(folder)
    usage(folder)
print(f"{len(failures)} failures")
sys.exit(end_code(len(failures)))
