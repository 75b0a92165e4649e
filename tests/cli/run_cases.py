#!/usr/bin/env python3
"""Runs the program over cases.toml: a command line, its files, and what must come of it.

usage: run_cases.py PROGRAM [NAME ...]      only the named cases

A case:
  name        unique
  args        words after the program; {dir} stands for the folder the case runs in
  files       name = text, written there first; joint.toml is the base joint unless the case gives its own
  append      text added to the base joint
  hex         name = bytes as hexadecimal digits
  sparse      name = size in bytes, all zero
  stdin       text on standard input
  exit        exit code
  stderr      texts that must be there (case counts)
  stdout      texts that must be there
  errors      number of "error:" lines on standard error; 1 when exit is 2 or 3 and nothing else is said
  help        false: no next step is owed
  absent      file that must not be there afterwards
  present     file that must be there afterwards
"""
import os
import pathlib
import subprocess
import sys
import tempfile
import time
import tomllib

HERE = pathlib.Path(__file__).parent
# No library's own words, no pointers, no C++ names may reach a user.
LEAKS = ["CLI::", "toml::", "nlohmann", "std::", "what()", "terminate", "exception", "Sanitizer", "runtime error",
         "assert", "TIMEOUT:", "ArgumentMismatch", "RequiredError", "\x1b"]
SECONDS = float(os.environ.get("SEAMWRIGHT_CASE_SECONDS", "5"))  # more for a build with sanitizers


def prepare(folder: pathlib.Path, case: dict, base: str) -> None:
    files = {"joint.toml": base + case.get("append", "")} | case.get("files", {})
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    for name, digits in case.get("hex", {}).items():
        (folder / name).write_bytes(bytes.fromhex(digits))
    for name, size in case.get("sparse", {}).items():
        with open(folder / name, "wb") as file:
            file.truncate(size)
    (folder / "folder").mkdir()
    protected = folder / "protected.txt"
    protected.write_text("keep\n")
    protected.chmod(0o444)


def faults(case: dict, folder: pathlib.Path, run: subprocess.CompletedProcess, seconds: float) -> list[str]:
    out, err = run.stdout.decode("utf-8", "strict"), run.stderr.decode("utf-8", "strict")
    found = []
    if run.returncode != case["exit"]:
        found.append(f"exit code {run.returncode}, expected {case['exit']}")
    refused = case["exit"] in (2, 3)
    if refused and out:
        found.append(f"standard output should be empty, has {len(out)} letters")
    errors = sum("error: " in line for line in err.splitlines())
    expected = case.get("errors", 1 if refused else 0)
    if errors != expected:
        found.append(f"{errors} error lines, expected {expected}")
    if refused and case.get("help", True) and "help: " not in err:
        found.append("no next step is named")
    for stream, text, wanted in (("stderr", err, case.get("stderr", [])), ("stdout", out, case.get("stdout", []))):
        found += [f"{stream} lacks {w!r}" for w in wanted if w not in text]
    found += [f"stderr leaks {word!r}" for word in LEAKS if word in err]
    if any(len(line) > 400 for line in err.splitlines()):
        found.append("a message line is longer than 400 letters")
    if seconds > SECONDS:
        found.append(f"took {seconds:.1f} s")
    if (name := case.get("absent")) and (folder / name).exists():
        found.append(f"{name} was left behind")
    if (name := case.get("present")) and not (folder / name).exists():
        found.append(f"{name} was not written")
    left = [p.name for p in folder.iterdir() if "." in p.name and len(p.suffix) == 7]
    if left:
        found.append(f"unfinished files left behind: {left}")
    return found


def main() -> int:
    program = os.path.abspath(sys.argv[1])
    document = tomllib.loads((HERE / "cases.toml").read_text(encoding="utf-8"))
    names = [c["name"] for c in document["case"]]
    if len(set(names)) != len(names):
        sys.exit("two cases have one name")
    cases = [c for c in document["case"] if not sys.argv[2:] or c["name"] in sys.argv[2:]]
    environment = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "COLUMNS")} | {"TERM": "xterm"}
    failed = 0
    for case in cases:
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            prepare(folder, case, document["base"])
            words = [word.replace("{dir}", name) for word in case["args"]]
            start = time.monotonic()
            try:
                run = subprocess.run([program, *words], cwd=folder, env=environment, capture_output=True, timeout=60,
                                     input=case.get("stdin", "").encode())
                found = faults(case, folder, run, time.monotonic() - start)
            except subprocess.TimeoutExpired:
                run, found = None, ["did not end within 60 s"]
            except UnicodeDecodeError as problem:
                found = [f"output is not UTF-8: {problem}"]
        if found:
            failed += 1
            print(f"FAILED {case['name']}: seamwright {' '.join(words)}")
            for text in found:
                print(f"    {text}")
            if run is not None:
                print("    stderr: " + run.stderr.decode("utf-8", "replace").strip().replace("\n", "\n            "))
    print(f"{len(cases) - failed} of {len(cases)} cases passed")
    return 1 if failed or not cases else 0


if __name__ == "__main__":
    sys.exit(main())
