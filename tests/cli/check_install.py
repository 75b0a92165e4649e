#!/usr/bin/env python3
"""What is installed, and the Debian package: files in their places, completion asked in each shell as a user asks it,
the manual page without a warning, the package unpacked into an empty root and run there.

usage: check_install.py BUILD_FOLDER CMAKE CPACK

zsh, fish, mandoc, man, dpkg-deb and the right to change root (root, or unshare) are used where they are here; what is
missing is said and left out, and the test counts as skipped (77). The clean root of debootstrap, which needs a network, is in DEVELOPERS.md.
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

import terminal
from faults import expect, left_out, report

BUILD, CMAKE, CPACK = sys.argv[1:4]
PROGRAM = "bin/seamwright"
BASH, ZSH = "share/bash-completion/completions/seamwright", "share/zsh/site-functions/_seamwright"
ZSH_OF_DEBIAN = "share/zsh/vendor-completions/_seamwright"
FISH, MANUAL = "share/fish/vendor_completions.d/seamwright.fish", "share/man/man1/seamwright.1"
# Parts, which are Debian packages of their own: what stands in each.
NOTICES = "third-party-notices.txt"
PARTS = {
    "seamwright": [PROGRAM, f"share/doc/seamwright/{NOTICES}", BASH, FISH, "share/seamwright/plan.schema.json", "share/seamwright/check.schema.json",
                   "share/seamwright/calibrate.schema.json", "share/seamwright/review.schema.json"],
    "libseamwright-dev": ["lib/libseamwright.a", "include/seamwright/planner.hpp", "lib/pkgconfig/seamwright.pc",
                          "lib/cmake/seamwright/seamwrightConfig.cmake",
                          "lib/cmake/seamwright/seamwrightConfigVersion.cmake", f"share/doc/libseamwright-dev/{NOTICES}"],
    "seamwright-doc": ["share/doc/seamwright/README.md", "share/doc/seamwright/examples/keel-bracket.toml"],
}
INSTALLED = [file for files in PARTS.values() for file in files]
# Typed so far, and what a press of the tab key makes of it.
ASKED = [("seamwright pl", "plan"), ("seamwright plan --eq", "--equipment"), ("seamwright new eq", "equipment"),
         ("seamwright explain joint.toml heat_in", "heat_input"), ("seamwright help un", "units"),
         ("seamwright plan --set joint.thickness2", "joint.thickness2="), ("seamwright completion zs", "zsh")]


def here(tool: str) -> bool:
    if shutil.which(tool):
        return True
    left_out(f"{tool} is not here")
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


# Debian packages whose code is in a part, by what links it or includes it.
IN_LIBRARY = ["libfmt-dev", "libtomlplusplus-dev", "nlohmann-json3-dev", "libboost-dev", "libeigen3-dev", "libkissfft-dev"]
IN_PROGRAM = [*IN_LIBRARY, "libcli11-dev", "zlib1g-dev", "libpng-dev", "libagg-dev"]


def check_notices(prefix: pathlib.Path) -> None:
    """The copyright file of every package whose code is inside stands there whole."""
    program = run("ldd", prefix / PROGRAM)
    static = "not a dynamic executable" in program.stdout + program.stderr
    for part, packages in (("libseamwright-dev", IN_LIBRARY),
                           ("seamwright", IN_PROGRAM + (["libc6-dev", "gcc-12-base"] if static else []))):
        text = (prefix / "share/doc" / part / NOTICES).read_text(encoding="utf-8", errors="replace")
        for package in packages:
            own = pathlib.Path("/usr/share/doc", package, "copyright")
            if not own.exists():
                left_out(f"{package} has no copyright file here")
            else:
                expect(own.read_text(encoding="utf-8", errors="replace") in text, f"{part}: the notice of {package}")
        expect(str(pathlib.Path(BUILD).resolve()) not in text, f"{part}: the notices name this machine")


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


def check_completion(prefix: pathlib.Path, said: str) -> None:
    """`said`: what the installation printed. Its one line for zsh is all that a user does."""
    environment = {"PATH": f"{prefix / 'bin'}:{os.environ['PATH']}", "TERM": "dumb", "HOME": str(prefix), "PS1": "$ "}
    told = [line.strip() for line in said.splitlines() if line.strip().startswith("fpath=")]
    expect(told == [f"fpath=({(prefix / ZSH).parent} $fpath)"], f"what to do for zsh: {told}")
    on_terminals = terminal.is_here()
    if on_terminals and here("bash"):
        check_shell("bash", ["bash", "--norc", "-i"], f"source {prefix / BASH}", environment)
    if on_terminals and here("zsh"):
        (prefix / ".zshrc").write_text("\n".join([*told, "autoload -Uz compinit", "compinit -u"]) + "\n")
        check_shell("zsh", ["zsh", "-d", "-i"], "unsetopt global_rcs", environment)
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
    packages = {package.name.split("_")[0]: package for package in folder.glob("*.deb")}
    expect(made.returncode == 0 and set(packages) == set(PARTS), f"cpack: {made.stdout[-400:]} {made.stderr[-400:]}")
    if set(packages) != set(PARTS):
        return
    root, seen, fields = folder / "root", set(), {}
    for name, package in packages.items():
        fields[name] = run("dpkg-deb", "-f", package).stdout
        for field in (f"Package: {name}\n", "Version: ", "Architecture: ", "Section: ", "Maintainer: ", "Description: "):
            expect(field in fields[name], f"the package {name} has no {field}")
        listed = {line.split()[-1] for line in run("dpkg-deb", "-c", package).stdout.splitlines()
                  if not line.startswith("d")}
        for file in PARTS[name] + ([ZSH_OF_DEBIAN] if name == "seamwright" else []):
            expect(f"./usr/{file}" in listed, f"the package {name} lacks {file}")
        expect(not seen & listed, f"{name} has files of another package: {seen & listed}")
        seen |= listed
        expect(run("dpkg-deb", "-x", package, root).returncode == 0, f"the package {name} cannot be unpacked")
    expect("Architecture: all" in fields["seamwright-doc"], "the documentation is of one architecture")
    libraries = run("ldd", root / "usr" / PROGRAM)
    static = "not a dynamic executable" in libraries.stdout + libraries.stderr
    expect(static or "Depends: libc6" in fields["seamwright"], "libraries are needed and not declared")
    # Nothing but the package in the root: no library, no file of this machine.
    change_root = ["chroot"] if os.geteuid() == 0 else ["unshare", "-r", "chroot"]
    if not static or run(*change_root, root, "/usr/bin/seamwright", "--version").returncode == 125:
        left_out("running in an empty root (not static, or no right to change root)")
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
        for file in [*INSTALLED, ZSH]:
            expect((prefix / file).exists(), f"cmake --install does not put {file}")
        check_completion(prefix, put.stdout + put.stderr)
        check_notices(prefix)
        check_manual(prefix)
        (folder / "package").mkdir()
        check_package(folder / "package")
    return report()


if __name__ == "__main__":
    sys.exit(main())
