"""What is wrong with pages and drawings, by the rules of HTML and by whatever validators are here.

Always: the rules of content that the elements of our pages fall under (WHATWG, HTML Living Standard, the "content model"
of each), ids that are unique. With html5lib (Debian: python3-html5lib): the standard's parser, which takes every parse
error for one. With a validator on the path, each that is there: tidy (Debian), html-validate (npm), vnu (npm vnu-jar).
"""
import html.parser
import pathlib
import shutil
import subprocess

VALIDATORS = {"tidy": ["-q", "-e", "--gnu-emacs", "yes"], "html-validate": [], "vnu": ["--errors-only"]}
VOID = {"meta", "br", "link", "img", "hr", "col", "wbr", "input"}
PHRASING = {"strong", "em", "b", "i", "small", "span", "sup", "sub", "br", "code", "abbr", "svg", "time", "mark", "img", "a"}
CHILDREN = {"html": {"head", "body"}, "head": {"title", "meta", "style", "link"}, "ul": {"li"}, "ol": {"li"},
            "table": {"caption", "colgroup", "thead", "tbody", "tfoot", "tr"}, "thead": {"tr"}, "tbody": {"tr"},
            "tfoot": {"tr"}, "tr": {"th", "td"}, "dl": {"dt", "dd", "div"}, "title": set(), "style": set()}
CHILDREN |= dict.fromkeys(("p", "h1", "h2", "h3", "h4", *PHRASING - {"svg", "br", "img"}), PHRASING)
WITHOUT_TEXT = {"html", "head", "ul", "ol", "table", "thead", "tbody", "tfoot", "tr", "dl"}


class ContentModel(html.parser.HTMLParser):
    """Faults of a page against CHILDREN, and a caption of a figure that is neither its first nor its last child."""

    def __init__(self):
        super().__init__()
        self.open = []  # [name, children]
        self.faults, self.ids = [], set()

    def fault(self, what):
        self.faults.append(f"line {self.getpos()[0]}: {what}")

    def drawing(self):
        return any(name == "svg" for name, _ in self.open)

    def handle_starttag(self, tag, attrs):
        for key, value in attrs:
            if key == "id" and value in self.ids:
                self.fault(f"id '{value}' twice")
            if key == "id":
                self.ids.add(value)
        if self.drawing():
            if tag not in VOID:
                self.open.append([tag, []])
            return
        if self.open:
            parent, children = self.open[-1]
            children.append(tag)
            if tag not in CHILDREN.get(parent, {tag}):
                self.fault(f"<{tag}> in <{parent}>")
        if tag not in VOID:
            self.open.append([tag, []])

    def handle_startendtag(self, tag, attrs):
        if self.drawing():
            return
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag):
        if not self.open or self.open[-1][0] != tag:
            self.fault(f"</{tag}> does not close what is open")
            return
        _, children = self.open.pop()
        if tag == "figure" and "figcaption" in children[1:-1]:
            self.fault("<figcaption> is neither the first nor the last of its <figure>")

    def handle_data(self, data):
        if data.strip() and self.open and self.open[-1][0] in WITHOUT_TEXT:
            self.fault(f"text in <{self.open[-1][0]}>: {data.strip()[:40]}")


def content_faults(text):
    parser = ContentModel()
    parser.feed(text)
    parser.close()
    return parser.faults + [f"<{name}> stays open" for name, _ in parser.open]


def parse_faults(text):
    """By html5lib; an empty list where it is not here, see has_parser()."""
    if not has_parser():
        return []
    import html5lib
    parser = html5lib.HTMLParser(strict=False)
    parser.parse(text)
    return [f"html5lib: {position}: {code} {more}" for position, code, more in parser.errors]


def has_parser():
    try:
        import html5lib  # noqa: F401
        return True
    except ImportError:
        return False


def validators():
    return {name: path for name in VALIDATORS if (path := shutil.which(name))}


def validator_faults(pages, folder: pathlib.Path):
    """Of all the pages at once, in a folder that may be written to."""
    (folder / ".htmlvalidate.json").write_text('{"root": true, "extends": ["html-validate:standard"]}')
    found = []
    for name, path in validators().items():
        check = subprocess.run([path, *VALIDATORS[name], *map(str, pages)], capture_output=True, cwd=folder, timeout=300)
        if check.returncode != 0:
            found.append(f"{name}: " + (check.stdout + check.stderr).decode("utf-8", "replace")[:600])
    return found
