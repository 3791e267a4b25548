"""A range of amounts covered by the best kit that serves each of them."""

from dataclasses import dataclass, field
from math import isfinite

import numpy as np

from keelwatt.boat.arrays import Floats, Ints

APART = 1.0 + 1e-9
"""Amounts closer than this ratio count as one."""


@dataclass(frozen=True)
class Piece:
    """The kit of this number serves from ``start`` to ``end``; None: no kit does."""

    start: float
    end: float
    kit: int | None


@dataclass
class Cover:
    """Kits are offered best first: each takes what is still open of the ranges it serves.

    Amounts are never below 0.
    """

    low: float
    high: float
    taken: list[Piece] = field(default_factory=list)
    open: list[tuple[float, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.open = [(self.low, self.high)]

    @property
    def share(self) -> float:
        """How much of the range is taken; 0 where it has no end."""
        still = sum(end - start for start, end in self.open)
        return 1.0 - still / (self.high - self.low) if isfinite(self.high) else 0.0

    def offer(self, kits: Ints, starts: Floats, ends: Floats) -> None:
        """Ranges of kits, from the best kit on; a kit may come with several."""
        row = 0
        while (nearest := self._first(starts[row:], ends[row:])) is not None:
            row += nearest
            self._take(int(kits[row]), float(starts[row]), float(ends[row]))
            row += 1

    def helps(self, starts: Floats, ends: Floats) -> np.ndarray:
        """Which of these ranges hold something still open."""
        some = np.zeros(starts.shape, dtype=bool)
        for a, b in self.open:
            some |= np.minimum(ends, b) > np.maximum(starts, a) * APART
        return some

    def _first(self, starts: Floats, ends: Floats) -> int | None:
        rows = np.flatnonzero(self.helps(starts, ends))
        return int(rows[0]) if rows.size else None

    def _take(self, kit: int, start: float, end: float) -> None:
        left = []
        for a, b in self.open:
            first, last = max(a, start), min(b, end)
            if last <= first * APART:
                left.append((a, b))
                continue
            first, last = a if first <= a * APART else first, b if b <= last * APART else last
            self.taken.append(Piece(first, last, kit))
            left += [(x, y) for x, y in ((a, first), (last, b)) if y > x]
        self.open = left

    def pieces(self) -> tuple[Piece, ...]:
        """The whole range in order, each kit's neighbouring ranges joined."""
        every = [*self.taken, *(Piece(a, b, None) for a, b in self.open)]
        joined: list[Piece] = []
        for piece in sorted(every, key=lambda p: p.start):
            if joined and joined[-1].kit == piece.kit:
                joined[-1] = Piece(joined[-1].start, piece.end, piece.kit)
            else:
                start = joined[-1].end if joined else piece.start
                joined.append(Piece(start, piece.end, piece.kit))
        return tuple(joined)
