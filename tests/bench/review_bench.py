#!/usr/bin/env python3
"""How fast a 50 kHz log of a pulsed weld is reviewed, beside `wc -l` and a sum by `mawk`, one after the other.

usage: review_bench.py PROGRAM [MEGABYTES]
"""
import pathlib
import resource
import shutil
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "review"))
import make_logs


def write_log(path: pathlib.Path, megabytes: int) -> int:
    """One weld of a few seconds over and over, the clock going on."""
    log = make_logs.pulse(weld_s=8)
    pairs = [f",{i:.1f},{u:.2f}\n" for i, u in zip(log.current_A, log.voltage_V)]
    k = 0
    with open(path, "w") as out:
        out.write("time_s,current_A,voltage_V\n")
        while out.tell() < megabytes * 1e6:
            out.write("".join(f"{(k + j) / 50000:.5f}{pair}" for j, pair in enumerate(pairs)))
            k += len(pairs)
    return path.stat().st_size


def seconds(command: list, runs=3) -> float:
    best = float("inf")
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, check=False)
        best = min(best, time.perf_counter() - start)
    return best


def main() -> int:
    program = sys.argv[1]
    megabytes = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "log.csv"
        size = write_log(path, megabytes) / 1e6
        subprocess.run(["cat", str(path)], stdout=subprocess.DEVNULL, check=True)  # into the cache
        times = {"review": seconds([program, "review", str(path)]), "wc -l": seconds(["wc", "-l", str(path)])}
        if shutil.which("mawk"):
            times["mawk sum"] = seconds(["mawk", "-F,", "{ s += $2 * $3 } END { print s }", str(path)])
        for name, s in times.items():
            print(f"{name:10} {size / s:8.0f} MB/s   {s / times['review']:.2f} of review's time")
        print(f"most memory of a child: {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024:.0f} MiB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
