"""Plots of plain text: a staircase, numbered points, and points by their marks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

HEIGHT = 11
MARKS = "123456789abcdefghijklmnopqrstuvwxyz"
MANY = "*"
"""Stands for every point beyond the last mark."""


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


def staircase(
    steps: Sequence[tuple[float, float, float | None]],
    x: Axis,
    y: Axis,
    *,
    width: int,
    ascii_only: bool,
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
    found: Sequence[tuple[float, float]], x: Axis, y: Axis, *, width: int, ascii_only: bool
) -> list[str]:
    """Numbered (x, y) points, the first on top where two share a cell."""
    grid, cells = _grid(y, width)
    for number, (across, up) in reversed(list(enumerate(found))):
        mark = MARKS[number] if number < len(MARKS) else MANY
        grid[y.place(up, HEIGHT)][x.place(across, cells)] = mark
    return _framed(grid, x, y, ascii_only, None)


def marked(
    found: Mapping[str, Sequence[tuple[float, float]]],
    x: Axis,
    y: Axis,
    *,
    width: int,
    ascii_only: bool,
) -> list[str]:
    """(x, y) points by the sign they are marked with, the first sign on top where they meet."""
    grid, cells = _grid(y, width)
    for mark, points_ in reversed(list(found.items())):
        for across, up in points_:
            grid[y.place(up, HEIGHT)][x.place(across, cells)] = mark
    return _framed(grid, x, y, ascii_only, None)


def _grid(y: Axis, width: int) -> tuple[list[list[str]], int]:
    """Rows from the lowest up, and how many cells each has."""
    cells = max(10, width - max(map(len, y.words)) - 2)
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
