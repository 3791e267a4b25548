"""At which speeds of all legs together a kit serves the day."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.boat.running import Running
from keelwatt.boat.search import last_met
from keelwatt.choose.block import Block
from keelwatt.explain.cover import Cover
from keelwatt.explain.leaning import Leaning

PIECES = 32
"""Charge bends gently with speed: on each of so many pieces of a range it is taken to cross what
the bank holds once at the most."""

HALVINGS, PARTS = 34, 8

_NONE = (np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0))


@dataclass(frozen=True)
class Speeds:
    """Shares of the wished speeds, for the numbered kits of a block.

    Faster is not always harder: against wind or stream a slow day is a long one.
    """

    kits: Ints
    running: Running
    leaning: Leaning | None = None

    @classmethod
    def of(cls, block: Block, kits: Ints) -> "Speeds":
        laden = block.bank_type[kits], block.drive_type[kits], block.displacement_g[kits]
        return cls(kits, block.day.running(*laden).repeatedly(), Leaning.of_kits(block, kits))

    @cached_property
    def reach(self) -> Floats:
        """The greatest share the motors can do and the boat bears, charge not counted."""
        reached = self.running.reached_share()
        return self.leaning.share(reached) if self.leaning else reached

    def some(self, rows: Ints) -> "Speeds":
        """Of the kits of these rows, numbered by row."""
        return Speeds(rows, self.running.of(rows), self.leaning and self.leaning.of(rows))

    def serves_at(self, share: float) -> Bools:
        """Which kits serve the day at one share."""
        good = self._serves(np.arange(self.kits.size), np.full(self.kits.shape, share))
        return good & self.leaning.upright(np.array([share])) if self.leaning else good

    def ranges(self, cover: Cover, pieces: int = PIECES) -> tuple[Ints, Floats, Floats]:
        """(kit, start, end) of what could take something open, in the kits' order."""
        found = [_NONE, *(self._within(low, high, pieces) for low, high in cover.open)]
        rows, starts, ends = (np.concatenate(part) for part in zip(*found, strict=True))
        order = np.argsort(rows, kind="stable")
        return self.kits[rows[order]], starts[order], ends[order]

    def helps(self, cover: Cover, pieces: int) -> Bools:
        """Which kits could take something open: those whose ranges are worth working out."""
        good = np.zeros(self.kits.shape, dtype=bool)
        for low, high in cover.open:
            rows, _, serves = self._knots(low, high, pieces)
            good[rows] |= serves.any(axis=0)
        return good

    def _knots(self, low: float, high: float, pieces: int) -> tuple[Ints, Floats, Bools]:
        """(row, shares, which of them it serves) of what goes faster than the lower."""
        rows = np.flatnonzero(self.reach > low)
        knots = np.linspace(low, np.minimum(self.reach[rows], high), pieces + 1)
        serves = self._serves(np.tile(rows, len(knots)), knots.ravel())
        return rows, knots, serves.reshape(knots.shape)

    def _within(self, low: float, high: float, pieces: int) -> tuple[Ints, Floats, Floats]:
        """(row, start, end) of every range within one that is open."""
        rows, knots, serves = self._knots(low, high, pieces)
        starts, ends = knots[:-1].ravel(), knots[1:].ravel()
        some = (serves[:-1] | serves[1:]).ravel() & (ends > starts)
        of, starts, ends = np.tile(rows, pieces)[some], starts[some], ends[some]
        at_start, at_end = serves[:-1].ravel()[some], serves[1:].ravel()[some]
        edge = at_start != at_end
        good = np.where(at_start, starts, ends)[edge]
        bad = np.where(at_start, ends, starts)[edge]
        if edge.any():
            running = self.running.of(np.tile(of[edge], PARTS - 1))
            wanted = self._wanted[:, None]
            good = last_met(
                lambda share: running.serves(wanted * share), good, bad, HALVINGS, PARTS
            )
        starts, ends = starts.copy(), ends.copy()
        starts[edge] = np.where(at_start[edge], starts[edge], good)
        ends[edge] = np.where(at_start[edge], good, ends[edge])
        return of, starts, ends

    def _serves(self, rows: Ints, share: Floats) -> Bools:
        return self.running.of(rows).serves(self._wanted[:, None] * share)

    @property
    def _wanted(self) -> Floats:
        return self.running.case.ground_speeds_m_s
