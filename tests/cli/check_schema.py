#!/usr/bin/env python3
"""Every example's JSON, and a sweep's NDJSON, against data/plan.schema.json; check, assess and compare against theirs
(Debian package python3-jsonschema).

usage: check_schema.py PROGRAM SCHEMA EXAMPLES
Ends with 77 (skipped) when there is no jsonschema module.
"""
import json
import math
import pathlib
import subprocess
import sys

try:
    from jsonschema import Draft202012Validator
except ImportError:
    print("left out: python3-jsonschema is not installed")
    sys.exit(77)


def refuse_constant(name: str) -> float:
    raise ValueError(f"{name} is not JSON")


def parse(text: str) -> dict:
    return json.loads(text, parse_constant=refuse_constant)


def numbers(value, path="$"):
    if isinstance(value, bool):
        return
    if isinstance(value, (int, float)):
        yield path, value
    for key, item in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from numbers(item, f"{path}.{key}")


def faults(validator: Draft202012Validator, text: str) -> list[str]:
    document = parse(text)
    found = []
    for error in validator.iter_errors(document):
        # The alternative that fits best tells more than "fits none".
        best = max(error.context, key=lambda e: len(e.absolute_path), default=error)
        found.append(f"{best.json_path}: {best.message[:200]}")
    for path, number in numbers(document):
        if not math.isfinite(number) or (number == 0 and math.copysign(1, number) < 0):
            found.append(f"{path}: {number}")
    for i, step in enumerate(document.get("passes", [])):
        for key, q in step.items():
            if isinstance(q, dict) and "plus_minus" in q and not q["low"] <= q["value"] <= q["high"]:
                found.append(f"pass {i + 1} {key}: not low <= value <= high: {q}")
    return found


def main() -> int:
    program, schema, examples = sys.argv[1:4]
    validator = Draft202012Validator(json.loads(pathlib.Path(schema).read_text()))
    Draft202012Validator.check_schema(validator.schema)
    failed = checked = 0

    def schema_of(command: str) -> Draft202012Validator:
        beside = json.loads(pathlib.Path(schema).with_name(f"{command}.schema.json").read_text())
        Draft202012Validator.check_schema(beside)
        return Draft202012Validator(beside)

    check_schema, assess_schema, compare_schema = (schema_of(command) for command in ("check", "assess", "compare"))

    def check(name: str, *words: str, codes=(0, 1), command="plan", against=validator) -> None:
        nonlocal failed, checked
        run = subprocess.run([program, command, *words], capture_output=True, text=True, timeout=300)
        found = [] if run.returncode in codes else [f"exit code {run.returncode}: {run.stderr}"]
        lines = run.stdout.splitlines() if "ndjson" in words else [run.stdout]
        for line in lines if not found else []:
            found += faults(against, line)
        checked += 1
        failed += bool(found)
        for text in found[:5]:
            print(f"FAILED {name}: {text}")

    files = [(p, p.read_text()) for p in sorted(pathlib.Path(examples).glob("*.toml"))]
    procedures = [p for p, text in files if "[every]" in text]
    joints = [p for p, text in files if "[joint]" in text and p not in procedures]
    machines = [p for p in sorted(pathlib.Path(examples).glob("*.toml")) if "[source]" in p.read_text()]
    for joint in joints:
        for units in ("metric", "us"):
            check(f"{joint.name} {units}", str(joint), "--format", "json", "--units", units)
        for machine in machines:
            check(f"{joint.name} on {machine.name}", str(joint), "--format", "json", "--equipment", str(machine))
    pieces = [p for p, text in files if text.lstrip("#").find("\nstandard = ") >= 0]
    for joint in joints:
        for option, papers in (("--procedure", procedures), ("--test-piece", pieces)):
            for paper in papers:
                check(f"{joint.name} against {paper.name}", str(joint), option, str(paper), "--format", "json",
                      command="check", against=check_schema)
    if not procedures or not pieces:
        failed += 1
        print("FAILED: no procedure or test piece among the examples")
    for joint in joints:
        setting = ["--feed", "7", "--travel", "6.5"]
        check(f"{joint.name} assessed", str(joint), *setting, "--current", "140", "--format", "json", command="assess",
              against=assess_schema)
        check(f"{joint.name} assessed us", str(joint), *setting, "--voltage", "24", "--units", "us", "--format", "ndjson",
              "--equipment", str(machines[0]), command="assess", against=assess_schema)
        check(f"{joint.name} compared", str(joint), str(joints[0]), "--format", "json", command="compare",
              against=compare_schema)
    for joint in ("cradle-beam", "deck-beam-overhead"):
        check(f"{joint} planned with a procedure", str(pathlib.Path(examples) / f"{joint}.toml"), "--procedure",
              str(pathlib.Path(examples) / "cradle-procedure.toml"), "--format", "json")
    fillet = ["--set", "joint.type=fillet", "--set", "material.alloy=S355"]
    # The first points are refused (thinner than the key allows): their lines hold errors.
    check("sweep", *fillet, "--vary", "joint.thickness=0.2:8:1.3", "--format", "ndjson")
    check("no window", *fillet, "--set", "joint.thickness=6", "--set", "limits.heat_input=..0.01", "--format", "json")
    print(f"{checked - failed} of {checked} documents fit")
    return 1 if failed or len(joints) == 0 else 0


if __name__ == "__main__":
    sys.exit(main())
