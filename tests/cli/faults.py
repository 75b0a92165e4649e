"""Faults found by a black-box test: collected as it goes, printed and counted at its end."""

found: list[str] = []


def expect(condition: bool, what: str) -> None:
    if not condition:
        found.append(what)


def report() -> int:
    """The exit code."""
    for fault in found:
        print(fault)
    print(f"{len(found)} faults")
    return 1 if found else 0
