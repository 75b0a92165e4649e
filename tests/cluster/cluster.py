"""What the tests of several machines on one host have in common: a folder of their own, daemons that end with it, the
commands as examples/README.md has them, and the list."""
import argparse
import contextlib
import ctypes
import os
import pathlib
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time

TESTS = pathlib.Path(__file__).resolve().parents[1]
sys.path.insert(0, str(TESTS / "cli"))
from faults import expect, left_out, report  # noqa: E402, F401

PATIENCE = 60  # seconds for a daemon to answer
PRCTL = ctypes.CDLL(None).prctl
PR_SET_PDEATHSIG, PR_SET_CHILD_SUBREAPER = 1, 36  # prctl(2)


class Unable(Exception):
    """This machine cannot do it, and why."""


def arguments(what, tasks):
    parser = argparse.ArgumentParser(description=what)
    parser.add_argument("program")
    parser.add_argument("readme", help="examples/README.md, whose commands are run")
    parser.add_argument("--rows", type=int, default=12_000, help="of the list")
    parser.add_argument("--tasks", type=int, default=tasks)
    given = parser.parse_args()
    given.program = pathlib.Path(given.program).resolve()
    return given


def tool(name):
    """Its path; daemons are mostly not on that of an ordinary user."""
    path = shutil.which(name, path=os.environ.get("PATH", "") + ":/usr/local/sbin:/usr/sbin:/sbin")
    if path is None:
        raise Unable(f"{name} is not installed")
    return path


def free_ports(count):
    """Ports of the loopback that nobody listens on just now."""
    with contextlib.ExitStack() as stack:
        sockets = [stack.enter_context(socket.socket()) for _ in range(count)]
        for one in sockets:
            one.bind(("127.0.0.1", 0))
        return [one.getsockname()[1] for one in sockets]


class Daemons:
    """Programs in the foreground, ended by their ids in the reverse order. What they leave behind becomes a child of
    this process, and is waited for."""

    def __init__(self, folder):
        self.folder = folder
        self.running = []
        PRCTL(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)

    def __enter__(self):
        return self

    def start(self, name, command, environment=None):
        log = open(self.folder / f"{name}.out", "wb")
        process = subprocess.Popen(list(map(str, command)), stdin=subprocess.DEVNULL, stdout=log, stderr=log,
                                   env=environment, start_new_session=True,
                                   # It ends where this process is killed, too.
                                   preexec_fn=lambda: PRCTL(PR_SET_PDEATHSIG, signal.SIGTERM, 0, 0, 0))
        log.close()
        self.running.append((name, process))

    def wait_until(self, answers, what):
        """True as soon as answers() is; a daemon that has ended, or is silent too long, is a reason to give up."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if answers():
                return
            for name, process in self.running:
                if process.poll() is not None:
                    raise Unable(f"{name} does not run here: {self.last_words(name)}")
            time.sleep(0.05)
        raise Unable(f"{what} does not answer: {' '.join(self.last_words(name) for name, _ in self.running)}")

    def last_words(self, name):
        text = "\n".join(path.read_text(errors="replace") for path in sorted(self.folder.glob(f"{name}.*"))
                         if path.suffix in (".out", ".log"))
        return " / ".join(text.strip().splitlines()[-3:])

    def __exit__(self, *_):
        for _, process in reversed(self.running):
            process.terminate()
            try:
                process.wait(20)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        self.reap()

    @staticmethod
    def reap():
        end, killed = time.monotonic() + 20, False
        with contextlib.suppress(ChildProcessError):  # none is left
            while True:
                if os.waitpid(-1, os.WNOHANG)[0] != 0:
                    continue
                time.sleep(0.02)
                if time.monotonic() < end or killed:
                    continue
                killed = True
                own = pathlib.Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
                expect(False, f"processes left behind: {own}")
                for child in own:
                    os.kill(int(child), signal.SIGKILL)


@contextlib.contextmanager
def own_folder(program):
    """A folder that is gone afterwards, with `seamwright` in its bin; only its owner may look into it."""
    with tempfile.TemporaryDirectory(prefix="yard-", ignore_cleanup_errors=True) as name:
        folder = pathlib.Path(name)
        (folder / "bin").mkdir()
        (folder / "bin" / "seamwright").symlink_to(program)
        yield folder


def write_list(path, rows, sort="distinct"):
    with open(path, "w") as out:
        subprocess.run([sys.executable, TESTS / "bench" / "job_rows.py", str(rows), sort], stdout=out, check=True)


def documented(readme, word):
    """The block `sh elsewhere` that has the word."""
    blocks = pathlib.Path(readme).read_text().split("```sh elsewhere\n")[1:]
    found = [block.split("```")[0] for block in blocks if word in block.split("```")[0]]
    if len(found) != 1:
        sys.exit(f"{readme} has {len(found)} blocks with {word}")
    return found[0]


def put_in(text, old, new):
    """The text with other words in one place or more; the place must be there."""
    expect(old in text, f"the documented command has no '{old}' any more")
    return text.replace(old, new)


def catch_task(folder, count, patience=300):
    """Stops the program of a task of `count` in the midst of its rows: its number, its process. None: all are done."""
    end = time.monotonic() + patience
    while time.monotonic() < end and not (folder / f"part.{count}.csv").exists():
        for part in folder.glob("part.*.csv.part"):
            number = part.name.split(".")[1]
            process = process_of(f"{number}/{count}", folder)
            with contextlib.suppress(OSError):  # it has ended
                if process is None or part.stat().st_size == 0:
                    continue
                os.kill(process, signal.SIGSTOP)
                if part.exists():
                    return int(number), process
                os.kill(process, signal.SIGCONT)
        time.sleep(0.002)
    return None, None


def process_of(shard, folder):
    """The program that answers a part of the list in this folder."""
    for entry in pathlib.Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            words = (entry / "cmdline").read_bytes().split(b"\0")
            if words[1:2] == [b"batch"] and shard.encode() in words and (entry / "cwd").resolve() == folder.resolve():
                return int(entry.name)
    return None


def single_run(given, folder):
    """whole.csv, which everything else is held against."""
    write_list(folder / "jobs.csv", given.rows)
    began = time.monotonic()
    whole = subprocess.run([given.program, "batch", "jobs.csv", "--columns", "default,-line", "-q", "-o", "whole.csv"],
                           cwd=folder)
    expect(whole.returncode in (0, 1, 2), f"the single run ends with {whole.returncode}")
    print(f"{given.rows} rows, {(folder / 'jobs.csv').stat().st_size} bytes: "
          f"a single run takes {time.monotonic() - began:.1f} s")


def with_tasks(script, tasks):
    """A documented array of 64 with another number of tasks."""
    for old in ("/64", ".csv 64)"):
        script = put_in(script, old, old.replace("64", str(tasks)))
    return script


def same_bytes(one, other):
    return subprocess.run(["cmp", str(one), str(other)], capture_output=True).returncode == 0


def run_test(test):
    """The exit code of a test that may be unable."""
    # The test is ended from outside: its daemons are to end with it.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    began = time.monotonic()
    try:
        test()
    except Unable as reason:
        left_out(str(reason))
    print(f"{time.monotonic() - began:.1f} s in all")
    return report()
