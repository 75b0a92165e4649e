#!/usr/bin/env python3
"""Every page and drawing that the program writes is sound HTML and SVG: sheets of all joints, for one machine, for several
and for none, in both units, without a window, with text that could be markup; pages of recorded welds; pictures.

usage: check_pages.py PROGRAM EXAMPLES

By the rules in markup.py, and by an XML parser for the SVG. What is missing (html5lib, an HTML validator) is said and
left out, and the test counts as skipped (77).
"""
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

from faults import expect, left_out, report, take_python_with

take_python_with("html5lib")
import markup  # noqa: E402  (by the Python that was taken)

PROGRAM, EXAMPLES = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
MACHINES = ["--equipment", "slipway-350.toml", "--equipment", "jetty-300.toml"]
NO_WINDOW = ["--set", "joint.type=butt", "--set", "joint.thickness=1", "--set", "joint.preparation=square", "--set",
             "joint.gap=2", "--set", "material.alloy=5083", "--set", "process.mode=spray"]


def write(folder, name, *words):
    """The file, or None where the joint is refused."""
    out = folder / name
    run = subprocess.run([PROGRAM, *map(str, words), "-o", str(out)], capture_output=True, text=True, timeout=120,
                         cwd=EXAMPLES)
    expect(run.returncode in (0, 1), f"{name}: {run.stderr.strip()[:200]}")
    return out if out.exists() else None


def pages(folder):
    joints = [f.name for f in sorted(EXAMPLES.glob("*.toml")) if re.search(r'^type = "', f.read_text(), re.M)]
    for joint in joints:
        name = joint.removesuffix(".toml")
        yield write(folder, f"{name}.html", "sheet", joint)
        yield write(folder, f"{name}-machines.html", "sheet", joint, *MACHINES, "--units", "us")
    yield write(folder, "no-window.html", "sheet", *NO_WINDOW)
    yield write(folder, "markup.html", "sheet", "keel-bracket.toml", "--set", "title=<b>&\"x'</p>", "--set", "id=]]>&amp;")
    lock = write(folder, "procedure.toml", "new", "procedure")
    subprocess.run([PROGRAM, "plan", "keel-bracket.toml", "--write-lock", str(lock)], capture_output=True, cwd=EXAMPLES,
                   timeout=60)
    for log in ("keel-bracket-log.csv", "keel-bracket-weld.csv"):
        yield write(folder, f"{log}.html", "review", log)
        yield write(folder, f"{log}-held.html", "review", log, "--procedure", lock, "--travel", "6.5", "--units", "us")


def drawings(folder):
    for joint in ("keel-bracket", "hull-seam", "cooling-riser", "cradle-beam"):
        yield write(folder, f"{joint}.svg", "plan", f"{joint}.toml")
        yield write(folder, f"{joint}-us.svg", "plan", f"{joint}.toml", "--units", "us", "--picture", "section")
    out = folder / "left.svg"
    write(folder, "own.toml", "calibrate", "trials.csv", "--svg", out)
    yield out


def told(folder):
    """The checks find what is wrong with a page that is."""
    bad = {"<ul> in <figure> after its caption":
               "<figure><h2>x</h2><figcaption>y</figcaption><ul><li>z</li></ul></figure>",
           "a paragraph in a paragraph's span": "<p><span><p>x</p></span></p>",
           "text in a row": "<table><tr>x<td>y</td></tr></table>", "one id twice": '<p id="a">x</p><p id="a">y</p>'}
    for what, body in bad.items():
        text = f'<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>x</title></head><body>{body}</body></html>'
        expect(bool(markup.content_faults(text)), f"{what} is not found")
    if markup.has_parser():
        expect(bool(markup.parse_faults("<p>no doctype</i>")), "html5lib finds nothing in a broken page")


def main() -> int:
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        told(folder)
        written = [page for page in pages(folder) if page]
        for page in written:
            text = page.read_text(encoding="utf-8")
            for fault in markup.content_faults(text) + markup.parse_faults(text):
                expect(False, f"{page.name}: {fault}")
        for fault in markup.validator_faults(written, folder):
            expect(False, fault)
        seen = 0
        for drawing in filter(None, drawings(folder)):
            seen += 1
            root = ElementTree.parse(drawing).getroot()
            expect(root.tag == "{http://www.w3.org/2000/svg}svg", f"{drawing.name}: its root is {root.tag}")
            # As it stands in a page.
            text = re.sub(r"^<\?xml.*?\?>\s*", "", drawing.read_text(encoding="utf-8"))
            page = f'<!DOCTYPE html><html lang="en"><head><title>x</title></head><body>{text}</body></html>'
            for fault in markup.parse_faults(page):
                expect(False, f"{drawing.name}: {fault}")
        expect(len(written) > 30 and seen > 8, f"only {len(written)} pages and {seen} drawings")
        if not markup.has_parser():
            left_out("html5lib is not installed: no strict parser reads the pages")
        if not markup.validators():
            left_out("an HTML validator (tidy, html-validate or vnu) is not on the path")
        print(f"{len(written)} pages, {seen} drawings, read by: "
              f"{', '.join(['html5lib'] * markup.has_parser() + list(markup.validators()))}")
    return report()


if __name__ == "__main__":
    sys.exit(main())
