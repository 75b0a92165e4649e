#!/usr/bin/env python3
"""What is installed, and the Debian package: files in their places, completion asked in each shell as a user asks it,
the manual page without a warning, the package unpacked into an empty root and run there.

usage: check_install.py BUILD_FOLDER CMAKE CPACK

zsh, fish, mandoc, man, dpkg-deb and the right to change root (root, or unshare) are used where they are here; what is
missing is said and left out. The clean root of debootstrap, which needs a network, is in DEVELOPERS.md.
"""
import os
import pathlib
import pty
import select
import shutil
import subprocess
import sys
import tempfile
import time

from faults import expect, report

BUILD, CMAKE, CPACK = sys.argv[1:4]
PROGRAM = "bin/seamwright"
BASH, ZSH = "share/bash-completion/completions/seamwright", "share/zsh/vendor-completions/_seamwright"
FISH, MANUAL = "share/fish/vendor_completions.d/seamwright.fish", "share/man/man1/seamwright.1"
INSTALLED = [PROGRAM, BASH, ZSH, FISH, "share/seamwright/plan.schema.json", "share/seamwright/check.schema.json",
             "share/seamwright/calibrate.schema.json", "share/seamwright/review.schema.json",
             "share/doc/seamwright/README.md", "share/doc/seamwright/examples/keel-bracket.toml"]
# Typed so far, and what a press of the tab key makes of it.
ASKED = [("seamwright pl", "plan"), ("seamwright plan --eq", "--equipment"), ("seamwright new eq", "equipment"),
         ("seamwright explain joint.toml heat_in", "heat_input"), ("seamwright help un", "units"),
         ("seamwright plan --set joint.thickness2", "joint.thickness2="), ("seamwright completion zs", "zsh")]


def here(tool: str) -> bool:
    if shutil.which(tool):
        return True
    print(f"left out: {tool} is not here")
    return False


def run(*words, **more) -> subprocess.CompletedProcess:
    return subprocess.run([str(w) for w in words], capture_output=True, text=True, timeout=300, **more)


class Terminal:
    """A shell on a terminal of its own."""

    def __init__(self, words: list[str], environment: dict) -> None:
        self.process, self.master = pty.fork()
        if self.process == 0:
            os.execvpe(words[0], words, environment)

    def read_until(self, text: str, seconds: float) -> str:
        shown, end = b"", time.monotonic() + seconds
        while time.monotonic() < end and text.encode() not in shown:
            if select.select([self.master], [], [], 0.1)[0]:
                try:
                    shown += os.read(self.master, 65536)
                except OSError:
                    break
        return shown.decode("utf-8", "replace")

    def type(self, text: str) -> None:
        os.write(self.master, text.encode())

    def close(self) -> None:
        os.close(self.master)
        os.waitpid(self.process, 0)


def check_shell(name: str, words: list[str], setup: str, environment: dict) -> None:
    shell = Terminal(words, environment)
    shell.type(setup + "; echo READ''Y\n")
    expect("READY" in shell.read_until("READY", 20), f"{name} did not come up")
    for typed, wanted in ASKED:
        shell.type(typed + "\t")
        shown = shell.read_until(wanted, 8)
        expect(wanted in shown, f"{name}: tab after '{typed}' gave {shown!r}")
        shell.type("\x15")  # an empty line again
        shell.read_until("\0", 0.3)
    shell.close()


def check_completion(prefix: pathlib.Path) -> None:
    environment = {"PATH": f"{prefix / 'bin'}:{os.environ['PATH']}", "TERM": "dumb", "HOME": str(prefix), "PS1": "$ "}
    if here("bash"):
        check_shell("bash", ["bash", "--norc", "-i"], f"source {prefix / BASH}", environment)
    if here("zsh"):
        check_shell("zsh", ["zsh", "-f", "-i"], f"fpath=({(prefix / ZSH).parent} $fpath); autoload -Uz compinit; "
                    f"compinit -u -d {prefix}/zcompdump", environment)
    if here("fish"):
        for typed, wanted in ASKED:
            asked = run("fish", "--no-config", "-c", f"source {prefix / FISH}; complete -C '{typed}'", env=environment)
            words = [line.split("\t")[0] for line in asked.stdout.splitlines()]
            expect(wanted in words, f"fish: completing '{typed}' gave {words} {asked.stderr}")


def check_manual(prefix: pathlib.Path) -> None:
    page = prefix / MANUAL
    packed = page.with_name(page.name + ".gz")
    expect(page.exists() or packed.exists(), "no manual page")
    if packed.exists():
        import gzip
        page.write_bytes(gzip.decompress(packed.read_bytes()))
    if here("mandoc"):
        found = run("mandoc", "-Tlint", page).stdout
        expect(found == "", f"mandoc: {found[:400]}")
    if here("man") and here("groff"):
        found = run("man", "--warnings", "-E", "UTF-8", "-l", "-Tutf8", "-Z", page, env=os.environ | {"LC_ALL": "C.UTF-8"})
        expect(found.stderr == "", f"man --warnings: {found.stderr[:400]}")


def check_package(folder: pathlib.Path) -> None:
    libraries_asked = 'SHLIBDEPS "ON"' in pathlib.Path(BUILD, "CPackConfig.cmake").read_text()
    if not here("dpkg-deb") or (libraries_asked and not here("dpkg-shlibdeps")):
        return
    made = run(CPACK, "-G", "DEB", "-B", folder, "--config", f"{BUILD}/CPackConfig.cmake", cwd=BUILD)
    packages = list(folder.glob("*.deb"))
    expect(made.returncode == 0 and len(packages) == 1, f"cpack: {made.stdout[-400:]} {made.stderr[-400:]}")
    if len(packages) != 1:
        return
    fields = run("dpkg-deb", "-f", packages[0]).stdout
    for field in ("Package: seamwright", "Version: ", "Architecture: ", "Section: ", "Maintainer: ", "Description: "):
        expect(field in fields, f"the package has no {field}")
    root = folder / "root"
    expect(run("dpkg-deb", "-x", packages[0], root).returncode == 0, "the package cannot be unpacked")
    for file in INSTALLED:
        expect((root / "usr" / file).exists(), f"the package lacks {file}")
    libraries = run("ldd", root / "usr" / PROGRAM)
    static = "not a dynamic executable" in libraries.stdout + libraries.stderr
    expect(static or "Depends: libc6" in fields, "libraries are needed and not declared")
    # Nothing but the package in the root: no library, no file of this machine.
    change_root = ["chroot"] if os.geteuid() == 0 else ["unshare", "-r", "chroot"]
    if not static or run(*change_root, root, "/usr/bin/seamwright", "--version").returncode == 125:
        print("left out: running in an empty root (not static, or no right to change root)")
        return
    (root / "tmp").mkdir()
    for words in (["--version"], ["new", "fillet", "-o", "/tmp/joint.toml"], ["plan", "/tmp/joint.toml"],
                  ["sheet", "/tmp/joint.toml", "-o", "/tmp/joint.html"],
                  ["plan", "/usr/share/doc/seamwright/examples/keel-bracket.toml"]):
        ran = run(*change_root, root, "/usr/bin/seamwright", *words, env={"PATH": os.environ["PATH"]})
        expect(ran.returncode == 0, f"in the empty root, {words}: {ran.returncode} {ran.stderr}")
    expect((root / "tmp/joint.html").exists(), "no sheet in the empty root")


def main() -> int:
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        prefix = folder / "prefix"
        put = run(CMAKE, "--install", BUILD, "--prefix", prefix)
        expect(put.returncode == 0, f"cmake --install: {put.stderr}")
        for file in INSTALLED:
            expect((prefix / file).exists(), f"cmake --install does not put {file}")
        check_completion(prefix)
        check_manual(prefix)
        (folder / "package").mkdir()
        check_package(folder / "package")
    return report()


if __name__ == "__main__":
    sys.exit(main())
