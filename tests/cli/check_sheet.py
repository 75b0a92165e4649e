#!/usr/bin/env python3
"""The printed sheet of every example: whole, self-contained, valid, on one A4 and one Letter page, nothing cut off.

usage: check_sheet.py PROGRAM EXAMPLES_FOLDER

Always: well formed, nothing fetched from anywhere, no script, every constraint line named.
With chromium on the path: pages when printed, and no overflow at the width of A4.
With html-validate on the path (npm install html-validate): its standard rules.
What is missing is said and left out; without chromium and html-validate both the test counts as skipped (77).
"""
import html.parser
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

SKIPPED = 77
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
    for shape in ("<svg", "Window", "Expect", "Prepared by", "Cautions", "Where it comes from"):
        if shape not in text:
            found.append(f"no {shape}")
    return found


def chromium(program: str, *arguments: str) -> str:
    with tempfile.TemporaryDirectory() as profile:
        run = subprocess.run([program, *CHROMIUM, f"--user-data-dir={profile}", *arguments], capture_output=True,
                             timeout=120)
        return run.stdout.decode("utf-8", "replace")


def printed_pages(program: str, folder: pathlib.Path, text: str, rule: str) -> int:
    page, pdf = folder / "page.html", folder / "page.pdf"
    page.write_text(text.replace("@page { ", "@page { " + rule + " "), encoding="utf-8")
    chromium(program, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    return len(re.findall(rb"/Type\s*/Page[^s]", pdf.read_bytes()))


def widest(program: str, folder: pathlib.Path, text: str, width: int) -> int:
    """Width, px, the page needs in a window of `width`; measured by a script that only the test adds."""
    page = folder / "measured.html"
    script = "<script>document.title = document.documentElement.scrollWidth;</script></body>"
    page.write_text(text.replace("</body>", script), encoding="utf-8")
    dom = chromium(program, f"--window-size={width},1200", "--dump-dom", page.as_uri())
    return int(re.search(r"<title>(\d+)", dom).group(1))


def main() -> int:
    program, examples = sys.argv[1], pathlib.Path(sys.argv[2])
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    validator = shutil.which("html-validate")
    machine = examples / "slipway-350.toml"
    faults = 0
    sheets = 0
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        for joint in sorted(examples.glob("*.toml")):
            if "[joint]" not in joint.read_text(encoding="utf-8") or "[every]" in joint.read_text(encoding="utf-8"):
                continue
            sheet = folder / f"{joint.stem}.html"
            run = subprocess.run([program, "sheet", str(joint), "--equipment", str(machine), "-o", str(sheet)],
                                 capture_output=True, timeout=60)
            if run.returncode == 2:
                continue  # a procedure or a job list
            sheets += 1
            text = sheet.read_text(encoding="utf-8")
            found = static_faults(text)
            if browser:
                for paper, rule in PAGES.items():
                    pages = printed_pages(browser, folder, text, rule)
                    if pages != 1:
                        found.append(f"takes {pages} {paper} pages")
                if (needed := widest(browser, folder, text, 794)) > 794:
                    found.append(f"needs {needed} px at the width of A4, 794")
            if validator:
                (folder / ".htmlvalidate.json").write_text('{"root": true, "extends": ["html-validate:standard"]}')
                check = subprocess.run([validator, str(sheet)], capture_output=True, cwd=folder, timeout=60)
                if check.returncode != 0:
                    found.append("html-validate: " + check.stdout.decode()[:600])
            for fault in found:
                print(f"{joint.name}: {fault}")
            faults += len(found)
    for tool, path in (("chromium", browser), ("html-validate", validator)):
        if path is None:
            print(f"left out: {tool} is not on the path")
    print(f"{sheets} sheets, {faults} faults")
    if faults or not sheets:
        return 1
    return 0 if browser or validator else SKIPPED


if __name__ == "__main__":
    sys.exit(main())
