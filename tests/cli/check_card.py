#!/usr/bin/env python3
"""The card that `plan` answers with: it fits its screen, says what the JSON of the same plan says, and hides nothing that
matters.

usage: check_card.py PROGRAM EXAMPLES
"""
import html
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import terminal
from faults import expect, report

PROGRAM, EXAMPLES = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
SCREEN_LINES = terminal.LINES
JOINTS = [f for f in sorted(EXAMPLES.glob("*.toml")) if re.search(r'^type = "', f.read_text(), re.M)]
ENVIRONMENT = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR")}
CAUTION = "Starting values: the qualified procedure and the responsible coordinator decide."


def run(*words, columns=None):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, timeout=60,
                          env=ENVIRONMENT | ({"COLUMNS": str(columns)} if columns else {}))


def plan(*words, columns=None):
    done = run("plan", *words, columns=columns)
    expect(done.returncode in (0, 1), f"{words}: {done.stderr.strip()[:300]}")
    return done.stdout


def planned(*words):
    return json.loads(plan(*words, "--format", "json"))


def on_a_terminal(columns, *words):
    """What is printed on a terminal so wide."""
    shown = terminal.shown_by([PROGRAM, *words], columns=columns, env=ENVIRONMENT | {"TERM": "dumb"})
    return shown.decode().replace("\r\n", "\n")


def flat(text):
    """On one line, so that it may be searched whatever the wrapping."""
    return re.sub(r"\s+", " ", text)


def fits(what, text, width):
    for line in text.splitlines():
        # What is to be copied stands on a line of its own.
        expect(len(line) <= width or line.strip().startswith("--set"), f"{what} at {width}: {len(line)} letters: {line}")
        expect(line == line.rstrip(), f"{what}: blanks at the end of {line!r}")


def numbers(text):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", text)]


def says_what_the_plan_says(what, answer, card):
    """Set points as rounded, ranges inside those computed, grade, heat input, warnings: against the JSON."""
    text = flat(card)
    for warning in answer["warnings"]:
        expect(flat(warning["text"]) in text, f"{what}: warning not there in full: {warning['text'][:80]}")
    expect(CAUTION in text, f"{what}: no caution that defers to the procedure")
    for one in answer["passes"]:
        if not one["feasible"]:
            continue
        feed = f"{one['wire_feed']['value']:.2f}"
        expect(re.search(rf"^  wire feed +{feed} m/min", card, re.M), f"{what}: pass {one['number']}: feed {feed}")
        for key, decimals in (("voltage", 1), ("travel", 1)):
            wanted = f"{one[key]['value']:.{decimals}f}"
            expect(re.search(rf"^  {key} +{wanted} ", card, re.M), f"{what}: pass {one['number']}: {key} {wanted}")
        expect(f"current {one['current']['value']:.0f} A" in text, f"{what}: current of pass {one['number']}")
        expect(f"heat input {one['heat_input']['value']:.3f} kJ/mm" in text, f"{what}: heat input of pass {one['number']}")
        expect(flat(one["grade_detail"]["sentence"]) in text, f"{what}: grade of pass {one['number']}")
        box = one["box"]
        if not box["exists"]:
            expect(flat(box["sentence"]) in text, f"{what}: why pass {one['number']} has nothing to lock")
    # Ranges are rounded inwards, but the travel that goes with the feed is rounded to the nearest.
    boxes = [one["box"] for one in answer["passes"] if one["feasible"] and one["box"]["exists"]]
    for label, key, beyond in (("wire feed", "wire_feed", 0), ("voltage", "arc_length_trim", 0),
                               ("peak current", "peak_current_trim", 0), ("travel", "travel", 0.05),
                               ("modulation amplitude", "modulation_amplitude", 0),
                               ("modulation frequency", "modulation_frequency", 0)):
        ranges = re.findall(rf"^  {label} +\S+ \S+ +(?:\n +lock )?(?:trim )?(\S+ to \S+)", card, re.M)
        for low, high in map(numbers, ranges):
            expect(any(box[key]["low"] - 1e-5 * abs(low) - beyond <= low <= high <= box[key]["high"] + 1e-5 * abs(high) + beyond
                       for box in boxes if box.get(key)), f"{what}: {label} {low} to {high} is not inside any range computed")
        expect(bool(ranges) or not any(box.get(key) and box[key]["low"] < box[key]["high"] for box in boxes),
               f"{what}: no range beside {label}")


def widths_and_lines():
    for joint in JOINTS:
        answer = planned(joint)
        for width in (40, 80, 100):
            card = plan(joint, columns=width)
            fits(joint.name, card, width)
            if answer["feasible"] and width > 40:
                says_what_the_plan_says(f"{joint.name} at {width}", answer, card)
            if len(answer["passes"]) == 1 and width == 80:
                expect(len(card.splitlines()) <= SCREEN_LINES,
                       f"{joint.name}: {len(card.splitlines())} lines are more than a screen")
        fits(f"{joint.name} in US units", plan(joint, "--units", "us", columns=80), 80)
        expect(plan(joint) == plan(joint, columns=80), f"{joint.name}: a pipe does not get 80 columns")
        equipped = plan(joint, "--equipment", EXAMPLES / "slipway-350.toml", columns=80)
        fits(f"{joint.name} with a machine", equipped, 80)
        expect("DIALS" in equipped or "NO WINDOW" in equipped, f"{joint.name}: no dial values")
    keel = EXAMPLES / "keel-bracket.toml"
    for width in (40, 80, 100) if terminal.is_here() else ():
        expect(on_a_terminal(width, "plan", keel) == plan(keel, columns=width), f"a terminal of {width} columns")
    expect("\x1b" not in plan(keel) and "\x1b[1m" in plan(keel, "--color", "always"), "colour")


def passes_alike_once():
    deck = ["--set", "joint.type=butt", "--set", "joint.thickness=20", "--set", "material.alloy=S355"]
    answer, card = planned(*deck), plan(*deck)
    titles = re.findall(r"^Pass(?:es)? (\d+)(?:-(\d+))? of (\d+)", card, re.M)
    told = [n for low, high, _ in titles for n in range(int(low), int(high or low) + 1)]
    expect(told == list(range(1, len(answer["passes"]) + 1)), f"passes told: {told}")
    expect(len(titles) < len(told), f"passes alike are told one by one: {len(titles)} of {len(told)}")


def nothing_that_matters_is_hidden():
    limits = [["--set", "limits.heat_input=..0.1"], ["--set", "limits.current=..60"], ["--set", "joint.gap=4"]]
    for more in limits:
        answer, card = planned(EXAMPLES / "keel-bracket.toml", *more), plan(EXAMPLES / "keel-bracket.toml", *more)
        text = flat(card)
        says_what_the_plan_says(str(more), answer, card)
        if answer["feasible"]:
            continue
        expect("NO WINDOW" in card, f"{more}: no window, and not said")
        for one in answer["passes"]:
            for conflict in one["conflicts"]:
                expect(flat(conflict["sentence"]) in text, f"{more}: conflict not told: {conflict['sentence']}")
        for way in answer["suggestions"]:
            expect(flat(way["sentence"]) in text, f"{more}: way out not told: {way['sentence']}")
            for key in way["settings"]:
                expect(f"--set {key}=" in text or f"--set '{key}=" in text, f"{more}: {key} is not there to be copied")
    expect(any(not planned(EXAMPLES / "keel-bracket.toml", *more)["feasible"] for more in limits), "all have a window")

    # A procedure for another joint and position: what lies outside is told, whatever its ranges do to the settings.
    procedure = ["--procedure", EXAMPLES / "cradle-procedure.toml"]
    for form in ([], ["--all"]):
        outside = flat(plan(EXAMPLES / "deck-beam-overhead.toml", *procedure, *form))
        expect("Outside the procedure: position: PD; stated: PA, PC" in outside, f"position outside the procedure {form}")
        expect("Outside the procedure: joint type: fillet; stated: butt" in outside, f"type outside the procedure {form}")
    inside = flat(plan(EXAMPLES / "cradle-beam.toml", *procedure))
    expect("Outside the procedure" not in inside and "its ranges bind" in inside, "a joint inside its procedure")
    # JSON and the sheet tell the same.
    card = flat(plan(EXAMPLES / "deck-beam-overhead.toml", *procedure))
    told = planned(EXAMPLES / "deck-beam-overhead.toml", *procedure)["outside_procedure"]
    expect(len(told) > 1 and all(flat(miss) in card for miss in told), f"outside the procedure, JSON: {told}")
    sheet = html.unescape(run("sheet", EXAMPLES / "deck-beam-overhead.toml", *procedure).stdout)
    expect(all(miss in sheet for miss in told), "outside the procedure, sheet")
    expect(planned(EXAMPLES / "cradle-beam.toml", *procedure)["outside_procedure"] == [], "nothing outside, JSON")
    expect("outside_procedure" not in planned(EXAMPLES / "cradle-beam.toml"), "outside what, without a procedure")

    # Round a fixed pipe.
    riser = planned(EXAMPLES / "cooling-riser.toml")
    card = flat(plan(EXAMPLES / "cooling-riser.toml"))
    unsafe = [p for p in riser["sectors"] if not p["all_round"]["feasible"]]
    for one in riser["sectors"]:
        for sector in filter(lambda s: s["feasible"], [*one["sectors"], one["all_round"]]):
            expect(f"{sector['wire_feed']['value']:.2f} m/min and {sector['travel']['value']:.1f} mm/s" in card,
                   f"pass {one['pass']}: feed and travel at {sector.get('clock', 'all round')}")
    expect(card.count("No one setting holds all round") == len(unsafe), f"settings round the pipe: {len(unsafe)} do not hold")


def ranges_are_rounded_inwards():
    """A log held against ranges that were locked: what is printed of them never reaches beyond, as on the card."""
    with tempfile.TemporaryDirectory() as folder:
        lock = pathlib.Path(folder) / "lock.toml"
        card = plan(EXAMPLES / "keel-bracket.toml", "--write-lock", lock)
        locked = {key: tuple(map(float, ends)) for key, *ends in
                  re.findall(r'^(\w+) = "([-\d.]+)\.\.([-\d.]+) \S+"', lock.read_text(), re.M)}
        shown = flat(run("review", EXAMPLES / "keel-bracket-log.csv", "--procedure", lock).stdout)
    for key, label in (("wire_feed", "wire feed"), ("travel", "travel"), ("arc_length_trim", "arc length trim"),
                       ("deposit_area", "deposit cross-section")):
        low, high = map(float, re.search(rf"{label} [^;]*?stated ([-\d.]+) to ([-\d.]+)", shown).groups())
        expect(locked[key][0] <= low < high <= locked[key][1], f"{key}: {low} to {high} printed for {locked[key]}")
    expect(re.search(r"^ +wire feed +[\d.]+ m/min +([\d.]+ to [\d.]+)$", card, re.M)[1] in shown, "the feed of the card and of the review")


def help_on_any_screen():
    """Help keeps to the screen, and loses no word by it."""
    topics = re.search(r"topics of [^:]*: ([^\n]*(?:\n[^\n]+)*)", run("help", columns=100).stdout).group(1)
    pages = [["help", topic] for topic in re.findall(r"[a-z-]+", topics)]
    pages += [["help"], [], *(["help", command] for command in re.findall(r"^  ([a-z]+) ", run("help").stdout, re.M))]
    expect(len(pages) > 25, f"{len(pages)} pages of help")
    for words in pages:
        whole = run(*words, columns=100).stdout
        for width in (40, 80, 100):
            text = run(*words, columns=width).stdout
            expect(text.split() == whole.split(), f"{words} at {width}: other words than at 100")
            for line in text.splitlines():
                # A word, or an example to be copied, may be longer than the screen.
                expect(len(line) <= width or len(line.split()) <= 2 or line.startswith("  seamwright"),
                       f"{words} at {width}: {line}")


def main() -> int:
    expect(len(JOINTS) > 12, f"only {len(JOINTS)} joints among the examples")
    widths_and_lines()
    passes_alike_once()
    nothing_that_matters_is_hidden()
    ranges_are_rounded_inwards()
    help_on_any_screen()
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "card.txt"
        plan(EXAMPLES / "keel-bracket.toml", "-o", file)
        expect(file.read_text() == plan(EXAMPLES / "keel-bracket.toml"), "-o FILE has another card than a pipe")
    return report()


if __name__ == "__main__":
    sys.exit(main())
