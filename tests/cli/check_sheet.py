#!/usr/bin/env python3
"""The printed sheet of forty joints: whole, self-contained, valid, its card and signatures together, nothing cut off.

usage: check_sheet.py PROGRAM EXAMPLES_FOLDER

Always: well formed, nothing fetched from anywhere, no script, every constraint line named.
With chromium on the path: pages of A4 and Letter when printed, no overflow, no text of a drawing cut off or over
another, no print smaller than can be read; with pdftotext (poppler-utils) too: the text can be selected, the card of
a joint of one pass takes no more than half a page, and the signatures stand on the page of the last pass.
With an HTML validator on the path, each that is there: tidy (Debian), html-validate (npm), vnu (npm vnu-jar).
One validator is enough. What is missing is said and left out, and the test counts as skipped (77).
"""
import csv
import html
import html.parser
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import markup
from faults import end_code, left_out

MACHINE = "slipway-350.toml"
# Beside the examples: what they do not show.
MORE = {
    "us units": ["cradle-beam.toml", "--units", "us"],
    "double pulse in us units": ["hull-seam.toml", "--units", "us"],
    "no window": ["--set", "joint.type=butt", "--set", "joint.thickness=1", "--set", "joint.preparation=square", "--set",
                  "joint.gap=2", "--set", "material.alloy=5083", "--set", "process.mode=spray"],
    "many passes": ["--set", "joint.type=butt", "--set", "joint.thickness=25", "--set", "joint.preparation=single-v",
                    "--set", "material.alloy=2205", "--set", "joint.position=PF"],
    "two sides": ["--set", "joint.type=butt", "--set", "joint.thickness=30", "--set", "joint.preparation=double-v",
                  "--set", "material.alloy=S355"],
    "many passes, double pulse": ["--set", "joint.type=fillet", "--set", "joint.thickness=20", "--set", "joint.leg=14",
                                  "--set", "material.alloy=5083", "--set", "process.mode=double-pulse"],
}
TWO_MACHINES = {"two machines": ["keel-bracket.toml", "--equipment", "slipway-350.toml", "--equipment", "two.toml"]}
SMALLEST_PT = 6.5
MOST_PAGES = {True: 3, False: 5}  # of a joint of one pass; of several
JOBS = 22  # of the boatyard's list
# Run in the page by the test only. Texts of each drawing: over one another, outside of it.
MEASURE = """<script>
const found = [];
for (const svg of document.querySelectorAll('svg')) {
  const frame = svg.getBoundingClientRect();
  const texts = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
  texts.forEach(([a, p], i) => {
    if (p.left < frame.left - 1 || p.right > frame.right + 1 || p.top < frame.top - 1 || p.bottom > frame.bottom + 1)
      found.push('cut off: ' + a);
    for (const [b, q] of texts.slice(i + 1))
      if (Math.min(p.right, q.right) - Math.max(p.left, q.left) > 1 &&
          Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 3)
        found.push(a + ' over ' + b);
  });
}
document.title = JSON.stringify({width: document.documentElement.scrollWidth, found: found});
</script></body>"""
PAGES = {"A4": "size: A4;", "Letter": "size: letter;"}
VOID = {"meta", "br", "link", "img", "hr"}
CHROMIUM = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync"]


class Nesting(html.parser.HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []

    def handle_starttag(self, tag, attrs):
        if tag not in VOID:
            self.open.append(tag)
        for name, value in attrs:
            if name in ("src", "href", "srcset", "action") or name.startswith("on") or tag in ("script", "link", "iframe"):
                self.faults.append(f"<{tag} {name}={value}> is no part of a page that stands alone")

    def handle_startendtag(self, tag, attrs):
        pass

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> does not close what is open")


def static_faults(text: str) -> list[str]:
    parser = Nesting()
    parser.feed(text)
    found = parser.faults + ([f"<{parser.open[-1]}> stays open"] if parser.open else [])
    found += [f"'{word}' in the page" for word in ("http:", "https:", "url(", "@import", "nan", "inf ", "-0<")
              if word in text]
    for shape in ("<svg", "Window", "Expect", "Prepared by", "Cautions", "Where it comes from", "Defaults chosen"):
        if shape not in text:
            found.append(f"no {shape}")
    return found


def chromium(program: str, *arguments: str) -> str:
    with tempfile.TemporaryDirectory() as profile:
        run = subprocess.run([program, *CHROMIUM, f"--user-data-dir={profile}", *arguments], capture_output=True,
                             timeout=120)
        return run.stdout.decode("utf-8", "replace")


def printed(program: str, folder: pathlib.Path, text: str, rule: str) -> tuple[int, bytes]:
    """Pages it takes, and the PDF."""
    page, pdf = folder / "page.html", folder / "page.pdf"
    page.write_text(text.replace("@page { ", "@page { " + rule + " "), encoding="utf-8")
    chromium(program, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    return len(re.findall(rb"/Type\s*/Page[^s]", pdf.read_bytes())), pdf.read_bytes()


def measured(program: str, folder: pathlib.Path, text: str, width: int) -> dict:
    """What a script that only the test adds finds in a window of that width."""
    page = folder / "measured.html"
    page.write_text(text.replace("</body>", MEASURE), encoding="utf-8")
    dom = chromium(program, f"--window-size={width},1200", "--dump-dom", page.as_uri())
    return json.loads(html.unescape(re.search(r"<title>(.*?)</title>", dom).group(1)))


def drawn_to_scale(text: str) -> list[str]:
    """The scale bar against the plates of the keel bracket, 6 mm on 6 mm: numbers read off the page itself."""
    svg = text[text.index("<svg"):text.index("</svg>")]
    bar = re.search(r'<path class="bar" d="M([\d.]+) [\d.]+L([\d.]+) ', svg)
    bar_mm = float(re.search(r">([\d.]+) mm, to scale", svg).group(1))
    px_per_mm = (float(bar.group(2)) - float(bar.group(1))) / bar_mm
    found = []
    points = [[tuple(map(float, p.split())) for p in re.split("[ML]", d.rstrip("Z")) if p]
              for d in re.findall(r'<path class="(?:plate|weld)[^"]*" d="([^"]+)"', svg)]
    lying, standing, weld = points[0], points[1], points[2]
    corner = (max(x for x, _ in standing), min(y for _, y in lying))
    sizes = {"lying plate": (max(y for _, y in lying) - min(y for _, y in lying), 6),
             "standing plate": (max(x for x, _ in standing) - min(x for x, _ in standing), 6),
             "leg on the lying plate": (max(x for x, _ in weld) - corner[0], 6),
             "leg on the standing plate": (corner[1] - min(y for _, y in weld), 6)}
    for name, (px, mm) in sizes.items():
        if abs(px / px_per_mm - mm) > 0.02 * mm:
            found.append(f"{name} is drawn {px / px_per_mm:.2f} mm, not {mm} mm")
    return found


def card_faults(program: str, examples: pathlib.Path, words: list[str], text: str) -> list[str]:
    """A card of a joint with one machine: every dial as the plan has it, and a unit behind every range."""
    planned = subprocess.run([program, "plan", *words, "--format", "json"], capture_output=True, cwd=examples, timeout=60)
    found = []
    shown = html.unescape(text).replace("\u00a0", " ")
    for one in json.loads(planned.stdout)["passes"]:
        dials = ", ".join(value["dial"] for value in one.values() if isinstance(value, dict) and value.get("dial"))
        if one["feasible"] and f"Dials: {dials}" not in shown:
            found.append(f"pass {one['number']}: no 'Dials: {dials}'")
    card = shown[shown.index('<section class="card">'):shown.index('<section class="details">')]
    ranges = re.findall(r"LOCK (?:trim )?(-?[\d.]+ to -?[\d.]+) ?(\S*)", card)
    found += [f"LOCK {span} has no unit" for span, unit in ranges
              if unit.rstrip(",;<") not in ("m/min", "in/min", "mm/s", "V", "Hz") and not unit.startswith(("%", "m/min<", "V<"))]
    return found if ranges else [*found, "no range to lock"]


def smallest_pt(text: str) -> float:
    """Smallest size of print outside of drawings, points."""
    style = re.sub(r"svg[^{]*\{[^}]*\}", "", re.search(r"<style>(.*?)</style>", text, re.S).group(1))
    return min(float(pt) for pt in re.findall(r"([\d.]+)pt\b", style))


def layout_faults(reader: str, pdf: pathlib.Path, one_pass: bool, cards: int) -> list[str]:
    """Where the words stand on the printed pages."""
    boxes = subprocess.run([reader, "-bbox", str(pdf), "-"], capture_output=True, timeout=60).stdout.decode()
    pages = re.split(r"<page ", boxes)[1:]
    found, signed = [], 0
    for number, page in enumerate(pages, 1):
        tall = float(re.search(r'height="([\d.]+)"', page).group(1))
        words = re.findall(r'yMin="([\d.]+)"[^>]*yMax="([\d.]+)">([^<]*)</word>', page)
        ends = [float(low) for (_, low, word) in words if word == "Prepared"]
        signed += len(ends)
        if ends and not any(word in ("Grade:", "smallest:") for _, _, word in words):
            found.append(f"signatures alone on page {number}")
        if one_pass and cards == 1 and ends and (number > 1 or ends[0] > tall / 2):
            found.append(f"the card ends at {ends[0] / tall:.2f} of page {number}")
        if not words:
            found.append(f"page {number} is empty")
    if signed != cards:
        found.append(f"{signed} places to sign for {cards} cards")
    return found


def main() -> int:
    program, examples = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).absolute()
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    reader = shutil.which("pdftotext")
    wanted = {joint.name: [joint.name, "--equipment", MACHINE] for joint in sorted(examples.glob("*.toml"))
              if "[joint]" in joint.read_text(encoding="utf-8")} | MORE | TWO_MACHINES
    with open(examples / "boatyard-jobs.csv", encoding="utf-8", newline="") as jobs:
        for row in list(csv.DictReader(jobs))[:JOBS]:
            keys = [f"{key}={value}" for key, value in row.items() if value and "." in key]
            wanted[f"job {row['id']}"] = [word for key in keys for word in ("--set", key)]
    faults = 0
    sheets = 0
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        examples = shutil.copytree(examples, folder / "examples")
        machine = (examples / MACHINE).read_text(encoding="utf-8")
        (examples / "two.toml").write_text(machine.replace("Slipway 350", "Slipway 2"), encoding="utf-8")
        for joint, words in wanted.items():
            sheet = folder / "sheet.html"
            sheet.unlink(missing_ok=True)
            run = subprocess.run([program, "sheet", *words, "-o", str(sheet)], capture_output=True, timeout=60,
                                 cwd=examples)
            if run.returncode == 2:
                if joint in MORE:
                    print(f"{joint}: refused: {run.stderr.decode()}")
                    faults += 1
                continue  # a procedure or a job list
            sheets += 1
            text = sheet.read_text(encoding="utf-8")
            found = static_faults(text) + markup.content_faults(text) + markup.validator_faults([sheet], folder)
            if smallest_pt(text) < SMALLEST_PT:
                found.append(f"print of {smallest_pt(text):.1f} points")
            if joint == "keel-bracket.toml":
                found += drawn_to_scale(text) + card_faults(program, examples, wanted[joint], text)
            if browser:
                for paper, rule in PAGES.items():
                    pages, pdf = printed(browser, folder, text, rule)
                    cards = text.count('<section class="card">')
                    one_pass = "what ends it: low; high" in text
                    if pages > cards * MOST_PAGES[one_pass]:
                        found.append(f"takes {pages} {paper} pages")
                    if reader:
                        short = one_pass and 'class="alarm"' not in text
                        found += [f"{paper}: {fault}" for fault in
                                  layout_faults(reader, folder / "page.pdf", short, cards)]
                if reader:
                    shown = subprocess.run([reader, str(folder / "page.pdf"), "-"], capture_output=True, timeout=60)
                    for word in ("wire feed", "base metal", "Cautions", "Welding coordinator, date"):
                        if word not in shown.stdout.decode("utf-8", "replace"):
                            found.append(f"'{word}' cannot be selected in the printed page")
                for width in (794, 1200):
                    seen = measured(browser, folder, text, width)
                    if seen["width"] > width:
                        found.append(f"needs {seen['width']} px in a window of {width}")
                    found += seen["found"] if width == 794 else []
            for fault in found:
                print(f"{joint}: {fault}")
            faults += len(found)
    for tool, path in [("chromium", browser), ("pdftotext", reader),
                       ("an HTML validator (tidy, html-validate or vnu)", next(iter(markup.validators()), None))]:
        if path is None:
            left_out(f"{tool} is not on the path")
    print(f"{sheets} sheets, {faults} faults")
    return end_code(faults or not sheets)


if __name__ == "__main__":
    sys.exit(main())
