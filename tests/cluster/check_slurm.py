#!/usr/bin/env python3
"""The Slurm array of examples/README.md on one host: munged, slurmctld and slurmd of this test's own, one task killed
and queued again, and the parts put together beside an undisturbed run.

    check_slurm.py PROGRAM examples/README.md [--rows 1000000] [--tasks 64]

Needs slurm-wlm and munge (Debian). Daemons run in the foreground, as whoever runs this, with everything they write in a
folder of their own, and are ended by their ids.
"""
import os
import socket
import subprocess
import sys
import time

from cluster import (Daemons, arguments, catch_task, documented, expect, free_ports, own_folder, put_in, run_test,
                     same_bytes, single_run, tool, with_tasks)

given = arguments(__doc__, tasks=6)
CPUS = 8  # that Slurm is told of, so that two tasks of four run at a time

CONFIGURATION = """\
ClusterName=yard
SlurmctldHost={host}(127.0.0.1)
SlurmUser={user}
SlurmdUser={user}
AuthType=auth/munge
AuthInfo=socket={folder}/munge.socket,cred_expire=5
CredType=cred/munge
SlurmctldPort={ports[0]}
SlurmdPort={ports[1]}
StateSaveLocation={folder}/state
SlurmdSpoolDir={folder}/spool
SlurmctldPidFile={folder}/slurmctld.pid
SlurmdPidFile={folder}/slurmd.pid
SlurmctldLogFile={folder}/slurmctld.log
SlurmdLogFile={folder}/slurmd.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
AccountingStorageType=accounting_storage/none
SwitchType=switch/none
MpiDefault=none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
SlurmdParameters=config_overrides
SchedulerParameters=batch_sched_delay=0,sched_interval=1,sched_min_interval=0
MaxArraySize=10001
KillWait=2
ReturnToService=2
NodeName={host} NodeAddr=127.0.0.1 CPUs={cpus} State=UNKNOWN
PartitionName=slip Nodes={host} Default=YES MaxTime=INFINITE State=UP
"""


def start_cluster(daemons, folder):
    """The environment that the commands of Slurm need."""
    munged, controller, node = (tool(name) for name in ("munged", "slurmctld", "slurmd"))
    for command in ("sbatch", "squeue", "scontrol", "sinfo", "munge"):
        tool(command)
    host = socket.gethostname().split(".")[0]
    (folder / "munge.key").write_bytes(os.urandom(1024))
    (folder / "munge.key").chmod(0o400)
    for name in ("state", "spool"):
        (folder / name).mkdir()
    configuration = folder / "slurm.conf"
    user = subprocess.run(["id", "-un"], capture_output=True, text=True, check=True).stdout.strip()
    configuration.write_text(CONFIGURATION.format(host=host, user=user, folder=folder, ports=free_ports(2), cpus=CPUS))
    environment = {**os.environ, "SLURM_CONF": str(configuration), "LC_ALL": "C",
                   "PATH": f"{folder / 'bin'}:{os.environ['PATH']}"}
    # The folder is its owner's alone, which munged does not think enough under /tmp.
    daemons.start("munged", [munged, "--foreground", "--force", f"--key-file={folder}/munge.key",
                             f"--socket={folder}/munge.socket", f"--pid-file={folder}/munge.pid",
                             f"--log-file={folder}/munged.log", f"--seed-file={folder}/munge.seed"])
    daemons.wait_until(lambda: subprocess.run(["munge", "-n", "-S", folder / "munge.socket"],
                                              capture_output=True).returncode == 0, "munged")
    daemons.start("slurmctld", [controller, "-D", "-f", configuration], environment)
    daemons.start("slurmd", [node, "-D", "-f", configuration], environment)
    daemons.wait_until(lambda: slurm(environment, "sinfo", "-h", "-o", "%t", check=False).startswith("idle"), "slurmd")
    return environment


def slurm(environment, *command, check=True):
    done = subprocess.run(list(map(str, command)), env=environment, capture_output=True, text=True, timeout=60)
    expect(done.returncode == 0 or not check, f"{' '.join(map(str, command))}: {done.stderr.strip()}")
    return done.stdout


def submit(environment, folder):
    """Both jobs as the README has them, but for the number of tasks: that of the array, and that of the last."""
    script = put_in(with_tasks(documented(given.readme, "sbatch"), given.tasks), "1-64", f"1-{given.tasks}")
    done = subprocess.run(["bash", "-ec", script + 'echo "$tasks"'], env=environment, cwd=folder, capture_output=True,
                          text=True, timeout=120)
    expect(done.returncode == 0, f"the documented commands fail: {done.stderr}")
    words = done.stdout.split()  # Submitted batch job LAST TASKS
    return (int(words[-1]), int(words[-2])) if done.returncode == 0 and len(words) > 4 else (None, None)


def test():
    with own_folder(given.program) as folder, Daemons(folder) as daemons:
        environment = start_cluster(daemons, folder)
        single_run(given, folder)
        began = time.monotonic()
        array, last = submit(environment, folder)
        if array is None:
            return
        killed, process = catch_task(folder, given.tasks)  # stopped, so that it cannot end before it is killed
        expect(process is not None, "no task was caught while it ran")
        kept = 0
        if process is not None:
            kept = (folder / f"part.{killed}.csv.part").stat().st_size
            slurm(environment, "scontrol", "requeue", f"{array}_{killed}")
        while slurm(environment, "squeue", "-h", "-o", "%i"):
            if time.monotonic() - began > 600 + given.rows / 500:
                expect(False, f"the jobs do not end: {slurm(environment, 'squeue')}")
                slurm(environment, "scancel", array, last)
                return
            time.sleep(0.2)
        print(f"{given.tasks} tasks, task {killed} killed with {kept} bytes of its part there: "
              f"{time.monotonic() - began:.1f} s")
        line = slurm(environment, "scontrol", "-o", "show", "job", f"{array}_{killed}")
        expect("Restarts=1" in line and "JobState=COMPLETED" in line, f"task {killed} was not queued again: {line}")
        log = "\n".join(path.read_text() for path in folder.glob("slurm-*.out"))
        expect(same_bytes(folder / "settings.csv", folder / "whole.csv"),
               f"the parts are not the single run: {sorted(p.name for p in folder.glob('part.*'))} {log[-500:]}")


sys.exit(run_test(test))
