#!/usr/bin/env python3
"""The pictures of `plan -o FILE.svg` and `-o FILE.png`: well-formed, self-contained, and both the same drawing: pixels are
looked up where the SVG says that something is. The PNG is taken apart here, by the standard (ISO/IEC 15948).

usage: check_pictures.py PROGRAM EXAMPLES
"""
import json
import os
import pathlib
import re
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree
import zlib

from faults import expect, report

PROGRAM, EXAMPLES = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
SVG = "{http://www.w3.org/2000/svg}"


def plan(folder, *words):
    return subprocess.run([PROGRAM, "plan", *map(str, words)], cwd=folder, capture_output=True, timeout=120)


class Png:
    def __init__(self, data: bytes):
        assert data[:8] == b"\x89PNG\r\n\x1a\n", "no PNG signature"
        at, packed = 8, b""
        while at < len(data):
            length, kind = struct.unpack(">I4s", data[at:at + 8])
            body = data[at + 8:at + 8 + length]
            assert zlib.crc32(kind + body) == struct.unpack(">I", data[at + 8 + length:at + 12 + length])[0], kind
            if kind == b"IHDR":
                self.width, self.height, depth, colour, *_ = struct.unpack(">IIBBBBB", body)
                assert (depth, colour) == (8, 2), "not 24-bit colour"
            packed += body if kind == b"IDAT" else b""
            at += 12 + length
        assert kind == b"IEND"
        self.rows = self.unfilter(zlib.decompress(packed))

    def unfilter(self, raw: bytes) -> list:
        step, size = 3, 3 * self.width
        rows, above = [], bytearray(size)
        for y in range(self.height):
            how, row = raw[y * (size + 1)], bytearray(raw[y * (size + 1) + 1:(y + 1) * (size + 1)])
            if how == 2:  # the same as above, most often
                row = bytearray((r + b) & 255 for r, b in zip(row, above))
            for i in range(size) if how not in (0, 2) else ():
                a, b, c = (row[i - step] if i >= step else 0), above[i], (above[i - step] if i >= step else 0)
                p = a + b - c
                nearest = min((abs(p - a), 0, a), (abs(p - b), 1, b), (abs(p - c), 2, c))[2]
                row[i] = (row[i] + (0, a, b, (a + b) // 2, nearest)[how]) & 255
            rows.append(row)
            above = row
        return rows

    def at(self, x: float, y: float) -> str:
        i = 3 * int(x)
        return "#" + self.rows[int(y)][i:i + 3].hex()


def colours(svg: str) -> dict:
    """The fill of every look, as #rrggbb."""
    found = {}
    for name, value in re.findall(r"svg \.([\w-]+) \{ fill: (#\w+)", svg):
        found[name] = "#" + "".join(2 * c for c in value[1:]) if len(value) == 4 else value
    return found


def inside(polygon: list, x: float, y: float) -> bool:
    odd = False
    for (x0, y0), (x1, y1) in zip(polygon, polygon[1:] + polygon[:1]):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            odd = not odd
    return odd


def points(path) -> list:
    return [tuple(map(float, p.split())) for p in re.findall(r"[ML]([-\d.]+ [-\d.]+)", path.get("d"))]


def texts(root) -> list:
    return [t.text for t in root.iter(SVG + "text")]


def check_same_drawing(folder, name: str, *words) -> None:
    for ending in ("svg", "png"):
        done = plan(folder, *words, "-o", f"drawn.{ending}")
        expect(done.returncode in (0, 1) and not done.stdout, f"{name} {ending}: {done.stderr.decode()[:300]}")
    text = (folder / "drawn.svg").read_text()
    root = ElementTree.fromstring(text)
    expect("var(" not in text and "http" not in text.replace("http://www.w3.org/2000/svg", ""),
           f"{name}: the SVG needs something from outside")
    used = {e.get("class") for e in root.iter() if e.get("class")}
    expect(used <= set(re.findall(r"svg \.([\w-]+) \{", text)), f"{name}: shapes without a look: {used}")
    width, height = float(root.get("width")), float(root.get("height"))
    for e in root.iter(SVG + "text"):
        expect(0 <= float(e.get("x")) <= width and 0 <= float(e.get("y")) <= height, f"{name}: '{e.text}' is outside")
    png, fill = Png((folder / "drawn.png").read_bytes()), colours(text)
    scale = png.width / width
    expect(scale == 3 and abs(png.height - 3 * height) <= 1, f"{name}: {png.width} x {png.height} pixels")
    for dot in root.iter(SVG + "circle"):
        if dot.get("class") == "best":
            at = png.at(scale * float(dot.get("cx")), scale * float(dot.get("cy")))
            expect(at == fill["best"], f"{name}: the dot is {at}")
    # A point in the midst of each plate, bead and window, where nothing is drawn over it.
    covered = looked_at = 0
    for path in root.iter(SVG + "path"):
        if path.get("class") not in ("plate", "weld", "weld-other", "region"):
            continue
        outline = points(path)
        xs, ys = [x for x, _ in outline], [y for _, y in outline]
        grid = [(min(xs) + (max(xs) - min(xs)) * (i + 0.5) / 9, min(ys) + (max(ys) - min(ys)) * (j + 0.5) / 9)
                for i in range(9) for j in range(9)]
        here = [png.at(scale * x, scale * y) == fill[path.get("class")] for x, y in grid if inside(outline, x, y)]
        looked_at += len(here)
        covered += sum(here)
    # The pulse is a thick line: the midst of each of its parts.
    stroke = dict(re.findall(r"svg \.([\w-]+) \{[^}]*stroke: (#\w+)", text))
    for path in root.iter(SVG + "path"):
        if path.get("class") == "wave":
            for (x0, y0), (x1, y1) in zip(points(path), points(path)[1:]):
                looked_at += 1
                covered += png.at(scale * (x0 + x1) / 2, scale * (y0 + y1) / 2) == stroke["wave"]
    # Letters, lines and, over a plate, the bead itself cover some.
    expect(looked_at > 0 and covered >= 0.6 * looked_at, f"{name}: {covered} of {looked_at} places are filled")
    outer = [png.at(1, 1), png.at(png.width - 2, png.height - 2)]
    expect(outer == [fill["tag"]] * 2, f"{name}: the ground is {outer}")


def main() -> int:
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        check_same_drawing(folder, "fillet", EXAMPLES / "keel-bracket.toml")
        check_same_drawing(folder, "one of many passes", EXAMPLES / "cradle-beam.toml", "--pass", "2", "--picture", "window")
        check_same_drawing(folder, "double pulse", EXAMPLES / "hull-seam.toml", "--units", "us", "--picture", "pulse")

        keel = EXAMPLES / "keel-bracket.toml"
        answer = json.loads(plan(folder, keel, "--format", "json").stdout)
        pulse = ElementTree.fromstring(plan(folder, keel, "--picture", "pulse", "--format", "svg").stdout)
        peak = answer["passes"][0]["peak_current"]["value"]
        expect(any(t.startswith(f"peak {peak:.0f} A") for t in texts(pulse)), f"pulse: {texts(pulse)}")
        expect("Window" not in texts(pulse) and "Pulse" in texts(pulse), f"pulse alone: {texts(pulse)}")
        window = texts(ElementTree.fromstring(plan(folder, keel, "--picture", "window", "--format", "svg").stdout))
        expect("Window" in window and "Pulse" not in window and "wire feed, m/min" in window, f"window: {window}")
        section = plan(folder, keel, "--picture", "section", "--format", "svg").stdout.decode()
        expect('class="plate"' in section and 'class="region"' not in section, "section alone")
        # The window's letters are told.
        marks = [t for t in window if re.fullmatch("[A-Z]", t)]
        expect(marks and all(any(f"{m}: " in t for t in window) for m in marks), f"letters of the window: {window}")

        # One pass of several, and all of them.
        beam = EXAMPLES / "cradle-beam.toml"
        every = texts(ElementTree.fromstring(plan(folder, beam, "--format", "svg").stdout))
        one = texts(ElementTree.fromstring(plan(folder, beam, "--pass", "2", "--format", "svg").stdout))
        expect([t for t in every if t.startswith("Window")] == ["Window, pass 1", "Window, pass 2", "Window, pass 3"],
               f"all passes: {every}")
        expect([t for t in one if t.startswith("Window")] == ["Window, pass 2"], f"pass 2: {one}")

        # The same bytes every time; a name in capitals; no window is drawn too, with exit code 1.
        first = plan(folder, keel, "--format", "png").stdout
        expect(first == plan(folder, keel, "--format", "png").stdout, "the PNG differs from run to run")
        expect(plan(folder, keel, "-o", "KEEL.PNG").returncode == 0 and (folder / "KEEL.PNG").read_bytes() == first,
               "KEEL.PNG")
        narrow = plan(folder, EXAMPLES / "hull-seam.toml", "--set", "joint.gap=6", "-o", "none.svg")
        expect(narrow.returncode == 1 and "No window" in (folder / "none.svg").read_text(),
               f"no window: {narrow.returncode} {narrow.stderr.decode()}")
        kept = plan(folder, keel, "-o", "locked.svg", "--write-lock", "lock.toml")
        expect(kept.returncode == 0 and (folder / "lock.toml").exists(), "a picture beside a lock file")
    return report()


if __name__ == "__main__":
    sys.exit(main())
