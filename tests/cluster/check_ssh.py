#!/usr/bin/env python3
"""GNU parallel over two hosts, as examples/README.md has it: two sshd of this test's own on the loopback.

    check_ssh.py PROGRAM examples/README.md [--rows 1000000]

Blocks of the list go over a pipe to both hosts, where a host that loses one is told; and both take parts of the file in
a folder they share, with one task killed and tried again. All is held against an undisturbed run.

Needs parallel and openssh-server (Debian). The daemons run in the foreground, as whoever runs this, with host keys,
ports and everything they write in a folder of their own, and are ended by their ids.
"""
import contextlib
import getpass
import os
import signal
import subprocess
import sys
import time

from cluster import (Daemons, Unable, arguments, catch_task, documented, expect, free_ports, own_folder, put_in,
                     run_test, same_bytes, single_run, tool, with_tasks)

given = arguments(__doc__, tasks=8)
HOSTS = ("yard1", "yard2")

SERVER = """\
ListenAddress 127.0.0.1
Port {port}
HostKey {folder}/{host}.key
PidFile {folder}/{host}.pid
AuthorizedKeysFile {folder}/own.key.pub
StrictModes no
UsePAM no
PasswordAuthentication no
KbdInteractiveAuthentication no
PermitRootLogin prohibit-password
MaxStartups 100
SetEnv PATH={folder}/{host}.bin:{path} SEAMWRIGHT_HOST={host}
"""
CLIENT = """\
Host {host}
  HostName 127.0.0.1
  HostKeyAlias {host}
  Port {port}
"""
CLIENT_OF_ALL = """\
Host *
  User {user}
  IdentityFile {folder}/own.key
  IdentitiesOnly yes
  UserKnownHostsFile {folder}/known
  GlobalKnownHostsFile /dev/null
  StrictHostKeyChecking yes
  BatchMode yes
  LogLevel ERROR
"""
# A host notes who answered there.
PROGRAM_OF_HOST = """\
#!/bin/sh
echo $$ >> '{folder}/{host}.answered'
exec '{program}' "$@"
"""
# sshd of root wants /run/sshd, which is not of this test: it gets a /run of its own.
OWN_RUN = ["unshare", "-m", "sh", "-c", 'mount -t tmpfs yard /run && mkdir -m 755 /run/sshd && exec "$0" "$@"']


def start_hosts(daemons, folder):
    server, keygen = tool("sshd"), tool("ssh-keygen")
    for name in ("ssh", "parallel"):
        tool(name)
    own_run = []
    if os.geteuid() == 0 and not os.path.isdir("/run/sshd"):
        own_run = [tool("unshare"), *OWN_RUN[1:]]
        tried = subprocess.run([*own_run, "true"], capture_output=True, text=True)
        if tried.returncode != 0:
            raise Unable(f"there is no /run/sshd, and root gets no /run of its own: {tried.stderr.strip()}")
    ports = dict(zip(HOSTS, free_ports(len(HOSTS))))
    known, client = "", ""
    for name in ("own", *HOSTS):
        subprocess.run([keygen, "-q", "-t", "ed25519", "-N", "", "-C", name, "-f", folder / f"{name}.key"], check=True)
    for host, port in ports.items():
        known += f"{host} {(folder / f'{host}.key.pub').read_text()}"
        client += CLIENT.format(host=host, port=port)
        (folder / f"{host}.conf").write_text(SERVER.format(host=host, port=port, folder=folder, path=os.environ["PATH"]))
        own = folder / f"{host}.bin"
        own.mkdir()
        (own / "seamwright").write_text(PROGRAM_OF_HOST.format(folder=folder, host=host, program=given.program))
        (own / "seamwright").chmod(0o755)
    (folder / "known").write_text(known)
    (folder / "client").write_text(client + CLIENT_OF_ALL.format(user=getpass.getuser(), folder=folder))
    ssh = f"ssh -F {folder}/client"
    for host in HOSTS:
        daemons.start(host, [*own_run, server, "-D", "-e", "-f", folder / f"{host}.conf"])
    for host in HOSTS:
        daemons.wait_until(lambda: subprocess.run([*ssh.split(), host, 'test "$SEAMWRIGHT_HOST" = ' + host],
                                                  capture_output=True).returncode == 0, host)
    return ssh


def start(script, folder):
    home = folder / "parallel"  # where GNU parallel keeps its own
    home.mkdir(exist_ok=True)
    for host in HOSTS:
        (folder / f"{host}.answered").write_text("")
    environment = {**os.environ, "PARALLEL_HOME": str(home), "PATH": f"{folder / 'bin'}:{os.environ['PATH']}"}
    return subprocess.Popen(["bash", "-ec", script], cwd=folder, env=environment, stderr=subprocess.PIPE, text=True)


def end_of(run, what, began, folder):
    told = run.communicate(timeout=3600)[1]
    expect(run.returncode == 0, f"{what}: the documented commands fail: {told[-500:]}")
    expect(same_bytes(folder / "settings.csv", folder / "whole.csv"), f"{what}: not the single run: {told[-500:]}")
    shares = [len((folder / f"{host}.answered").read_text().split()) for host in HOSTS]
    expect(all(shares), f"{what}: the hosts answered {shares} times")
    print(f"{what}, {' and '.join(map(str, shares))} of them: {time.monotonic() - began:.1f} s")
    (folder / "settings.csv").unlink()


def kill_first(folder):
    """Kills the first program that a host starts. False: it had ended."""
    note, end = folder / f"{HOSTS[0]}.answered", time.monotonic() + 60
    while time.monotonic() < end:
        if text := note.read_text().split("\n")[0]:
            with contextlib.suppress(OSError):
                os.kill(int(text), signal.SIGKILL)
                return True
            return False
        time.sleep(0.001)
    return False


def test():
    with own_folder(given.program) as folder, Daemons(folder) as daemons:
        ssh = start_hosts(daemons, folder)
        single_run(given, folder)
        hosts = ",".join(f"2/{host}" for host in HOSTS)
        block = max((folder / "jobs.csv").stat().st_size // given.tasks, 10_000)
        script = put_in(documented(given.readme, "parallel --pipe"), "4M", str(block))
        script = put_in(script, "parallel --pipe", f"parallel --ssh '{ssh}' --sshlogin {hosts} --pipe")
        began = time.monotonic()
        end_of(start(script, folder), "blocks over two hosts", began, folder)
        run = start(script, folder)
        killed = kill_first(folder)
        run.communicate(timeout=3600)
        expect(killed and run.returncode != 0, f"a lost block ends with {run.returncode} (killed: {killed})")

        script = with_tasks(documented(given.readme, "--sshlogin host1"), given.tasks)
        script = put_in(script, "$(seq 64)", f"$(seq {given.tasks})")
        script = put_in(script, "--sshlogin host1,host2", f"--ssh '{ssh}' --sshlogin {hosts}")
        began = time.monotonic()
        run = start(script, folder)
        number, process = catch_task(folder, given.tasks)
        expect(process is not None, "no task was caught while it ran")
        if process is not None:
            os.kill(process, signal.SIGKILL)
        end_of(run, f"parts over two hosts, task {number} killed and tried again", began, folder)


sys.exit(run_test(test))
