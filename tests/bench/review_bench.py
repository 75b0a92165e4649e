#!/usr/bin/env python3
"""How fast a 50 kHz log of a pulsed weld is reviewed, beside `wc -l` and a sum by `mawk`, one after the other: by the
clock, and by the processor's time, which other work on the machine touches less.

usage: review_bench.py PROGRAM [MEGABYTES]
"""
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "review"))
import make_logs


def write_log(path: pathlib.Path, megabytes: int) -> None:
    """One weld of a few seconds over and over, the clock going on."""
    log = make_logs.pulse(weld_s=8)
    pairs = [f",{i:.1f},{u:.2f}\n" for i, u in zip(log.current_A, log.voltage_V)]
    k = 0
    with open(path, "w") as out:
        out.write("time_s,current_A,voltage_V\n")
        while out.tell() < megabytes * 1e6:
            out.write("".join(f"{(k + j) / 50000:.5f}{pair}" for j, pair in enumerate(pairs)))
            k += len(pairs)


def seconds(command: list, runs=5) -> tuple[float, float]:
    """The best of some runs, by the clock and by the processor."""
    clock = processor = float("inf")
    for _ in range(runs):
        start = time.perf_counter()
        child = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        _, child.returncode, used = os.wait4(child.pid, 0)
        clock = min(clock, time.perf_counter() - start)
        processor = min(processor, used.ru_utime + used.ru_stime)
    return clock, processor


def main() -> int:
    program = sys.argv[1]
    megabytes = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "log.csv"
        # In a process of its own, whose memory the programs measured below do not begin with.
        writer = os.fork()
        if writer == 0:
            write_log(path, megabytes)
            os._exit(0)
        os.waitpid(writer, 0)
        size = path.stat().st_size / 1e6
        subprocess.run(["cat", str(path)], stdout=subprocess.DEVNULL, check=True)  # into the cache
        times = {"review": seconds([program, "review", str(path)]), "wc -l": seconds(["wc", "-l", str(path)])}
        if shutil.which("mawk"):
            times["mawk sum"] = seconds(["mawk", "-F,", "{ s += $2 * $3 } END { print s }", str(path)])
        reviewed = subprocess.Popen([program, "review", str(path)], stdout=subprocess.DEVNULL)
        _, reviewed.returncode, used = os.wait4(reviewed.pid, 0)
        memory = used.ru_maxrss
        for name, (clock, processor) in times.items():
            print(f"{name:10} {size / clock:8.0f} MB/s by the clock, {size / processor:8.0f} by the processor, "
                  f"{processor / times['review'][1]:.2f} of review's time there")
        print(f"most memory of review: {memory / 1024:.0f} MiB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
