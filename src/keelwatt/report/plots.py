"""Plots of plain text: a staircase, numbered points, points by their marks, days as dots."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

HEIGHT = 11
WIDEST = 76
MARKS = "123456789abcdefghijklmnopqrstuvwxyz"
MANY = "*"
"""Stands for every point beyond the last mark."""

DOTS = 50
"""So many dots stand for all days, each for as large a share of them."""

TENTH = 0.1


FLAT, BELOW, ABOVE = "F", "x", "o"
"""A day with the bank flat before home, with less than must stay in, and with enough."""


@dataclass(frozen=True)
class Axis:
    """A range and the words at its ends and its middle."""

    low: float
    high: float
    words: tuple[str, str, str]

    def place(self, value: float, cells: int) -> int:
        """Which of so many cells a value falls into."""
        span = self.high - self.low
        share = (value - self.low) / span if span else 0.5
        return min(cells - 1, max(0, round(share * (cells - 1))))


def axis(low: float, high: float, text: Callable[[float], str]) -> Axis:
    """An axis with words at its ends and its middle."""
    return Axis(low, high, (text(low), text((low + high) / 2), text(high)))


def staircase(
    steps: Sequence[tuple[float, float, float | None]],
    x: Axis,
    y: Axis,
    width: int,
    ascii_only: bool,
    *,
    mark: float | None = None,
) -> list[str]:
    """Lines of (from, to, height or None) over an x axis, with a mark under one amount."""
    flat, rise = ("-", "|") if ascii_only else ("─", "│")
    grid, cells = _grid(y, width)
    last: int | None = None
    for cell in range(cells):
        amount = x.low + (cell + 0.5) / cells * (x.high - x.low)
        here = next((height for a, b, height in steps if a <= amount <= b), None)
        row = None if here is None else y.place(here, HEIGHT)
        if row is not None:
            before = row if last is None else last
            for between in range(min(row, before), max(row, before) + 1):
                grid[between][cell] = rise
            grid[row][cell] = flat
        last = row
    marked = None if mark is None else x.place(mark, cells)
    return _framed(grid, x, y, ascii_only, marked)


def points(
    found: Sequence[tuple[float, float]], x: Axis, y: Axis, width: int, ascii_only: bool
) -> list[str]:
    """Numbered (x, y) points, the first on top where two share a cell."""
    marks: dict[str, list[tuple[float, float]]] = {}
    for number, point in enumerate(found):
        marks.setdefault(MARKS[number] if number < len(MARKS) else MANY, []).append(point)
    return marked(marks, x, y, width, ascii_only)


def marked(
    found: Mapping[str, Sequence[tuple[float, float]]],
    x: Axis,
    y: Axis,
    width: int,
    ascii_only: bool,
) -> list[str]:
    """(x, y) points by the sign they are marked with, the first sign on top where they meet."""
    grid, cells = _grid(y, width)
    for mark, places in reversed(list(found.items())):
        for across, up in places:
            grid[y.place(up, HEIGHT)][x.place(across, cells)] = mark
    return _framed(grid, x, y, ascii_only, None)


def _grid(y: Axis, width: int) -> tuple[list[list[str]], int]:
    """Rows from the lowest up, and how many cells each has."""
    cells = max(10, min(width, WIDEST) - max(map(len, y.words)) - 2)
    return [[" "] * cells for _ in range(HEIGHT)], cells


def _framed(
    grid: list[list[str]], x: Axis, y: Axis, ascii_only: bool, mark: int | None
) -> list[str]:
    side, corner, floor = ("|", "+", "-") if ascii_only else ("│", "└", "─")
    margin, cells = max(map(len, y.words)), len(grid[0])
    words = {0: y.words[0], HEIGHT // 2: y.words[1], HEIGHT - 1: y.words[2]}
    lines = [
        f"{words.get(row, ''):>{margin}} {side}{''.join(grid[row])}".rstrip()
        for row in reversed(range(HEIGHT))
    ]
    lines.append(f"{'':>{margin}} {corner}{floor * cells}")
    low, middle, high = x.words
    below = low + middle.center(cells - len(low) - len(high)) + high
    lines.append(" " * (margin + 2) + below if len(below) <= cells else below)
    if mark is not None:
        word = "^ asked" if mark < cells - 7 else "asked ^"
        start = mark if word[0] == "^" else mark + 1 - len(word)
        lines.append(" " * (margin + 2 + start) + word)
    return lines


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


def _marked(cell: int, cells: int, word: str = "reserve") -> str:
    """A mark under a cell, its word on the side that has room."""
    if cell + len(word) + 2 <= cells:
        return " " * cell + f"^ {word}"
    return (f"{word} ^" if len(word) < cell else "^").rjust(cell + 1)
