#!/usr/bin/env python3
"""Facts of generated logs against their truth, JSON against its schema, and the ways a log may be written.

usage: check_facts.py PROGRAM SCHEMA EXAMPLES
"""
import csv
import io
import json
import os
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile
from xml.etree import ElementTree

sys.path[:0] = [str(pathlib.Path(__file__).parent), str(pathlib.Path(__file__).parent.parent / "cli")]
import make_logs
from faults import end_code, left_out

try:
    from jsonschema import Draft202012Validator
except ImportError:
    print("left out: python3-jsonschema is not installed")
    sys.exit(77)


class Checks:
    def __init__(self, program: str, schema: str):
        self.program = program
        self.validator = Draft202012Validator(json.loads(pathlib.Path(schema).read_text()))
        Draft202012Validator.check_schema(self.validator.schema)
        self.done = self.failed = 0

    def ok(self, name: str, passed: bool, told="") -> None:
        self.done += 1
        if not passed:
            self.failed += 1
            print(f"FAILED {name}: {told}")

    def near(self, name: str, value, expected: float, share: float) -> None:
        self.ok(name, value is not None and abs(value - expected) <= share * abs(expected),
                f"{value}, truth {expected} within {share:.2%}")

    def run(self, text, *words: str) -> subprocess.CompletedProcess:
        data = text.encode() if isinstance(text, str) else text
        return subprocess.run([self.program, "review", "-", *words], input=data, capture_output=True, timeout=300)

    def review(self, name: str, text, *words: str, codes=(0,)) -> dict:
        run = self.run(text, "--format", "json", *words)
        self.ok(f"{name} exit code", run.returncode in codes, f"{run.returncode} {run.stderr.decode()}")
        if run.returncode not in codes:
            return {}
        document = json.loads(run.stdout)
        for error in list(self.validator.iter_errors(document))[:3]:
            self.ok(f"{name} schema", False, f"{error.json_path}: {error.message[:200]}")
        return document


def weld_of(c: Checks, name: str, document: dict) -> dict:
    welds = document.get("welds", [])
    c.ok(f"{name}: one weld", len(welds) == 1, f"{len(welds)} welds")
    return welds[0] if len(welds) == 1 else {}


def check_truth(c: Checks, name: str, log: make_logs.Log, weld: dict) -> None:
    t = log.truth
    if not weld:
        return
    c.near(f"{name} arc time", weld["arc_time"]["value"], t["arc_time"], 0.002)
    for key in ("current", "voltage", "current_rms", "power"):
        c.near(f"{name} {key}", weld[key]["value"], t[key], 0.002)
    if "transfer" in t:
        c.ok(f"{name} transfer", weld["transfer"] == t["transfer"], f"{weld['transfer']}, truth {t['transfer']}")
    c.ok(f"{name} pulse", weld["pulse"]["finding"] == t["pulse"], weld["pulse"])
    if t["shorts"] is not None:
        c.ok(f"{name} short circuits", weld["short_circuits"]["count"] == t["shorts"],
             f"{weld['short_circuits']}, truth {t['shorts']}")
    if "modulation" in t:
        c.ok(f"{name} modulation", weld["modulation"]["finding"] == t["modulation"], weld["modulation"])
    if "modulation_frequency" in t:
        c.near(f"{name} modulation frequency", weld["modulation"]["frequency"]["value"], t["modulation_frequency"], 0.02)
    if "frequency" in t:
        p = weld["pulse"]
        c.near(f"{name} frequency", p["frequency"]["mean"], t["frequency"], 0.005)
        c.near(f"{name} peak", p["peak"]["mean"], t["peak"], 0.02)
        c.near(f"{name} base", p["base"]["mean"], t["base"], 0.05)
        c.near(f"{name} peak time", p["peak_time"]["mean"], t["peak_time"], 0.03)
        c.near(f"{name} ramp up", p["ramp_up"]["mean"], t["ramp"], 0.08)
        c.near(f"{name} ramp down", p["ramp_down"]["mean"], t["ramp"], 0.08)
    if "duration" in t:
        c.near(f"{name} duration", weld["short_circuits"]["duration"]["mean"], t["duration"], 0.03)
        c.near(f"{name} rise", weld["short_circuits"]["rise"]["mean"], t["rise"], 0.06)


def check_waveforms(c: Checks) -> None:
    logs = {"spray": make_logs.spray(), "pulse": make_logs.pulse(), "double pulse": make_logs.double_pulse(),
            "dip": make_logs.dip(), "slow logger": make_logs.slow()}
    # Pulses of other frequencies and rates; dip from nearly regular to wild: never pulsed.
    for k, (frequency, rate) in enumerate(((35, 5000), (60, 10000), (190, 20000), (250, 50000), (330, 20000))):
        logs[f"pulse {frequency} Hz at {rate} Hz"] = make_logs.pulse(
            rate_Hz=rate, frequency_Hz=frequency, peak_ms=0.25 * 1000 / frequency if frequency > 150 else 2.2,
            ramp_A_per_ms=1500 if frequency > 150 else 500 if rate >= 10000 else 300, seed=20 + k)
    for k, spread in enumerate((0.05, 0.2, 0.35, 0.5)):
        logs[f"dip spread {spread}"] = make_logs.dip(spread=spread, seed=30 + k)
    logs["pulse at 100 kHz"] = make_logs.pulse(rate_Hz=100000, weld_s=1, seed=50)
    logs["one reading a second"] = make_logs.slow(rate_Hz=1, weld_s=300, seed=51)
    for k, slow_Hz in enumerate((0.8, 3.3, 5.0)):
        logs[f"double pulse {slow_Hz} Hz"] = make_logs.double_pulse(slow_Hz=slow_Hz, weld_s=8, seed=40 + k)
    for name, log in logs.items():
        check_truth(c, name, log, weld_of(c, name, c.review(name, log.csv())))


def check_current_alone(c: Checks) -> None:
    """Without a voltage irregular dip transfer is still not pulsed, and a pulse is found with a warning."""
    for name, log, pulse in (("dip", make_logs.dip(), "none"), ("pulse", make_logs.pulse(), "found")):
        text = "t,I\n" + "".join(f"{t:.5f},{i:.1f}\n" for t, i in zip(log.time_s, log.current_A))
        weld = weld_of(c, f"{name} by current", c.review(f"{name} by current", text))
        if weld:
            c.ok(f"{name} by current: pulse", weld["pulse"]["finding"] == pulse, weld["pulse"])
            c.ok(f"{name} by current: short circuits", weld["short_circuits"]["finding"] == "not-recorded", weld["short_circuits"])
            c.ok(f"{name} by current: warned", ("dip transfer" in weld["pulse"]["remark"]) == (pulse == "found"), weld["pulse"])
            c.ok(f"{name} by current: no power", weld["power"]["value"] is None, weld["power"])


def check_energy(c: Checks) -> None:
    """ISO/TR 18491 by hand: A = U I / v, B = E / L, C = mean power / v."""
    log = make_logs.pulse(weld_s=4)
    t = log.truth
    weld = weld_of(c, "energy", c.review("energy", log.csv(), "--travel", "6.5"))
    if weld:
        c.near("energy A", weld["arc_energy"]["a"]["value"], 0.001 * t["current"] * t["voltage"] / 6.5, 0.002)
        c.near("energy C", weld["arc_energy"]["c"]["value"], 0.001 * t["power"] / 6.5, 0.002)
        c.near("heat input", weld["heat_input"]["value"], 0.8 * 0.001 * t["power"] / 6.5, 0.002)
        c.near("length", weld["length"]["value"], 26, 0.002)
    weld = weld_of(c, "energy B", c.review("energy B", log.csv(), "--travel", "6.5", "--length", "25"))
    if weld:
        c.near("energy B", weld["arc_energy"]["b"]["value"], 0.001 * t["power"] * 4 / 25, 0.003)
    # Positions: 8 mm/s along a slope of x and y, with noise; the way is what the end points are apart.
    log = make_logs.spray(rate_Hz=1000, weld_s=10)
    rng = random.Random(7)
    rows = ["t [ms];I [A];U [V];x [mm];y [mm]"]
    for s, i, u in zip(log.time_s, log.current_A, log.voltage_V):
        rows.append(f"{1000 * s:.1f};{i:.1f};{u:.2f};{4.8 * s + rng.gauss(0, 0.05):.3f};{6.4 * s + rng.gauss(0, 0.05):.3f}")
    weld = weld_of(c, "positions", c.review("positions", "\n".join(rows) + "\n"))
    if weld:
        c.near("travel from positions", weld["travel"]["value"], 8.0, 0.01)
        c.near("length from positions", weld["length"]["value"], 80.0, 0.015)
        c.near("seam steps", len(weld["seam"]), 16, 0.08)


def check_ways_of_writing(c: Checks) -> None:
    """The same weld, written in many ways, gives the same current, voltage and arc time."""
    log = make_logs.spray(rate_Hz=1000, weld_s=3)
    t = log.truth
    plain = log.csv(time_digits=4)
    lines = plain.splitlines()
    rows = [r.split(",") for r in lines[1:]]

    def made(head, row, end="\n"):
        return end.join([head] + [row(k, *r) for k, r in enumerate(rows)]) + end

    ways = {
        "crlf": (plain.replace("\n", "\r\n"), []),
        "cr": (plain.replace("\n", "\r"), []),
        "byte order mark": ("\ufeff" + plain, []),
        "semicolon and comma": (made("Time [s];Current [A];Voltage [V]",
                                     lambda k, a, i, u: ";".join((a, i, u)).replace(".", ",")), []),
        "tab": (plain.replace(",", "\t"), []),
        "blanks": (plain.replace(",", "  "), []),
        "quotes": (made('"time_s","current_A","voltage_V"', lambda k, a, i, u: f'"{a}","{i}","{u}"'), []),
        "ms": (made("t_ms,I,U", lambda k, a, i, u: f"{1000 * float(a):.1f},{i},{u}"), []),
        "kA and mV": (made("t,I [kA],U [mV]", lambda k, a, i, u: f"{a},{float(i) / 1000:.5f},{1000 * float(u):.0f}"), []),
        "clock": (made("time,current,voltage", lambda k, a, i, u: f"23:59:{57 + float(a):06.3f},{i},{u}"
                       if 57 + float(a) < 60 else f"24:00:{float(a) - 3:06.3f},{i},{u}"), []),
        "date and clock": (made("timestamp;current;voltage", lambda k, a, i, u:
                                f"2026-03-0{2 if float(a) < 2 else 3}T{'23:59' if float(a) < 2 else '00:00'}:"
                                f"{(58 + float(a)) % 60:06.3f};{i};{u}"), []),
        "rate": (made("current,voltage", lambda k, a, i, u: f"{i},{u}"), ["--rate", "1kHz"]),
        "no header": (made("", lambda k, a, i, u: f"{a},{u},{i}").lstrip(), ["--map", "time=1,voltage=2,current=3"]),
        "units in a line": (made("t,I,U\nms,A,V", lambda k, a, i, u: f"{1000 * float(a):.1f},{i},{u}"), []),
        "preamble": ("Recorder of the slipway\nfirmware;1.2\n\n" + plain, []),
        "comments": ("# boatyard\n" + plain.replace("\n", "\n# a remark\n", 40), []),
        "other columns": (made("no,gas,time,temperature,U,I,note", lambda k, a, i, u: f"{k},12.1,{a},21,{u},{i},x"), []),
    }
    for name, (text, words) in ways.items():
        weld = weld_of(c, name, c.review(name, text, *words))
        if weld:
            c.near(f"{name} current", weld["current"]["value"], t["current"], 0.002)
            c.near(f"{name} voltage", weld["voltage"]["value"], t["voltage"], 0.002)
            c.near(f"{name} arc time", weld["arc_time"]["value"], 3, 0.002)
    # Counts of a converter, through a [log] table.
    with tempfile.NamedTemporaryFile("w", suffix=".toml") as table:
        table.write('[log]\ntime = "t"\ncurrent = { column = "adc1", scale = 0.25, offset = 2048 }\n'
                    'voltage = { column = 3, scale = 0.02 }\n')
        table.flush()
        text = made("t,adc1,adc2", lambda k, a, i, u: f"{a},{round(float(i) / 0.25 + 2048)},{round(float(u) / 0.02)}")
        weld = weld_of(c, "counts", c.review("counts", text, "--log", table.name))
        if weld:
            c.near("counts current", weld["current"]["value"], t["current"], 0.002)
            c.near("counts voltage", weld["voltage"]["value"], t["voltage"], 0.002)


def check_uneven(c: Checks) -> None:
    """Means are by time, not by reading: 100 A for 6 s read five times as often as 200 A for 4 s is 140 A."""
    rows, s = ["time,current,voltage"], 0.0
    while s < 6 - 1e-9:
        rows.append(f"{s:.3f},{100 + 0.01 * (len(rows) % 7):.2f},20")
        s += 0.01
    while s < 10 - 1e-9:
        rows.append(f"{s:.3f},{200 + 0.01 * (len(rows) % 7):.2f},25")
        s += 0.05
    rows += [f"{s + 0.01 * k:.3f},0,0" for k in range(60)]
    weld = weld_of(c, "uneven", c.review("uneven", "\n".join(rows) + "\n"))
    if weld:
        c.near("uneven current", weld["current"]["value"], 140, 0.01)


def check_against_ranges(c: Checks) -> None:
    """2 s at 250 A in a weld at 200 A: one excursion of what a mean over one second sees outside 180..220 A."""
    rows = ["time,current,voltage,feed,travel"]
    rng = random.Random(9)
    for k in range(1600):
        s = 0.01 * k
        on = 2 <= s < 14
        i = (250 if 8 <= s < 10 else 200) + rng.gauss(0, 2) if on else 0
        rows.append(f"{s:.2f},{i:.2f},{26 + rng.gauss(0, 0.2) if on else 0:.2f},{8 if on else 0},6.5")
    log = "\n".join(rows) + "\n"
    with tempfile.TemporaryDirectory() as folder:
        def against(name, text, *words):
            path = pathlib.Path(folder) / "lock.toml"
            path.write_text(text)
            return c.review(name, log, "--procedure", str(path), *words, codes=(0, 1))
        inside = against("inside", '[every]\ncurrent = "150..300 A"\nvoltage = "24..28 V"\nwire_feed = "7.5..8.5"\n')
        c.ok("inside verdict", inside["outside"] is False and inside["welds"][0]["verdict"] == "inside", inside["summary"])
        out = against("outside", '[every]\ncurrent = "180..220 A"\nvoltage = "24..28 V"\nhardness = "..350"\n')
        ranges = {r["key"]: r for r in out["welds"][0]["ranges"]}
        c.ok("outside verdict", out["outside"] and ranges["current"]["verdict"] == "outside", ranges["current"])
        c.ok("voltage inside", ranges["voltage"]["verdict"] == "inside", ranges["voltage"])
        c.ok("hardness not recorded", ranges["hardness"]["verdict"] == "not recorded", ranges["hardness"])
        # The mean over 1 s passes 220 A when 0.4 s of it are at 250 A, and comes back likewise: 2.2 s, centred on 9 s.
        found = ranges["current"]["excursions"]
        c.ok("one excursion", len(found) == 1, found)
        c.near("excursion start", found[0]["start"], 7.9, 0.02)
        c.near("excursion length", found[0]["length"], 2.2, 0.1)
        c.near("excursion worst", found[0]["worst"], 250, 0.01)
        c.near("time inside", ranges["current"]["inside"], ranges["current"]["judged"] - 2.2, 0.03)
        # Three welds are root, fill and cap.
        three = "time,current,voltage\n" + "".join(
            f"{0.01 * k:.2f},{(120, 200, 220)[k // 1000] + rng.gauss(0, 1) if k % 1000 > 200 else 0:.1f},25\n" for k in range(3000))
        path = pathlib.Path(folder) / "roles.toml"
        path.write_text('[root]\ncurrent = "100..140 A"\n[fill]\ncurrent = "180..230 A"\n[cap]\ncurrent = "180..210 A"\n')
        welds = c.review("roles", three, "--procedure", str(path), codes=(1,))["welds"]
        c.ok("three roles", [(w["role"], w["verdict"]) for w in welds] ==
             [("root", "inside"), ("fill", "inside"), ("cap", "outside")], [(w["role"], w["verdict"]) for w in welds])
        welds = c.review("roles told", three, "--procedure", str(path), "--roles", "root,fill", codes=(0,))["welds"]
        c.ok("the last role holds on", [w["role"] for w in welds] == ["root", "fill", "fill"], welds)
        # Roles: what binds the root does not bind a single pass.
        root = '[root]\ncurrent = "100..120 A"\n'
        c.ok("single by default", against("single", root)["outside"] is False, "")
        c.ok("root when told", against("root", root, "--roles", "root")["outside"] is True, "")


def check_outputs(c: Checks, examples: pathlib.Path) -> None:
    """CSV, trial rows and page say what the JSON says; a saved plan gives ranges."""
    log = make_logs.pulse(weld_s=2)
    weld = weld_of(c, "outputs", c.review("outputs", log.csv(), "--travel", "6.5"))
    row = next(csv.DictReader(io.StringIO(c.run(log.csv(), "--travel", "6.5", "--format", "csv").stdout.decode())))
    for column, value in (("current_A", weld["current"]["value"]), ("peak_A", weld["pulse"]["peak"]["mean"]),
                          ("arc_energy_c_kJ_mm", weld["arc_energy"]["c"]["value"]), ("travel_mm_s", 6.5)):
        c.near(f"csv {column}", float(row[column]), value, 1e-5)
    trial = c.run(log.csv(), "--travel", "6.5", "--as-trial", "--set", "wire.designation=5356", "--set",
                  "wire.diameter=0.047 in", "--set", "process.mode=pulse").stdout.decode()
    rows = list(csv.DictReader(io.StringIO(trial)))
    c.ok("trial columns", list(rows[0]) == [
        "wire.designation", "wire.diameter", "gas.designation", "process.mode", "wire.extension", "feed_m_min",
        "travel_mm_s", "current_A", "current_rms_A", "voltage_V", "peak_A", "base_A", "frequency_Hz", "peak_time_ms"],
         list(rows[0]))
    c.ok("trial setup", (rows[0]["wire.designation"], rows[0]["process.mode"], rows[0]["gas.designation"]) ==
         ("5356", "pulse", ""), rows[0])
    c.near("trial diameter", float(rows[0]["wire.diameter"]), 1.1938, 1e-6)
    c.near("trial frequency", float(rows[0]["frequency_Hz"]), weld["pulse"]["frequency"]["mean"], 1e-5)
    bracket, lock = examples / "keel-bracket-log.csv", examples / "keel-bracket-lock.toml"
    page = subprocess.run([c.program, "review", str(bracket), "--procedure", str(lock), "--format", "html"],
                          capture_output=True, text=True).stdout
    svgs = [ElementTree.fromstring(text) for text in re.findall(r"<svg.*?</svg>", page, re.S)]
    c.ok("page: four traces", len(svgs) == 4, len(svgs))
    classes = [[e.get("class") for e in svg.iter()] for svg in svgs]
    c.ok("page: ranges are shaded", all("range" in names and "trace" in names for names in classes), classes)
    c.ok("page: the excursion is marked", [names.count("away") for names in classes] == [0, 0, 0, 1], classes)
    if not shutil.which("tidy"):
        left_out("tidy is not installed")
    else:
        told = subprocess.run(["tidy", "-q", "-e"], input=page, capture_output=True, text=True).stderr
        c.ok("page: valid", "Error" not in told, told)
    with tempfile.TemporaryDirectory() as folder:
        saved = pathlib.Path(folder) / "plan.json"
        subprocess.run([c.program, "plan", str(examples / "keel-bracket.toml"), "--format", "json", "-o", str(saved)], check=True)
        plan = json.loads(saved.read_text())["passes"][0]
        document = c.review("saved plan", bracket.read_text(), "--procedure", str(saved), codes=(0, 1))
        for r in document["welds"][0]["ranges"]:
            c.ok(f"saved plan {r['key']}", (r["low"], r["high"]) == (plan[r["key"]]["low"], plan[r["key"]]["high"]), r)
        c.ok("saved plan ranges", len(document["welds"][0]["ranges"]) == 5, document["welds"][0]["ranges"])
        for text, said in (("{}", "not that of a plan"), ("{", "neither a procedure nor"), ('{"program": "seamwright", "passes": [1], "units": "us"}', "US units")):
            saved.write_text(text)
            r = c.run(log.csv(), "--procedure", str(saved))
            c.ok(f"no plan {text}", r.returncode == 2 and said in r.stderr.decode(), r.stderr.decode())


def check_memory(c: Checks) -> None:
    """A log twenty times as long takes no more memory."""
    log = make_logs.pulse(weld_s=1)
    pairs = [f",{i:.1f},{u:.2f}\n" for i, u in zip(log.current_A, log.voltage_V)]
    most = {}
    for times in (2, 40):
        script = ("import resource, subprocess, sys\n"
                  "r = subprocess.run([sys.argv[1], 'review', sys.argv[2]], capture_output=True)\n"
                  "print(r.returncode, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)")
        with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
            file.write("time_s,current_A,voltage_V\n")
            for k in range(times):
                file.writelines(f"{(k * len(pairs) + j) / 50000:.5f}{pair}" for j, pair in enumerate(pairs))
            file.flush()
            # The address sanitizer would keep 256 MB of what was freed, to catch a late use of it.
            kept = os.environ | {"ASAN_OPTIONS": "quarantine_size_mb=1:thread_local_quarantine_size_kb=64"}
            told = subprocess.run([sys.executable, "-c", script, c.program, file.name], env=kept, capture_output=True, text=True).stdout
            code, most[times] = (int(x) for x in told.split())
            c.ok(f"{times} welds reviewed", code == 0, told)
    c.ok("memory does not grow", most[40] < most[2] + 3000, f"KiB: {most}")


def main() -> int:
    c = Checks(*sys.argv[1:3])
    check_memory(c)
    check_outputs(c, pathlib.Path(sys.argv[3]))
    check_waveforms(c)
    check_energy(c)
    check_current_alone(c)
    check_ways_of_writing(c)
    check_uneven(c)
    check_against_ranges(c)
    print(f"{c.done - c.failed} of {c.done} checks")
    return end_code(c.failed)


if __name__ == "__main__":
    sys.exit(main())
