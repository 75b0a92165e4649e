"""Faults found by a black-box test, and what of it was left out: collected as it goes, printed and counted at its end."""

SKIPPED = 77  # CTest then lists the test as skipped: what it tried held, and it did not try everything

found: list[str] = []
left: list[str] = []


def expect(condition: bool, what: str) -> None:
    if not condition:
        found.append(what)


def left_out(what: str) -> None:
    """Something this machine cannot do; said once."""
    if what not in left:
        left.append(what)
        print(f"left out: {what}")


def end_code(faults: int) -> int:
    return 1 if faults else SKIPPED if left else 0


def report() -> int:
    """The exit code."""
    for fault in found:
        print(fault)
    print(f"{len(found)} faults")
    return end_code(len(found))
