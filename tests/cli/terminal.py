"""A program on a terminal of its own."""
import fcntl
import os
import pty
import struct
import subprocess
import termios

from faults import left_out

LINES = 24


def is_here() -> bool:
    """Whether this machine has pseudo-terminals; what needs one is left out where it has none, and that is said."""
    try:
        for end in pty.openpty():
            os.close(end)
        return True
    except OSError as error:
        left_out(f"what needs a terminal: no pseudo-terminal ({error.strerror})")
        return False


def shown_by(words, *, streams=("stdout", "stderr"), columns=None, timeout=60, **more) -> bytes:
    """What a program writes to those of its streams that are the terminal; the others go nowhere."""
    master, slave = pty.openpty()
    if columns is not None:
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, columns, 0, 0))
    ends = {name: slave if name in streams else subprocess.DEVNULL for name in ("stdout", "stderr")}
    process = subprocess.Popen([str(word) for word in words], **ends, **more)
    os.close(slave)
    text = b""
    try:
        while piece := os.read(master, 65536):
            text += piece
    except OSError:  # the program has closed its end
        pass
    process.wait(timeout)
    os.close(master)
    return text
