"""Faults found by a black-box test, and what of it was left out: collected as it goes, printed and counted at its end."""

import importlib.util
import os
import subprocess
import sys

SKIPPED = 77  # CTest then lists the test as skipped: what it tried held, and it did not try everything

found: list[str] = []
left: list[str] = []


def expect(condition: bool, what: str) -> None:
    if not condition:
        found.append(what)


def left_out(what: str) -> None:
    """Something this machine cannot do; said once."""
    if what not in left:
        left.append(what)
        print(f"left out: {what}")


def take_python_with(module: str) -> bool:
    """Goes on in Debian's own Python, which its python3-* packages are for, where only that has the module."""
    if importlib.util.find_spec(module) is not None:
        return True
    system = "/usr/bin/python3"
    if os.path.realpath(sys.executable) != os.path.realpath(system) and os.path.exists(system) and subprocess.run(
            [system, "-c", f"import {module}"], capture_output=True).returncode == 0:
        os.execv(system, [system, *sys.argv])
    return False


def end_code(faults: int) -> int:
    return 1 if faults else SKIPPED if left else 0


def report() -> int:
    """The exit code."""
    for fault in found:
        print(fault)
    print(f"{len(found)} faults")
    return end_code(len(found))
