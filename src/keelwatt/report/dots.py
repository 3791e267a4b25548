"""Days as dots: each stands for as many of them, stacked over what was left."""

from collections.abc import Sequence
from math import ceil, floor

DOTS = 50
"""So many dots stand for all days, each for as large a share of them."""

TENTH = 0.1


FLAT, BELOW, ABOVE = "F", "x", "o"
"""A day with the bank flat before home, with less than must stay in, and with enough."""


def dot_plot(left: Sequence[float], keep: float, *, width: int) -> list[str]:
    """Lines of dots over the share left, the mark under what must stay in.

    ``left``: the shares the dots stand for, 0 for a bank flat before home.
    """
    low = floor(min(*left, keep) / TENTH) * TENTH
    high = max(low + TENTH, ceil(max(*left, keep) / TENTH) * TENTH)
    cells = max(10, width)

    def cell(share: float) -> int:
        return min(cells - 1, max(0, round((share - low) / (high - low) * (cells - 1))))

    stacks: dict[int, list[str]] = {}
    for share in sorted(left):
        letter = FLAT if share <= 0.0 else BELOW if share < keep else ABOVE
        stacks.setdefault(cell(share), []).append(letter)
    tallest = max(map(len, stacks.values()))
    lines = [
        "".join(
            stacks[at][height] if at in stacks and height < len(stacks[at]) else " "
            for at in range(cells)
        ).rstrip()
        for height in reversed(range(tallest))
    ]
    lines.append("-" * cells)
    ends = f"{low:.0%}", f"{high:.0%}"
    lines.append(ends[0] + ends[1].rjust(cells - len(ends[0])))
    lines.append(_marked(cell(keep), cells))
    return lines


def _marked(cell: int, cells: int, word: str = "must stay in") -> str:
    """A mark under a cell, its word on the side that has room."""
    if cell + len(word) + 2 <= cells:
        return " " * cell + f"^ {word}"
    return (f"{word} ^" if len(word) < cell else "^").rjust(cell + 1)
