#!/usr/bin/env python3
"""How many bytes the tasks of a job list read together, with line numbers and without, and how long they take.

    shard_bench.py PROGRAM [--gigabytes 10] [--tasks 64] [--folder /tmp]

The rows are wide and their joints few, so that reading is most of the work; a third of them has a cell of two lines. One
task runs after the other; put together they must be the bytes of a single run.
"""
import argparse
import filecmp
import os
import pathlib
import subprocess
import sys
import tempfile
import time

parser = argparse.ArgumentParser()
parser.add_argument("program")
parser.add_argument("--gigabytes", type=float, default=10)
parser.add_argument("--tasks", type=int, default=64)
parser.add_argument("--folder", help="with room for the list")
options = parser.parse_args()
HEADER = "id,joint.type,joint.thickness,joint.leg,joint.position,material.alloy,process.mode,x-note\n"
NOTES = ["n" * 3000, '"' + "n" * 1500 + "\n" + "n" * 1500 + '"', '"a, b"' + " " * 2900]


def write_list(path):
    with open(path, "w") as file:
        file.write(HEADER)
        row = 0
        while file.tell() < options.gigabytes * 1e9:
            file.write("".join(f"J{i},fillet,{3 + i % 7},4,PB,S275,short-arc,{NOTES[i % 3]}\n"
                               for i in range(row, row + 1000)))
            row += 1000


def bytes_read(path, out, *arguments):
    run = subprocess.Popen([options.program, "batch", path, "-q", *arguments], stdout=out)
    os.waitid(os.P_PID, run.pid, os.WEXITED | os.WNOWAIT)  # its counts are there until it is waited for
    read = int(pathlib.Path(f"/proc/{run.pid}/io").read_text().split()[1])
    run.wait()
    return read


with tempfile.TemporaryDirectory(dir=options.folder) as name:
    folder = pathlib.Path(name)
    path, parts, whole = folder / "jobs.csv", folder / "parts", folder / "whole"
    write_list(path)
    size = path.stat().st_size
    print(f"a list of {size / 1e9:.3f} GB, {options.tasks} tasks")
    for columns in ("id,status", "id,line,status"):
        began = time.monotonic()
        with open(parts, "wb") as out:
            read = [bytes_read(path, out, "--columns", columns, "--shard", f"{i}/{options.tasks}")
                    for i in range(1, options.tasks + 1)]
        tasks_end = time.monotonic()
        with open(whole, "wb") as out:
            bytes_read(path, out, "--columns", columns)
        print(f"{columns:<15} {sum(read) / 1e9:8.3f} GB read in all, {sum(read) / size:7.4f} x the list, "
              f"at most {max(read) * options.tasks / size:7.4f} x its share by one task; {tasks_end - began:.0f} s, "
              f"a single run {time.monotonic() - tasks_end:.0f} s")
        if not filecmp.cmp(parts, whole, shallow=False):
            sys.exit("the parts are not the single run")
