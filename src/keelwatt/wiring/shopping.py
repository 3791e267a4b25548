"""The bill in words."""

from keelwatt.files.kit import Kit
from keelwatt.proof.bill import BillLine


def arrangement(kit: Kit) -> str:
    """How the batteries are joined, in words; empty for a single one."""
    if kit.units == 1:
        return ""
    if kit.parallel == 1:
        return f"{kit.series} in series"
    if kit.series == 1:
        return f"{kit.parallel} in parallel"
    return f"{kit.parallel} strings of {kit.series} in series"


def called(line: BillLine) -> str:
    """The part by name, cable with its colour."""
    return f"{line.name}, {line.colour}" if line.colour else line.name


def amount(line: BillLine) -> str:
    """How much of it: "2 x", "1 pair", "3 m (2.40 used)"; of what is owned as much as is used."""
    if line.what == "cable":
        used = f"{line.needed:.2f}"
        return f"{used} {line.unit}" if line.owned else f"{line.bought:g} {line.unit} ({used} used)"
    if line.unit == "pair":
        return f"{line.needed:g} {'pair' if line.needed == 1 else 'pairs'}"
    return f"{line.needed:g} x"
