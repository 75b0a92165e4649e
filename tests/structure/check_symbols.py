#!/usr/bin/env python3
"""Fails when a library uses a symbol of the program that neither it nor a library below it defines.

    check_symbols.py NM LIBRARY...      lowest first

A linker takes static libraries in any order that works, so that a wrong arrow can go unseen: here it does not.
"""
import subprocess
import sys
from pathlib import Path

OURS = "10seamwright"  # in the mangled names of everything in namespace seamwright


def symbols(nm, library):
    """(defined, used and not defined) of an archive."""
    run = subprocess.run([nm, library], capture_output=True, text=True, check=True)
    defined, undefined = set(), set()
    for line in run.stdout.splitlines():
        fields = line.split()
        if len(fields) < 2 or fields[-1].endswith(":"):
            continue
        (undefined if fields[-2] == "U" else defined).add(fields[-1])
    return defined, undefined - defined


def wrong_arrows(libraries):
    """`libraries`: [(name, defined, undefined)], lowest first."""
    faults = []
    known = set()
    for i, (name, defined, undefined) in enumerate(libraries):
        known |= defined
        for symbol in sorted(undefined - known):
            above = [other for other, theirs, _ in libraries[i + 1:] if symbol in theirs]
            if above or OURS in symbol:
                faults.append((name, symbol, above[0] if above else "none of the libraries"))
    return faults


def check_itself():
    low, high = ("low", {"a"}, {"puts"}), ("high", {"b"}, {"a", "puts"})
    assert wrong_arrows([low, high]) == []
    assert wrong_arrows([high, low]) == [("high", "a", "low")]
    assert wrong_arrows([("low", {"a"}, {"_ZN10seamwright1fEv"}), high]) != []


def plain(symbol):
    """The name as written in the source, where c++filt is there."""
    try:
        return subprocess.run(["c++filt", symbol], capture_output=True, text=True, check=True).stdout.strip()
    except (OSError, subprocess.CalledProcessError):
        return symbol


def main():
    check_itself()
    nm, *paths = sys.argv[1:]
    libraries = [(Path(path).stem, *symbols(nm, path)) for path in paths]
    empty = [name for name, defined, _ in libraries if not any(OURS in symbol for symbol in defined)]
    for name in empty:
        print(f"{name} defines nothing: was it read?")
    faults = wrong_arrows(libraries)
    for name, symbol, owner in faults:
        print(f"{name} uses {plain(symbol)}, defined in {owner}")
    if faults:
        print("from the lowest: " + ", ".join(name for name, _, _ in libraries))
    sys.exit(1 if faults or empty or len(libraries) < 2 else 0)


if __name__ == "__main__":
    main()
